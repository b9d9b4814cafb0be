//! Pointer and keys on the sky: drag the sky, a frame's edge or its turning ring; zoom; choose.

use egui::{CursorIcon, Event, EventFilter, Key, Response, Ui};
use fieldstop::kit::Kit;
use fieldstop::{Angle, Direction, Frame, Icrs};

use super::{FrameInput, point_of};
use crate::action::Action;
use crate::framing::aim_on;
use crate::scene::frames::turn_handle;
use crate::scene::primitive::Point;
use crate::scene::view::SkyView;
use crate::sky::wish::WishNames;

/// How near the pointer must come to an edge or a ring to mean it.
pub(super) const REACH_PT: f64 = 7.0;

/// What is being dragged.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) enum Drag {
    /// Nothing.
    #[default]
    None,
    /// The sky itself.
    Sky,
    /// A frame, held where it was grabbed: the offset of its centre from the pointer.
    Frame { rig: usize, bearing: Angle, distance: Angle },
    /// A frame's turning ring.
    Ring { rig: usize },
}

/// What the pointer would take hold of.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Hold {
    Sky,
    Edge(usize),
    Ring(usize),
}

impl Drag {
    /// Does what pointer and keys ask for; gives the view as it is afterwards.
    pub(super) fn follow(
        &mut self,
        ui: &Ui,
        response: &Response,
        view: SkyView,
        input: &mut FrameInput<'_>,
    ) -> SkyView {
        let rect = response.rect;
        let hold = response.hover_pos().map(|at| hold_at(point_of(at, rect), &view, input));
        self.start_or_stop(response, &view, input);
        show_hold(ui, *self, hold, input);
        let mut view = view;
        if response.dragged()
            && let Some(at) = response.interact_pointer_pos()
        {
            let to = point_of(at, rect);
            let from = point_of(at - response.drag_delta(), rect);
            view = self.drag(from, to, view, input);
        }
        if response.clicked() {
            response.request_focus();
            click(hold, input);
        }
        if response.double_clicked()
            && let Some(at) = response.interact_pointer_pos()
            && let Some(name) = object_at(point_of(at, rect), &view, input)
        {
            input.queue.push(Action::ChooseTarget(name));
        }
        view = zoom_by_wheel(ui, response, view);
        keys(ui, response, view, input)
    }

    fn start_or_stop(&mut self, response: &Response, view: &SkyView, input: &mut FrameInput<'_>) {
        if response.drag_stopped() {
            *self = Self::None;
        }
        if !response.drag_started() {
            return;
        }
        response.request_focus();
        let origin = response.ctx.input(|i| i.pointer.press_origin());
        let Some(at) = origin.map(|at| point_of(at, response.rect)) else { return };
        *self = match hold_at(at, view, input) {
            Hold::Ring(rig) => Self::Ring { rig },
            Hold::Edge(rig) => match frame_of(input, rig) {
                Some(frame) => {
                    let pointer = view.sky(at);
                    Self::Frame {
                        rig,
                        bearing: pointer.position_angle(frame.centre),
                        distance: pointer.separation(frame.centre),
                    }
                }
                None => Self::Sky,
            },
            Hold::Sky => Self::Sky,
        };
        if let Self::Ring { rig } | Self::Frame { rig, .. } = *self {
            input.workspace.rig = rig;
        }
    }

    fn drag(&self, from: Point, to: Point, view: SkyView, input: &mut FrameInput<'_>) -> SkyView {
        match *self {
            Self::None => view,
            Self::Sky => view.panned(from, to),
            Self::Frame { rig, bearing, distance } => {
                aim(input, rig, view.sky(to).offset(bearing, distance));
                view
            }
            Self::Ring { rig } => {
                if let Some(frame) = frame_of(input, rig) {
                    turn(input, rig, frame.centre.position_angle(view.sky(to)));
                }
                view
            }
        }
    }
}

fn frame_of(input: &FrameInput<'_>, rig: usize) -> Option<Frame> {
    input.figures.target.as_ref()?.frames.get(rig).copied()
}

fn hold_at(at: Point, view: &SkyView, input: &FrameInput<'_>) -> Hold {
    let near = |point: Point| (point[0] - at[0]).hypot(point[1] - at[1]) <= REACH_PT;
    let chosen = input.workspace.rig;
    if let Some(frame) = frame_of(input, chosen).filter(|_| is_shown(input, chosen))
        && turn_handle(&frame, view).is_some_and(near)
    {
        return Hold::Ring(chosen);
    }
    let edge = (0..input.kit.rigs.len())
        .filter(|&rig| is_shown(input, rig))
        .filter_map(|rig| Some((rig, distance_to_edge(&frame_of(input, rig)?, view, at)?)))
        .filter(|&(_, distance)| distance <= REACH_PT)
        .min_by(|a, b| a.1.total_cmp(&b.1));
    edge.map_or(Hold::Sky, |(rig, _)| Hold::Edge(rig))
}

fn is_shown(input: &FrameInput<'_>, rig: usize) -> bool {
    input.kit.rigs.get(rig).is_some_and(|entry| entry.shown)
}

/// Distance in points from a place to the nearest side of a frame.
fn distance_to_edge(frame: &Frame, view: &SkyView, at: Point) -> Option<f64> {
    let [a, b, c, d] = frame.corners().map(|corner| view.point(corner));
    let corners = [a?, b?, c?, d?];
    (0..4).map(|k| distance_to_side(corners[k], corners[(k + 1) % 4], at)).min_by(f64::total_cmp)
}

pub(super) fn distance_to_side(from: Point, to: Point, at: Point) -> f64 {
    let side = [to[0] - from[0], to[1] - from[1]];
    let reach = [at[0] - from[0], at[1] - from[1]];
    let length = side[0] * side[0] + side[1] * side[1];
    let share = if length > 0.0 {
        ((reach[0] * side[0] + reach[1] * side[1]) / length).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (reach[0] - share * side[0]).hypot(reach[1] - share * side[1])
}

fn show_hold(ui: &Ui, drag: Drag, hold: Option<Hold>, input: &mut FrameInput<'_>) {
    let icon = match (drag, hold) {
        (Drag::Sky, _) => CursorIcon::Grabbing,
        (Drag::Frame { .. }, _) => CursorIcon::Move,
        (Drag::Ring { .. }, _) | (Drag::None, Some(Hold::Ring(_))) => CursorIcon::Alias,
        (Drag::None, Some(Hold::Edge(rig))) => {
            *input.lifted = Some(rig);
            CursorIcon::Move
        }
        (Drag::None, Some(Hold::Sky)) => CursorIcon::Grab,
        (Drag::None, None) => return,
    };
    ui.ctx().set_cursor_icon(icon);
}

fn click(hold: Option<Hold>, input: &mut FrameInput<'_>) {
    if let Some(Hold::Edge(rig) | Hold::Ring(rig)) = hold {
        input.queue.push(Action::ChooseRig(rig));
    }
}

/// The object whose outline, or whose middle, is nearest to a place.
fn object_at(at: Point, view: &SkyView, input: &FrameInput<'_>) -> Option<String> {
    let catalogue = &input.sky.catalogue;
    let target = crate::sky::nearest(catalogue, view.sky(at), view.span * (12.0 / view.width_pt))?;
    Some(WishNames::of(input.kit, catalogue).led(target).name.clone())
}

pub(super) fn zoom_by_wheel(ui: &Ui, response: &Response, view: SkyView) -> SkyView {
    let Some(at) = response.hover_pos() else { return view };
    let (scroll, pinch) = ui.input(|input| (input.smooth_scroll_delta().y, input.zoom_delta()));
    let factor = f64::from((scroll / 240.0).exp() * pinch);
    if (factor - 1.0).abs() < 1e-6 {
        view
    } else {
        view.zoomed(factor, point_of(at, response.rect))
    }
}

/// Whether keys are for the sky: it takes them whenever nothing else does.
pub(super) fn takes_keys(ui: &Ui, response: &Response) -> bool {
    let (nobody, window_over) =
        ui.memory(|memory| (memory.focused().is_none(), memory.top_modal_layer().is_some()));
    if window_over || !(nobody || response.has_focus()) {
        return false;
    }
    let filter =
        EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, filter));
    true
}

/// Presses of arrow keys, by what was held at each: keys struck quickly are let go of again in the
/// same frame.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Arrows {
    /// With the command key: to the right and up.
    pan: [f64; 2],
    /// With Shift alone.
    pub(super) shifted: [f64; 2],
    /// With nothing else.
    pub(super) plain: [f64; 2],
}

/// Zooms with + and −, pans with the command key and arrows; gives the arrows pressed.
pub(super) fn view_keys(ui: &Ui, view: SkyView) -> (SkyView, Arrows) {
    let zoom = ui.input(|input| {
        let count = |key| input.num_presses(key) as f64;
        count(Key::Plus) + count(Key::Equals) - count(Key::Minus)
    });
    let middle = [view.width_pt / 2.0, view.height_pt / 2.0];
    let view = if zoom == 0.0 { view } else { view.zoomed(1.25f64.powf(zoom), middle) };
    let arrows = ui.input(|input| arrows(&input.events));
    let step = view.width_pt / 10.0;
    let from = [middle[0] + step * arrows.pan[0], middle[1] - step * arrows.pan[1]];
    (if from == middle { view } else { view.panned(from, middle) }, arrows)
}

fn arrows(events: &[Event]) -> Arrows {
    let mut arrows = Arrows::default();
    for event in events {
        let Event::Key { key, pressed: true, modifiers, .. } = event else { continue };
        let (right, up) = match key {
            Key::ArrowRight => (1.0, 0.0),
            Key::ArrowLeft => (-1.0, 0.0),
            Key::ArrowUp => (0.0, 1.0),
            Key::ArrowDown => (0.0, -1.0),
            _ => continue,
        };
        let sum = match modifiers {
            held if held.alt => continue,
            held if held.command => &mut arrows.pan,
            held if held.shift => &mut arrows.shifted,
            _ => &mut arrows.plain,
        };
        *sum = [sum[0] + right, sum[1] + up];
    }
    arrows
}

/// Arrow keys turn the chosen frame, with Shift move it, with the command key pan the sky.
fn keys(ui: &Ui, response: &Response, view: SkyView, input: &mut FrameInput<'_>) -> SkyView {
    if !takes_keys(ui, response) {
        return view;
    }
    let (view, arrows) = view_keys(ui, view);
    let rig = input.workspace.rig;
    let Some(frame) = frame_of(input, rig) else { return view };
    let [right, up] = arrows.shifted;
    if arrows.shifted != [0.0; 2]
        && let Some([x, y]) = view.point(frame.centre)
    {
        // A step on the page, however the frame is turned.
        let step = 0.05 * view.points_across(frame.field.height().min(frame.field.width()));
        aim(input, rig, view.sky([x + step * right, y - step * up]));
    }
    let [right, up] = arrows.plain;
    if arrows.plain != [0.0; 2] {
        turn(input, rig, frame.rotation + Angle::from_deg(1.0) * (up - right));
    }
    view
}

/// Puts a frame's centre somewhere; every frame's, if they are kept together.
fn aim(input: &mut FrameInput<'_>, rig: usize, centre: Direction<Icrs>) {
    let centre_deg = (rounded(centre.ra(), 1e5), rounded(centre.dec(), 1e5));
    change_aims(input, rig, |kit, rig, target| {
        kit.aim_mut(rig, target).centre_deg = Some(centre_deg);
    });
}

/// Turns a frame; every frame, if they are kept together.
pub(super) fn turn(input: &mut FrameInput<'_>, rig: usize, rotation: Angle) {
    let rotation_deg = rounded(rotation.wrapped(), 10.0) % 360.0;
    change_aims(input, rig, |kit, rig, target| {
        kit.aim_mut(rig, target).rotation_deg = Some(rotation_deg);
    });
}

/// Degrees as coarse as a hand can aim, so that the kit file stays readable.
fn rounded(angle: Angle, per_degree: f64) -> f64 {
    (angle.deg() * per_degree).round() / per_degree
}

fn change_aims(input: &mut FrameInput<'_>, rig: usize, change: impl Fn(&mut Kit, &str, &str)) {
    let Some(chosen) = &input.figures.target else { return };
    let together = input.workspace.together;
    let names: Vec<String> = input
        .kit
        .rigs
        .iter()
        .enumerate()
        .filter(|&(other, _)| together || other == rig)
        .map(|(_, entry)| entry.name.clone())
        .collect();
    for name in names {
        // Where it is kept already; else under the name that all its names lead to.
        let kept = aim_on(input.kit, &name, &chosen.target).map(|aim| aim.target.clone());
        let target = kept.unwrap_or_else(|| chosen.target.catalogue_name().to_owned());
        change(input.kit, &name, &target);
    }
}

#[cfg(test)]
mod tests {
    use egui::Modifiers;

    use super::*;

    #[test]
    fn arrows_go_by_what_was_held_at_each_press() {
        let press = |key, modifiers| Event::Key {
            key,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers,
        };
        let found = arrows(&[
            press(Key::ArrowRight, Modifiers::COMMAND),
            press(Key::ArrowRight, Modifiers::COMMAND),
            press(Key::ArrowRight, Modifiers::NONE),
            press(Key::ArrowUp, Modifiers::SHIFT),
            press(Key::ArrowDown, Modifiers::NONE),
            press(Key::ArrowLeft, Modifiers::ALT),
            press(Key::A, Modifiers::NONE),
        ]);
        let wanted = Arrows { pan: [2.0, 0.0], shifted: [0.0, 1.0], plain: [1.0, -1.0] };
        assert_eq!(found, wanted);
    }
}
