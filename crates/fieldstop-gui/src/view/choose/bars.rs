//! A bar a target: the focal lengths at which it is whole and shows its detail.

use egui::{Color32, Pos2, Rect, Role, Sense, Stroke, TextStyle, Ui, WidgetInfo};
use fieldstop::choice::TargetRange;
use fieldstop::range::LADDER_MM;

use super::ChooseInput;
use super::cells::text_in;
use crate::action::Action;
use crate::state::ChoiceAnswer;
use crate::widget::LogAxis;
use crate::words;

pub(super) const ROW_HEIGHT: f32 = 17.0;

/// Shows the rows; a click chooses the target.
pub(super) fn ui(
    ui: &mut Ui,
    rows: &[usize],
    axis: LogAxis,
    answer: &ChoiceAnswer,
    input: &mut ChooseInput<'_>,
) {
    let most = answer.wanted.iter().map(|wanted| wanted.hours_in_year).fold(1.0, f64::max);
    ui.spacing_mut().item_spacing.y = 0.0;
    for range in rows.iter().filter_map(|&place| answer.choice.ranges.get(place)) {
        row(ui, range, axis, most, input);
    }
}

fn row(
    ui: &mut Ui,
    range: &TargetRange,
    axis: LogAxis,
    most_hours: f64,
    input: &mut ChooseInput<'_>,
) {
    let size = egui::vec2(ui.available_width(), ROW_HEIGHT);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let chosen = input.workspace.target.as_deref() == Some(range.target.as_str());
    let words = range_words(range);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, &words));
    if response.clicked() {
        input.queue.push(Action::ChooseTarget(range.target.clone()));
    }
    if ui.is_rect_visible(rect) {
        let visuals = ui.visuals();
        if chosen || response.hovered() || response.has_focus() {
            let fill =
                if chosen { visuals.selection.bg_fill } else { visuals.widgets.hovered.bg_fill };
            ui.painter().rect_filled(rect, 2.0, fill);
        }
        if response.has_focus() {
            let stroke = visuals.selection.stroke;
            ui.painter().rect_stroke(rect, 2.0, stroke, egui::StrokeKind::Inside);
        }
        let ink = visuals.text_color();
        let label = Rect::from_x_y_ranges(rect.left() + 2.0..=axis.left - 6.0, rect.y_range());
        text_in(ui, label, &range.target, ink);
        let hours = Rect::from_x_y_ranges(axis.right + 6.0..=rect.right(), rect.y_range());
        text_in(ui, hours, &format!("{:.0} h", range.hours_in_year), visuals.weak_text_color());
        bar(ui, rect, range, axis, most_hours);
    }
    response.on_hover_text(words);
}

/// Thin from the shortest length to where it is whole no more; thick where it is served.
fn bar(ui: &Ui, rect: Rect, range: &TargetRange, axis: LogAxis, most_hours: f64) {
    let visuals = ui.visuals();
    let painter = ui.painter_at(rect.intersect(ui.clip_rect()));
    let (quiet, y) = (visuals.weak_text_color(), rect.center().y);
    let Some(lengths) = range.range else {
        let place = Rect::from_x_y_ranges(axis.left..=axis.right, rect.y_range());
        text_in(ui, place, "size unknown", quiet);
        return;
    };
    let whole_to = axis.x(lengths.longest_mm);
    let thin = Stroke::new(1.0, quiet);
    if lengths.longest_mm > LADDER_MM.least {
        painter.hline(axis.left..=whole_to, y, thin);
        painter.vline(whole_to, y - 4.0..=y + 4.0, thin);
    } else {
        let place = Rect::from_x_y_ranges(axis.left..=axis.right, rect.y_range());
        text_in(ui, place, "never whole on this axis", quiet);
        return;
    }
    let Some(shortest_mm) = lengths.shortest_mm else {
        open_end(ui, rect, whole_to, axis.right, "its detail shows at no length", quiet);
        return;
    };
    if lengths.is_empty() || shortest_mm > LADDER_MM.most {
        let words = format!("its detail shows from {}", words::detail_from(shortest_mm));
        open_end(ui, rect, whole_to, axis.right, &words, quiet);
        return;
    }
    let served = Rect::from_x_y_ranges(axis.x(shortest_mm)..=whole_to, y - 4.5..=y + 4.5);
    painter.rect_filled(served, 1.0, shade(ui, range.hours_in_year / most_hours));
    let edge = Stroke::new(1.0, visuals.text_color());
    painter.rect_stroke(served, 1.0, edge, egui::StrokeKind::Inside);
}

/// Says why there is no bar, behind the thin line, or before its end where no room is left.
fn open_end(ui: &Ui, rect: Rect, from: f32, to: f32, words: &str, ink: Color32) {
    let font = TextStyle::Small.resolve(ui.style());
    let galley = ui.painter().layout_no_wrap(words.to_owned(), font, ink);
    let left = (from + 6.0).min(to - galley.size().x - 2.0);
    let at = Pos2::new(left, rect.center().y - galley.size().y / 2.0);
    let ground = Rect::from_min_size(at, galley.size()).expand2(egui::vec2(3.0, 0.0));
    if left < from {
        ui.painter().rect_filled(ground, 0.0, ui.visuals().panel_fill);
    }
    ui.painter().galley(at, galley, ink);
}

/// From a third of the ink for none to all of it for the most hours.
fn shade(ui: &Ui, share: f64) -> Color32 {
    let visuals = ui.visuals();
    let share = 0.12 + 0.78 * share.clamp(0.0, 1.0) as f32;
    visuals.extreme_bg_color.lerp_to_gamma(visuals.text_color(), share)
}

/// A row in words.
fn range_words(range: &TargetRange) -> String {
    let name = &range.target;
    let hours = format!("{:.0} usable hours a year", range.hours_in_year);
    let Some(lengths) = range.range else {
        return format!("{name}: size unknown, so no focal length can be named; {hours}");
    };
    let whole = words::whole_to(lengths.longest_mm);
    match lengths.shortest_mm {
        None => format!(
            "{name}: whole up to {whole}, but this air and aperture show the wanted detail at no \
             focal length; {hours}"
        ),
        Some(shortest) if lengths.is_empty() => format!(
            "{name}: whole up to {whole}, its detail shows only from {}; {hours}",
            words::detail_from(shortest)
        ),
        Some(shortest) => {
            format!("{name}: useful from {} to {whole}; {hours}", words::detail_from(shortest))
        }
    }
}
