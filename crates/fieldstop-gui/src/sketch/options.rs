//! What a page is to show, and how.

use std::collections::BTreeSet;

use clap::ValueEnum;
use fieldstop::Angle;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::size::PageSize;
use crate::scene::furniture::{self, SYNTHETIC_NOTE};
use crate::scene::{Layers, Palette, PlacedPicture};
use crate::sources::{self, Source};

/// On what ground a picture is drawn.
#[derive(Clone, Copy, Debug, Default, Deserialize, Eq, PartialEq, Serialize, ValueEnum)]
pub enum PageGround {
    /// A picture for a screen, nearly black.
    #[default]
    Dark,
    /// White paper, legible in grey as well.
    Light,
}

impl PageGround {
    /// Its colours.
    pub const fn palette(self) -> Palette {
        match self {
            Self::Dark => Palette::dark(),
            Self::Light => Palette::paper(),
        }
    }

    /// What its button says.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Dark => "Dark",
            Self::Light => "White paper",
        }
    }
}

/// A part of a page that may be left out.
#[derive(Clone, Copy, Debug, Deserialize, Eq, Ord, PartialEq, PartialOrd, Serialize, ValueEnum)]
pub enum Part {
    /// Title, target data and site
    Title,
    /// The list of rigs with their figures
    Legend,
    /// Stars
    Stars,
    /// Lines of right ascension and declination
    Grid,
    /// Targets that are neither chosen nor wished for
    Catalogue,
    /// Every name on the sky
    Names,
    /// The scale bar
    Scale,
    /// The arrows to north and east
    Compass,
    /// The remark on estimates and the program's version
    Remarks,
}

impl Part {
    /// Every part, in the order of a form.
    pub const ALL: [Self; 9] = [
        Self::Title,
        Self::Legend,
        Self::Stars,
        Self::Grid,
        Self::Catalogue,
        Self::Names,
        Self::Scale,
        Self::Compass,
        Self::Remarks,
    ];

    /// What its box says.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Title => "Title",
            Self::Legend => "Legend",
            Self::Stars => "Stars",
            Self::Grid => "Grid",
            Self::Catalogue => "Other objects",
            Self::Names => "Names",
            Self::Scale => "Scale bar",
            Self::Compass => "North and east",
            Self::Remarks => "Remarks and version",
        }
    }
}

/// How a page looks, whatever it shows.
#[derive(Clone, Debug, PartialEq)]
pub struct PageStyle {
    /// How large it is.
    pub size: PageSize,
    /// On what ground.
    pub ground: PageGround,
    /// What is left out. What the data's licences ask for stays as long as the data are drawn.
    pub without: BTreeSet<Part>,
    /// The evening of a night whose hours are printed.
    pub night: Option<Date>,
}

impl PageStyle {
    /// Everything, on a dark page.
    pub const fn new(size: PageSize) -> Self {
        Self { size, ground: PageGround::Dark, without: BTreeSet::new(), night: None }
    }

    /// Whether a part is drawn.
    pub fn draws(&self, part: Part) -> bool {
        !self.without.contains(&part)
    }

    /// Whose data are drawn. A star that is named has its name and place from the stars' lists.
    pub(crate) fn sources(&self) -> &'static [Source] {
        sources::of_sky(self.draws(Part::Stars) || self.draws(Part::Names))
    }

    /// All that is to be said of those data.
    pub(crate) fn credits_in_full(&self) -> String {
        sources::in_full(self.sources())
    }

    /// What is not from a list; nothing where no stars are drawn.
    pub(crate) fn synthetic_note(&self) -> String {
        if self.draws(Part::Stars) {
            format!("{SYNTHETIC_NOTE}: they are where a star-count model puts them.")
        } else {
            String::new()
        }
    }

    /// What was asked for and finds no room in a picture of this size; `words` are those on the sky.
    pub(crate) fn without_room(&self, (width_pt, height_pt): (f64, f64), words: bool) -> Vec<Part> {
        let lacks = |part: Part| match part {
            Part::Names | Part::Grid => !words,
            Part::Compass => !furniture::fits((width_pt, height_pt), furniture::LEAST_FOR_COMPASS),
            Part::Scale => !furniture::fits((width_pt, height_pt), furniture::LEAST_FOR_BAR),
            _ => false,
        };
        Part::ALL.into_iter().filter(|&part| self.draws(part) && lacks(part)).collect()
    }

    /// What is drawn on the sky; on a small one no words.
    pub(crate) fn layers(&self, with_words: bool) -> Layers {
        Layers {
            stars: self.draws(Part::Stars),
            grid: self.draws(Part::Grid),
            catalogue: self.draws(Part::Catalogue),
            text: with_words && self.draws(Part::Names),
            scale_bar: with_words && self.draws(Part::Scale),
            compass: with_words && self.draws(Part::Compass),
            captioned: false,
            noted: false,
        }
    }
}

/// What a sketch is to show.
#[derive(Clone, Debug, PartialEq)]
pub struct SketchOptions {
    /// Name of a wish in the kit, or of a target in the catalogue in any usual spelling.
    pub target: String,
    /// Names of the rigs to draw; every shown one if empty.
    pub rigs: Vec<String>,
    /// Across the sky; wide enough for the target and every frame if none.
    pub span: Option<Angle>,
    /// A picture of the person's own, under the frames.
    pub picture: Option<PlacedPicture>,
    /// How it looks.
    pub style: PageStyle,
}

impl SketchOptions {
    /// Every shown rig on a target, with everything that can be drawn.
    pub fn new(target: impl Into<String>, size: PageSize) -> Self {
        let style = PageStyle::new(size);
        Self { target: target.into(), rigs: Vec::new(), span: None, picture: None, style }
    }
}
