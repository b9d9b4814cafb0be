//! Which focal lengths suit a target: long enough to show its detail, short enough to hold it.
//!
//! The camera, the air and the guiding stay; only the focal length changes. A target's fill grows
//! in proportion to it, so the longest at which it is still whole has a closed form. The stars
//! shrink as it grows, because a pixel then spans less of the sky, but never below what air,
//! guiding and aperture leave; so the shortest that shows the wanted detail has to be searched for,
//! and under poor air there is none.
//!
//! The aperture is the chosen rig's. A short focal length cannot use all of it: nothing here is
//! faster than f/2.

use crate::demands::Conditions;
use crate::fit::{best_rotation, fill};
use crate::light::{LineFilter, Passband};
use crate::psf::{Blur, seeing_fwhm_arcsec};
use crate::shape::Shape;
use crate::{Field, Outline, ResolvedRig, Sensor, pixel_scale};

/// The fastest focal ratio that the focal lengths are tried with. Common practice: what is faster
/// is a rare and dear special instrument.
pub const FASTEST_RATIO: f64 = 2.0;

/// Focal lengths between which the shortest is searched for, millimetres. A pixel at the far end
/// spans a hundredth of an arcsecond, so going further shows nothing more.
const SEARCHED_MM: (f64, f64) = (0.1, 100_000.0);

/// A camera with air and guiding, to be put behind any focal length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setting {
    /// The camera's sensor.
    pub sensor: Sensor,
    /// Side of a square pixel, micrometres.
    pub pixel_um: f64,
    /// Aperture at focal lengths that can use all of it, millimetres.
    pub aperture_mm: f64,
    /// Central obstruction over aperture, 0 to below 1.
    pub obstruction_ratio: f64,
    /// Middle of the passband, nanometres.
    pub wavelength_nm: f64,
    /// At this place in the sky and wavelength, arcseconds; 0 for perfect air.
    pub seeing_fwhm_arcsec: f64,
    /// Total of both axes, arcseconds; 0 where there is no guiding.
    pub guiding_rms_arcsec: f64,
}

impl Setting {
    /// What stays of a rig when its focal length changes.
    pub fn of(rig: &ResolvedRig<'_>, conditions: &Conditions) -> Self {
        let band = Passband::of(rig.camera, rig.rig.filter.as_ref().map(LineFilter::from));
        let own = rig.mount.guided_rms_arcsec;
        Self {
            sensor: rig.sensor(),
            pixel_um: rig.camera.pixel_um,
            aperture_mm: rig.ota.aperture_mm,
            obstruction_ratio: rig.ota.obstruction_mm / rig.ota.aperture_mm,
            wavelength_nm: band.centre_nm,
            seeing_fwhm_arcsec: seeing_fwhm_arcsec(
                conditions.seeing_fwhm_arcsec,
                conditions.airmass,
                band.centre_nm,
            ),
            guiding_rms_arcsec: own.map_or(0.0, |own| conditions.guided_rms_arcsec.unwrap_or(own)),
        }
    }

    /// The aperture at a focal length: the rig's own, but never faster than f/2.
    pub fn aperture_at_mm(&self, focal_length_mm: f64) -> f64 {
        self.aperture_mm.min(focal_length_mm / FASTEST_RATIO)
    }

    /// What the sensor spans behind a focal length.
    pub fn field_at(&self, focal_length_mm: f64) -> Field {
        Field::new(self.sensor, focal_length_mm)
    }

    /// What blurs a star behind a focal length.
    pub fn blur_at(&self, focal_length_mm: f64) -> Blur {
        Blur {
            aperture_mm: self.aperture_at_mm(focal_length_mm),
            obstruction_ratio: self.obstruction_ratio,
            wavelength_nm: self.wavelength_nm,
            seeing_fwhm_arcsec: self.seeing_fwhm_arcsec,
            guiding_rms_arcsec: self.guiding_rms_arcsec,
            pixel_arcsec: pixel_scale(self.pixel_um, focal_length_mm).arcsec(),
        }
    }

    /// How wide a star comes out behind a focal length, arcseconds.
    pub fn delivered_fwhm_arcsec(&self, focal_length_mm: f64) -> f64 {
        self.blur_at(focal_length_mm).fwhm_arcsec()
    }

    /// The width that no focal length betters, arcseconds: air, guiding and aperture without pixels.
    pub fn least_fwhm_arcsec(&self) -> f64 {
        self.delivered_fwhm_arcsec(SEARCHED_MM.1)
    }

    /// The longest focal length at which a target is still whole, millimetres.
    ///
    /// # Units
    /// - `whole_fill`: a target at or under this fill is whole, above 0, at most 1
    /// - returns: above 0; 0 for an outline of 180 degrees and more
    ///
    /// # Source
    /// Plane geometry: the fill at the best rotation is in proportion to the focal length.
    ///
    /// # Example
    /// A circle that fills half of a sensor's height at 1000 mm fills all of it at 2000.
    /// ```
    /// # use fieldstop::{Angle, Outline, Sensor, focal_range::Setting};
    /// let setting = Setting { sensor: Sensor { width_mm: 24.0, height_mm: 16.0 }, pixel_um: 4.0,
    ///     aperture_mm: 100.0, obstruction_ratio: 0.0, wavelength_nm: 550.0,
    ///     seeing_fwhm_arcsec: 2.0, guiding_rms_arcsec: 0.5 };
    /// let major = Angle::from_rad(2.0 * 0.004f64.atan());
    /// let circle = Outline { major, minor: None, position_angle: None };
    /// assert!((setting.longest_whole_mm(&circle, 1.0) - 2000.0).abs() < 1e-9);
    /// assert!((setting.longest_whole_mm(&circle, 0.9) - 1800.0).abs() < 1e-9);
    /// ```
    pub fn longest_whole_mm(&self, outline: &Outline, whole_fill: f64) -> f64 {
        let field = self.field_at(1.0);
        whole_fill / fill(outline, &field, best_rotation(outline, &field))
    }

    /// The shortest focal length that delivers a width, millimetres; `None` if none does.
    ///
    /// # Units
    /// - `fwhm_arcsec`: > 0
    ///
    /// # Source
    /// The delivered width falls with focal length; halving, to a billionth of the length.
    pub fn shortest_for_fwhm_mm(&self, fwhm_arcsec: f64) -> Option<f64> {
        shortest_where(|focal_length_mm| self.delivered_fwhm_arcsec(focal_length_mm) <= fwhm_arcsec)
    }

    /// The focal length from which on nothing more is gained: the width is within a share of the
    /// least that air, guiding and aperture leave; millimetres.
    ///
    /// # Units
    /// - `share`: > 0, such as 0.05
    pub fn nothing_gained_from_mm(&self, share: f64) -> Option<f64> {
        self.shortest_for_fwhm_mm(self.least_fwhm_arcsec() * (1.0 + share))
    }

    /// The focal length from which on the mount's guiding widens the stars by more than a share,
    /// millimetres; `None` if it is good enough for all.
    ///
    /// # Units
    /// - `loss`: accepted widening as a share of the unguided FWHM, > 0, such as 0.1
    pub fn guiding_fails_from_mm(&self, loss: f64) -> Option<f64> {
        if self.guiding_rms_arcsec <= 0.0 {
            return None;
        }
        shortest_where(|focal_length_mm| {
            let guided = self.blur_at(focal_length_mm);
            let still = Blur { guiding_rms_arcsec: 0.0, ..guided };
            guided.fwhm_arcsec() > still.fwhm_arcsec() * (1.0 + loss)
        })
    }
}

/// The shortest focal length from which on something is so, if it is so at the longest.
fn shortest_where(so: impl Fn(f64) -> bool) -> Option<f64> {
    if !so(SEARCHED_MM.1) {
        return None;
    }
    let (mut low, mut high) = (SEARCHED_MM.0.ln(), SEARCHED_MM.1.ln());
    while high - low > 1e-9 {
        let middle = f64::midpoint(low, high);
        if so(middle.exp()) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high.exp())
}

/// The focal lengths that suit one target.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FocalRange {
    /// The shortest that shows the wanted detail; none where the air, the guiding or the aperture
    /// forbid it at any focal length.
    pub shortest_mm: Option<f64>,
    /// The longest that holds the target whole.
    pub longest_mm: f64,
}

impl FocalRange {
    /// Whether a focal length suits: whole, and detail enough.
    pub fn contains(self, focal_length_mm: f64) -> bool {
        self.shortest_mm.is_some_and(|shortest| shortest <= focal_length_mm)
            && focal_length_mm <= self.longest_mm
    }

    /// Whether no focal length suits at all.
    pub fn is_empty(self) -> bool {
        self.shortest_mm.is_none_or(|shortest| shortest > self.longest_mm)
    }
}

/// The useful focal range of a target; `None` where its size is unknown.
///
/// For a list use [`Ranges`], which does the dear part once.
///
/// # Units
/// - `whole_fill`: a target at or under this fill is whole, above 0, at most 1
/// - `detail`: resolution elements wanted across the major axis, > 0
pub fn focal_range(
    setting: &Setting,
    outline: Option<&Outline>,
    whole_fill: f64,
    detail: f64,
) -> Option<FocalRange> {
    let outline = outline?;
    Some(FocalRange {
        shortest_mm: setting.shortest_for_fwhm_mm(wanted_fwhm_arcsec(outline, detail)),
        longest_mm: setting.longest_whole_mm(outline, whole_fill),
    })
}

/// The star's width at which a target has just the wanted resolution elements, arcseconds.
fn wanted_fwhm_arcsec(outline: &Outline, detail: f64) -> f64 {
    outline.major.arcsec() / detail
}

/// The delivered width at steps of focal length, to find many targets' ranges at little cost.
///
/// Between steps of a tenth in focal length the width is taken for a power of it, which is right to
/// better than one part in a thousand; the shortest focal length that follows is right to a
/// hundredth, but where the width hardly changes any more.
///
/// # Example
/// ```
/// # use fieldstop::{Angle, Outline, Sensor, focal_range::{Ranges, Setting, focal_range}};
/// let setting = Setting { sensor: Sensor { width_mm: 24.0, height_mm: 16.0 }, pixel_um: 4.0,
///     aperture_mm: 100.0, obstruction_ratio: 0.0, wavelength_nm: 550.0,
///     seeing_fwhm_arcsec: 2.0, guiding_rms_arcsec: 0.5 };
/// let galaxy = Outline { major: Angle::from_arcmin(6.0), minor: None, position_angle: None };
/// let quick = Ranges::new(setting).of(&galaxy, 0.9, 40.0);
/// let exact = focal_range(&setting, Some(&galaxy), 0.9, 40.0).unwrap();
/// assert_eq!(quick.longest_mm, exact.longest_mm);
/// assert!((quick.shortest_mm.unwrap() / exact.shortest_mm.unwrap() - 1.0).abs() < 0.01);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Ranges {
    setting: Setting,
    /// Natural logarithms of focal length and width, the shortest first.
    steps: Vec<(f64, f64)>,
}

/// Steps of the table over the focal lengths that are searched.
const STEPS: u32 = 144;

impl Ranges {
    /// Works out the delivered widths.
    pub fn new(setting: Setting) -> Self {
        let (first, last) = (SEARCHED_MM.0.ln(), SEARCHED_MM.1.ln());
        let mut least = f64::INFINITY;
        let steps = (0..=STEPS)
            .map(|k| first + (last - first) * f64::from(k) / f64::from(STEPS))
            .map(|log_mm| {
                // Rounding must not make the far end rise.
                least = setting.delivered_fwhm_arcsec(log_mm.exp()).ln().min(least);
                (log_mm, least)
            })
            .collect();
        Self { setting, steps }
    }

    /// The useful focal range of a target; see [`focal_range`].
    pub fn of(&self, outline: &Outline, whole_fill: f64, detail: f64) -> FocalRange {
        FocalRange {
            shortest_mm: self.shortest_for_fwhm_mm(wanted_fwhm_arcsec(outline, detail)),
            longest_mm: self.setting.longest_whole_mm(outline, whole_fill),
        }
    }

    /// The same to all digits, for a few widths more a target; of any shape.
    pub fn exactly(&self, shape: &Shape, whole_fill: f64, detail: f64) -> FocalRange {
        let wanted = shape.major().arcsec() / detail;
        FocalRange {
            shortest_mm: self.around(wanted.ln()).map(|steps| self.refined_mm(steps, wanted.ln())),
            // The fill is in proportion to the focal length, whatever the shape.
            longest_mm: whole_fill / shape.least_fill(&self.setting.field_at(1.0)),
        }
    }

    fn shortest_for_fwhm_mm(&self, fwhm_arcsec: f64) -> Option<f64> {
        let wanted = fwhm_arcsec.ln();
        let ((log_mm_before, width_before), (log_mm, width)) = self.around(wanted)?;
        let share = if width_before > width {
            (width_before - wanted) / (width_before - width)
        } else {
            1.0
        };
        Some((log_mm_before + share * (log_mm - log_mm_before)).exp())
    }

    /// The steps before and after a width is reached; the first twice, if it is reached there.
    fn around(&self, wanted: f64) -> Option<((f64, f64), (f64, f64))> {
        let after = self.steps.partition_point(|&(_, width)| width > wanted);
        let step = *self.steps.get(after)?;
        let before = after.checked_sub(1).and_then(|before| self.steps.get(before));
        Some((before.copied().unwrap_or(step), step))
    }

    /// The focal length between two steps at which a width is reached.
    ///
    /// # Source
    /// Regula falsi in the Illinois form: Dowell & Jarratt 1971, BIT 11, 168.
    fn refined_mm(&self, (before, after): ((f64, f64), (f64, f64)), wanted: f64) -> f64 {
        let (mut low, mut high) = (before.0, after.0);
        let (mut too_wide, mut too_narrow) = (before.1 - wanted, after.1 - wanted);
        for _ in 0..60 {
            if high - low <= 1e-10 || too_wide <= too_narrow {
                break;
            }
            let middle = low + (high - low) * too_wide / (too_wide - too_narrow);
            let width = self.setting.delivered_fwhm_arcsec(middle.exp()).ln() - wanted;
            if width > 0.0 {
                (low, too_wide, too_narrow) = (middle, width, too_narrow / 2.0);
            } else if width < 0.0 {
                (high, too_narrow, too_wide) = (middle, width, too_wide / 2.0);
            } else {
                return middle.exp();
            }
        }
        high.exp()
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::Angle;
    use crate::detail::resolution_elements;

    fn any_setting() -> impl Strategy<Value = Setting> {
        (10.0..400.0f64, 0.0..0.5f64, 1.0..10.0f64, 0.5..5.0f64, 0.0..3.0f64, 5.0..40.0f64)
            .prop_map(|(aperture_mm, obstruction_ratio, pixel_um, seeing, guiding, width_mm)| {
                Setting {
                    sensor: Sensor { width_mm, height_mm: width_mm / 1.5 },
                    pixel_um,
                    aperture_mm,
                    obstruction_ratio,
                    wavelength_nm: 550.0,
                    seeing_fwhm_arcsec: seeing,
                    guiding_rms_arcsec: guiding,
                }
            })
    }

    fn any_outline() -> impl Strategy<Value = Outline> {
        (0.3..240.0f64, 0.05..1.0f64, 0.0..180.0f64).prop_map(|(major, ratio, pa)| Outline {
            major: Angle::from_arcmin(major),
            minor: Some(Angle::from_arcmin(major * ratio)),
            position_angle: Some(Angle::from_deg(pa)),
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        /// Brute force: at every focal length of a ladder, turned to every degree, with the width
        /// worked out anew.
        #[test]
        fn a_range_holds_the_focal_lengths_that_serve_and_no_others(
            setting in any_setting(), outline in any_outline(), detail in 10.0..80.0f64,
        ) {
            let range = focal_range(&setting, Some(&outline), 0.9, detail).unwrap();
            for step in 0..=40 {
                let focal_length_mm = 20.0 * 200f64.powf(f64::from(step) / 40.0);
                let field = setting.field_at(focal_length_mm);
                let least = (0..180)
                    .map(|deg| fill(&outline, &field, Angle::from_deg(f64::from(deg))))
                    .fold(f64::INFINITY, f64::min);
                let width = setting.delivered_fwhm_arcsec(focal_length_mm);
                let elements = resolution_elements(outline.major, width);
                let served = least <= 0.9 && elements >= detail;
                // Half a degree of rotation is up to 1 % of fill; rounding decides on the brink.
                let on_the_brink = (least / 0.9 - 1.0).abs() < 0.01
                    || (elements / detail - 1.0).abs() < 1e-6;
                prop_assert!(
                    on_the_brink || range.contains(focal_length_mm) == served,
                    "{focal_length_mm}: fill {least}, {elements} elements, {range:?}"
                );
            }
        }

        #[test]
        fn a_longer_focal_length_never_widens_the_star(setting in any_setting()) {
            let mut before = f64::INFINITY;
            for step in 0..=60 {
                let width = setting.delivered_fwhm_arcsec(0.1 * 10f64.powf(f64::from(step) / 10.0));
                prop_assert!(width <= before * (1.0 + 1e-6), "step {step}: {before} to {width}");
                before = width;
            }
        }

        /// The width changes little there, so a little of it is a lot of focal length.
        #[test]
        fn the_table_delivers_the_wanted_width(setting in any_setting(), outline in any_outline()) {
            let ranges = Ranges::new(setting);
            let quick = ranges.of(&outline, 0.9, 40.0);
            let exact = focal_range(&setting, Some(&outline), 0.9, 40.0).unwrap();
            prop_assert_eq!(quick.longest_mm, exact.longest_mm);
            let refined = ranges.exactly(&outline.into(), 0.9, 40.0).shortest_mm;
            prop_assert_eq!(refined.is_some(), exact.shortest_mm.is_some());
            if let (Some(refined), Some(exact)) = (refined, exact.shortest_mm) {
                let width = |focal_length_mm| setting.delivered_fwhm_arcsec(focal_length_mm);
                prop_assert!((width(refined) / width(exact) - 1.0).abs() < 1e-8);
            }
            if let (Some(quick), Some(_)) = (quick.shortest_mm, exact.shortest_mm) {
                let width = setting.delivered_fwhm_arcsec(quick);
                let wanted = outline.major.arcsec() / 40.0;
                prop_assert!((width / wanted - 1.0).abs() < 3e-3, "{} {}", width, wanted);
            } else {
                prop_assert_eq!(quick.shortest_mm.is_some(), exact.shortest_mm.is_some());
            }
        }
    }

    fn steady() -> Setting {
        Setting {
            sensor: Sensor { width_mm: 24.0, height_mm: 16.0 },
            pixel_um: 4.0,
            aperture_mm: 100.0,
            obstruction_ratio: 0.0,
            wavelength_nm: 550.0,
            seeing_fwhm_arcsec: 2.0,
            guiding_rms_arcsec: 0.8,
        }
    }

    #[test]
    fn poor_seeing_leaves_no_focal_length_for_a_small_target() {
        let small = Outline { major: Angle::from_arcmin(1.4), minor: None, position_angle: None };
        // Forty elements of it are 2.1 arcsec each.
        let steady = Setting { seeing_fwhm_arcsec: 1.0, guiding_rms_arcsec: 0.3, ..steady() };
        let poor = Setting { seeing_fwhm_arcsec: 4.0, ..steady };
        assert!(focal_range(&steady, Some(&small), 0.9, 40.0).unwrap().shortest_mm.is_some());
        let range = focal_range(&poor, Some(&small), 0.9, 40.0).unwrap();
        assert!(range.shortest_mm.is_none() && range.is_empty());
        assert_eq!(focal_range(&poor, None, 0.9, 40.0), None);
    }

    #[test]
    fn the_aperture_is_never_faster_than_f_2() {
        let setting = steady();
        assert_eq!((setting.aperture_at_mm(50.0), setting.aperture_at_mm(900.0)), (25.0, 100.0));
    }

    #[test]
    fn beyond_some_focal_length_only_the_guiding_loses() {
        let setting = steady();
        let fails = setting.guiding_fails_from_mm(0.1).unwrap();
        let loss = |focal_length_mm| {
            let guided = setting.blur_at(focal_length_mm);
            let still = Blur { guiding_rms_arcsec: 0.0, ..guided };
            guided.fwhm_arcsec() / still.fwhm_arcsec() - 1.0
        };
        assert!((loss(fails) - 0.1).abs() < 1e-6, "{fails}: {}", loss(fails));
        assert!(loss(fails / 2.0) < 0.1 && loss(2.0 * fails) > 0.1);
        let perfect = Setting { guiding_rms_arcsec: 0.0, ..setting };
        assert_eq!(perfect.guiding_fails_from_mm(0.1), None);
        let enough = setting.nothing_gained_from_mm(0.05).unwrap();
        let gain = setting.delivered_fwhm_arcsec(enough) / setting.least_fwhm_arcsec();
        assert!((gain - 1.05).abs() < 1e-6);
    }
}
