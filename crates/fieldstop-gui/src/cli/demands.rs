//! `fieldstop demands`: what every rig asks of seeing, mount, back, purse and patience.

use std::path::PathBuf;

use clap::Args;
use fieldstop::demands::{Figure, Value};
use fieldstop::kit::Kit;
use serde::Serialize;
use serde_json::{Map, Value as Json};

use super::error::CliError;
use super::table::{self, Side};
use super::{JSON_FORMAT, json, lookup};
use crate::demand_words;
use crate::sky::catalogue::{Catalogue, Target};
use crate::state::demand_target::Standing;
use crate::tables::demands::{RigDemands, rig_demands, standing, value};
use crate::view::demands::groups::GROUPS;
use crate::words;

/// What every rig demands: resolution, sampling, tracking, load, exposure, cost
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The kit file
    kit: PathBuf,
    /// The target's name, as the wish list has it, or a designation or common name; the figures are
    /// for its highest place in the sky, for the zenith if left out
    #[arg(long, value_name = "NAME")]
    target: Option<String>,
    /// Print JSON with every number unrounded
    #[arg(long)]
    json: bool,
}

/// The figures that the JSON has for each rig.
const KEYS: [Figure; 23] = [
    Figure::FocalLength,
    Figure::FocalRatio,
    Figure::TNumber,
    Figure::Rayleigh,
    Figure::Dawes,
    Figure::DeliveredFwhm,
    Figure::PixelsPerFwhm,
    Figure::Sampling,
    Figure::Untracked,
    Figure::Unguided,
    Figure::UnguidedHalfFwhm,
    Figure::GuideRmsNeeded,
    Figure::MassOnMount,
    Figure::PayloadUsed,
    Figure::ImageCircleOk,
    Figure::CornerComa,
    Figure::DepthOfFocus,
    Figure::SkyRate,
    Figure::TargetRate,
    Figure::SubExposure,
    Figure::HoursPerPixel,
    Figure::HoursPerArcsec2,
    Figure::Price,
];

#[derive(Serialize)]
struct Answer {
    format: u32,
    rigs: Vec<Map<String, Json>>,
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    let catalogue = Catalogue::embedded()?;
    let kit = lookup::kit(&arguments.kit, &catalogue)?;
    let target = match &arguments.target {
        Some(name) => Some(lookup::target(&kit, &catalogue, name)?.into_owned()),
        None => None,
    };
    let standing = standing(&kit, target.as_ref());
    let rigs = rig_demands(&kit, target.as_ref(), standing);
    if !arguments.json {
        return Ok(for_people(&kit, target.as_ref(), standing, &rigs));
    }
    json(&Answer {
        format: JSON_FORMAT,
        rigs: rigs.iter().map(|rig| rig_json(rig, standing)).collect(),
    })
}

fn rig_json(rig: &RigDemands<'_>, standing: Standing) -> Map<String, Json> {
    let mut object = Map::new();
    let mut why = Map::new();
    object.insert("name".to_owned(), rig.name.into());
    for figure in KEYS {
        let written = match value(rig, figure, standing) {
            Ok(Value::Number(number)) => number_json(number, figure, &mut why),
            Ok(Value::Word(word)) => word.into(),
            Ok(Value::Flag(flag)) => flag.into(),
            Err(reason) => {
                why.insert(figure.key().to_owned(), reason.into());
                Json::Null
            }
        };
        object.insert(figure.key().to_owned(), written);
    }
    object.insert("why".to_owned(), Json::Object(why));
    object
}

/// A number, or null with a reason for one that JSON cannot hold.
fn number_json(number: f64, figure: Figure, why: &mut Map<String, Json>) -> Json {
    serde_json::Number::from_f64(number).map_or_else(
        || {
            why.insert(figure.key().to_owned(), "the inputs lead to no finite number".into());
            Json::Null
        },
        Json::Number,
    )
}

fn for_people(
    kit: &Kit,
    target: Option<&Target>,
    standing: Standing,
    rigs: &[RigDemands<'_>],
) -> String {
    let mut text = format!("{}\n{}\n", kit.name, place_words(target, standing));
    let mut headings = vec![("", Side::Left)];
    headings.extend(rigs.iter().map(|rig| (rig.name, Side::Right)));
    let mut reasons: Vec<String> = Vec::new();
    for group in &GROUPS {
        let rows: Vec<Vec<String>> = group
            .figures
            .iter()
            .map(|&figure| {
                let mut row = vec![demand_words::title(figure)];
                row.extend(rigs.iter().map(|rig| cell(kit, rig, figure, standing, &mut reasons)));
                row
            })
            .collect();
        text +=
            &format!("\n{}: {}\n{}", group.name, group.question, table::lines(&headings, &rows));
    }
    if !reasons.is_empty() {
        text += "\n-: ";
        text += &reasons.join("; ");
        text += ".\n";
    }
    text + "\nEstimates for planning. A maker's rated limits come first.\n"
}

fn place_words(target: Option<&Target>, standing: Standing) -> String {
    let name = target.map_or("", |target| target.name.as_str());
    match standing {
        Standing::Zenith => "At the zenith; hours and detail need a target.".to_owned(),
        Standing::Highest { altitude, airmass, .. } => format!(
            "{name} at its highest, {:.0}° up, airmass {}.",
            altitude.deg(),
            words::three_digits(airmass)
        ),
        Standing::NeverRises => format!("{name} never rises at this site."),
    }
}

/// A figure with its mark in words; a dash and a reason below the table where there is none.
fn cell(
    kit: &Kit,
    rig: &RigDemands<'_>,
    figure: Figure,
    standing: Standing,
    reasons: &mut Vec<String>,
) -> String {
    let text = value(rig, figure, standing)
        .and_then(|_| demand_words::cell(&rig.demands, figure, &kit.limits.currency));
    match text {
        Ok(text) => match rig.demands.grade(figure, &kit.limits) {
            Some(graded) => format!("{text}, {}", graded.grade.label()),
            None => text,
        },
        Err(reason) => {
            if !reasons.contains(&reason) {
                reasons.push(reason);
            }
            "-".to_owned()
        }
    }
}
