//! The wish list: a row a target, with its outline to scale in the chosen rig's frame.

use egui::{Key, Margin, Response, RichText, Ui, Vec2};
use fieldstop::Angle;

use crate::action::{Action, Queue};
use crate::paint::screen;
use crate::scene::palette::Palette;
use crate::sky::catalogue::Target;
use crate::state::{Figures, WishFigures, Workspace, YearFigures};
use crate::widget::{long_list, month_marks, named, outline_thumb};
use crate::words;
use fieldstop::kit::{Kit, Wish};

/// What the wish list is given to show.
pub struct WishListInput<'a> {
    /// The kit whose list it is.
    pub kit: &'a Kit,
    /// How each target fits each rig.
    pub figures: &'a Figures,
    /// When each target is up.
    pub year: &'a YearFigures,
    /// Which rig and which target are chosen.
    pub workspace: &'a Workspace,
    /// Colours of the rigs.
    pub palette: &'a Palette,
    /// Whether nothing had the keyboard when the frame began.
    pub is_idle: bool,
}

/// The row that something was done to: what the list shows of it, and where the Tab key goes on.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
pub struct WishRow {
    place: Option<usize>,
    scrolls: bool,
}

impl WishRow {
    /// A target was found, by whatever way.
    pub fn found(place: usize) -> Self {
        Self { place: Some(place), scrolls: true }
    }

    /// A row came or went there; of so many that are left, the nearest.
    pub fn changed(place: usize, count: usize) -> Self {
        count.checked_sub(1).map_or_else(Self::default, |last| Self::found(place.min(last)))
    }

    /// The row that the Tab key goes to, pressed while nothing has the keyboard. The focus is not given
    /// at once, as the arrow keys then would no longer be for the sky. Whoever takes up the pointer
    /// begins anew.
    fn reached(&mut self, ui: &Ui, is_idle: bool) -> Option<usize> {
        let (tab, pressed) = ui.input(|input| {
            (input.key_pressed(Key::Tab) && !input.modifiers.shift, input.pointer.any_pressed())
        });
        let reached = self.place.filter(|_| is_idle && tab);
        if pressed || reached.is_some() {
            *self = Self::default();
        }
        reached
    }
}

/// Shows the rows.
pub fn ui(ui: &mut Ui, input: &WishListInput<'_>, marked: &mut WishRow, queue: &mut Queue) {
    let kit = input.kit;
    if kit.wish_list.is_empty() {
        ui.label("What you would like to photograph stands here.");
        ui.label("Find a target above and add it, or read a list from a file.");
        queue.button(ui, Action::AskReadWishes, true);
        return;
    }
    let scrolls_to = marked.place.filter(|_| std::mem::take(&mut marked.scrolls));
    let reached = marked.reached(ui, input.is_idle);
    let name_of = |place: usize| kit.wish_list.get(place).map(Wish::name);
    let list = long_list(ui, kit.wish_list.len(), name_of, |ui, place| {
        let inner = egui::Frame::new().inner_margin(Margin::symmetric(4, 1));
        inner.show(ui, |ui| row(ui, place, reached == Some(place), input, queue));
    });
    if let (Some(list), Some(place)) = (list, scrolls_to) {
        ui.scroll_to_rect(list.row(place), None);
    }
}

/// The outline in the frame, and beside it the name above what else is told.
fn row(ui: &mut Ui, place: usize, reached: bool, input: &WishListInput<'_>, queue: &mut Queue) {
    let WishListInput { kit, figures, workspace, palette, .. } = *input;
    let (Some(wish), Some(row)) = (kit.wish_list.get(place), figures.wishes.get(place)) else {
        return;
    };
    let fit = row.fits.get(workspace.rig);
    ui.horizontal(|ui| {
        outline_thumb(
            ui,
            Vec2::new(46.0, 32.0),
            figures.rigs.get(workspace.rig).map(|rig| &rig.field),
            row.target.as_ref().and_then(Target::shape).as_ref(),
            fit.map_or(Angle::ZERO, |fit| fit.best_rotation),
            screen::colour(palette.rig(kit.mark_of(workspace.rig))),
        );
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            ui.horizontal(|ui| {
                // The name first, so that it comes first by key too.
                let menu_pt = menu_width(ui) + ui.spacing().item_spacing.x;
                let size =
                    Vec2::new((ui.available_width() - menu_pt).max(0.0), ui.available_height());
                let layout = egui::Layout::left_to_right(egui::Align::Center);
                ui.allocate_ui_with_layout(size, layout, |ui| {
                    ui.set_width(size.x);
                    let response = name(ui, wish, row, workspace, queue);
                    if reached {
                        response.request_focus();
                    }
                });
                row_menu(ui, place, wish, kit.wish_list.len(), queue);
            });
            let words = match (&row.target, fit) {
                (None, _) => "not in the catalogue".to_owned(),
                (Some(_), Some(fit)) => {
                    words::fit(fit, figures.wish_panel_count(kit, place, workspace.rig))
                }
                (Some(_), None) => "no rig yet".to_owned(),
            };
            ui.horizontal(|ui| {
                // Under the name, which a button's padding moves in.
                ui.add_space(ui.spacing().button_padding.x);
                from_the_right(ui, |ui| {
                    ui.spacing_mut().item_spacing.x = 4.0;
                    if let Some(target) = input.year.target(wish.name()) {
                        month_marks(ui, target);
                    }
                    from_the_left(ui, |ui| {
                        let text = RichText::new(words).weak().small();
                        ui.add(egui::Label::new(text).truncate());
                    });
                });
            });
        });
    });
}

fn from_the_right(ui: &mut Ui, contents: impl FnOnce(&mut Ui)) {
    ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), contents);
}

fn from_the_left(ui: &mut Ui, contents: impl FnOnce(&mut Ui)) {
    ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), contents);
}

fn name(
    ui: &mut Ui,
    wish: &Wish,
    row: &WishFigures,
    workspace: &Workspace,
    queue: &mut Queue,
) -> Response {
    let name = wish.name();
    let chosen = workspace.target.as_deref() == Some(name);
    let text = row.target.as_ref().map_or_else(|| name.to_owned(), Target::title);
    let response = ui.add(egui::Button::selectable(chosen, text).truncate());
    if response.clicked() {
        queue.push(Action::ChooseTarget(name.to_owned()));
    }
    response
}

const MENU: &str = "…";

/// Known before it is laid out, as the name before it takes what it leaves.
fn menu_width(ui: &Ui) -> f32 {
    let font = egui::TextStyle::Button.resolve(ui.style());
    let text = ui.painter().layout_no_wrap(MENU.to_owned(), font, egui::Color32::WHITE);
    text.size().x + 2.0 * ui.spacing().button_padding.x
}

fn row_menu(ui: &mut Ui, place: usize, wish: &Wish, count: usize, queue: &mut Queue) {
    let (name, own) = (wish.name(), matches!(wish, Wish::Custom { .. }));
    let menu = ui.menu_button(MENU, |ui| {
        for (text, to, possible) in [
            ("Move up", place.saturating_sub(1), place > 0),
            ("Move down", place + 1, place + 1 < count),
        ] {
            if ui.add_enabled(possible, egui::Button::new(text)).clicked() {
                queue.push(Action::MoveWish(place, to));
                ui.close();
            }
        }
        if own {
            queue.menu_item(ui, Action::EditOwnTarget(place), true);
        }
        queue.menu_item(ui, Action::RemoveWish(place), true);
    });
    named(menu.response, format!("More for {name}"));
}
