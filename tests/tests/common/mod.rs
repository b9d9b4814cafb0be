//! What the checks of the sky's clockwork share.

use fieldstop::{Angle, Instant, Observer};

/// Reads `2025-12-08T11:43:06.074Z`, as the reference tables write it.
pub(crate) fn utc(text: &str) -> Instant {
    let numbers: Vec<f64> = text
        .trim_end_matches('Z')
        .split(['-', 'T', ':'])
        .map(|number| number.parse().expect("a number"))
        .collect();
    let [year, month, day, hour, minute, second] = numbers[..] else { panic!("{text}") };
    let whole = |number: f64| number as i32;
    Instant::from_utc(whole(year), whole(month), whole(day), whole(hour), whole(minute), second)
        .expect("a date that exists")
}

pub(crate) fn observer(lat_deg: f64, lon_east_deg: f64, height_m: f64) -> Observer {
    Observer {
        latitude: Angle::from_deg(lat_deg),
        longitude: Angle::from_deg(lon_east_deg),
        elevation_m: height_m,
    }
}
