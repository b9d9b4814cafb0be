//! `fieldstop season`: what the catalogue offers a rig in one month.

use std::path::PathBuf;

use clap::Args;
use fieldstop::range::{LEAST_SIZE_ARCMIN, LISTED_MAGNITUDE};
use serde::Serialize;

use super::error::CliError;
use super::night_row;
use super::table::{self, Side};
use super::{JSON_FORMAT, json, lookup, month, number_in, year_in_reach};
use crate::nights::date::month_name;
use crate::nights::{SeasonQuestion, SiteClock, SiteYear};
use crate::sky::catalogue::Catalogue;
use crate::tables::season::{SeasonRow, season_rows};
use crate::words;

/// Rows that people read.
const MOST_ROWS: usize = 40;

/// What the whole catalogue offers a rig in one month, best first
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The kit file
    kit: PathBuf,
    /// The month, 1 to 12
    #[arg(
        long,
        value_name = "MM",
        allow_negative_numbers = true,
        value_parser = month
    )]
    month: u8,
    /// The rig's name, as the kit has it
    #[arg(long, value_name = "NAME")]
    rig: String,
    /// The year, 1950 to 2100; this year if left out
    #[arg(long, value_name = "YYYY", allow_negative_numbers = true, value_parser = year_in_reach)]
    year: Option<i16>,
    /// Leave out what is smaller, in arcminutes
    #[arg(
        long,
        value_name = "ARCMIN",
        default_value_t = 10.0,
        allow_negative_numbers = true,
        value_parser = number_in(LEAST_SIZE_ARCMIN)
    )]
    min_size: f64,
    /// Leave out what is fainter; what has no magnitude, as most nebulae, is kept
    #[arg(
        long,
        value_name = "MAG",
        default_value_t = 10.0,
        allow_negative_numbers = true,
        value_parser = number_in(LISTED_MAGNITUDE)
    )]
    max_magnitude: f64,
    /// Print JSON with every number unrounded
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct InSeason<'a> {
    format: u32,
    site: &'a str,
    rig: &'a str,
    year: i16,
    month: u8,
    targets: Vec<SeasonRow>,
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    let catalogue = Catalogue::embedded()?;
    let kit = lookup::kit(&arguments.kit, &catalogue)?;
    let rig = lookup::rig(&kit, &arguments.rig)?;
    let this_year = || SiteClock::of(&kit.site).tonight().map(|date| date.year());
    let year = arguments.year.or_else(this_year).unwrap_or(2000);
    let nights =
        SiteYear::work_out(&kit.site, year, &mut |_| true).ok_or(CliError::NoYear { year })?;
    let question = SeasonQuestion {
        month: usize::from(arguments.month) - 1,
        least_arcmin: arguments.min_size,
        faintest_mag: arguments.max_magnitude,
        without_magnitude: true,
    };
    let targets =
        season_rows(&nights, &catalogue, &kit, &rig, question, &mut |_| true).unwrap_or_default();
    let season = InSeason {
        format: JSON_FORMAT,
        site: &kit.site.name,
        rig: &arguments.rig,
        year,
        month: arguments.month,
        targets,
    };
    if arguments.json { json(&season) } else { Ok(for_people(&season, &nights)) }
}

fn for_people(season: &InSeason<'_>, nights: &SiteYear) -> String {
    let month = month_name(usize::from(season.month) - 1);
    let mut text = format!(
        "In season in {month} {} from {}, best for {} first\n",
        season.year, season.site, season.rig
    );
    let dark = nights.dark_months();
    if dark.get(usize::from(season.month) - 1).is_some_and(|month| month.dark == 0.0) {
        text += &nights.no_dark_words().unwrap_or_default();
        return text + "\n";
    }
    let headings = [
        ("object", Side::Left),
        ("kind", Side::Left),
        ("hours a night", Side::Right),
        ("size", Side::Right),
        ("magnitude", Side::Right),
        ("fill", Side::Right),
        ("verdict", Side::Left),
    ];
    let or_dash = |text: Option<String>| text.unwrap_or_else(|| "-".to_owned());
    let rows: Vec<Vec<String>> = season
        .targets
        .iter()
        .take(MOST_ROWS)
        .map(|row| {
            vec![
                row.name.to_owned(),
                row.kind.to_owned(),
                format!("{:.2} h", row.hours_a_night),
                words::target_size(row.major_arcmin, row.minor_arcmin, false),
                or_dash(row.magnitude.map(|mag| format!("{mag:.1}"))),
                or_dash(row.fill.map(words::fill)),
                row.verdict.to_owned(),
            ]
        })
        .collect();
    if season.targets.len() > MOST_ROWS {
        text += &format!("{} objects; the best {MOST_ROWS}:\n", season.targets.len());
    }
    text + "\n" + &table::lines(&headings, &rows) + "\n" + night_row::CLOCK_NOTE
}
