//! How much of a target a rig resolves, whatever its focal length.

use crate::Angle;

/// Resolution elements across a target: how many delivered star widths fit along its major axis.
///
/// Two rigs of different focal length that deliver the same width show the same detail.
///
/// # Units
/// - `major`: full major axis, > 0
/// - `delivered_fwhm_arcsec`: > 0
///
/// # Source
/// Common practice; the width is that of [`crate::psf::Blur::fwhm_arcsec`].
///
/// # Example
/// A nebula one arcminute long in stars of three arcseconds has twenty elements.
/// ```
/// # use fieldstop::{Angle, detail::resolution_elements};
/// assert!((resolution_elements(Angle::from_arcmin(1.0), 3.0) - 20.0).abs() < 1e-12);
/// ```
pub fn resolution_elements(major: Angle, delivered_fwhm_arcsec: f64) -> f64 {
    major.arcsec() / delivered_fwhm_arcsec
}
