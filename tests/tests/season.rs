//! Hours of a target in the dark: one night, and a year of nights.
//!
//! Source, version in `reference/MANIFEST.csv`: `dark_hours.csv` (skyfield with JPL DE421, every 10 s
//! of a night). The rest has no table: it is asked at single instants, where only the altitude
//! (checked in `ephemeris.rs`) and the horizon (checked beside its code) are needed.

#![allow(clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

mod common;

use common::{observer, utc};
use fieldstop::body_path::BodyPath;
use fieldstop::moonlight::DarkSky;
use fieldstop::place::{Epoch, highest_ever};
use fieldstop::season::{body_night, target_night};
use fieldstop::spans::Spans;
use fieldstop::sun_moon::body_horizontal;
use fieldstop::{Angle, Body, Direction, Horizon, Icrs, Instant, Night, Season};
use fieldstop_tests::{Judge, reference_rows};
use proptest::prelude::*;
use serde::Deserialize;

fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
    Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
}

fn night_of(lat_deg: f64, lon_deg: f64, noon_jd: f64) -> Night {
    let noon = Instant::from_julian_date(noon_jd - lon_deg / 360.0);
    Night::new(observer(lat_deg, lon_deg, 0.0), noon, noon.after_hours(24.0))
}

/// 2026 January 1, noon.
const JANUARY_JD: f64 = 2_461_042.0;

#[derive(Deserialize)]
struct DarkHours {
    id: u32,
    lat_deg: f64,
    lon_east_deg: f64,
    ra_icrs_deg: f64,
    dec_icrs_deg: f64,
    window_start_utc: String,
    target_above30_hours: f64,
    target_dark_hours: f64,
    target_dark_moonless_hours: f64,
    target_max_alt_deg: f64,
    target_max_alt_in_dark_deg: Option<f64>,
}

/// 0.03 h and 0.02 degree, named by the table's README; it samples every 10 s.
#[test]
fn a_targets_hours_agree() {
    let mut up = Judge::new("hours above 30 degrees", 0.03, "h").against("dark_hours.csv");
    let mut dark = Judge::new("dark hours", 0.03, "h").against("dark_hours.csv");
    let mut moonless = Judge::new("moonless hours", 0.03, "h").against("dark_hours.csv");
    let mut highest = Judge::new("highest altitude", 0.02, "degree").against("dark_hours.csv");
    // In the dark the table's samples miss up to 5 s of a climb of 15 arcsec a second: 0.021 degree.
    let mut highest_in_dark =
        Judge::new("highest altitude in the dark", 0.041, "degree").against("dark_hours.csv");
    let mut year = Judge::new("hours by the year's quick way", 0.03, "h").against("dark_hours.csv");
    let horizon = Horizon::flat(Angle::from_deg(30.0));
    for row in reference_rows::<DarkHours>("dark_hours.csv") {
        let noon = utc(&row.window_start_utc);
        let here = observer(row.lat_deg, row.lon_east_deg, 0.0);
        let night = Night::new(here, noon, noon.after_hours(24.0));
        let star = place(row.ra_icrs_deg, row.dec_icrs_deg);
        let found = target_night(&night, &horizon, star);
        up.values(row.id, row.target_above30_hours, found.up.hours());
        dark.values(row.id, row.target_dark_hours, found.dark.hours());
        moonless.values(row.id, row.target_dark_moonless_hours, found.moonless.hours());
        let transit = night.star(night.apparent(star), found.transit.expect("in 24 hours"));
        highest.values(row.id, row.target_max_alt_deg, transit.altitude.deg());
        match (row.target_max_alt_in_dark_deg, found.highest) {
            (None, None) => {}
            (Some(wanted), Some(found)) => {
                highest_in_dark.values(row.id, wanted, found.altitude.deg());
            }
            _ => highest_in_dark.row(row.id, f64::NAN),
        }
        let season = Season::new([&night], horizon.clone());
        for quick in season.hours(star) {
            year.values(row.id, row.target_dark_hours, f64::from(quick.dark));
            year.values(row.id, row.target_dark_moonless_hours, f64::from(quick.moonless));
        }
    }
    for judge in [up, dark, moonless] {
        judge.verdict(40);
    }
    highest.verdict(40);
    highest_in_dark.verdict(38);
    year.verdict(80);
}

/// A star at a declination above 90 minus latitude never sets, one below latitude minus 90 never
/// rises: geometry.
#[test]
fn a_star_above_ninety_minus_latitude_never_sets() {
    for (lat, dec, hours) in [(54.0, 36.1, 24.0), (54.0, -36.1, 0.0), (-54.0, -36.1, 24.0)] {
        for day in [0.0, 100.0, 200.0, 300.0] {
            let night = night_of(lat, 10.0, JANUARY_JD + day);
            let star = place(123.0, dec);
            // Precession moves a star by up to 0.15 degree since 2000, in declination 0.08 here.
            let seen = night.apparent(star).dec().deg();
            assert!((seen - dec).abs() < 0.15 && seen.abs() > 36.0);
            let found = target_night(&night, &Horizon::flat(Angle::ZERO), star);
            assert_eq!(found.up.hours(), hours);
        }
    }
    assert_eq!(highest_ever(Angle::from_deg(54.0), Angle::from_deg(-36.1)).deg().round(), 0.0);
}

/// At the poles a star keeps its altitude, and over a flat horizon it is up for all the dark or none.
#[test]
fn at_the_poles_a_star_is_always_up_or_never() {
    for (lat, day) in [(90.0, 355.0), (-90.0, 172.0)] {
        let night = night_of(lat, 0.0, JANUARY_JD + day);
        for (dec, limit, up) in [(50.0, 40.0, true), (50.0, 60.0, false), (-50.0, 0.0, false)] {
            let horizon = Horizon::flat(Angle::from_deg(limit));
            let star = place(45.0, dec * f64::signum(lat));
            let hours = if up { 24.0 } else { 0.0 };
            assert_eq!(target_night(&night, &horizon, star).dark.hours(), hours);
            let season = Season::new([&night], horizon);
            assert_eq!(season.hours(star).map(|hours| hours.dark).sum::<f32>(), hours as f32);
        }
    }
}

/// One hour of a dark sky is worth one hour; a full Moon takes most of it.
#[test]
fn moonlight_takes_from_what_a_night_is_worth() {
    let sky = DarkSky { zenith_mag_arcsec2: 21.5, extinction_mag_airmass: 0.2 };
    let horizon = Horizon::flat(Angle::from_deg(25.0));
    let mut seen = [false; 2];
    for day in 0..60 {
        let night = night_of(40.0, 0.0, JANUARY_JD + f64::from(day));
        let star = place(100.0, 20.0);
        let found = target_night(&night, &horizon, star);
        let place = night.apparent(star);
        let worth = sky.worth_hours(&night, place, &found.dark);
        assert!(worth >= found.moonless.hours() - 1e-9 && worth <= found.dark.hours() + 1e-9);
        let lit = night.moon_phase().lit_fraction;
        if lit > 0.98 {
            assert!(worth < 0.4 * found.dark.hours(), "{worth} of {}", found.dark.hours());
            seen[0] = true;
        }
        if lit < 0.02 {
            assert!(worth > 0.98 * found.dark.hours());
            seen[1] = true;
        }
    }
    assert_eq!(seen, [true; 2]);
}

/// The lowest altitude and a skyline, which may be empty.
fn any_skyline() -> impl Strategy<Value = (f64, Vec<(f64, f64)>)> {
    let lowest_deg = prop_oneof![Just(0.0), Just(30.0), -5.0..89.0f64];
    let points = proptest::collection::vec((0.0..=360.0f64, -10.0..80.0f64), 0..12);
    (lowest_deg, points)
}

#[derive(Deserialize)]
struct Handbook {
    id: String,
    expected: f64,
    tolerance: f64,
}

/// Meeus 1998, example 15.a: Venus at Boston on 1988 March 20, in fractions of the day. Quoted from
/// memory, recomputed with ERFA.
#[test]
fn venus_rises_transits_and_sets_as_the_handbook_says() {
    let rows = reference_rows::<Handbook>("handbook.csv");
    let day = Instant::from_utc(1988, 3, 20, 0, 0, 0.0).expect("exists");
    let boston = observer(42.3333, -71.0833, 0.0);
    let from_hour = |hours: f64| {
        let noon = day.after_hours(hours);
        let night = Night::new(boston, noon, noon.after_hours(24.0));
        let venus = BodyPath::new(&night, Body::Venus);
        body_night(&night, &Horizon::flat(Angle::from_deg(-0.5667)), &venus)
    };
    let (evening_before, evening) = (from_hour(-7.0), from_hour(7.0));
    let found = [
        ("meeus_15a_rise", evening.up.start()),
        ("meeus_15a_transit", evening.transit),
        ("meeus_15a_set", evening_before.up.iter().next().map(|span| span.end)),
    ];
    for (id, found) in found {
        let row = rows.iter().find(|row| row.id == id).expect("the table has the row");
        let mut judge =
            Judge::new("rise, transit, set", row.tolerance, "day").against("handbook.csv");
        judge.values(id, row.expected, found.expect("it happens").hours_since(day) / 24.0);
        judge.verdict(1);
    }
}

fn any_horizon() -> impl Strategy<Value = Horizon> {
    any_skyline().prop_map(|(lowest_deg, points)| Horizon::new(lowest_deg, &points))
}

fn any_latitude() -> impl Strategy<Value = f64> {
    prop_oneof![-90.0..=90.0f64, Just(90.0), Just(-90.0), Just(0.0), Just(66.56)]
}

fn any_place() -> impl Strategy<Value = Direction<Icrs>> {
    let dec = prop_oneof![-90.0..=90.0f64, Just(90.0), Just(-90.0), Just(0.0), 89.9..90.0f64];
    (0.0..360.0f64, dec).prop_map(|(ra, dec)| place(ra, dec))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Interval arithmetic against asking at single instants, over flat and uneven horizons.
    #[test]
    fn intervals_agree_with_asking_at_any_instant(
        lat in any_latitude(), lon in -180.0..180.0f64, day in 0u32..3652, off_noon in -3.0..3.0f64,
        star in any_place(), horizon in any_horizon(),
        instants in proptest::collection::vec(0.0..24.0f64, 100),
    ) {
        let night = night_of(lat, lon, JANUARY_JD + f64::from(day) + off_noon / 24.0);
        let found = target_night(&night, &horizon, star);
        let seen = night.apparent(star);
        for hours in instants {
            let now = night.window().start.after_hours(hours);
            let there = night.star(seen, now);
            let clearance = there.altitude - horizon.limit(there.azimuth);
            // 1 arcsec: a fifteenth of a second of time.
            if clearance.abs().arcsec() < 1.0 { continue; }
            let up = clearance > Angle::ZERO;
            prop_assert_eq!(found.up.contains(now), up, "{} deg", clearance.deg());
            prop_assert_eq!(found.dark.contains(now), up && night.dark().contains(now));
            prop_assert_eq!(found.moonless.contains(now), up && night.moonless_dark().contains(now));
        }
    }

    /// The year's quick way against the full one, over a flat horizon: a second of time.
    #[test]
    fn the_quick_way_counts_the_same_hours(
        lat in any_latitude(), day in 0u32..3652, star in any_place(),
        lowest in prop_oneof![Just(0.0), Just(30.0), 0.0..89.0f64],
    ) {
        let horizon = Horizon::flat(Angle::from_deg(lowest));
        let nights: Vec<Night> =
            (0..5).map(|k| night_of(lat, 15.0, JANUARY_JD + f64::from(day) + f64::from(k) * 30.0)).collect();
        let season = Season::new(&nights, horizon.clone());
        for (night, quick) in nights.iter().zip(season.hours(star)) {
            let full = target_night(night, &horizon, star);
            prop_assert!((full.dark.hours() - f64::from(quick.dark)).abs() < 1.0 / 3600.0, "{} {}", full.dark.hours(), quick.dark);
            prop_assert!((full.moonless.hours() - f64::from(quick.moonless)).abs() < 1.0 / 3600.0);
        }
    }

    /// And over a skyline, where it follows the star once for 64 nights: a minute, or, where the star
    /// only grazes it, as if the skyline were 20 arcsec higher or lower.
    #[test]
    fn the_quick_way_over_a_skyline_is_right_to_a_minute(
        lat in -80.0..80.0f64, day in 0u32..3652, star in any_place(), (lowest, points) in any_skyline(),
    ) {
        let horizon_off_by = |arcsec: f64| {
            let off = arcsec / 3600.0;
            let points: Vec<_> = points.iter().map(|&(azimuth, altitude)| (azimuth, altitude + off)).collect();
            Horizon::new(lowest + off, &points)
        };
        let nights: Vec<Night> =
            (0..40).map(|k| night_of(lat, 15.0, JANUARY_JD + f64::from(day) + f64::from(k))).collect();
        let season = Season::new(&nights, horizon_off_by(0.0));
        const MINUTE: f64 = 1.0 / 60.0;
        for (night, quick) in nights.iter().zip(season.hours(star)) {
            let hours_of = |arcsec: f64| {
                let full = target_night(night, &horizon_off_by(arcsec), star);
                [full.dark.hours(), full.moonless.hours()]
            };
            let quick = [f64::from(quick.dark), f64::from(quick.moonless)];
            let wanted = hours_of(0.0);
            for k in 0..2 {
                if (quick[k] - wanted[k]).abs() > MINUTE {
                    let (most, least) = (hours_of(-20.0)[k], hours_of(20.0)[k]);
                    prop_assert!(most - least > MINUTE, "no grazing: {} {}", wanted[k], quick[k]);
                    prop_assert!((least..=most).contains(&quick[k]), "{least} {} {most}", quick[k]);
                }
            }
        }
    }

    /// The places a night is computed with stay true all night: 1 arcsec.
    #[test]
    fn a_star_stays_where_the_night_has_it(
        lat in any_latitude(), lon in -180.0..180.0f64, day in -27_000i32..27_000, star in any_place(), hours in 0.0..24.0f64,
    ) {
        let night = night_of(lat, lon, JANUARY_JD + f64::from(day));
        let now = night.window().start.after_hours(hours);
        let epoch = Epoch::at(now);
        let exact = epoch.horizontal(night.observer(), epoch.apparent(star));
        let off = night.star(night.apparent(star), now).separation(exact).arcsec();
        prop_assert!(off < 1.0, "{off}");
    }

    /// A body's path through a night against the series (5 arcsec), and its intervals against asking.
    #[test]
    fn a_bodys_path_follows_the_series(
        lat in any_latitude(), lon in -180.0..180.0f64, day in -27_000i32..27_000, body in 0usize..9,
        lowest in -5.0..60.0f64, hours in 0.0..24.0f64,
    ) {
        let body = Body::ALL[body];
        let night = night_of(lat, lon, JANUARY_JD + f64::from(day));
        let path = BodyPath::new(&night, body);
        let now = night.window().start.after_hours(hours);
        let (exact, _) = body_horizontal(body, &Epoch::at(now), night.observer());
        let found = path.at(&night, now);
        prop_assert!(found.separation(exact).arcsec() < 5.0, "{} {}", body.name(), found.separation(exact).arcsec());
        let offered = body_night(&night, &Horizon::flat(Angle::from_deg(lowest)), &path);
        let clearance = found.altitude.deg() - lowest;
        if clearance.abs() > 1e-4 {
            prop_assert_eq!(offered.up.contains(now), clearance > 0.0);
        }
        if let Some(transit) = offered.transit {
            // On the meridian, and on the side of it where the body is highest.
            let there = path.at(&night, transit);
            let ((sin_alt, cos_alt), (sin_az, cos_az)) = (there.altitude.sin_cos(), there.azimuth.sin_cos());
            let (sin_lat, cos_lat) = night.observer().latitude.sin_cos();
            prop_assert!((cos_alt * sin_az).abs() < 1e-6);
            prop_assert!(cos_lat * sin_alt - sin_lat * cos_alt * cos_az > 0.5);
        }
        if let Some(highest) = offered.highest {
            for span in night.dark().iter().filter(|span| span.start <= now && now < span.end) {
                prop_assert!(found.altitude.deg() < highest.altitude.deg() + 0.01, "{span:?}");
            }
        }
    }

    /// Bounds, and what must not grow: a higher limit never gives more hours.
    #[test]
    fn a_higher_limit_gives_no_more_hours(
        lat in any_latitude(), day in 0u32..3652, star in any_place(), low in 0.0..80.0f64, more in 0.0..10.0f64,
    ) {
        let night = night_of(lat, 0.0, JANUARY_JD + f64::from(day));
        let at = |deg: f64| target_night(&night, &Horizon::flat(Angle::from_deg(deg)), star);
        let (lower, higher) = (at(low), at(low + more));
        prop_assert!(higher.dark.hours() <= lower.dark.hours() + 1e-6);
        prop_assert!(lower.moonless.hours() <= lower.dark.hours());
        prop_assert!(lower.dark.hours() <= night.dark().hours());
        prop_assert_eq!(&lower.dark.without(night.dark()), &Spans::default());
        let ever = highest_ever(night.observer().latitude, night.apparent(star).dec());
        if let Some(highest) = lower.highest {
            prop_assert!(highest.altitude.deg() <= ever.deg() + 1e-6);
            prop_assert!(night.dark().contains(highest.instant) || night.dark().iter().any(|span| span.end == highest.instant));
            for span in lower.dark.iter() {
                let seen = night.star(night.apparent(star), span.middle());
                prop_assert!(seen.altitude.deg() <= highest.altitude.deg() + 1e-6);
            }
        }
        if ever.deg() < low {
            prop_assert!(lower.up.is_empty());
        }
    }

    /// A day later a star rises 3 min 56 s earlier: an interval does not jump from night to night.
    #[test]
    fn hours_change_little_from_night_to_night(lat in -60.0..60.0f64, day in 0u32..3652, star in any_place()) {
        let horizon = Horizon::flat(Angle::from_deg(20.0));
        let nights = [0.0, 1.0].map(|k| night_of(lat, 0.0, JANUARY_JD + f64::from(day) + k));
        let [now, next] = nights.each_ref().map(|night| target_night(night, &horizon, star).dark.hours());
        let [dark, next_dark] = nights.each_ref().map(|night| night.dark().hours());
        // Each end of the star's interval shifts by 4 minutes, each end of the dark by what it does.
        let most = 2.0 * 4.0 / 60.0 + (dark - next_dark).abs() + 0.05;
        prop_assert!((now - next).abs() < most, "{now} {next}");
    }
}
