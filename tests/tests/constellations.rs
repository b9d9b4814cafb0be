//! Constellations against astropy.
//!
//! Source: `tests/reference/constellations.csv`, made by `make_constellation_reference.py` beside it
//! with astropy 8.0.2 and numpy 2.4.6, seed 1875: places spread over the sky, the poles, and places
//! 2 to 10 arcmin off a boundary. Every row must agree. Three names are misspelt by astropy; ours are
//! those of the IAU (<https://www.iau.org/public/themes/constellations/>, from memory).

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

use fieldstop::{Angle, Direction, Icrs};
use fieldstop_gui::sky::constellation::{abbreviation_at, name_at};

#[derive(serde::Deserialize)]
struct Row {
    kind: String,
    ra_deg: f64,
    dec_deg: f64,
    abbreviation: String,
    name: String,
}

#[test]
fn every_place_is_in_the_constellation_that_astropy_gives() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/reference/constellations.csv");
    let rows: Vec<Row> =
        csv::Reader::from_path(path).unwrap().deserialize().map(Result::unwrap).collect();
    assert!(rows.len() > 300);
    let mut misses = Vec::new();
    for row in &rows {
        let place = Direction::<Icrs>::from_ra_dec(
            Angle::from_deg(row.ra_deg),
            Angle::from_deg(row.dec_deg),
        );
        let name = match row.name.trim_end() {
            // DIFFERENCE: the names of the IAU in place of astropy's.
            "Chamaleon" => "Chamaeleon",
            "Ophiucus" => "Ophiuchus",
            "Pisces Austrinus" => "Piscis Austrinus",
            name => name,
        };
        if abbreviation_at(place) != row.abbreviation || name_at(place) != name {
            misses.push(format!(
                "{} {} {}: {} wanted, {} found",
                row.kind,
                row.ra_deg,
                row.dec_deg,
                row.name,
                name_at(place)
            ));
        }
    }
    assert!(misses.is_empty(), "{} of {}: {misses:#?}", misses.len(), rows.len());
}
