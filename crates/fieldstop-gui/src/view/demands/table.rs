//! The table: demands as rows, rigs as columns.

use std::collections::HashSet;

use egui::{
    Align2, Color32, FontId, Rect, Role, Sense, Shape, TextStyle, Ui, Vec2, WidgetInfo, vec2,
};
use fieldstop::demands::{Figure, Grade};

use super::columns::Columns;
use super::groups::GROUPS;
use super::{DemandsInput, bill, explanation};
use crate::action::Action;
use crate::demand_words;
use crate::state::demands::RigDemands;
use crate::widget::{grade_colour, grade_mark};
use crate::words;

/// A row of plain numbers, and one with marks under them.
const PLAIN_HEIGHT: f32 = 24.0;
const GRADED_HEIGHT: f32 = 40.0;

/// Shows every group with its rows, and below an open one its reasons.
pub(super) fn ui(
    ui: &mut Ui,
    columns: &Columns,
    open: &mut HashSet<Figure>,
    input: &mut DemandsInput<'_>,
) {
    for group in &GROUPS {
        heading(ui, group.name, group.question);
        for &figure in group.figures {
            let is_open = open.contains(&figure);
            if row(ui, columns, figure, is_open, input) {
                if is_open {
                    open.remove(&figure);
                } else {
                    open.insert(figure);
                }
            }
            if is_open {
                parts(ui, columns, figure, input);
                explanation::ui(ui, figure, input);
            }
        }
    }
}

fn heading(ui: &mut Ui, name: &str, question: &str) {
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        ui.add_space(8.0);
        ui.strong(name);
        ui.weak(question);
    });
    ui.add_space(2.0);
}

/// What an open row shows in the same columns: how far it may move, or what it is made of.
fn parts(ui: &mut Ui, columns: &Columns, figure: Figure, input: &DemandsInput<'_>) {
    let ranges: Vec<Option<String>> =
        input.figures.rigs.iter().map(|rig| range_words(rig, figure, input)).collect();
    if ranges.iter().any(Option::is_some) {
        let texts: Vec<String> =
            ranges.into_iter().map(|range| range.unwrap_or_else(|| "–".to_owned())).collect();
        part_row(ui, columns, "as seeing and sky vary", &texts);
    }
    match figure {
        Figure::Price => bill::rows(ui, columns, input),
        Figure::Detail => {
            for wish in &input.figures.details {
                let texts = wish
                    .elements
                    .iter()
                    .map(|elements| elements.map_or_else(|| "–".to_owned(), words::whole));
                part_row(ui, columns, &wish.name, &texts.collect::<Vec<_>>());
            }
        }
        _ => {}
    }
}

/// From the least to the most as seeing varies by 30 % and sky by half a magnitude.
fn range_words(rig: &RigDemands, figure: Figure, input: &DemandsInput<'_>) -> Option<String> {
    let (least, most) = rig.sensitivity.range(figure)?;
    let currency = &input.kit.limits.currency;
    let text = |number: f64| demand_words::value(figure, number.into(), currency);
    let (least, most) = (text(least), text(most));
    (least != most).then(|| format!("{least} – {most}"))
}

/// A row within an open one: a label and one text a column.
pub(super) fn part_row(ui: &mut Ui, columns: &Columns, label: &str, texts: &[String]) {
    let size = vec2(ui.available_width(), PLAIN_HEIGHT - 3.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| {
        WidgetInfo::labeled(Role::Label, true, format!("{label}: {}", texts.join(", ")))
    });
    if !ui.is_rect_visible(rect) {
        return;
    }
    let font = TextStyle::Small.resolve(ui.style());
    let ink = ui.visuals().text_color();
    let place = Columns::label(rect);
    fitted(ui, place.left_center() + vec2(24.0, 0.0), label, &font, ink, place.width() - 28.0);
    let painter = ui.painter_at(Columns::window(rect).intersect(ui.clip_rect()));
    for (column, text) in texts.iter().enumerate() {
        let cell = columns.cell(rect, column);
        let at = cell.left_center() + vec2(6.0, 0.0);
        let galley = painter.layout_no_wrap(text.clone(), font.clone(), ink);
        // Two numbers and their units may be wider than a column: then in a smaller size.
        let shrink = ((cell.width() - 8.0) / galley.size().x).min(1.0);
        let font = FontId::new(font.size * shrink, font.family.clone());
        painter.text(at, Align2::LEFT_CENTER, text, font, ink);
    }
}

/// Text that ends in "…" where it would be too long.
fn fitted(ui: &Ui, at: egui::Pos2, text: &str, font: &FontId, ink: Color32, width: f32) {
    let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font.clone(), ink);
    job.wrap = egui::text::TextWrapping::truncate_at_width(width);
    let galley = ui.painter().layout_job(job);
    let rise = galley.size().y / 2.0;
    ui.painter().galley(at - vec2(0.0, rise), galley, ink);
}

/// Shows a row; true if it is to be opened or closed.
fn row(
    ui: &mut Ui,
    columns: &Columns,
    figure: Figure,
    is_open: bool,
    input: &mut DemandsInput<'_>,
) -> bool {
    let graded = input.figures.rigs.iter().any(|rig| rig.grade(figure).is_some());
    let height = if graded { GRADED_HEIGHT } else { PLAIN_HEIGHT };
    let size = vec2(ui.available_width(), height);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let mut toggled = label(ui, Columns::label(rect), figure, is_open);
    let rule_y = rect.max.y;
    let faint = egui::Stroke::new(1.0, ui.visuals().faint_bg_color);
    ui.painter().hline(rect.x_range(), rule_y, faint);
    for column in 0..columns.count() {
        let place = columns.cell(rect, column);
        toggled |= cell(ui, place, Columns::window(rect), figure, column, input);
    }
    toggled
}

/// The label that opens and closes its row, by pointer or by key.
fn label(ui: &mut Ui, place: Rect, figure: Figure, is_open: bool) -> bool {
    let title = demand_words::title(figure);
    let response = ui.interact(place, ui.scope_id().with(("row", figure)), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &title));
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_expanded(is_open));
    let visuals = *ui.style().interact(&response);
    if response.hovered() || response.has_focus() {
        let stroke = if response.has_focus() { visuals.fg_stroke } else { egui::Stroke::NONE };
        ui.painter().rect(
            place.shrink2(vec2(2.0, 1.0)),
            4.0,
            visuals.weak_bg_fill,
            stroke,
            egui::StrokeKind::Inside,
        );
    }
    let ink = if is_open { ui.visuals().strong_text_color() } else { visuals.text_color() };
    arrow(ui, place.left_center() + vec2(12.0, 0.0), is_open, ink);
    let room = place.width() - 28.0;
    let mut font = TextStyle::Body.resolve(ui.style());
    if ui.painter().layout_no_wrap(title.clone(), font.clone(), ink).size().x > room {
        font = TextStyle::Small.resolve(ui.style());
    }
    fitted(ui, place.left_center() + vec2(24.0, 0.0), &title, &font, ink, room);
    response.on_hover_text(figure.rule().meaning).clicked()
}

fn arrow(ui: &Ui, centre: egui::Pos2, is_open: bool, ink: Color32) {
    let corners = if is_open {
        [vec2(-4.0, -2.5), vec2(4.0, -2.5), vec2(0.0, 3.5)]
    } else {
        [vec2(-2.5, -4.0), vec2(3.5, 0.0), vec2(-2.5, 4.0)]
    };
    let corners = corners.map(|corner: Vec2| centre + corner);
    ui.painter().add(Shape::convex_polygon(corners.to_vec(), ink, egui::Stroke::NONE));
}

/// One rig's figure with its mark; true if it was clicked.
fn cell(
    ui: &mut Ui,
    place: Rect,
    window: Rect,
    figure: Figure,
    rig: usize,
    input: &mut DemandsInput<'_>,
) -> bool {
    let Some(own) = input.figures.rigs.get(rig) else { return false };
    let grade = own.grade(figure).map(|graded| graded.grade);
    let value = demand_words::cell(&own.demands, figure, &input.kit.limits.currency);
    let text = value.clone().unwrap_or_else(|_| "–".to_owned());
    // Clicked but not reached by key: the row's label does the same for keys.
    let id = ui.scope_id().with(("cell", figure, rig));
    let response = ui.interact(place.intersect(window), id, Sense::CLICK);
    response.widget_info(|| {
        let said = match (&value, grade) {
            (Err(why), _) => why.clone(),
            (Ok(_), Some(grade)) => format!("{text}, {}", grade.label()),
            (Ok(_), None) => text.clone(),
        };
        let label = format!("{}, {}: {said}", own.name, figure.label());
        WidgetInfo::labeled(Role::Label, true, label)
    });
    if ui.is_rect_visible(place) {
        let painter = ui.painter_at(window.intersect(ui.clip_rect()));
        if input.workspace.rig == rig {
            painter.rect_filled(place, 0.0, ui.visuals().faint_bg_color);
        }
        let ink = if response.hovered() {
            ui.visuals().strong_text_color()
        } else if value.is_err() {
            ui.visuals().weak_text_color()
        } else {
            ui.visuals().text_color()
        };
        let middle = if grade.is_some() { place.min.y + 12.5 } else { place.center().y };
        let at = egui::pos2(place.min.x + 6.0, middle);
        let mut font = TextStyle::Body.resolve(ui.style());
        let wide = painter.layout_no_wrap(text.clone(), font.clone(), ink).size().x;
        if wide > place.width() - 10.0 {
            font = TextStyle::Small.resolve(ui.style());
        }
        painter.text(at, Align2::LEFT_CENTER, &text, font, ink);
        if let Some(grade) = grade {
            mark(ui, &painter, place, grade, input);
        }
    }
    let clicked = response.clicked();
    if clicked {
        input.queue.push(Action::ChooseRig(rig));
    }
    let tip = match (&value, grade) {
        (Err(why), _) => format!("No figure: {why}."),
        (Ok(_), Some(Grade::Doubtful | Grade::Bad)) => {
            "Why is this bad? Click for what would mend it.".to_owned()
        }
        (Ok(_), _) => figure.rule().meaning.to_owned(),
    };
    response.on_hover_text(tip);
    clicked
}

fn mark(ui: &Ui, painter: &egui::Painter, place: Rect, grade: Grade, input: &DemandsInput<'_>) {
    let middle = place.min.y + 29.0;
    grade_mark(painter, egui::pos2(place.min.x + 11.0, middle), grade, input.palette);
    painter.text(
        egui::pos2(place.min.x + 20.0, middle),
        Align2::LEFT_CENTER,
        grade.label(),
        TextStyle::Small.resolve(ui.style()),
        grade_colour(grade, input.palette),
    );
}
