//! Sun, Moon and planets: where they are, how large they look, how much of them is lit.

use sofars::consts::{AULT, DAU, DAYSEC};

use crate::direction::{cross, dot};
use crate::ephemeris::{length, moon, planet, sub};
use crate::place::{Epoch, Horizontal, Observer, OfDate};
use crate::{Angle, Direction, Icrs};

/// Kilometres in an astronomical unit (IAU 2012 Resolution B2).
pub const AU_KM: f64 = DAU / 1000.0;

/// A body of the solar system that a telescope may be pointed at, or must not be.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub enum Body {
    /// The Sun.
    Sun,
    /// The Moon.
    Moon,
    /// Mercury.
    Mercury,
    /// Venus.
    Venus,
    /// Mars.
    Mars,
    /// Jupiter.
    Jupiter,
    /// Saturn, without its rings.
    Saturn,
    /// Uranus.
    Uranus,
    /// Neptune.
    Neptune,
}

/// Where a body is, seen from the Earth's centre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BodyPlace {
    /// Among the catalogue's stars: light time, but no aberration. For drawing.
    pub among_stars: Direction<Icrs>,
    /// The apparent place of date. For altitudes.
    pub apparent: Direction<OfDate>,
    /// From the Earth's centre, when the light left.
    pub distance_km: f64,
}

/// How the Sun lights a body, seen from the Earth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Phase {
    /// Between Sun and Earth, seen from the body: 0 full, 180 degrees new.
    pub phase_angle: Angle,
    /// Between Sun and body, seen from the Earth.
    pub elongation: Angle,
    /// Of the disc's area, 0 to 1.
    pub lit_fraction: f64,
    /// East of the Sun: the Moon grows, a planet is an evening star.
    pub waxing: bool,
}

impl Body {
    /// All of them, outward from the Sun after the Moon.
    pub const ALL: [Self; 9] = [
        Self::Sun,
        Self::Moon,
        Self::Mercury,
        Self::Venus,
        Self::Mars,
        Self::Jupiter,
        Self::Saturn,
        Self::Uranus,
        Self::Neptune,
    ];

    /// Its name in English.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sun => "Sun",
            Self::Moon => "Moon",
            Self::Mercury => "Mercury",
            Self::Venus => "Venus",
            Self::Mars => "Mars",
            Self::Jupiter => "Jupiter",
            Self::Saturn => "Saturn",
            Self::Uranus => "Uranus",
            Self::Neptune => "Neptune",
        }
    }

    /// Radius of the disc, at the equator.
    ///
    /// # Source
    /// IAU 2015 Resolution B3 for the Sun; Archinal et al. 2018, Celest. Mech. Dyn. Astr. 130, 22.
    pub const fn radius_km(self) -> f64 {
        match self {
            Self::Sun => 695_700.0,
            Self::Moon => 1737.4,
            Self::Mercury => 2440.53,
            Self::Venus => 6051.8,
            Self::Mars => 3396.19,
            Self::Jupiter => 71_492.0,
            Self::Saturn => 60_268.0,
            Self::Uranus => 25_559.0,
            Self::Neptune => 24_764.0,
        }
    }

    /// Apparent diameter at a distance, from edge to edge.
    ///
    /// # Example
    /// The Moon at its mean distance: half a degree.
    /// ```
    /// # use fieldstop::Body;
    /// assert!((Body::Moon.diameter(384_400.0).arcmin() - 31.08).abs() < 0.01);
    /// ```
    pub fn diameter(self, distance_km: f64) -> Angle {
        Angle::from_rad(2.0 * (self.radius_km() / distance_km).min(1.0).asin())
    }

    /// Where the body is at an instant.
    ///
    /// # Source
    /// IAU SOFA `epv00` (Sun), `moon98` (Meeus 1998, chapter 47) and `plan94` (Simon et al. 1994,
    /// A&A 282, 663), with light time. Against JPL DE421: Sun 0.02 arcsec, Moon 11, Mars 51,
    /// Jupiter 29, Saturn 68, others less.
    pub fn place(self, epoch: &Epoch) -> BodyPlace {
        let vector = self.vector_au(epoch);
        let direction = vector.map(|v| v / length(vector));
        let distance_au = match self {
            // The Earth's own way in that second, 38 km, is aberration and not distance.
            Self::Moon => {
                let (tt1, tt2) = epoch.instant().tt();
                let [place, _] = moon(tt1, tt2);
                length(place)
            }
            _ => length(vector),
        };
        BodyPlace {
            among_stars: Direction::from_unit(direction),
            apparent: epoch.aberrated(direction),
            distance_km: distance_au * AU_KM,
        }
    }

    /// The body when its light left it, from the Earth when the light arrives.
    fn vector_au(self, epoch: &Epoch) -> [f64; 3] {
        let (tt1, tt2) = epoch.instant().tt();
        let now = epoch.earth();
        let seen_after = |light_days: f64| match self {
            // The Sun moves 7 km while its light travels: 0.01 arcsec, here and in a planet's place.
            Self::Sun => now.from_sun_au.map(|v| -v),
            Self::Moon => {
                // In that second the Earth moves too.
                let [place, _] = moon(tt1, tt2 - light_days);
                sub(place, now.velocity_au_per_day.map(|v| v * light_days))
            }
            _ => {
                let [place, _] = planet(self.series_number(), tt1, tt2 - light_days);
                sub(place, now.from_sun_au)
            }
        };
        let mut vector = seen_after(0.0);
        // Each round leaves a ten-thousandth (the body's speed over light's) of the error.
        for _ in 0..2 {
            vector = seen_after(length(vector) * AULT / DAYSEC);
        }
        vector
    }

    const fn series_number(self) -> i32 {
        match self {
            Self::Mercury => 1,
            Self::Venus => 2,
            Self::Mars => 4,
            Self::Jupiter => 5,
            Self::Saturn => 6,
            Self::Uranus => 7,
            Self::Neptune => 8,
            Self::Sun | Self::Moon => 0,
        }
    }

    /// How the Sun lights the body. The Sun itself is full.
    pub fn phase(self, epoch: &Epoch) -> Phase {
        if self == Self::Sun {
            return Phase {
                phase_angle: Angle::ZERO,
                elongation: Angle::ZERO,
                lit_fraction: 1.0,
                waxing: false,
            };
        }
        let apparent_km = |body: Self| {
            let place = body.place(epoch);
            place.apparent.xyz().map(|v| v * place.distance_km)
        };
        Phase::of(apparent_km(Self::Sun), apparent_km(self))
    }
}

impl Phase {
    /// From the apparent vectors of Sun and body from the Earth, of date, in one unit.
    ///
    /// # Source
    /// Meeus 1998, chapter 48: lit fraction `(1 + cos i) / 2`.
    pub(crate) fn of(sun: [f64; 3], body: [f64; 3]) -> Self {
        let phase_angle = angle_between(body.map(|v| -v), sub(sun, body));
        Self {
            phase_angle,
            elongation: angle_between(sun, body),
            lit_fraction: f64::midpoint(1.0, phase_angle.cos()),
            waxing: dot(cross(sun, body), ECLIPTIC_POLE) > 0.0,
        }
    }
}

/// The pole of the ecliptic of date by the obliquity of J2000, 84,381.406 arcsec (IAU 2006), which
/// drifts by 47 arcsec a century: enough to tell east from west.
const ECLIPTIC_POLE: [f64; 3] = [0.0, -0.397_776_969_1, 0.917_482_143_1];

fn angle_between(a: [f64; 3], b: [f64; 3]) -> Angle {
    Angle::from_rad(length(cross(a, b)).atan2(dot(a, b)))
}

/// Where a body stands over an observer, and how far from there.
///
/// Without refraction, like every [`Horizontal`].
pub fn body_horizontal(body: Body, epoch: &Epoch, observer: &Observer) -> (Horizontal, f64) {
    let place = body.place(epoch);
    epoch.topocentric(observer, place.apparent, place.distance_km)
}

/// Why a telescope must be kept from a place now, unless it wears a certified full-aperture solar
/// filter.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum SunCaution {
    /// The Sun is above the horizon.
    SunIsUp,
    /// The target is within [`SunCaution::NEAR_DEG`] of the Sun, or is the Sun.
    NearSun,
}

impl SunCaution {
    /// Nearer to the Sun than this, degrees, a target is dangerous (the project's own rule).
    pub const NEAR_DEG: f64 = 20.0;

    /// The caution for a moment, if there is one; nearness goes first.
    ///
    /// The Sun counts as up from the moment its upper edge can be seen: -0.8333 degree.
    pub fn at(sun_altitude: Angle, from_sun: Angle) -> Option<Self> {
        if from_sun.deg() <= Self::NEAR_DEG {
            Some(Self::NearSun)
        } else if sun_altitude.deg() > -0.8333 {
            Some(Self::SunIsUp)
        } else {
            None
        }
    }
}
