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
