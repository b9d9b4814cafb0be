//! A tiny drawing, to scale: a target's outline in a rig's frame at its best rotation.

use egui::{Color32, Pos2, Sense, Shape, Stroke, Ui, Vec2};
use fieldstop::{Angle, Field, Outline};

/// Draws the outline within the frame, both to one scale; a question mark if the size is unknown.
pub fn outline_thumb(
    ui: &mut Ui,
    size: Vec2,
    field: Option<&Field>,
    outline: Option<&Outline>,
    rotation: Angle,
    frame_colour: Color32,
) {
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    if !ui.is_rect_visible(rect) {
        return;
    }
    let painter = ui.painter_at(rect);
    let ink = ui.visuals().text_color();
    let (Some(field), Some(outline)) = (field, outline) else {
        let font = egui::TextStyle::Body.resolve(ui.style());
        painter.text(
            rect.center(),
            egui::Align2::CENTER_CENTER,
            "?",
            font,
            ui.visuals().weak_text_color(),
        );
        return;
    };
    let ellipse = ellipse_in_frame(outline, rotation);
    let reach = |k: usize| ellipse.iter().map(|p| p[k].abs()).fold(0.0, f64::max);
    let half_width = field.half_width.max(reach(0));
    let half_height = field.half_height.max(reach(1));
    let room = rect.shrink(2.0);
    let scale = (f64::from(room.width()) / (2.0 * half_width))
        .min(f64::from(room.height()) / (2.0 * half_height));
    let at = |x: f64, y: f64| rect.center() + Vec2::new((x * scale) as f32, (y * scale) as f32);
    let frame = egui::Rect::from_two_pos(
        at(-field.half_width, -field.half_height),
        at(field.half_width, field.half_height),
    );
    let points: Vec<Pos2> = ellipse.iter().map(|p| at(p[0], p[1])).collect();
    if points.iter().all(|p| (*p - rect.center()).length() < 0.8) {
        painter.circle_filled(rect.center(), 0.8, ink);
    } else {
        painter.add(Shape::closed_line(points, Stroke::new(1.0, ink)));
    }
    painter.rect_stroke(frame, 0.0, Stroke::new(1.2, frame_colour), egui::StrokeKind::Middle);
}

/// The ellipse in the frame's own axes: x right, y down, tangent-plane radians.
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
