//! Good, doubtful or bad, and what would mend it.

use super::{Demands, Figure};
use crate::kit::Limits;
use crate::sampling::Sampling;
use crate::why::{Known, Why};

/// How a figure stands to what is wanted of it.
#[derive(Clone, Copy, Debug, Eq, Ord, PartialEq, PartialOrd)]
pub enum Grade {
    /// Nothing to do.
    Good,
    /// It works, with care.
    Doubtful,
    /// It stands in the way.
    Bad,
}

impl Grade {
    /// The word beside the mark.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Doubtful => "doubtful",
            Self::Bad => "bad",
        }
    }
}

/// What would make a figure better.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Remedy {
    /// A corrector with a factor below 1.
    Reducer,
    /// A corrector with a factor above 1.
    Barlow,
    /// Joining pixels, or a camera with larger ones.
    LargerPixels,
    /// A camera with smaller pixels.
    SmallerPixels,
    /// More, shorter sub-exposures.
    ShorterExposures,
    /// A mount that follows better or carries more.
    BetterMount,
    /// Guiding.
    Guiding,
    /// A polar axis nearer to the pole.
    PolarAlignment,
    /// A lighter OTA or camera.
    LighterRig,
    /// A camera with a smaller sensor, or cropping.
    SmallerSensor,
    /// A coma corrector.
    ComaCorrector,
    /// A motor on the focuser, and refocusing.
    FocusMotor,
    /// A lower focal ratio or a larger aperture.
    FasterOptics,
    /// A line filter.
    NarrowFilter,
    /// A place with a darker sky.
    DarkerSite,
    /// Parts that cost less, or used ones.
    CheaperParts,
    /// A helper, or pieces taken apart.
    HelpLifting,
}

impl Remedy {
    /// In plain words.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Reducer => "a reducer",
            Self::Barlow => "a Barlow or a longer focal length",
            Self::LargerPixels => "binning, or larger pixels",
            Self::SmallerPixels => "smaller pixels",
            Self::ShorterExposures => "shorter exposures, and more of them",
            Self::BetterMount => "a better mount",
            Self::Guiding => "guiding",
            Self::PolarAlignment => "better polar alignment",
            Self::LighterRig => "a lighter OTA or camera",
            Self::SmallerSensor => "a smaller sensor, or cropping",
            Self::ComaCorrector => "a coma corrector",
            Self::FocusMotor => "a focus motor, and refocusing through the night",
            Self::FasterOptics => "a lower focal ratio or more aperture",
            Self::NarrowFilter => "a line filter, for a nebula that shines in lines",
            Self::DarkerSite => "a darker site",
            Self::CheaperParts => "parts that cost less, or used ones",
            Self::HelpLifting => "a helper, or pieces taken apart",
        }
    }
}

/// A grade with what would mend it; nothing where it is good.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub struct Graded {
    /// The grade.
    pub grade: Grade,
    /// What helps, the simplest first.
    pub remedies: &'static [Remedy],
}

/// Hours of a night where the real ones are not known. Common practice.
const USUAL_NIGHT_HOURS: f64 = 6.0;
/// Nights for one picture that people still find bearable. Common practice.
const BEARABLE_NIGHTS: f64 = 4.0;
/// Depth of focus that a hand on the focuser still finds, micrometres. Common practice.
const HAND_FOCUS_UM: f64 = 20.0;
/// Share of the sensor that may be cropped without regret. Common practice.
const CROP_SHARE: f64 = 0.05;

impl Demands {
    /// The grade of a figure; `None` for one that is neither good nor bad in itself, or unknown.
    ///
    /// # Source
    /// The kit's limits and thresholds, and common practice.
    pub fn grade(&self, figure: Figure, limits: &Limits) -> Option<Graded> {
        use Remedy as R;
        self.value(figure).ok()?;
        let (grade, remedies): (Grade, &'static [Remedy]) = match figure {
            Figure::Sampling | Figure::PixelsPerFwhm => self.sampling_grade(limits),
            Figure::Detail => {
                let shortage = limits.detail / self.detail.ok()?;
                (at_most(shortage, 1.0, 2.0), &[R::Barlow, R::SmallerPixels])
            }
            // Only a rig that has nothing better is judged by what it does without it.
            Figure::Untracked if self.unguided_s == Err(Why::DoesNotTrack) => (
                at_most(self.sub_exposure_s / self.untracked_s.ok()?, 1.0, 4.0),
                &[R::BetterMount, R::ShorterExposures],
            ),
            Figure::Unguided if self.guided_rms_arcsec.is_none() => (
                at_most(self.sub_exposure_s / self.unguided_s.ok()?, 1.0, 4.0),
                &[R::Guiding, R::ShorterExposures, R::PolarAlignment, R::BetterMount, R::Reducer],
            ),
            Figure::GuidingLoss | Figure::GuideRmsNeeded => {
                let share = self.guided_rms_arcsec? / self.guide_rms_needed_arcsec;
                // A soft edge: a fifth more RMS costs some 4 % more of the width.
                (at_most(share, 1.2, 2.0), &[R::Reducer, R::BetterMount, R::LighterRig])
            }
            Figure::PolarRotation => (
                at_most(self.sub_exposure_s / self.polar_rotation_s.ok()?, 1.0, 4.0),
                &[R::PolarAlignment, R::ShorterExposures],
            ),
            Figure::AltazimuthRotation => (
                at_most(self.sub_exposure_s / self.altazimuth_rotation_s.ok()?, 1.0, 4.0),
                &[R::ShorterExposures, R::BetterMount],
            ),
            Figure::PayloadUsed | Figure::MassOnMount => (
                at_most(self.load.payload_used / limits.payload_share, 1.0, 1.2),
                &[R::LighterRig, R::BetterMount],
            ),
            Figure::Carry => {
                (at_most(self.load.carry_kg, limits.carry_kg?, limits.carry_kg?), &[R::LighterRig])
            }
            Figure::HeaviestPiece => (
                at_most(self.load.heaviest_kg, limits.thresholds.lift_kg, f64::INFINITY),
                &[R::HelpLifting, R::LighterRig],
            ),
            Figure::ImageCircleOk | Figure::LitShare => {
                (at_most(1.0 - self.lit_share.ok()?, 0.0, CROP_SHARE), &[R::SmallerSensor])
            }
            Figure::CornerComa => (
                at_most(self.corner_coma_arcsec.ok()? / self.delivered_fwhm_arcsec, 1.0, 2.0),
                &[R::ComaCorrector, R::SmallerSensor],
            ),
            Figure::DepthOfFocus => (
                at_most(HAND_FOCUS_UM / self.depth_of_focus_um, 1.0, f64::INFINITY),
                &[R::FocusMotor],
            ),
            Figure::HoursPerPixel => self.hours_grade(self.hours_to_snr_per_pixel)?,
            Figure::HoursPerArcsec2 => self.hours_grade(self.hours_to_snr_per_arcsec2)?,
            Figure::Saturation => (
                at_most(self.sub_exposure_s / self.saturation_s, 1.0, f64::INFINITY),
                &[R::ShorterExposures],
            ),
            Figure::Price => self.price_grade(limits)?,
            _ => return None,
        };
        Some(Graded { grade, remedies: if grade == Grade::Good { &[] } else { remedies } })
    }

    fn sampling_grade(&self, limits: &Limits) -> (Grade, &'static [Remedy]) {
        let thresholds = &limits.thresholds;
        let pixels = self.pixels_per_fwhm;
        match self.sampling {
            Sampling::Well => (Grade::Good, &[]),
            Sampling::Under => (
                at_most(thresholds.under_sampled / pixels, 1.0, 2.0),
                &[Remedy::SmallerPixels, Remedy::Barlow],
            ),
            Sampling::Over => (
                at_most(pixels / thresholds.over_sampled, 1.0, 2.0),
                &[Remedy::LargerPixels, Remedy::Reducer],
            ),
        }
    }

    /// The grade of a target's hours, against the night that these demands are for.
    pub(crate) fn hours_grade(&self, hours: Known<f64>) -> Option<(Grade, &'static [Remedy])> {
        // As many sub-exposures as the night has, or a usual night.
        let night =
            self.subs_a_night.map_or(USUAL_NIGHT_HOURS, |subs| subs * self.sub_exposure_s / 3600.0);
        Some((
            at_most(hours.ok()?, night, BEARABLE_NIGHTS * night),
            &[
                Remedy::Reducer,
                Remedy::LargerPixels,
                Remedy::FasterOptics,
                Remedy::DarkerSite,
                Remedy::NarrowFilter,
            ],
        ))
    }

    fn price_grade(&self, limits: &Limits) -> Option<(Grade, &'static [Remedy])> {
        let (budget, price) = (limits.budget?, self.price.ok()?);
        let with_checklist = price + self.checklist_price.unwrap_or(0.0);
        let grade = if with_checklist <= budget {
            Grade::Good
        } else if price <= budget {
            Grade::Doubtful
        } else {
            Grade::Bad
        };
        Some((grade, &[Remedy::CheaperParts]))
    }
}

/// Good up to one bound, doubtful up to the next.
fn at_most(value: f64, good: f64, doubtful: f64) -> Grade {
    if value <= good {
        Grade::Good
    } else if value <= doubtful {
        Grade::Doubtful
    } else {
        Grade::Bad
    }
}
