//! A page that was asked for, whichever kind it is: drawn into a file, into pixels, or small.

use fieldstop::kit::Kit;

use crate::paint::png;
use crate::scene::Scene;
use crate::sketch::{self, Format, PageStyle, SketchOptions};
use crate::sky::Sky;
use crate::strip::{self, StripOptions};

/// A page that was asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum PageOrder {
    /// Every frame on one sky.
    Sketch(SketchOptions),
    /// Panels side by side.
    Strip(StripOptions),
}

/// A picture in memory: four bytes a pixel, opaque, row by row from the top.
#[derive(Clone, Debug, PartialEq)]
pub struct Pixels {
    /// Across and down.
    pub size: [u32; 2],
    /// Red, green, blue and opacity of each.
    pub rgba: Vec<u8>,
}

impl PageOrder {
    /// How it looks.
    pub const fn style(&self) -> &PageStyle {
        match self {
            Self::Sketch(options) => &options.style,
            Self::Strip(options) => &options.style,
        }
    }

    /// The page as a file's contents.
    ///
    /// # Errors
    /// In words.
    pub fn file(
        &self,
        kit: &Kit,
        sky: &Sky,
        format: Format,
        progress: &mut dyn FnMut(f32) -> bool,
    ) -> Result<Vec<u8>, String> {
        match self {
            Self::Sketch(options) => {
                sketch::sketch(kit, sky, options, format, progress).map_err(|e| e.to_string())
            }
            Self::Strip(options) => {
                strip::strip(kit, sky, options, format, progress).map_err(|e| e.to_string())
            }
        }
    }

    /// The page in pixels: those of its PNG, or no more than so many along its longer side.
    ///
    /// # Errors
    /// In words, also if the format could not be written in that size.
    pub fn pixels(
        &self,
        kit: &Kit,
        sky: &Sky,
        format: Format,
        longest_px: Option<f64>,
        progress: &mut dyn FnMut(f32) -> bool,
    ) -> Result<Pixels, String> {
        let style = self.style();
        sketch::refuse_early(style, format).map_err(|error| error.to_string())?;
        let (scene, px_per_pt) = self.scene(kit, sky)?;
        let px_per_pt = longest_px.map_or(px_per_pt, |longest| {
            (longest / scene.width_pt.max(scene.height_pt)).min(px_per_pt)
        });
        let (size, rgba) =
            png::pixels(&scene, px_per_pt, progress).map_err(|error| error.to_string())?;
        Ok(Pixels { size, rgba })
    }

    /// The marks of the page, and pixels to a point.
    fn scene(&self, kit: &Kit, sky: &Sky) -> Result<(Scene, f64), String> {
        match self {
            Self::Sketch(options) => {
                let page = sketch::page(kit, sky, options).map_err(|error| error.to_string())?;
                Ok((page.scene, page.px_per_pt))
            }
            Self::Strip(options) => {
                let page = strip::page(kit, sky, options).map_err(|error| error.to_string())?;
                Ok((page.scene, page.px_per_pt))
            }
        }
    }
}
