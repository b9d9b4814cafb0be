//! An image circle that is too small for the sensor, drawn on the frame.
//!
//! Where its arcs are to be is plane geometry on the sensor: points at the circle's radius from the
//! middle, within the sensor, from one edge of a corner to the other.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use fieldstop::{Angle, Direction, Field, Frame};
use fieldstop_gui::scene::palette::Palette;
use fieldstop_gui::scene::primitive::{Point, Primitive};
use fieldstop_gui::scene::{DrawnFrame, Layers, SkyInput, SkyView, sky_scene};
use fieldstop_gui::sky::Sky;

const HALF_WIDTH: f64 = 0.018;
const HALF_HEIGHT: f64 = 0.012;

/// Every open line of a frame with that image circle.
fn open_lines(sky: &Sky, view: SkyView, frame: Frame, lit_radius: Option<f64>) -> Vec<Vec<Point>> {
    let drawn = DrawnFrame {
        name: String::new(),
        frame,
        mark: 0,
        lines: Vec::new(),
        panels: Vec::new(),
        lit_radius,
        lifted: false,
        chosen: false,
    };
    let scene = sky_scene(&SkyInput {
        view,
        palette: &Palette::dark(),
        catalogue: &sky.catalogue,
        star_list: &sky.stars,
        stars: &[],
        chosen: None,
        wishes: &[],
        frames: &[drawn],
        picture: None,
        layers: Layers::nothing(),
    });
    let line = |item: &Primitive| match item {
        Primitive::Line { points, closed: false, .. } => Some(points.clone()),
        _ => None,
    };
    scene.items.iter().filter_map(line).collect()
}

#[test]
fn four_arcs_cut_the_corners_off_where_the_circle_ends() {
    let sky = Sky::embedded().unwrap();
    let centre = Direction::from_ra_dec(Angle::from_deg(84.0), Angle::from_deg(-5.0));
    let view = SkyView::new(centre, Angle::from_deg(4.0), 900.0, 700.0);
    let field = Field { half_width: HALF_WIDTH, half_height: HALF_HEIGHT };
    let frame = Frame { centre, rotation: Angle::from_deg(30.0), field };
    let without = open_lines(&sky, view, frame, None).len();
    // One that leaves the sides lit, one within the width, one within the height as well: half
    // widths, where the half diagonal is 1.2 and the half height two thirds.
    for radius in [1.1, 0.9, 0.6] {
        let lines = open_lines(&sky, view, frame, Some(radius));
        assert_eq!(lines.len(), without + 4, "{radius}");
        let arcs = &lines[lines.len() - 4..];
        for point in arcs.iter().flatten() {
            let (x, y) = frame.picture_point(view.sky(*point)).unwrap();
            let from_middle = x.hypot(y * HALF_HEIGHT / HALF_WIDTH);
            assert!((from_middle / radius - 1.0).abs() < 2e-3, "{radius}: {from_middle}");
            assert!(x.abs() < 1.001 && y.abs() < 1.001, "{radius}: {x} {y}");
        }
        for arc in arcs {
            let ends = [arc.first().unwrap(), arc.last().unwrap()]
                .map(|end| frame.picture_point(view.sky(*end)).unwrap());
            // An end lies on an edge, or on an axis where the next arc takes over.
            let on_edge = |(x, y): (f64, f64)| {
                (x.abs() - 1.0).abs() < 1e-3
                    || (y.abs() - 1.0).abs() < 1e-3
                    || x.abs() < 1e-3
                    || y.abs() < 1e-3
            };
            assert!(ends.into_iter().all(on_edge), "{radius}: {ends:?}");
        }
    }
}
