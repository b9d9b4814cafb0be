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

use std::f64::consts::{FRAC_PI_4, LN_2, PI, TAU};

use crate::diffraction::{WAVELENGTH_NM, contrast, lambda_over_d};
use crate::quadrature::nodes;

/// The atmosphere's transfer function is `exp(-(c f s)^(5/3))` for a seeing FWHM `s`; this `c`
/// makes the width of its transform come out as `s`, which is Fried's 3.442 and Roddier's
/// 0.976 lambda / r0 with all their digits.
const KOLMOGOROV: f64 = 2.151_259_629_4;

/// Contrast below `exp(-10)` no longer moves a width by more than a few parts in 100,000.
const LAST_EXPONENT: f64 = 10.0;

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
        let round = self.round_width_arcsec();
        let most = PIXEL_OVER_BLUR * round;
        if self.pixel_arcsec <= most {
            return Spectrum::of(self).fwhm_arcsec();
        }
        // The half-maximum outline of so large a pixel is its own square with corners that the
        // blur has rounded; what they take off the area does not depend on the pixel any more.
        let square = |side: f64| 4.0 * side * side / PI;
        let smaller = Self { pixel_arcsec: most, ..*self };
        let corners = square(most) - Spectrum::of(&smaller).fwhm_arcsec().powi(2);
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

    /// A radius at which the pattern is below half for sure.
    fn far_arcsec(&self) -> f64 {
        self.pixel_arcsec + 1.5 * self.round_width_arcsec()
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
        let still = Self { guiding_rms_arcsec: 0.0, ..*self };
        let spectrum = Spectrum::of(&still);
        // Only a pixel so large that its own outline decides needs a new spectrum for each width.
        let shared = still.pixel_arcsec <= PIXEL_OVER_BLUR * still.round_width_arcsec();
        let square_of_width = |rms_squared: f64| {
            let guided = Self { guiding_rms_arcsec: rms_squared.sqrt(), ..still };
            let width =
                if shared { spectrum.guided(&guided).fwhm_arcsec() } else { guided.fwhm_arcsec() };
            width * width
        };
        let without = square_of_width(0.0);
        let wanted = without * (1.0 + loss).powi(2);
        // Widths squared grow nearly in proportion with the RMS squared: a Gaussian's FWHM squared
        // is 4 ln 2 times the RMS squared of both axes, and alone it is as wide as wanted there.
        let (start, far) = ((wanted - without) / (4.0 * LN_2), wanted / (4.0 * LN_2));
        let slope = -4.0 * LN_2 / wanted;
        falling_zero(start, far, slope, |square| 1.0 - square_of_width(square) / wanted).sqrt()
    }

    /// Brightness of a star at distances from its middle, averaged round it, 1 in the middle.
    ///
    /// # Units
    /// - `radii_arcsec`: >= 0, in any order
    pub fn profile(&self, radii_arcsec: &[f64]) -> Vec<f64> {
        let reach = radii_arcsec.iter().copied().fold(0.0, f64::max);
        let spectrum = Spectrum::reaching(self, reach);
        let peak = spectrum.at(0.0, 0.0);
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
                each(&|r| crate::diffraction::intensity(r * cut_off, self.obstruction_ratio))
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
        // Of a square far larger than the blur, all of it.
        let most = PIXEL_OVER_BLUR * self.round_width_arcsec();
        if self.pixel_arcsec > most {
            return 1.0;
        }
        // The pixel is part of the blur, so the middle of the pattern is the mean over the pixel.
        (4.0 * Spectrum::of(self).at(0.0, 0.0) * self.pixel_arcsec.powi(2)).min(1.0)
    }
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

/// The product of the transfer functions at the points of a two-dimensional integration rule, over
/// the quarter plane that symmetry leaves.
struct Spectrum {
    /// Points along either axis, cycles an arcsecond times 2 pi.
    angular: Vec<f64>,
    /// What belongs to one axis: the rule's weight and the pixel's transfer function.
    axis: Vec<f64>,
    /// What belongs to the distance from the middle: all round blurs. Row by row.
    round: Vec<f64>,
    /// An estimate of the width, and a radius at which the pattern is surely below half.
    guess_arcsec: f64,
    far_arcsec: f64,
    /// Points of the outline between the pixel's side and its diagonal.
    outline_points: u32,
}

/// The round blurs' transfer function at even steps, to be looked up between.
struct RoundTable {
    step: f64,
    values: Vec<f64>,
}

impl RoundTable {
    /// Steps of the table: its error stays below 1e-5 of the peak.
    const STEPS: usize = 96;

    fn new(blur: &Blur, last: f64) -> Self {
        let step = last / (Self::STEPS - 2) as f64;
        let cut_off = blur.cut_off_per_arcsec();
        let value = |index: usize| {
            let f = step * index as f64;
            let exponent = blur.atmosphere_exponent(f) + blur.guiding_exponent(f);
            contrast(f / cut_off, blur.obstruction_ratio) * (-exponent).exp()
        };
        Self { step, values: (0..=Self::STEPS).map(value).collect() }
    }

    /// Cubic through the four values about a place.
    fn at(&self, f: f64) -> f64 {
        let place = f / self.step;
        // The first interval has no value before it: it shares the second one's cubic.
        let start = (place as usize).saturating_sub(1);
        let Some(&[a, b, c, d]) = self.values.get(start..start + 4).and_then(|s| s.first_chunk())
        else {
            return 0.0;
        };
        let t = place - start as f64;
        let (t1, t2, t3) = (t - 1.0, t - 2.0, t - 3.0);
        -a * t1 * t2 * t3 / 6.0 + b * t * t2 * t3 / 2.0 - c * t * t1 * t3 / 2.0
            + d * t * t1 * t2 / 6.0
    }
}

impl Spectrum {
    fn of(blur: &Blur) -> Self {
        Self::reaching(blur, 0.0)
    }

    /// With points close enough to follow the pattern to its half-maximum outline, or further.
    fn reaching(blur: &Blur, reach_arcsec: f64) -> Self {
        let last = Self::last_frequency(blur);
        // Waves along one axis in the pattern's cosine and in the pixel's sine; a panel follows one.
        let waves =
            last * (reach_arcsec.max(0.6 * blur.width_guess_arcsec()) + 0.5 * blur.pixel_arcsec);
        let panels = 2 + waves.clamp(0.0, 60.0) as usize;
        let table = RoundTable::new(blur, last * 2f64.sqrt());
        let rule: Vec<(f64, f64)> = nodes(0.0, last, panels).collect();
        let mut round = Vec::with_capacity(rule.len() * rule.len());
        for (x, _) in &rule {
            round.extend(rule.iter().map(|(y, _)| table.at((x * x + y * y).sqrt())));
        }
        Self {
            angular: rule.iter().map(|(f, _)| TAU * f).collect(),
            axis: rule.iter().map(|(f, w)| w * sinc(blur.pixel_arcsec * f)).collect(),
            round,
            guess_arcsec: blur.width_guess_arcsec(),
            far_arcsec: blur.far_arcsec(),
            // In pixels of less than twice the blur the outline is all but a circle.
            outline_points: if blur.pixel_arcsec < 2.0 * blur.round_width_arcsec() { 2 } else { 8 },
        }
    }

    /// The same with guiding errors added, for a blur that had none.
    fn guided(&self, blur: &Blur) -> Self {
        // A Gaussian in the plane is the product of one along either axis.
        let axis = self.angular.iter().zip(&self.axis);
        Self {
            axis: axis.map(|(k, a)| a * (-blur.guiding_exponent(k / TAU)).exp()).collect(),
            angular: self.angular.clone(),
            round: self.round.clone(),
            guess_arcsec: blur.width_guess_arcsec(),
            far_arcsec: blur.far_arcsec(),
            outline_points: self.outline_points,
        }
    }

    /// The frequency beyond which nothing is left.
    fn last_frequency(blur: &Blur) -> f64 {
        let exponent = |f: f64| blur.atmosphere_exponent(f) + blur.guiding_exponent(f);
        // Of the two fading blurs each alone bounds it; together they are stronger.
        let air = LAST_EXPONENT.powf(0.6) / (KOLMOGOROV * blur.seeing_fwhm_arcsec);
        let guiding = LAST_EXPONENT.sqrt() / (PI * blur.guiding_rms_arcsec);
        let mut faded = air.min(guiding);
        if faded.is_finite() {
            // The exponent grows nearly with the square: two steps are plenty.
            for _ in 0..2 {
                faded *= (LAST_EXPONENT / exponent(faded)).sqrt();
            }
        }
        faded.min(blur.cut_off_per_arcsec())
    }

    /// The pattern at a place, in arcseconds from its middle; a quarter of its true height.
    fn at(&self, x: f64, y: f64) -> f64 {
        let along = |distance: f64| {
            self.angular.iter().zip(&self.axis).map(move |(k, a)| a * (k * distance).cos())
        };
        // Whole rows are added up, weighted: that runs in the processor's wide registers, which a
        // sum of products along each row would not.
        let mut columns = vec![0.0; self.axis.len()];
        for (row, up) in self.round.chunks_exact(columns.len()).zip(along(y)) {
            for (column, value) in columns.iter_mut().zip(row) {
                *column += up * value;
            }
        }
        columns.iter().zip(along(x)).map(|(column, across)| column * across).sum()
    }

    /// The mean of the pattern round a circle.
    fn round_mean(&self, radius: f64) -> f64 {
        nodes(0.0, FRAC_PI_4, 1)
            .map(|(angle, weight)| weight * self.at(radius * angle.cos(), radius * angle.sin()))
            .sum::<f64>()
            / FRAC_PI_4
    }

    fn fwhm_arcsec(&self) -> f64 {
        let half = self.at(0.0, 0.0) / 2.0;
        let mut start = self.guess_arcsec / 2.0;
        // Half the radius squared, averaged over the eighth between the pixel's side and diagonal.
        // The outline repeats four times round, so that evenly spaced points leave only its
        // harmonic 8 n wrong, which fades fast unless the pixel gives it corners.
        let points = self.outline_points;
        let mean: f64 = (0..points)
            .map(|index| {
                let angle = FRAC_PI_4 * (f64::from(index) + 0.5) / f64::from(points);
                let (sin, cos) = angle.sin_cos();
                let excess = |radius: f64| self.at(radius * cos, radius * sin) / half - 1.0;
                // As steep as a Gaussian there.
                start = falling_zero(start, self.far_arcsec, -2.0 * LN_2 / start, excess);
                start * start / f64::from(points)
            })
            .sum();
        2.0 * mean.sqrt()
    }
}

/// Where a curve that falls in the end passes zero, between 0 and `far`: secants, from a first
/// guess of place and slope, kept within their bracket.
fn falling_zero(start: f64, far: f64, slope: f64, curve: impl Fn(f64) -> f64) -> f64 {
    let (mut near, mut far, mut slope) = (0.0, far, slope);
    let mut place = start;
    let mut value = curve(place);
    for _ in 0..40 {
        if value > 0.0 {
            near = place
        } else {
            far = place
        }
        let mut next = place - value / slope;
        if !(near < next && next < far) {
            next = f64::midpoint(near, far);
        }
        let step = next - place;
        if step.abs() < 1e-4 * place {
            // The secant's next error is of the order of this step squared.
            return next;
        }
        let next_value = curve(next);
        slope = (next_value - value) / step;
        (place, value) = (next, next_value);
    }
    place
}
