//! A target's ellipse on the sky.

use crate::Angle;

/// The ellipse that a target's light fills.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outline {
    /// Full major axis.
    pub major: Angle,
    /// Full minor axis; a circle where it is unknown.
    pub minor: Option<Angle>,
    /// Of the major axis, from north through east.
    pub position_angle: Option<Angle>,
}
