//! One to five stars: how much a person wants something.

use egui::accesskit::{Action, ActionData};
use egui::{EventFilter, Key, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo};

const STARS: u32 = 5;
const STAR_PT: f32 = 12.0;

/// Room that the stars take.
pub(crate) const STAR_RATING_PT: Vec2 = Vec2::new(STAR_PT * STARS as f32, 14.0);

/// Shows the stars in a place; returns another number once one was asked for.
pub fn star_rating(ui: &mut Ui, place: Rect, stars: u32, name: &str) -> Option<u32> {
    let id = ui.make_persistent_id(("stars", name));
    let response = ui.interact(place, id, Sense::click());
    response.widget_info(|| WidgetInfo::slider(true, f64::from(stars), name));
    ui.ctx().accesskit_node_builder(id, |node| {
        node.set_role(Role::Slider);
        node.set_min_numeric_value(1.0);
        node.set_max_numeric_value(f64::from(STARS));
        for action in [Action::SetValue, Action::Increment, Action::Decrement] {
            node.add_action(action);
        }
    });
    let pointed = response.hover_pos().map(|at| star_at(place, at));
    if ui.is_rect_visible(place) {
        paint(ui, place, stars, pointed, response.has_focus());
    }
    let asked = if response.clicked() && pointed.is_some() {
        pointed
    } else {
        asked_by_keys(ui, &response, stars)
    };
    response.on_hover_text(
        "How much you want it: 1 to 5 stars. What serves it counts as many times as it has stars",
    );
    asked.filter(|&asked| asked != stars)
}

fn star_at(place: Rect, at: Pos2) -> u32 {
    let share = (at.x - place.left()) / place.width().max(1.0);
    // OK because a share of five, clamped to 1 to 5.
    (1.0 + share * STARS as f32).clamp(1.0, STARS as f32) as u32
}

/// The number that arrow keys or assistive technology ask for.
fn asked_by_keys(ui: &Ui, response: &egui::Response, stars: u32) -> Option<u32> {
    let id = response.id;
    let focused = response.has_focus();
    if focused {
        let filter = EventFilter { horizontal_arrows: true, ..Default::default() };
        ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
    }
    let (more, less, set) = ui.input(|input| {
        let pressed = |key| focused && input.key_pressed(key);
        let asked = |action| input.num_accesskit_action_requests(id, action) > 0;
        let set = input
            .accesskit_action_requests(id, Action::SetValue)
            .filter_map(|request| match request.data {
                Some(ActionData::NumericValue(value)) => Some(value),
                _ => None,
            })
            .last();
        (
            pressed(Key::ArrowRight) || asked(Action::Increment),
            pressed(Key::ArrowLeft) || asked(Action::Decrement),
            set,
        )
    });
    if let Some(value) = set {
        // OK because a number clamped to 1 to 5; one that is none becomes 0 and then 1.
        return Some((value.round().clamp(1.0, f64::from(STARS)) as u32).max(1));
    }
    match (more, less) {
        (true, false) => Some((stars + 1).min(STARS)),
        (false, true) => Some(stars.saturating_sub(1).max(1)),
        _ => None,
    }
}

fn paint(ui: &Ui, place: Rect, stars: u32, pointed: Option<u32>, focused: bool) {
    let visuals = ui.visuals();
    let painter = ui.painter();
    if focused {
        let stroke = visuals.selection.stroke;
        painter.rect_stroke(place.expand(1.0), 3.0, stroke, egui::StrokeKind::Outside);
    }
    let ink = if pointed.is_some() { visuals.strong_text_color() } else { visuals.text_color() };
    for star in 1..=STARS {
        let x = place.left() + STAR_PT * (star as f32 - 0.5);
        let centre = Pos2::new(x, place.center().y);
        let filled = star <= pointed.unwrap_or(stars);
        if filled {
            painter.extend(star_fill(centre, ink));
        } else {
            let faint = Stroke::new(1.0, visuals.weak_text_color().gamma_multiply(0.6));
            painter.add(Shape::closed_line(star_corners(centre), faint));
        }
    }
}

fn star_corners(centre: Pos2) -> Vec<Pos2> {
    let reach = |k: u32| if k.is_multiple_of(2) { 5.0 } else { 2.1 };
    (0..10)
        .map(|k| {
            let turn = std::f32::consts::TAU * (k as f32 / 10.0);
            centre + reach(k) * Vec2::new(turn.sin(), -turn.cos())
        })
        .collect()
}

/// A star is not convex, so it is filled point by point round its heart.
fn star_fill(centre: Pos2, ink: egui::Color32) -> Vec<Shape> {
    let corners = star_corners(centre);
    let count = corners.len();
    (0..count)
        .step_by(2)
        .filter_map(|k| {
            let before = *corners.get((k + count - 1) % count)?;
            let triangle = vec![centre, before, *corners.get(k)?, *corners.get((k + 1) % count)?];
            Some(Shape::convex_polygon(triangle, ink, Stroke::NONE))
        })
        .collect()
}
