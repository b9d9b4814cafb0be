//! A round piece of the sky, and the cells of the sky grid that it touches.
//!
//! The grid is HEALPix (Górski et al. 2005, ApJ 622, 759), nested: 12 cells of equal area at order
//! 0, each cut in four at the next order. What is kept by cell is found without a walk through all.

use cdshealpix::nested;

use crate::{Angle, Direction, Icrs};

/// Finest order of the grid.
const MAX_ORDER: u8 = 29;

/// Least radius that cells are looked for with, 0.0002 arcsec: a point has none to the library.
const LEAST_RADIUS_RAD: f64 = 1e-9;

/// All places within a radius of a centre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cone {
    centre: Direction<Icrs>,
    radius: Angle,
    cos_radius: f64,
}

impl Cone {
    /// The cone around a centre; `None` for a negative radius or anything that is not a number.
    ///
    /// # Units
    /// - `radius`: 0 to 180 degrees; more is the whole sky as well
    pub fn new(centre: Direction<Icrs>, radius: Angle) -> Option<Self> {
        let is_place = centre.xyz().iter().all(|along| along.is_finite());
        let radius = (radius >= Angle::ZERO).then(|| radius.min(Angle::HALF_TURN))?;
        is_place.then(|| Self { centre, radius, cos_radius: radius.cos() })
    }

    /// Whether a place lies in the cone or on its edge.
    ///
    /// # Example
    /// ```
    /// # use fieldstop::{Angle, Cone, Direction};
    /// let place = |deg| Direction::from_ra_dec(Angle::from_deg(deg), Angle::ZERO);
    /// let cone = Cone::new(place(359.0), Angle::from_deg(3.0)).unwrap();
    /// assert!(cone.contains(place(1.0)) && !cone.contains(place(3.0)));
    /// ```
    pub fn contains(&self, place: Direction<Icrs>) -> bool {
        place.dot(self.centre) >= self.cos_radius
    }

    /// The numbers, rising, of all HEALPix cells that the cone touches, and a few beside it.
    ///
    /// # Units
    /// - `order`: 0 to 29; a greater one is taken as 29
    pub fn cells(&self, order: u8) -> Box<[u64]> {
        let order = order.min(MAX_ORDER);
        // cdshealpix 0.10 misses cells opposite the centre from a radius of 134 degrees on. No
        // picture spans more than a hemisphere, so beyond it the whole sky is looked through.
        if self.radius > Angle::RIGHT {
            return (0..nested::n_hash(order)).collect();
        }
        let radius_rad = self.radius.rad().max(LEAST_RADIUS_RAD);
        let (ra, dec) = (self.centre.ra().rad(), self.centre.dec().rad());
        nested::cone_coverage_approx_flat(order, ra, dec, radius_rad)
    }
}

/// The number of the HEALPix cell that holds a place; `None` if it is not a number.
///
/// # Units
/// - `order`: 0 to 29; a greater one is taken as 29
///
/// # Example
/// The whole northern cap between 0h and 6h is in the first of the twelve cells.
/// ```
/// # use fieldstop::{Angle, Direction, cone::cell_at};
/// let place = Direction::from_ra_dec(Angle::from_hours(3.0), Angle::from_deg(80.0));
/// assert_eq!(cell_at(place, 0), Some(0));
/// ```
pub fn cell_at(place: Direction<Icrs>, order: u8) -> Option<u64> {
    let (ra, dec) = (place.ra().rad(), place.dec().rad());
    let is_place = ra.is_finite() && dec.is_finite();
    is_place.then(|| nested::hash(order.min(MAX_ORDER), ra, dec))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
        Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
    }

    #[test]
    fn a_cone_touches_the_cells_of_its_places() {
        for (ra, dec) in [(0.0, 0.0), (360.0, 41.8), (77.0, 90.0), (0.0, -90.0), (45.0, -41.8)] {
            for radius_deg in [0.0, 1e-9, 0.01, 1.0, 44.0, 60.0, 91.0, 179.0, 180.0, 400.0] {
                let centre = place(ra, dec);
                let radius = Angle::from_deg(radius_deg);
                let cells = Cone::new(centre, radius).map(|cone| cone.cells(5)).unwrap_or_default();
                assert!(cells.is_sorted());
                for (towards, share) in [(0.0, 0.0), (10.0, 0.5), (100.0, 0.99), (222.0, 0.999)] {
                    let inside = centre.offset(Angle::from_deg(towards), radius * share);
                    let cell = cell_at(inside, 5).unwrap_or(u64::MAX);
                    assert!(cells.binary_search(&cell).is_ok(), "{ra} {dec} {radius_deg}");
                }
            }
        }
    }

    /// Against a walk through all cells: every cell whose middle the cone holds is there.
    #[test]
    fn no_cell_is_missed_at_any_radius() {
        for (ra, dec) in [(0.0, 0.0), (360.0, 41.8), (77.0, 90.0), (0.0, -90.0), (45.0, -41.8)] {
            for radius_deg in (1..=180).map(f64::from).chain([0.1, 89.99, 90.01, 179.9]) {
                let cone = Cone::new(place(ra, dec), Angle::from_deg(radius_deg));
                for order in [0, 1, 3] {
                    let cells = cone.map(|cone| cone.cells(order)).unwrap_or_default();
                    for cell in 0..nested::n_hash(order) {
                        let (ra, dec) = nested::center(order, cell);
                        let middle = place(ra.to_degrees(), dec.to_degrees());
                        let inside = cone.is_some_and(|cone| cone.contains(middle));
                        let listed = cells.binary_search(&cell).is_ok();
                        assert!(listed || !inside, "{ra} {dec} {radius_deg} {order} {cell}");
                    }
                }
            }
        }
    }

    #[test]
    fn what_is_no_number_is_no_cone() {
        let nowhere = place(f64::NAN, 0.0);
        assert_eq!(Cone::new(nowhere, Angle::RIGHT), None);
        assert_eq!(Cone::new(place(0.0, 0.0), Angle::from_deg(f64::NAN)), None);
        assert_eq!(Cone::new(place(0.0, 0.0), Angle::from_deg(-1.0)), None);
        assert_eq!(cell_at(nowhere, 3), None);
    }
}
