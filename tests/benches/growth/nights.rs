//! When: targets of a season, and its nights.

use std::hint::black_box;

use fieldstop::Season;

use crate::law::{Job, LINEAR, Law, decades};
use crate::year::{flat, hours, nights, targets};

pub(crate) fn laws() -> Vec<Law> {
    vec![
        Law::new("objects of a season of 365 nights", LINEAR, decades(100, 100_000), by_targets),
        Law::new("nights of a season of 1,000 objects", LINEAR, decades(4, 4_000), by_nights),
    ]
}

fn season_of(objects: u32, days: u32) -> Job {
    let (season, places) = (Season::new(&nights(0..days), flat()), targets(objects));
    assert!(hours(&season, &places) > 0.0);
    Box::new(move || {
        black_box(hours(&season, &places));
    })
}

fn by_targets(count: u32) -> Job {
    season_of(count, 365)
}

fn by_nights(count: u32) -> Job {
    season_of(1_000, count)
}
