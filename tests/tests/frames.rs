//! Fields of view, corners on the sky and solid angles of single pictures.
//!
//! Sources: `reference/gnomonic_corners.csv` (60 rows, numpy in the TAN projection) and
//! `reference/rectangle_sky_area.csv` (its 30 single pictures, closed form checked by Monte
//! Carlo), versions in `reference/MANIFEST.csv`; `reference/handbook.csv` for round numbers of the
//! trade, each with its own source, quoted from memory.

use fieldstop::{Angle, Direction, Field, Frame, Icrs, Sensor, field_of_view, pixel_scale};
use fieldstop_tests::{Judge, reference_rows};
use serde::Deserialize;

fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
    Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
}

#[derive(Deserialize)]
struct Corners {
    id: u32,
    focal_mm: f64,
    sensor_w_mm: f64,
    sensor_h_mm: f64,
    ra0_deg: f64,
    dec0_deg: f64,
    pa_deg: f64,
    width_deg: f64,
    height_deg: f64,
    diagonal_deg: f64,
    tl_ra_deg: f64,
    tl_dec_deg: f64,
    tr_ra_deg: f64,
    tr_dec_deg: f64,
    br_ra_deg: f64,
    br_dec_deg: f64,
    bl_ra_deg: f64,
    bl_dec_deg: f64,
    top_edge_deg: f64,
    right_edge_deg: f64,
    contains_pole: u8,
}

impl Corners {
    fn frame(&self) -> Frame {
        let sensor = Sensor { width_mm: self.sensor_w_mm, height_mm: self.sensor_h_mm };
        Frame {
            centre: place(self.ra0_deg, self.dec0_deg),
            rotation: Angle::from_deg(self.pa_deg),
            field: Field::new(sensor, self.focal_mm),
        }
    }

    fn corners(&self) -> [Direction<Icrs>; 4] {
        [
            place(self.tl_ra_deg, self.tl_dec_deg),
            place(self.tr_ra_deg, self.tr_dec_deg),
            place(self.br_ra_deg, self.br_dec_deg),
            place(self.bl_ra_deg, self.bl_dec_deg),
        ]
    }
}

/// 1e-6 degree on the sky, not in right ascension: named by the table's README.
#[test]
fn corners_agree_also_about_the_poles() {
    let mut judge = Judge::new("corner", 1e-6, "degree").against("gnomonic_corners.csv");
    for row in reference_rows::<Corners>("gnomonic_corners.csv") {
        for (wanted, found) in row.corners().into_iter().zip(row.frame().corners()) {
            judge.row(row.id, wanted.separation(found).deg());
        }
    }
    judge.verdict(240);
}

/// 1e-9 degree; the table is good to 1e-12, its README asks for 1e-6.
#[test]
fn sides_and_diagonals_are_exact_angles() {
    let mut judge = Judge::new("field", 1e-9, "degree").against("gnomonic_corners.csv");
    for row in reference_rows::<Corners>("gnomonic_corners.csv") {
        let Frame { field, .. } = row.frame();
        judge.values(row.id, row.width_deg, field.width().deg());
        judge.values(row.id, row.width_deg, field_of_view(row.sensor_w_mm, row.focal_mm).deg());
        judge.values(row.id, row.height_deg, field.height().deg());
        judge.values(row.id, row.diagonal_deg, field.diagonal().deg());
        let [top_left, top_right, bottom_right, _] = row.frame().corners();
        judge.values(row.id, row.top_edge_deg, top_left.separation(top_right).deg());
        judge.values(row.id, row.right_edge_deg, top_right.separation(bottom_right).deg());
    }
    judge.verdict(360);
}

#[test]
fn frames_that_hold_a_pole_know_it() {
    let mut judge = Judge::new("contains a pole", 0.0, "flags").against("gnomonic_corners.csv");
    for row in reference_rows::<Corners>("gnomonic_corners.csv") {
        let held = [90.0, -90.0].iter().any(|&dec| row.frame().contains(place(0.0, dec)));
        judge.row(row.id, f64::from(u8::from(held).abs_diff(row.contains_pole)));
    }
    judge.verdict(60);
}

#[derive(Deserialize)]
struct Area {
    kind: String,
    id: u32,
    focal_mm: f64,
    sensor_w_mm: f64,
    sensor_h_mm: f64,
    area_deg2: f64,
}

/// 1e-6 of the value: named by the table's README.
#[test]
fn solid_angles_of_single_pictures_agree() {
    let mut judge =
        Judge::new("solid angle", 1e-6, "of its value").against("rectangle_sky_area.csv");
    let rows = reference_rows::<Area>("rectangle_sky_area.csv");
    for row in rows.iter().filter(|row| row.kind == "single") {
        let sensor = Sensor { width_mm: row.sensor_w_mm, height_mm: row.sensor_h_mm };
        let found = Field::new(sensor, row.focal_mm).area_deg2();
        judge.row(row.id, found / row.area_deg2 - 1.0);
    }
    judge.verdict(30);
}

#[derive(Deserialize)]
struct Handbook {
    id: String,
    expected: f64,
    unit: String,
    tolerance: f64,
}

/// The rows about sensors: tolerance, unit and source stand in each row.
#[test]
fn round_numbers_of_the_trade_come_out() {
    // Sides in millimetres as the rows' own `inputs` text has them.
    let formats = [
        ("format_1_3-type_4:3", 4.8, 3.6),
        ("format_1_2.8-type_16:9", 5.6, 3.15),
        ("format_1_1.8-type_4:3", 7.2, 5.4),
        ("format_2_3-type_4:3", 8.8, 6.6),
        ("format_1-type_3:2", 13.2, 8.8),
        ("format_four_thirds", 17.3, 13.0),
        ("format_APS-C_1.6", 22.3, 14.9),
        ("format_APS-C", 23.5, 15.7),
        ("format_35_mm_full_frame", 36.0, 24.0),
        ("format_medium_44_x_33", 43.8, 32.9),
        ("format_medium_54_x_40", 53.4, 40.0),
    ];
    let full_frame = Field::new(Sensor { width_mm: 36.0, height_mm: 24.0 }, 50.0);
    let mut judge = Judge::new("handbook row, error over its tolerance", 1.0, "tolerances")
        .against("handbook.csv");
    for row in reference_rows::<Handbook>("handbook.csv") {
        let format = formats.iter().find(|(id, ..)| *id == row.id);
        let found = match (row.id.as_str(), format) {
            ("pixel_scale", _) => pixel_scale(3.76, 530.0).arcsec(),
            ("fov_50mm_width", _) => full_frame.width().deg(),
            ("fov_50mm_height", _) => full_frame.height().deg(),
            ("fov_50mm_diagonal", _) => full_frame.diagonal().deg(),
            (_, Some(&(_, width_mm, height_mm))) => Sensor { width_mm, height_mm }.diagonal_mm(),
            _ => continue,
        };
        judge.row(
            format_args!("{} ({} {})", row.id, row.expected, row.unit),
            (found - row.expected) / row.tolerance,
        );
    }
    judge.verdict(4 + formats.len());
}
