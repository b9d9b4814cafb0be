//! What the telescope itself does to the picture's corners, and how well it must be kept in focus.

use crate::Angle;
use crate::kit::OtaClass;

/// Length of a star's coma in a paraboloid mirror, from its tip to the far end of its flare.
///
/// # Units
/// - `off_axis`: from the middle of the field, small
/// - `focal_ratio`: of the mirror, > 0
///
/// # Source
/// Tangential coma `3 theta / (16 N^2)`: Schroeder, Astronomical Optics.
///
/// # Example
/// Half a degree off the axis of an f/4 mirror: 21 arcseconds.
/// ```
/// # use fieldstop::{Angle, aberration::paraboloid_coma};
/// let coma = paraboloid_coma(Angle::from_deg(0.5), 4.0);
/// assert!((coma.arcsec() - 21.09).abs() < 0.01);
/// ```
pub fn paraboloid_coma(off_axis: Angle, focal_ratio: f64) -> Angle {
    off_axis * (3.0 / (16.0 * focal_ratio * focal_ratio))
}

/// How far the sensor may be from best focus on either side, micrometres.
///
/// # Units
/// - `wavelength_nm`, `focal_ratio`: > 0
///
/// # Source
/// A quarter of a wavelength of error at the aperture's edge, `2 lambda N^2`: Born & Wolf.
///
/// # Example
/// ```
/// # use fieldstop::aberration::depth_of_focus_um;
/// assert!((depth_of_focus_um(550.0, 5.0) - 27.5).abs() < 1e-9);
/// ```
pub fn depth_of_focus_um(wavelength_nm: f64, focal_ratio: f64) -> f64 {
    2.0 * wavelength_nm / 1000.0 * focal_ratio * focal_ratio
}

/// What a class of telescope asks for before it is sharp, in plain words.
///
/// # Source
/// Common practice.
pub const fn upkeep(class: OtaClass) -> &'static str {
    match class {
        OtaClass::ShortRefractor => {
            "Stays aligned for years and is ready after about a quarter of an hour in the cold."
        }
        OtaClass::LongRefractor => {
            "Stays aligned for years; a large triplet lens needs half an hour or more to cool down."
        }
        OtaClass::Newtonian => {
            "Its two mirrors must be collimated before most nights, the more exactly the faster it is; \
             the open tube cools in about half an hour."
        }
        OtaClass::Compound => {
            "Needs collimation now and then, and an hour or more to cool down, being closed; \
             its front lens dews first."
        }
        OtaClass::CameraLens => {
            "Nothing to collimate and little to cool; stopped down a little, its corners are sharper."
        }
    }
}
