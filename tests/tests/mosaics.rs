//! Panels of mosaics, and the sky they cover together.
//!
//! Sources: `reference/mosaic_panels.csv` (63 panels of 10 mosaics, numpy) and the `union` rows of
//! `reference/rectangle_sky_area.csv` (shapely 2.2.0 on one tangent plane, checked by Monte
//! Carlo); versions in `reference/MANIFEST.csv`.
//!
//! DIFFERENCE: four of the ten mosaics have every panel at the mosaic's own position angle (mode
//! `fixed`). Ours are always turned parallel, so these four test the centres, and the corners of
//! frames at the table's position angles.

#![allow(clippy::expect_used, reason = "a test fails by panicking")]

use fieldstop::mosaic::grid;
use fieldstop::{Angle, Direction, Field, Frame, Icrs, Sensor, TangentPlane, TangentPoint};
use fieldstop_tests::{Judge, reference_rows};
use serde::Deserialize;

fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
    Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
}

#[derive(Deserialize)]
struct Panel {
    case: u32,
    row: u32,
    column: u32,
    ra_deg: f64,
    dec_deg: f64,
    pa_deg: f64,
    tl_ra_deg: f64,
    tl_dec_deg: f64,
    tr_ra_deg: f64,
    tr_dec_deg: f64,
    br_ra_deg: f64,
    br_dec_deg: f64,
    bl_ra_deg: f64,
    bl_dec_deg: f64,
}

impl Panel {
    fn corners(&self) -> [Direction<Icrs>; 4] {
        [
            place(self.tl_ra_deg, self.tl_dec_deg),
            place(self.tr_ra_deg, self.tr_dec_deg),
            place(self.br_ra_deg, self.br_dec_deg),
            place(self.bl_ra_deg, self.bl_dec_deg),
        ]
    }
}

#[derive(Deserialize)]
struct Area {
    kind: String,
    id: u32,
    focal_mm: f64,
    sensor_w_mm: f64,
    sensor_h_mm: f64,
    ra0_deg: Option<f64>,
    dec0_deg: Option<f64>,
    pa_deg: Option<f64>,
    columns: Option<u32>,
    rows: Option<u32>,
    overlap_fraction: Option<f64>,
    pa_mode: Option<String>,
    area_deg2: f64,
}

/// One of the ten mosaics: what the table says of it, and our panels.
struct Mosaic {
    id: u32,
    parallel: bool,
    centre: Direction<Icrs>,
    columns: u32,
    area_deg2: f64,
    frames: Vec<Frame>,
}

fn mosaics() -> Vec<Mosaic> {
    let whole = |row: Area| {
        let sensor = Sensor { width_mm: row.sensor_w_mm, height_mm: row.sensor_h_mm };
        let field = Field::new(sensor, row.focal_mm);
        let centre = place(row.ra0_deg?, row.dec0_deg?);
        let columns = row.columns?;
        let rotation = Angle::from_deg(row.pa_deg?);
        let frames = grid(centre, rotation, &field, columns, row.rows?, row.overlap_fraction?);
        let parallel = row.pa_mode? == "parallel";
        Some(Mosaic { id: row.id, parallel, centre, columns, area_deg2: row.area_deg2, frames })
    };
    let rows = reference_rows::<Area>("rectangle_sky_area.csv");
    let mosaics: Vec<_> = rows.into_iter().filter(|row| row.kind == "union").map(whole).collect();
    mosaics.into_iter().collect::<Option<_>>().expect("a union has every column")
}

/// 1e-6 degree on the sky, named by the table's README.
#[test]
fn panels_lie_and_turn_as_in_the_table() {
    let mosaics = mosaics();
    let mut centres = Judge::new("panel centre", 1e-6, "degree").against("mosaic_panels.csv");
    let mut turns = Judge::new("panel rotation", 1e-6, "degree").against("mosaic_panels.csv");
    let mut corners = Judge::new("panel corner", 1e-6, "degree").against("mosaic_panels.csv");
    for panel in reference_rows::<Panel>("mosaic_panels.csv") {
        let mosaic = mosaics.iter().find(|m| m.id == panel.case).expect("the case has a union row");
        let label = format!("case {} row {} column {}", panel.case, panel.row, panel.column);
        let mut frame = mosaic.frames[(panel.row * mosaic.columns + panel.column) as usize];
        centres.row(&label, place(panel.ra_deg, panel.dec_deg).separation(frame.centre).deg());
        let rotation = Angle::from_deg(panel.pa_deg);
        if mosaic.parallel {
            turns.row(&label, (rotation - frame.rotation).wrapped_signed().deg());
        } else {
            frame.rotation = rotation;
        }
        for (wanted, found) in panel.corners().into_iter().zip(frame.corners()) {
            corners.row(&label, wanted.separation(found).deg());
        }
    }
    centres.verdict(63);
    turns.verdict(20);
    corners.verdict(252);
}

/// Sky covered by the panels together, by 400 x 400 equal cells of the mosaic's tangent plane, each
/// weighted by its solid angle. 0.005 of the value: the cells along the panels' edges are counted
/// by their middles.
#[test]
fn parallel_panels_cover_the_sky_of_the_table() {
    let mut judge = Judge::new("covered sky", 0.005, "of its value").against("mosaic_panels.csv");
    for mosaic in mosaics().iter().filter(|mosaic| mosaic.parallel) {
        let found = covered_deg2(&mosaic.frames, mosaic.centre);
        judge.row(mosaic.id, found / mosaic.area_deg2 - 1.0);
    }
    judge.verdict(6);
}

fn covered_deg2(frames: &[Frame], centre: Direction<Icrs>) -> f64 {
    const CELLS: u32 = 400;
    let plane = TangentPlane::new(centre);
    let corners = frames.iter().flat_map(Frame::corners);
    let (reach_xi, reach_eta) = corners
        .filter_map(|corner| plane.project(corner))
        .fold((0f64, 0f64), |(xi, eta), at| (xi.max(at.xi.abs()), eta.max(at.eta.abs())));
    let middle =
        |index: u32, reach: f64| reach * ((2.0 * f64::from(index) + 1.0) / f64::from(CELLS) - 1.0);
    let cell = 4.0 * reach_xi * reach_eta / f64::from(CELLS * CELLS);
    let mut covered_sr = 0.0;
    for (row, column) in (0..CELLS).flat_map(|row| (0..CELLS).map(move |column| (row, column))) {
        let at = TangentPoint { xi: middle(column, reach_xi), eta: middle(row, reach_eta) };
        if frames.iter().any(|frame| frame.contains(plane.direction(at))) {
            // Solid angle of a small piece of the tangent plane: its area over the cube of the
            // distance from the eye.
            covered_sr += cell / 1f64.hypot(at.xi.hypot(at.eta)).powi(3);
        }
    }
    covered_sr * Angle::from_rad(1.0).deg().powi(2)
}
