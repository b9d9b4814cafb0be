//! From magnitudes to electrons: how much light a rig collects, and in which colours.
//!
//! A magnitude says how much light arrives on a square metre. Aperture, transmission, the width of
//! the passband and the quantum efficiency turn it into electrons a second; the area of a pixel on
//! the sky turns a surface brightness into electrons a second and pixel.

use std::f64::consts::FRAC_PI_4;

use crate::ResolvedRig;
use crate::diffraction::WAVELENGTH_NM;
use crate::kit::{Camera, Filter, Ota};

/// Spectral flux of AB magnitude 0: 3631 Jy, in W m^-2 Hz^-1. V magnitudes differ by about 0.02.
const AB_ZERO_W_M2_HZ: f64 = 3631e-26;
/// Planck's constant, J s (exact, SI 2019).
const PLANCK_J_S: f64 = 6.626_070_15e-34;

/// A filter narrower than this passes single lines of a nebula rather than a part of the spectrum.
/// Common practice: line filters are 3 to 12 nm wide, colour filters 80 to 120.
pub const NARROW_NM: f64 = 30.0;

/// The line filter that figures are given for when a rig has none: hydrogen alpha, 7 nm wide.
/// Common practice.
pub const USUAL_NARROW: LineFilter =
    LineFilter { centre_nm: 656.3, width_nm: 7.0, transmission: 0.9 };

/// What a filter does to the light, without its name and price.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineFilter {
    /// Middle of its passband.
    pub centre_nm: f64,
    /// Width of its passband.
    pub width_nm: f64,
    /// Share of the light that it passes within its passband.
    pub transmission: f64,
}

impl From<&Filter> for LineFilter {
    fn from(filter: &Filter) -> Self {
        Self {
            centre_nm: filter.centre_nm,
            width_nm: filter.width_nm,
            transmission: filter.transmission,
        }
    }
}

/// The colours that one pixel sees, and how much of them it counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passband {
    /// Middle, nanometres.
    pub centre_nm: f64,
    /// Width, nanometres.
    pub width_nm: f64,
    /// Electrons for each photon that reaches the filter: its transmission times the quantum
    /// efficiency.
    pub efficiency: f64,
    /// Share of the camera's pixels that see this passband at all.
    pub pixel_share: f64,
}

impl Passband {
    /// Of a camera without a filter, and as if it had no colour mosaic.
    pub fn whole(camera: &Camera) -> Self {
        Self {
            centre_nm: camera.wavelength_nm.unwrap_or(WAVELENGTH_NM),
            width_nm: camera.passband_nm,
            efficiency: camera.quantum_efficiency,
            pixel_share: 1.0,
        }
    }

    /// Of a camera, behind a filter or bare.
    ///
    /// A pixel of a colour camera lies under a filter of its own: of a broad passband it sees about
    /// a third, of a line all or nothing. A quarter of the pixels see red, half see green, a quarter
    /// see blue.
    ///
    /// # Source
    /// Colour mosaic: common practice. The rest is counting.
    pub fn of(camera: &Camera, filter: Option<LineFilter>) -> Self {
        let behind = filter.map_or(Self::whole(camera), |filter| Self {
            centre_nm: filter.centre_nm,
            width_nm: filter.width_nm.min(camera.passband_nm),
            efficiency: camera.quantum_efficiency * filter.transmission,
            pixel_share: 1.0,
        });
        match (camera.colour, behind.is_narrow()) {
            (false, _) => behind,
            (true, false) => Self { width_nm: behind.width_nm / 3.0, ..behind },
            (true, true) => Self { pixel_share: mosaic_share(behind.centre_nm), ..behind },
        }
    }

    /// Whether it passes single lines rather than a part of the spectrum.
    pub fn is_narrow(self) -> bool {
        self.width_nm < NARROW_NM
    }
}

/// Share of a colour mosaic's pixels that see a line: red and blue a quarter each, green half.
fn mosaic_share(wavelength_nm: f64) -> f64 {
    if (490.0..590.0).contains(&wavelength_nm) { 0.5 } else { 0.25 }
}

/// Area that collects light, square metres.
///
/// # Source
/// `pi/4 D^2 (1 - e^2)`.
///
/// # Example
/// ```
/// # use fieldstop::light::clear_area_m2;
/// let open = clear_area_m2(200.0, 0.0);
/// assert!((clear_area_m2(200.0, 100.0) / open - 0.75).abs() < 1e-12);
/// ```
pub fn clear_area_m2(aperture_mm: f64, obstruction_mm: f64) -> f64 {
    FRAC_PI_4 * (aperture_mm * aperture_mm - obstruction_mm * obstruction_mm) * 1e-6
}

/// The focal ratio of a perfect lens that would light the sensor just as brightly.
///
/// # Source
/// Cinema practice: `N / sqrt(transmission (1 - e^2))`.
///
/// # Example
/// A lens that loses three quarters of its light works two stops slower.
/// ```
/// # use fieldstop::light::t_number;
/// assert_eq!(t_number(4.0, 0.25, 0.0), 8.0);
/// ```
pub fn t_number(focal_ratio: f64, transmission: f64, obstruction_ratio: f64) -> f64 {
    focal_ratio / (transmission * (1.0 - obstruction_ratio * obstruction_ratio)).sqrt()
}

/// Electrons a second that a star of AB magnitude 0 gives above the atmosphere, in all.
///
/// # Units
/// - `area_m2`: clear area, > 0
/// - `throughput`: share of the light that passes the optics, above 0 to 1
///
/// # Source
/// AB magnitudes, Oke & Gunn 1983, ApJ 266, 713: `3631 Jy / h x width / wavelength` photons.
///
/// # Example
/// Through 100 nm at 550 nm, a square metre receives 996,000 photons a millisecond.
/// ```
/// # use fieldstop::light::{Passband, zero_point_e_per_s};
/// let band = Passband { centre_nm: 550.0, width_nm: 100.0, efficiency: 1.0, pixel_share: 1.0 };
/// assert!((zero_point_e_per_s(1.0, 1.0, band) / 9.9635e9 - 1.0).abs() < 1e-4);
/// ```
pub fn zero_point_e_per_s(area_m2: f64, throughput: f64, band: Passband) -> f64 {
    AB_ZERO_W_M2_HZ / PLANCK_J_S
        * (band.width_nm / band.centre_nm)
        * area_m2
        * throughput
        * band.efficiency
}

/// Light of a magnitude against that of magnitude 0.
///
/// # Example
/// ```
/// # use fieldstop::light::flux_ratio;
/// assert!((flux_ratio(5.0) - 0.01).abs() < 1e-15);
/// ```
pub fn flux_ratio(magnitude: f64) -> f64 {
    10f64.powf(-0.4 * magnitude)
}

/// As [`zero_point_e_per_s`], for a rig's optics.
pub fn rig_zero_point_e_per_s(ota: &Ota, band: Passband) -> f64 {
    zero_point_e_per_s(clear_area_m2(ota.aperture_mm, ota.obstruction_mm), ota.transmission, band)
}

/// Area of a pixel on the sky, square arcseconds.
pub fn pixel_area_arcsec2(rig: &ResolvedRig<'_>) -> f64 {
    rig.pixel_scale().arcsec().powi(2)
}
