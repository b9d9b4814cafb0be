//! The strip: pictures side by side on one page, the same target through every rig, or every
//! target through one rig.
//!
//! **At the same scale** every panel shows the same width of sky, and the frames differ in size.
//! **At the same size** every panel is the picture that the camera would deliver: the frame fills
//! it, the camera's up is up, and what lies outside is cut off.

mod caption;
mod grid;
mod page;

use clap::ValueEnum;
use fieldstop::kit::Kit;
use serde::{Deserialize, Serialize};
use thiserror::Error;

pub use page::{Panel, StripPage, page};

use crate::paint::png::{self, PngError};
use crate::sketch::{self, Format, PageStyle, SketchError};
use crate::sky::Sky;
use crate::words::counted;

/// Most panels of a strip.
pub const MOST_PANELS: usize = 12;

/// What changes from panel to panel.
#[derive(Clone, Debug, PartialEq)]
pub enum Over {
    /// One target, every shown rig of the kit.
    Rigs {
        /// The target's name.
        target: String,
    },
    /// One rig, several targets.
    Targets {
        /// The rig's name.
        rig: String,
        /// Names of targets; the first of the wish list if none.
        targets: Vec<String>,
    },
}

/// What is the same in every panel.
#[derive(Clone, Copy, Debug, Default, Deserialize, Eq, PartialEq, Serialize, ValueEnum)]
pub enum Same {
    /// The width of the sky: frames differ in size
    #[default]
    Scale,
    /// The size of the picture: what the camera would deliver, cut off at its edges
    Size,
}

/// What a strip is to show.
#[derive(Clone, Debug, PartialEq)]
pub struct StripOptions {
    /// What changes from panel to panel.
    pub over: Over,
    /// What does not.
    pub same: Same,
    /// How the page looks.
    pub style: PageStyle,
}

impl StripOptions {
    /// Whether it is one rig's strip.
    pub const fn is_over_targets(&self) -> bool {
        matches!(self.over, Over::Targets { .. })
    }
}

/// Why there is no strip.
#[derive(Debug, Error)]
pub enum StripError {
    /// As for a sketch.
    #[error(transparent)]
    Sketch(#[from] SketchError),
    /// None, or too many.
    #[error("there are {found} {what} to show; expected 1 to {MOST_PANELS}: {remedy}")]
    Count {
        /// How many.
        found: usize,
        /// Of what.
        what: &'static str,
        /// What to do.
        remedy: &'static str,
    },
    /// The panels would be stamps.
    #[error(
        "a page of {size} has no room for {} with {} words; expected a larger page{}",
        counted(*panels, "panel"),
        if *panels == 1 { "its" } else { "their" },
        if *panels == 1 { "" } else { ", or fewer panels" }
    )]
    NoRoom {
        /// The page in words.
        size: String,
        /// How many.
        panels: usize,
    },
}

impl From<PngError> for StripError {
    fn from(error: PngError) -> Self {
        Self::Sketch(error.into())
    }
}

/// Draws a strip and returns it as a file's contents.
///
/// `progress` is told the share done, 0 to 1, and answers whether to go on.
///
/// # Errors
/// [`StripError`]; a size is refused before anything is allocated.
pub fn strip(
    kit: &Kit,
    sky: &Sky,
    options: &StripOptions,
    format: Format,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<Vec<u8>, StripError> {
    sketch::refuse_early(&options.style, format)?;
    let page = page(kit, sky, options)?;
    let style = &options.style;
    match format {
        Format::Png => {
            let mut out = Vec::new();
            let info = sketch::png_info(&page.title, style);
            png::encode(&page.scene, page.px_per_pt, &info, &mut out, progress)?;
            Ok(out)
        }
        Format::Svg => {
            Ok(sketch::svg_file(&page.scene, &page.title, style, String::new(), progress)?)
        }
    }
}
