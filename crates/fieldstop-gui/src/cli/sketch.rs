//! `fieldstop sketch`: the Frame view's picture as a PNG or SVG file.

use std::path::PathBuf;

use clap::Args;
use fieldstop::Angle;
use fieldstop::range::Range;

use super::error::CliError;
use super::page_arguments::PageArguments;
use super::{complain, lookup, number_in};
use crate::own_picture;
use crate::sketch::{SketchOptions, sketch};
use crate::sky::Sky;

/// What the view reaches: 5 arcminutes to 90 degrees.
const SPAN_DEG: Range =
    Range { least: 5.0 / 60.0, most: 90.0, expected: "degrees from 0.0834 (5 arcminutes) to 90" };

/// Draw the rigs' frames on a target, as the Frame view does, into a PNG or SVG file
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The kit file
    kit: PathBuf,
    /// The target's name, as the wish list has it, or a designation or common name
    #[arg(long, value_name = "NAME")]
    target: String,
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
    #[command(flatten)]
    page: PageArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    let format = arguments.page.format(&arguments.kit)?;
    let sky = Sky::embedded()?;
    let kit = lookup::kit(&arguments.kit, &sky.catalogue)?;
    lookup::target(&kit, &sky.catalogue, &arguments.target)?;
    for name in &arguments.rigs {
        lookup::rig(&kit, name)?;
    }
    let folder = arguments.kit.parent();
    // The frames are what was asked for: they are drawn without it, and a script's author is told.
    let picture = own_picture::of_kit(&kit, folder, &mut |_share| true).unwrap_or_else(|error| {
        let file = kit.background.as_ref().map_or("", |picture| picture.path.as_str());
        complain(&format!(
            "fieldstop: the picture under the frames, {file}, is left out: {error}\n"
        ));
        None
    });
    let options = SketchOptions {
        target: arguments.target.clone(),
        rigs: arguments.rigs.clone(),
        span: arguments.span.map(Angle::from_deg),
        picture,
        style: arguments.page.style(),
    };
    let file = sketch(&kit, &sky, &options, format, &mut |_share| true)?;
    arguments.page.write(&file)
}
