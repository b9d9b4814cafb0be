//! What every subcommand that draws a page asks of it: size, ground, night, what is left out.

use std::path::{Path, PathBuf};

use clap::Args;
use jiff::civil::Date;

use super::error::CliError;
use super::{lookup, number_in};
use crate::files::replace_file;
use crate::nights::date;
use crate::sketch::size::{DPI, SIDE_MM};
use crate::sketch::{Format, PageGround, PageSize, PageStyle, Part, SIDE_PX};

/// Where a page goes, and how it looks.
#[derive(Args, Debug)]
pub(super) struct PageArguments {
    /// The file to write, a PNG or an SVG by the end of its name
    #[arg(long, value_name = "FILE.png|FILE.svg")]
    out: PathBuf,
    /// Pixels across, 16 to 20000
    #[arg(long, default_value_t = 2400, allow_negative_numbers = true, value_parser = side_px)]
    width: u32,
    /// Pixels down, 16 to 20000
    #[arg(long, default_value_t = 1600, allow_negative_numbers = true, value_parser = side_px)]
    height: u32,
    /// Size on paper instead of in pixels, such as 180x120 or 210x297, 20 to 2000 mm a side
    #[arg(long, value_name = "WxH", conflicts_with_all = ["width", "height"], value_parser = mm)]
    mm: Option<(f64, f64)>,
    /// Dots an inch of a page on paper, 30 to 1200
    #[arg(
        long,
        default_value_t = 300.0,
        requires = "mm",
        allow_negative_numbers = true,
        value_parser = number_in(DPI)
    )]
    dpi: f64,
    /// A dark picture for a screen, or one for white paper that is legible in grey
    #[arg(long, value_enum, default_value_t = PageGround::Dark)]
    ground: PageGround,
    /// The evening of a night whose dark hours, Moon and best hours are printed
    #[arg(long, value_name = "YYYY-MM-DD", allow_hyphen_values = true, value_parser = date::parse)]
    night: Option<Date>,
    /// What is left out; several with commas between
    #[arg(long, value_enum, value_delimiter = ',')]
    without: Vec<Part>,
}

impl PageArguments {
    /// How the page looks.
    pub(super) fn style(&self) -> PageStyle {
        let size = match self.mm {
            Some((width_mm, height_mm)) => PageSize::Paper { width_mm, height_mm, dpi: self.dpi },
            None => PageSize::Pixels { width: self.width, height: self.height },
        };
        PageStyle {
            size,
            ground: self.ground,
            without: self.without.iter().copied().collect(),
            night: self.night,
        }
    }

    /// The kind of file; refused before the work if it could not be written.
    pub(super) fn format(&self, kit: &Path) -> Result<Format, CliError> {
        replace_file::check(&self.out)?;
        lookup::not_over_kit(kit, &self.out)?;
        Ok(Format::of(&self.out)?)
    }

    /// Writes the page, and says so.
    pub(super) fn write(&self, contents: &[u8]) -> Result<String, CliError> {
        replace_file::replace(&self.out, contents)?;
        Ok(format!("{}: {}\n", self.out.display(), self.style().size.words()))
    }
}

/// Reads a side of the picture.
fn side_px(text: &str) -> Result<u32, String> {
    let side = text.trim().parse().ok().filter(|side| SIDE_PX.contains(side));
    side.ok_or_else(|| {
        format!("expected whole pixels from {} to {}", SIDE_PX.start(), SIDE_PX.end())
    })
}

/// Reads `180x120`.
fn mm(text: &str) -> Result<(f64, f64), String> {
    let expected =
        || format!("expected width x height such as 180x120, {} a side", SIDE_MM.expected);
    let (width, height) = text.split_once(['x', '×']).ok_or_else(expected)?;
    let side = |text: &str| {
        let side = text.trim().parse::<f64>().ok().filter(|mm| SIDE_MM.contains(*mm));
        side.ok_or_else(expected)
    };
    Ok((side(width)?, side(height)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_on_paper_is_read_as_it_is_written() {
        assert_eq!(mm("180x120"), Ok((180.0, 120.0)));
        assert_eq!(mm("210 × 297"), Ok((210.0, 297.0)));
        for wrong in ["180", "0x0", "180x", "180xNaN", "60000x60000", "x"] {
            assert!(mm(wrong).is_err_and(|why| why.contains("180x120")), "{wrong}");
        }
    }
}
