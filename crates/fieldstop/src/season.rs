//! When a target stands in the dark: one night in full, or a year of nights in a moment.
//!
//! A star keeps its declination all night, so "above the limit" is an interval of hour angle that
//! needs no sampling: half of it is `acos((sin h - sin lat sin dec) / (cos lat cos dec))` where the
//! horizon is flat. Shifted by the star's right ascension it is cut with the hours of darkness.
//! [`target_night`] does this for one night and says all there is to say; [`Season`] does it for
//! a list of nights and counts hours only, a thousand times quicker.
//!
//! Hours are counted without refraction: Sun below -18 degrees, target above its limit, the Moon's
//! centre below 0.

use std::f64::consts::{PI, TAU};

use crate::air::{Air, airmass};
use crate::crossing::above_zero;
use crate::night::Night;
use crate::place::{OfDate, SIDEREAL_RAD_PER_HOUR, rotate};
use crate::spans::{Span, Spans};
use crate::{Angle, Direction, Horizon, Icrs, Instant};

/// What one night offers for one target.
#[derive(Clone, Debug, PartialEq)]
pub struct TargetNight {
    /// When the target stands above its limit, by day too.
    pub up: Spans,
    /// When it does while it is astronomically dark.
    pub dark: Spans,
    /// When it does while it is dark and the Moon is down.
    pub moonless: Spans,
    /// The upper transit nearest to the middle of the night. `None` if there is none between the
    /// noons, which the 23 hours of a night with a change of clocks allow.
    pub transit: Option<Instant>,
    /// The target at its highest while it is dark, above its limit or not; `None` without dark.
    pub highest: Option<Highest>,
}

/// A target at its highest while it is dark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Highest {
    /// When that is.
    pub instant: Instant,
    /// Without refraction.
    pub altitude: Angle,
    /// From north through east.
    pub azimuth: Angle,
    /// In a standard atmosphere; `None` below the horizon.
    pub airmass: Option<f64>,
    /// Distance to the Moon then, wherever the Moon is.
    pub moon_distance: Angle,
}

/// What one night offers for a star.
///
/// # Units
/// - `place`: ICRS, of a target that does not move among the stars
///
/// # Example
/// From 60 degrees north a star at declination 40 never sets, since 40 > 90 - 60; on a January
/// night it is up whenever it is dark.
/// ```
/// # use fieldstop::{Angle, Direction, Horizon, Instant, Night, Observer, season::target_night};
/// let observer =
///     Observer { latitude: Angle::from_deg(60.0), longitude: Angle::ZERO, elevation_m: 0.0 };
/// let noon = Instant::from_utc(2026, 1, 10, 12, 0, 0.0).unwrap();
/// let night = Night::new(observer, noon, noon.after_hours(24.0));
/// let star = Direction::from_ra_dec(Angle::from_hours(3.0), Angle::from_deg(40.0));
/// let found = target_night(&night, &Horizon::flat(Angle::ZERO), star);
/// assert_eq!(found.up.hours(), 24.0);
/// assert_eq!(found.dark, *night.dark());
/// ```
pub fn target_night(night: &Night, horizon: &Horizon, place: Direction<Icrs>) -> TargetNight {
    let place = night.apparent(place);
    let up = up_spans(night, horizon, place);
    let transits = transits(night, place);
    let middle = night.middle();
    TargetNight {
        dark: up.and(night.dark()),
        moonless: up.and(night.moonless_dark()),
        up,
        transit: transits
            .iter()
            .copied()
            .min_by_key(|transit| transit.unix_ms().abs_diff(middle.unix_ms())),
        highest: highest(night, place, &transits),
    }
}

/// When a star stands above its limit between the noons.
fn up_spans(night: &Night, horizon: &Horizon, place: Direction<OfDate>) -> Spans {
    let sky = night.sky();
    let window_h = night.window().hours();
    let meridian_at_noon = sky.sidereal_time(0.0).rad();
    let up = hour_angles_up(horizon, night.observer().latitude, place.dec());
    let first_transit = (place.ra().rad() - meridian_at_noon).rem_euclid(TAU);
    let turns = turns_needed(window_h);
    let spans: Vec<(f64, f64)> = (-1..=turns)
        .flat_map(|turn| {
            let transit = first_transit + f64::from(turn) * TAU;
            up.iter().map(move |&(start, end)| (transit + start, transit + end))
        })
        .map(|(start, end)| (start / SIDEREAL_RAD_PER_HOUR, end / SIDEREAL_RAD_PER_HOUR))
        .map(|(start, end)| (start.max(0.0), end.min(window_h)))
        .collect();
    sky.instants(&spans)
}

/// How many turns of the sky after the first transit can still reach into a window.
fn turns_needed(window_h: f64) -> i32 {
    // OK because a window is a night, or at the most a few days where a zone skips one.
    (window_h * SIDEREAL_RAD_PER_HOUR / TAU).clamp(0.0, 100.0).ceil() as i32
}

/// The upper transits of a star between the noons.
fn transits(night: &Night, place: Direction<OfDate>) -> Vec<Instant> {
    let window = night.window();
    let first = (place.ra() - night.sky().sidereal_time(0.0)).wrapped().rad();
    (0..=turns_needed(window.hours()))
        .map(|turn| (first + f64::from(turn) * TAU) / SIDEREAL_RAD_PER_HOUR)
        .map(|hours| window.start.after_hours(hours))
        .filter(|&transit| transit < window.end)
        .collect()
}

/// A star is highest at a transit in the dark, or else at an end of the dark.
fn highest(night: &Night, place: Direction<OfDate>, transits: &[Instant]) -> Option<Highest> {
    let ends = night.dark().iter().flat_map(|span| [span.start, span.end]);
    let in_dark = transits.iter().copied().filter(|&transit| night.dark().contains(transit));
    let (instant, seen) = ends
        .chain(in_dark)
        .map(|instant| (instant, night.star(place, instant)))
        .max_by(|(_, a), (_, b)| a.altitude.rad().total_cmp(&b.altitude.rad()))?;
    let air = Air::standard(night.observer().elevation_m);
    Some(Highest {
        instant,
        altitude: seen.altitude,
        azimuth: seen.azimuth,
        airmass: airmass(air.apparent_altitude(seen.altitude)),
        moon_distance: seen.separation(night.moon(instant)),
    })
}

/// The intervals of hour angle, radians, in which a star of a declination stands above its limit.
///
/// Within half a turn either side of the meridian; a star that is always up has the whole turn.
fn hour_angles_up(horizon: &Horizon, latitude: Angle, dec: Angle) -> Vec<(f64, f64)> {
    let (sin_latitude, cos_latitude) = latitude.sin_cos();
    let (sin_dec, cos_dec) = dec.sin_cos();
    if horizon.is_flat() {
        let above = horizon.lowest().sin() - sin_latitude * sin_dec;
        return match half_arc(above, cos_latitude * cos_dec) {
            HalfArc::Never => Vec::new(),
            HalfArc::Always => vec![(-PI, PI)],
            HalfArc::Half(half) => vec![(-half, half)],
        };
    }
    // 0.1 s of time.
    const TOLERANCE_RAD: f64 = 7e-6;
    let knots = skyline_knots(horizon, latitude, dec);
    above_zero(&knots, TOLERANCE_RAD, |hour_angle| {
        let (sin_hour, cos_hour) = hour_angle.sin_cos();
        let to_meridian = cos_dec * cos_hour;
        let east = -cos_dec * sin_hour;
        let north = cos_latitude * sin_dec - sin_latitude * to_meridian;
        let up = sin_latitude * sin_dec + cos_latitude * to_meridian;
        up.atan2(east.hypot(north)) - horizon.limit(Angle::from_rad(east.atan2(north))).rad()
    })
}

/// Hour angles between which a star's height over the skyline turns at most once: every two
/// degrees, and wherever the star passes a corner of the skyline.
fn skyline_knots(horizon: &Horizon, latitude: Angle, dec: Angle) -> Vec<f64> {
    const STEPS: i32 = 180;
    let (sin_latitude, cos_latitude) = latitude.sin_cos();
    let (sin_dec, cos_dec) = dec.sin_cos();
    let mut knots: Vec<f64> =
        (0..=STEPS).map(|k| PI * (2.0 * f64::from(k) / f64::from(STEPS) - 1.0)).collect();
    for azimuth in horizon.corner_azimuths() {
        // The star is in the vertical plane of the azimuth where p cos H + q sin H = r; the plane
        // runs on to the opposite azimuth, and a knot too many does no harm.
        let (sin_azimuth, cos_azimuth) = azimuth.sin_cos();
        let (p, q) = (-sin_azimuth * cos_dec * sin_latitude, cos_azimuth * cos_dec);
        let r = -sin_azimuth * sin_dec * cos_latitude;
        let (towards, apart) = (q.atan2(p), (r / p.hypot(q)).acos());
        for hour_angle in [towards - apart, towards + apart] {
            // Never reached: the arc cosine is not a number, and neither is the knot.
            if hour_angle.is_finite() {
                knots.push(Angle::from_rad(hour_angle).wrapped_signed().rad());
            }
        }
    }
    knots.sort_by(f64::total_cmp);
    knots
}

/// How far either side of the meridian a star is up over a flat horizon.
enum HalfArc {
    Never,
    Always,
    /// Radians, 0 to half a turn.
    Half(f64),
}

/// From `sin h - sin lat sin dec` and `cos lat cos dec`, or the same multiple of both; at a pole
/// the second is zero, and the first decides.
fn half_arc(above: f64, swing: f64) -> HalfArc {
    if above >= swing {
        HalfArc::Never
    } else if above <= -swing {
        HalfArc::Always
    } else {
        HalfArc::Half((above / swing).acos())
    }
}

/// Usable hours of a target in one night.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct UsableHours {
    /// In the dark, above its limit.
    pub dark: f32,
    /// The same, with the Moon down.
    pub moonless: f32,
}

/// A list of nights over one horizon, made ready to be asked about many targets.
///
/// Shared by threads as it is. One call of [`hours`](Self::hours) takes some tens of nanoseconds a
/// night, so a caller that runs through a catalogue can split the targets over threads, and look
/// between two targets whether to report progress or to stop.
///
/// # Example
/// From the equator a star on the celestial equator is above 30 degrees for 120 degrees of hour
/// angle, 8 sidereal hours, and the darkest night has little more.
/// ```
/// # use fieldstop::{Angle, Direction, Horizon, Instant, Night, Observer, Season};
/// let observer = Observer { latitude: Angle::ZERO, longitude: Angle::ZERO, elevation_m: 0.0 };
/// let first = Instant::from_utc(2026, 1, 1, 12, 0, 0.0).unwrap();
/// let nights: Vec<Night> = (0..365)
///     .map(|k| first.after_hours(24.0 * f64::from(k)))
///     .map(|noon| Night::new(observer, noon, noon.after_hours(24.0)))
///     .collect();
/// let season = Season::new(&nights, Horizon::flat(Angle::from_deg(30.0)));
/// let star = Direction::from_ra_dec(Angle::from_hours(6.0), Angle::ZERO);
/// let best = season.hours(star).map(|hours| hours.dark).fold(0.0, f32::max);
/// assert!((best - 8.0 / 1.00274).abs() < 0.001);
/// ```
#[derive(Clone, Debug)]
pub struct Season {
    horizon: Horizon,
    latitude: Angle,
    nights: Vec<DarkNight>,
    sin_lowest: f64,
    sin_latitude: f64,
    cos_latitude: f64,
}

/// What the counting of hours needs of a night. Times are radians of the sky's turning since noon.
#[derive(Clone, Debug)]
struct DarkNight {
    of_date_from_icrs: [[f64; 3]; 3],
    /// Aberration, of date: added to a unit vector it tilts it as the Earth's motion does.
    aberration: [f64; 3],
    meridian_at_noon: f64,
    turns: i32,
    dark: Vec<(f64, f64)>,
    moonless: Vec<(f64, f64)>,
}

impl Season {
    /// From nights of one observer, in any number and order.
    pub fn new<'a>(nights: impl IntoIterator<Item = &'a Night>, horizon: Horizon) -> Self {
        let mut latitude = Angle::ZERO;
        let nights = nights
            .into_iter()
            .inspect(|night| latitude = night.observer().latitude)
            .map(DarkNight::of)
            .collect();
        let (sin_latitude, cos_latitude) = latitude.sin_cos();
        let sin_lowest = horizon.lowest().sin();
        Self { horizon, latitude, nights, sin_lowest, sin_latitude, cos_latitude }
    }

    /// The usable hours of a star, night by night, in the order of the nights.
    ///
    /// Over a flat horizon as exact as [`target_night`]. Over a skyline the star's path is followed
    /// once for 16 nights, in which its declination drifts by up to 6 arcsec: seconds of time, but
    /// more where it only grazes the skyline. Within 10 degrees of a pole, where a star hardly
    /// moves, it is followed anew each night.
    ///
    /// # Units
    /// - `place`: ICRS, of a target that does not move among the stars
    pub fn hours(&self, place: Direction<Icrs>) -> impl Iterator<Item = UsableHours> + '_ {
        const NIGHTS_A_PATH: usize = 16;
        const SIN_80_DEG: f64 = 0.984_807_753;
        let flat = self.horizon.is_flat();
        let mut path = Vec::new();
        self.nights.iter().enumerate().map(move |(index, night)| {
            let seen = night.apparent(place);
            if flat {
                return self.hours_over_flat_horizon(night, seen);
            }
            let near_pole = seen[2].abs() > SIN_80_DEG;
            if near_pole || index % NIGHTS_A_PATH == 0 {
                let dec =
                    Direction::<OfDate>::from_vector(seen).map_or(Angle::ZERO, Direction::dec);
                path = hour_angles_up(&self.horizon, self.latitude, dec);
            }
            night.usable(seen, &path)
        })
    }

    fn hours_over_flat_horizon(&self, night: &DarkNight, seen: [f64; 3]) -> UsableHours {
        if night.dark.is_empty() {
            return UsableHours::default();
        }
        let [x, y, z] = seen;
        let across_squared = x * x + y * y;
        let length = (across_squared + z * z).sqrt();
        let above = self.sin_lowest * length - self.sin_latitude * z;
        match half_arc(above, self.cos_latitude * across_squared.sqrt()) {
            HalfArc::Never => UsableHours::default(),
            HalfArc::Always => night.all(),
            HalfArc::Half(half) => night.usable(seen, &[(-half, half)]),
        }
    }
}

impl DarkNight {
    fn of(night: &Night) -> Self {
        let sky = night.sky();
        let of_date_from_icrs = *sky.epoch().of_date_from_icrs();
        let turned = |spans: &Spans| {
            let since_noon = |instant| sky.hours(instant) * SIDEREAL_RAD_PER_HOUR;
            spans.iter().map(|Span { start, end }| (since_noon(start), since_noon(end))).collect()
        };
        Self {
            of_date_from_icrs,
            aberration: rotate(&of_date_from_icrs, sky.epoch().velocity_over_c()),
            meridian_at_noon: sky.sidereal_time(0.0).rad(),
            turns: turns_needed(night.window().hours()),
            dark: turned(night.dark()),
            moonless: turned(night.moonless_dark()),
        }
    }

    /// The apparent place as a vector of about unit length, to 0.001 arcsec.
    fn apparent(&self, place: Direction<Icrs>) -> [f64; 3] {
        let [x, y, z] = rotate(&self.of_date_from_icrs, place.xyz());
        let [dx, dy, dz] = self.aberration;
        [x + dx, y + dy, z + dz]
    }

    /// All the dark there is.
    fn all(&self) -> UsableHours {
        let total = |spans: &[(f64, f64)]| spans.iter().map(|(start, end)| end - start).sum();
        UsableHours::from_rad(total(&self.dark), total(&self.moonless))
    }

    /// The dark that a star spends in some intervals of hour angle.
    fn usable(&self, [x, y, _]: [f64; 3], hour_angles: &[(f64, f64)]) -> UsableHours {
        let first_transit = (y.atan2(x) - self.meridian_at_noon).rem_euclid(TAU);
        let (mut dark, mut moonless) = (0.0, 0.0);
        for turn in -1..=self.turns {
            let transit = first_transit + f64::from(turn) * TAU;
            for &(start, end) in hour_angles {
                let up = (transit + start, transit + end);
                dark += common(&self.dark, up);
                moonless += common(&self.moonless, up);
            }
        }
        UsableHours::from_rad(dark, moonless)
    }
}

/// How much of an interval lies in some stretches.
fn common(stretches: &[(f64, f64)], (start, end): (f64, f64)) -> f64 {
    stretches.iter().map(|stretch| (stretch.1.min(end) - stretch.0.max(start)).max(0.0)).sum()
}

impl UsableHours {
    fn from_rad(dark: f64, moonless: f64) -> Self {
        // OK because 24 hours in an f32 are good to 4 ms.
        let hours = |rad: f64| (rad / SIDEREAL_RAD_PER_HOUR) as f32;
        Self { dark: hours(dark), moonless: hours(moonless) }
    }
}
