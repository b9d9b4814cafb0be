//! How long it takes: signal and noise of a pixel, the shortest sub-exposure, the total hours.
//!
//! Every electron that arrives brings noise along, from the target, the sky and the dark current;
//! every read adds a little more. Signal grows with time and noise with its root, so twice the
//! signal-to-noise ratio takes four times the hours.

/// What one pixel gathers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rates {
    /// From the target, electrons a second.
    pub target_e_per_s: f64,
    /// From the sky, electrons a second.
    pub sky_e_per_s: f64,
    /// Dark current, electrons a second.
    pub dark_e_per_s: f64,
    /// At each read, electrons RMS.
    pub read_noise_e: f64,
}

impl Rates {
    /// Signal-to-noise ratio of a stack of sub-exposures, in one pixel.
    ///
    /// # Units
    /// - `sub_s`: of one sub-exposure, seconds, > 0
    /// - `subs`: how many, >= 0; need not be whole
    ///
    /// # Source
    /// CCD equation, the background known: Merline & Howell 1995, Experimental Astronomy 6, 163.
    ///
    /// # Example
    /// Without sky, dark current or read noise the ratio is the root of the electrons.
    /// ```
    /// # use fieldstop::exposure::Rates;
    /// let rates = Rates { target_e_per_s: 4.0, sky_e_per_s: 0.0, dark_e_per_s: 0.0, read_noise_e: 0.0 };
    /// assert!((rates.snr(25.0, 4.0) - 20.0).abs() < 1e-12);
    /// ```
    pub fn snr(&self, sub_s: f64, subs: f64) -> f64 {
        let signal = self.target_e_per_s * sub_s;
        let variance = signal + self.background_e_per_s() * sub_s + self.read_noise_e.powi(2);
        signal / variance.sqrt() * subs.sqrt()
    }

    /// As [`Self::snr`] of one sub-exposure, with the background measured and the converter's steps.
    ///
    /// # Units
    /// - `background_px`: pixels that the background is measured over, > 0
    /// - `gain_e_per_adu`: electrons a step of the converter, >= 0
    ///
    /// # Source
    /// Merline & Howell 1995; Howell 2006, Handbook of CCD Astronomy, 2nd ed., 4.4.
    pub fn snr_measured_background(
        &self,
        sub_s: f64,
        background_px: f64,
        gain_e_per_adu: f64,
    ) -> f64 {
        // A step's rounding has an RMS of 1 / sqrt 12, which the source rounds.
        let rounding = 0.289 * gain_e_per_adu;
        let signal = self.target_e_per_s * sub_s;
        let background =
            self.background_e_per_s() * sub_s + self.read_noise_e.powi(2) + rounding.powi(2);
        signal / (signal + (1.0 + 1.0 / background_px) * background).sqrt()
    }

    /// Shortest sub-exposure at which read noise adds no more than a share to the noise, seconds.
    ///
    /// # Units
    /// - `extra`: accepted share, > 0, usually 0.05
    ///
    /// # Source
    /// CCD equation: `RN^2 / ((sky + dark) ((1 + q)^2 - 1))`.
    ///
    /// # Example
    /// ```
    /// # use fieldstop::exposure::Rates;
    /// let rates = Rates { target_e_per_s: 0.0, sky_e_per_s: 1.0, dark_e_per_s: 0.0, read_noise_e: 3.0 };
    /// // At that length the sky's noise is 9.37 electrons, with read noise 9.84: 5 % more.
    /// let sub_s = rates.shortest_sub_s(0.05);
    /// assert!(((sub_s + 9.0).sqrt() / sub_s.sqrt() - 1.05).abs() < 1e-12);
    /// ```
    pub fn shortest_sub_s(&self, extra: f64) -> f64 {
        self.read_noise_e.powi(2) / (self.background_e_per_s() * ((1.0 + extra).powi(2) - 1.0))
    }

    /// Hours of exposure, all subs together, for a signal-to-noise ratio in one pixel.
    ///
    /// # Units
    /// - `snr`: wanted, > 0
    /// - `sub_s`: of one sub-exposure, seconds, > 0; with no read noise its length does not matter
    ///
    /// # Source
    /// CCD equation, solved for time.
    ///
    /// # Example
    /// ```
    /// # use fieldstop::exposure::Rates;
    /// let rates = Rates { target_e_per_s: 0.2, sky_e_per_s: 1.0, dark_e_per_s: 0.01, read_noise_e: 2.0 };
    /// let hours = rates.hours_to_snr(10.0, 120.0);
    /// assert!((rates.snr(120.0, hours * 3600.0 / 120.0) - 10.0).abs() < 1e-9);
    /// ```
    pub fn hours_to_snr(&self, snr: f64, sub_s: f64) -> f64 {
        // The least of numbers above 0 have a square of 0, and exposures to match.
        let squared = self.read_noise_e.powi(2);
        let read = if squared > 0.0 && sub_s > 0.0 { squared / sub_s } else { 0.0 };
        let variance = self.target_e_per_s + self.background_e_per_s() + read;
        (snr / self.target_e_per_s).powi(2) * variance / 3600.0
    }

    fn background_e_per_s(&self) -> f64 {
        self.sky_e_per_s + self.dark_e_per_s
    }
}

/// Hours for a signal-to-noise ratio in a square arcsecond, from the hours for it in one pixel.
///
/// Over more pixels, signal adds up faster than noise. Pixels answer how smooth the picture looks,
/// square arcseconds how well the telescope sees: only these compare rigs fairly.
///
/// # Units
/// - `pixel_arcsec2`: area of a pixel on the sky, > 0
/// - `pixel_share`: share of the pixels that see the passband, above 0 to 1
///
/// # Source
/// CCD equation; the noise of pixels is independent.
///
/// # Example
/// A hundred pixels to the square arcsecond need a hundredth of the time.
/// ```
/// # use fieldstop::exposure::hours_per_arcsec2;
/// assert!((hours_per_arcsec2(50.0, 0.01, 1.0) - 0.5).abs() < 1e-12);
/// ```
pub fn hours_per_arcsec2(hours_per_pixel: f64, pixel_arcsec2: f64, pixel_share: f64) -> f64 {
    hours_per_pixel * pixel_arcsec2 / pixel_share
}

/// Time until a star fills the pixel it is centred on, seconds.
///
/// # Units
/// - `full_well_e`: electrons that a pixel holds, > 0
/// - `star_e_per_s`: the star's light in all, after extinction
/// - `central_share`: of it on that pixel, 0 to 1
/// - `background_e_per_s`: sky and dark current in a pixel
pub fn saturation_s(
    full_well_e: f64,
    star_e_per_s: f64,
    central_share: f64,
    background_e_per_s: f64,
) -> f64 {
    full_well_e / (star_e_per_s * central_share + background_e_per_s)
}

/// Sub-exposures that fit a night: whole ones, one after the other.
///
/// # Example
/// ```
/// # use fieldstop::exposure::subs_a_night;
/// assert_eq!(subs_a_night(6.0, 180.0), 120.0);
/// ```
pub fn subs_a_night(dark_hours: f64, sub_s: f64) -> f64 {
    (dark_hours * 3600.0 / sub_s).floor()
}

/// Storage for that many raw pictures, gigabytes of 10^9 bytes, not compressed.
///
/// # Units
/// - `bit_depth`: of the converter; stored in whole bytes
///
/// # Example
/// ```
/// # use fieldstop::exposure::gigabytes;
/// assert_eq!(gigabytes(100.0, 5000, 2000, 12), 2.0);
/// ```
pub fn gigabytes(subs: f64, width_px: u32, height_px: u32, bit_depth: u32) -> f64 {
    let bytes_a_pixel = f64::from(bit_depth.div_ceil(8));
    subs * f64::from(width_px) * f64::from(height_px) * bytes_a_pixel / 1e9
}
