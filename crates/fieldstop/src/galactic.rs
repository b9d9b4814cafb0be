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

#[cfg(test)]
mod tests {
    use super::*;

    /// The rest of the landmarks are checked in the workspace's tests, against a handbook.
    #[test]
    fn separations_are_the_same_in_both_systems() {
        let place = |ra, dec| Direction::from_ra_dec(Angle::from_deg(ra), Angle::from_deg(dec));
        for (a, b) in [
            (place(0.0, 0.0), place(10.0, 20.0)),
            (place(359.0, 89.0), place(180.0, -89.0)),
            (place(266.4, -28.9), place(266.5, -28.8)),
        ] {
            let galactic = galactic_from_icrs(a).separation(galactic_from_icrs(b));
            assert!((galactic - a.separation(b)).abs().arcsec() < 1e-6);
        }
    }
}
