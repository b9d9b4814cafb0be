//! How finely the pixels catch the star: too coarse, well, or wastefully fine.
//!
//! A camera needs about two pixels across the delivered width to catch what the sky leaves (the
//! sampling theorem); more than about three spread the light over pixels that each add their read
//! noise and show nothing more.

use crate::kit::Thresholds;

/// How the pixels stand to the delivered FWHM.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Sampling {
    /// Too few pixels: detail that the sky leaves is lost.
    Under,
    /// As many as are of use.
    Well,
    /// More than are of use.
    Over,
}

impl Sampling {
    /// From pixels per delivered FWHM.
    ///
    /// # Example
    /// ```
    /// # use fieldstop::{kit::Thresholds, sampling::Sampling};
    /// assert_eq!(Sampling::of(2.5, &Thresholds::default()), Sampling::Well);
    /// assert_eq!(Sampling::of(3.1, &Thresholds::default()), Sampling::Over);
    /// ```
    pub fn of(pixels_per_fwhm: f64, thresholds: &Thresholds) -> Self {
        if pixels_per_fwhm < thresholds.under_sampled {
            Self::Under
        } else if pixels_per_fwhm > thresholds.over_sampled {
            Self::Over
        } else {
            Self::Well
        }
    }

    /// As in the command line's output.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Under => "under",
            Self::Well => "well",
            Self::Over => "over",
        }
    }

    /// As in a sentence.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Under => "under-sampled",
            Self::Well => "well sampled",
            Self::Over => "over-sampled",
        }
    }
}

/// Pixels joined into larger ones, and what that costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Binning {
    /// Pixels a side that are joined into one, at least 2.
    pub factor: u32,
    /// Width of the smaller picture.
    pub width_px: u32,
    /// Height of the smaller picture.
    pub height_px: u32,
    /// Read noise of a joined pixel over that of one pixel: the factor, where the joining is done
    /// after reading, as in nearly all of today's sensors.
    pub read_noise_factor: f64,
}

/// The largest binning that still leaves as many pixels across the FWHM as the sampling needs;
/// `None` where there is nothing to gain.
///
/// # Units
/// - `pixels_per_fwhm`: of the pixels as they are, > 0
/// - `width_px`, `height_px`: of the camera
///
/// # Source
/// The sampling theorem; joining after reading adds the variances of `factor^2` reads.
///
/// # Example
/// Five pixels a width, with two needed: join them two by two.
/// ```
/// # use fieldstop::{kit::Thresholds, sampling::binning};
/// let joined = binning(5.0, &Thresholds::default(), 6000, 4000).unwrap();
/// assert_eq!((joined.factor, joined.width_px, joined.height_px), (2, 3000, 2000));
/// assert!(binning(2.9, &Thresholds::default(), 6000, 4000).is_none());
/// ```
pub fn binning(
    pixels_per_fwhm: f64,
    thresholds: &Thresholds,
    width_px: u32,
    height_px: u32,
) -> Option<Binning> {
    if Sampling::of(pixels_per_fwhm, thresholds) != Sampling::Over {
        return None;
    }
    let most = f64::from(width_px.min(height_px));
    // OK because the value lies between 0 and a count of pixels.
    let factor = (pixels_per_fwhm / thresholds.under_sampled).floor().clamp(0.0, most) as u32;
    (factor >= 2).then(|| Binning {
        factor,
        width_px: width_px / factor,
        height_px: height_px / factor,
        read_noise_factor: f64::from(factor),
    })
}

/// The focal ratio at which pixels just sample all that diffraction leaves: for planets.
///
/// # Units
/// - `pixel_um`, `wavelength_nm`: > 0
///
/// # Source
/// Fourier optics: the cut-off on the sensor is `1 / (lambda N)` and needs two pixels,
/// `N = 2 p / lambda`.
///
/// # Example
/// ```
/// # use fieldstop::sampling::planetary_focal_ratio;
/// assert!((planetary_focal_ratio(2.75, 550.0) - 10.0).abs() < 1e-12);
/// ```
pub fn planetary_focal_ratio(pixel_um: f64, wavelength_nm: f64) -> f64 {
    2.0 * pixel_um * 1000.0 / wavelength_nm
}

/// The factor of the Barlow that brings a focal ratio to the planetary one; at or below 1 none is
/// needed.
///
/// # Example
/// ```
/// # use fieldstop::sampling::barlow_factor;
/// assert!((barlow_factor(5.0, 2.75, 550.0) - 2.0).abs() < 1e-12);
/// ```
pub fn barlow_factor(focal_ratio: f64, pixel_um: f64, wavelength_nm: f64) -> f64 {
    planetary_focal_ratio(pixel_um, wavelength_nm) / focal_ratio
}
