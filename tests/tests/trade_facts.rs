//! What every photographer of the sky knows of sizes and focal lengths, against the catalogue.
//!
//! Common practice, no source. Fill is worked out here on its own: half extents of the ellipse
//! along the sensor's sides over half the sensor's sides, on the tangent plane, least over
//! rotations of 0.1 degree.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

use std::sync::LazyLock;

use fieldstop_gui::sky::catalogue::Catalogue;

static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| Catalogue::embedded().unwrap());

const APS_C: (f64, f64) = (23.5, 15.6);
const FULL_FRAME: (f64, f64) = (36.0, 24.0);
/// At or under it a target is whole; up to 1 it is tight.
const WHOLE: f64 = 0.9;

fn fill(name: &str, (width_mm, height_mm): (f64, f64), focal_length_mm: f64) -> f64 {
    let target = CATALOGUE.named(name).unwrap_or_else(|| panic!("{name} is not found"));
    let half_tangent = |arcmin: f64| (arcmin / 120.0).to_radians().tan();
    let a = half_tangent(target.major_arcmin.unwrap());
    let b = target.minor_arcmin.map_or(a, half_tangent);
    let (half_width, half_height) =
        (width_mm / 2.0 / focal_length_mm, height_mm / 2.0 / focal_length_mm);
    (0..1800)
        .map(|tenths| {
            let (sin, cos) = (f64::from(tenths) / 10.0).to_radians().sin_cos();
            let along = (a * cos).hypot(b * sin) / half_width;
            let across = (a * sin).hypot(b * cos) / half_height;
            along.max(across)
        })
        .fold(f64::INFINITY, f64::min)
}

#[test]
fn at_800_mm_on_aps_c_the_whirlpool_is_whole_but_the_heart_and_north_america_are_not() {
    assert!(fill("M 51", APS_C, 800.0) <= WHOLE);
    assert!(fill("IC 1805", APS_C, 800.0) > 1.0);
    assert!(fill("NGC 7000", APS_C, 800.0) > 1.0);
}

#[test]
fn at_700_mm_on_aps_c_andromeda_spills() {
    assert!(fill("M 31", APS_C, 700.0) > 1.0);
}

#[test]
fn heart_and_soul_fit_one_full_frame_picture_at_350_mm() {
    assert!(fill("Heart and Soul", FULL_FRAME, 350.0) <= WHOLE);
    // And are no easy fit: at twice that focal length they spill.
    assert!(fill("Heart and Soul", FULL_FRAME, 700.0) > 1.0);
}

#[test]
fn at_2000_mm_on_aps_c_horsehead_or_flame_fit_but_both_need_about_1400() {
    assert!(fill("B 33", APS_C, 2000.0) <= WHOLE);
    assert!(fill("NGC 2024", APS_C, 2000.0) <= WHOLE);
    assert!(fill("Horsehead and Flame", APS_C, 2000.0) > 1.0);
    assert!(fill("Horsehead and Flame", APS_C, 1400.0) <= WHOLE);
    assert!(fill("Horsehead and Flame", APS_C, 1600.0) > 1.0);
}

/// The outlines of pairs hold the outlines of both, to what a sketch of a nebula is worth.
#[test]
fn the_outline_of_a_pair_reaches_round_both() {
    for (pair, members) in
        [("Heart and Soul", ["Sh2-190", "Sh2-199"]), ("Horsehead and Flame", ["B 33", "NGC 2024"])]
    {
        let pair = CATALOGUE.named(pair).unwrap();
        for member in members {
            let member = CATALOGUE.named(member).unwrap();
            let off = pair.place.separation(member.place).arcmin();
            let half = member.major_arcmin.unwrap() / 2.0;
            let reach = pair.major_arcmin.unwrap() / 2.0;
            assert!(off + half <= 1.05 * reach, "{}: {off} + {half}, {reach}", member.name);
        }
    }
}
