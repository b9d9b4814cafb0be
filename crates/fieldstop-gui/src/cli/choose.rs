//! `fieldstop choose`: which focal lengths and which rigs serve the wish list, and why.

use std::path::PathBuf;

use clap::Args;
use fieldstop::choice::{Choice, Criterion, RigChoice, TargetRange, Wanted, choice};
use fieldstop::demands::Conditions;
use fieldstop::findings::{FigureValue, Finding};
use fieldstop::kit::Kit;
use fieldstop::range::LADDER_MM;
use fieldstop::{Direction, Icrs, Season};
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

use super::error::CliError;
use super::table::{self, Side};
use super::{JSON_FORMAT, json, lookup};
use crate::nights::SiteYear;
use crate::sky::catalogue::Catalogue;
use crate::state::demand_target::demand_target;

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

/// The year that usable hours are counted in. Dark hours above a limit hardly differ from year to
/// year, and the same command says the same on any day.
const YEAR: i16 = 2026;

/// Steps of the coverage over the ladder: one every 2 %.
const STEPS: u32 = 268;

#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    ranges: Vec<Range<'a>>,
    coverage: Vec<Step>,
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
struct Range<'a> {
    target: &'a str,
    shortest_mm: Option<f64>,
    longest_mm: Option<f64>,
    hours_in_year: f64,
}

#[derive(Serialize)]
struct Step {
    focal_length_mm: f64,
    served: u32,
    weighted: f64,
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
    let year = SiteYear::work_out(&kit.site, YEAR, &mut |_| true)
        .ok_or(CliError::NoYear { year: YEAR })?;
    let mut wanted = Vec::with_capacity(kit.wish_list.len());
    for wish in &kit.wish_list {
        let target = lookup::target(&kit, &catalogue, wish.name())?;
        wanted.push(Wanted {
            name: wish.name().to_owned(),
            outline: target.shape(),
            demand: demand_target(&target),
            hours_in_year: hours(&year.season, target.place),
            stars: kit.stars(wish.name()),
        });
    }
    let conditions = Conditions::at_zenith(&kit.site);
    let choice = choice(&kit, 0, &wanted, &Criterion::ALL, &conditions);
    if arguments.json { json(&answer(&choice)) } else { Ok(for_people(&kit, &choice)) }
}

fn hours(season: &Season, place: Direction<Icrs>) -> f64 {
    season.hours(place).map(|hours| f64::from(hours.dark)).sum()
}

fn answer(choice: &Choice) -> Answer<'_> {
    let ladder = LADDER_MM.most / LADDER_MM.least;
    let step = |k: u32| LADDER_MM.least * ladder.powf(f64::from(k) / f64::from(STEPS));
    let coverage = (0..=STEPS)
        .map(|k| if k == STEPS { LADDER_MM.most } else { step(k) })
        .map(|focal_length_mm| {
            let served = choice.coverage.at(focal_length_mm);
            Step { focal_length_mm, served: served.count, weighted: served.weighted }
        })
        .collect();
    Answer {
        format: JSON_FORMAT,
        ranges: choice.ranges.iter().map(Range::of).collect(),
        coverage: if choice.setting.is_some() { coverage } else { Vec::new() },
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

impl<'a> Range<'a> {
    fn of(range: &'a TargetRange) -> Self {
        Self {
            target: &range.target,
            shortest_mm: range.range.and_then(|range| range.shortest_mm),
            longest_mm: range.range.map(|range| range.longest_mm),
            hours_in_year: range.hours_in_year,
        }
    }
}

impl<'a> Rig<'a> {
    fn of(rig: &'a RigChoice, choice: &'a Choice) -> Self {
        let by = rig.dominated_by.iter().filter_map(|&place| choice.rigs.get(place));
        Self {
            name: &rig.name,
            whole: rig.whole,
            tight: rig.tight,
            spills: rig.spills,
            small: rig.small,
            dominated_by: by.map(|rig| rig.name.as_str()).collect(),
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
    let mm =
        |length: Option<f64>| length.map_or_else(|| "-".to_owned(), |mm| format!("{mm:.0} mm"));
    let row = |range: &TargetRange| {
        vec![
            range.target.clone(),
            mm(range.range.and_then(|range| range.shortest_mm)),
            mm(range.range.map(|range| range.longest_mm)),
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
        let by = Rig::of(rig, choice).dominated_by;
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
