//! `fieldstop choose`: which focal lengths and which rigs serve the wish list, and why.

use std::path::PathBuf;

use clap::Args;
use fieldstop::choice::{Choice, RigChoice, TargetRange};
use fieldstop::findings::{FigureValue, Finding};
use fieldstop::kit::Kit;
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

use super::error::CliError;
use super::table::{self, Side};
use super::{JSON_FORMAT, json, lookup};
use crate::nights::SiteYear;
use crate::sky::catalogue::Catalogue;
use crate::tables::USUAL_YEAR;
use crate::tables::choose::{CoverageRow, RangeRow, choice_of, coverage_rows, dominated_by};
use crate::words;

/// Which focal lengths and which rigs serve the wish list, and why
///
/// Useful focal lengths and coverage are for the camera, aperture and guiding of the first rig.
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The kit file
    kit: PathBuf,
    /// Print JSON with every number unrounded
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    ranges: Vec<RangeRow<'a>>,
    coverage: Vec<CoverageRow>,
    rigs: Vec<Rig<'a>>,
    recommendation: Option<Advice<'a>>,
    findings: Vec<Said<'a>>,
}

#[derive(Serialize)]
struct Advice<'a> {
    rig: &'a str,
    within_limits: bool,
    findings: Vec<Said<'a>>,
}

#[derive(Serialize)]
struct Rig<'a> {
    name: &'a str,
    whole: u32,
    tight: u32,
    spills: u32,
    small: u32,
    dominated_by: Vec<&'a str>,
}

#[derive(Serialize)]
struct Said<'a> {
    text: &'a str,
    #[serde(serialize_with = "as_map")]
    figures: &'a [(String, FigureValue)],
}

impl<'a> Said<'a> {
    fn of(finding: &'a Finding) -> Self {
        Self { text: &finding.text, figures: &finding.figures }
    }
}

/// Figures by their keys, in the order of the sentence.
fn as_map<S: Serializer>(
    figures: &&[(String, FigureValue)],
    serializer: S,
) -> Result<S::Ok, S::Error> {
    let mut map = serializer.serialize_map(Some(figures.len()))?;
    for (key, value) in *figures {
        match value {
            FigureValue::Number(number) => map.serialize_entry(key, number)?,
            FigureValue::Word(word) => map.serialize_entry(key, word)?,
        }
    }
    map.end()
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    let catalogue = Catalogue::embedded()?;
    let kit = lookup::kit(&arguments.kit, &catalogue)?;
    let year = SiteYear::work_out(&kit.site, USUAL_YEAR, &mut |_| true)
        .ok_or(CliError::NoYear { year: USUAL_YEAR })?;
    for wish in &kit.wish_list {
        lookup::target(&kit, &catalogue, wish.name())?;
    }
    let choice = choice_of(&kit, &catalogue, 0, &year);
    if arguments.json { json(&answer(&choice)) } else { Ok(for_people(&kit, &choice)) }
}

fn answer(choice: &Choice) -> Answer<'_> {
    Answer {
        format: JSON_FORMAT,
        ranges: choice.ranges.iter().map(RangeRow::of).collect(),
        coverage: coverage_rows(choice),
        rigs: choice.rigs.iter().map(|rig| Rig::of(rig, choice)).collect(),
        recommendation: choice.recommendation.as_ref().and_then(|advice| {
            Some(Advice {
                rig: &choice.rigs.get(advice.place)?.name,
                within_limits: advice.within_limits,
                findings: advice.findings.iter().map(Said::of).collect(),
            })
        }),
        findings: choice.findings.iter().map(Said::of).collect(),
    }
}

impl<'a> Rig<'a> {
    fn of(rig: &'a RigChoice, choice: &'a Choice) -> Self {
        Self {
            name: &rig.name,
            whole: rig.whole,
            tight: rig.tight,
            spills: rig.spills,
            small: rig.small,
            dominated_by: dominated_by(rig, choice),
        }
    }
}

fn for_people(kit: &Kit, choice: &Choice) -> String {
    let mut text = format!("{}\n", kit.name);
    let recommended = choice.recommendation.iter().flat_map(|advice| &advice.findings);
    for finding in recommended.chain(&choice.findings) {
        text += &format!("\n{}\n", finding.text);
    }
    if let Some(rig) = kit.rigs.first() {
        text += &format!("\nUseful focal lengths with the camera and aperture of {}\n", rig.name);
    }
    text + &range_table(&choice.ranges) + "\n" + &rig_table(choice)
}

fn range_table(ranges: &[TargetRange]) -> String {
    let headings = [
        ("target", Side::Left),
        ("shows its detail from", Side::Right),
        ("whole to", Side::Right),
        ("usable hours a year", Side::Right),
        ("stars", Side::Right),
    ];
    let or_dash = |words: Option<String>| words.unwrap_or_else(|| "-".to_owned());
    let row = |range: &TargetRange| {
        vec![
            range.target.clone(),
            or_dash(range.range.and_then(|range| range.shortest_mm).map(words::detail_from)),
            or_dash(range.range.map(|range| words::whole_to(range.longest_mm))),
            format!("{:.0} h", range.hours_in_year),
            range.stars.to_string(),
        ]
    };
    table::lines(&headings, &ranges.iter().map(row).collect::<Vec<_>>())
}

fn rig_table(choice: &Choice) -> String {
    let headings = [
        ("rig", Side::Left),
        ("whole", Side::Right),
        ("tight", Side::Right),
        ("spills", Side::Right),
        ("small", Side::Right),
        ("served", Side::Right),
        ("beaten by", Side::Left),
    ];
    let row = |rig: &RigChoice| {
        let by = dominated_by(rig, choice);
        vec![
            rig.name.clone(),
            rig.whole.to_string(),
            rig.tight.to_string(),
            rig.spills.to_string(),
            rig.small.to_string(),
            rig.served.count.to_string(),
            if by.is_empty() { "-".to_owned() } else { by.join(", ") },
        ]
    };
    table::lines(&headings, &choice.rigs.iter().map(row).collect::<Vec<_>>())
}
