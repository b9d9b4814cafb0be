//! How ellipses sit in frames: margins at a given rotation and at the best one.
//!
//! Source: `reference/ellipse_cover.csv`, 60 rows, closed form checked by 20,001 points of the
//! outline; the best rotation there is the best of a grid of 0.05 degrees. Versions in
//! `reference/MANIFEST.csv`. The table's margin is `1 - fill` for a target in the middle.

use fieldstop::fit::{Verdict, best_rotation, fill, fit};
use fieldstop::{
    Angle, Direction, Field, Frame, Icrs, Outline, Sensor, TangentPlane, TangentPoint,
};
use fieldstop_tests::{Judge, reference_rows};
use serde::Deserialize;

#[derive(Deserialize)]
struct Row {
    id: u32,
    sensor_w_mm: f64,
    sensor_h_mm: f64,
    focal_mm: f64,
    target_major_arcmin: f64,
    target_minor_arcmin: f64,
    target_pa_deg: f64,
    offset_xi_arcmin: f64,
    offset_eta_arcmin: f64,
    camera_pa_deg: f64,
    required_margin_fraction: f64,
    margin_fraction: f64,
    best_margin_fraction: f64,
    best_fits_with_margin: u8,
}

impl Row {
    fn outline(&self) -> Outline {
        Outline {
            major: Angle::from_arcmin(self.target_major_arcmin),
            minor: Some(Angle::from_arcmin(self.target_minor_arcmin)),
            position_angle: Some(Angle::from_deg(self.target_pa_deg)),
        }
    }

    fn field(&self) -> Field {
        let sensor = Sensor { width_mm: self.sensor_w_mm, height_mm: self.sensor_h_mm };
        Field::new(sensor, self.focal_mm)
    }

    fn rotation(&self) -> Angle {
        Angle::from_deg(self.camera_pa_deg)
    }

    fn in_the_middle(&self) -> bool {
        self.offset_xi_arcmin == 0.0 && self.offset_eta_arcmin == 0.0
    }
}

/// 1e-8: what the table's README claims for its closed form.
#[test]
fn fill_at_a_given_rotation_agrees() {
    let mut judge = Judge::new("margin at the given rotation", 1e-8, "of a half side")
        .against("ellipse_cover.csv");
    for row in reference_rows::<Row>("ellipse_cover.csv").iter().filter(|row| row.in_the_middle()) {
        let found = 1.0 - fill(&row.outline(), &row.field(), row.rotation());
        judge.values(row.id, row.margin_fraction, found);
    }
    judge.verdict(40);
}

/// 0.001 either way, named by the table's README; and never worse than the best of its grid, but
/// for the 1e-8 of its closed form. Ties are common, so the margin is tested and not the rotation.
#[test]
fn best_rotation_reaches_the_best_margin() {
    let mut close = Judge::new("best margin", 0.001, "of a half side").against("ellipse_cover.csv");
    let mut no_worse = Judge::new("best margin short of the grid's", 1e-8, "of a half side")
        .against("ellipse_cover.csv");
    for row in reference_rows::<Row>("ellipse_cover.csv").iter().filter(|row| row.in_the_middle()) {
        let (outline, field) = (row.outline(), row.field());
        let found = 1.0 - fill(&outline, &field, best_rotation(&outline, &field));
        close.values(row.id, row.best_margin_fraction, found);
        no_worse.row(row.id, (row.best_margin_fraction - found).max(0.0));
    }
    close.verdict(40);
    no_worse.verdict(40);
}

#[test]
fn verdicts_follow_from_the_required_margin() {
    let mut judge =
        Judge::new("whole with the required margin", 0.0, "flags").against("ellipse_cover.csv");
    for row in reference_rows::<Row>("ellipse_cover.csv").iter().filter(|row| row.in_the_middle()) {
        let whole_fill = 1.0 - row.required_margin_fraction;
        let verdict = fit(Some(&row.outline()), &row.field(), whole_fill, 0.1).verdict;
        let whole = u8::from(verdict == Verdict::Whole);
        judge.row(row.id, f64::from(whole.abs_diff(row.best_fits_with_margin)));
        let spills = row.best_margin_fraction < 0.0;
        judge.row(row.id, f64::from(u8::from(spills != (verdict == Verdict::Spills))));
    }
    judge.verdict(80);
}

/// Every row, also those with the target off the middle: the outline drawn point by point in the
/// frame. 1e-6 of a half side is the tolerance that the polygon is asked for.
#[test]
fn outlines_drawn_in_the_frame_keep_the_margin() {
    let mut judge = Judge::new("margin of the drawn outline", 2e-6, "of a half side")
        .against("ellipse_cover.csv");
    for row in reference_rows::<Row>("ellipse_cover.csv") {
        let centre = Direction::<Icrs>::from_ra_dec(Angle::from_deg(83.8), Angle::from_deg(-5.4));
        let (plane, field) = (TangentPlane::new(centre), row.field());
        let frame = Frame { centre, rotation: row.rotation(), field };
        let (off_xi, off_eta) = (
            Angle::from_arcmin(row.offset_xi_arcmin).rad(),
            Angle::from_arcmin(row.offset_eta_arcmin).rad(),
        );
        let tolerance = 1e-6 * field.half_width.min(field.half_height);
        let furthest = row
            .outline()
            .points(tolerance)
            .into_iter()
            .map(|at| TangentPoint { xi: at.xi + off_xi, eta: at.eta + off_eta })
            .filter_map(|at| frame.picture_point(plane.direction(at)))
            .fold(0.0, |furthest: f64, (x, y)| furthest.max(x.abs()).max(y.abs()));
        judge.values(row.id, row.margin_fraction, 1.0 - furthest);
    }
    judge.verdict(60);
}
