//! `fieldstop sketch`: the Frame view's picture as a PNG file.

use std::path::PathBuf;

use clap::Args;
use clap::builder::RangedI64ValueParser;
use fieldstop::Angle;
use fieldstop::range::Range;

use super::error::CliError;
use super::{lookup, number_in};
use crate::files::replace_file;
use crate::own_picture;
use crate::sketch::{SIDE_PX, SketchOptions, sketch};
use crate::sky::Sky;

/// What the view reaches: 5 arcminutes to 90 degrees.
const SPAN_DEG: Range =
    Range { least: 5.0 / 60.0, most: 90.0, expected: "degrees from 0.0834 (5 arcminutes) to 90" };

/// Draw the rigs' frames on a target, as the Frame view does, into a PNG file
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The kit file
    kit: PathBuf,
    /// The target's name, as the wish list has it, or a designation or common name
    #[arg(long, value_name = "NAME")]
    target: String,
    /// The PNG file to write
    #[arg(long, value_name = "FILE.png")]
    out: PathBuf,
    /// Pixels across, 16 to 20000
    #[arg(long, default_value_t = 2400, allow_negative_numbers = true, value_parser = side_px())]
    width: u32,
    /// Pixels down, 16 to 20000
    #[arg(long, default_value_t = 1600, allow_negative_numbers = true, value_parser = side_px())]
    height: u32,
    /// A rig to draw; may be given several times; every shown rig if left out
    #[arg(long = "rig", value_name = "NAME")]
    rigs: Vec<String>,
    /// Degrees of sky across the picture; wide enough for the target and every frame if left out
    #[arg(
        long,
        value_name = "DEG",
        allow_negative_numbers = true,
        value_parser = number_in(SPAN_DEG)
    )]
    span: Option<f64>,
}

/// Reads a side of the picture.
fn side_px() -> RangedI64ValueParser<u32> {
    clap::value_parser!(u32).range(i64::from(*SIDE_PX.start())..=i64::from(*SIDE_PX.end()))
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    // Refused before the work, not after it.
    replace_file::check(&arguments.out)?;
    lookup::not_over_kit(&arguments.kit, &arguments.out)?;
    let sky = Sky::embedded()?;
    let kit = lookup::kit(&arguments.kit, &sky.catalogue)?;
    lookup::target(&kit, &sky.catalogue, &arguments.target)?;
    for name in &arguments.rigs {
        lookup::rig(&kit, name)?;
    }
    let folder = arguments.kit.parent();
    let (picture, left_out) = match own_picture::of_kit(&kit, folder, &mut |_share| true) {
        Ok(picture) => (picture, String::new()),
        Err(error) => (None, format!("The picture under the frames is left out: {error}.\n")),
    };
    let options = SketchOptions {
        target: arguments.target.clone(),
        rigs: arguments.rigs.clone(),
        width_px: arguments.width,
        height_px: arguments.height,
        span: arguments.span.map(Angle::from_deg),
        picture,
    };
    let png = sketch(&kit, &sky, &options, &mut |_share| true)?;
    replace_file::replace(&arguments.out, &png)?;
    let (width, height) = (arguments.width, arguments.height);
    Ok(format!("{left_out}{}: {width} x {height} pixels\n", arguments.out.display()))
}
