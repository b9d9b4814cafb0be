//! The figures by name: key, label, unit, rule and value, for tables and for the command line.

use super::{BackFocus, Coverage, Demands};
use crate::rule::{self, Rule};
use crate::why::{Known, Why};

/// A figure's value, as a table shows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Value {
    /// In the figure's unit.
    Number(f64),
    /// A word that says it.
    Word(&'static str),
    /// Yes or no.
    Flag(bool),
}

impl From<f64> for Value {
    fn from(number: f64) -> Self {
        Self::Number(number)
    }
}

impl From<&'static str> for Value {
    fn from(word: &'static str) -> Self {
        Self::Word(word)
    }
}

impl From<bool> for Value {
    fn from(flag: bool) -> Self {
        Self::Flag(flag)
    }
}

impl Value {
    fn checked(self) -> Known<Self> {
        match self {
            Self::Number(number) if !number.is_finite() => Err(Why::OutOfReach),
            _ => Ok(self),
        }
    }
}

/// One table, in the order of the view: variant, key, label, unit, rule, and how to get the value
/// (as `Known`) from the [`Demands`].
macro_rules! figures {
    ($($name:ident, $key:literal, $label:literal, $unit:literal, $rule:ident, $value:expr;)*) => {
        /// A figure of the Demands view.
        #[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
        pub enum Figure {
            $(#[doc = $label] $name,)*
        }

        impl Figure {
            /// All of them, in the order of the view.
            pub const ALL: &[Self] = &[$(Self::$name,)*];

            /// Its key in the command line's output.
            pub const fn key(self) -> &'static str {
                match self { $(Self::$name => $key,)* }
            }

            /// What the view calls it.
            pub const fn label(self) -> &'static str {
                match self { $(Self::$name => $label,)* }
            }

            /// Its unit; empty for a plain number, a word, or an amount of the kit's currency.
            pub const fn unit(self) -> &'static str {
                match self { $(Self::$name => $unit,)* }
            }

            /// Where it comes from.
            pub const fn rule(self) -> &'static Rule {
                match self { $(Self::$name => &rule::$rule,)* }
            }
        }

        impl Demands {
            /// A figure by name; never an infinity or NaN, which numbers out of range lead to.
            ///
            /// # Errors
            /// The reason why there is none.
            pub fn value(&self, figure: Figure) -> Known<Value> {
                let value: fn(&Self) -> Known<Value> = match figure {
                    $(Figure::$name => |d| ($value)(d).map(Value::from),)*
                };
                value(self).and_then(Value::checked)
            }
        }
    };
}

figures! {
    FocalLength, "focal_length_mm", "focal length", "mm", FOCAL_LENGTH, |d: &Demands| Ok(d.focal_length_mm);
    FocalRatio, "focal_ratio", "focal ratio", "", FOCAL_RATIO, |d: &Demands| Ok(d.focal_ratio);
    ClearArea, "clear_area_cm2", "clear area", "cm²", CLEAR_AREA, |d: &Demands| Ok(d.clear_area_m2 * 1e4);
    TNumber, "t_number", "T-number", "", T_NUMBER, |d: &Demands| Ok(d.t_number);
    Rayleigh, "rayleigh_arcsec", "Rayleigh limit", "arcsec", RAYLEIGH, |d: &Demands| Ok(d.rayleigh_arcsec);
    Dawes, "dawes_arcsec", "Dawes limit", "arcsec", DAWES, |d: &Demands| Ok(d.dawes_arcsec);
    DeliveredFwhm, "delivered_fwhm_arcsec", "delivered FWHM", "arcsec", DELIVERED_FWHM, |d: &Demands| Ok(d.delivered_fwhm_arcsec);
    PixelsPerFwhm, "pixels_per_fwhm", "pixels per FWHM", "px", SAMPLING, |d: &Demands| Ok(d.pixels_per_fwhm);
    Sampling, "sampling", "sampling", "", SAMPLING, |d: &Demands| Ok(d.sampling.word());
    PlanetaryFocalRatio, "planetary_focal_ratio", "focal ratio for planets", "", PLANETARY, |d: &Demands| Ok(d.planetary_focal_ratio);
    BarlowFactor, "barlow_factor", "Barlow for planets", "x", PLANETARY, |d: &Demands| d.barlow_factor;
    Detail, "detail", "detail", "elements", DETAIL, |d: &Demands| d.detail;
    Untracked, "untracked_s", "exposure without tracking", "s", UNTRACKED, |d: &Demands| d.untracked_s;
    Unguided, "unguided_s", "unguided, one pixel", "s", UNGUIDED, |d: &Demands| d.unguided_s;
    UnguidedHalfFwhm, "unguided_half_fwhm_s", "unguided, half the FWHM", "s", UNGUIDED, |d: &Demands| d.unguided_half_fwhm_s;
    GuidingLoss, "guiding_loss", "FWHM lost to guiding", "of the FWHM", GUIDING_LOSS, |d: &Demands| Ok(d.guiding_loss);
    GuideRmsNeeded, "guide_rms_needed_arcsec", "guiding RMS needed", "arcsec", GUIDE_RMS_NEEDED, |d: &Demands| Ok(d.guide_rms_needed_arcsec);
    PolarRotation, "polar_rotation_s", "corner trail, polar error", "s", POLAR_ROTATION, |d: &Demands| d.polar_rotation_s;
    AltazimuthRotation, "altazimuth_rotation_s", "corner trail, alt-az", "s", ALTAZIMUTH_ROTATION, |d: &Demands| d.altazimuth_rotation_s;
    MassOnMount, "mass_on_mount_kg", "mass on the mount", "kg", MASS_ON_MOUNT, |d: &Demands| Ok(d.load.on_mount_kg);
    PayloadUsed, "payload_used", "payload used", "of the rated payload", PAYLOAD, |d: &Demands| Ok(d.load.payload_used);
    TubeMoment, "tube_moment_kg_m2", "moment of the tube", "kg m²", TUBE_MOMENT, |d: &Demands| d.tube_moment_kg_m2;
    HeaviestPiece, "heaviest_kg", "heaviest piece", "kg", CARRY, |d: &Demands| Ok(d.load.heaviest_kg);
    Carry, "carry_kg", "total to carry", "kg", CARRY, |d: &Demands| Ok(d.load.carry_kg);
    ImageCircleOk, "image_circle_ok", "image circle", "", IMAGE_CIRCLE, |d: &Demands| d.coverage.map(Coverage::is_whole);
    LitShare, "lit_share", "sensor lit", "of its area", IMAGE_CIRCLE, |d: &Demands| d.lit_share;
    Spacer, "spacer_mm", "spacer behind the corrector", "mm", BACK_FOCUS, |d: &Demands| d.back_focus.map(BackFocus::spacer_mm);
    CornerComa, "corner_coma_arcsec", "coma in the corner", "arcsec", CORNER_COMA, |d: &Demands| d.corner_coma_arcsec;
    DepthOfFocus, "depth_of_focus_um", "depth of focus, either side", "µm", DEPTH_OF_FOCUS, |d: &Demands| Ok(d.depth_of_focus_um);
    SkyRate, "sky_e_per_s_px", "sky", "e/s/px", SKY_RATE, |d: &Demands| Ok(d.rates.sky_e_per_s);
    TargetRate, "target_e_per_s_px", "target", "e/s/px", TARGET_RATE, |d: &Demands| d.target_e_per_s_px;
    SubExposure, "sub_exposure_s", "sub-exposure", "s", SUB_EXPOSURE, |d: &Demands| Ok(d.sub_exposure_s);
    HoursPerPixel, "hours_to_snr_per_pixel", "hours, per pixel", "h", HOURS_PER_PIXEL, |d: &Demands| d.hours_to_snr_per_pixel;
    HoursPerArcsec2, "hours_to_snr_per_arcsec2", "hours, per square arcsecond", "h", HOURS_PER_ARCSEC2, |d: &Demands| d.hours_to_snr_per_arcsec2;
    HoursBroad, "hours_broad", "hours in a broad band", "h", HOURS_PER_ARCSEC2, |d: &Demands| d.hours_broad;
    HoursNarrow, "hours_narrow", "hours in a line", "h", HOURS_PER_ARCSEC2, |d: &Demands| d.hours_narrow;
    Saturation, "saturation_s", "star fills a pixel", "s", FULL_WELL, |d: &Demands| Ok(d.saturation_s);
    SubsANight, "subs_a_night", "sub-exposures a night", "", STORAGE, |d: &Demands| d.subs_a_night;
    GigabytesANight, "gigabytes_a_night", "storage a night", "GB", STORAGE, |d: &Demands| d.gigabytes_a_night;
    Price, "price", "price", "", PRICE, |d: &Demands| d.price;
    ChecklistPrice, "checklist_price", "checklist", "", CHECKLIST, |d: &Demands| d.checklist_price;
}
