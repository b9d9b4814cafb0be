//! A mark for good, doubtful or bad: told apart by shape, the colour only follows.

use egui::{Color32, Painter, Pos2, Shape, Stroke, Vec2};
use fieldstop::demands::Grade;

use crate::scene::palette::{Ground, Palette};

/// A grade's colour in a theme. The dim red theme has one hue, so shape and word must do there.
///
/// # Source
/// Okabe & Ito 2008: bluish green, orange and vermillion, darkened for a bright ground.
pub fn grade_colour(grade: Grade, palette: &Palette) -> Color32 {
    let rgb = |[red, green, blue]: [u8; 3]| Color32::from_rgb(red, green, blue);
    match palette.ground {
        Ground::Dark => rgb(match grade {
            Grade::Good => [0, 178, 130],
            Grade::Doubtful => [230, 159, 0],
            Grade::Bad => [240, 116, 40],
        }),
        Ground::Light | Ground::Paper => rgb(match grade {
            Grade::Good => [0, 108, 78],
            Grade::Doubtful => [136, 92, 0],
            Grade::Bad => [168, 64, 0],
        }),
        Ground::Red => crate::paint::screen::colour(match grade {
            Grade::Good => palette.text_quiet,
            Grade::Doubtful | Grade::Bad => palette.text,
        }),
    }
}

/// Paints a grade's mark: a ring for good, a triangle for doubtful, a filled square for bad.
pub fn grade_mark(painter: &Painter, centre: Pos2, grade: Grade, palette: &Palette) {
    const REACH: f32 = 4.5;
    let colour = grade_colour(grade, palette);
    let stroke = Stroke::new(1.5, colour);
    match grade {
        Grade::Good => {
            painter.circle_stroke(centre, REACH - 0.5, stroke);
        }
        Grade::Doubtful => {
            let corner = |x: f32, y: f32| centre + REACH * Vec2::new(x, y);
            let corners = vec![corner(0.0, -1.0), corner(1.0, 0.85), corner(-1.0, 0.85)];
            painter.add(Shape::closed_line(corners, stroke));
        }
        Grade::Bad => {
            let square = egui::Rect::from_center_size(centre, Vec2::splat(2.0 * REACH - 1.0));
            painter.rect_filled(square, 1.0, colour);
        }
    }
}
