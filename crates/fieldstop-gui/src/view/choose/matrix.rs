//! Targets by rigs: each cell a tiny drawing to scale, with the verdict.

use egui::{Pos2, Rect, Role, ScrollArea, Sense, Stroke, TextStyle, Ui, Vec2, WidgetInfo};
use fieldstop::choice::{Cell, RigChoice};
use fieldstop::shape::Shape;

use super::cells::{HEAD_HEIGHT, column, column_width, panels_of, rig_head, text_in};
use super::{ChooseInput, ChooseView, order, show_frame};
use crate::action::Action;
use crate::paint::screen;
use crate::panel_count::PanelCount;
use crate::state::ChoiceAnswer;
use crate::widget::{Thumb, long_list, scrolled, scrolled_in, star_rating};
use crate::words;

const LABEL_WIDTH: f32 = 150.0;
const ROW_HEIGHT: f32 = 38.0;
const THUMB: Vec2 = Vec2::new(38.0, 32.0);
const STARS: Vec2 = crate::widget::STAR_RATING_PT;

/// Shows the page.
pub(super) fn ui(
    ui: &mut Ui,
    view: &mut ChooseView,
    answer: &ChoiceAnswer,
    input: &mut ChooseInput<'_>,
) {
    ui.horizontal_wrapped(|ui| {
        order::ui(ui, view);
    });
    ui.small(
        "Small: whole or tight, with fewer resolution elements across it than you want. A dot marks \
         what is served; a number under “spills” is of the panels it takes. Click a drawing to see it \
         on the sky; stars say how much you want a target.",
    );
    let rows = order::rows(view, answer, input.year);
    let columns = answer.choice.rigs.len();
    // A bar that is seen: nothing else tells of columns beyond the edge.
    ui.spacing_mut().scroll = egui::style::ScrollStyle::solid();
    scrolled_in(ui, "columns", ScrollArea::horizontal().auto_shrink(false), |ui| {
        let width = column_width(ui, LABEL_WIDTH, columns);
        let all = LABEL_WIDTH + width * columns as f32;
        head(ui, width, all, answer, input);
        scrolled(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            long_list(
                ui,
                rows.len(),
                |at| rows.get(at).copied(),
                |ui, at| {
                    if let Some(&place) = rows.get(at) {
                        row(ui, place, width, all, answer, input);
                    }
                },
            );
            if rows.is_empty() {
                ui.weak("Nothing of the wish list is up in the dark in that month.");
            }
        });
    });
}

fn head(ui: &mut Ui, width: f32, all: f32, answer: &ChoiceAnswer, input: &mut ChooseInput<'_>) {
    let (rect, _) = ui.allocate_exact_size(Vec2::new(all, HEAD_HEIGHT), Sense::hover());
    for (place, rig) in answer.choice.rigs.iter().enumerate() {
        let below = format!("{} of {} served", rig.served.count, answer.wanted.len());
        let told = format!(
            "{} whole, {} tight, {} spill, {} small, {} served",
            rig.whole, rig.tight, rig.spills, rig.small, rig.served.count
        );
        let room = column(rect, LABEL_WIDTH, width, place);
        rig_head(ui, room, answer, place, &below, &told, input);
    }
    let rule = ui.visuals().widgets.noninteractive.bg_stroke;
    ui.painter().hline(rect.x_range(), rect.bottom(), rule);
}

fn row(
    ui: &mut Ui,
    place: usize,
    width: f32,
    all: f32,
    answer: &ChoiceAnswer,
    input: &mut ChooseInput<'_>,
) {
    let (rect, _) = ui.allocate_exact_size(Vec2::new(all, ROW_HEIGHT), Sense::hover());
    label(ui, rect, place, answer, input);
    for (number, rig) in answer.choice.rigs.iter().enumerate() {
        let room = column(rect, LABEL_WIDTH, width, number);
        cell_ui(ui, room.shrink2(Vec2::new(2.0, 1.0)), place, rig, answer, input);
    }
    let faint = Stroke::new(1.0, ui.visuals().faint_bg_color);
    ui.painter().hline(rect.x_range(), rect.bottom(), faint);
}

/// The target's name, its size and hours, and its stars.
fn label(ui: &mut Ui, row: Rect, place: usize, answer: &ChoiceAnswer, input: &mut ChooseInput<'_>) {
    let Some(wanted) = answer.wanted.get(place) else { return };
    let name = wanted.name.as_str();
    let size =
        wanted.outline.as_ref().map_or("size ?".to_owned(), |shape| words::span(shape.major()));
    let button = Rect::from_min_size(row.min, Vec2::new(LABEL_WIDTH - 4.0, 20.0));
    let response = ui.interact(button, ui.make_persistent_id(("target", name)), Sense::click());
    let chosen = input.workspace.target.as_deref() == Some(name);
    let told = format!("{name}, {size}, {:.0} usable hours a year", wanted.hours_in_year);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, &told));
    if response.clicked() {
        input.queue.push(Action::ChooseTarget(name.to_owned()));
    }
    let visuals = ui.style().interact_selectable(&response, chosen);
    if chosen || response.hovered() || response.has_focus() {
        let stroke = if response.has_focus() { visuals.fg_stroke } else { Stroke::NONE };
        let inside = egui::StrokeKind::Inside;
        ui.painter().rect(button, 3.0, visuals.weak_bg_fill, stroke, inside);
    }
    text_in(ui, button.shrink2(Vec2::new(5.0, 0.0)), name, visuals.text_color());
    response.on_hover_text(told);
    let stars = Rect::from_min_size(row.min + Vec2::new(5.0, 20.0), STARS);
    let stars_name = format!("Stars of {name}");
    if let Some(stars) = star_rating(ui, stars, input.kit.stars(name), &stars_name) {
        input.kit.set_stars(name, stars);
    }
    let hours = Rect::from_min_max(
        Pos2::new(stars.right() + 6.0, stars.top()),
        Pos2::new(row.left() + LABEL_WIDTH - 4.0, stars.bottom()),
    );
    let quiet = ui.visuals().weak_text_color();
    text_in(ui, hours, &format!("{size}  {:.0} h", wanted.hours_in_year), quiet);
}

/// A cell in words.
fn cell_words(target: &str, rig: &RigChoice, cell: &Cell, panels: PanelCount) -> String {
    let mut words = format!("{target} in {}: {}", rig.name, cell.fit.verdict.word());
    if cell.small {
        words += ", small";
    }
    if cell.served {
        words += ", served";
    }
    if let Some(fill) = cell.fit.fill {
        words += &format!("; fill {}", words::fill(fill));
    }
    if let Some(panels) = panels.words() {
        words += &format!(", {panels}");
    }
    if let Some(detail) = cell.detail {
        words += &format!(", {detail:.0} resolution elements across");
    }
    words
}

fn cell_ui(
    ui: &mut Ui,
    place: Rect,
    target: usize,
    rig: &RigChoice,
    answer: &ChoiceAnswer,
    input: &mut ChooseInput<'_>,
) {
    let (Some(wanted), Some(cell)) = (answer.wanted.get(target), rig.cells.get(target)) else {
        return;
    };
    let id = ui.make_persistent_id(("cell", &wanted.name, &rig.name));
    let response = ui.interact(place, id, Sense::click());
    let panels = panels_of(input, &answer.kit, wanted, rig.rig, &cell.fit);
    let told = cell_words(&wanted.name, rig, cell, panels);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &told));
    if response.clicked() {
        show_frame(input.queue, &wanted.name, rig.rig);
    }
    if ui.is_rect_visible(place) {
        let visuals = ui.visuals();
        if response.hovered() || response.has_focus() {
            ui.painter().rect_filled(place, 3.0, visuals.widgets.hovered.bg_fill);
            let stroke = visuals.selection.stroke;
            ui.painter().rect_stroke(place, 3.0, stroke, egui::StrokeKind::Inside);
        }
        drawing(ui, place, rig, wanted.outline.as_ref(), cell, answer, input);
        verdict(ui, place, cell, panels);
    }
    response.on_hover_text(format!("{told}. Click to see it on the sky."));
}

fn drawing(
    ui: &Ui,
    place: Rect,
    rig: &RigChoice,
    outline: Option<&Shape>,
    cell: &Cell,
    answer: &ChoiceAnswer,
    input: &ChooseInput<'_>,
) {
    let room = Rect::from_min_size(place.min + Vec2::new(2.0, 2.0), THUMB);
    let Some((outline, resolved)) = outline.zip(answer.kit.resolve(rig.rig)) else {
        text_in(ui, room.translate(Vec2::new(14.0, 0.0)), "?", ui.visuals().weak_text_color());
        return;
    };
    let field = resolved.field();
    let thumb = Thumb {
        field: &field,
        outline,
        rotation: cell.fit.best_rotation,
        frame_colour: screen::colour(input.palette.rig(answer.kit.mark_of(rig.rig))),
    };
    thumb.paint(ui, room, thumb.scale_in(room.size()));
}

/// The number of panels where there is little room.
fn short_words(panels: PanelCount) -> Option<String> {
    match panels {
        PanelCount::Unknown | PanelCount::Exactly(1) => None,
        PanelCount::Exactly(panels) => Some(panels.to_string()),
        PanelCount::AtMost(most) => Some(format!("≤ {most}")),
    }
}

/// The verdict's word, and below it the mark for what is too small, or what is served.
fn verdict(ui: &Ui, place: Rect, cell: &Cell, panels: PanelCount) {
    let (strong, quiet) = (ui.visuals().strong_text_color(), ui.visuals().weak_text_color());
    let left = place.left() + THUMB.x + 8.0;
    let line = |top: f32| {
        Rect::from_min_max(
            Pos2::new(left, place.top() + top),
            Pos2::new(place.right() - 2.0, place.top() + top + 15.0),
        )
    };
    let ink = if cell.served { strong } else { ui.visuals().text_color() };
    text_in(ui, line(3.0), cell.fit.verdict.word(), ink);
    let below = line(18.0);
    let font = TextStyle::Small.resolve(ui.style());
    if cell.served {
        let dot = Pos2::new(below.left() + 3.5, below.center().y);
        ui.painter().circle_filled(dot, 3.0, strong);
    } else if cell.small {
        ui.painter().text(below.left_center(), egui::Align2::LEFT_CENTER, "small", font, quiet);
    } else if let Some(panels) = short_words(panels) {
        text_in(ui, below, &panels, quiet);
    }
}
