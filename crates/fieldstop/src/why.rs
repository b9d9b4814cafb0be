//! Why a figure cannot be given: the input that is missing, or the reason it does not apply.

use std::fmt;

/// A figure, or the reason there is none.
pub type Known<T> = Result<T, Why>;

/// A part of a rig.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Part {
    /// The optical tube.
    Ota,
    /// Reducer, flattener, coma corrector or Barlow.
    Corrector,
    /// The camera.
    Camera,
    /// The mount with its tripod.
    Mount,
    /// The filter.
    Filter,
    /// Guider, rings, cables.
    Extras,
}

impl Part {
    /// In the trade's term, as in the middle of a sentence.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Ota => "OTA",
            Self::Corrector => "corrector",
            Self::Camera => "camera",
            Self::Mount => "mount",
            Self::Filter => "filter",
            Self::Extras => "extras",
        }
    }
}

/// Why there is no figure.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Why {
    /// No target was chosen.
    NoTarget,
    /// The catalogue has no size for the target.
    NoTargetSize,
    /// The catalogue has no surface brightness for the target.
    NoSurfaceBrightness,
    /// The catalogue does not say whether the target shines in lines or in all colours.
    NoLineShare,
    /// Neither the OTA nor a corrector states an image circle.
    NoImageCircle,
    /// No corrector asks for a distance.
    NoBackFocus,
    /// The camera's flange distance is not stated.
    NoFlange,
    /// The length of the tube is not stated.
    NoLength,
    /// A part that has to be bought has no price.
    NoPrice(Part),
    /// An item of the checklist that is still lacking has no price.
    NoChecklistPrice,
    /// The kit states no limit to compare with.
    NoLimit,
    /// Only a paraboloid without a corrector has this coma.
    NotAParaboloid,
    /// The corrector takes the coma away.
    Corrected,
    /// The mount stands still: the untracked exposure applies.
    DoesNotTrack,
    /// Neither periodic error nor polar error: nothing drifts.
    NoDrift,
    /// At the celestial pole the sky only turns.
    AtThePole,
    /// The mount turns about the pole, so this does not happen.
    NotAltazimuth,
    /// The mount does not turn about the pole, so this does not apply.
    NotEquatorial,
    /// The place in the sky is not chosen.
    NoPlace,
    /// The dark hours of the night are not known.
    NoDarkHours,
    /// Without read noise an exposure may be as short as one likes, so their number has no bound.
    NoReadNoise,
    /// The kit's numbers are so far from any instrument that the result is no number.
    OutOfReach,
    /// The focal length already samples all that diffraction leaves.
    AlreadyReached,
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words = match self {
            Self::NoTarget => "no target is chosen",
            Self::NoTargetSize => "the target's size is unknown",
            Self::NoSurfaceBrightness => "the target's surface brightness is unknown",
            Self::NoLineShare => {
                "the catalogue does not say whether the target is glowing gas or lit dust"
            }
            Self::NoImageCircle => "no image circle is stated for the OTA or its corrector",
            Self::NoBackFocus => "no corrector asks for a back-focus distance",
            Self::NoFlange => "the camera's distance from front face to sensor is not stated",
            Self::NoLength => "the length of the tube is not stated",
            Self::NoPrice(part) => {
                return write!(f, "the {} is not owned and has no price", part.label());
            }
            Self::NoChecklistPrice => "an item still lacking has no price",
            Self::NoLimit => "the kit states no limit",
            Self::NotAParaboloid => "only a Newtonian's paraboloid has this coma",
            Self::Corrected => "the corrector takes the coma away",
            Self::DoesNotTrack => "the mount does not track: see the untracked exposure",
            Self::NoDrift => "the mount has neither periodic error nor polar error",
            Self::AtThePole => "at the celestial pole nothing trails at the centre",
            Self::NotAltazimuth => "only an alt-az mount turns the field",
            Self::NotEquatorial => "only an equatorial mount has a polar axis",
            Self::NoPlace => "no place in the sky is chosen",
            Self::NoDarkHours => "the dark hours of the night are not known",
            Self::NoReadNoise => {
                "without read noise exposures may be as short, and so as many, as you like"
            }
            Self::OutOfReach => "the parts' numbers are too far from any instrument to reckon with",
            Self::AlreadyReached => "the pixels already sample all that diffraction leaves",
        };
        f.write_str(words)
    }
}
