//! The way of the Moon or a planet through one night: a target that moves among the stars.
//!
//! The place is computed at the two noons and in between, and a parabola led through; the Moon,
//! which is quicker, has its own path in the [`Night`]. What a night offers for it is told by
//! [`season::body_night`](crate::season::body_night), how large it looks by [`Body::diameter`].

use crate::place::{Epoch, Horizontal, topocentric};
use crate::sun_moon::Body;
use crate::{Angle, Instant, Night};

/// A body's way through one night.
///
/// # Example
/// Jupiter at its opposition of 2026 January 10 is highest at about midnight, 90 - 50 + 22 degrees
/// high from 50 degrees north.
/// ```
/// # use fieldstop::{Angle, Body, Instant, Night, Observer, body_path::BodyPath};
/// let observer =
///     Observer { latitude: Angle::from_deg(50.0), longitude: Angle::ZERO, elevation_m: 0.0 };
/// let noon = Instant::from_utc(2026, 1, 10, 12, 0, 0.0).unwrap();
/// let night = Night::new(observer, noon, noon.after_hours(24.0));
/// let jupiter = BodyPath::new(&night, Body::Jupiter);
/// let at_midnight = jupiter.at(&night, night.middle());
/// assert!((at_midnight.altitude.deg() - 62.0).abs() < 1.0);
/// ```
#[derive(Clone, Copy, Debug)]
pub struct BodyPath {
    body: Body,
    /// Apparent places of date, kilometres, at the window's start, middle and end.
    nodes_km: [[f64; 3]; 3],
}

impl BodyPath {
    /// A body's way through a night.
    pub fn new(night: &Night, body: Body) -> Self {
        let window = night.window();
        let nodes_km = [window.start, window.middle(), window.end].map(|instant| {
            let place = body.place(&Epoch::at(instant));
            place.apparent.xyz().map(|v| v * place.distance_km)
        });
        Self { body, nodes_km }
    }

    /// Which body it is.
    pub fn body(&self) -> Body {
        self.body
    }

    /// Where the body stands at an instant of the night, from the ground, without refraction.
    ///
    /// Within 5 arcsec of the series (Mercury at its quickest).
    ///
    /// # Units
    /// - `night`: the one that the path was made for
    pub fn at(&self, night: &Night, instant: Instant) -> Horizontal {
        self.at_hours(night, night.sky().hours(instant))
    }

    pub(crate) fn at_hours(&self, night: &Night, hours: f64) -> Horizontal {
        let sidereal_time = night.sky().sidereal_time(hours);
        topocentric(night.observer(), sidereal_time, self.vector_km(night, hours)).0
    }

    /// West of the meridian, from the Earth's centre.
    pub(crate) fn hour_angle(&self, night: &Night, hours: f64) -> Angle {
        let [x, y, _] = self.vector_km(night, hours);
        night.sky().sidereal_time(hours) - Angle::from_rad(y.atan2(x))
    }

    fn vector_km(&self, night: &Night, hours: f64) -> [f64; 3] {
        if self.body == Body::Moon {
            return night.sky().moon_km(hours);
        }
        let [start, middle, end] = &self.nodes_km;
        let whole = night.window().hours();
        // A night of no length is a single place. From -1 at the start to 1 at the end.
        let s = if whole > 0.0 { 2.0 * hours / whole - 1.0 } else { 0.0 };
        let (by_start, by_middle, by_end) = (s * (s - 1.0) / 2.0, 1.0 - s * s, s * (s + 1.0) / 2.0);
        [0, 1, 2].map(|k| by_start * start[k] + by_middle * middle[k] + by_end * end[k])
    }
}
