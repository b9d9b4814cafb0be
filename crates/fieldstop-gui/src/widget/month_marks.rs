//! Twelve small marks, one a month: the longer, the more usable hours a target has then.

use egui::{Pos2, Rect, Role, Sense, Ui, Vec2, WidgetInfo};

use crate::nights::TargetYear;

const MARK_PT: Vec2 = Vec2::new(2.5, 11.0);
/// A mark of full length.
const FULL_HOURS: f64 = 10.0;

/// Shows the marks of a target's year.
pub fn month_marks(ui: &mut Ui, target: &TargetYear) {
    let size = Vec2::new(MARK_PT.x * target.months.len() as f32, MARK_PT.y);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, target.words()));
    if ui.is_rect_visible(rect) {
        let (best, ink) = (target.best_month(), ui.visuals().weak_text_color());
        for (month, hours) in target.months.iter().enumerate() {
            let share = (hours.a_night() / FULL_HOURS).clamp(0.0, 1.0) as f32;
            let left = rect.left() + MARK_PT.x * month as f32;
            // A month without any keeps a dot, so that twelve can be counted.
            let top = rect.bottom() - (MARK_PT.y * share).max(1.0);
            let mark = Rect::from_min_max(
                Pos2::new(left, top),
                Pos2::new(left + MARK_PT.x - 1.0, rect.bottom()),
            );
            let colour = if best == Some(month) { ui.visuals().strong_text_color() } else { ink };
            ui.painter().rect_filled(mark, 0.0, colour);
        }
    }
    response.on_hover_ui(|ui| {
        ui.label(format!("January to December\n{}", target.words()));
    });
}
