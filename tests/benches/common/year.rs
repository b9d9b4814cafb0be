//! A year of nights at one site, and targets all over the sky.

use std::ops::Range;

use fieldstop::{Angle, Direction, Horizon, Icrs, Instant, Night, Observer, Season};

/// Places spread evenly over the sphere, by the golden angle: no kinder to us than a catalogue.
pub(crate) fn targets(count: u32) -> Vec<Direction<Icrs>> {
    const GOLDEN_RAD: f64 = 2.399_963_229_728_653;
    (0..count)
        .map(|k| {
            let sin_dec = 1.0 - (2.0 * f64::from(k) + 1.0) / f64::from(count);
            let ra = Angle::from_rad(GOLDEN_RAD * f64::from(k));
            Direction::from_ra_dec(ra, Angle::from_rad(sin_dec.asin()))
        })
        .collect()
}

/// Nights from the first noon of 2026 on.
pub(crate) fn nights(days: Range<u32>) -> Vec<Night> {
    let observer = Observer {
        latitude: Angle::from_deg(47.0),
        longitude: Angle::from_deg(8.0),
        elevation_m: 400.0,
    };
    let first = Instant::from_utc(2026, 1, 1, 12, 0, 0.0).expect("exists");
    days.map(|k| first.after_hours(24.0 * f64::from(k)))
        .map(|noon| Night::new(observer, noon, noon.after_hours(24.0)))
        .collect()
}

pub(crate) fn flat() -> Horizon {
    Horizon::flat(Angle::from_deg(30.0))
}

/// The dark hours of all targets together, with and without the Moon.
pub(crate) fn hours(season: &Season, targets: &[Direction<Icrs>]) -> f64 {
    targets
        .iter()
        .flat_map(|&target| season.hours(target))
        .map(|hours| f64::from(hours.dark + hours.moonless))
        .sum()
}
