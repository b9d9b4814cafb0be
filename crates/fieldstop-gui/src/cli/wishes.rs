//! `fieldstop wishes`: the wish list from a file, and to a file.

use std::path::{Path, PathBuf};

use clap::{ArgGroup, Args};
use fieldstop::kit::Wish;
use serde::Serialize;

use super::error::CliError;
use super::table::{self, Side};
use super::{JSON_FORMAT, is_same_file, json, lookup};
use crate::files::wish_import::{self, Left, Sorted, Taken};
use crate::files::wish_row::At;
use crate::files::{kit_file, replace_file, suffix, wish_export};
use crate::sky::catalogue::Catalogue;
use crate::words::counted;

/// Read targets from a CSV file or VOTable into a kit's wish list, or write the list to one
///
/// Reading needs a column of names; coordinates are ICRS. A name that the catalogue knows becomes
/// that object; another becomes a target of your own if the file says where it is. The rest is
/// listed, and no reason to fail.
#[derive(Args, Debug)]
#[command(group(ArgGroup::new("what to do").args(["import", "export"]).required(true)))]
pub(super) struct Arguments {
    /// The kit file
    kit: PathBuf,
    /// The list to read: CSV, or a VOTable
    #[arg(long, value_name = "FILE", requires = "out")]
    import: Option<PathBuf>,
    /// Where to write the kit with the longer wish list
    #[arg(long, value_name = "FILE.ron", requires = "import")]
    out: Option<PathBuf>,
    /// The list to write: .csv, or .xml or .vot for a VOTable
    #[arg(long, value_name = "FILE")]
    export: Option<PathBuf>,
    /// Print JSON: what was taken, what was there already, what was not understood and why
    #[arg(long, requires = "import")]
    json: bool,
}

#[derive(Serialize)]
struct Report<'a> {
    format: u32,
    taken: Vec<Added<'a>>,
    present: &'a [Left],
    unresolved: &'a [Left],
    remarks: &'a [String],
}

#[derive(Serialize)]
struct Added<'a> {
    #[serde(flatten)]
    at: At,
    name: &'a str,
    target: &'a str,
    listed_as: &'static str,
    remark: Option<&'a str>,
}

impl<'a> Added<'a> {
    fn of(taken: &'a Taken) -> Self {
        Self {
            at: taken.at,
            name: &taken.name,
            target: taken.wish.name(),
            listed_as: match taken.wish {
                Wish::Named(_) => "catalogue",
                Wish::Custom { .. } => "own",
            },
            remark: taken.remark.as_deref(),
        }
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    match (&arguments.import, &arguments.out, &arguments.export) {
        (Some(list), Some(out), _) => import(&arguments.kit, list, out, arguments.json),
        (_, _, Some(list)) => export(&arguments.kit, list),
        // OK because the arguments are checked before: one of the two is there.
        _ => Ok(String::new()),
    }
}

fn import(kit_path: &Path, list: &Path, out: &Path, as_json: bool) -> Result<String, CliError> {
    if is_same_file(list, out) {
        return Err(CliError::OverList { path: out.to_owned() });
    }
    suffix::check(out, "ron", ".ron")?;
    replace_file::check(out)?;
    let catalogue = Catalogue::embedded()?;
    let mut kit = lookup::kit(kit_path, &catalogue)?;
    let read = wish_import::read(list)
        .map_err(|source| CliError::Wishes { path: list.to_owned(), source })?;
    let sorted = wish_import::sort_out(&read, &kit, &catalogue);
    sorted.add_to(&mut kit);
    kit_file::write(out, &kit)?;
    if as_json {
        return json(&Report {
            format: JSON_FORMAT,
            taken: sorted.taken.iter().map(Added::of).collect(),
            present: &sorted.present,
            unresolved: &sorted.unresolved,
            remarks: &sorted.remarks,
        });
    }
    Ok(for_people(&sorted, out))
}

fn for_people(sorted: &Sorted, out: &Path) -> String {
    let Sorted { taken, present, unresolved, remarks } = sorted;
    let mut text = format!("{}: {} added", out.display(), counted(taken.len(), "target"));
    text += &format!(", {} there already, {} not understood\n", present.len(), unresolved.len());
    for remark in remarks {
        text += &format!("Note: {remark}\n");
    }
    let remarked: Vec<Vec<String>> = taken
        .iter()
        .filter_map(|taken| Some(row(taken.at, &taken.name, taken.remark.as_deref()?)))
        .collect();
    let left = |rows: &[Left]| -> Vec<Vec<String>> {
        rows.iter().map(|left| row(left.at, &left.name, &left.why)).collect()
    };
    for (heading, rows) in [
        ("Added, but look at", remarked),
        ("There already", left(present)),
        ("Not understood", left(unresolved)),
    ] {
        if !rows.is_empty() {
            let headings = [("  place", Side::Left), ("name", Side::Left), ("why", Side::Left)];
            text += &format!("\n{heading}\n{}", table::lines(&headings, &rows));
        }
    }
    text
}

fn row(at: At, name: &str, why: &str) -> Vec<String> {
    vec![format!("  {at}"), name.to_owned(), why.to_owned()]
}

fn export(kit_path: &Path, list: &Path) -> Result<String, CliError> {
    replace_file::check(list)?;
    lookup::not_over_kit(kit_path, list)?;
    let catalogue = Catalogue::embedded()?;
    let kit = lookup::kit(kit_path, &catalogue)?;
    wish_export::write(list, &kit, &catalogue)?;
    Ok(format!("{}: {}\n", list.display(), counted(kit.wish_list.len(), "target")))
}
