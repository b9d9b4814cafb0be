//! How many stars a square degree holds, by place in the Galaxy and magnitude.
//!
//! The logarithm of the count rises with magnitude along a parabola: a little flatter at each
//! magnitude, as one looks through the nearby stars and out of the disc. The three numbers of the
//! parabola depend on galactic latitude. Near the plane a factor for longitude goes on top, with a
//! mean of one.
//!
//! # Where the numbers come from
//! - Count and slope at V 9.5: the list of real stars (Gaia DR3 and Hipparcos 2) that the program
//!   carries, in rings of latitude. They agree within 2 % in each.
//! - Bend: the parabola passes, within 15 %, through the counts at V 15, 16 and 17 of Allen's
//!   Astrophysical Quantities (4th edition, Cox 2000), a table by latitude and magnitude that the
//!   tests hold. The figures between are nobody's: a smooth way from the one to the other. At V 12
//!   it gives what Tycho-2 tells of itself (see the tests).
//! - Longitude: waves fitted to the list, and the rise towards the galactic centre of Bahcall &
//!   Soneira 1980, ApJS 44, 73 (from memory). The totals of that paper's formula are not used:
//!   at V 9.5 and high latitude they are half of what the list shows.
//!
//! Counts of this kind differ from author to author by tens of per cent; the 3rd edition of the
//! same handbook has 71 million stars brighter than V 16 (from memory), this model 45 million.

use crate::galactic::Galactic;
use crate::{Angle, Direction};

/// The parabola at one latitude: `log10 N = count + slope d - bend d^2`, with `d = V - 9.5`.
#[derive(Clone, Copy)]
struct Parabola {
    latitude_deg: f64,
    count: f64,
    slope: f64,
    bend: f64,
}

const fn parabola(latitude_deg: f64, count: f64, slope: f64, bend: f64) -> Parabola {
    Parabola { latitude_deg, count, slope, bend }
}

/// By absolute latitude; between two rows every number changes evenly.
const PARABOLAS: [Parabola; 8] = [
    parabola(0.0, 1.061, 0.452, 0.0125),
    parabola(5.0, 0.954, 0.464, 0.0123),
    parabola(10.0, 0.885, 0.454, 0.0121),
    parabola(20.0, 0.762, 0.433, 0.0117),
    parabola(30.0, 0.653, 0.421, 0.0123),
    parabola(45.0, 0.539, 0.408, 0.0130),
    parabola(60.0, 0.473, 0.385, 0.0124),
    parabola(90.0, 0.378, 0.394, 0.0141),
];

/// V magnitude that the parabolas are counted from: the limit of the list of real stars.
const ANCHOR_MAG: f64 = 9.5;

/// Stars brighter than a V magnitude on a square degree of sky, on the average of a few degrees.
///
/// # Units
/// - `longitude`, `latitude`: galactic
/// - `v_mag`: Johnson V, about 8 to 17. Outside, the figure goes on but means little
/// - returns: stars brighter than `v_mag` per square degree
///
/// # Source
/// Real counts at V 9.5 and Allen's Astrophysical Quantities (Cox 2000) at V 15 to 17; more at the
/// top of the module's file.
///
/// # Example
/// At the galactic pole a square degree holds some 20 stars to magnitude 12, near the plane six
/// to eight times as many.
/// ```
/// # use fieldstop::{Angle, stars::stars_per_deg2};
/// let pole = stars_per_deg2(Angle::ZERO, Angle::from_deg(90.0), 12.0);
/// let plane = stars_per_deg2(Angle::from_deg(90.0), Angle::ZERO, 12.0);
/// assert!((15.0..25.0).contains(&pole));
/// assert!((6.0..10.0).contains(&(plane / pole)));
/// ```
pub fn stars_per_deg2(longitude: Angle, latitude: Angle, v_mag: f64) -> f64 {
    CountModel::at(Direction::from_ra_dec(longitude, latitude)).stars_per_deg2(v_mag)
}

/// The model at one place, ready for any magnitude.
pub(super) struct CountModel {
    parabola: Parabola,
    longitude: Longitude,
}

impl CountModel {
    pub(super) fn at(place: Direction<Galactic>) -> Self {
        let latitude_deg = place.dec().deg().abs();
        Self { parabola: parabola_at(latitude_deg), longitude: Longitude::new(place, latitude_deg) }
    }

    pub(super) fn stars_per_deg2(&self, v_mag: f64) -> f64 {
        let d = v_mag - ANCHOR_MAG;
        let Parabola { count, slope, bend, .. } = self.parabola;
        10f64.powf(count + (slope - bend * d) * d) * self.longitude.factor(d)
    }
}

fn parabola_at(latitude_deg: f64) -> Parabola {
    let mut nearer_plane = PARABOLAS[0];
    for nearer_pole in PARABOLAS {
        if latitude_deg < nearer_pole.latitude_deg {
            let span = nearer_pole.latitude_deg - nearer_plane.latitude_deg;
            let share = (latitude_deg - nearer_plane.latitude_deg) / span;
            let between = |a: f64, b: f64| a + share * (b - a);
            return Parabola {
                latitude_deg,
                count: between(nearer_plane.count, nearer_pole.count),
                slope: between(nearer_plane.slope, nearer_pole.slope),
                bend: between(nearer_plane.bend, nearer_pole.bend),
            };
        }
        nearer_plane = nearer_pole;
    }
    nearer_plane
}

/// How longitude changes the count: exp(wave), a wave in longitude that dies out off the plane.
struct Longitude {
    /// The nearby arms and dust clouds.
    nearby: f64,
    nearby_mean_square: f64,
    /// Cosine of the angle from the galactic centre: inwards the disc goes on, outwards it ends.
    towards_centre: f64,
}

impl Longitude {
    fn new(place: Direction<Galactic>, latitude_deg: f64) -> Self {
        let [x, y, _] = place.xyz();
        let across = x.hypot(y);
        // At the poles longitude means nothing, and the waves have died out.
        let sin = if across > 0.0 { y / across } else { 0.0 };
        let cos_2l = 1.0 - 2.0 * sin * sin;
        let sin_3l = (3.0 - 4.0 * sin * sin) * sin;
        // Fitted to the logarithm of the list's counts from V 8.5 to 9.5, in five rings of latitude.
        let dying = |scale_deg: f64| 1.0 / (1.0 + (latitude_deg / scale_deg).powi(2));
        let (once, twice, thrice) = (-0.21 * dying(7.0), -0.215 * dying(16.0), -0.16 * dying(16.0));
        Self {
            nearby: once * sin + twice * cos_2l + thrice * sin_3l,
            nearby_mean_square: (once * once + twice * twice + thrice * thrice) / 2.0,
            towards_centre: x,
        }
    }

    /// `d` magnitudes fainter than the anchor.
    fn factor(&self, d: f64) -> f64 {
        // Bahcall & Soneira's counts at latitude 30 and V 16 are 1.5 times as many towards the
        // centre as away from it: exp(2 * 0.035 * 6.5 * cos 30).
        let centre = 0.035 * d.max(0.0);
        let wave = self.nearby + centre * self.towards_centre;
        // The mean of exp(wave) over longitude is nearly 1 + (mean square of the wave) / 2.
        let mean_square = self.nearby_mean_square + centre * centre / 2.0;
        wave.exp() / (1.0 + mean_square / 2.0)
    }
}
