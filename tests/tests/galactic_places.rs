//! Galactic coordinates of the system's own landmarks.
//!
//! Source: `reference/handbook.csv`, rows `galactic_*`: the IAU 1958 pole carried to J2000 as in
//! the Hipparcos catalogue, ESA SP-1200, quoted from memory, recomputed with ERFA (pyerfa
//! 2.0.1.5). Each row has its own tolerance.

#![allow(clippy::expect_used, reason = "a test fails by panicking")]

use fieldstop::{Angle, Direction, galactic_from_icrs};
use fieldstop_tests::{Judge, reference_rows};
use serde::Deserialize;

#[derive(Deserialize)]
struct Handbook {
    id: String,
    expected: f64,
    tolerance: f64,
}

#[test]
fn landmarks_of_the_galactic_system_come_out() {
    let rows = reference_rows::<Handbook>("handbook.csv");
    let of = |id: &str| rows.iter().find(|row| row.id == id).expect("the table has the row");
    let place = |ra: &str, dec: &str| {
        let (ra, dec) = (Angle::from_deg(of(ra).expected), Angle::from_deg(of(dec).expected));
        galactic_from_icrs(Direction::from_ra_dec(ra, dec))
    };
    let mut judge = Judge::new("galactic place", of("galactic_pole_dec").tolerance, "degree")
        .against("handbook.csv");

    let pole = place("galactic_pole_ra", "galactic_pole_dec");
    judge.values("galactic pole, latitude", 90.0, pole.dec().deg());

    let centre = place("galactic_centre_ra", "galactic_centre_dec");
    judge.values("galactic centre, latitude", 0.0, centre.dec().deg());
    judge.values("galactic centre, longitude", 0.0, centre.ra().wrapped_signed().deg());

    let celestial_pole = Direction::from_ra_dec(Angle::ZERO, Angle::RIGHT);
    let longitude = galactic_from_icrs(celestial_pole).ra().deg();
    judge.values("celestial pole, longitude", of("galactic_ncp_longitude").expected, longitude);
    judge.verdict(4);
}
