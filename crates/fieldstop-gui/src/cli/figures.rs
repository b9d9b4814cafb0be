//! `fieldstop figures`: every rig's numbers, and how each target of the wish list fits each rig.

use std::path::PathBuf;

use clap::Args;
use fieldstop::kit::Kit;
use serde::Serialize;

use super::error::CliError;
use super::table::{self, Side};
use super::{JSON_FORMAT, json, lookup};
use crate::panel_count::{self, PanelCount};
use crate::sky::catalogue::Catalogue;
use crate::tables::fits::FitRow;
use crate::tables::rigs::{RigRow, resolved};
use crate::words;

/// The figures of every rig, and how each target of the wish list fits it
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The kit file
    kit: PathBuf,
    /// Print JSON with every number unrounded
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Figures<'a> {
    format: u32,
    rigs: Vec<RigRow<'a>>,
    fits: Vec<FitRow<'a>>,
    /// The fewest, one a fit, for people; programs get the plain grid, which needs no search.
    #[serde(skip)]
    panels: Vec<PanelCount>,
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    let catalogue = Catalogue::embedded()?;
    let kit = lookup::kit(&arguments.kit, &catalogue)?;
    let figures = figures(&kit, &catalogue, !arguments.json)?;
    if arguments.json { json(&figures) } else { Ok(for_people(&kit, &figures)) }
}

fn figures<'a>(kit: &'a Kit, catalogue: &Catalogue, search: bool) -> Result<Figures<'a>, CliError> {
    let rigs = resolved(kit);
    let (mut fits, mut panels) = (Vec::new(), Vec::new());
    for rig in &rigs {
        for wish in &kit.wish_list {
            let target = lookup::target(kit, catalogue, wish.name())?;
            let row = FitRow::of(kit, rig, wish, &target);
            if search {
                let overlap = kit.limits.overlap;
                panels.push(panel_count::searched(&row.fit, &target, &rig.field(), overlap));
            }
            fits.push(row);
        }
    }
    let rigs = rigs.iter().map(RigRow::of).collect();
    Ok(Figures { format: JSON_FORMAT, rigs, fits, panels })
}

fn for_people(kit: &Kit, figures: &Figures<'_>) -> String {
    let mut text = format!("{}\n\n{}", kit.name, rig_table(&figures.rigs));
    for rig in &figures.rigs {
        let fits = figures.fits.iter().zip(figures.panels.iter().copied());
        let fits: Vec<_> = fits.filter(|(fit, _)| fit.rig == rig.name).collect();
        if !fits.is_empty() {
            text += &format!("\n{}\n{}", rig.name, fit_table(&fits));
        }
    }
    text
}

fn rig_table(rigs: &[RigRow<'_>]) -> String {
    let headings = [
        ("rig", Side::Left),
        ("focal length", Side::Right),
        ("ratio", Side::Right),
        ("sensor", Side::Right),
        ("field", Side::Right),
        ("diagonal", Side::Right),
        ("area", Side::Right),
        ("pixel scale", Side::Right),
    ];
    let row = |rig: &RigRow<'_>| {
        vec![
            rig.name.to_owned(),
            format!("{:.0} mm", rig.focal_length_mm),
            format!("f/{:.1}", rig.focal_ratio),
            format!("{:.1} x {:.1} mm", rig.sensor_width_mm, rig.sensor_height_mm),
            format!("{:.2} x {:.2}°", rig.field_width_deg, rig.field_height_deg),
            format!("{:.2}°", rig.field_diagonal_deg),
            format!("{:.2} deg²", rig.field_area_deg2),
            format!("{:.2}″/px", rig.pixel_scale_arcsec),
        ]
    };
    table::lines(&headings, &rigs.iter().map(row).collect::<Vec<_>>())
}

fn fit_table(fits: &[(&FitRow<'_>, PanelCount)]) -> String {
    let headings = [
        ("  target", Side::Left),
        ("verdict", Side::Left),
        ("fill", Side::Right),
        ("best rotation", Side::Right),
        ("panels", Side::Right),
    ];
    let or_dash = |text: Option<String>| text.unwrap_or_else(|| "-".to_owned());
    let row = |(fit, panels): &(&FitRow<'_>, PanelCount)| {
        vec![
            format!("  {}", fit.target),
            fit.verdict.to_owned(),
            or_dash(fit.fill.map(words::fill)),
            or_dash(fit.best_rotation_deg.map(|rotation| format!("{rotation:.0}°"))),
            or_dash(match *panels {
                PanelCount::Unknown => None,
                PanelCount::Exactly(panels) => Some(panels.to_string()),
                PanelCount::AtMost(panels) => Some(format!("at most {panels}")),
            }),
        ]
    };
    table::lines(&headings, &fits.iter().map(row).collect::<Vec<_>>())
}
