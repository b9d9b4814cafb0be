//! `fieldstop mosaic`: the panels that cover a target.

use std::path::PathBuf;

use clap::Args;
use fieldstop::Frame;
use fieldstop::mosaic::panels;
use fieldstop::range::Range;
use fieldstop::sexagesimal::{dec_text, ra_text};
use serde::Serialize;

use super::error::CliError;
use super::table::{self, Side};
use super::{JSON_FORMAT, RaDec, json, lookup, number_in};
use crate::sky::catalogue::{Catalogue, Target};

/// Overlap between panels as the command line has it; the kit has the same as a fraction.
const OVERLAP_PERCENT: Range =
    Range { least: 0.0, most: 90.0, expected: "per cent from 0 to 90, of a panel's side" };

/// The panels that cover a target with a rig
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
    /// Overlap between panels, of a panel's side; the kit's own if left out
    #[arg(
        long,
        value_name = "PERCENT",
        allow_negative_numbers = true,
        value_parser = number_in(OVERLAP_PERCENT)
    )]
    overlap: Option<f64>,
    /// Print JSON with every number unrounded
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Mosaic {
    format: u32,
    panels: Vec<Panel>,
}

#[derive(Serialize)]
struct Panel {
    #[serde(flatten)]
    centre: RaDec,
    rotation_deg: f64,
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    let catalogue = Catalogue::embedded()?;
    let kit = lookup::kit(&arguments.kit, &catalogue)?;
    let field = lookup::rig(&kit, &arguments.rig)?.field();
    let target = lookup::target(&kit, &catalogue, &arguments.target)?;
    let overlap = arguments.overlap.map_or(kit.limits.overlap, |percent| percent / 100.0);
    let frames = panels(target.place, target.outline.as_ref(), &field, overlap)?;
    if arguments.json {
        let panel = |frame: &Frame| Panel {
            centre: RaDec::of(frame.centre),
            rotation_deg: frame.rotation.wrapped().deg(),
        };
        json(&Mosaic { format: JSON_FORMAT, panels: frames.iter().map(panel).collect() })
    } else {
        Ok(heading(arguments, &target, frames.len(), overlap) + &panel_table(&frames))
    }
}

fn heading(arguments: &Arguments, target: &Target, panels: usize, overlap: f64) -> String {
    let (rig, name) = (&arguments.rig, &arguments.target);
    match (target.outline, panels) {
        (None, _) => format!("{rig} on {name}: size unknown, so one panel on its middle\n\n"),
        (Some(_), 1) => format!("{rig} on {name}: one panel holds it\n\n"),
        (Some(_), _) => {
            format!("{rig} on {name}: {panels} panels with {:.0} % overlap\n\n", overlap * 100.0)
        }
    }
}

fn panel_table(frames: &[Frame]) -> String {
    let headings = [
        ("panel", Side::Right),
        ("right ascension", Side::Right),
        ("declination", Side::Right),
        ("up at position angle", Side::Right),
    ];
    let row = |(index, frame): (usize, &Frame)| {
        vec![
            (index + 1).to_string(),
            ra_text(frame.centre.ra(), 1),
            dec_text(frame.centre.dec(), 0),
            format!("{:.2}°", frame.rotation.wrapped().deg()),
        ]
    };
    table::lines(&headings, &frames.iter().enumerate().map(row).collect::<Vec<_>>())
}
