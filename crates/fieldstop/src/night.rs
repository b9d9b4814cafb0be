//! One night, from local noon to local noon: when it is dark, and where Sun and Moon are meanwhile.
//!
//! The local noons come from the caller, who knows the site's time zone; here a night is the time
//! between two instants, about 24 hours (23 and 25 where daylight saving changes). All is computed
//! once, at the middle of the window; within it the Sun follows its orbit's curvature and the Moon
//! a cubic through three known places, which costs 0.2 arcsec and makes a year of nights quick. In the 27
//! nights that had a leap second the Moon beyond it, seen from the middle, is off by its way in that
//! second, 0.7 arcsec.

use sofars::consts::{AULT, DAYSEC};

use crate::crossing::above_zero;
use crate::ephemeris::{Earth, length, moon};
use crate::place::{
    Epoch, Horizontal, Observer, OfDate, SIDEREAL_RAD_PER_HOUR, rotate, topocentric,
};
use crate::spans::{Span, Spans};
use crate::sun_moon::{AU_KM, Body, Phase};
use crate::{Angle, Direction, Icrs, Instant};

/// How deep the Sun stands: the four steps from sunset to night.
///
/// # Source
/// The almanacs' definitions: the upper edge touches the horizon at -0.8333 degrees (16 arcmin of
/// radius, 34 of refraction); the twilights end at -6, -12 and -18 degrees. A sea horizon: the dip
/// that an elevated place adds is left out.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum SunDepth {
    /// The upper edge has set.
    Set,
    /// Civil twilight is over.
    Civil,
    /// Nautical twilight is over.
    Nautical,
    /// Astronomical twilight is over: it is dark.
    Astronomical,
}

impl SunDepth {
    /// From shallow to deep.
    pub const ALL: [Self; 4] = [Self::Set, Self::Civil, Self::Nautical, Self::Astronomical];

    /// The altitude that the Sun's centre is below, without refraction.
    pub const fn altitude(self) -> Angle {
        Angle::from_deg(match self {
            Self::Set => -0.8333,
            Self::Civil => -6.0,
            Self::Nautical => -12.0,
            Self::Astronomical => -18.0,
        })
    }
}

/// When something holds during a night. Never and always are answers of their own, not zero hours.
#[derive(Clone, Debug, Eq, PartialEq)]
pub enum When {
    /// At no time of the night.
    Never,
    /// All the time from noon to noon.
    Always,
    /// In these stretches, clipped to the night.
    During(Spans),
}

impl When {
    /// The stretches, clipped to a window.
    pub fn spans(&self, window: Span) -> Spans {
        match self {
            Self::Never => Spans::default(),
            Self::Always => Spans::new([window]),
            Self::During(spans) => spans.clone(),
        }
    }

    fn of(window: Span, spans: Spans) -> Self {
        if spans.is_empty() {
            Self::Never
        } else if spans.iter().len() == 1 && spans.hours() == window.hours() {
            Self::Always
        } else {
            Self::During(spans)
        }
    }
}

/// One night at one place.
///
/// # Example
/// At 54 degrees north there is no astronomical night at the June solstice: the Sun sinks to 12.6
/// degrees below the horizon only, `90 - 54 - 23.4`.
/// ```
/// # use fieldstop::{Angle, Instant, Night, Observer, night::{SunDepth, When}};
/// let observer =
///     Observer { latitude: Angle::from_deg(54.0), longitude: Angle::ZERO, elevation_m: 0.0 };
/// let noon = Instant::from_utc(2026, 6, 21, 12, 0, 0.0).unwrap();
/// let night = Night::new(observer, noon, noon.after_hours(24.0));
/// assert_eq!(*night.below(SunDepth::Astronomical), When::Never);
/// assert!(night.falls(SunDepth::Nautical).is_some());
/// ```
#[derive(Clone, Debug)]
pub struct Night {
    sky: NightSky,
    window: Span,
    below: [When; 4],
    moon_up: When,
    moon_seen: When,
    dark: Spans,
    moonless_dark: Spans,
}

impl Night {
    /// The night between two local noons.
    ///
    /// # Units
    /// - `noon`, `next_noon`: about 24 hours apart, in this order. An end before the start gives a
    ///   night of no length, in which nothing happens
    pub fn new(observer: Observer, noon: Instant, next_noon: Instant) -> Self {
        let window = Span { start: noon, end: next_noon.max(noon) };
        let sky = NightSky::new(observer, window);
        let below = SunDepth::ALL.map(|depth| {
            let level = depth.altitude().sin();
            let under = |hours| level - sky.sin_altitude(hours, sky.sun_km(hours)).0;
            When::of(window, sky.spans(KNOTS_PER_HOUR, under))
        });
        let up = |hours| sky.sin_altitude(hours, sky.moon_km(hours)).0;
        let moon_up = When::of(window, sky.spans(KNOTS_PER_HOUR, up));
        let edge = |hours| sky.moon_edge(hours);
        let moon_seen = When::of(window, sky.spans(KNOTS_PER_HOUR, edge));
        let [.., astronomical] = &below;
        let dark = astronomical.spans(window);
        let moonless_dark = dark.without(&moon_up.spans(window));
        Self { sky, window, below, moon_up, moon_seen, dark, moonless_dark }
    }

    /// From local noon to local noon.
    pub fn window(&self) -> Span {
        self.window
    }

    /// Where the night is seen from.
    pub fn observer(&self) -> &Observer {
        &self.sky.observer
    }

    /// When the Sun is below a depth. `Never` below [`SunDepth::Astronomical`] is "no astronomical
    /// night"; `Never` below [`SunDepth::Set`], the Sun does not set; `Always`, it does not rise.
    pub fn below(&self, depth: SunDepth) -> &When {
        let [set, civil, nautical, astronomical] = &self.below;
        match depth {
            SunDepth::Set => set,
            SunDepth::Civil => civil,
            SunDepth::Nautical => nautical,
            SunDepth::Astronomical => astronomical,
        }
    }

    /// When the Sun first sinks past a depth: sunset, or the end of an evening's twilight.
    pub fn falls(&self, depth: SunDepth) -> Option<Instant> {
        self.first_begin(self.below(depth))
    }

    /// When the Sun first comes back from a depth after that: sunrise, or a morning's twilight.
    pub fn ends(&self, depth: SunDepth) -> Option<Instant> {
        let evening = self.falls(depth).unwrap_or(self.window.start);
        self.first_end_after(self.below(depth), evening)
    }

    /// When the Moon's centre is above 0 degrees, without refraction: the rule by which moonless
    /// hours are counted.
    pub fn moon_up(&self) -> &When {
        &self.moon_up
    }

    /// When the Moon's upper edge can be seen over a sea horizon, with 34 arcmin of refraction: the
    /// rule of almanacs for moonrise and moonset.
    pub fn moon_seen(&self) -> &When {
        &self.moon_seen
    }

    /// The first moonrise of the night.
    pub fn moonrise(&self) -> Option<Instant> {
        self.first_begin(&self.moon_seen)
    }

    /// The first moonset of the night, which may come before the moonrise.
    pub fn moonset(&self) -> Option<Instant> {
        self.first_end_after(&self.moon_seen, self.window.start)
    }

    /// When it is astronomically dark.
    pub fn dark(&self) -> &Spans {
        &self.dark
    }

    /// When it is astronomically dark and the Moon's centre is down.
    pub fn moonless_dark(&self) -> &Spans {
        &self.moonless_dark
    }

    /// The middle of the dark, or else of the window: about local midnight.
    pub fn middle(&self) -> Instant {
        match (self.dark.start(), self.dark.end()) {
            (Some(start), Some(end)) => start.middle(end),
            _ => self.window.middle(),
        }
    }

    /// The Moon's phase at the [`middle`](Self::middle), seen from the Earth's centre.
    pub fn moon_phase(&self) -> Phase {
        self.moon_phase_at(self.middle())
    }

    /// The Moon's phase at an instant of the night.
    pub fn moon_phase_at(&self, instant: Instant) -> Phase {
        let hours = self.sky.hours(instant);
        Phase::of(self.sky.sun_km(hours), self.sky.moon_km(hours))
    }

    /// The Sun at an instant of the night, without refraction.
    pub fn sun(&self, instant: Instant) -> Horizontal {
        self.sky.sun_at(self.sky.hours(instant)).0
    }

    /// The Moon at an instant of the night from the ground, without refraction.
    pub fn moon(&self, instant: Instant) -> Horizontal {
        self.sky.moon_at(self.sky.hours(instant)).0
    }

    /// The apparent place of a star, which stays the same all night to 0.3 arcsec.
    pub fn apparent(&self, place: Direction<Icrs>) -> Direction<OfDate> {
        self.sky.epoch.apparent(place)
    }

    /// A star at an instant of the night, without refraction.
    pub fn star(&self, place: Direction<OfDate>, instant: Instant) -> Horizontal {
        self.sky.star_at(place, self.sky.hours(instant))
    }

    /// How far a star is from the Sun.
    pub fn from_sun(&self, place: Direction<OfDate>, instant: Instant) -> Angle {
        let sun = Direction::from_vector(self.sky.sun_km(self.sky.hours(instant)));
        // OK because the Sun is never at the Earth's centre.
        sun.map_or(Angle::ZERO, |sun| place.separation(sun))
    }

    pub(crate) fn sky(&self) -> &NightSky {
        &self.sky
    }

    fn first_begin(&self, when: &When) -> Option<Instant> {
        let spans = when.spans(self.window);
        spans.iter().map(|span| span.start).find(|&start| start > self.window.start)
    }

    fn first_end_after(&self, when: &When, after: Instant) -> Option<Instant> {
        let spans = when.spans(self.window);
        spans.iter().map(|span| span.end).find(|&end| end > after && end < self.window.end)
    }
}

/// Where everything is during one night, quickly. Times are hours since the window's start.
#[derive(Clone, Debug)]
pub(crate) struct NightSky {
    observer: Observer,
    latitude_sin_cos: (f64, f64),
    /// The observer from the Earth's centre, see [`Observer::in_meridian_km`].
    ground_km: [f64; 2],
    /// At the window's middle.
    epoch: Epoch,
    window: Span,
    middle_h: f64,
    sun: SunPath,
    /// Moon nodes at start, middle and end of the window.
    moon: [MoonNode; 3],
}

/// The Sun's place, velocity and acceleration at the window's middle, of date, au and days.
#[derive(Clone, Copy, Debug)]
struct SunPath([[f64; 3]; 3]);

/// The Moon's place and velocity, of date, kilometres and hours.
#[derive(Clone, Copy, Debug)]
struct MoonNode {
    hours: f64,
    place: [f64; 3],
    velocity: [f64; 3],
}

/// An event is found to this, hours: 0.4 ms, finer than an [`Instant`].
const EVENT_TOLERANCE_H: f64 = 1e-7;
/// Between knots an hour apart neither Sun nor Moon turns twice.
const KNOTS_PER_HOUR: f64 = 1.0;

impl NightSky {
    fn new(observer: Observer, window: Span) -> Self {
        let epoch = Epoch::at(window.middle());
        let end_h = window.hours();
        let to_date = epoch.of_date_from_icrs();
        let (tt1, tt2) = epoch.instant().tt();
        // 1.28 s: the Moon's distance hardly changes that.
        const MOON_LIGHT_H: f64 = 1.28 / 3600.0;
        let moon = [0.0, end_h / 2.0, end_h].map(|hours| {
            let [place, velocity] = moon(tt1, tt2 + (hours - end_h / 2.0 - MOON_LIGHT_H) / 24.0);
            MoonNode {
                hours,
                place: rotate(to_date, place).map(|v| v * AU_KM),
                velocity: rotate(to_date, velocity).map(|v| v * (AU_KM / 24.0)),
            }
        });
        let sun = SunPath::at(epoch.earth(), to_date);
        Self {
            observer,
            latitude_sin_cos: observer.latitude.sin_cos(),
            ground_km: observer.in_meridian_km(),
            epoch,
            window,
            middle_h: end_h / 2.0,
            sun,
            moon,
        }
    }

    pub(crate) fn hours(&self, instant: Instant) -> f64 {
        instant.hours_since(self.window.start)
    }

    pub(crate) fn epoch(&self) -> &Epoch {
        &self.epoch
    }

    /// The right ascension of date on the meridian.
    pub(crate) fn sidereal_time(&self, hours: f64) -> Angle {
        self.epoch.sidereal_time()
            + self.observer.longitude
            + Angle::from_rad((hours - self.middle_h) * SIDEREAL_RAD_PER_HOUR)
    }

    fn sun_km(&self, hours: f64) -> [f64; 3] {
        self.sun.au((hours - self.middle_h) / 24.0).map(|v| v * AU_KM)
    }

    /// Cubic between the two nodes around, by place and velocity.
    pub(crate) fn moon_km(&self, hours: f64) -> [f64; 3] {
        let [start, middle, end] = &self.moon;
        if hours < self.middle_h {
            hermite(start, middle, hours)
        } else {
            hermite(middle, end, hours)
        }
    }

    pub(crate) fn sun_at(&self, hours: f64) -> (Horizontal, f64) {
        topocentric(&self.observer, self.sidereal_time(hours), self.sun_km(hours))
    }

    pub(crate) fn moon_at(&self, hours: f64) -> (Horizontal, f64) {
        topocentric(&self.observer, self.sidereal_time(hours), self.moon_km(hours))
    }

    pub(crate) fn star_at(&self, place: Direction<OfDate>, hours: f64) -> Horizontal {
        self.observer.horizontal(self.sidereal_time(hours), place.xyz())
    }

    /// Above zero while the Moon's upper edge appears above the horizon.
    fn moon_edge(&self, hours: f64) -> f64 {
        const REFRACTION: Angle = Angle::from_arcmin(34.0);
        let (sin_altitude, distance_km) = self.sin_altitude(hours, self.moon_km(hours));
        sin_altitude + (REFRACTION + Body::Moon.diameter(distance_km) / 2.0).sin()
    }

    /// Sine of the altitude from the ground, and the distance: all that a crossing needs, and
    /// quicker than the angles.
    fn sin_altitude(&self, hours: f64, [x, y, z]: [f64; 3]) -> (f64, f64) {
        let (sin_time, cos_time) = self.sidereal_time(hours).sin_cos();
        let (sin_latitude, cos_latitude) = self.latitude_sin_cos;
        let [out, along] = self.ground_km;
        let to_meridian = cos_time * x + sin_time * y - out;
        let east = cos_time * y - sin_time * x;
        let to_pole = z - along;
        let up = sin_latitude * to_pole + cos_latitude * to_meridian;
        let distance = (to_meridian * to_meridian + east * east + to_pole * to_pole).sqrt();
        (up / distance, distance)
    }

    /// When a curve over the hours is above zero, if it turns at most once between two knots.
    pub(crate) fn spans(&self, knots_per_hour: f64, curve: impl Fn(f64) -> f64) -> Spans {
        let end = self.window.hours();
        let pieces = (end * knots_per_hour).ceil().clamp(1.0, 1000.0);
        // OK because the number of pieces is whole and small.
        let knots: Vec<f64> = (0..=pieces as usize).map(|k| end * k as f64 / pieces).collect();
        let spans = above_zero(&knots, EVENT_TOLERANCE_H, curve);
        self.instants(&spans)
    }

    /// Hours since the window's start as spans of instants; the window's ends are met exactly.
    pub(crate) fn instants(&self, spans: &[(f64, f64)]) -> Spans {
        Spans::new(spans.iter().map(|&(start, end)| Span {
            start: self.window.start.after_hours(start),
            end: self.window.start.after_hours(end).min(self.window.end),
        }))
    }
}

impl SunPath {
    /// The Sun as it appears: where it was when its light left, which for a body that (nearly)
    /// rests is what light time and aberration together make.
    fn at(earth: &Earth, to_date: &[[f64; 3]; 3]) -> Self {
        // Gaussian constant squared, and the Earth's own mass.
        const GM_AU3_PER_DAY2: f64 = 0.017_202_098_95 * 0.017_202_098_95 * (1.0 + 1.0 / 328_900.0);
        let place = earth.from_sun_au.map(|v| -v);
        let distance = length(place);
        let acceleration = place.map(|v| -v * GM_AU3_PER_DAY2 / distance.powi(3));
        let velocity = earth.velocity_from_sun_au_per_day.map(|v| -v);
        Self([place, velocity, acceleration].map(|vector| rotate(to_date, vector)))
    }

    fn au(&self, days: f64) -> [f64; 3] {
        let Self([place, velocity, acceleration]) = self;
        let t = days - length(*place) * AULT / DAYSEC;
        [0, 1, 2].map(|k| place[k] + t * (velocity[k] + t / 2.0 * acceleration[k]))
    }
}

/// The cubic with the given places and velocities at two nodes.
fn hermite(a: &MoonNode, b: &MoonNode, hours: f64) -> [f64; 3] {
    let step = b.hours - a.hours;
    // A night of no length is a single place.
    let s = if step > 0.0 { (hours - a.hours) / step } else { 0.0 };
    let (s2, s3) = (s * s, s * s * s);
    let (from_b, slope_a, slope_b) = (3.0 * s2 - 2.0 * s3, s - 2.0 * s2 + s3, s3 - s2);
    [0, 1, 2].map(|k| {
        a.place[k]
            + (b.place[k] - a.place[k]) * from_b
            + step * (a.velocity[k] * slope_a + b.velocity[k] * slope_b)
    })
}
