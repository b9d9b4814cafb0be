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
