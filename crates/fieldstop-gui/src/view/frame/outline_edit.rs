//! Drawing a target's outline on the sky: corners added, moved and taken away by pointer and keys.
//!
//! The kit holds the outline as soon as a change makes one, so every gesture is a step that can be
//! undone. Until then wait here the shape that it begins with, or its first one or two corners.

use egui::{CursorIcon, Key, Modifiers, PointerButton, Response, Ui};
use fieldstop::kit::{DrawnOutline, Kit};
use fieldstop::sexagesimal::{dec_text, ra_text};
use fieldstop::shape::LEAST_CORNERS;
use fieldstop::{Direction, Icrs};

use super::pointer::{self, REACH_PT, distance_to_side};
use super::{FrameInput, point_of};
use crate::action::{Action, Queue};
use crate::scene::primitive::Point;
use crate::scene::view::SkyView;
use crate::sky::catalogue::Target;
use crate::sky::wish::drawn_for;
use crate::state::drawn_corners::{self, Corner};
use crate::words::counted;

/// An arrow key moves a corner by this share of the page's width.
const STEP: f64 = 1.0 / 100.0;
/// With Shift by this part of it.
const FINE: f64 = 1.0 / 10.0;

/// The outline that is being drawn.
pub(super) struct OutlineEdit {
    /// What the chosen target goes by.
    target: String,
    /// What the catalogue has it under.
    object: String,
    /// The name under which the kit has the outline.
    key: String,
    /// Corners that the kit has not: those that a change is still to be made to, or too few to be
    /// an outline.
    fresh: Vec<Corner>,
    /// Whether the kit has had the outline: once it is gone, there is nothing more to draw.
    kept: bool,
    selected: Option<usize>,
    dragged: Dragged,
    refusal: Option<String>,
    /// The sky is still to get the keys.
    wants_keys: bool,
    done: bool,
}

/// What the pointer drags.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
enum Dragged {
    #[default]
    Nothing,
    Sky,
    Corner(usize),
}

/// What the pointer is on.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Hold {
    Corner(usize),
    Side(usize),
    Sky,
}

impl OutlineEdit {
    /// Begins with what was drawn before, else with the catalogue's ellipse, else with nothing.
    pub(super) fn begin(kit: &Kit, name: &str, target: &Target) -> Self {
        let drawn = drawn_for(kit, name, target).map(|drawn| drawn.target.clone());
        let object = target.catalogue_name().to_owned();
        let mut edit = Self {
            target: target.name.clone(),
            // Where it is kept already; else under the name that all its names lead to.
            key: drawn.clone().unwrap_or_else(|| object.clone()),
            object,
            fresh: Vec::new(),
            kept: drawn.is_some(),
            selected: None,
            dragged: Dragged::Nothing,
            refusal: None,
            wants_keys: true,
            done: false,
        };
        if let Some(outline) = target.outline.filter(|_| drawn.is_none()) {
            let begun = edit.outline_of(drawn_corners::of_ellipse(target.place, &outline));
            if begun.shape().is_ok() {
                edit.fresh = begun.corners_deg;
            }
        }
        edit.selected = edit.corners(kit).first().map(|_| 0);
        edit
    }

    /// Whether this target's outline is still to be drawn.
    pub(super) fn goes_on(&self, kit: &Kit, target: Option<&Target>) -> bool {
        !self.done
            && target.is_some_and(|target| self.is_of(target))
            && (!self.kept || self.is_kept(kit))
    }

    /// Ends it.
    pub(super) fn finish(&mut self) {
        self.done = true;
    }

    /// Whether it is this target's.
    pub(super) fn is_of(&self, target: &Target) -> bool {
        target.catalogue_name() == self.object
    }

    /// Whether the kit has it.
    pub(super) fn is_kept(&self, kit: &Kit) -> bool {
        kit.drawn_outline(&self.key).is_some()
    }

    /// What the target that it is of goes by.
    pub(super) fn target(&self) -> &str {
        &self.target
    }

    /// What the sky is while it is drawn, for those who cannot see it.
    pub(super) fn describe(&self, kit: &Kit) -> String {
        let corners = self.corners(kit);
        let chosen = self.selected.and_then(|index| Some((index + 1, *corners.get(index)?)));
        let chosen = chosen.map_or_else(String::new, |(number, corner)| {
            let place = drawn_corners::place(corner);
            let (ra, dec) = (ra_text(place.ra(), 1), dec_text(place.dec(), 0));
            format!(", corner {number} chosen at {ra}, {dec}")
        });
        let corners = counted(corners.len(), "corner");
        format!("Sky, drawing the outline of {}, {corners}{chosen}", self.target)
    }

    /// The chosen corner.
    pub(super) fn selected(&self) -> Option<usize> {
        self.selected
    }

    /// Why the last change was not made.
    pub(super) fn refusal(&self) -> Option<&str> {
        self.refusal.as_deref()
    }

    /// Says why a change is not made.
    pub(super) fn refuse(&mut self, why: String) {
        self.refusal = Some(why);
    }

    /// The corners as they stand.
    pub(super) fn corners(&self, kit: &Kit) -> Vec<Corner> {
        let drawn = kit.drawn_outline(&self.key).map(|drawn| drawn.corners_deg.clone());
        drawn.unwrap_or_else(|| self.fresh.clone())
    }

    /// The corners as places.
    pub(super) fn places(&self, kit: &Kit) -> Vec<Direction<Icrs>> {
        self.corners(kit).into_iter().map(drawn_corners::place).collect()
    }

    fn outline_of(&self, corners_deg: Vec<Corner>) -> DrawnOutline {
        DrawnOutline { target: self.key.clone(), corners_deg }
    }

    /// Takes in a change that is a step of its own.
    fn take(&mut self, change: Result<Vec<Corner>, String>, queue: &mut Queue) {
        match change {
            Ok(corners) => {
                self.refusal = None;
                let drawn = self.outline_of(corners);
                // Seen until the kit has it.
                self.fresh.clone_from(&drawn.corners_deg);
                if drawn.shape().is_ok() {
                    self.kept = true;
                    queue.push(Action::PutOutline(drawn));
                }
            }
            Err(why) => self.refusal = Some(why),
        }
    }

    /// Takes in a change that goes on while a key or a button is held.
    fn take_along(&mut self, change: Result<Vec<Corner>, String>, kit: &mut Kit) {
        match change {
            Ok(corners) => {
                self.refusal = None;
                let drawn = self.outline_of(corners);
                if drawn.shape().is_ok() {
                    self.kept = true;
                    kit.set_outline(drawn);
                } else {
                    self.fresh = drawn.corners_deg;
                }
            }
            Err(why) => self.refusal = Some(why),
        }
    }

    /// Chooses a corner.
    pub(super) fn select(&mut self, index: usize) {
        self.selected = Some(index);
        self.refusal = None;
    }

    /// Puts a corner elsewhere.
    pub(super) fn put(&mut self, index: usize, to: Corner, kit: &Kit, queue: &mut Queue) {
        self.selected = Some(index);
        self.take(drawn_corners::moved(&self.corners(kit), index, to), queue);
    }

    /// Puts a corner into the middle of the side after another.
    pub(super) fn split(&mut self, side: usize, kit: &Kit, queue: &mut Queue) {
        let corners = self.corners(kit);
        let Some(middle) = drawn_corners::middle_of_side(&corners, side) else { return };
        self.insert(&corners, side, middle, queue);
    }

    fn insert(&mut self, corners: &[Corner], side: usize, at: Corner, queue: &mut Queue) {
        let change = drawn_corners::inserted(corners, side, at);
        if change.is_ok() {
            self.selected = Some(side + 1);
        }
        self.take(change, queue);
    }

    /// Takes a corner away.
    pub(super) fn remove(&mut self, index: usize, kit: &Kit, queue: &mut Queue) {
        let change = drawn_corners::removed(&self.corners(kit), index);
        if let Ok(left) = &change {
            self.selected = left.len().checked_sub(1).map(|last| index.saturating_sub(1).min(last));
        }
        self.take(change, queue);
    }

    /// Puts a corner where the sky is free: into the nearest side that takes it.
    pub(super) fn add(
        &mut self,
        at: Direction<Icrs>,
        view: &SkyView,
        kit: &Kit,
        queue: &mut Queue,
    ) {
        let corners = self.corners(kit);
        let mut sides: Vec<(f64, usize)> = Vec::new();
        if let Some(at) = view.point(at).filter(|_| corners.len() > 2) {
            let places = self.places(kit);
            sides.extend(distances(&places, view, at).map(|(side, distance)| (distance, side)));
            sides.sort_by(|a, b| a.0.total_cmp(&b.0));
        }
        let sides: Vec<usize> = sides.into_iter().map(|(_, side)| side).collect();
        let change = drawn_corners::added(&corners, &sides, drawn_corners::corner(at));
        if let Ok((index, _)) = &change {
            self.selected = Some(*index);
        }
        self.take(change.map(|(_, corners)| corners), queue);
    }

    /// Forgets all corners, to begin with none.
    pub(super) fn start_empty(&mut self, queue: &mut Queue) {
        self.fresh.clear();
        self.selected = None;
        self.kept = false;
        self.refusal = None;
        queue.push(Action::RemoveOutline);
    }

    /// Ends it, unless there are corners and too few of them.
    pub(super) fn try_finish(&mut self, kit: &Kit) {
        let corners = self.corners(kit).len();
        if corners == 0 || corners >= LEAST_CORNERS {
            self.finish();
        } else {
            self.refusal = Some(format!(
                "An outline has at least {LEAST_CORNERS} corners, this one has {corners}. Add more, or leave with \
                 Escape."
            ));
        }
    }

    /// Does what pointer and keys ask for; gives the view as it is afterwards.
    pub(super) fn follow(
        &mut self,
        ui: &Ui,
        response: &Response,
        view: SkyView,
        input: &mut FrameInput<'_>,
    ) -> SkyView {
        let rect = response.rect;
        if std::mem::take(&mut self.wants_keys) {
            response.request_focus();
        }
        if self.is_kept(input.kit) {
            self.kept = true;
            self.fresh.clear();
        }
        let places = self.places(input.kit);
        self.selected = self.selected.filter(|&index| index < places.len());
        let hold = response.hover_pos().map(|at| hold_at(point_of(at, rect), &view, &places));
        self.show_hold(ui, hold);
        let view = self.drag(response, view, &places, input);
        if response.clicked_by(PointerButton::Primary)
            && let Some(at) = response.interact_pointer_pos()
        {
            response.request_focus();
            self.click(view.sky(point_of(at, rect)), hold, &view, input);
        }
        let view = pointer::zoom_by_wheel(ui, response, view);
        self.keys(ui, response, view, input)
    }

    fn show_hold(&self, ui: &Ui, hold: Option<Hold>) {
        let icon = match (self.dragged, hold) {
            (Dragged::Sky, _) => CursorIcon::Grabbing,
            (Dragged::Corner(_), _) | (_, Some(Hold::Corner(_))) => CursorIcon::Move,
            (_, Some(Hold::Side(_))) => CursorIcon::Copy,
            (_, Some(Hold::Sky)) => CursorIcon::Crosshair,
            (_, None) => return,
        };
        ui.ctx().set_cursor_icon(icon);
    }

    fn drag(
        &mut self,
        response: &Response,
        view: SkyView,
        places: &[Direction<Icrs>],
        input: &mut FrameInput<'_>,
    ) -> SkyView {
        let rect = response.rect;
        if response.drag_started()
            && let Some(from) = response.ctx.input(|input| input.pointer.press_origin())
        {
            response.request_focus();
            self.dragged = match hold_at(point_of(from, rect), &view, places) {
                Hold::Corner(index) => {
                    self.select(index);
                    Dragged::Corner(index)
                }
                Hold::Side(_) | Hold::Sky => Dragged::Sky,
            };
        }
        let mut view = view;
        if response.dragged()
            && let Some(at) = response.interact_pointer_pos()
        {
            let to = point_of(at, rect);
            match self.dragged {
                Dragged::Nothing => {}
                Dragged::Sky => view = view.panned(point_of(at - response.drag_delta(), rect), to),
                Dragged::Corner(index) => {
                    let to = drawn_corners::corner(view.sky(to));
                    let change = drawn_corners::moved(&self.corners(input.kit), index, to);
                    if response.drag_started() {
                        // A step of its own, however soon after the last one.
                        self.take(change, input.queue);
                    } else {
                        self.take_along(change, input.kit);
                    }
                }
            }
        }
        if response.drag_stopped() {
            self.dragged = Dragged::Nothing;
        }
        view
    }

    fn click(
        &mut self,
        at: Direction<Icrs>,
        hold: Option<Hold>,
        view: &SkyView,
        input: &mut FrameInput<'_>,
    ) {
        match hold {
            Some(Hold::Corner(index)) => self.select(index),
            Some(Hold::Side(side)) => {
                let corners = self.corners(input.kit);
                self.insert(&corners, side, drawn_corners::corner(at), input.queue);
            }
            Some(Hold::Sky) | None => self.add(at, view, input.kit, input.queue),
        }
    }

    fn keys(
        &mut self,
        ui: &Ui,
        response: &Response,
        view: SkyView,
        input: &mut FrameInput<'_>,
    ) -> SkyView {
        if !pointer::takes_keys(ui, response) {
            return view;
        }
        let pressed = |key| ui.input(|input| input.key_pressed(key));
        let corners = self.corners(input.kit).len();
        if ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape)) {
            self.finish();
        } else if pressed(Key::Enter) {
            self.try_finish(input.kit);
        } else if pressed(Key::CloseBracket) || pressed(Key::PageDown) {
            self.cycle(1, corners);
        } else if pressed(Key::OpenBracket) || pressed(Key::PageUp) {
            self.cycle(corners.saturating_sub(1), corners);
        } else if let Some(index) = self.selected {
            if pressed(Key::Delete) || pressed(Key::Backspace) {
                self.remove(index, input.kit, input.queue);
            } else if pressed(Key::Insert) {
                self.split(index, input.kit, input.queue);
            }
        }
        let (view, arrows) = pointer::view_keys(ui, view);
        self.nudge(arrows.plain, 1.0, &view, input.kit);
        self.nudge(arrows.shifted, FINE, &view, input.kit);
        view
    }

    fn cycle(&mut self, steps: usize, corners: usize) {
        if corners > 0 {
            self.select(self.selected.map_or(0, |index| (index + steps) % corners));
        }
    }

    fn nudge(&mut self, [right, up]: [f64; 2], share: f64, view: &SkyView, kit: &mut Kit) {
        if right == 0.0 && up == 0.0 {
            return;
        }
        let corners = self.corners(kit);
        let Some((index, corner)) =
            self.selected.and_then(|index| Some((index, *corners.get(index)?)))
        else {
            return;
        };
        let step = view.width_pt * STEP * share;
        if let Some([x, y]) = view.point(drawn_corners::place(corner)) {
            let to = drawn_corners::corner(view.sky([x + step * right, y - step * up]));
            self.take_along(drawn_corners::moved(&corners, index, to), kit);
        }
    }
}

fn hold_at(at: Point, view: &SkyView, places: &[Direction<Icrs>]) -> Hold {
    let near = |&(_, distance): &(usize, f64)| distance <= REACH_PT;
    let by_distance = |a: &(usize, f64), b: &(usize, f64)| a.1.total_cmp(&b.1);
    let corner = places
        .iter()
        .enumerate()
        .filter_map(|(index, &place)| Some((index, view.point(place)?)))
        .map(|(index, [x, y])| (index, (x - at[0]).hypot(y - at[1])))
        .filter(near)
        .min_by(by_distance);
    if let Some((index, _)) = corner {
        return Hold::Corner(index);
    }
    if places.len() < 3 {
        return Hold::Sky;
    }
    let side = distances(places, view, at).filter(near).min_by(by_distance);
    side.map_or(Hold::Sky, |(side, _)| Hold::Side(side))
}

/// How far a point of the page is from each side that is on it.
fn distances<'a>(
    places: &'a [Direction<Icrs>],
    view: &'a SkyView,
    at: Point,
) -> impl Iterator<Item = (usize, f64)> + 'a {
    let next = places.iter().skip(1).chain(places.first());
    places.iter().zip(next).enumerate().filter_map(move |(side, (&from, &to))| {
        Some((side, distance_to_side(view.point(from)?, view.point(to)?, at)))
    })
}
