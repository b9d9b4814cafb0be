//! `fieldstop year`: every night of a year for one target.

use std::path::PathBuf;

use clap::Args;
use fieldstop::kit::Kit;
use serde::Serialize;

use super::error::CliError;
use super::night_row::{self, NightRow};
use super::table::{self, Side};
use super::{JSON_FORMAT, json, lookup, year_in_reach};
use crate::nights::date::month_name;
use crate::nights::month::expected_hours;
use crate::nights::{SiteYear, TargetYear};
use crate::sky::catalogue::Catalogue;

/// When a target is up in the dark, night by night through a year
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The kit file
    kit: PathBuf,
    /// The target's name, as the wish list has it, or a designation or common name
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
    let target = lookup::target(&kit, &catalogue, &arguments.target)?;
    let year = SiteYear::work_out(&kit.site, arguments.year, &mut |_| true)
        .ok_or(CliError::NoYear { year: arguments.year })?;
    if !arguments.json {
        let known = TargetYear::of(&year, &arguments.target, target.place);
        return Ok(for_people(&kit, &year, &known));
    }
    let nights = year.nights.iter().map(|night| {
        let (row, _) =
            NightRow::of(&year.clock, &year.horizon, night.evening, &night.night, target.place);
        row
    });
    json(&Year {
        format: JSON_FORMAT,
        target: &arguments.target,
        site: &kit.site.name,
        year: arguments.year,
        nights: nights.collect(),
    })
}

fn for_people(kit: &Kit, year: &SiteYear, target: &TargetYear) -> String {
    let mut text = format!(
        "{} in {} from {}\n{}\n",
        target.name,
        year.year,
        night_row::site_words(&kit.site),
        target.words()
    );
    if let Some(words) = year.no_dark_words() {
        text += &format!("{words}\n");
    }
    if let Some(hours) = expected_hours(&target.months, &kit.site.clear_fraction) {
        text += &format!("With the site's clear nights, expect {hours:.0} h.\n");
    }
    text + "\n" + &month_table(year, target) + "\n" + night_row::CLOCK_NOTE
}

fn month_table(year: &SiteYear, target: &TargetYear) -> String {
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
        .zip(&target.months)
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
