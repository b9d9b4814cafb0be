//! Nights: sunset, twilights, sunrise, darkness, Moon.
//!
//! Sources, versions in `reference/MANIFEST.csv`: `twilight.csv` (roots of the Sun's altitude by
//! skyfield with JPL DE421, good to 0.001 s), `dark_hours.csv` (the same, sampled every 10 s).
//! Known facts are named where they are used.

#![allow(clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

mod common;

use common::{observer, utc};
use fieldstop::night::{SunDepth, When};
use fieldstop::place::Epoch;
use fieldstop::sun_moon::body_horizontal;
use fieldstop::{Angle, Body, Instant, Night};
use fieldstop_tests::{Judge, reference_rows};
use proptest::prelude::*;
use serde::Deserialize;

#[derive(Deserialize)]
struct Twilight {
    id: u32,
    lat_deg: f64,
    lon_east_deg: f64,
    window_start_utc: String,
    sun_state: String,
    sun_down_utc: String,
    sun_up_utc: String,
    civil_state: String,
    civil_down_utc: String,
    civil_up_utc: String,
    nautical_state: String,
    nautical_down_utc: String,
    nautical_up_utc: String,
    astronomical_state: String,
    astronomical_down_utc: String,
    astronomical_up_utc: String,
    sun_min_alt_deg: f64,
}

impl Twilight {
    fn night(&self) -> Night {
        let noon = utc(&self.window_start_utc);
        Night::new(observer(self.lat_deg, self.lon_east_deg, 0.0), noon, noon.after_hours(24.0))
    }

    fn depths(&self) -> [(SunDepth, &str, &str, &str); 4] {
        [
            (SunDepth::Set, &self.sun_state, &self.sun_down_utc, &self.sun_up_utc),
            (SunDepth::Civil, &self.civil_state, &self.civil_down_utc, &self.civil_up_utc),
            (
                SunDepth::Nautical,
                &self.nautical_state,
                &self.nautical_down_utc,
                &self.nautical_up_utc,
            ),
            (
                SunDepth::Astronomical,
                &self.astronomical_state,
                &self.astronomical_down_utc,
                &self.astronomical_up_utc,
            ),
        ]
    }
}

/// 30 s; where the Sun only grazes the threshold (within 0.5 degree at its lowest) the time is
/// ill-determined, and its altitude at our instant must be the threshold to 0.01 degree.
#[test]
fn twilights_agree() {
    let mut times = Judge::new("sunset, twilights, sunrise", 30.0, "s").against("twilight.csv");
    let mut grazing =
        Judge::new("altitude at a grazing event", 0.01, "degree").against("twilight.csv");
    for row in reference_rows::<Twilight>("twilight.csv") {
        let night = row.night();
        for (depth, _, down, up) in row.depths() {
            let grazes = (row.sun_min_alt_deg - depth.altitude().deg()).abs() < 0.5;
            for (wanted, found) in [(down, night.falls(depth)), (up, night.ends(depth))] {
                let id = format!("{} {depth:?} {wanted:?}", row.id);
                match (wanted, found) {
                    ("", None) => {}
                    ("", Some(_)) | (_, None) => times.row(id, f64::NAN),
                    (wanted, Some(found)) if grazes => {
                        let altitude = night.sun(utc(wanted)).altitude;
                        grazing.row(&id, (altitude - depth.altitude()).deg());
                        let altitude = night.sun(found).altitude;
                        grazing.row(id, (altitude - depth.altitude()).deg());
                    }
                    (wanted, Some(found)) => {
                        times.row(id, found.hours_since(utc(wanted)) * 3600.0);
                    }
                }
            }
        }
    }
    times.verdict(400);
    grazing.verdict(10);
}

/// "No astronomical night", "the Sun does not set" and "does not rise" are values of their own.
#[test]
fn nights_without_dark_or_sunset_are_told_apart() {
    let mut judge = Judge::new("state of the night", 0.0, "").against("twilight.csv");
    for row in reference_rows::<Twilight>("twilight.csv") {
        let night = row.night();
        for (depth, state, ..) in row.depths() {
            let found = match night.below(depth) {
                When::Never => "always_above",
                When::Always => "always_below",
                When::During(_) => "crosses",
            };
            judge.row(format!("{} {depth:?} {state}", row.id), f64::from(u8::from(found != state)));
        }
    }
    judge.verdict(240);
}

#[derive(Deserialize)]
struct DarkHours {
    id: u32,
    lat_deg: f64,
    lon_east_deg: f64,
    window_start_utc: String,
    dark_start_utc: Option<String>,
    dark_end_utc: Option<String>,
    dark_hours: f64,
    dark_moonless_hours: f64,
}

/// 0.03 h, and 30 s for the ends, which the table samples every 10 s.
#[test]
fn dark_and_moonless_hours_agree() {
    let mut hours = Judge::new("dark and moonless hours", 0.03, "h").against("dark_hours.csv");
    let mut ends = Judge::new("ends of the dark", 30.0, "s").against("dark_hours.csv");
    for row in reference_rows::<DarkHours>("dark_hours.csv") {
        let noon = utc(&row.window_start_utc);
        let night =
            Night::new(observer(row.lat_deg, row.lon_east_deg, 0.0), noon, noon.after_hours(24.0));
        hours.values(row.id, row.dark_hours, night.dark().hours());
        hours.values(row.id, row.dark_moonless_hours, night.moonless_dark().hours());
        let wanted = [&row.dark_start_utc, &row.dark_end_utc];
        for (wanted, found) in wanted.into_iter().zip([night.dark().start(), night.dark().end()]) {
            match (wanted, found) {
                (None, None) => {}
                (Some(wanted), Some(found)) => {
                    ends.row(row.id, found.hours_since(utc(wanted)) * 3600.0);
                }
                _ => ends.row(row.id, f64::NAN),
            }
        }
    }
    hours.verdict(80);
    ends.verdict(70);
}

fn night_at(lat_deg: f64, year: i32, day_of_year: u32) -> Night {
    let january = Instant::from_utc(year, 1, 1, 12, 0, 0.0).expect("exists");
    let noon = january.after_hours(24.0 * f64::from(day_of_year));
    Night::new(observer(lat_deg, 0.0, 0.0), noon, noon.after_hours(24.0))
}

/// The Sun's declination is 23.44 degrees at the June solstice, so that at 54 degrees north it
/// sinks to 90 - 54 - 23.44 = 12.56 degrees below the horizon: geometry.
#[test]
fn there_is_no_astronomical_night_at_54_north_around_the_june_solstice() {
    for year in [1950, 1988, 2026, 2063, 2100] {
        for day_of_year in 150..194 {
            let night = night_at(54.0, year, day_of_year);
            assert_eq!(*night.below(SunDepth::Astronomical), When::Never, "{year} {day_of_year}");
            assert!(night.dark().is_empty());
            assert!(night.falls(SunDepth::Set).is_some() && night.ends(SunDepth::Set).is_some());
        }
        assert!(night_at(54.0, year, 80).dark().hours() > 7.0);
    }
}

/// `cos H = -sin 18 / cos dec` of the Sun at the equator: 9.37 to 9.61 hours. The Sun's own motion
/// during the night changes that by seconds.
#[test]
fn at_the_equator_every_night_is_dark_for_nine_and_a_half_hours() {
    for day_of_year in 0..366 {
        let night = night_at(0.0, 2028, day_of_year);
        let hours = night.dark().hours();
        assert!((9.37..=9.61).contains(&hours), "{day_of_year}: {hours}");
        let sun = Body::Sun.place(&Epoch::at(night.middle())).apparent.dec();
        let hour_angle = (-(Angle::from_deg(18.0).sin()) / sun.cos()).acos();
        let by_formula = 24.0 - 2.0 * Angle::from_rad(hour_angle).hours();
        assert!((hours - by_formula).abs() < 0.02, "{day_of_year}: {hours}, {by_formula}");
    }
}

/// At a pole the Sun rises and sets once a year, and there is no astronomical night while it is
/// less than 18 degrees below the equator: geometry.
#[test]
fn at_the_poles_the_year_is_one_day() {
    for (lat_deg, summer, winter) in [(90.0, 172, 355), (-90.0, 355, 172)] {
        let day = night_at(lat_deg, 2026, summer);
        assert_eq!(*day.below(SunDepth::Set), When::Never);
        let night = night_at(lat_deg, 2026, winter);
        assert_eq!(*night.below(SunDepth::Astronomical), When::Always);
        assert_eq!(night.dark().hours(), 24.0);
        // The Moon is up for two weeks and down for two.
        let mut states = (0..28).map(|k| night_at(lat_deg, 2026, 100 + k).moon_up().clone());
        assert!(states.clone().any(|state| state == When::Always));
        assert!(states.any(|state| state == When::Never));
    }
}

/// Every synodic month (29.53 days) has a full and a new Moon; a year 12 or 13 full ones.
#[test]
fn a_year_has_twelve_or_thirteen_full_moons() {
    let lit: Vec<f64> =
        (0..366).map(|day| night_at(40.0, 2026, day).moon_phase().lit_fraction).collect();
    let peaks = lit.windows(3).filter(|w| w[1] > w[0] && w[1] >= w[2] && w[1] > 0.9).count();
    assert!((12..=13).contains(&peaks), "{peaks}");
    assert!(lit.iter().all(|lit| (0.0..=1.0).contains(lit)));
}

/// A night with a change of clocks, one of no length, and one that ends before it starts.
#[test]
fn nights_of_odd_length_are_nights() {
    let noon = Instant::from_utc(2026, 3, 28, 12, 0, 0.0).expect("exists");
    let here = observer(48.0, 11.0, 500.0);
    for hours in [23.0, 25.0, 48.0] {
        let night = Night::new(here, noon, noon.after_hours(hours));
        assert_eq!(night.window().hours(), hours);
        assert!(night.falls(SunDepth::Set).is_some());
    }
    for hours in [0.0, -24.0, f64::NAN] {
        let night = Night::new(here, noon, noon.after_hours(hours));
        assert!(night.dark().is_empty() && night.moonrise().is_none());
        assert_eq!(*night.below(SunDepth::Set), When::Never);
    }
}

/// At most: 15.4 degrees a day at perigee, and from the ground a fiftieth nearer.
const MOON_ARCSEC_PER_S: f64 = 15.4 * 3600.0 / 86_400.0 * 1.02;

/// How far a night's own Sun and Moon are from those of the series at an instant.
fn off_the_series(night: &Night, now: Instant) -> [Angle; 2] {
    let epoch = Epoch::at(now);
    let series = |body| body_horizontal(body, &epoch, night.observer()).0;
    [night.sun(now).separation(series(Body::Sun)), night.moon(now).separation(series(Body::Moon))]
}

/// The leap seconds of IERS Bulletins C 49 and C 52. The quick path goes by the clock at the window's
/// middle, here midnight: after it the path is as near as ever, before it off by the Moon's second.
#[test]
fn a_leap_second_costs_the_moon_a_second_of_its_way() {
    let here = observer(26.0, -45.0, 1000.0);
    for (year, month, day) in [(2015, 6, 30), (2016, 12, 31)] {
        let noon = Instant::from_utc(year, month, day, 12, 0, 0.0).expect("exists");
        let night = Night::new(here, noon, noon.after_hours(24.0));
        assert_eq!(night.window().end.tt_minus_utc_s() - noon.tt_minus_utc_s(), 1.0);
        for half_hours in 0..48 {
            let [sun, moon] = off_the_series(&night, noon.after_hours(f64::from(half_hours) / 2.0))
                .map(Angle::arcsec);
            assert!(sun < 0.2, "{year} after {half_hours} half hours: Sun {sun}");
            let allowed = if half_hours < 24 { 0.2 + MOON_ARCSEC_PER_S } else { 0.2 };
            assert!(moon < allowed, "{year} after {half_hours} half hours: Moon {moon}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// A night's quick paths against the series themselves, over all latitudes and the years promised.
    #[test]
    fn the_quick_paths_follow_the_series(
        lat in -90.0..=90.0f64, lon in -180.0..180.0f64, day in 0.0..55_150.0f64, hours in 0.0..24.0f64,
    ) {
        let noon = Instant::from_julian_date(2_433_283.0 + day.floor() - lon / 360.0);
        let here = observer(lat, lon, 1000.0);
        let night = Night::new(here, noon, noon.after_hours(24.0));
        let now = noon.after_hours(hours);
        let [sun, moon] = off_the_series(&night, now).map(Angle::arcsec);
        prop_assert!(sun < 0.2, "Sun {sun} arcsec off");
        // Clocks that stop for a second inside the night do not stop the Moon.
        let leap_s = night.window().end.tt_minus_utc_s() - noon.tt_minus_utc_s();
        prop_assert!(moon < 0.2 + MOON_ARCSEC_PER_S * leap_s.abs(), "Moon {moon} arcsec off, {leap_s} s");
        let (quick, series) = (night.moon_phase_at(now), Body::Moon.phase(&Epoch::at(now)));
        prop_assert!((quick.lit_fraction - series.lit_fraction).abs() < 1e-4);
    }

    /// Events against asking at an instant, away from the events themselves.
    #[test]
    fn events_agree_with_asking_at_any_instant(
        lat in -90.0..=90.0f64, lon in -180.0..180.0f64, day in 0u32..3652, off_noon in -3.0..3.0f64,
        instants in proptest::collection::vec(0.0..24.0f64, 50),
    ) {
        // A clock's noon may be hours from the Sun's.
        let noon = Instant::from_julian_date(2_461_042.0 + f64::from(day) - (lon / 15.0 + off_noon) / 24.0);
        let night = Night::new(observer(lat, lon, 0.0), noon, noon.after_hours(24.0));
        let clear_of_zero = |angle: Angle| angle.deg().abs() > 1e-5;
        for hours in instants {
            let now = noon.after_hours(hours);
            for depth in SunDepth::ALL {
                let under = depth.altitude() - night.sun(now).altitude;
                if clear_of_zero(under) {
                    let spans = night.below(depth).spans(night.window());
                    prop_assert_eq!(spans.contains(now), under > Angle::ZERO);
                }
            }
            let moon = night.moon(now).altitude;
            if clear_of_zero(moon) {
                prop_assert_eq!(night.moon_up().spans(night.window()).contains(now), moon > Angle::ZERO);
            }
        }
        // Each depth lies within the one before it.
        let hours = SunDepth::ALL.map(|depth| night.below(depth).spans(night.window()).hours());
        prop_assert!(hours.windows(2).all(|pair| pair[0] >= pair[1]));
        prop_assert!(hours.iter().all(|hours| (0.0..=24.0).contains(hours)));
        prop_assert!(night.moonless_dark().hours() <= night.dark().hours());
        for event in [night.moonrise(), night.moonset()].into_iter().flatten() {
            // Upper edge on the horizon: 34 arcmin of refraction and 14.7 to 17 of radius.
            let deg = night.moon(event).altitude.deg();
            prop_assert!((-0.852..-0.810).contains(&deg), "{deg}");
        }
    }
}
