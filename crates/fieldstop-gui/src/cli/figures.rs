//! `fieldstop figures`: every rig's numbers, and how each target of the wish list fits each rig.

use std::path::PathBuf;

use clap::Args;
use fieldstop::Field;
use fieldstop::fit::{Fit, Verdict};
use fieldstop::kit::{Kit, Wish};
use fieldstop::rig::ResolvedRig;
use fieldstop::shape::fit_shape;
use serde::Serialize;

use super::error::CliError;
use super::table::{self, Side};
use super::{JSON_FORMAT, json, lookup};
use crate::panel_count::{self, PanelCount};
use crate::sky::catalogue::{Catalogue, Target};

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
    rigs: Vec<RigFigures<'a>>,
    fits: Vec<TargetFit<'a>>,
}

#[derive(Serialize)]
struct RigFigures<'a> {
    name: &'a str,
    focal_length_mm: f64,
    focal_ratio: f64,
    sensor_width_mm: f64,
    sensor_height_mm: f64,
    field_width_deg: f64,
    field_height_deg: f64,
    field_diagonal_deg: f64,
    field_area_deg2: f64,
    pixel_scale_arcsec: f64,
}

#[derive(Serialize)]
struct TargetFit<'a> {
    rig: &'a str,
    target: &'a str,
    fill: Option<f64>,
    best_rotation_deg: Option<f64>,
    verdict: &'static str,
    /// Of the plain grid.
    panels_across: Option<u32>,
    panels_down: Option<u32>,
    /// The fewest, for people.
    #[serde(skip)]
    panels: PanelCount,
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    let catalogue = Catalogue::embedded()?;
    let kit = lookup::kit(&arguments.kit, &catalogue)?;
    // Programs get the plain grid, which needs no search; the fewest are `mosaic`'s to give.
    let figures = figures(&kit, &catalogue, !arguments.json)?;
    if arguments.json { json(&figures) } else { Ok(for_people(&kit, &figures)) }
}

fn figures<'a>(kit: &'a Kit, catalogue: &Catalogue, search: bool) -> Result<Figures<'a>, CliError> {
    let rigs: Vec<ResolvedRig<'a>> =
        (0..kit.rigs.len()).filter_map(|rig| kit.resolve(rig)).collect();
    let mut fits = Vec::new();
    for rig in &rigs {
        for wish in &kit.wish_list {
            let target = lookup::target(kit, catalogue, wish.name())?;
            let limits = &kit.limits;
            let (shape, field) = (target.shape(), rig.field());
            let fit = fit_shape(shape.as_ref(), &field, limits.whole_fill, limits.overlap);
            let mut row = TargetFit::of(&rig.rig.name, wish, fit);
            if search {
                row.panels = fewest_panels(&target, &field, limits.overlap, &fit);
            }
            fits.push(row);
        }
    }
    Ok(Figures { format: JSON_FORMAT, rigs: rigs.iter().map(RigFigures::of).collect(), fits })
}

impl<'a> RigFigures<'a> {
    fn of(rig: &ResolvedRig<'a>) -> Self {
        let (sensor, field) = (rig.sensor(), rig.field());
        Self {
            name: &rig.rig.name,
            focal_length_mm: rig.focal_length_mm(),
            focal_ratio: rig.focal_ratio(),
            sensor_width_mm: sensor.width_mm,
            sensor_height_mm: sensor.height_mm,
            field_width_deg: field.width().deg(),
            field_height_deg: field.height().deg(),
            field_diagonal_deg: field.diagonal().deg(),
            field_area_deg2: field.area_deg2(),
            pixel_scale_arcsec: rig.pixel_scale().arcsec(),
        }
    }
}

impl<'a> TargetFit<'a> {
    fn of(rig: &'a str, wish: &'a Wish, fit: Fit) -> Self {
        let size_known = fit.verdict != Verdict::SizeUnknown;
        Self {
            rig,
            target: wish.name(),
            fill: fit.fill,
            best_rotation_deg: size_known.then(|| fit.best_rotation.deg()),
            verdict: fit.verdict.word(),
            panels_across: fit.panels.map(|(across, _)| across),
            panels_down: fit.panels.map(|(_, down)| down),
            panels: PanelCount::Unknown,
        }
    }
}

/// As `mosaic` gives it; the plain grid's number where that is too many to be searched.
fn fewest_panels(target: &Target, field: &Field, overlap: f64, fit: &Fit) -> PanelCount {
    match PanelCount::of_fit(fit, target.shape().as_ref()) {
        most @ PanelCount::AtMost(_) => {
            panel_count::fewest(target, field, overlap).as_ref().map_or(most, PanelCount::from)
        }
        count => count,
    }
}

fn for_people(kit: &Kit, figures: &Figures<'_>) -> String {
    let mut text = format!("{}\n\n{}", kit.name, rig_table(&figures.rigs));
    for rig in &figures.rigs {
        let fits: Vec<&TargetFit<'_>> =
            figures.fits.iter().filter(|fit| fit.rig == rig.name).collect();
        if !fits.is_empty() {
            text += &format!("\n{}\n{}", rig.name, fit_table(&fits));
        }
    }
    text
}

fn rig_table(rigs: &[RigFigures<'_>]) -> String {
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
    let row = |rig: &RigFigures<'_>| {
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

fn fit_table(fits: &[&TargetFit<'_>]) -> String {
    let headings = [
        ("  target", Side::Left),
        ("verdict", Side::Left),
        ("fill", Side::Right),
        ("best rotation", Side::Right),
        ("panels", Side::Right),
    ];
    let or_dash = |text: Option<String>| text.unwrap_or_else(|| "-".to_owned());
    let row = |fit: &&TargetFit<'_>| {
        vec![
            format!("  {}", fit.target),
            fit.verdict.to_owned(),
            or_dash(fit.fill.map(|fill| format!("{fill:.2}"))),
            or_dash(fit.best_rotation_deg.map(|rotation| format!("{rotation:.0}°"))),
            or_dash(match fit.panels {
                PanelCount::Unknown => None,
                PanelCount::Exactly(panels) => Some(panels.to_string()),
                PanelCount::AtMost(panels) => Some(format!("at most {panels}")),
            }),
        ]
    };
    table::lines(&headings, &fits.iter().map(row).collect::<Vec<_>>())
}
