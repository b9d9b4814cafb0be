//! The sketch: the Frame view's picture as a PNG, with title, legend, notes and attribution.
//!
//! Composed as a [`Page`] of plain marks first, so that what stands where can be tested without
//! a pixel, then painted. The same kit, target and options give the same pixels on any day.

mod coordinates;
mod header;
mod legend;
mod page;
mod rigs;

use fieldstop::Angle;
use fieldstop::kit::Kit;
use thiserror::Error;

use coordinates::avm_packet;
pub use page::{Page, page};

use crate::paint::png::{self, PngError, PngInfo};
use crate::scene::furniture::SYNTHETIC_NOTE;
use crate::scene::{PlacedPicture, SkyView};
use crate::sky::Sky;

/// Fewest and most pixels along a side.
pub const SIDE_PX: std::ops::RangeInclusive<u32> = 16..=20_000;
/// Most pixels in all.
pub const MOST_PX: u64 = 200_000_000;

/// What the sky's data ask to be said of them.
pub const ATTRIBUTION: &str = "Deep-sky objects: OpenNGC database by Mattia Verga and contributors \
    (https://github.com/mattiaverga/OpenNGC), CC BY-SA 4.0 \
    (https://creativecommons.org/licenses/by-sa/4.0/); names reformatted, duplicates and stars \
    left out. Stars: this work has made use of data from the European Space Agency (ESA) mission \
    Gaia (https://www.cosmos.esa.int/gaia), processed by the Gaia Data Processing and Analysis \
    Consortium (DPAC, https://www.cosmos.esa.int/web/gaia/dpac/consortium). Funding for the DPAC \
    has been provided by national institutions, in particular the institutions participating in \
    the Gaia Multilateral Agreement. Credit: ESA/Gaia/DPAC, CC BY-SA 3.0 IGO \
    (https://creativecommons.org/licenses/by-sa/3.0/igo/). Changed: V and B - V derived, cut at \
    V 9.5. Bright stars: Hipparcos, the new reduction (van Leeuwen 2007, A&A 474, 653; ESA 1997, \
    SP-1200).";

/// The short form, for the foot of the page.
const ATTRIBUTION_SHORT: &str = "Deep-sky objects: OpenNGC, Mattia Verga and contributors, \
    CC BY-SA 4.0, adapted. Stars: ESA/Gaia/DPAC, CC BY-SA 3.0 IGO, adapted; Hipparcos, \
    van Leeuwen 2007.";

/// What a sketch is to show.
#[derive(Clone, Debug, PartialEq)]
pub struct SketchOptions {
    /// Name of a wish in the kit, or of a target in the catalogue in any usual spelling.
    pub target: String,
    /// Names of the rigs to draw; every shown one if empty.
    pub rigs: Vec<String>,
    /// Pixels across.
    pub width_px: u32,
    /// Pixels down.
    pub height_px: u32,
    /// Across the sky; wide enough for the target and every frame if none.
    pub span: Option<Angle>,
    /// A picture of the person's own, under the frames.
    pub picture: Option<PlacedPicture>,
}

/// Why there is no sketch.
#[derive(Debug, Error)]
pub enum SketchError {
    /// A side is too short or too long.
    #[error("{side} is {found} pixels; expected {} to {}", SIDE_PX.start(), SIDE_PX.end())]
    Side {
        /// `width` or `height`.
        side: &'static str,
        /// As asked for.
        found: u32,
    },
    /// Both sides are in range, their product is not.
    #[error(
        "{width} x {height} is {:.1} megapixels; expected at most {}",
        u64::from(*width) as f64 * f64::from(*height) / 1e6, MOST_PX / 1_000_000
    )]
    Area {
        /// As asked for.
        width: u32,
        /// As asked for.
        height: u32,
    },
    /// A span that the view does not reach.
    #[error(
        "span is {found_deg} degrees; expected {:.4} to {:.0}",
        SkyView::SPAN_MIN.deg(), SkyView::SPAN_MAX.deg()
    )]
    Span {
        /// As asked for.
        found_deg: f64,
    },
    /// A target that neither the kit nor the catalogue knows.
    #[error(
        "no target {found:?} in the kit's wish list or the catalogue; expected a name or \
         designation such as M 31, NGC 7000 or Sh 2-190"
    )]
    Target {
        /// As asked for.
        found: String,
    },
    /// A rig that the kit lacks.
    #[error("the kit has no rig {found:?}; expected one of: {}", known.join(", "))]
    Rig {
        /// As asked for.
        found: String,
        /// What the kit has.
        known: Vec<String>,
    },
    /// The picture could not be painted or written.
    #[error(transparent)]
    Png(#[from] PngError),
}

/// Draws a sketch and returns it as a PNG file.
///
/// `progress` is told the share done, 0 to 1, and answers whether to go on.
///
/// # Errors
/// [`SketchError`]; a size is refused before anything is allocated.
pub fn sketch(
    kit: &Kit,
    sky: &Sky,
    options: &SketchOptions,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<Vec<u8>, SketchError> {
    let page = page(kit, sky, options)?;
    let mut out = Vec::new();
    png::encode(&page.scene, page.px_per_pt, &info(&page), &mut out, progress)?;
    Ok(out)
}

/// What the file says of itself.
fn info(page: &Page) -> PngInfo {
    PngInfo {
        px_per_inch: 72.0 * page.px_per_pt,
        texts: vec![
            ("Title", page.title.clone()),
            ("Software", software()),
            ("Copyright", ATTRIBUTION.to_owned()),
            ("Comment", format!("{SYNTHETIC_NOTE}: they are where a star-count model puts them.")),
            ("XML:com.adobe.xmp", avm_packet(page)),
        ],
    }
}

fn software() -> String {
    format!("Fieldstop {}", env!("CARGO_PKG_VERSION"))
}

/// Refuses what is too large or does not exist.
fn check(options: &SketchOptions) -> Result<(), SketchError> {
    let SketchOptions { width_px: width, height_px: height, .. } = *options;
    for (side, found) in [("width", width), ("height", height)] {
        if !SIDE_PX.contains(&found) {
            return Err(SketchError::Side { side, found });
        }
    }
    if u64::from(width) * u64::from(height) > MOST_PX {
        return Err(SketchError::Area { width, height });
    }
    // A NaN is in no range.
    match options.span {
        Some(span) if !(SkyView::SPAN_MIN..=SkyView::SPAN_MAX).contains(&span) => {
            Err(SketchError::Span { found_deg: span.deg() })
        }
        _ => Ok(()),
    }
}
