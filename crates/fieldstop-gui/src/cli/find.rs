//! `fieldstop find`: a search of the catalogue.

use std::borrow::Cow;

use clap::Args;
use serde::Serialize;

use super::error::CliError;
use super::table::{self, Side};
use super::{JSON_FORMAT, json, lookup};
use crate::sky::catalogue::{Catalogue, Target};

/// Rows that a person is shown; more are counted.
const SHOWN: usize = 40;

/// Search the catalogue by designation, common name or constellation, best first
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// What to look for, such as "NGC 224", "veil" or "Cygnus"
    text: String,
    /// Print JSON with every number unrounded
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Found<'a> {
    format: u32,
    targets: Vec<Row<'a>>,
}

#[derive(Serialize)]
struct Row<'a> {
    name: &'a str,
    catalogue_name: &'a str,
    kind: &'static str,
    ra_deg: f64,
    dec_deg: f64,
    major_arcmin: Option<f64>,
    minor_arcmin: Option<f64>,
    pa_deg: Option<f64>,
    magnitude: Option<f64>,
    common_names: &'a [String],
}

impl<'a> Row<'a> {
    fn of(target: &'a Target) -> Self {
        Self {
            name: &target.name,
            catalogue_name: target.catalogue_name(),
            kind: target.kind.label(),
            ra_deg: target.ra_deg,
            dec_deg: target.dec_deg,
            major_arcmin: target.major_arcmin,
            minor_arcmin: target.minor_arcmin,
            pa_deg: target.pa_deg,
            magnitude: target.magnitude,
            common_names: &target.common_names,
        }
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    if arguments.text.trim().is_empty() {
        return Err(CliError::NoText);
    }
    let catalogue = Catalogue::embedded()?;
    let found = catalogue.search(&arguments.text, usize::MAX);
    if found.is_empty() {
        return Err(CliError::NothingFound {
            text: arguments.text.clone(),
            similar: lookup::similar(None, &catalogue, &arguments.text),
        });
    }
    if arguments.json {
        let targets = found.iter().map(|target| Row::of(target)).collect();
        json(&Found { format: JSON_FORMAT, targets })
    } else {
        Ok(for_people(&found))
    }
}

fn for_people(found: &[Cow<'_, Target>]) -> String {
    let headings = [
        ("name", Side::Left),
        ("kind", Side::Left),
        ("right ascension", Side::Right),
        ("declination", Side::Right),
        ("size", Side::Right),
        ("magnitude", Side::Right),
        ("also called", Side::Left),
    ];
    let rows: Vec<Vec<String>> = found.iter().take(SHOWN).map(|target| row(target)).collect();
    let mut table = table::lines(&headings, &rows);
    if found.len() > SHOWN {
        table += &format!("and {} more\n", found.len() - SHOWN);
    }
    table
}

fn row(target: &Target) -> Vec<String> {
    let size = match (target.major_arcmin, target.minor_arcmin) {
        (Some(major), Some(minor)) => format!("{major:.1} x {minor:.1}′"),
        (Some(major), None) => format!("{major:.1}′"),
        (None, _) => "size unknown".to_owned(),
    };
    vec![
        target.name.clone(),
        target.kind.label().to_owned(),
        fieldstop::sexagesimal::ra_text(target.place.ra(), 0),
        fieldstop::sexagesimal::dec_text(target.place.dec(), 0),
        size,
        target.magnitude.map_or_else(|| "-".to_owned(), |magnitude| format!("{magnitude:.1}")),
        also_called(target),
    ]
}

/// What the catalogue has it under, if it was found by another name, and what people call it.
fn also_called(target: &Target) -> String {
    let names = target.listed_as.iter().chain(&target.common_names);
    names.map(String::as_str).collect::<Vec<_>>().join(", ")
}
