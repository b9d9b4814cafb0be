//! The sketch: the Frame view's picture as PNG or SVG, with title, legend, notes and attribution.
//!
//! Composed as a [`Page`] of plain marks first, so that what stands where can be tested without
//! a pixel, then painted. The same kit, target and options give the same pixels on any day.

mod coordinates;
pub mod format;
pub(crate) mod header;
mod legend;
pub(crate) mod night;
pub mod options;
mod page;
pub(crate) mod rigs;
pub mod size;

use fieldstop::kit::Kit;
use thiserror::Error;

use coordinates::avm_packet;
pub use format::Format;
pub use options::{PageGround, PageStyle, Part, SketchOptions};
pub(crate) use page::{MARGIN_PT, edge, span, target};
pub use page::{Page, page};
pub use size::PageSize;

use crate::paint::png::{self, PngError, PngInfo};
use crate::paint::svg::{self, SvgInfo, SvgSize};
use crate::scene::Scene;
use crate::scene::SkyView;
use crate::sky::Sky;

/// Fewest and most pixels along a side.
pub const SIDE_PX: std::ops::RangeInclusive<u32> = 16..=20_000;
/// Most pixels in all.
pub const MOST_PX: u64 = 200_000_000;

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
    /// A length of paper out of reach.
    #[error("{what} is {found}; expected {expected}")]
    Paper {
        /// `width`, `height` or `dpi`.
        what: &'static str,
        /// As asked for.
        found: f64,
        /// The range in words.
        expected: &'static str,
    },
    /// The calendar has no such night.
    #[error("the nights of {year} cannot be worked out; expected a year from 1950 to 2100")]
    Night {
        /// As asked for.
        year: i16,
    },
    /// A page that shows nothing but sky, and a night whose words were asked for.
    #[error(
        "a page of {size} has no room for the words of a night; expected at least 420 x 320 \
         pixels, or 112 x 85 mm"
    )]
    NoRoomForNight {
        /// The page in words.
        size: String,
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

/// Draws a sketch and returns it as a file's contents.
///
/// `progress` is told the share done, 0 to 1, and answers whether to go on.
///
/// # Errors
/// [`SketchError`]; a size is refused before anything is allocated.
pub fn sketch(
    kit: &Kit,
    sky: &Sky,
    options: &SketchOptions,
    format: Format,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<Vec<u8>, SketchError> {
    refuse_early(&options.style, format)?;
    let page = page(kit, sky, options)?;
    match format {
        Format::Png => {
            let mut out = Vec::new();
            let info = info(&page, &options.style);
            png::encode(&page.scene, page.px_per_pt, &info, &mut out, progress)?;
            Ok(out)
        }
        Format::Svg => {
            let packet = avm_packet(&page, &options.style);
            svg_file(&page.scene, &page.title, &options.style, packet, progress)
        }
    }
}

/// Refuses a size before the work and not after it.
pub(crate) fn refuse_early(style: &PageStyle, format: Format) -> Result<(), SketchError> {
    match format {
        Format::Png => style.size.check_png(),
        Format::Svg => style.size.check(),
    }
}

/// A page as an SVG file, with an XMP packet where it has one place on the sky.
///
/// # Source
/// ISO 16684-1; Extensible Metadata Platform, part 3: an SVG has its packet in `metadata`.
pub(crate) fn svg_file(
    scene: &Scene,
    title: &str,
    style: &PageStyle,
    metadata: String,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<Vec<u8>, SketchError> {
    if !progress(0.5) {
        return Err(PngError::Stopped.into());
    }
    let info = SvgInfo {
        title: title.to_owned(),
        description: [format!("{}.", software()), style.synthetic_note(), style.credits_in_full()]
            .iter()
            .filter(|words| !words.is_empty())
            .map(String::as_str)
            .collect::<Vec<_>>()
            .join(" "),
        id_prefix: String::new(),
        size: match style.size {
            PageSize::Pixels { width, height } => {
                SvgSize::Pixels([f64::from(width), f64::from(height)])
            }
            PageSize::Paper { width_mm, height_mm, .. } => {
                SvgSize::Millimetres([width_mm, height_mm])
            }
        },
        metadata,
    };
    let document = svg::render_with(scene, &info);
    progress(1.0);
    Ok(document.into_bytes())
}

/// What the file says of itself.
fn info(page: &Page, style: &PageStyle) -> PngInfo {
    let mut info = png_info(&page.title, style);
    info.texts.push(("XML:com.adobe.xmp", avm_packet(page, style)));
    info
}

/// What a PNG of a page says of itself.
pub(crate) fn png_info(title: &str, style: &PageStyle) -> PngInfo {
    let mut texts = vec![
        ("Title", title.to_owned()),
        ("Software", software()),
        ("Copyright", style.credits_in_full()),
    ];
    let note = style.synthetic_note();
    if !note.is_empty() {
        texts.push(("Comment", note));
    }
    PngInfo { px_per_inch: style.size.px_per_inch(), texts }
}

pub(crate) fn software() -> String {
    format!("Fieldstop {}", env!("CARGO_PKG_VERSION"))
}

/// Refuses what is too large or does not exist.
fn check(options: &SketchOptions) -> Result<(), SketchError> {
    options.style.size.check()?;
    // A NaN is in no range.
    match options.span {
        Some(span) if !(SkyView::SPAN_MIN..=SkyView::SPAN_MAX).contains(&span) => {
            Err(SketchError::Span { found_deg: span.deg() })
        }
        _ => Ok(()),
    }
}
