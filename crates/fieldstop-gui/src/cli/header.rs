//! `fieldstop header`: a FITS header that says where on the sky a frame lies.

use std::path::PathBuf;

use clap::Args;
use fieldstop::Frame;
use fieldstop::fits_header::fits_header;
use fieldstop::kit::Kit;
use fieldstop::rig::ResolvedRig;
use fieldstop::world_coordinates::WorldCoordinates;

use super::error::CliError;
use super::lookup;
use crate::files::replace_file;
use crate::files::suffix::{self, SuffixError};
use crate::framing::{aim_on, aimed};
use crate::panel_count;
use crate::sky::catalogue::{Catalogue, Target};

/// What the name of a header may end in: what headers and FITS files are known by.
const ENDINGS: [&str; 4] = ["hdr", "wcs", "fits", "fit"];

/// Write a FITS header (TAN) with the place on the sky of a rig's frame on a target
///
/// Cards of 80 characters without line breaks, END, and blanks to a multiple of 2880 bytes: what
/// FITS itself has, and what FITS libraries read as a header alone.
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The kit file
    kit: PathBuf,
    /// The rig's name, as the kit has it
    #[arg(long, value_name = "NAME")]
    rig: String,
    /// The target's name, as the wish list has it, or a designation or common name
    #[arg(long, value_name = "NAME")]
    target: String,
    /// A panel of the mosaic, by its number in `fieldstop mosaic`; the frame alone if left out
    #[arg(long, value_name = "N")]
    panel: Option<usize>,
    /// The header file to write, which ends in .hdr, .wcs, .fits or .fit
    #[arg(long, value_name = "FILE.hdr")]
    out: PathBuf,
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    // Refused before the work, not after it.
    replace_file::check(&arguments.out)?;
    lookup::not_over_kit(&arguments.kit, &arguments.out)?;
    if !ENDINGS.contains(&suffix::suffix(&arguments.out).as_str()) {
        return Err(SuffixError::of(&arguments.out, ".hdr, .wcs, .fits or .fit").into());
    }
    let catalogue = Catalogue::embedded()?;
    let kit = lookup::kit(&arguments.kit, &catalogue)?;
    let rig = lookup::rig(&kit, &arguments.rig)?;
    let target = lookup::target(&kit, &catalogue, &arguments.target)?;
    let frame = frame(arguments, &kit, &rig, &target)?;
    let (width, height) = (rig.camera.width_px, rig.camera.height_px);
    let header = fits_header(
        &WorldCoordinates::of_frame(&frame, width, height),
        &target.name,
        &remarks(arguments, &rig),
    );
    replace_file::replace(&arguments.out, header.as_bytes())?;
    let out = arguments.out.display();
    Ok(format!("{out}: {width} x {height} pixels, {} bytes\n", header.len()))
}

/// The frame as it is aimed in the kit, or one of the mosaic's.
fn frame(
    arguments: &Arguments,
    kit: &Kit,
    rig: &ResolvedRig<'_>,
    target: &Target,
) -> Result<Frame, CliError> {
    let Some(panel) = arguments.panel else {
        return Ok(aimed(target, aim_on(kit, &rig.rig.name, target), rig.field()));
    };
    let overlap = kit.limits.overlap;
    let plan = panel_count::fewest(target, &rig.field(), overlap)?;
    let panels = plan.panels.len();
    let chosen = panel.checked_sub(1).and_then(|place| plan.panels.get(place).copied());
    chosen.ok_or(CliError::NoPanel { panel, panels })
}

/// That it is a plan, and of what.
fn remarks(arguments: &Arguments, rig: &ResolvedRig<'_>) -> Vec<String> {
    let panel = arguments.panel.map(|panel| format!("panel {panel} of ")).unwrap_or_default();
    vec![
        format!(
            "A planned frame, not a photograph: {panel}{} with rig {}, effective focal length {:.1} \
             mm, pixels of {} micrometres.",
            arguments.target,
            rig.rig.name,
            rig.focal_length_mm(),
            rig.camera.pixel_um
        ),
        format!("Written by Fieldstop {}.", env!("CARGO_PKG_VERSION")),
    ]
}
