//! What must hold for every place, rotation, field and outline: round trips, invariance, bounds.
//!
//! No outside source: these follow from what the words mean. The awkward places (poles, 0h, nearly
//! coincident, nearly opposite) are drawn on purpose.

#![allow(clippy::expect_used, reason = "a test fails by panicking")]

use fieldstop::fit::{best_rotation, fill, fit};
use fieldstop::mosaic::{panels, panels_along, plan};
use fieldstop::sexagesimal::{dec_text, parse_dec, parse_ra, ra_text};
use fieldstop::{Angle, Direction, Field, Frame, Icrs, Outline, TangentPlane, TangentPoint};
use proptest::prelude::*;

fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
    Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
}

fn any_place() -> impl Strategy<Value = Direction<Icrs>> {
    let ra_deg = prop_oneof![
        0.0..360.0,
        Just(0.0),
        (-1e-9..1e-9f64).prop_map(|ra| ra.rem_euclid(360.0)),
        359.999..360.0,
    ];
    let dec_deg = prop_oneof![
        -90.0..90.0,
        Just(90.0),
        Just(-90.0),
        Just(0.0),
        (0.0..1e-6).prop_map(|from_pole| 90.0 - from_pole),
        (0.0..1e-6).prop_map(|from_pole| from_pole - 90.0),
    ];
    (ra_deg, dec_deg).prop_map(|(ra, dec)| place(ra, dec))
}

fn any_turn() -> impl Strategy<Value = Angle> {
    (-720.0..720.0).prop_map(Angle::from_deg)
}

/// From a planetary sensor at 4000 mm to a full frame at 20 mm.
fn any_field() -> impl Strategy<Value = Field> {
    (-3.5..0.0f64, 0.4..2.5f64).prop_map(|(log_width, shape)| {
        let half_width = 10f64.powf(log_width);
        Field { half_width, half_height: half_width * shape }
    })
}

fn axis(tangent: f64) -> Angle {
    Angle::from_rad(2.0 * tangent.atan())
}

/// An outline of up to `most` of the field's width, of any shape, round and thin ones too.
fn outline_of(field: &Field, size: f64, shape: f64, pa: Option<Angle>) -> Outline {
    let a = field.half_width * size;
    Outline { major: axis(a), minor: Some(axis(a * shape)), position_angle: pa }
}

fn any_shape() -> impl Strategy<Value = f64> {
    prop_oneof![0.02..1.0, Just(1.0), Just(0.5)]
}

proptest! {
    #[test]
    fn a_projected_place_comes_back(centre in any_place(), pa in any_turn(), log_off in -9.0..1.9f64) {
        let off = Angle::from_deg(10f64.powf(log_off));
        let there = centre.offset(pa, off);
        let plane = TangentPlane::new(centre);
        let point = plane.project(there).expect("less than 90 degrees off");
        let back = plane.direction(point);
        prop_assert!(back.separation(there).arcsec() < 1e-8);
        // The place itself is known to 1e-16, which the tangent stretches by 1 + tan^2.
        let known = 1e-14 * (1.0 + off.tan().powi(2));
        prop_assert!((point.xi.hypot(point.eta) - off.tan()).abs() < known);
    }

    #[test]
    fn half_the_sky_is_behind(centre in any_place(), pa in any_turn(), off in 90.001..180.0) {
        let behind = centre.offset(pa, Angle::from_deg(off));
        prop_assert!(TangentPlane::new(centre).project(behind).is_none());
    }

    #[test]
    fn an_antipode_is_half_a_turn_away(centre in any_place()) {
        let [x, y, z] = centre.xyz();
        let antipode = Direction::from_vector([-x, -y, -z]).expect("a unit vector");
        prop_assert!((centre.separation(antipode).deg() - 180.0).abs() < 1e-12);
    }

    #[test]
    fn separation_is_the_same_both_ways(a in any_place(), b in any_place()) {
        prop_assert_eq!(a.separation(b), b.separation(a));
        prop_assert!(a.separation(a).arcsec() < 1e-9);
    }

    #[test]
    fn picture_points_come_back(
        centre in any_place(), rotation in any_turn(), field in any_field(),
        x in -1.5..1.5, y in -1.5..1.5,
    ) {
        let frame = Frame { centre, rotation, field };
        let (back_x, back_y) = frame.picture_point(frame.point(x, y)).expect("in front");
        // 1e-16 of the sky, as a share of the smallest half side.
        prop_assert!((back_x - x).abs() < 1e-11 && (back_y - y).abs() < 1e-11);
        prop_assert_eq!(frame.contains(frame.point(x, y)), x.abs() <= 1.0 && y.abs() <= 1.0);
    }

    #[test]
    fn the_up_direction_of_a_frame_has_its_rotation(
        centre in any_place(), rotation in any_turn(), field in any_field(),
    ) {
        let frame = Frame { centre, rotation, field };
        let up = centre.position_angle(frame.point(0.0, -1.0));
        // A place next to a pole is known to 1e-16, and so is the direction to it.
        prop_assert!((up - rotation).wrapped_signed().abs().deg() < 1e-6);
    }

    #[test]
    fn a_whole_turn_changes_nothing(centre in any_place(), rotation in any_turn(), field in any_field()) {
        let frame = Frame { centre, rotation, field };
        let turned = Frame { rotation: rotation + Angle::TURN, ..frame };
        for (corner, same) in frame.corners().into_iter().zip(turned.corners()) {
            prop_assert!(corner.separation(same).arcsec() < 1e-6);
        }
        // Half a turn swaps opposite corners.
        let half = Frame { rotation: rotation + Angle::HALF_TURN, ..frame };
        for (k, corner) in frame.corners().into_iter().enumerate() {
            prop_assert!(corner.separation(half.corners()[(k + 2) % 4]).arcsec() < 1e-6);
        }
    }

    #[test]
    fn frames_across_0h_are_like_any_other(dec in -89.0..89.0, ra in 0.0..360.0, rotation in any_turn(), field in any_field()) {
        let shape_at = |ra_deg: f64| {
            let frame = Frame { centre: place(ra_deg, dec), rotation, field };
            let [a, b, c, d] = frame.corners();
            [a.separation(b), b.separation(c), c.separation(d), a.separation(c)]
        };
        for (here, there) in shape_at(0.0).into_iter().zip(shape_at(ra)) {
            prop_assert!((here - there).abs().arcsec() < 1e-7);
        }
    }

    #[test]
    fn turning_target_and_frame_together_leaves_the_fill(
        field in any_field(), size in 0.01..5.0, shape in any_shape(),
        pa in any_turn(), rotation in any_turn(), turn in any_turn(),
    ) {
        let before = fill(&outline_of(&field, size, shape, Some(pa)), &field, rotation);
        let after = fill(&outline_of(&field, size, shape, Some(pa + turn)), &field, rotation + turn);
        prop_assert!((before / after - 1.0).abs() < 1e-9);
    }

    #[test]
    fn no_rotation_beats_the_best(
        field in any_field(), size in 0.01..5.0, shape in any_shape(), pa in any_turn(),
    ) {
        let outline = outline_of(&field, size, shape, Some(pa));
        let best = best_rotation(&outline, &field);
        prop_assert!((0.0..180.0).contains(&best.deg()));
        let least = fill(&outline, &field, best);
        for step in 0..720 {
            let rotation = Angle::from_deg(f64::from(step) * 0.25);
            let other = fill(&outline, &field, rotation);
            prop_assert!(least <= other * (1.0 + 1e-12), "{} at {}", other, rotation.deg());
            // The smallest among ties: nothing below the best is as good.
            if rotation.deg() < best.deg() - 0.01 {
                prop_assert!(other > least, "{} ties with {}", rotation.deg(), best.deg());
            }
        }
    }

    #[test]
    fn fill_grows_with_the_focal_length(
        width_mm in 4.0..54.0, height_mm in 3.0..40.0, major in 0.1..600.0, shape in any_shape(),
        focal in 20.0..3000.0f64, longer in 1.0..2.0f64,
    ) {
        let sensor = fieldstop::Sensor { width_mm, height_mm };
        let outline = Outline {
            major: Angle::from_arcmin(major),
            minor: Some(Angle::from_arcmin(major * shape)),
            position_angle: None,
        };
        let at = |focal_mm: f64| fit(Some(&outline), &Field::new(sensor, focal_mm), 0.9, 0.1).fill;
        let (short, long): (f64, f64) =
            (at(focal).expect("known"), at(focal * longer).expect("known"));
        prop_assert!((long / short / longer - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_plan_needs_fewest_panels_and_holds_the_target(
        field in any_field(), size in 0.1..8.0, shape in any_shape(), pa in any_turn(),
        overlap in prop_oneof![Just(0.0), 0.0..0.5],
    ) {
        let outline = outline_of(&field, size, shape, Some(pa));
        let plan = plan(&outline, &field, overlap).expect("less than half the sky");
        let counts_at = |rotation: Angle| {
            let (a, b) = outline.semi_axes();
            let (sin, cos) = (outline.axis_pa() - rotation - Angle::RIGHT).sin_cos();
            let across = (a * cos).hypot(b * sin) / field.half_width;
            let down = (a * sin).hypot(b * cos) / field.half_height;
            (panels_along(across, overlap), panels_along(down, overlap))
        };
        prop_assert_eq!(counts_at(plan.rotation), (plan.columns, plan.rows));
        for step in 0..1800 {
            let (columns, rows) = counts_at(Angle::from_deg(f64::from(step) * 0.1));
            prop_assert!(plan.columns * plan.rows <= columns * rows, "at {} degrees", f64::from(step) * 0.1);
        }
    }

    #[test]
    fn one_panel_is_the_frame_at_its_best_rotation(
        centre in any_place(), field in any_field(), size in 0.1..8.0, shape in any_shape(), pa in any_turn(),
    ) {
        let outline = outline_of(&field, size, shape, Some(pa));
        let fit = fit(Some(&outline), &field, 0.9, 0.15);
        let one = fit.fill.expect("known") <= 1.0;
        prop_assert_eq!(fit.panels == Some((1, 1)), one);
        if one {
            let panels = panels(centre, Some(&outline), &field, 0.15).expect("one panel");
            prop_assert_eq!(panels, vec![Frame { centre, rotation: fit.best_rotation, field }]);
        }
    }

    #[test]
    fn coordinates_written_can_be_read(place in any_place()) {
        let ra = parse_ra(&ra_text(place.ra(), 4)).expect("our own writing");
        let dec = parse_dec(&dec_text(place.dec(), 4)).expect("our own writing");
        // Half of the last digit written.
        prop_assert!((ra - place.ra()).wrapped_signed().abs().arcsec() < 0.5e-4 * 15.0 + 1e-9);
        prop_assert!((dec - place.dec()).abs().arcsec() < 0.5e-4 + 1e-9);
    }

    #[test]
    fn no_text_stops_the_reading_of_coordinates(text in "\\PC*", numbers in "[-+−0-9 .:hmsd°′″]{0,20}") {
        for text in [text, numbers] {
            if let Ok(ra) = parse_ra(&text) {
                prop_assert!((0.0..=360.000_000_1).contains(&ra.deg()));
            }
            if let Ok(dec) = parse_dec(&text) {
                prop_assert!(dec.deg().abs() <= 90.0);
            }
        }
    }
}

proptest! {
    // Each case looks at thousands of places.
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// At declinations where meridians hardly converge, and where they converge a lot.
    #[test]
    fn no_gap_opens_in_a_mosaic(
        dec in prop::sample::select(vec![0.0, 60.0, 85.0, 89.5, -89.5]), ra in 0.0..360.0,
        half_height in 0.005..0.1f64, aspect in 1.0..1.6f64,
        size in 1.0..4.0, shape in any_shape(), pa in any_turn(),
        overlap in prop::sample::select(vec![0.0, 0.05, 0.15, 0.3]),
    ) {
        let field = Field { half_width: half_height * aspect, half_height };
        let (centre, outline) = (place(ra, dec), outline_of(&field, size, shape, Some(pa)));
        let panels = panels(centre, Some(&outline), &field, overlap).expect("a few panels");
        // The hairline of the mosaic module's description: seen from the side, a panel falls
        // short of its rectangle by half the square of half its diagonal, which any usual overlap
        // hides but at the target's very edge.
        let hairline = 0.5 * half_height.powi(2) * (1.0 + aspect.powi(2)) + 1e-9;
        prop_assert!(worst_cover(&panels, centre, &outline, 1.0) <= 1.0 + hairline);
        if overlap > 0.0 {
            prop_assert!(worst_cover(&panels, centre, &outline, 1.0 - 2.0 * hairline) <= 1.0);
        }
    }
}

/// How far the worst covered place of an outline, shrunk by a factor, lies from the middle of the
/// panel that holds it best: up to 1 it is inside that panel.
fn worst_cover(panels: &[Frame], centre: Direction<Icrs>, outline: &Outline, shrunk: f64) -> f64 {
    let plane = TangentPlane::new(centre);
    let edge = outline.points(1e-4 * outline.semi_axes().0);
    let rings = (0..=24).map(|ring| shrunk * f64::from(ring) / 24.0);
    let inside = rings.flat_map(|scale| {
        edge.iter().map(move |at| TangentPoint { xi: at.xi * scale, eta: at.eta * scale })
    });
    inside
        .map(|at| {
            let place = plane.direction(at);
            let held = panels.iter().filter_map(|panel| panel.picture_point(place));
            held.map(|(x, y)| x.abs().max(y.abs())).fold(f64::INFINITY, f64::min)
        })
        .fold(0.0, f64::max)
}

/// Why panels are turned: at the mosaic's own position angle they fan out near a pole.
#[test]
fn panels_at_one_position_angle_would_leave_gaps_near_the_pole() {
    let field = Field { half_width: 0.015, half_height: 0.01 };
    let (centre, outline) = (place(40.0, 89.5), outline_of(&field, 2.6, 0.9, None));
    let mut panels = panels(centre, Some(&outline), &field, 0.15).expect("a few panels");
    assert!(worst_cover(&panels, centre, &outline, 1.0) <= 1.0 + 2e-4);
    let rotation = plan(&outline, &field, 0.15).expect("small").rotation;
    for panel in &mut panels {
        panel.rotation = rotation;
    }
    assert!(worst_cover(&panels, centre, &outline, 1.0) > 1.1);
}
