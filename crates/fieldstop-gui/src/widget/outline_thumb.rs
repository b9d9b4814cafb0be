//! A tiny drawing, to scale: a target's outline in a rig's frame at its best rotation.

use egui::{Color32, Pos2, Rect, Sense, Stroke, Ui, Vec2};
use fieldstop::shape::Shape;
use fieldstop::{Angle, Field, Outline};

/// Draws the outline within the frame, both to one scale; a question mark if the size is unknown.
pub fn outline_thumb(
    ui: &mut Ui,
    size: Vec2,
    field: Option<&Field>,
    outline: Option<&Shape>,
    rotation: Angle,
    frame_colour: Color32,
) {
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    if !ui.is_rect_visible(rect) {
        return;
    }
    let (Some(field), Some(outline)) = (field, outline) else {
        let font = egui::TextStyle::Body.resolve(ui.style());
        ui.painter_at(rect).text(
            rect.center(),
            egui::Align2::CENTER_CENTER,
            "?",
            font,
            ui.visuals().weak_text_color(),
        );
        return;
    };
    let thumb = Thumb { field, outline, rotation, frame_colour };
    thumb.paint(ui, rect, thumb.scale_in(rect.size()));
}

/// What a tiny drawing shows.
#[derive(Clone, Copy)]
pub struct Thumb<'a> {
    /// What the sensor spans.
    pub field: &'a Field,
    /// The target.
    pub outline: &'a Shape,
    /// Of the frame.
    pub rotation: Angle,
    /// The rig's colour.
    pub frame_colour: Color32,
}

impl Thumb<'_> {
    /// The largest scale, points per unit of the tangent plane, at which frame and outline both
    /// have room.
    pub fn scale_in(&self, size: Vec2) -> f64 {
        let outline = outline_in_frame(self.outline, self.rotation);
        let reach = |k: usize| outline.iter().map(|p| p[k].abs()).fold(0.0, f64::max);
        let half_width = self.field.half_width.max(reach(0));
        let half_height = self.field.half_height.max(reach(1));
        let room = size - Vec2::splat(4.0);
        (f64::from(room.x) / (2.0 * half_width)).min(f64::from(room.y) / (2.0 * half_height))
    }

    /// Whether the target reaches so far round the frame that none of its outline lies within.
    pub fn outline_is_beyond(&self) -> bool {
        /// Points looked at along each side of the outline.
        const STEPS: u32 = 16;
        let corners = outline_in_frame(self.outline, self.rotation);
        let next = corners.iter().cycle().skip(1);
        corners.iter().zip(next).all(|(from, to)| {
            (0..STEPS).all(|step| {
                let share = f64::from(step) / f64::from(STEPS);
                let along = |k: usize| (from[k] + (to[k] - from[k]) * share).abs();
                along(0) > self.field.half_width || along(1) > self.field.half_height
            })
        })
    }

    /// Paints it in the middle of a place, at a scale in points per unit of the tangent plane.
    pub fn paint(&self, ui: &Ui, place: Rect, scale: f64) {
        let painter = ui.painter_at(place.intersect(ui.clip_rect()));
        let ink = ui.visuals().text_color();
        let at =
            |x: f64, y: f64| place.center() + Vec2::new((x * scale) as f32, (y * scale) as f32);
        let frame = Rect::from_two_pos(
            at(-self.field.half_width, -self.field.half_height),
            at(self.field.half_width, self.field.half_height),
        );
        let outline = outline_in_frame(self.outline, self.rotation);
        let points: Vec<Pos2> = outline.iter().map(|p| at(p[0], p[1])).collect();
        if points.iter().all(|p| (*p - place.center()).length() < 0.8) {
            painter.circle_filled(place.center(), 0.8, ink);
        } else {
            painter.add(egui::Shape::closed_line(points, Stroke::new(1.0, ink)));
        }
        let stroke = Stroke::new(1.2, self.frame_colour);
        painter.rect_stroke(frame, 0.0, stroke, egui::StrokeKind::Middle);
    }
}

/// The outline in the frame's own axes: x right, y down, tangent-plane radians.
fn outline_in_frame(shape: &Shape, rotation: Angle) -> Vec<[f64; 2]> {
    match shape {
        Shape::Ellipse(outline) => ellipse_in_frame(outline, rotation),
        Shape::Drawn(drawn) => {
            drawn.in_frame(rotation).into_iter().map(|(right, up)| [right, -up]).collect()
        }
    }
}

fn ellipse_in_frame(outline: &Outline, rotation: Angle) -> Vec<[f64; 2]> {
    const CORNERS: usize = 40;
    let (a, b) = outline.semi_axes();
    // The major axis' position angle counted from the frame's up direction, towards its left.
    let (sin, cos) = (outline.axis_pa() - rotation).sin_cos();
    (0..CORNERS)
        .map(|k| {
            let (s, c) = (Angle::TURN * (k as f64 / CORNERS as f64)).sin_cos();
            let (along, across) = (a * c, b * s);
            let up = along * cos - across * sin;
            let left = along * sin + across * cos;
            [-left, -up]
        })
        .collect()
}
