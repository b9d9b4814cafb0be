//! Where labels and rigs' columns stand, and the head of the table that names the rigs.

use egui::{Align2, Pos2, Rect, Role, ScrollArea, Sense, TextStyle, Ui, Vec2, WidgetInfo, pos2};

use super::DemandsInput;
use crate::action::Action;
use crate::paint::screen;
use crate::scene::style::rig_style;
use crate::widget::{rig_line, scrolled_in};

/// Room for the labels on the left.
const LABEL_WIDTH: f32 = 184.0;
/// Narrower columns would cut their numbers off.
const LEAST_WIDTH: f32 = 86.0;
const MOST_WIDTH: f32 = 150.0;
const HEAD_HEIGHT: f32 = 58.0;

/// How far the columns are scrolled, and for which chosen rig.
#[derive(Default)]
pub(super) struct Sideways {
    offset_x: f32,
    chosen: usize,
}

/// Where the columns stand.
pub(super) struct Columns {
    width: f32,
    offset_x: f32,
    count: usize,
}

impl Columns {
    /// The label's place in a row.
    pub(super) fn label(row: Rect) -> Rect {
        Rect::from_min_size(row.min, Vec2::new(LABEL_WIDTH, row.height()))
    }

    /// The part of a row in which columns are seen.
    pub(super) fn window(row: Rect) -> Rect {
        Rect::from_min_max(pos2(row.min.x + LABEL_WIDTH, row.min.y), row.max)
    }

    /// A column's place in a row.
    pub(super) fn cell(&self, row: Rect, column: usize) -> Rect {
        let left = row.min.x + LABEL_WIDTH - self.offset_x + self.width * column as f32;
        Rect::from_min_size(pos2(left, row.min.y), Vec2::new(self.width, row.height()))
    }

    /// How many columns there are.
    pub(super) fn count(&self) -> usize {
        self.count
    }
}

/// Shows the head; scrolling it sideways scrolls every row.
pub(super) fn header(
    ui: &mut Ui,
    sideways: &mut Sideways,
    input: &mut DemandsInput<'_>,
) -> Columns {
    let count = input.figures.rigs.len();
    // The scroll bar of the rows takes its share on the right.
    let room = ui.available_width() - LABEL_WIDTH - ui.spacing().scroll.allocated_width() - 2.0;
    let width = (room / count.max(1) as f32).clamp(LEAST_WIDTH, MOST_WIDTH);
    let (head, _) =
        ui.allocate_exact_size(Vec2::new(ui.available_width(), HEAD_HEIGHT), Sense::hover());
    legend(ui, Columns::label(head));
    let rule = ui.visuals().widgets.noninteractive.bg_stroke;
    ui.painter().hline(head.x_range(), head.max.y - 3.5, rule);
    let mut place = Columns::window(head);
    place.set_width(room.max(0.0));
    ui.scope_builder(egui::UiBuilder::new().max_rect(place), |ui| {
        // A bar that is always seen says that there are more columns.
        ui.spacing_mut().scroll = egui::style::ScrollStyle::thin();
        let mut area = ScrollArea::horizontal();
        if let Some(offset_x) = scrolled_over_rows(ui, place, sideways.offset_x) {
            area = area.horizontal_scroll_offset(offset_x);
        }
        let scrolled = scrolled_in(ui, "rig columns", area, |ui| {
            let size = Vec2::new(width * count as f32, HEAD_HEIGHT - 14.0);
            let (row, _) = ui.allocate_exact_size(size, Sense::hover());
            for rig in 0..count {
                let left = row.min.x + width * rig as f32;
                let cell = Rect::from_min_size(pos2(left, row.min.y), Vec2::new(width, size.y));
                let newly_chosen = sideways.chosen != rig && input.workspace.rig == rig;
                rig_head(ui, rig, cell, newly_chosen, input);
            }
        });
        sideways.offset_x = scrolled.state.clamped_offset().x;
        sideways.chosen = input.workspace.rig;
    });
    Columns { width, offset_x: sideways.offset_x, count }
}

/// Scrolling sideways over the rows moves the columns as well; gives the new offset.
fn scrolled_over_rows(ui: &Ui, head: Rect, offset_x: f32) -> Option<f32> {
    let pointer = ui.input(|input| input.pointer.hover_pos())?;
    let below = head.x_range().contains(pointer.x) && pointer.y > head.max.y;
    let delta_x = ui.input(|input| input.smooth_scroll_delta().x);
    (below && delta_x != 0.0 && ui.ctx().layer_id_at(pointer) == Some(ui.layer_id()))
        .then_some(offset_x - delta_x)
}

fn legend(ui: &Ui, place: Rect) {
    ui.painter().text(
        place.left_bottom() + Vec2::new(10.0, -12.0),
        Align2::LEFT_BOTTOM,
        "Open a row for its reasons",
        TextStyle::Small.resolve(ui.style()),
        ui.visuals().weak_text_color(),
    );
}

/// A rig's line and name; choosing it here is choosing it everywhere.
fn rig_head(ui: &mut Ui, rig: usize, cell: Rect, newly_chosen: bool, input: &mut DemandsInput<'_>) {
    let Some(own) = input.figures.rigs.get(rig) else { return };
    let chosen = input.workspace.rig == rig;
    let response = ui.interact(cell, ui.scope_id().with(("rig", rig)), Sense::click());
    response.widget_info(|| {
        WidgetInfo::selected(Role::Button, true, chosen, format!("Column of {}", own.name))
    });
    if response.clicked() {
        input.queue.push(Action::ChooseRig(rig));
    }
    if newly_chosen {
        response.scroll_to_me(None);
    }
    if response.hovered() {
        *input.lifted = Some(rig);
    }
    let visuals = ui.style().interact_selectable(&response, chosen);
    if chosen || response.hovered() || response.has_focus() {
        ui.painter().rect(
            cell.shrink(1.0),
            4.0,
            visuals.weak_bg_fill,
            if response.has_focus() { visuals.fg_stroke } else { egui::Stroke::NONE },
            egui::StrokeKind::Inside,
        );
    }
    let line_y = cell.min.y + 8.0;
    let ends = |x: f32| Pos2::new(x, line_y);
    let colour = screen::colour(input.palette.rig(own.mark));
    let dash = rig_style(own.mark).dash;
    rig_line(ui.painter(), ends(cell.min.x + 6.0), ends(cell.min.x + 40.0), colour, dash, 2.5);
    let mut job = egui::text::LayoutJob::simple(
        own.name.clone(),
        TextStyle::Small.resolve(ui.style()),
        visuals.text_color(),
        cell.width() - 10.0,
    );
    job.wrap.max_rows = 2;
    let galley = ui.painter().layout_job(job);
    ui.painter().galley(cell.min + Vec2::new(6.0, 14.0), galley, visuals.text_color());
    response.on_hover_text(&own.name);
}
