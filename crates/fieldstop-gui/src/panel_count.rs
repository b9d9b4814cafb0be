//! How many panels a target takes: one search and one way to say it, for window, sketch and
//! command line.

use fieldstop::mosaic::MosaicError;
use fieldstop::panel_search::{MOST_SEARCHED, PanelPlan, fewest_panels_for};
use fieldstop::shape::Shape;
use fieldstop::{Field, Fit, Verdict};

use crate::sky::catalogue::Target;

/// The number of panels, as far as it is known.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum PanelCount {
    /// The target's size is unknown, or it is half the sky.
    Unknown,
    /// The fewest that cover it.
    Exactly(u64),
    /// What the plain grid takes; nothing better was looked for, or not yet found.
    AtMost(u64),
}

impl PanelCount {
    /// What a fit alone says: an upper bound where a search could take fewer.
    pub fn of_fit(fit: &Fit, shape: Option<&Shape>) -> Self {
        let Some((across, down)) = fit.panels else { return Self::Unknown };
        let plain = u64::from(across) * u64::from(down);
        // The search leaves the plain grid of an ellipse as it is where it is too large.
        let searched = plain <= u64::from(MOST_SEARCHED) || matches!(shape, Some(Shape::Drawn(_)));
        // What spills over one frame takes two at least: there is nothing to look for.
        if plain > 2 && searched { Self::AtMost(plain) } else { Self::Exactly(plain) }
    }

    /// In words: `7 panels`, `at most 9 panels`; nothing for a single one.
    pub fn words(self) -> Option<String> {
        match self {
            Self::Unknown | Self::Exactly(1) => None,
            Self::Exactly(panels) => Some(format!("{panels} panels")),
            Self::AtMost(panels) => Some(format!("at most {panels} panels")),
        }
    }
}

impl From<&PanelPlan> for PanelCount {
    fn from(plan: &PanelPlan) -> Self {
        Self::Exactly(plan.panels.len() as u64)
    }
}

/// Whether a target spills, and over so few panels that they can be listed one by one.
pub fn can_be_listed(fit: &Fit) -> bool {
    let most = |(across, down): (u32, u32)| across.saturating_mul(down) <= MOST_SEARCHED;
    fit.verdict == Verdict::Spills && fit.panels.is_some_and(most)
}

/// The panels of a fit, searched for where a search can better the plain grid; the grid's number
/// where they are too many to be listed.
pub fn searched(fit: &Fit, target: &Target, field: &Field, overlap: f64) -> PanelCount {
    match PanelCount::of_fit(fit, target.shape().as_ref()) {
        most @ PanelCount::AtMost(_) => {
            fewest(target, field, overlap).as_ref().map_or(most, PanelCount::from)
        }
        count => count,
    }
}

/// The fewest panels that cover a target.
///
/// # Errors
/// [`MosaicError`] where they are too many to be listed.
pub fn fewest(target: &Target, field: &Field, overlap: f64) -> Result<PanelPlan, MosaicError> {
    fewest_panels_for(target.place, target.shape().as_ref(), field, overlap)
}

#[cfg(test)]
mod tests {
    use fieldstop::fit::fit;
    use fieldstop::{Angle, Outline};

    use super::*;

    #[test]
    fn a_grid_is_an_upper_bound_only_where_a_search_can_better_it() {
        let field = Field { half_width: 0.01, half_height: 0.01 };
        let count = |half: f64| {
            let major = Angle::from_rad(2.0 * half.atan());
            let outline = Outline { major, minor: None, position_angle: None };
            let shape = Shape::Ellipse(outline);
            PanelCount::of_fit(&fit(Some(&outline), &field, 0.9, 0.1), Some(&shape))
        };
        assert_eq!(count(0.01), PanelCount::Exactly(1));
        let strip = Outline {
            major: Angle::from_rad(2.0 * 0.017f64.atan()),
            minor: Some(Angle::from_deg(0.1)),
            position_angle: None,
        };
        let two = fit(Some(&strip), &field, 0.9, 0.1);
        assert_eq!(PanelCount::of_fit(&two, Some(&strip.into())), PanelCount::Exactly(2));
        assert!(can_be_listed(&two));
        assert_eq!(count(0.0101), PanelCount::AtMost(4));
        assert_eq!(count(0.021), PanelCount::AtMost(9));
        assert_eq!(count(0.021).words().as_deref(), Some("at most 9 panels"));
        assert_eq!(count(0.3), PanelCount::Exactly(34 * 34));
        assert_eq!(PanelCount::of_fit(&fit(None, &field, 0.9, 0.1), None), PanelCount::Unknown);
        assert_eq!(PanelCount::Exactly(1).words(), None);
    }
}
