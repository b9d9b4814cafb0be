//! The corners of an outline that is being drawn: its sides, and a handle at each corner.

use super::palette::Palette;
use super::primitive::{Point, Scene, Stroke};
use super::targets::ring;
use super::view::Projection;
use fieldstop::{Direction, Icrs};

/// Of the ring at a corner.
const RADIUS_PT: f64 = 4.5;
/// Of the ring round the chosen one.
const CHOSEN_PT: f64 = 8.0;

/// Draws the outline closed, with its corners; one of them may be chosen.
pub fn draw(
    corners: &[Direction<Icrs>],
    chosen: Option<usize>,
    projection: &Projection,
    palette: &Palette,
    scene: &mut Scene,
) {
    let ink = palette.chosen;
    for run in projection.runs(corners, corners.len() > 2) {
        let (casing, line) = (Stroke::solid(palette.sky, 3.4), Stroke::solid(ink, 1.6));
        for stroke in [casing, line] {
            if run.closed {
                scene.outline(run.points.clone(), stroke);
            } else {
                scene.line(run.points.clone(), stroke);
            }
        }
    }
    let bounds = projection.bounds().expanded(CHOSEN_PT);
    for (index, corner) in corners.iter().enumerate() {
        let Some(at) = projection.point(*corner).filter(|at| bounds.contains(*at)) else {
            continue;
        };
        handle(at, chosen == Some(index), palette, scene);
    }
}

fn handle(at: Point, chosen: bool, palette: &Palette, scene: &mut Scene) {
    let ink = palette.chosen;
    scene.polygon(ring(at, RADIUS_PT), if chosen { ink } else { palette.sky });
    scene.outline(ring(at, RADIUS_PT), Stroke::solid(ink, 1.6));
    if chosen {
        scene.outline(ring(at, CHOSEN_PT), Stroke::solid(ink, 1.2));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::SkyView;
    use crate::scene::primitive::Primitive;
    use fieldstop::Angle;

    #[test]
    fn the_chosen_corner_has_a_ring_more_and_those_off_the_page_have_none() {
        let place = |ra, dec| Direction::from_ra_dec(Angle::from_deg(ra), Angle::from_deg(dec));
        let view = SkyView::new(place(10.0, 0.0), Angle::from_deg(4.0), 800.0, 600.0);
        let palette = crate::theme::palette(crate::state::ThemeChoice::Dark);
        let count = |corners: &[Direction<Icrs>], chosen| {
            let mut scene = Scene::new(800.0, 600.0, palette.sky);
            draw(corners, chosen, &view.projection(), &palette, &mut scene);
            let lines = scene.items.iter().filter(|item| matches!(item, Primitive::Line { .. }));
            lines.count()
        };
        let corners = [place(9.0, 0.0), place(11.0, 0.0), place(10.0, 1.0)];
        assert_eq!(count(&corners, None), 2 + 3);
        assert_eq!(count(&corners, Some(1)), 2 + 4);
        assert_eq!(count(&[place(10.0, 0.0), place(10.0, 40.0)], None), 2 + 1);
    }
}
