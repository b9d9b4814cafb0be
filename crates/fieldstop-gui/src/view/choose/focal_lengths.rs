//! The focal ladder grown up: coverage above, rigs to drag in the middle, a bar a target below.

use egui::{CursorIcon, Pos2, Rect, Role, ScrollArea, Sense, Ui, Vec2, WidgetInfo};
use fieldstop::kit::Scope;

use super::{ChooseInput, ChooseView, bars, catalogue, curve, order, regions};
use crate::action::Action;
use crate::paint::screen;
use crate::scene::style::rig_style;
use crate::state::ChoiceAnswer;
use crate::widget::{LadderHandle, LogAxis, focal_ladder_on, rig_line, scrolled_in};

/// Room for names on the left and hours on the right.
const LEFT: f32 = 108.0;
const RIGHT: f32 = 62.0;
/// Room for the sentences below.
const WORDS_HEIGHT: f32 = 116.0;
const GRIP_WIDTH: f32 = 9.0;

/// Shows the page.
pub(super) fn ui(
    ui: &mut Ui,
    view: &mut ChooseView,
    answer: &ChoiceAnswer,
    input: &mut ChooseInput<'_>,
) {
    let choice = input.choice;
    ui.horizontal_wrapped(|ui| {
        order::ui(ui, view);
        catalogue::ui(ui, &mut view.catalogue);
    });
    let found = view.catalogue.and_then(|_| choice.catalogue());
    if let Some(found) = found {
        ui.label(catalogue::words(found));
    }
    let width = ui.available_rect_before_wrap().x_range();
    let axis = LogAxis { left: width.min + LEFT, right: width.max - RIGHT };
    let curve = curve::ui(ui, axis, answer, found, input.palette);
    let (shown, handles) = handles(input);
    let ladder = focal_ladder_on(ui, &handles, None, axis);
    let rows = order::rows(view, answer, input.year);
    let room = (ui.available_height() - WORDS_HEIGHT).max(4.0 * bars::ROW_HEIGHT);
    let area = ScrollArea::vertical().auto_shrink([false, true]).max_height(room);
    let area = scrolled_in(ui, "ranges", area, |ui| {
        let place = Rect::from_min_size(
            ui.cursor().min,
            Vec2::new(ui.available_width(), bars::ROW_HEIGHT * rows.len() as f32),
        );
        regions::paint(ui, place, axis, answer);
        bars::ui(ui, &rows, axis, answer, input);
        if rows.is_empty() {
            ui.weak("Nothing of the wish list is up in the dark in that month.");
        }
    });
    // A short list does not fill its room.
    let bottom = area.inner_rect.bottom().min(area.inner_rect.top() + area.content_size.y);
    let stretches =
        [(curve.top() + curve::MARKS_HEIGHT, curve.bottom()), (area.inner_rect.top(), bottom)];
    let mut moved = ladder.moved_mm;
    for (top, bottom) in stretches {
        let dragged = lines(ui, axis, &handles, top, bottom);
        moved = moved.or(dragged);
    }
    let rig_of = |handle: usize| shown.get(handle).copied();
    if let Some((rig, mm)) = moved.and_then(|(handle, mm)| Some((rig_of(handle)?, mm))) {
        let scope = if input.workspace.change_for_all { Scope::AllRigs } else { Scope::ThisRig };
        input.kit.set_focal_length(rig, mm, scope);
        if input.workspace.rig != rig {
            input.queue.push(Action::ChooseRig(rig));
        }
    }
    if let Some(rig) = ladder.chosen.and_then(rig_of) {
        input.queue.push(Action::ChooseRig(rig));
    }
    if let Some(rig) = ladder.hovered.and_then(rig_of) {
        *input.lifted = Some(rig);
    }
    ui.add_space(4.0);
    let area = ScrollArea::vertical().auto_shrink(false);
    scrolled_in(ui, "what it means", area, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        legend(ui);
        regions::words_ui(ui, answer);
    });
}

fn legend(ui: &mut Ui) {
    ui.small(
        "Bar: focal lengths at which the target is whole and shows the detail you want; the \
         stronger, the more usable hours a year. Thin line: whole, but too small for that. Curve: \
         served share of the list, filled by hours times stars, dashed by number. Drag a rig's line.",
    );
}

/// The shown rigs and their handles.
fn handles(input: &ChooseInput<'_>) -> (Vec<usize>, Vec<LadderHandle>) {
    let rigs = input.kit.rigs.iter().enumerate().zip(&input.figures.rigs);
    rigs.filter(|((_, entry), _)| entry.shown)
        .map(|((rig, entry), figures)| {
            let mark = input.kit.mark_of(rig);
            let handle = LadderHandle {
                name: entry.name.clone(),
                focal_length_mm: figures.focal_length_mm,
                colour: screen::colour(input.palette.rig(mark)),
                dash: rig_style(mark).dash,
                chosen: input.workspace.rig == rig,
            };
            (rig, handle)
        })
        .unzip()
}

/// The rigs' lines through a stretch of the page, to be dragged like their handles.
fn lines(
    ui: &Ui,
    axis: LogAxis,
    handles: &[LadderHandle],
    top: f32,
    bottom: f32,
) -> Option<(usize, f64)> {
    let mut moved = None;
    for (index, handle) in handles.iter().enumerate() {
        let x = axis.x(handle.focal_length_mm);
        let (from, to) = (Pos2::new(x, top), Pos2::new(x, bottom));
        let grip = Rect::from_two_pos(from, to).expand2(Vec2::new(GRIP_WIDTH / 2.0, 0.0));
        // Dragged but not reached by key: the handle on the axis does the same for keys.
        let id = ui.make_persistent_id(("rig line", &handle.name, top.to_bits()));
        let response =
            ui.interact(grip, id, Sense::DRAG).on_hover_cursor(CursorIcon::ResizeHorizontal);
        response.widget_info(|| {
            WidgetInfo::labeled(Role::Image, true, format!("Line of {}", handle.name))
        });
        if let Some(at) = response.interact_pointer_pos().filter(|_| response.dragged()) {
            moved = Some((index, axis.mm(at.x)));
        }
        let width = if handle.chosen || response.hovered() { 2.2 } else { 1.2 };
        rig_line(ui.painter(), from, to, handle.colour, handle.dash, width);
    }
    moved
}
