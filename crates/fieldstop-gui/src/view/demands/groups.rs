//! The rows of the table, in groups, in the order of the questions.

use fieldstop::demands::Figure;

/// A heading with its rows.
pub(crate) struct Group {
    /// What the rows have in common.
    pub(crate) name: &'static str,
    /// The question they answer.
    pub(crate) question: &'static str,
    /// The rows.
    pub(crate) figures: &'static [Figure],
}

/// Every figure, once.
pub(crate) const GROUPS: [Group; 9] = [
    Group {
        name: "Light",
        question: "how it gathers it",
        figures: &[Figure::FocalLength, Figure::FocalRatio, Figure::ClearArea, Figure::TNumber],
    },
    Group {
        name: "Resolution",
        question: "how fine a detail comes through",
        figures: &[Figure::Rayleigh, Figure::Dawes, Figure::DeliveredFwhm, Figure::Detail],
    },
    Group {
        name: "Sampling",
        question: "whether the pixels suit it",
        figures: &[
            Figure::PixelsPerFwhm,
            Figure::Sampling,
            Figure::PlanetaryFocalRatio,
            Figure::BarlowFactor,
        ],
    },
    Group {
        name: "Tracking",
        question: "how well the mount must follow",
        figures: &[
            Figure::Untracked,
            Figure::Unguided,
            Figure::UnguidedHalfFwhm,
            Figure::GuidingLoss,
            Figure::GuideRmsNeeded,
            Figure::PolarRotation,
            Figure::AltazimuthRotation,
        ],
    },
    Group {
        name: "Load",
        question: "what mount and back must carry",
        figures: &[
            Figure::MassOnMount,
            Figure::PayloadUsed,
            Figure::TubeMoment,
            Figure::HeaviestPiece,
            Figure::Carry,
        ],
    },
    Group {
        name: "Coverage",
        question: "whether light reaches the corners",
        figures: &[Figure::ImageCircleOk, Figure::LitShare, Figure::Spacer],
    },
    Group {
        name: "Aberration",
        question: "what must be kept in order",
        figures: &[Figure::CornerComa, Figure::DepthOfFocus],
    },
    Group {
        name: "Exposure",
        question: "how much time it takes",
        figures: &[
            Figure::SkyRate,
            Figure::TargetRate,
            Figure::SubExposure,
            Figure::HoursPerPixel,
            Figure::HoursPerArcsec2,
            Figure::HoursBroad,
            Figure::HoursNarrow,
            Figure::Saturation,
            Figure::SubsANight,
            Figure::GigabytesANight,
        ],
    },
    Group {
        name: "Cost",
        question: "what is still to pay",
        figures: &[Figure::Price, Figure::ChecklistPrice],
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_has_one_row() {
        for figure in Figure::ALL {
            let rows = GROUPS.iter().flat_map(|group| group.figures).filter(|row| *row == figure);
            assert_eq!(rows.count(), 1, "{}", figure.label());
        }
    }
}
