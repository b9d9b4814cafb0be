//! The gnomonic projection, and pixels of a turned picture, against a FITS WCS library.
//!
//! Source: `reference/tan_projection.csv`, 210 rows made by wcslib (in astropy 8.0.2), FITS TAN as
//! in Calabretta & Greisen 2002, A&A 395, 1077; versions in `reference/MANIFEST.csv`. The table
//! says that its pixels are good to 1e-12 of their value.

use fieldstop::{Angle, Direction, Field, Frame, Icrs, TangentPlane};
use fieldstop_tests::{Judge, reference_rows};
use serde::Deserialize;

#[derive(Deserialize)]
struct Row {
    id: u32,
    kind: String,
    ra0_deg: f64,
    dec0_deg: f64,
    pa_deg: f64,
    scale_arcsec_per_px: f64,
    w_px: f64,
    h_px: f64,
    ra_deg: f64,
    dec_deg: f64,
    xi_rad: Option<f64>,
    eta_rad: Option<f64>,
    x_px: Option<f64>,
    y_px: Option<f64>,
    in_front: u8,
    inside: u8,
}

impl Row {
    fn frame(&self) -> Frame {
        let half_side =
            |pixels: f64| Angle::from_arcsec(self.scale_arcsec_per_px).rad() * pixels / 2.0;
        Frame {
            centre: place(self.ra0_deg, self.dec0_deg),
            rotation: Angle::from_deg(self.pa_deg),
            field: Field { half_width: half_side(self.w_px), half_height: half_side(self.h_px) },
        }
    }

    fn place(&self) -> Direction<Icrs> {
        place(self.ra_deg, self.dec_deg)
    }
}

fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
    Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
}

/// 0.01 px is what a planning tool needs; 1e-9 of the value near 85 degrees off the axis, where a
/// pixel is thousands of sides away (the tolerances named by the table's README).
#[test]
fn pixels_agree_with_the_wcs_library() {
    let mut near = Judge::new("pixel", 0.01, "px").against("tan_projection.csv");
    let mut far = Judge::new("pixel 85 degrees off, relative", 1e-9, "of its value")
        .against("tan_projection.csv");
    for row in reference_rows::<Row>("tan_projection.csv") {
        let found = row.frame().picture_point(row.place());
        let (Some(x_px), Some(y_px)) = (row.x_px, row.y_px) else {
            near.row(row.id, f64::from(u8::from(found.is_some())));
            continue;
        };
        let (x, y) = found.unwrap_or((f64::NAN, f64::NAN));
        let miss_px = ((x + 1.0) * row.w_px / 2.0 - x_px).hypot((y + 1.0) * row.h_px / 2.0 - y_px);
        if row.kind == "off85" {
            far.row(row.id, miss_px / x_px.hypot(y_px));
        } else {
            near.row(row.id, miss_px);
        }
    }
    near.verdict(180);
    far.verdict(10);
}

/// 1e-12 of the value, or of a radian where it is less: the table's own accuracy; 1e-9 of it near
/// 85 degrees, where the tangent grows by the square of its value.
#[test]
fn standard_coordinates_agree_with_the_wcs_library() {
    let mut judge =
        Judge::new("xi, eta", 1e-12, "radian or relative").against("tan_projection.csv");
    let mut far =
        Judge::new("xi, eta 85 degrees off", 1e-9, "relative").against("tan_projection.csv");
    for row in reference_rows::<Row>("tan_projection.csv") {
        let plane = TangentPlane::new(place(row.ra0_deg, row.dec0_deg));
        let found = plane.project(row.place());
        let (Some(xi), Some(eta)) = (row.xi_rad, row.eta_rad) else {
            judge.row(row.id, f64::from(u8::from(found.is_some())));
            continue;
        };
        let miss = found.map_or(f64::NAN, |point| (point.xi - xi).hypot(point.eta - eta));
        if row.kind == "off85" {
            far.row(row.id, miss / xi.hypot(eta));
        } else {
            judge.row(row.id, miss / xi.hypot(eta).max(1.0));
        }
    }
    judge.verdict(180);
    far.verdict(10);
}

#[test]
fn in_front_and_inside_agree_with_the_wcs_library() {
    let mut judge = Judge::new("in front, inside", 0.0, "flags").against("tan_projection.csv");
    for row in reference_rows::<Row>("tan_projection.csv") {
        let frame = row.frame();
        let in_front = u8::from(frame.picture_point(row.place()).is_some());
        let inside = u8::from(frame.contains(row.place()));
        judge.row(row.id, f64::from(in_front.abs_diff(row.in_front)));
        judge.row(row.id, f64::from(inside.abs_diff(row.inside)));
    }
    judge.verdict(420);
}
