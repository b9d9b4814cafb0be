//! Text and heads that several pages' tables share.

use egui::{Color32, Pos2, Rect, Role, Sense, TextStyle, Ui, Vec2, WidgetInfo};
use fieldstop::Fit;
use fieldstop::choice::Wanted;
use fieldstop::kit::Kit;

use super::ChooseInput;
use crate::action::Action;
use crate::paint::screen;
use crate::panel_count::PanelCount;
use crate::scene::style::rig_style;
use crate::state::ChoiceAnswer;
use crate::widget::rig_line;

/// Narrower columns would cut their words off.
const LEAST_COLUMN: f32 = 84.0;
const MOST_COLUMN: f32 = 140.0;
pub(super) const HEAD_HEIGHT: f32 = 64.0;

/// How many panels a rig of a kit takes for a target of the wish list.
pub(super) fn panels_of(
    input: &ChooseInput<'_>,
    kit: &Kit,
    wanted: &Wanted,
    rig: usize,
    fit: &Fit,
) -> PanelCount {
    let target = input.figures.wish_target(input.kit, &wanted.name);
    let field = kit.resolve(rig).map(|rig| rig.field());
    target.zip(field).map_or(PanelCount::Unknown, |(target, field)| {
        input.figures.panels.count(target, &field, kit.limits.overlap, fit)
    })
}

/// Small text in the middle of a place's height, with "…" where it would be too long.
pub(super) fn text_in(ui: &Ui, place: Rect, text: &str, ink: Color32) {
    let font = TextStyle::Small.resolve(ui.style());
    let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, ink);
    job.wrap = egui::text::TextWrapping::truncate_at_width(place.width().max(0.0));
    let galley = ui.painter().layout_job(job);
    let at = Pos2::new(place.left(), place.center().y - galley.size().y / 2.0);
    ui.painter_at(place.intersect(ui.clip_rect())).galley(at, galley, ink);
}

/// How wide a column can be when so many stand beside labels of a width.
pub(super) fn column_width(ui: &Ui, label_width: f32, columns: usize) -> f32 {
    let room = ui.available_width() - label_width - ui.spacing().scroll.allocated_width() - 4.0;
    (room / columns.max(1) as f32).clamp(LEAST_COLUMN, MOST_COLUMN)
}

/// The place of a column in a row.
pub(super) fn column(row: Rect, label_width: f32, width: f32, column: usize) -> Rect {
    let left = row.left() + label_width + width * column as f32;
    Rect::from_min_size(Pos2::new(left, row.top()), Vec2::new(width, row.height()))
}

/// A rig's line and name, and a few words below that are told in full to who asks; choosing it here is choosing it everywhere.
pub(super) fn rig_head(
    ui: &mut Ui,
    place: Rect,
    answer: &ChoiceAnswer,
    column: usize,
    below: &str,
    told: &str,
    input: &mut ChooseInput<'_>,
) {
    let Some(own) = answer.choice.rigs.get(column) else { return };
    let chosen = input.workspace.rig == own.rig;
    let id = ui.make_persistent_id(("rig head", &own.name));
    let response = ui.interact(place, id, Sense::click());
    response.widget_info(|| {
        let label = format!("Column of {}: {told}", own.name);
        WidgetInfo::selected(Role::Button, true, chosen, label)
    });
    if response.clicked() {
        input.queue.push(Action::ChooseRig(own.rig));
    }
    if response.hovered() {
        *input.lifted = Some(own.rig);
    }
    let visuals = ui.style().interact_selectable(&response, chosen);
    if chosen || response.hovered() || response.has_focus() {
        let stroke = if response.has_focus() { visuals.fg_stroke } else { egui::Stroke::NONE };
        let fill = visuals.weak_bg_fill;
        let shape = place.shrink(1.0);
        ui.painter().rect(shape, 4.0, fill, stroke, egui::StrokeKind::Inside);
    }
    let mark = answer.kit.mark_of(own.rig);
    let colour = screen::colour(input.palette.rig(mark));
    let y = place.min.y + 8.0;
    let (from, to) = (Pos2::new(place.min.x + 6.0, y), Pos2::new(place.min.x + 40.0, y));
    rig_line(ui.painter(), from, to, colour, rig_style(mark).dash, 2.5);
    let ink = visuals.text_color();
    let font = TextStyle::Small.resolve(ui.style());
    let mut job = egui::text::LayoutJob::simple(own.name.clone(), font, ink, place.width() - 10.0);
    job.wrap.max_rows = 2;
    let galley = ui.painter().layout_job(job);
    ui.painter().galley(place.min + Vec2::new(6.0, 13.0), galley, ink);
    let line = Rect::from_min_max(
        Pos2::new(place.left() + 6.0, place.bottom() - 17.0),
        Pos2::new(place.right() - 3.0, place.bottom() - 2.0),
    );
    text_in(ui, line, below, ui.visuals().weak_text_color());
    response.on_hover_text(format!("{}: {told}", own.name));
}
