//! What a star becomes on the sensor: telescope, air, guiding and pixel together.
//!
//! Each of the four blurs the picture, and a blur is a loss of contrast that grows with fineness:
//! a *transfer function*. Blurs one after another multiply their transfer functions, exactly, so
//! the picture of a star (its point spread function) is the transform of the product. Adding the
//! widths in quadrature instead is off by 4 % at the median and 13 % at worst.
//!
//! The first three blurs are round, the pixel is a square. The transform is therefore taken in two
//! dimensions, by a fixed rule of few points: a cosine a point and axis, and one small matrix that
//! holds the round part.

mod spectrum;

use std::f64::consts::{FRAC_PI_4, LN_2, PI};

use crate::diffraction::{WAVELENGTH_NM, contrast, intensity, lambda_over_d};
use spectrum::{OUTLINE, Spectrum, falling_zero};

/// The atmosphere's transfer function is `exp(-(c f s)^(5/3))` for a seeing FWHM `s`; this `c`
/// makes the width of its transform come out as `s`, which is Fried's 3.442 and Roddier's
/// 0.976 lambda / r0 with all their digits.
const KOLMOGOROV: f64 = 2.151_259_629_4;

/// FWHM of a Gaussian over its RMS along one axis: `2 sqrt(2 ln 2)`.
fn gaussian_fwhm_per_rms() -> f64 {
    2.0 * (2.0 * LN_2).sqrt()
}

/// Seeing away from the zenith and in another colour.
///
/// # Units
/// - `zenith_fwhm_arcsec`: long exposure, at the zenith, 550 nm
/// - `airmass`: 1 at the zenith
/// - `wavelength_nm`: > 0
/// - returns: arcseconds
///
/// # Source
/// Roddier 1981, Progress in Optics 19, 281: airmass to the 0.6, wavelength to the -0.2.
///
/// # Example
/// At 30 degrees altitude, airmass 2, seeing is half as wide again.
/// ```
/// # use fieldstop::psf::seeing_fwhm_arcsec;
/// assert!((seeing_fwhm_arcsec(2.0, 2.0, 550.0) - 3.0314).abs() < 1e-4);
/// ```
pub fn seeing_fwhm_arcsec(zenith_fwhm_arcsec: f64, airmass: f64, wavelength_nm: f64) -> f64 {
    zenith_fwhm_arcsec * airmass.powf(0.6) * (wavelength_nm / WAVELENGTH_NM).powf(-0.2)
}

/// What blurs a star, part by part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blur {
    /// Clear aperture, millimetres, > 0.
    pub aperture_mm: f64,
    /// Diameter of the central obstruction over the aperture's, 0 to below 1.
    pub obstruction_ratio: f64,
    /// Of the one wavelength that is looked at, nanometres, > 0.
    pub wavelength_nm: f64,
    /// Long-exposure FWHM at this place in the sky and this wavelength, arcseconds; 0 for none.
    pub seeing_fwhm_arcsec: f64,
    /// RMS of the guiding, total of both axes, arcseconds; 0 for none.
    pub guiding_rms_arcsec: f64,
    /// Side of a square pixel on the sky, arcseconds; 0 for none.
    pub pixel_arcsec: f64,
}

/// Contrast that is left at one spatial frequency, by what takes it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transfer {
    /// After the telescope's diffraction.
    pub telescope: f64,
    /// After the atmosphere.
    pub atmosphere: f64,
    /// After guiding errors.
    pub guiding: f64,
    /// After the pixel, along its side; it turns negative where stripes finer than a pixel
    /// reverse.
    pub pixel: f64,
}

impl Transfer {
    /// What is left after all of them.
    pub fn product(self) -> f64 {
        self.telescope * self.atmosphere * self.guiding * self.pixel
    }
}

/// A blur that can be looked at alone.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Component {
    /// Diffraction by the aperture.
    Telescope,
    /// Seeing.
    Atmosphere,
    /// Guiding errors.
    Guiding,
    /// The square of the pixel.
    Pixel,
}

impl Blur {
    /// Finest stripes that the telescope passes, cycles an arcsecond.
    pub fn cut_off_per_arcsec(&self) -> f64 {
        1.0 / lambda_over_d(self.wavelength_nm, self.aperture_mm).arcsec()
    }

    /// Contrast left at a spatial frequency along the pixel's side: the curves of the plot.
    ///
    /// # Units
    /// - `frequency_per_arcsec`: cycles an arcsecond, >= 0
    ///
    /// # Example
    /// A pixel does not see stripes of its own width at all.
    /// ```
    /// # use fieldstop::psf::Blur;
    /// let blur = Blur { aperture_mm: 200.0, obstruction_ratio: 0.0, wavelength_nm: 550.0,
    ///     seeing_fwhm_arcsec: 2.0, guiding_rms_arcsec: 0.5, pixel_arcsec: 1.0 };
    /// assert!(blur.transfer(1.0).pixel.abs() < 1e-15);
    /// assert_eq!(blur.transfer(0.0).product(), 1.0);
    /// ```
    pub fn transfer(&self, frequency_per_arcsec: f64) -> Transfer {
        let f = frequency_per_arcsec;
        Transfer {
            telescope: contrast(f / self.cut_off_per_arcsec(), self.obstruction_ratio),
            atmosphere: (-self.atmosphere_exponent(f)).exp(),
            guiding: (-self.guiding_exponent(f)).exp(),
            pixel: sinc(self.pixel_arcsec * f),
        }
    }

    /// `(c f s)^(5/3)`: Fried's structure function of Kolmogorov's turbulence.
    fn atmosphere_exponent(&self, f: f64) -> f64 {
        let x = KOLMOGOROV * f * self.seeing_fwhm_arcsec;
        // The cube root is several times faster than a power.
        x * (x * x).cbrt()
    }

    /// `2 pi^2 f^2` times the variance along one axis, which is half of both axes' variance.
    fn guiding_exponent(&self, f: f64) -> f64 {
        (PI * f * self.guiding_rms_arcsec).powi(2)
    }

    /// The full width at half maximum that this blur delivers, arcseconds.
    ///
    /// It is the diameter of the circle with the area above half maximum: for a round star the
    /// usual width, and for one that the pixel makes square the fair mean of side and diagonal.
    ///
    /// # Source
    /// Linear systems: the transform of the product of the annular aperture's (O'Neill 1956), the
    /// long-exposure atmosphere's (Fried 1966), a Gaussian's and the square pixel's transfer
    /// functions.
    ///
    /// # Example
    /// Seeing alone decides for a large telescope with fine pixels.
    /// ```
    /// # use fieldstop::psf::Blur;
    /// let blur = Blur { aperture_mm: 4000.0, obstruction_ratio: 0.0, wavelength_nm: 550.0,
    ///     seeing_fwhm_arcsec: 3.0, guiding_rms_arcsec: 0.0, pixel_arcsec: 0.1 };
    /// assert!((blur.fwhm_arcsec() - 3.0).abs() < 0.01);
    /// ```
    pub fn fwhm_arcsec(&self) -> f64 {
        let whole = |blur: &Self| {
            let spectrum = Spectrum::of(blur);
            spectrum.fwhm_arcsec(&spectrum.axis, blur)
        };
        if !self.pixel_decides() {
            return whole(self);
        }
        // The half-maximum outline of so large a pixel is its own square with corners that the
        // blur has rounded; what they take off the area does not depend on the pixel any more.
        let square = |side: f64| 4.0 * side * side / PI;
        let most = PIXEL_OVER_BLUR * self.round_width_arcsec();
        let corners = square(most) - whole(&Self { pixel_arcsec: most, ..*self }).powi(2);
        (square(self.pixel_arcsec) - corners).sqrt()
    }

    /// Width of the round blurs by a quadrature sum: near enough to start from.
    fn round_width_arcsec(&self) -> f64 {
        let guiding = gaussian_fwhm_per_rms() * self.guiding_rms_arcsec / 2f64.sqrt();
        self.seeing_fwhm_arcsec.hypot(guiding).hypot(self.diffraction_fwhm_arcsec())
    }

    /// Width of all blurs by a quadrature sum, the pixel's in proportion to its side.
    fn width_guess_arcsec(&self) -> f64 {
        self.round_width_arcsec().hypot(0.95 * self.pixel_arcsec)
    }

    fn diffraction_fwhm_arcsec(&self) -> f64 {
        // Between 1.029 for an open aperture and 0.72 for a thin ring.
        (1.03 - 0.31 * self.obstruction_ratio.powi(2)) / self.cut_off_per_arcsec()
    }

    /// The guiding RMS, total of both axes, that widens the delivered FWHM by a share; arcseconds.
    ///
    /// # Units
    /// - `loss`: accepted widening as a share of the unguided FWHM, > 0, such as 0.1
    ///
    /// # Example
    /// Blurs that were Gaussian would add in quadrature: 10 % more width takes a guiding FWHM of
    /// 0.46 times the width. Real seeing has a sharper core, so it suffers a little sooner.
    /// ```
    /// # use fieldstop::psf::Blur;
    /// let blur = Blur { aperture_mm: 200.0, obstruction_ratio: 0.0, wavelength_nm: 550.0,
    ///     seeing_fwhm_arcsec: 2.5, guiding_rms_arcsec: 0.0, pixel_arcsec: 0.5 };
    /// let rms = blur.guiding_rms_for_loss(0.1);
    /// let guided = Blur { guiding_rms_arcsec: rms, ..blur };
    /// assert!((guided.fwhm_arcsec() / blur.fwhm_arcsec() - 1.1).abs() < 1e-4);
    /// ```
    pub fn guiding_rms_for_loss(&self, loss: f64) -> f64 {
        self.delivered(loss).guiding_rms_for_loss_arcsec
    }

    /// Everything that a table of figures asks of a star, for little more than the price of one.
    ///
    /// # Units
    /// - `loss`: as for [`Self::guiding_rms_for_loss`]
    pub fn delivered(&self, loss: f64) -> Delivered {
        let still = Self { guiding_rms_arcsec: 0.0, ..*self };
        // One spectrum serves all guiding errors, unless its points would have to be too many, or
        // the pixel is so large that its own outline decides.
        let shared =
            !still.pixel_decides() && self.width_guess_arcsec() < 3.0 * still.width_guess_arcsec();
        let spectrum =
            shared.then(|| Spectrum::reaching(&still, OUTLINE * self.width_guess_arcsec()));
        let width = |guiding_rms_arcsec: f64| {
            let blur = Self { guiding_rms_arcsec, ..still };
            match &spectrum {
                Some(spectrum) => spectrum.fwhm_arcsec(&spectrum.guided(&blur), &blur),
                None => blur.fwhm_arcsec(),
            }
        };
        let unguided_fwhm_arcsec = width(0.0);
        Delivered {
            fwhm_arcsec: width(self.guiding_rms_arcsec),
            unguided_fwhm_arcsec,
            guiding_rms_for_loss_arcsec: guiding_rms_for(
                unguided_fwhm_arcsec,
                unguided_fwhm_arcsec * (1.0 + loss),
                width,
            ),
            central_pixel_share: match &spectrum {
                Some(spectrum) => self.share_of(spectrum.at(&spectrum.guided(self), 0.0, 0.0)),
                None => self.central_pixel_share(),
            },
        }
    }

    /// Brightness of a star at distances from its middle, averaged round it, 1 in the middle.
    ///
    /// # Units
    /// - `radii_arcsec`: >= 0, in any order, up to some fifty times the FWHM
    pub fn profile(&self, radii_arcsec: &[f64]) -> Vec<f64> {
        let reach = radii_arcsec.iter().copied().fold(0.0, f64::max);
        let spectrum = Spectrum::reaching(self, reach);
        let peak = spectrum.at(&spectrum.axis, 0.0, 0.0);
        radii_arcsec.iter().map(|&radius| spectrum.round_mean(radius) / peak).collect()
    }

    /// As [`Self::profile`], by one of the blurs alone; `None` where it does not blur.
    pub fn component_profile(
        &self,
        component: Component,
        radii_arcsec: &[f64],
    ) -> Option<Vec<f64>> {
        let each =
            |curve: &dyn Fn(f64) -> f64| Some(radii_arcsec.iter().map(|&r| curve(r)).collect());
        match component {
            Component::Telescope => {
                let cut_off = self.cut_off_per_arcsec();
                each(&|r| intensity(r * cut_off, self.obstruction_ratio))
            }
            Component::Atmosphere if self.seeing_fwhm_arcsec > 0.0 => {
                let alone = Self {
                    guiding_rms_arcsec: 0.0,
                    pixel_arcsec: 0.0,
                    aperture_mm: f64::INFINITY,
                    ..*self
                };
                Some(alone.profile(radii_arcsec))
            }
            // exp(-r^2 / (2 sigma^2)), sigma^2 being half of both axes' variance.
            Component::Guiding if self.guiding_rms_arcsec > 0.0 => {
                each(&|r| (-(r / self.guiding_rms_arcsec).powi(2)).exp())
            }
            Component::Pixel if self.pixel_arcsec > 0.0 => {
                each(&|r| share_of_circle_in_square(2.0 * r / self.pixel_arcsec))
            }
            Component::Atmosphere | Component::Guiding | Component::Pixel => None,
        }
    }

    /// Share of a star's light that falls on the pixel it is centred on.
    pub fn central_pixel_share(&self) -> f64 {
        if self.pixel_decides() {
            // What spills over an edge shrinks with the pixel's side, as the light in the rings
            // beyond a radius does.
            let most = PIXEL_OVER_BLUR * self.round_width_arcsec();
            let spilled = 1.0 - Self { pixel_arcsec: most, ..*self }.central_pixel_share();
            return 1.0 - spilled * most / self.pixel_arcsec;
        }
        let spectrum = Spectrum::of(self);
        self.share_of(spectrum.at(&spectrum.axis, 0.0, 0.0))
    }

    /// The same from the middle of the pattern: the pixel is part of the blur, so that is the mean
    /// over the pixel already.
    fn share_of(&self, quarter_of_middle: f64) -> f64 {
        (4.0 * quarter_of_middle * self.pixel_arcsec.powi(2)).min(1.0)
    }

    /// Whether the pixel is so large that the blur only rounds its corners.
    fn pixel_decides(&self) -> bool {
        self.pixel_arcsec > PIXEL_OVER_BLUR * self.round_width_arcsec()
    }
}

/// A star in figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Delivered {
    /// As [`Blur::fwhm_arcsec`].
    pub fwhm_arcsec: f64,
    /// The same without guiding errors.
    pub unguided_fwhm_arcsec: f64,
    /// As [`Blur::guiding_rms_for_loss`].
    pub guiding_rms_for_loss_arcsec: f64,
    /// As [`Blur::central_pixel_share`].
    pub central_pixel_share: f64,
}

/// The guiding RMS, total of both axes, at which a width becomes another, wider one.
fn guiding_rms_for(without: f64, wanted: f64, width: impl Fn(f64) -> f64) -> f64 {
    // Widths squared grow nearly in proportion with the RMS squared: a Gaussian's FWHM squared is
    // 4 ln 2 times the RMS squared of both axes, and alone it is as wide as wanted at `far`.
    let square = wanted * wanted;
    let (start, far) = ((square - without * without) / (4.0 * LN_2), square / (4.0 * LN_2));
    let slope = -4.0 * LN_2 / square;
    let shortage = |rms_squared: f64| 1.0 - width(rms_squared.sqrt()).powi(2) / square;
    falling_zero(start, far, slope, shortage).sqrt()
}

/// From how many widths of blur on a pixel's own square outline decides.
const PIXEL_OVER_BLUR: f64 = 6.0;

/// `sin(pi x) / (pi x)`: the transfer function of a box of width 1.
fn sinc(x: f64) -> f64 {
    let v = PI * x;
    if v.abs() < 1e-8 { 1.0 } else { v.sin() / v }
}

/// Share of a circle, by its length, in a square about the same middle; radius in half sides.
fn share_of_circle_in_square(radius: f64) -> f64 {
    if radius <= 1.0 {
        1.0
    } else if radius >= 2f64.sqrt() {
        0.0
    } else {
        1.0 - (1.0 / radius).acos() / FRAC_PI_4
    }
}
