//! From a catalogue place to altitude and azimuth.
//!
//! The chain, one link a function: a direction of the [`Icrs`] is bent by the Sun's mass and tilted
//! by the Earth's motion (aberration), then turned to the equator and equinox of the day
//! (precession and nutation): the apparent place, [`Epoch::apparent`]. The Earth's turning (sidereal
//! time) and the [`Observer`]'s place on it make that an altitude and an azimuth,
//! [`Epoch::horizontal`]. Near bodies are seen from the ground and not from the Earth's centre,
//! [`Epoch::topocentric`]. What the air adds stands in [`air`](crate::air).
//!
//! Left out, since a planner needs 72 arcsec: polar motion (0.5 arcsec), the aberration of the
//! Earth's turning (0.3 arcsec), UT1 minus UTC (13.5 arcsec, see [`time`](crate::time)).

use sofars::astro::{ab, ldsun};
use sofars::consts::{AULT, DAYSEC};
use sofars::coords::gd2gc;
use sofars::erst::gst06;
use sofars::pnp::pnm06a;

use crate::direction::dot;
use crate::ephemeris::Earth;
use crate::kit::Site;
use crate::{Angle, Direction, Icrs, Instant};

/// The true equator and equinox of a date: where the Earth's axis really points then.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OfDate;

/// Radians that the Earth turns against the equinox in an hour.
///
/// # Source
/// 1.002737909350795 turns a day: Capitaine, Wallace & Chapront 2003, A&A 412, 567, sidereal time
/// at J2000 (from memory).
pub const SIDEREAL_RAD_PER_HOUR: f64 = std::f64::consts::TAU * 1.002_737_909_350_795 / 24.0;

/// Where on Earth somebody looks at the sky.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observer {
    /// Geodetic, -90 to 90 degrees, north positive.
    pub latitude: Angle,
    /// East positive.
    pub longitude: Angle,
    /// Above the sea (taken as the ellipsoid), metres.
    pub elevation_m: f64,
}

impl Observer {
    /// The place of a site.
    pub fn of(site: &Site) -> Self {
        Self {
            latitude: Angle::from_deg(site.latitude_deg),
            longitude: Angle::from_deg(site.longitude_deg),
            elevation_m: site.elevation_m,
        }
    }

    /// From the Earth's centre, kilometres, in the plane of the meridian: outwards at the equator,
    /// and along the axis to the north.
    pub(crate) fn in_meridian_km(&self) -> [f64; 2] {
        const WGS84: i32 = 1;
        // OK because the only fault is an ellipsoid without a number; the centre is a safe answer.
        let [x, _, z] =
            gd2gc(WGS84, 0.0, self.latitude.rad(), self.elevation_m).unwrap_or_default();
        [x / 1000.0, z / 1000.0]
    }

    /// Altitude and azimuth of a vector of date, when the meridian points at `sidereal_time`.
    pub(crate) fn horizontal(&self, sidereal_time: Angle, [x, y, z]: [f64; 3]) -> Horizontal {
        let (sin_time, cos_time) = sidereal_time.sin_cos();
        let (sin_latitude, cos_latitude) = self.latitude.sin_cos();
        let to_meridian = cos_time * x + sin_time * y;
        let east = cos_time * y - sin_time * x;
        let north = cos_latitude * z - sin_latitude * to_meridian;
        let up = sin_latitude * z + cos_latitude * to_meridian;
        Horizontal {
            altitude: Angle::from_rad(up.atan2(east.hypot(north))),
            azimuth: Angle::from_rad(east.atan2(north)).wrapped(),
        }
    }
}

/// A place in the sky over an observer, without refraction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Horizontal {
    /// -90 to 90 degrees.
    pub altitude: Angle,
    /// From north through east, 0 to 360 degrees.
    pub azimuth: Angle,
}

impl Horizontal {
    /// How far apart two places in the sky are.
    pub fn separation(self, other: Self) -> Angle {
        let direction = |h: Self| Direction::<Icrs>::from_ra_dec(h.azimuth, h.altitude);
        // OK because a separation does not ask which frame it is measured in.
        direction(self).separation(direction(other))
    }
}

/// How the Earth stands and moves at one instant: all that turns a catalogue place into one of date.
///
/// Dear to make (a tenth of a millisecond), cheap to use: make one and share it among targets.
///
/// # Source
/// IAU 2006 precession, IAU 2000A nutation, Greenwich apparent sidereal time, aberration and
/// deflection as in IAU SOFA `pnm06a`, `gst06`, `ab`, `ldsun`; the Earth by `epv00`.
///
/// # Example
/// The pole star's catalogue place is nearer to the pole of 2100 than to that of 2000.
/// ```
/// # use fieldstop::{Angle, Direction, Instant, place::Epoch};
/// let polaris = Direction::from_ra_dec(Angle::from_hours(2.5303), Angle::from_deg(89.2641));
/// let from_pole = |year| {
///     let epoch = Epoch::at(Instant::from_utc(year, 3, 24, 0, 0, 0.0).unwrap());
///     90.0 - epoch.apparent(polaris).dec().deg()
/// };
/// assert!((from_pole(2000) - 0.74).abs() < 0.01 && (from_pole(2100) - 0.46).abs() < 0.01);
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Epoch {
    instant: Instant,
    of_date_from_icrs: [[f64; 3]; 3],
    greenwich: Angle,
    earth: Earth,
}

impl Epoch {
    /// How the Earth stands at an instant, best between 1950 and 2100.
    pub fn at(instant: Instant) -> Self {
        let (tt1, tt2) = instant.tt();
        let (ut1, ut2) = instant.split();
        let of_date_from_icrs = pnm06a(tt1, tt2);
        let greenwich = Angle::from_rad(gst06(ut1, ut2, tt1, tt2, &of_date_from_icrs));
        Self { instant, of_date_from_icrs, greenwich, earth: Earth::at(tt1, tt2) }
    }

    /// The instant.
    pub fn instant(&self) -> Instant {
        self.instant
    }

    /// Greenwich apparent sidereal time, 0 to 360 degrees: the right ascension of date that stands
    /// due south (or north) at longitude 0.
    pub fn sidereal_time(&self) -> Angle {
        self.greenwich
    }

    /// A catalogue place turned to the true equator and equinox of date, and nothing else.
    pub fn true_of_date(&self, place: Direction<Icrs>) -> Direction<OfDate> {
        Direction::from_unit(rotate(&self.of_date_from_icrs, place.xyz()))
    }

    /// The apparent place: deflection, aberration, precession and nutation.
    pub fn apparent(&self, place: Direction<Icrs>) -> Direction<OfDate> {
        let [x, y, z] = self.earth.from_sun_au;
        let sun_distance = x.hypot(y).hypot(z);
        let towards_earth = [x, y, z].map(|v| v / sun_distance);
        self.aberrated(ldsun(place.xyz(), towards_earth, sun_distance))
    }

    /// A true direction of the ICRS as the moving Earth sees it, of date.
    pub(crate) fn aberrated(&self, direction: [f64; 3]) -> Direction<OfDate> {
        let velocity = self.velocity_over_c();
        let slowing = (1.0 - dot(velocity, velocity)).sqrt();
        let [x, y, z] = self.earth.from_sun_au;
        let seen = ab(&direction, &velocity, x.hypot(y).hypot(z), slowing);
        Direction::from_unit(rotate(&self.of_date_from_icrs, seen))
    }

    /// Altitude and azimuth of a place so far away that it does not matter where one stands.
    pub fn horizontal(&self, observer: &Observer, place: Direction<OfDate>) -> Horizontal {
        observer.horizontal(self.greenwich + observer.longitude, place.xyz())
    }

    /// Altitude, azimuth and distance from the ground of a body at a distance from the Earth's
    /// centre: the Moon stands up to a degree lower than without this.
    pub fn topocentric(
        &self,
        observer: &Observer,
        place: Direction<OfDate>,
        distance_km: f64,
    ) -> (Horizontal, f64) {
        let vector = place.xyz().map(|v| v * distance_km);
        topocentric(observer, self.greenwich + observer.longitude, vector)
    }

    pub(crate) fn earth(&self) -> &Earth {
        &self.earth
    }

    pub(crate) fn of_date_from_icrs(&self) -> &[[f64; 3]; 3] {
        &self.of_date_from_icrs
    }

    pub(crate) fn velocity_over_c(&self) -> [f64; 3] {
        self.earth.velocity_au_per_day.map(|v| v * AULT / DAYSEC)
    }
}

/// Altitude, azimuth and distance of a vector of date from the Earth's centre, kilometres, seen
/// from the ground when the observer's meridian points at `sidereal_time`.
pub(crate) fn topocentric(
    observer: &Observer,
    sidereal_time: Angle,
    vector_km: [f64; 3],
) -> (Horizontal, f64) {
    let (sin_time, cos_time) = sidereal_time.sin_cos();
    let [out, along] = observer.in_meridian_km();
    let [x, y, z] = vector_km;
    let from_ground = [x - out * cos_time, y - out * sin_time, z - along];
    let [x, y, z] = from_ground;
    (observer.horizontal(sidereal_time, from_ground), x.hypot(y).hypot(z))
}

/// The highest altitude that a place ever reaches over an observer, at its upper transit.
///
/// # Example
/// From 52 degrees north the celestial equator stands 38 degrees high in the south.
/// ```
/// # use fieldstop::{Angle, place::highest_ever};
/// let highest = highest_ever(Angle::from_deg(52.0), Angle::ZERO);
/// assert!((highest.deg() - 38.0).abs() < 1e-12);
/// ```
pub fn highest_ever(latitude: Angle, dec: Angle) -> Angle {
    Angle::RIGHT - (latitude - dec).abs()
}

pub(crate) fn rotate(matrix: &[[f64; 3]; 3], vector: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| dot(row, vector))
}
