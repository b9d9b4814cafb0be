//! The transform itself: from transfer functions to the shape of a star.

use std::f64::consts::{FRAC_PI_4, LN_2, PI, TAU};

use super::{Blur, KOLMOGOROV, sinc};
use crate::diffraction::contrast;
use crate::quadrature::nodes;

/// Contrast below `exp(-10)` no longer moves a width by more than a few parts in 100,000.
const LAST_EXPONENT: f64 = 10.0;

/// The product of the transfer functions at the points of a two-dimensional integration rule, over
/// the quarter plane that symmetry leaves.
pub(super) struct Spectrum {
    /// Points along either axis, cycles an arcsecond times 2 pi.
    angular: Vec<f64>,
    /// What belongs to one axis: the rule's weight and the pixel's transfer function.
    pub(super) axis: Vec<f64>,
    /// What belongs to the distance from the middle: all round blurs. Row by row.
    round: Vec<f64>,
}

/// Radius of the half-maximum outline over the guessed width, with room.
pub(super) const OUTLINE: f64 = 0.6;

/// The round blurs' transfer function at even steps, to be looked up between.
struct RoundTable {
    step: f64,
    values: Vec<f64>,
}

impl RoundTable {
    /// Steps of the table: its error stays below 1e-5 of the peak.
    const STEPS: usize = 64;

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
        let Some(&[a, b, c, d]) =
            self.values.get(start..start.saturating_add(4)).and_then(|s| s.first_chunk())
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
    pub(super) fn of(blur: &Blur) -> Self {
        Self::reaching(blur, 0.0)
    }

    /// Panels that the shape of the transfer function asks for, waves aside.
    ///
    /// Where the aperture's cut-off comes before the other blurs have faded, the contrast has
    /// corners, and the sum depends by up to 1e-4 of the width on where the points fall. Beside a
    /// pixel that is seen this is nothing. Under finer and finer pixels the width hardly changes
    /// any more, and would be seen to rise where one panel less is enough.
    fn least_panels(blur: &Blur, last: f64) -> usize {
        let has_corners = last >= blur.cut_off_per_arcsec();
        let pixel_is_seen = blur.pixel_arcsec > 0.1 * blur.round_width_arcsec();
        if has_corners && !pixel_is_seen { 8 } else { 2 }
    }

    /// With points close enough to follow the pattern to its half-maximum outline, or further.
    pub(super) fn reaching(blur: &Blur, reach_arcsec: f64) -> Self {
        let last = Self::last_frequency(blur);
        // Waves along one axis in the pattern's cosine and in the pixel's sine; a panel follows one.
        let outline_arcsec = OUTLINE * blur.width_guess_arcsec();
        let reach_arcsec = reach_arcsec.max(outline_arcsec);
        let waves = last * (reach_arcsec + 0.5 * blur.pixel_arcsec);
        // No outline needs more than 24 panels, and no plot that can be read more than 60: more
        // come only of absurd numbers, or none that are numbers.
        let most = if reach_arcsec > 3.0 * outline_arcsec { 60.0 } else { 24.0 };
        let panels = Self::least_panels(blur, last) + waves.clamp(0.0, most) as usize;
        let table = RoundTable::new(blur, last * 2f64.sqrt());
        let rule: Vec<(f64, f64)> = nodes(0.0, last, panels).collect();
        let mut round = vec![0.0; rule.len() * rule.len()];
        for (i, (x, _)) in rule.iter().enumerate() {
            for (j, (y, _)) in rule.iter().enumerate().take(i + 1) {
                let value = table.at((x * x + y * y).sqrt());
                // OK because both places lie within the square.
                round[i * rule.len() + j] = value;
                round[j * rule.len() + i] = value;
            }
        }
        Self {
            angular: rule.iter().map(|(f, _)| TAU * f).collect(),
            axis: rule.iter().map(|(f, w)| w * sinc(blur.pixel_arcsec * f)).collect(),
            round,
        }
    }

    /// What belongs to one axis with guiding errors added, for a spectrum that had none.
    ///
    /// A Gaussian in the plane is the product of one along either axis.
    pub(super) fn guided(&self, blur: &Blur) -> Vec<f64> {
        let axis = self.angular.iter().zip(&self.axis);
        axis.map(|(k, a)| a * (-blur.guiding_exponent(k / TAU)).exp()).collect()
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
    pub(super) fn at(&self, axis: &[f64], x: f64, y: f64) -> f64 {
        let along = |distance: f64| {
            self.angular.iter().zip(axis).map(move |(k, a)| a * (k * distance).cos())
        };
        // Whole rows are added up, weighted: that runs in the processor's wide registers, which a
        // sum of products along each row would not.
        let mut columns = vec![0.0; axis.len()];
        for (row, up) in self.round.chunks_exact(columns.len()).zip(along(y)) {
            for (column, value) in columns.iter_mut().zip(row) {
                *column += up * value;
            }
        }
        columns.iter().zip(along(x)).map(|(column, across)| column * across).sum()
    }

    /// The mean of the pattern round a circle.
    pub(super) fn round_mean(&self, radius: f64) -> f64 {
        nodes(0.0, FRAC_PI_4, 1)
            .map(|(angle, weight)| {
                weight * self.at(&self.axis, radius * angle.cos(), radius * angle.sin())
            })
            .sum::<f64>()
            / FRAC_PI_4
    }

    pub(super) fn fwhm_arcsec(&self, axis: &[f64], blur: &Blur) -> f64 {
        let half = self.at(axis, 0.0, 0.0) / 2.0;
        let mut radius = blur.width_guess_arcsec() / 2.0;
        let far = blur.pixel_arcsec + 1.5 * blur.round_width_arcsec();
        let points = Self::outline_points(blur);
        // The radius squared, averaged over the eighth between the pixel's side and its diagonal.
        let mean: f64 = (0..points)
            .map(|index| {
                let (sin, cos) =
                    (FRAC_PI_4 * (f64::from(index) + 0.5) / f64::from(points)).sin_cos();
                let excess = |r: f64| self.at(axis, r * cos, r * sin) / half - 1.0;
                // As steep as a Gaussian there.
                radius = falling_zero(radius, far, -2.0 * LN_2 / radius, excess);
                radius * radius / f64::from(points)
            })
            .sum();
        2.0 * mean.sqrt()
    }

    /// How many points of the outline its area needs.
    ///
    /// The outline repeats four times round, so that evenly spaced points leave only its harmonics
    /// from the one of order 8 n wrong, which are nothing unless the pixel gives it corners.
    fn outline_points(blur: &Blur) -> u32 {
        match blur.pixel_arcsec / blur.round_width_arcsec() {
            ratio if ratio < 2.0 => 2,
            ratio if ratio < 3.5 => 4,
            _ => 8,
        }
    }
}

/// Where a curve that falls in the end passes zero, between 0 and `far`: secants, from a first
/// guess of place and slope, kept within their bracket.
pub(super) fn falling_zero(start: f64, far: f64, slope: f64, curve: impl Fn(f64) -> f64) -> f64 {
    let (mut near, mut far, mut slope) = (0.0, far, slope);
    let mut place = start;
    let mut value = curve(place);
    for _ in 0..40 {
        if !value.is_finite() {
            return f64::NAN;
        }
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
