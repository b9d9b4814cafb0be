//! The wish list: a row a target, with its outline to scale in the chosen rig's frame.

use egui::{Margin, RichText, Ui, Vec2};
use fieldstop::Angle;

use crate::action::{Action, Queue};
use crate::paint::screen;
use crate::scene::palette::Palette;
use crate::sky::catalogue::Target;
use crate::state::{Figures, Workspace, YearFigures};
use crate::widget::{month_marks, named, outline_thumb};
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
    /// Whether to scroll to the chosen target.
    pub reveal: bool,
}

/// Shows the rows.
pub fn ui(ui: &mut Ui, input: &WishListInput<'_>, queue: &mut Queue) {
    let WishListInput { kit, figures, year, workspace, palette, reveal } = *input;
    if kit.wish_list.is_empty() {
        ui.label("What you would like to photograph stands here.");
        ui.label("Find a target above and add it, or read a list from a file.");
        queue.button(ui, Action::AskReadWishes, true);
        return;
    }
    let colour = screen::colour(palette.rig(kit.mark_of(workspace.rig)));
    for (place, (wish, row)) in kit.wish_list.iter().zip(&figures.wishes).enumerate() {
        let name = wish.name();
        let fit = row.fits.get(workspace.rig);
        egui::Frame::new().inner_margin(Margin::symmetric(4, 1)).show(ui, |ui| {
            ui.push_id(name, |ui| {
                ui.horizontal(|ui| {
                    outline_thumb(
                        ui,
                        Vec2::new(46.0, 32.0),
                        figures.rigs.get(workspace.rig).map(|rig| &rig.field),
                        row.target.as_ref().and_then(Target::shape).as_ref(),
                        fit.map_or(Angle::ZERO, |fit| fit.best_rotation),
                        colour,
                    );
                    ui.vertical(|ui| {
                        ui.spacing_mut().item_spacing.y = 0.0;
                        ui.horizontal(|ui| {
                            ui.with_layout(
                                egui::Layout::right_to_left(egui::Align::Center),
                                |ui| {
                                    row_menu(ui, place, wish, kit.wish_list.len(), queue);
                                    ui.with_layout(
                                        egui::Layout::left_to_right(egui::Align::Center),
                                        |ui| {
                                            let chosen = workspace.target.as_deref() == Some(name);
                                            let known = row.target.as_ref();
                                            let text = known
                                                .map_or_else(|| name.to_owned(), Target::title);
                                            let button =
                                                egui::Button::selectable(chosen, text).truncate();
                                            let response = ui.add(button);
                                            if chosen && reveal {
                                                response.scroll_to_me(None);
                                            }
                                            if response.clicked() {
                                                queue.push(Action::ChooseTarget(name.to_owned()));
                                            }
                                        },
                                    );
                                },
                            );
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
                            let layout = egui::Layout::right_to_left(egui::Align::Center);
                            ui.with_layout(layout, |ui| {
                                ui.spacing_mut().item_spacing.x = 4.0;
                                if let Some(target) = year.target(name) {
                                    month_marks(ui, target);
                                }
                                let layout = egui::Layout::left_to_right(egui::Align::Center);
                                ui.with_layout(layout, |ui| {
                                    let text = RichText::new(words).weak().small();
                                    ui.add(egui::Label::new(text).truncate());
                                });
                            });
                        });
                    });
                })
            });
        });
    }
}

fn row_menu(ui: &mut Ui, place: usize, wish: &Wish, count: usize, queue: &mut Queue) {
    let (name, own) = (wish.name(), matches!(wish, Wish::Custom { .. }));
    let menu = ui.menu_button("…", |ui| {
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
