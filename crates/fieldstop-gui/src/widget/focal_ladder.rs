//! The focal ladder: one logarithmic axis of focal length on which every rig is a handle to drag.

use egui::accesskit::{Action, ActionData};
use egui::{
    Color32, EventFilter, FontId, Key, Pos2, Rect, Role, Sense, Stroke, Ui, Vec2, WidgetInfo,
};
use fieldstop::range::LADDER_MM;

use super::ladder_names::{NameRoom, place_names};
use super::{LogAxis, rig_line};
use crate::scene::primitive::DashPattern;
use crate::words;

/// One rig on the ladder.
pub struct LadderHandle {
    /// The rig's name.
    pub name: String,
    /// Effective; beyond the axis the handle waits at its end.
    pub focal_length_mm: f64,
    /// The rig's colour.
    pub colour: Color32,
    /// The rig's dash pattern.
    pub dash: DashPattern,
    /// Whether it is the chosen rig.
    pub chosen: bool,
}

/// How far one target stays whole with the chosen rig's camera.
pub struct LadderBar {
    /// The target's name.
    pub name: String,
    /// Longest focal length at which it is whole.
    pub whole_to_mm: f64,
    /// Longest focal length at which it touches no edge.
    pub fits_to_mm: f64,
}

/// What was done to the ladder.
#[derive(Default)]
pub struct LadderResponse {
    /// A handle that moved, and its new effective focal length.
    pub moved_mm: Option<(usize, f64)>,
    /// A handle that was clicked, or moved by a key.
    pub chosen: Option<usize>,
    /// The handle under the pointer.
    pub hovered: Option<usize>,
}

const TICKS_MM: [f64; 8] = [20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 4000.0];
/// Height of the ladder with the room above and below it.
pub const LADDER_HEIGHT_PT: f32 = HEIGHT_PT + 8.0;

const HEIGHT_PT: f32 = 98.0;
const MARGIN_PT: f32 = 28.0;
const HANDLE_PT: Vec2 = Vec2::new(14.0, 22.0);

/// Shows the ladder over the whole width there is.
pub fn focal_ladder(
    ui: &mut Ui,
    handles: &[LadderHandle],
    bar: Option<&LadderBar>,
) -> LadderResponse {
    let width = ui.available_rect_before_wrap().x_range();
    let axis = LogAxis { left: width.min + MARGIN_PT, right: width.max - MARGIN_PT };
    focal_ladder_on(ui, handles, bar, axis)
}

/// Shows the ladder over the whole width there is, on an axis that something else stands on too.
pub fn focal_ladder_on(
    ui: &mut Ui,
    handles: &[LadderHandle],
    bar: Option<&LadderBar>,
    axis: LogAxis,
) -> LadderResponse {
    let (rect, _) =
        ui.allocate_exact_size(Vec2::new(ui.available_width(), HEIGHT_PT), Sense::hover());
    let axis = Axis { log: axis, y: rect.bottom() - 22.0, rect };
    let font = egui::TextStyle::Small.resolve(ui.style());
    let taken: Vec<Rect> = bar.map(|bar| draw_bar(ui, axis, bar, &font)).into_iter().collect();
    draw_axis(ui, axis, &font);
    let mut response = LadderResponse::default();
    for (index, handle) in handles.iter().enumerate() {
        handle_ui(ui, axis, index, handle, &mut response);
    }
    draw_names(ui, axis, handles, &font, taken);
    response
}

/// Where the axis lies.
#[derive(Clone, Copy)]
struct Axis {
    log: LogAxis,
    y: f32,
    rect: Rect,
}

impl Axis {
    fn x(self, mm: f64) -> f32 {
        self.log.x(mm)
    }

    fn mm(self, x: f32) -> f64 {
        self.log.mm(x)
    }
}

fn draw_axis(ui: &Ui, axis: Axis, font: &FontId) {
    let painter = ui.painter();
    let ink = ui.visuals().weak_text_color();
    painter.hline(axis.log.left..=axis.log.right, axis.y, Stroke::new(1.0, ink));
    // From the end that says the unit: a number without room for itself is left to its tick.
    let mut room_to = f32::INFINITY;
    for mm in TICKS_MM.into_iter().rev() {
        let x = axis.x(mm);
        painter.vline(x, axis.y..=axis.y + 5.0, Stroke::new(1.0, ink));
        // The last tick alone says the unit.
        let text = if mm < LADDER_MM.most { format!("{mm}") } else { words::focal_length(mm) };
        let galley = painter.layout_no_wrap(text, font.clone(), ink);
        let half = galley.size().x / 2.0;
        if x + half + 4.0 <= room_to {
            room_to = x - half;
            painter.galley(Pos2::new(x - half, axis.y + 6.0), galley, ink);
        }
    }
}

/// The chosen target: solid while it is whole, then thin until it touches the edge.
fn draw_bar(ui: &Ui, axis: Axis, bar: &LadderBar, font: &FontId) -> Rect {
    let painter = ui.painter();
    let ink = ui.visuals().text_color().gamma_multiply(0.35);
    let (whole, fits) = (axis.x(bar.whole_to_mm), axis.x(bar.fits_to_mm));
    let y = axis.y - 5.0;
    if bar.whole_to_mm > LADDER_MM.least {
        let solid =
            Rect::from_min_max(Pos2::new(axis.log.left, y - 2.5), Pos2::new(whole, y + 2.5));
        painter.rect_filled(solid, 1.0, ink);
        painter.hline(whole..=fits, y, Stroke::new(1.5, ink));
        painter.vline(fits, y - 4.0..=y + 4.0, Stroke::new(1.5, ink));
    }
    let text = if bar.whole_to_mm <= LADDER_MM.least {
        format!("{} is never whole on this axis", bar.name)
    } else if bar.whole_to_mm >= LADDER_MM.most {
        format!("{} is whole at every length", bar.name)
    } else {
        format!("{} whole to {}", bar.name, words::whole_to(bar.whole_to_mm))
    };
    let galley = painter.layout_no_wrap(text, font.clone(), ui.visuals().weak_text_color());
    let spot =
        Rect::from_min_size(Pos2::new(axis.log.left, y - 4.0 - galley.size().y), galley.size());
    painter.galley(spot.min, galley, ink);
    spot
}

fn handle_ui(ui: &Ui, axis: Axis, index: usize, handle: &LadderHandle, out: &mut LadderResponse) {
    let x = axis.x(handle.focal_length_mm);
    let rect = Rect::from_center_size(Pos2::new(x, axis.y - 5.0), HANDLE_PT);
    let id = ui.make_persistent_id(("ladder", &handle.name));
    let response = ui.interact(rect, id, Sense::click_and_drag());
    let name = format!("{} on the focal ladder", handle.name);
    response.widget_info(|| WidgetInfo::slider(true, handle.focal_length_mm, &name));
    declare_range(ui, id);
    // Said here as well: on a crowded ladder a name may have no room.
    let tip = format!("{} {}", handle.name, words::focal_length(handle.focal_length_mm));
    let response = response.on_hover_cursor(egui::CursorIcon::ResizeHorizontal).on_hover_text(tip);
    if response.clicked() || response.drag_started() {
        response.request_focus();
        out.chosen = Some(index);
    }
    if response.hovered() || response.has_focus() {
        out.hovered = Some(index);
    }
    if response.dragged()
        && let Some(pointer) = response.interact_pointer_pos()
    {
        out.moved_mm = Some((index, axis.mm(pointer.x)));
    } else if let Some(mm) = asked_by_keys(ui, &response, handle.focal_length_mm) {
        out.moved_mm = Some((index, mm));
        out.chosen = Some(index);
    }
    draw_handle(ui, rect, handle, response.has_focus() || response.hovered());
    if response.has_focus() {
        let stroke = ui.visuals().selection.stroke;
        ui.painter().rect_stroke(rect.expand(2.0), 3.0, stroke, egui::StrokeKind::Outside);
    }
}

fn declare_range(ui: &Ui, id: egui::Id) {
    ui.ctx().accesskit_node_builder(id, |node| {
        node.set_role(Role::Slider);
        node.set_min_numeric_value(LADDER_MM.least);
        node.set_max_numeric_value(LADDER_MM.most);
        for action in [Action::SetValue, Action::Increment, Action::Decrement] {
            node.add_action(action);
        }
    });
}

/// The length that arrow keys or assistive technology ask for: steps of 1 %, with Shift of 10 %.
fn asked_by_keys(ui: &Ui, response: &egui::Response, mm: f64) -> Option<f64> {
    let id = response.id;
    if response.has_focus() {
        let filter = EventFilter { horizontal_arrows: true, ..Default::default() };
        ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
    }
    let focused = response.has_focus();
    let (steps, coarse, set) = ui.input(|input| {
        let mut steps = input.num_accesskit_action_requests(id, Action::Increment) as f64
            - input.num_accesskit_action_requests(id, Action::Decrement) as f64;
        if focused {
            steps += f64::from(u8::from(input.key_pressed(Key::ArrowRight)));
            steps -= f64::from(u8::from(input.key_pressed(Key::ArrowLeft)));
        }
        let set = input
            .accesskit_action_requests(id, Action::SetValue)
            .filter_map(|request| match request.data {
                Some(ActionData::NumericValue(value)) => Some(value),
                _ => None,
            })
            .last();
        (steps, input.modifiers.shift, set)
    });
    if let Some(value) = set {
        return value.is_finite().then(|| value.clamp(LADDER_MM.least, LADDER_MM.most));
    }
    (steps != 0.0).then(|| {
        let factor = if coarse { 1.1f64 } else { 1.01 };
        (mm * factor.powf(steps)).clamp(LADDER_MM.least, LADDER_MM.most)
    })
}

fn draw_handle(ui: &Ui, rect: Rect, handle: &LadderHandle, lifted: bool) {
    let painter = ui.painter();
    let size = if lifted || handle.chosen { 7.0 } else { 5.5 };
    let centre = rect.center();
    let top = Pos2::new(centre.x, centre.y - 16.0);
    rig_line(painter, top, centre, handle.colour, handle.dash, 2.0);
    let diamond =
        [Vec2::new(0.0, -size), Vec2::new(size, 0.0), Vec2::new(0.0, size), Vec2::new(-size, 0.0)];
    let points = diamond.map(|corner| centre + corner).to_vec();
    let edge =
        if lifted || handle.chosen { ui.visuals().strong_text_color() } else { handle.colour };
    painter.add(egui::Shape::convex_polygon(points, handle.colour, Stroke::new(1.5, edge)));
}

/// Names above their handles, those that have room.
fn draw_names(ui: &Ui, axis: Axis, handles: &[LadderHandle], font: &FontId, taken: Vec<Rect>) {
    let painter = ui.painter();
    let row_pt = ui.fonts_mut(|fonts| fonts.row_height(font)) + 1.0;
    let mut order: Vec<&LadderHandle> = handles.iter().collect();
    order.sort_by_key(|handle| !handle.chosen);
    let galleys: Vec<_> = order
        .iter()
        .map(|handle| {
            let text = format!("{} {}", handle.name, words::focal_length(handle.focal_length_mm));
            let colour = if handle.chosen {
                ui.visuals().strong_text_color()
            } else {
                ui.visuals().text_color()
            };
            (painter.layout_no_wrap(text, font.clone(), colour), colour)
        })
        .collect();
    let wanted: Vec<(f32, Vec2)> = order
        .iter()
        .zip(&galleys)
        .map(|(handle, (galley, _))| (axis.x(handle.focal_length_mm), galley.size()))
        .collect();
    let room = NameRoom { rect: axis.rect, axis_y: axis.y, row_pt };
    let places = place_names(&wanted, room, taken);
    for ((handle, (galley, colour)), place) in order.into_iter().zip(galleys).zip(places) {
        let Some(place) = place else { continue };
        if let Some(leader) = place.leader {
            painter.line_segment(leader, Stroke::new(1.0, handle.colour));
        }
        painter.galley(place.spot.min, galley, colour);
    }
}
