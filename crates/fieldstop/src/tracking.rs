//! How long an exposure can be before stars trail: without tracking, unguided, and as the field
//! turns.
//!
//! The sky turns by 15 arcseconds a second of time. A mount that follows it has two errors that a
//! short exposure shows: its gears swing it forth and back (periodic error), and its axis misses
//! the pole, so that stars drift and the field slowly turns.

use std::f64::consts::PI;

use crate::Angle;

/// The Earth's turning against the stars, radians a second.
///
/// # Source
/// IAU 2000 earth rotation angle; 15.041067 arcseconds a second.
pub const SIDEREAL_RATE_RAD_PER_S: f64 = 7.292_115_146_7e-5;

/// Longest exposure with a camera that stands still, for a trail of one pixel, seconds.
///
/// Infinite at a pole of the sky, where stars stand still at the centre of the picture.
///
/// # Units
/// - `pixel`: on the sky, > 0
/// - `declination`: -90 to 90 degrees
///
/// # Source
/// Spherical geometry: `pixel / (15.041 cos(declination))`.
///
/// # Example
/// A pixel of 15.041 arcseconds on the equator is crossed in a second.
/// ```
/// # use fieldstop::{Angle, tracking::untracked_s};
/// let second = untracked_s(Angle::from_arcsec(15.041067), Angle::ZERO);
/// assert!((second - 1.0).abs() < 1e-7);
/// ```
pub fn untracked_s(pixel: Angle, declination: Angle) -> f64 {
    let cos = declination.cos();
    // OK because a right angle in floating point has a cosine of 6e-17, not 0.
    if cos < 1e-12 { f64::INFINITY } else { pixel.rad() / (SIDEREAL_RATE_RAD_PER_S * cos) }
}

/// Fastest drift from a polar axis that misses the pole, arcseconds a second.
///
/// # Units
/// - `polar_error`: how far the axis is off, small
///
/// # Source
/// Spherical geometry: misalignment times sidereal rate, 0.2625 arcseconds a minute of time for
/// each arcminute, for a star on the equator at the worst hour angle.
///
/// # Example
/// ```
/// # use fieldstop::{Angle, tracking::polar_drift_arcsec_per_s};
/// let a_minute = 60.0 * polar_drift_arcsec_per_s(Angle::from_arcmin(1.0));
/// assert!((a_minute - 0.2625).abs() < 1e-4);
/// ```
pub fn polar_drift_arcsec_per_s(polar_error: Angle) -> f64 {
    polar_error.arcsec() * SIDEREAL_RATE_RAD_PER_S
}

/// Fastest swing of a periodic error, arcseconds a second; 0 for a mount without one.
///
/// # Units
/// - `peak_to_peak_arcsec`: >= 0
/// - `period_s`: >= 0; 0 where there is no periodic error
///
/// # Source
/// Slope of a sine of that amplitude: `pi x peak-to-peak / period`.
///
/// # Example
/// ```
/// # use fieldstop::tracking::periodic_peak_arcsec_per_s;
/// assert!((periodic_peak_arcsec_per_s(100.0, 314.159_265_358_979_3) - 1.0).abs() < 1e-12);
/// assert_eq!(periodic_peak_arcsec_per_s(0.0, 0.0), 0.0);
/// ```
pub fn periodic_peak_arcsec_per_s(peak_to_peak_arcsec: f64, period_s: f64) -> f64 {
    if period_s > 0.0 { PI * peak_to_peak_arcsec / period_s } else { 0.0 }
}

/// Time to make a trail at a rate, seconds; infinite where nothing moves.
///
/// # Units
/// - `trail_arcsec`: >= 0
/// - `rate_arcsec_per_s`: >= 0
///
/// # Example
/// ```
/// # use fieldstop::tracking::trail_s;
/// assert_eq!(trail_s(2.0, 0.5), 4.0);
/// assert_eq!(trail_s(2.0, 0.0), f64::INFINITY);
/// ```
pub fn trail_s(trail_arcsec: f64, rate_arcsec_per_s: f64) -> f64 {
    if rate_arcsec_per_s > 0.0 { trail_arcsec / rate_arcsec_per_s } else { f64::INFINITY }
}

/// How fast the field turns on an alt-az mount, radians a second; the sign is its sense.
///
/// Without bound at the zenith, where such a mount cannot follow; none due east and west.
///
/// # Units
/// - `latitude`: north positive
/// - `altitude`: above the horizon, below 90 degrees
/// - `azimuth`: from north through east
///
/// # Source
/// Derivative of the parallactic angle: `15.041 arcsec/s x cos(lat) cos(az) / cos(alt)`.
///
/// # Example
/// ```
/// # use fieldstop::{Angle, tracking::altazimuth_rotation_rad_per_s};
/// let south = Angle::from_deg(180.0);
/// let rate = altazimuth_rotation_rad_per_s(Angle::from_deg(40.0), Angle::from_deg(45.0), south);
/// assert!((Angle::from_rad(rate.abs()).arcsec() - 16.295).abs() < 1e-3);
/// ```
pub fn altazimuth_rotation_rad_per_s(latitude: Angle, altitude: Angle, azimuth: Angle) -> f64 {
    SIDEREAL_RATE_RAD_PER_S * latitude.cos() * azimuth.cos() / altitude.cos()
}

/// Fastest turning of the field about the guide star when the polar axis is off, radians a second.
///
/// # Units
/// - `polar_error`: how far the axis is off, small
/// - `declination`: -90 to 90 degrees; without bound at the pole
///
/// # Source
/// Spherical geometry: the direction of one pole seen from a star differs from that of the other by
/// at most `e / cos(declination)`, and swings through that once a sidereal day.
///
/// # Example
/// At 60 degrees declination it is twice as fast as on the equator.
/// ```
/// # use fieldstop::{Angle, tracking::polar_rotation_rad_per_s};
/// let error = Angle::from_arcmin(5.0);
/// let equator = polar_rotation_rad_per_s(error, Angle::ZERO);
/// let high = polar_rotation_rad_per_s(error, Angle::from_deg(60.0));
/// assert!((high / equator - 2.0).abs() < 1e-12);
/// ```
pub fn polar_rotation_rad_per_s(polar_error: Angle, declination: Angle) -> f64 {
    polar_error.rad() * SIDEREAL_RATE_RAD_PER_S / declination.cos()
}

/// Time until turning about the middle makes a trail of one pixel in the corner, seconds.
///
/// # Units
/// - `rotation_rad_per_s`: of either sign; infinite time where nothing turns
/// - `diagonal_px`: of the sensor, pixels, > 0
///
/// # Example
/// A thousandth of a radian moves a corner 2000 pixels away by two.
/// ```
/// # use fieldstop::tracking::corner_trail_s;
/// assert!((corner_trail_s(1e-3, 4000.0) - 0.5).abs() < 1e-12);
/// ```
pub fn corner_trail_s(rotation_rad_per_s: f64, diagonal_px: f64) -> f64 {
    trail_s(1.0, rotation_rad_per_s.abs() * diagonal_px / 2.0)
}
