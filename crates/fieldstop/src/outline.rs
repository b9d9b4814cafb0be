//! A target's size and shape: an ellipse on the plane that touches the sky at its middle.
//!
//! Catalogues give the full major and minor axis and the position angle of the major one. On the
//! tangent plane the semi-axes are `tan(axis / 2)`, the same measure as a
//! [field's](crate::Field) half sides.

use std::f64::consts::TAU;

use crate::{Angle, Direction, Icrs, TangentPlane, TangentPoint};

/// A target's ellipse, as far as it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outline {
    /// Full major axis, above 0.
    pub major: Angle,
    /// Full minor axis; a circle if it is unknown.
    pub minor: Option<Angle>,
    /// Of the major axis, from north through east.
    pub position_angle: Option<Angle>,
}

/// The most points that an ellipse is drawn with: at this count the outline of a target of 60
/// degrees is within a tenth of an arcsecond of its true shape.
const MOST_POINTS: f64 = 4096.0;

impl Outline {
    /// Semi-axes on the tangent plane, radians at the centre: major, minor.
    ///
    /// Infinite from 180 degrees across on: no picture holds half the sky.
    ///
    /// # Example
    /// A circle is what remains when the minor axis is unknown.
    /// ```
    /// # use fieldstop::{Angle, Outline};
    /// let outline = Outline { major: Angle::RIGHT, minor: None, position_angle: None };
    /// let (a, b) = outline.semi_axes();
    /// assert!((a - 1.0).abs() < 1e-15 && a == b);
    /// ```
    pub fn semi_axes(&self) -> (f64, f64) {
        let semi = |axis: Angle| {
            if axis < Angle::HALF_TURN { (axis / 2.0).tan() } else { f64::INFINITY }
        };
        let major = semi(self.major);
        (major, self.minor.map_or(major, semi))
    }

    /// Position angle of the major axis, from north through east; 0 where it is unknown.
    ///
    /// A catalogue leaves it out for round targets and for those nobody measured. A fit worked out
    /// with the 0 is one of many for a long target of unknown position angle, and should say so.
    pub fn axis_pa(&self) -> Angle {
        self.position_angle.unwrap_or(Angle::ZERO)
    }

    /// The ellipse as a polygon on the target's own tangent plane, from the north end of the major
    /// axis towards the east of it; the first point is not repeated at the end.
    ///
    /// Empty where the outline is not finite on the plane.
    ///
    /// # Units
    /// - `tolerance_rad`: the most that the polygon may lie inside the ellipse, radians at the
    ///   centre, > 0; never more than 4096 points
    pub fn points(&self, tolerance_rad: f64) -> Vec<TangentPoint> {
        let (a, b) = self.semi_axes();
        if !(a.is_finite() && b.is_finite()) {
            return Vec::new();
        }
        let (sin_pa, cos_pa) = self.axis_pa().sin_cos();
        let count = point_count(a.max(b), tolerance_rad);
        (0..count)
            .map(|k| {
                let (sin, cos) = (TAU * f64::from(k) / f64::from(count)).sin_cos();
                let (along, across) = (a * cos, b * sin);
                TangentPoint {
                    xi: along * sin_pa + across * cos_pa,
                    eta: along * cos_pa - across * sin_pa,
                }
            })
            .collect()
    }

    /// The ellipse as a polygon on the sky about a target's middle; see [`Self::points`].
    pub fn on_sky(&self, centre: Direction<Icrs>, tolerance_rad: f64) -> Vec<Direction<Icrs>> {
        let plane = TangentPlane::new(centre);
        self.points(tolerance_rad).into_iter().map(|point| plane.direction(point)).collect()
    }
}

/// Points for a chord to stay within the tolerance of a circle of that radius.
///
/// An ellipse is a circle squeezed along one axis, and squeezing makes the gap between arc and
/// chord no wider, so the major axis decides. A multiple of 4 puts points on both axes' ends.
fn point_count(radius: f64, tolerance: f64) -> u32 {
    let half_step = (1.0 - tolerance / radius).clamp(-1.0, 1.0).acos();
    let wanted = (TAU / (8.0 * half_step)).ceil() * 4.0;
    // OK because the clamped value is a whole number; a NaN becomes 0, then 16.
    (wanted.clamp(0.0, MOST_POINTS) as u32).max(16)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn outline(major_deg: f64, minor_deg: Option<f64>, pa_deg: f64) -> Outline {
        Outline {
            major: Angle::from_deg(major_deg),
            minor: minor_deg.map(Angle::from_deg),
            position_angle: Some(Angle::from_deg(pa_deg)),
        }
    }

    #[test]
    fn the_major_axis_points_along_its_position_angle() {
        let centre = Direction::from_ra_dec(Angle::from_deg(10.0), Angle::from_deg(41.0));
        let outline = outline(3.0, Some(1.0), 35.0);
        let points = outline.on_sky(centre, 1e-5);
        let end = points[0];
        assert!((centre.separation(end).deg() - 1.5).abs() < 1e-12);
        assert!((centre.position_angle(end).deg() - 35.0).abs() < 1e-9);
        // A quarter of the way round lies the end of the minor axis, to the east.
        let side = points[points.len() / 4];
        assert!((centre.separation(side).deg() - 0.5).abs() < 1e-12);
        assert!((centre.position_angle(side).deg() - 125.0).abs() < 1e-9);
    }

    #[test]
    fn chords_stay_within_the_tolerance() {
        for (major, tolerance) in [(0.1, 1e-6), (3.0, 1e-4), (3.0, 1e-6), (60.0, 1e-5)] {
            let circle = outline(major, None, 0.0);
            let (radius, _) = circle.semi_axes();
            let points = circle.points(tolerance);
            let (p, q) = (points[0], points[1]);
            let middle = ((p.xi + q.xi) / 2.0).hypot((p.eta + q.eta) / 2.0);
            let gap = radius - middle;
            assert!(gap <= tolerance, "{major} {tolerance}: {gap} at {} points", points.len());
            // Nor many more points than are needed.
            assert!(points.len() == 16 || gap > tolerance / 2.0, "{gap}");
        }
    }

    #[test]
    fn no_tolerance_asks_for_endless_points() {
        let outline = outline(3.0, Some(1.0), 0.0);
        for tolerance in [0.0, -1.0, 1e-300, f64::NAN, f64::INFINITY] {
            let points = outline.points(tolerance);
            assert!((16..=4096).contains(&points.len()), "{tolerance}: {}", points.len());
            assert!(points.iter().all(|point| point.xi.is_finite() && point.eta.is_finite()));
        }
    }

    #[test]
    fn half_the_sky_has_no_outline() {
        let sky = outline(180.0, Some(10.0), 0.0);
        assert_eq!(sky.semi_axes().0, f64::INFINITY);
        assert!(sky.points(1e-5).is_empty());
    }
}
