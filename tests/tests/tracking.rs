//! Drift, swing and turning of mounts, against the handbooks and against plain rotations.
//!
//! Source: `reference/handbook.csv` (rows `sidereal_rate`, `polar_drift`, `field_rotation`: quoted
//! from memory, verified with erfa), and rotations of unit vectors done here.

use fieldstop::Angle;
use fieldstop::tracking::{
    SIDEREAL_RATE_RAD_PER_S, altazimuth_rotation_rad_per_s, corner_trail_s,
    periodic_peak_arcsec_per_s, polar_drift_arcsec_per_s, polar_rotation_rad_per_s, trail_s,
    untracked_s,
};
use fieldstop_tests::{Judge, reference_rows};
use proptest::prelude::*;
use serde::Deserialize;

#[derive(Deserialize)]
struct Handbook {
    id: String,
    expected: f64,
    tolerance: f64,
}

#[test]
fn rates_of_the_handbooks_come_out() {
    let mut judge = Judge::new("handbook row, error over its tolerance", 1.0, "tolerances")
        .against("handbook.csv");
    let deg = Angle::from_deg;
    for row in reference_rows::<Handbook>("handbook.csv") {
        let found = match row.id.as_str() {
            "sidereal_rate" => Angle::from_rad(SIDEREAL_RATE_RAD_PER_S).arcsec(),
            "polar_drift" => 60.0 * polar_drift_arcsec_per_s(Angle::from_arcmin(1.0)),
            "field_rotation" => {
                let rate = altazimuth_rotation_rad_per_s(deg(40.0), deg(45.0), deg(180.0));
                Angle::from_rad(rate.abs()).arcsec()
            }
            _ => continue,
        };
        judge.row(&row.id, (found - row.expected) / row.tolerance);
    }
    judge.verdict(3);
}

/// Altitude, azimuth and parallactic angle of a star by spherical trigonometry: Meeus, Astronomical
/// Algorithms, chapters 13 and 14, from memory; azimuth from north.
fn place(latitude: f64, declination: f64, hour_angle: f64) -> (f64, f64, f64) {
    let (sl, cl) = latitude.sin_cos();
    let (sd, cd) = declination.sin_cos();
    let (sh, ch) = hour_angle.sin_cos();
    let altitude = (sl * sd + cl * cd * ch).asin();
    let azimuth = (-cd * sh).atan2(cl * sd - sl * cd * ch);
    let parallactic = (cl * sh).atan2(sl * cd - cl * sd * ch);
    (altitude, azimuth, parallactic)
}

proptest! {
    /// The formula is the parallactic angle's slope, by differences over a second of time.
    #[test]
    fn altaz_rotation_is_the_slope_of_the_parallactic_angle(
        latitude in -80.0..80.0_f64, declination in -80.0..80.0_f64, hour_angle in -3.0..3.0_f64,
    ) {
        let (latitude, declination) = (latitude.to_radians(), declination.to_radians());
        let (altitude, azimuth, _) = place(latitude, declination, hour_angle);
        prop_assume!(altitude.cos() > 0.02);
        let half = SIDEREAL_RATE_RAD_PER_S / 2.0;
        let turned = place(latitude, declination, hour_angle + half).2
            - place(latitude, declination, hour_angle - half).2;
        let slope = Angle::from_rad(turned).wrapped_signed().rad();
        let rad = Angle::from_rad;
        let found = altazimuth_rotation_rad_per_s(rad(latitude), rad(altitude), rad(azimuth));
        // A difference misses the slope by the square of its step over the way to the zenith.
        let allowed = 1e-6 + (half / altitude.cos()).powi(2);
        // The parallactic angle grows where the formula's cosine of the azimuth is negative.
        prop_assert!((slope + found).abs() < allowed * found.abs().max(1e-4), "{slope} {found}");
    }

    /// The bound on field rotation holds at every hour angle, and is reached at the worst one.
    #[test]
    fn polar_misalignment_turns_the_field_as_fast_as_said(
        error_arcmin in 0.5..20.0_f64, declination_deg in -75.0..75.0_f64,
    ) {
        let error = Angle::from_arcmin(error_arcmin);
        let declination = Angle::from_deg(declination_deg);
        let bound = polar_rotation_rad_per_s(error, declination);
        // Direction from a star to the mount's pole, off the direction to the true pole.
        let between = |hour_angle: f64| {
            place(Angle::RIGHT.rad() - error.rad(), declination.rad(), hour_angle).2
        };
        let worst = (0..360)
            .map(|degree| {
                let (hour_angle, step) = (f64::from(degree).to_radians(), 1e-4);
                let slope = (between(hour_angle + step) - between(hour_angle - step)) / (2.0 * step);
                (slope * SIDEREAL_RATE_RAD_PER_S).abs()
            })
            .fold(0.0, f64::max);
        // To the first order in the error.
        let first_order = 4.0 * error.rad() / declination.cos();
        prop_assert!((worst / bound - 1.0).abs() < 1e-3 + first_order, "{worst} {bound}");
    }

    /// A sine of that amplitude and period is never steeper, and once as steep.
    #[test]
    fn periodic_error_peaks_at_its_sines_slope(peak_to_peak in 0.1..100.0_f64, period in 60.0..900.0_f64) {
        let place = |t: f64| peak_to_peak / 2.0 * (std::f64::consts::TAU * t / period).sin();
        let found = periodic_peak_arcsec_per_s(peak_to_peak, period);
        let steepest = (place(1e-3) - place(-1e-3)) / 2e-3;
        prop_assert!((found / steepest - 1.0).abs() < 1e-6);
    }

    #[test]
    fn a_trail_takes_longer_nearer_to_the_pole(low in 0.0..80.0_f64, higher in 0.1..9.0_f64) {
        let pixel = Angle::from_arcsec(2.0);
        let low_s = untracked_s(pixel, Angle::from_deg(low));
        prop_assert!(untracked_s(pixel, Angle::from_deg(low + higher)) > low_s);
        prop_assert!((untracked_s(pixel, Angle::from_deg(-low)) - low_s).abs() < 1e-12);
    }
}

#[test]
fn nothing_divides_by_zero() {
    assert!(untracked_s(Angle::from_arcsec(1.0), Angle::RIGHT).is_infinite());
    assert!(untracked_s(Angle::from_arcsec(1.0), Angle::ZERO - Angle::RIGHT).is_infinite());
    assert_eq!(periodic_peak_arcsec_per_s(30.0, 0.0), 0.0);
    assert!(trail_s(1.0, 0.0).is_infinite());
    assert!(corner_trail_s(0.0, 7000.0).is_infinite());
}
