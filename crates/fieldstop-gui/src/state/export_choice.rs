//! How pictures are exported: kept between runs, so that the second one needs no questions.

use std::collections::BTreeSet;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::nights::date;
use crate::sketch::{Format, PageGround, PageSize, PageStyle, Part};
use crate::strip::Same;

/// What a page shows.
#[derive(Clone, Copy, Debug, Default, Deserialize, Eq, PartialEq, Serialize)]
pub enum ExportWhat {
    /// Every shown rig's frame on one sky.
    #[default]
    Sketch,
    /// The target in every shown rig, side by side.
    EveryRig(Same),
    /// The chosen rig on the wish list's targets, side by side.
    EveryTarget(Same),
}

impl ExportWhat {
    /// Every choice.
    pub const ALL: [Self; 5] = [
        Self::Sketch,
        Self::EveryRig(Same::Scale),
        Self::EveryRig(Same::Size),
        Self::EveryTarget(Same::Scale),
        Self::EveryTarget(Same::Size),
    ];

    /// What it says in a list.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Sketch => "All frames on one sky",
            Self::EveryRig(Same::Scale) => "A panel a rig, same scale",
            Self::EveryRig(Same::Size) => "A panel a rig, as its picture",
            Self::EveryTarget(Same::Scale) => "A panel a wish, same scale",
            Self::EveryTarget(Same::Size) => "A panel a wish, as its picture",
        }
    }

    /// What it is, in a sentence.
    pub const fn tip(self) -> &'static str {
        match self {
            Self::Sketch => "The target with every shown rig's frame, and their figures",
            Self::EveryRig(Same::Scale) => {
                "The target through every shown rig, side by side, all at one scale"
            }
            Self::EveryRig(Same::Size) => {
                "What each shown rig's picture of the target would look like, cut off at its edges"
            }
            Self::EveryTarget(Same::Scale) => {
                "The chosen rig's frame on every target of the wish list, all at one scale"
            }
            Self::EveryTarget(Same::Size) => {
                "What the chosen rig's pictures of the wish list would look like"
            }
        }
    }
}

/// How pictures are exported.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(default)]
pub struct ExportChoice {
    /// What is shown.
    pub what: ExportWhat,
    /// Targets of the wish list that have a panel; the first ones if none. They are one kit's, and
    /// not kept between runs.
    #[serde(skip)]
    pub wishes: Vec<String>,
    /// Whether the size is one of paper, and not in pixels.
    pub on_paper: bool,
    /// Size for a screen, across and down.
    pub pixels: (u32, u32),
    /// Size on paper, across and down.
    pub mm: (f64, f64),
    /// Pixels to an inch of paper.
    pub dpi: f64,
    /// The ground.
    pub ground: PageGround,
    /// What is left out.
    pub without: BTreeSet<Part>,
    /// Whether an SVG is wanted, and not a PNG.
    pub svg: bool,
    /// Whether a night is printed.
    pub with_night: bool,
    /// The evening of that night, as `2026-09-12`; empty until one was chosen.
    pub evening: String,
}

impl Default for ExportChoice {
    fn default() -> Self {
        Self {
            what: ExportWhat::default(),
            wishes: Vec::new(),
            on_paper: false,
            pixels: (2400, 1600),
            mm: (180.0, 120.0),
            dpi: 300.0,
            ground: PageGround::default(),
            without: BTreeSet::new(),
            svg: false,
            with_night: false,
            evening: String::new(),
        }
    }
}

impl ExportChoice {
    /// The evening that was chosen.
    pub fn evening(&self) -> Option<Date> {
        date::parse(&self.evening).ok()
    }

    /// How the page looks.
    pub fn style(&self) -> PageStyle {
        let size = if self.on_paper {
            PageSize::Paper { width_mm: self.mm.0, height_mm: self.mm.1, dpi: self.dpi }
        } else {
            PageSize::Pixels { width: self.pixels.0, height: self.pixels.1 }
        };
        PageStyle {
            size,
            ground: self.ground,
            without: self.without.clone(),
            night: self.evening().filter(|_| self.with_night),
        }
    }

    /// The kind of file.
    pub const fn format(&self) -> Format {
        if self.svg { Format::Svg } else { Format::Png }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_night_is_printed_only_if_wanted_and_real() {
        let mut choice = ExportChoice { evening: "2026-09-12".to_owned(), ..Default::default() };
        assert_eq!(choice.style().night, None);
        choice.with_night = true;
        assert_eq!(choice.style().night.map(|date| date.to_string()), Some(choice.evening.clone()));
        "2026-02-30".clone_into(&mut choice.evening);
        assert_eq!(choice.style().night, None);
    }
}
