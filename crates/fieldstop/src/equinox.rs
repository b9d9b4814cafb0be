//! The mean equator of an older equinox, where something on the sky was laid down along it.
//!
//! The constellations' boundaries run along hour circles and parallels of the mean equator of
//! 1875, so a place must be turned to that equator before it can be looked up among them.

use sofars::{cal::epb2jd, pnp::pmat06};

use crate::{Direction, Icrs};

/// Mean equator and equinox of Besselian epoch 1875.0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeanB1875;

/// A place turned from the ICRS to the mean equator and equinox of B1875.0.
///
/// Frame bias and precession only: no aberration, no proper motion.
///
/// # Source
/// IAU 2006 precession (Capitaine, Wallace & Chapront 2003, A&A 412, 567) by IAU SOFA `pmat06`;
/// Besselian epochs by `epb2jd` (Lieske 1979, A&A 73, 282).
///
/// # Example
/// The pole of 2000 has moved by about 20.04 arcsec a year since 1875: 0.70 degrees.
/// ```
/// # use fieldstop::{Angle, Direction, Icrs, equinox::b1875_from_icrs};
/// let pole = Direction::<Icrs>::from_ra_dec(Angle::ZERO, Angle::from_deg(90.0));
/// assert!((b1875_from_icrs(pole).dec().deg() - (90.0 - 125.0 * 20.04 / 3600.0)).abs() < 0.001);
/// ```
pub fn b1875_from_icrs(place: Direction<Icrs>) -> Direction<MeanB1875> {
    let (day, part_of_day) = epb2jd(1875.0);
    let turn = pmat06(day, part_of_day);
    let [x, y, z] = place.xyz();
    Direction::from_unit(turn.map(|row| row[0] * x + row[1] * y + row[2] * z))
}
