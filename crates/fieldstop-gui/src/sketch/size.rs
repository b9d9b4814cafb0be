//! How large a page is: in pixels for a screen, or in millimetres and dots an inch for paper.

use fieldstop::range::Range;
use serde::{Deserialize, Serialize};

use super::{MOST_PX, SIDE_PX, SketchError};

/// A side of a sheet of paper.
pub const SIDE_MM: Range =
    Range { least: 20.0, most: 2000.0, expected: "millimetres from 20 to 2000" };
/// How finely a page is printed.
pub const DPI: Range =
    Range { least: 30.0, most: 1200.0, expected: "dots an inch from 30 to 1200" };

/// The size of a page.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Serialize)]
pub enum PageSize {
    /// For a screen.
    Pixels {
        /// Across.
        width: u32,
        /// Down.
        height: u32,
    },
    /// For paper.
    Paper {
        /// Across.
        width_mm: f64,
        /// Down.
        height_mm: f64,
        /// Pixels of a PNG to an inch; an SVG has none.
        dpi: f64,
    },
}

/// A page of this size has comfortable letters at one unit to the point; a larger one has larger
/// letters, not more room.
const COMFORTABLE_PT: (f64, f64) = (1200.0, 800.0);
/// Points of the page to an inch of paper: letters of 10.5 are then 7.9 typographic points tall,
/// those of the footer 6.
const PT_PER_INCH: f64 = 96.0;
const MM_PER_INCH: f64 = 25.4;

/// A page in the points that it is composed in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Layout {
    /// Across.
    pub(crate) width_pt: f64,
    /// Down.
    pub(crate) height_pt: f64,
    /// Pixels of a PNG to a point.
    pub(crate) px_per_pt: f64,
}

impl Layout {
    /// The same page with everything on it smaller by a factor.
    pub(crate) fn closer(self, factor: f64) -> Self {
        Self {
            width_pt: self.width_pt * factor,
            height_pt: self.height_pt * factor,
            px_per_pt: self.px_per_pt / factor,
        }
    }
}

impl PageSize {
    /// Refuses what is too small, too large or no number.
    pub(crate) fn check(&self) -> Result<(), SketchError> {
        match *self {
            Self::Pixels { width, height } => check_pixels(width, height),
            Self::Paper { width_mm, height_mm, dpi } => {
                for (what, found, range) in [
                    ("width", width_mm, SIDE_MM),
                    ("height", height_mm, SIDE_MM),
                    ("dpi", dpi, DPI),
                ] {
                    if !range.contains(found) {
                        return Err(SketchError::Paper { what, found, expected: range.expected });
                    }
                }
                Ok(())
            }
        }
    }

    /// Refuses a PNG of too many pixels.
    pub(crate) fn check_png(&self) -> Result<(), SketchError> {
        self.check()?;
        let (width, height) = self.pixels();
        check_pixels(width, height)
    }

    /// Size of a PNG.
    pub fn pixels(&self) -> (u32, u32) {
        match *self {
            Self::Pixels { width, height } => (width, height),
            Self::Paper { width_mm, height_mm, dpi } => {
                // OK because a float is cast to the nearest value that fits.
                let px = |mm: f64| (mm / MM_PER_INCH * dpi).round() as u32;
                (px(width_mm), px(height_mm))
            }
        }
    }

    pub(crate) fn layout(&self) -> Layout {
        let (width, height, px_per_unit) = match *self {
            Self::Pixels { width, height } => (f64::from(width), f64::from(height), 1.0),
            Self::Paper { width_mm, height_mm, dpi } => {
                let points = |mm: f64| mm / MM_PER_INCH * PT_PER_INCH;
                (points(width_mm), points(height_mm), dpi / PT_PER_INCH)
            }
        };
        let larger = (width / COMFORTABLE_PT.0).min(height / COMFORTABLE_PT.1).max(1.0);
        Layout {
            width_pt: width / larger,
            height_pt: height / larger,
            px_per_pt: px_per_unit * larger,
        }
    }

    /// Pixels to an inch, as a PNG says.
    pub(crate) fn px_per_inch(&self) -> f64 {
        match *self {
            Self::Pixels { .. } => 72.0 * self.layout().px_per_pt,
            Self::Paper { dpi, .. } => dpi,
        }
    }

    /// In words: `2400 x 1600 pixels`, `180 x 120 mm, 2126 x 1417 pixels`.
    pub fn words(&self) -> String {
        let (width, height) = self.pixels();
        match self {
            Self::Pixels { .. } => format!("{width} x {height} pixels"),
            Self::Paper { width_mm, height_mm, .. } => {
                format!("{width_mm} x {height_mm} mm, {width} x {height} pixels")
            }
        }
    }
}

fn check_pixels(width: u32, height: u32) -> Result<(), SketchError> {
    for (side, found) in [("width", width), ("height", height)] {
        if !SIDE_PX.contains(&found) {
            return Err(SketchError::Side { side, found });
        }
    }
    if u64::from(width) * u64::from(height) > MOST_PX {
        return Err(SketchError::Area { width, height });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 216: A4 is 210 x 297 mm; at 300 dots an inch of 25.4 mm that is 2480 x 3508.
    #[test]
    fn a_sheet_of_a4_has_the_pixels_it_should() {
        let a4 = PageSize::Paper { width_mm: 210.0, height_mm: 297.0, dpi: 300.0 };
        assert_eq!(a4.pixels(), (2480, 3508));
        let layout = a4.layout();
        assert!((layout.width_pt * layout.px_per_pt - 2480.0).abs() < 0.5);
        assert!((layout.width_pt / 96.0 - 210.0 / 25.4).abs() < 1e-9);
    }

    #[test]
    fn a_poster_has_larger_letters() {
        let layout = PageSize::Paper { width_mm: 841.0, height_mm: 594.0, dpi: 150.0 }.layout();
        assert!(layout.width_pt < 1300.0 && layout.px_per_pt > 150.0 / 96.0);
    }

    #[test]
    fn sizes_out_of_reach_are_refused_in_words() {
        for (size, words) in [
            (PageSize::Pixels { width: 0, height: 0 }, "width is 0 pixels; expected 16 to 20000"),
            (PageSize::Pixels { width: 60_000, height: 60_000 }, "width is 60000 pixels"),
            (
                PageSize::Paper { width_mm: 0.0, height_mm: 120.0, dpi: 300.0 },
                "width is 0; expected millimetres from 20 to 2000",
            ),
            (
                PageSize::Paper { width_mm: 180.0, height_mm: f64::NAN, dpi: 300.0 },
                "height is NaN; expected millimetres",
            ),
            (
                PageSize::Paper { width_mm: 180.0, height_mm: 120.0, dpi: 9600.0 },
                "dpi is 9600; expected dots an inch from 30 to 1200",
            ),
            (
                PageSize::Paper { width_mm: 2000.0, height_mm: 2000.0, dpi: 1200.0 },
                "width is 94488 pixels",
            ),
        ] {
            let told = size.check_png().err().map(|error| error.to_string()).unwrap_or_default();
            assert!(told.contains(words), "{size:?}: {told}");
        }
    }
}
