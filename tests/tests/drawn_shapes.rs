//! Fill, rotation and panels of outlines drawn by hand, against counting.
//!
//! Everything is done again here on unit vectors, with the gnomonic projection of Calabretta &
//! Greisen 2002, A&A 395, 1077 (section 5.1.3) in its vector form `(p . e) / (p . c)`, apart from
//! the program's own planes: rectangles by turning a ruler in small steps, cover by looking up
//! thousands of points of the sky.

#![allow(clippy::expect_used, reason = "a test fails by panicking")]

use std::sync::Arc;

use fieldstop::panel_search::fewest_panels_for;
use fieldstop::shape::{DrawnShape, Shape};
use fieldstop::{Angle, Direction, Field, Frame, Icrs};
use proptest::prelude::*;

type Vector = [f64; 3];

fn dot(a: Vector, b: Vector) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Towards east and north at a place.
fn axes(ra_deg: f64, dec_deg: f64) -> (Vector, Vector) {
    let (ra, dec) = (ra_deg.to_radians(), dec_deg.to_radians());
    ([-ra.sin(), ra.cos(), 0.0], [-dec.sin() * ra.cos(), -dec.sin() * ra.sin(), dec.cos()])
}

/// Right and up of a place in a picture with that centre, whose up has a position angle.
fn seen(place: Direction<Icrs>, centre: Direction<Icrs>, rotation_deg: f64) -> (f64, f64) {
    let (east, north) = axes(centre.ra().deg(), centre.dec().deg());
    let depth = dot(place.xyz(), centre.xyz());
    let (xi, eta) = (dot(place.xyz(), east) / depth, dot(place.xyz(), north) / depth);
    let (sin, cos) = rotation_deg.to_radians().sin_cos();
    (eta * sin - xi * cos, eta * cos + xi * sin)
}

fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
    Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
}

/// A polygon round a place, by distances from it at even angles: its sides do not cross.
fn star(radii_deg: &[f64], centre: Direction<Icrs>) -> Vec<Direction<Icrs>> {
    let step = 360.0 / radii_deg.len() as f64;
    radii_deg
        .iter()
        .enumerate()
        .map(|(k, &radius)| {
            centre.offset(Angle::from_deg(step * k as f64), Angle::from_deg(radius))
        })
        .collect()
}

fn shape(places: &[Direction<Icrs>]) -> Shape {
    Shape::Drawn(Arc::new(DrawnShape::new(places).expect("a star crosses nothing")))
}

/// The least fill of a rectangle about the corners, seen from a middle, over rotations a tenth of a
/// degree apart.
fn counted_fill(places: &[Direction<Icrs>], middle: Direction<Icrs>, field: &Field) -> f64 {
    let half = |numbers: &[f64]| {
        let most = numbers.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let least = numbers.iter().copied().fold(f64::INFINITY, f64::min);
        (most - least) / 2.0
    };
    (0..1800)
        .map(|tenth| {
            let at = |&corner: &Direction<Icrs>| seen(corner, middle, f64::from(tenth) / 10.0);
            let (x, y): (Vec<f64>, Vec<f64>) = places.iter().map(at).unzip();
            (half(&x) / field.half_width).max(half(&y) / field.half_height)
        })
        .fold(f64::INFINITY, f64::min)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    #[test]
    fn no_turn_of_a_ruler_finds_a_smaller_fill(
        radii in prop::collection::vec(0.3..1.5f64, 3..12), ra in 0.0..360.0f64,
        dec in prop::sample::select(vec![0.0, 60.0, -60.0, 85.0, 89.5]),
        half_width in 0.004..0.04f64, sides in 0.5..2.0f64,
    ) {
        let places = star(&radii, place(ra, dec));
        let field = Field { half_width, half_height: half_width * sides };
        let drawn = DrawnShape::new(&places).expect("a star crosses nothing");
        let middle = drawn.middle();
        let fill = Shape::Drawn(Arc::new(drawn)).least_fill(&field);
        let counted = counted_fill(&places, middle, &field);
        // The ruler misses the best by up to 0.05 degrees, and the shorter side of a rectangle
        // moves by the longer: 0.0009 of it, at most some ten times the shorter.
        prop_assert!(fill <= counted * (1.0 + 1e-9) && counted <= fill * 1.01, "{fill} {counted}");
    }
}

/// Whether a place lies in a polygon: a ray to the right on the plane of a middle, by even and odd.
fn is_inside(at: Direction<Icrs>, corners: &[Direction<Icrs>], middle: Direction<Icrs>) -> bool {
    let (x, y) = seen(at, middle, 0.0);
    let corners: Vec<(f64, f64)> = corners.iter().map(|&c| seen(c, middle, 0.0)).collect();
    let next = corners.iter().skip(1).chain(corners.first());
    let crossed = corners
        .iter()
        .zip(next)
        .filter(|(p, q)| (p.1 > y) != (q.1 > y) && x < p.0 + (y - p.1) / (q.1 - p.1) * (q.0 - p.0));
    crossed.count() % 2 == 1
}

fn holds(panel: &Frame, at: Direction<Icrs>) -> bool {
    let (x, y) = seen(at, panel.centre, panel.rotation.deg());
    x.abs() <= panel.field.half_width && y.abs() <= panel.field.half_height
}

#[test]
fn every_point_of_a_drawn_outline_is_in_a_panel_at_any_declination() {
    let field = Field { half_width: 0.0075, half_height: 0.005 };
    let radii = [1.6, 0.7, 1.2, 1.5, 0.5, 1.3, 0.9, 1.5, 1.1];
    for dec in [0.0, 60.0, 85.0, 89.5] {
        let centre = place(123.0, dec);
        let corners = star(&radii, centre);
        let plan =
            fewest_panels_for(centre, Some(&shape(&corners)), &field, 0.15).expect("a few panels");
        assert!(plan.panels.len() > 4 && plan.panels.len() <= plan.plain, "{}", plan.panels.len());
        assert!(plan.proved, "at {dec}");
        let mut looked_up = 0;
        for step in 0..40_000 {
            // A spiral of even density out to the farthest corner.
            let share = (f64::from(step) + 0.5) / 40_000.0;
            let turn = Angle::from_rad(2.399_963 * f64::from(step));
            let at = centre.offset(turn, Angle::from_deg(1.6 * share.sqrt()));
            if is_inside(at, &corners, centre) {
                looked_up += 1;
                assert!(plan.panels.iter().any(|panel| holds(panel, at)), "a gap at {at:?}");
            }
        }
        assert!(looked_up > 10_000, "{looked_up}");
    }
}

#[test]
fn what_one_frame_holds_is_one_panel_that_holds_every_corner() {
    let field = Field { half_width: 0.03, half_height: 0.02 };
    for dec in [0.0, 60.0, 85.0, 89.5] {
        let centre = place(300.0, dec);
        let corners = star(&[1.0, 0.6, 0.9, 1.1, 0.4], centre);
        let shape = shape(&corners);
        assert!(shape.least_fill(&field) < 0.9);
        // The target's own place has no say in where the frame stands.
        let plan =
            fewest_panels_for(place(0.0, 0.0), Some(&shape), &field, 0.15).expect("a single panel");
        assert_eq!((plan.panels.len(), plan.plain, plan.proved), (1, 1, true), "at {dec}");
        assert!(corners.iter().all(|&corner| holds(&plan.panels[0], corner)));
    }
}
