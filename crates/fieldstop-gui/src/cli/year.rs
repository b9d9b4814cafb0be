//! `fieldstop year`: every night of a year for one target.

use std::path::PathBuf;

use clap::Args;
use fieldstop::kit::Kit;
use serde::Serialize;

use super::error::CliError;
use super::night_row;
use super::sought::Sought;
use super::table::{self, Side};
use super::{JSON_FORMAT, json, lookup, year_in_reach};
use crate::nights::date::{month_index, month_name};
use crate::nights::month::expected_hours;
use crate::nights::{MONTHS, MonthHours, SiteYear, TargetYear};
use crate::sky::catalogue::Catalogue;
use crate::tables::nights::NightRow;

/// When a target is up in the dark, night by night through a year
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The kit file
    kit: PathBuf,
    /// The target's name, as the wish list has it, or a designation, common name, planet or Moon
    #[arg(long, value_name = "NAME")]
    target: String,
    /// The year in which the nights begin, 1950 to 2100
    #[arg(long, value_name = "YYYY", allow_negative_numbers = true, value_parser = year_in_reach)]
    year: i16,
    /// Print JSON with every number unrounded
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Year<'a> {
    format: u32,
    target: &'a str,
    site: &'a str,
    year: i16,
    nights: Vec<NightRow>,
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    let catalogue = Catalogue::embedded()?;
    let kit = lookup::kit(&arguments.kit, &catalogue)?;
    let target = Sought::find(&kit, &catalogue, &arguments.target)?;
    let year = SiteYear::work_out(&kit.site, arguments.year, &mut |_| true)
        .ok_or(CliError::NoYear { year: arguments.year })?;
    if let (false, Sought::Fixed(place)) = (arguments.json, &target) {
        let known = TargetYear::of(&year, &arguments.target, *place);
        return Ok(for_people(&kit, &year, &arguments.target, &known.months, &known.words()));
    }
    let nights: Vec<NightRow> = year
        .nights
        .iter()
        .map(|night| {
            let hours = target.in_night(&night.night, &year.horizon);
            NightRow::of(&year.clock, night.evening, &night.night, &hours)
        })
        .collect();
    if !arguments.json {
        let words = "It moves among the stars, so every year is another.";
        return Ok(for_people(&kit, &year, &arguments.target, &months(&year, &nights), words));
    }
    json(&Year {
        format: JSON_FORMAT,
        target: &arguments.target,
        site: &kit.site.name,
        year: arguments.year,
        nights,
    })
}

/// The rows' hours by month.
fn months(year: &SiteYear, rows: &[NightRow]) -> [MonthHours; MONTHS] {
    let mut months = [MonthHours::default(); MONTHS];
    for (night, row) in year.nights.iter().zip(rows) {
        if let Some(month) = months.get_mut(month_index(night.evening)) {
            month.nights += 1;
            month.dark += row.target_hours;
            month.moonless += row.target_moonless_hours;
        }
    }
    months
}

fn for_people(
    kit: &Kit,
    year: &SiteYear,
    name: &str,
    months: &[MonthHours; MONTHS],
    words: &str,
) -> String {
    let site = night_row::site_words(&kit.site);
    let mut text = format!("{name} in {} from {site}\n{words}\n", year.year);
    if let Some(words) = year.no_dark_words() {
        text += &format!("{words}\n");
    }
    if let Some(hours) = expected_hours(months, &kit.site.clear_fraction) {
        text += &format!("With the site's clear nights, expect {hours:.0} h.\n");
    }
    text + "\n" + &month_table(year, months) + "\n" + night_row::CLOCK_NOTE
}

fn month_table(year: &SiteYear, months: &[MonthHours; MONTHS]) -> String {
    let headings = [
        ("month", Side::Left),
        ("dark", Side::Right),
        ("usable", Side::Right),
        ("without Moon", Side::Right),
        ("usable a night", Side::Right),
    ];
    let dark = year.dark_months();
    let rows: Vec<Vec<String>> = dark
        .iter()
        .zip(months)
        .enumerate()
        .map(|(month, (dark, usable))| {
            let dark_words = if dark.dark == 0.0 {
                "no astronomical night".to_owned()
            } else {
                format!("{:.1} h", dark.dark)
            };
            vec![
                month_name(month).to_owned(),
                dark_words,
                format!("{:.1} h", usable.dark),
                format!("{:.1} h", usable.moonless),
                format!("{:.2} h", usable.a_night()),
            ]
        })
        .collect();
    table::lines(&headings, &rows)
}
