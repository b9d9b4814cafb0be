//! `fieldstop frame`: where the corners of a rig's frame lie on the sky.

use std::path::PathBuf;

use clap::Args;
use fieldstop::range::POSITION_ANGLE;
use fieldstop::sexagesimal::{dec_text, ra_text};
use fieldstop::{Angle, Frame};
use serde::Serialize;

use super::error::CliError;
use super::table::{self, Side};
use super::{JSON_FORMAT, RaDec, json, lookup, number_in};
use crate::framing::placed;
use crate::sky::catalogue::Catalogue;

/// The corners of a rig's frame, centred on a target
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
    /// Position angle of the frame's up direction, from north through east; the best one if left out
    #[arg(
        long,
        value_name = "DEG",
        allow_negative_numbers = true,
        value_parser = number_in(POSITION_ANGLE)
    )]
    rotation: Option<f64>,
    /// Print JSON with every number unrounded
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Corners<'a> {
    format: u32,
    rig: &'a str,
    target: &'a str,
    rotation_deg: f64,
    centre: RaDec,
    corners: [RaDec; 4],
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    let catalogue = Catalogue::embedded()?;
    let kit = lookup::kit(&arguments.kit, &catalogue)?;
    let field = lookup::rig(&kit, &arguments.rig)?.field();
    let target = lookup::target(&kit, &catalogue, &arguments.target)?;
    let frame = placed(&target, arguments.rotation.map(Angle::from_deg), &field);
    let rotation_deg = arguments.rotation.unwrap_or_else(|| frame.rotation.deg());
    if arguments.json {
        json(&Corners {
            format: JSON_FORMAT,
            rig: &arguments.rig,
            target: &arguments.target,
            rotation_deg,
            centre: match target.drawn {
                Some(_) => RaDec::of(frame.centre),
                // As the catalogue or the kit has it, not by way of a unit vector.
                None => RaDec { ra_deg: target.ra_deg, dec_deg: target.dec_deg },
            },
            corners: frame.corners().map(RaDec::of),
        })
    } else {
        let heading = format!(
            "{} on {}, up at position angle {rotation_deg:.2}°\n\n",
            arguments.rig, arguments.target
        );
        Ok(heading + &corner_table(&frame))
    }
}

fn corner_table(frame: &Frame) -> String {
    let headings =
        [("", Side::Left), ("right ascension", Side::Right), ("declination", Side::Right)];
    let names = ["top left", "top right", "bottom right", "bottom left", "centre"];
    let places = frame.corners().into_iter().chain([frame.centre]);
    let rows: Vec<Vec<String>> = names
        .into_iter()
        .zip(places)
        .map(|(name, place)| {
            vec![name.to_owned(), ra_text(place.ra(), 1), dec_text(place.dec(), 0)]
        })
        .collect();
    table::lines(&headings, &rows)
}
