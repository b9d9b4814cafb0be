//! `fieldstop mosaic`: the fewest panels that cover a target.

use std::path::PathBuf;

use clap::Args;
use fieldstop::covered::covered;
use fieldstop::kit::Kit;
use fieldstop::panel_search::{PanelPlan, fewest_panels, fewest_panels_over};
use fieldstop::range::Range;
use fieldstop::region::Region;
use fieldstop::sexagesimal::{dec_text, ra_text};
use fieldstop::{Field, Frame};
use serde::Serialize;

use super::error::CliError;
use super::table::{self, Side};
use super::{JSON_FORMAT, RaDec, json, lookup, number_in};
use crate::sky::catalogue::{Catalogue, Target};

/// Overlap between panels as the command line has it; the kit has the same as a fraction.
const OVERLAP_PERCENT: Range =
    Range { least: 0.0, most: 90.0, expected: "per cent from 0 to 90, of a panel's side" };

/// The fewest panels that cover a target with a rig
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
    /// Share of the outline in at least one panel; null where the size is unknown.
    covered: Option<f64>,
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
    let (plan, region) = plan(&kit, &arguments.target, &target, &field, overlap)?;
    // Counted point by point, so that it shares nothing with the search or its proof.
    let covered = region.map(|region| covered(&region, target.place, &plan.panels));
    if arguments.json {
        let panel = |frame: &Frame| Panel {
            centre: RaDec::of(frame.centre),
            rotation_deg: frame.rotation.wrapped().deg(),
        };
        let panels = plan.panels.iter().map(panel).collect();
        json(&Mosaic { format: JSON_FORMAT, covered, panels })
    } else {
        Ok(heading(arguments, &plan, covered, overlap) + &panel_table(&plan.panels))
    }
}

/// The shape that the person drew, or the catalogue's.
fn region(kit: &Kit, name: &str, target: &Target) -> Option<Region> {
    let drawn = kit.drawn_outline(name);
    drawn
        .and_then(|drawn| Region::of_polygon(target.place, &drawn.corners()))
        .or_else(|| target.outline.as_ref().and_then(Region::of_outline))
}

/// The fewest panels, and the shape that they cover.
pub(super) fn plan(
    kit: &Kit,
    name: &str,
    target: &Target,
    field: &Field,
    overlap: f64,
) -> Result<(PanelPlan, Option<Region>), CliError> {
    let region = region(kit, name, target);
    let plan = match &region {
        Some(region) if kit.drawn_outline(name).is_some() => {
            fewest_panels_over(target.place, region, field, overlap)?
        }
        _ => fewest_panels(target.place, target.outline.as_ref(), field, overlap)?,
    };
    Ok((plan, region))
}

fn heading(arguments: &Arguments, plan: &PanelPlan, covered: Option<f64>, overlap: f64) -> String {
    let (rig, name) = (&arguments.rig, &arguments.target);
    let Some(covered) = covered else {
        return format!("{rig} on {name}: size unknown, so one panel on its middle\n\n");
    };
    let overlap = overlap * 100.0;
    let panels = plan.panels.len();
    let fewer = match plan.plain - panels {
        0 => String::new(),
        _ => format!(" (a plain grid takes {})", plan.plain),
    };
    if panels == 1 {
        return format!("{rig} on {name}: one panel holds it\n\n");
    }
    format!(
        "{rig} on {name}: {panels} panels with at least {overlap:.0} % overlap{fewer}, \
         {:.2} % of the outline covered\n\n",
        100.0 * covered
    )
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
