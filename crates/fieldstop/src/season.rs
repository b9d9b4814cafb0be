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

use std::f64::consts::TAU;

use crate::air::{Air, airmass};
use crate::body_path::BodyPath;
use crate::hour_angle::{HalfArc, half_arc, hour_angles_up};
use crate::night::Night;
use crate::place::{Horizontal, OfDate, SIDEREAL_RAD_PER_HOUR, rotate};
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
    TargetNight {
        dark: up.and(night.dark()),
        moonless: up.and(night.moonless_dark()),
        up,
        transit: nearest_to_middle(night, &transits),
        highest: highest(night, &transits, |instant| night.star(place, instant)),
    }
}

/// What one night offers for the Moon or a planet, which move while it passes.
///
/// A notch in the skyline that the body passes within a quarter of an hour can be missed.
///
/// # Units
/// - `path`: made once for the night and the body
///
/// # Example
/// A full Moon is up all night: it stands opposite the Sun.
/// ```
/// # use fieldstop::{Angle, Body, Horizon, Instant, Night, Observer};
/// # use fieldstop::{body_path::BodyPath, season::body_night};
/// let observer = Observer { latitude: Angle::ZERO, longitude: Angle::ZERO, elevation_m: 0.0 };
/// let noon = Instant::from_utc(2026, 3, 3, 12, 0, 0.0).unwrap();
/// let night = Night::new(observer, noon, noon.after_hours(24.0));
/// let moon = BodyPath::new(&night, Body::Moon);
/// let found = body_night(&night, &Horizon::flat(Angle::ZERO), &moon);
/// assert_eq!(found.dark, *night.dark());
/// assert!(found.moonless.is_empty());
/// ```
pub fn body_night(night: &Night, horizon: &Horizon, path: &BodyPath) -> TargetNight {
    const KNOTS_PER_HOUR: f64 = 4.0;
    let clearance = |hours: f64| {
        let seen = path.at_hours(night, hours);
        (seen.altitude - horizon.limit(seen.azimuth)).rad()
    };
    let up = night.sky().spans(KNOTS_PER_HOUR, clearance);
    // Hour angles grow through zero at the upper transit.
    let transits: Vec<Instant> = night
        .sky()
        .spans(1.0, |hours| path.hour_angle(night, hours).sin())
        .iter()
        .map(|west| west.start)
        .filter(|&start| start > night.window().start)
        .collect();
    // The Moon's own motion takes its highest point off the meridian: look every ten minutes too.
    let ten_minutes = |span: Span| {
        // OK because a night has few of them.
        let count = (span.hours() * 6.0) as u32;
        (1..=count).map(move |k| span.start.after_s(600.0 * f64::from(k)))
    };
    let moments: Vec<Instant> =
        night.dark().iter().flat_map(ten_minutes).chain(transits.iter().copied()).collect();
    TargetNight {
        dark: up.and(night.dark()),
        moonless: up.and(night.moonless_dark()),
        up,
        transit: nearest_to_middle(night, &transits),
        highest: highest(night, &moments, |instant| path.at(night, instant)),
    }
}

fn nearest_to_middle(night: &Night, transits: &[Instant]) -> Option<Instant> {
    let middle = night.middle().unix_ms();
    transits.iter().copied().min_by_key(|transit| transit.unix_ms().abs_diff(middle))
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

/// How many turns of the sky after the first transit can still reach into a window: a star is up for
/// half a turn before its transit at the most.
fn turns_needed(window_h: f64) -> i32 {
    // OK because a window is a night, or at the most a few days where a zone skips one.
    (window_h * SIDEREAL_RAD_PER_HOUR / TAU + 0.5).clamp(0.0, 100.0).floor() as i32
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

/// A target is highest at one of some moments in the dark (its transits), or at an end of the dark.
fn highest(
    night: &Night,
    moments: &[Instant],
    seen_at: impl Fn(Instant) -> Horizontal,
) -> Option<Highest> {
    let ends = night.dark().iter().flat_map(|span| [span.start, span.end]);
    let in_dark = moments.iter().copied().filter(|&moment| night.dark().contains(moment));
    let (instant, seen) = ends
        .chain(in_dark)
        .map(|instant| (instant, seen_at(instant)))
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
    /// once for 64 nights, in which its declination drifts by up to 15 arcsec from the middle one:
    /// seconds of time, but more where it only grazes the skyline. Within 4 degrees of a pole, where
    /// a star hardly moves, it is followed anew each night.
    ///
    /// # Units
    /// - `place`: ICRS, of a target that does not move among the stars
    pub fn hours(&self, place: Direction<Icrs>) -> impl Iterator<Item = UsableHours> + '_ {
        const NIGHTS_A_PATH: usize = 64;
        const SIN_86_DEG: f64 = 0.997_564_05;
        let flat = self.horizon.is_flat();
        let mut path = Vec::new();
        let first = self.nights.first().map_or(place.xyz(), |night| night.apparent(place));
        let near = NearbyRa::of(first);
        self.nights.iter().enumerate().map(move |(index, night)| {
            let seen = night.apparent(place);
            if flat {
                return self.hours_over_flat_horizon(night, seen, &near);
            }
            if seen[2].abs() > SIN_86_DEG {
                path = self.path(seen);
            } else if index % NIGHTS_A_PATH == 0 {
                let middle = self.nights.get(index + NIGHTS_A_PATH / 2).unwrap_or(night);
                path = self.path(middle.apparent(place));
            }
            night.usable(near.ra_rad(seen), &path)
        })
    }

    /// The hour angles at which a star clears the skyline.
    fn path(&self, seen: [f64; 3]) -> Vec<(f64, f64)> {
        let dec = Direction::<OfDate>::from_vector(seen).map_or(Angle::ZERO, Direction::dec);
        hour_angles_up(&self.horizon, self.latitude, dec)
    }

    fn hours_over_flat_horizon(
        &self,
        night: &DarkNight,
        seen: [f64; 3],
        near: &NearbyRa,
    ) -> UsableHours {
        if night.dark.is_empty() {
            return UsableHours::default();
        }
        let [x, y, z] = seen;
        let across_squared = x * x + y * y;
        // The root of a number this near to 1, to 0.001 arcsec.
        let length = f64::midpoint(1.0, across_squared + z * z);
        let above = self.sin_lowest * length - self.sin_latitude * z;
        match half_arc(above, self.cos_latitude * across_squared.sqrt()) {
            HalfArc::Never => UsableHours::default(),
            HalfArc::Always => night.all(),
            HalfArc::Half(half) => night.usable(near.ra_rad(seen), &[(-half, half)]),
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
            meridian_at_noon: sky.sidereal_time(0.0).wrapped().rad(),
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
    fn usable(&self, ra_rad: f64, hour_angles: &[(f64, f64)]) -> UsableHours {
        let mut first_transit = ra_rad - self.meridian_at_noon;
        // Both are within a turn of zero; twice at the most, and cheaper than a remainder.
        while first_transit < 0.0 {
            first_transit += TAU;
        }
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

/// The right ascension of a star on many dates, without an arc tangent for each: a year moves a star
/// by arcseconds, and so little is the tangent of the turn between two places but for its cube.
struct NearbyRa {
    x: f64,
    y: f64,
    ra_rad: f64,
}

impl NearbyRa {
    fn of([x, y, _]: [f64; 3]) -> Self {
        Self { x, y, ra_rad: y.atan2(x) }
    }

    /// Between -pi and pi and the turn.
    fn ra_rad(&self, [x, y, _]: [f64; 3]) -> f64 {
        // The next term of the arc tangent is a fifth of its fifth power: 2e-11.
        const SMALL: f64 = 0.01;
        let along = self.x * x + self.y * y;
        let across = self.x * y - self.y * x;
        if across.abs() < SMALL * along {
            let turn = across / along;
            self.ra_rad + turn * (1.0 - turn * turn / 3.0)
        } else {
            // Next to a pole the right ascension goes any way.
            y.atan2(x)
        }
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
