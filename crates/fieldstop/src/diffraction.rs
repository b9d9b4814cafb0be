//! What a perfect telescope in empty space would show: the diffraction of its aperture.
//!
//! A star is not a point but a disc with rings, and the disc is smaller the larger the aperture.
//! A central obstruction makes the disc a little smaller still and moves light into the rings.
//! Places in the pattern are measured in units of wavelength over aperture, `lambda / D`.

use std::f64::consts::PI;

use libm::j1;

use crate::Angle;
use crate::quadrature::{crossing, integral};

/// The wavelength that figures are given for unless a camera or filter says otherwise, nanometres.
pub const WAVELENGTH_NM: f64 = 550.0;

/// Radius of the first dark ring of an open circular aperture, in `lambda / D`: the first zero of
/// the Bessel function J1, over pi.
const FIRST_DARK_RING: f64 = 1.219_669_891_266_504_5;

/// One `lambda / D`, the unit of every diffraction pattern.
///
/// # Units
/// - `wavelength_nm`: > 0
/// - `aperture_mm`: clear diameter, > 0
pub fn lambda_over_d(wavelength_nm: f64, aperture_mm: f64) -> Angle {
    Angle::from_rad(wavelength_nm * 1e-6 / aperture_mm)
}

/// Rayleigh's limit: two equal stars so close that one stands on the other's first dark ring.
///
/// # Units
/// - `wavelength_nm`: > 0
/// - `aperture_mm`: clear diameter, > 0; the obstruction is left out, as is usual
///
/// # Source
/// `1.21967 lambda / D`: Born & Wolf, Principles of Optics, 8.6.
///
/// # Example
/// ```
/// # use fieldstop::diffraction::rayleigh;
/// assert!((rayleigh(550.0, 100.0).arcsec() - 1.38).abs() < 0.01);
/// ```
pub fn rayleigh(wavelength_nm: f64, aperture_mm: f64) -> Angle {
    lambda_over_d(wavelength_nm, aperture_mm) * FIRST_DARK_RING
}

/// Dawes' limit: how close two equal stars of sixth magnitude were still told apart, by eye.
///
/// # Units
/// - `aperture_mm`: clear diameter, > 0
///
/// # Source
/// `116 arcsec / D in millimetres`: Dawes 1867, Memoirs of the RAS 35, 137.
///
/// # Example
/// ```
/// # use fieldstop::diffraction::dawes;
/// assert!((dawes(116.0).arcsec() - 1.0).abs() < 1e-12);
/// ```
pub fn dawes(aperture_mm: f64) -> Angle {
    Angle::from_arcsec(116.0 / aperture_mm)
}

/// `2 J1(v) / v`, 1 in the middle.
fn jinc(v: f64) -> f64 {
    // Below this the next term of the series, v^2 / 8, is lost in the last digit.
    if v.abs() < 1e-8 { 1.0 } else { 2.0 * j1(v) / v }
}

/// Brightness of the diffraction pattern at a distance from its middle, 1 in the middle.
///
/// # Units
/// - `radius_lambda_over_d`: in `lambda / D`, >= 0
/// - `obstruction_ratio`: diameter of the central obstruction over the aperture's, 0 to below 1
///
/// # Source
/// Born & Wolf, 8.6.2: `([2 J1(v)/v - e^2 2 J1(e v)/(e v)] / (1 - e^2))^2`, `v = pi r D / lambda`.
///
/// # Example
/// Nothing reaches the first dark ring.
/// ```
/// # use fieldstop::diffraction::intensity;
/// assert_eq!(intensity(0.0, 0.3), 1.0);
/// assert!(intensity(1.2196698912665045, 0.0) < 1e-20);
/// ```
pub fn intensity(radius_lambda_over_d: f64, obstruction_ratio: f64) -> f64 {
    amplitude(PI * radius_lambda_over_d, obstruction_ratio).powi(2)
}

fn amplitude(v: f64, e: f64) -> f64 {
    (jinc(v) - e * e * jinc(e * v)) / (1.0 - e * e)
}

/// Radius of the first dark ring, in `lambda / D`.
///
/// # Example
/// ```
/// # use fieldstop::diffraction::first_dark_ring;
/// assert!((first_dark_ring(0.0) - 1.21967).abs() < 1e-5);
/// ```
pub fn first_dark_ring(obstruction_ratio: f64) -> f64 {
    // With the aperture all but closed the pattern is that of a thin ring, J0^2, dark first at
    // 2.405 / pi; every other pattern lies between that and the open aperture's.
    crossing(0.7, 1.3, |radius| amplitude(PI * radius, obstruction_ratio))
}

/// Full width at half maximum of the pattern, in `lambda / D`.
///
/// # Example
/// ```
/// # use fieldstop::diffraction::full_width_at_half_maximum;
/// assert!((full_width_at_half_maximum(0.0) - 1.02899).abs() < 1e-5);
/// ```
pub fn full_width_at_half_maximum(obstruction_ratio: f64) -> f64 {
    2.0 * crossing(0.0, 0.7, |radius| intensity(radius, obstruction_ratio) - 0.5)
}

/// Share of all the pattern's light within a radius.
///
/// # Units
/// - `radius_lambda_over_d`: in `lambda / D`, >= 0
/// - `obstruction_ratio`: 0 to below 1
/// - returns: 0 to 1
///
/// # Source
/// The pattern's integral; the whole of it is `2 / (1 - e^2)` by Parseval's theorem.
///
/// # Example
/// The disc within the first dark ring of an open aperture holds 84 % of the light.
/// ```
/// # use fieldstop::diffraction::encircled_energy;
/// assert!((encircled_energy(1.21967, 0.0) - 0.8378).abs() < 1e-4);
/// ```
pub fn encircled_energy(radius_lambda_over_d: f64, obstruction_ratio: f64) -> f64 {
    let e = obstruction_ratio;
    // The rings of an amplitude squared are one lambda / D apart: a panel for each is plenty.
    let panels = 2 + radius_lambda_over_d.clamp(0.0, 1e4) as usize;
    let light = integral(0.0, PI * radius_lambda_over_d, panels, |v| amplitude(v, e).powi(2) * v);
    light * (1.0 - e * e) / 2.0
}

/// Radius that holds a share of all the pattern's light, in `lambda / D`.
///
/// # Units
/// - `share`: above 0, at most 0.9: beyond it the rings go on for very long. NaN otherwise
///
/// # Example
/// ```
/// # use fieldstop::diffraction::radius_of_energy;
/// assert!((radius_of_energy(0.5, 0.0) - 0.5348).abs() < 1e-4);
/// ```
pub fn radius_of_energy(share: f64, obstruction_ratio: f64) -> f64 {
    if !(share > 0.0 && share <= 0.9) {
        return f64::NAN;
    }
    let miss = |radius| encircled_energy(radius, obstruction_ratio) - share;
    // Light gathers outward, so the first radius of a doubling row that holds enough brackets it.
    let outer = (0..8).map(|step| 0.5 * f64::from(1u32 << step)).find(|&r| miss(r) > 0.0);
    outer.map_or(f64::NAN, |outer| crossing(0.0, outer, miss))
}

/// How much contrast a telescope passes at a spatial frequency: its modulation transfer function.
///
/// Light from two points of the aperture makes stripes, finer the further they are apart. The
/// aperture slid over itself by a distance shows how many such pairs there are: the area that
/// still overlaps, of ring on ring, as a share of the whole.
///
/// # Units
/// - `frequency`: as a share of the cut-off `D / lambda`, >= 0; nothing passes from 1 on
/// - `obstruction_ratio`: 0 to below 1
/// - returns: 0 to 1
///
/// # Source
/// O'Neill 1956, JOSA 46, 285, written as areas of overlap of two circles.
///
/// # Example
/// Half way to the cut-off an open aperture passes 39 % of the contrast, `2/3 - sqrt(3)/(2 pi)`.
/// ```
/// # use fieldstop::diffraction::contrast;
/// let expected = 2.0 / 3.0 - 3f64.sqrt() / (2.0 * std::f64::consts::PI);
/// assert!((contrast(0.5, 0.0) - expected).abs() < 1e-14);
/// ```
pub fn contrast(frequency: f64, obstruction_ratio: f64) -> f64 {
    let (shift, e) = (2.0 * frequency, obstruction_ratio);
    let open = overlap(1.0, 1.0, shift);
    if e == 0.0 {
        return open / PI;
    }
    (open - 2.0 * overlap(1.0, e, shift) + overlap(e, e, shift)) / (PI * (1.0 - e * e))
}

/// Area that two circles share: a large one, one at most as large, and the distance of their
/// middles.
fn overlap(large: f64, small: f64, distance: f64) -> f64 {
    if distance >= large + small {
        return 0.0;
    }
    if distance <= large - small {
        return PI * small * small;
    }
    // The circles cross; each adds the segment that the common chord cuts off.
    let (l2, s2, d2) = (large * large, small * small, distance * distance);
    let from_large = (d2 + l2 - s2) / (2.0 * distance);
    let from_small = distance - from_large;
    let half_chord = (l2 - from_large * from_large).max(0.0).sqrt();
    l2 * (from_large / large).clamp(-1.0, 1.0).acos()
        + s2 * (from_small / small).clamp(-1.0, 1.0).acos()
        - distance * half_chord
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn contrast_falls_from_all_to_nothing() {
        for e in [0.0, 0.2, 0.5, 0.9] {
            assert!((contrast(0.0, e) - 1.0).abs() < 1e-12, "{e}");
            assert_eq!(contrast(1.0, e), 0.0, "{e}");
            assert_eq!(contrast(7.0, e), 0.0, "{e}");
        }
    }

    #[test]
    fn an_obstruction_helps_fine_detail_and_hurts_coarse_detail() {
        assert!(contrast(0.2, 0.4) < contrast(0.2, 0.0));
        assert!(contrast(0.9, 0.4) > contrast(0.9, 0.0));
    }

    #[test]
    fn an_absurd_share_of_the_light_has_no_radius() {
        assert!(radius_of_energy(0.0, 0.2).is_nan());
        assert!(radius_of_energy(0.99, 0.2).is_nan());
        assert!(radius_of_energy(f64::NAN, 0.2).is_nan());
    }
}
