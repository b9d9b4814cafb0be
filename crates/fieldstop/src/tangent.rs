//! The gnomonic (TAN) projection: the sky on the plane that touches it at one place.
//!
//! A distortion-free lens does the same, so a sensor is a true rectangle here, and every great
//! circle is a straight line.

use crate::direction::dot;
use crate::{Angle, Direction};

/// A place on a tangent plane, in radians at the centre: `xi` to the east, `eta` to the north.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TangentPoint {
    /// To the east.
    pub xi: f64,
    /// To the north.
    pub eta: f64,
}

/// The plane that touches the sky at `centre`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TangentPlane<F> {
    centre: Direction<F>,
    east: [f64; 3],
    north: [f64; 3],
}

impl<F: Copy> TangentPlane<F> {
    /// The plane that touches the sky at a place.
    pub fn new(centre: Direction<F>) -> Self {
        let (east, north) = centre.east_and_north();
        Self { centre, east, north }
    }

    /// Where the plane touches the sky.
    pub fn centre(&self) -> Direction<F> {
        self.centre
    }

    /// Where a place on the sky falls on the plane; `None` from 90 degrees off the centre on.
    ///
    /// # Source
    /// Calabretta & Greisen 2002, A&A 395, 1077, section 5.1.3.
    pub fn project(&self, place: Direction<F>) -> Option<TangentPoint> {
        let depth = self.centre.dot(place);
        (depth > 0.0).then(|| TangentPoint {
            xi: dot(place.xyz(), self.east) / depth,
            eta: dot(place.xyz(), self.north) / depth,
        })
    }

    /// Where many places fall on the plane, as [`Self::project`] to the last digit or two; NaN for
    /// those from 90 degrees off the centre on.
    ///
    /// For a million stored places the bound is the memory's bandwidth, not the arithmetic: there
    /// is no branch and one division a place, which the compiler turns into vector instructions.
    ///
    /// # Units
    /// - `points`: written over; the shorter of the two slices decides how many
    ///
    /// # Example
    /// ```
    /// # use fieldstop::{Angle, Direction, Icrs, TangentPlane, TangentPoint};
    /// let place = |ra| Direction::<Icrs>::from_ra_dec(Angle::from_deg(ra), Angle::ZERO);
    /// let mut points = [TangentPoint { xi: 0.0, eta: 0.0 }; 2];
    /// TangentPlane::new(place(0.0)).project_many(&[place(45.0), place(135.0)], &mut points);
    /// assert!((points[0].xi - 1.0).abs() < 1e-15);
    /// assert!(points[1].xi.is_nan());
    /// ```
    pub fn project_many(&self, places: &[Direction<F>], points: &mut [TangentPoint]) {
        let centre = self.centre.xyz();
        for (place, point) in places.iter().zip(points) {
            let xyz = place.xyz();
            let depth = dot(xyz, centre);
            let scale = if depth > 0.0 { 1.0 / depth } else { f64::NAN };
            *point =
                TangentPoint { xi: dot(xyz, self.east) * scale, eta: dot(xyz, self.north) * scale };
        }
    }

    /// The place on the sky behind a point of the plane; the reverse of [`Self::project`].
    pub fn direction(&self, point: TangentPoint) -> Direction<F> {
        let scale = 1.0 / 1f64.hypot(point.xi.hypot(point.eta));
        let centre = self.centre.xyz();
        let along =
            |k: usize| scale * (centre[k] + point.xi * self.east[k] + point.eta * self.north[k]);
        Direction::from_unit([along(0), along(1), along(2)])
    }

    /// The position angle, at a point of the plane, of the great circle that leaves the point in
    /// the plane's direction `towards` (an angle from `eta` through `xi`).
    ///
    /// At the centre it is `towards` itself; away from it meridians converge.
    pub fn position_angle_at(&self, point: TangentPoint, towards: Angle) -> Angle {
        let (sin, cos) = towards.sin_cos();
        let along = |k: usize| sin * self.east[k] + cos * self.north[k];
        let along = [along(0), along(1), along(2)];
        // The direction's part along the line of sight drops out: east and north are at right
        // angles to it.
        let (east, north) = self.direction(point).east_and_north();
        Angle::from_rad(dot(along, east).atan2(dot(along, north))).wrapped()
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use super::*;
    use crate::Icrs;

    fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
        Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
    }

    #[test]
    fn the_centre_is_the_origin() {
        for (ra, dec) in [(0.0, 0.0), (83.8, -5.4), (359.999, 89.999), (10.0, -90.0)] {
            let plane = TangentPlane::new(place(ra, dec));
            let origin = plane.project(plane.centre()).unwrap();
            assert!(origin.xi.hypot(origin.eta) < 1e-15, "{ra} {dec}");
        }
    }

    #[test]
    fn east_is_positive_xi_and_north_positive_eta() {
        let plane = TangentPlane::new(place(359.9, 20.0));
        let east_and_north = plane.project(place(0.1, 20.1)).unwrap();
        assert!(east_and_north.xi > 0.0 && east_and_north.eta > 0.0);
    }

    #[test]
    fn many_places_are_projected_as_each_alone() {
        let plane = TangentPlane::new(place(120.0, 70.0));
        let places: Vec<_> =
            (0..500).map(|k| place(f64::from(k) * 7.3, f64::from(k % 180) - 89.5)).collect();
        let mut points = vec![TangentPoint { xi: 0.0, eta: 0.0 }; places.len()];
        plane.project_many(&places, &mut points);
        for (&place, many) in places.iter().zip(points) {
            match plane.project(place) {
                Some(alone) => {
                    let miss = (many.xi - alone.xi).hypot(many.eta - alone.eta);
                    assert!(miss <= 4.0 * f64::EPSILON * alone.xi.hypot(alone.eta));
                }
                None => assert!(many.xi.is_nan() && many.eta.is_nan()),
            }
        }
    }

    #[test]
    fn away_from_the_centre_meridians_converge() {
        // A degree to the east at declination 60 the meridian leans by about sin 60 degrees.
        let plane = TangentPlane::new(place(0.0, 60.0));
        let east = plane.project(place(2.0, 60.0)).unwrap();
        let lean = plane.position_angle_at(east, Angle::ZERO);
        assert!((lean.deg() - 2.0 * 60f64.to_radians().sin()).abs() < 0.002, "{}", lean.deg());
        let at_the_centre =
            plane.position_angle_at(TangentPoint { xi: 0.0, eta: 0.0 }, Angle::RIGHT);
        assert!((at_the_centre.deg() - 90.0).abs() < 1e-12);
    }
}
