//! Galactic coordinates: how far a place is from the Milky Way's plane and from its middle.

use crate::{Angle, Direction, Icrs};

/// The IAU 1958 galactic system: longitude 0 towards the galaxy's middle, latitude from its plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Galactic;

/// A place in galactic coordinates; `ra()` of the result is the longitude, `dec()` the latitude.
///
/// # Source
/// IAU SOFA `icrs2g`: the IAU 1958 system tied to ICRS as in the Hipparcos catalogue, ESA SP-1200,
/// volume 1, section 1.5.3.
///
/// # Example
/// The north galactic pole is in Coma Berenices.
/// ```
/// # use fieldstop::{Angle, Direction, galactic_from_icrs};
/// let pole = Direction::from_ra_dec(Angle::from_deg(192.85948), Angle::from_deg(27.12825));
/// assert!((galactic_from_icrs(pole).dec().deg() - 90.0).abs() < 1e-5);
/// ```
pub fn galactic_from_icrs(place: Direction<Icrs>) -> Direction<Galactic> {
    let (longitude, latitude) = sofars::coords::icrs2g(place.ra().rad(), place.dec().rad());
    Direction::from_ra_dec(Angle::from_rad(longitude), Angle::from_rad(latitude))
}
