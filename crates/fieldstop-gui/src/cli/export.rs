//! `fieldstop export`: a table of the program as CSV.

use std::path::PathBuf;

use clap::Args;
use clap::builder::PossibleValuesParser;
use fieldstop::kit::Kit;
use jiff::civil::Date;

use super::error::CliError;
use super::table::{self, Side};
use super::{lookup, month, year_in_reach};
use crate::files::{replace_file, suffix};
use crate::nights::{SeasonQuestion, date};
use crate::sky::catalogue::Catalogue;
use crate::tables::{TableError, TableName, TableQuestion, USUAL_YEAR, work_out};
use crate::words::counted;

/// A table of the program as CSV, with units in the headings
///
/// UTF-8, commas, CR LF, decimal points, numbers unrounded. A text that a spreadsheet would take
/// for a formula has an apostrophe before it.
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The kit file
    #[arg(required_unless_present = "list")]
    kit: Option<PathBuf>,
    /// List the tables and their columns with units
    #[arg(long, conflicts_with_all = ["kit", "table", "out"])]
    list: bool,
    /// Which table
    #[arg(long, value_name = "NAME", required_unless_present = "list", value_parser = table_names())]
    table: Option<String>,
    /// The CSV file to write; - for the standard output
    #[arg(long, value_name = "FILE.csv", required_unless_present = "list")]
    out: Option<PathBuf>,
    /// For tables about one target: its name, as the wish list has it, or a designation
    #[arg(long, value_name = "NAME")]
    target: Option<String>,
    /// For tables about one rig: its name, as the kit has it
    #[arg(long, value_name = "NAME")]
    rig: Option<String>,
    /// For tables about a year: when its nights begin, 1950 to 2100
    #[arg(
        long,
        value_name = "YYYY",
        default_value_t = USUAL_YEAR,
        allow_negative_numbers = true,
        value_parser = year_in_reach
    )]
    year: i16,
    /// For the table of one month: 1 to 12
    #[arg(
        long,
        value_name = "MM",
        allow_negative_numbers = true,
        value_parser = month
    )]
    month: Option<u8>,
    /// For tables about one night: the date on which it begins
    #[arg(long, value_name = "YYYY-MM-DD", allow_hyphen_values = true, value_parser = date::parse)]
    date: Option<Date>,
}

fn table_names() -> PossibleValuesParser {
    PossibleValuesParser::new(TableName::ALL.iter().map(|table| table.key()))
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    let table = arguments.table.as_deref().and_then(TableName::of_key);
    let (Some(kit), Some(table), Some(out)) = (&arguments.kit, table, &arguments.out) else {
        return Ok(list());
    };
    let to_stdout = out.as_os_str() == "-";
    if !to_stdout {
        // Refused before the work, not after it.
        lookup::not_over_kit(kit, out)?;
        suffix::check(out, "csv", ".csv, or - for the standard output")?;
        replace_file::check(out)?;
    }
    let catalogue = Catalogue::embedded()?;
    let kit = lookup::kit(kit, &catalogue)?;
    let question = question(arguments, table, kit, &catalogue)?;
    let table = work_out(&question, &catalogue, &mut |_| true).map_err(needed)?;
    let text = table.to_csv().map_err(CliError::Csv)?;
    if to_stdout {
        return Ok(text);
    }
    replace_file::replace(out, text.as_bytes())?;
    let rows = counted(table.rows.len(), "row");
    Ok(format!("{}: {rows} of {}\n", out.display(), counted(table.columns.len(), "column")))
}

fn question(
    arguments: &Arguments,
    table: TableName,
    kit: Kit,
    catalogue: &Catalogue,
) -> Result<TableQuestion, CliError> {
    if let Some(name) = &arguments.target {
        lookup::target(&kit, catalogue, name)?;
    }
    if let Some(name) = &arguments.rig {
        lookup::rig(&kit, name)?;
    }
    Ok(TableQuestion {
        target: arguments.target.clone(),
        rig: arguments.rig.clone(),
        year: arguments.year,
        season: arguments.month.map(|month| SeasonQuestion::of_month(usize::from(month) - 1)),
        evening: arguments.date,
        ..TableQuestion::new(table, kit)
    })
}

/// The same with the argument that is missing.
fn needed(error: TableError) -> CliError {
    let argument = match error {
        TableError::NoTarget { .. } => "--target NAME",
        TableError::NoRig { .. } => "--rig NAME",
        TableError::NoEvening { .. } => "--date YYYY-MM-DD",
        TableError::NoMonth { .. } => "--month MM",
        other => return CliError::Table(other),
    };
    CliError::TableNeeds { why: error.to_string(), argument }
}

/// The tables, what a row of each is, what they need, and their columns.
fn list() -> String {
    let mut text = String::new();
    for &name in TableName::ALL {
        text += &format!("{}: {}{}\n", name.key(), name.rows(), needs(name));
        let headings = [("  column", Side::Left), ("unit", Side::Left), ("what", Side::Left)];
        let rows: Vec<Vec<String>> = name
            .columns()
            .iter()
            .map(|column| {
                vec![format!("  {}", column.name), column.unit.to_owned(), column.what.to_owned()]
            })
            .collect();
        text += &table::lines(&headings, &rows);
        text += "\n";
    }
    text
}

fn needs(table: TableName) -> String {
    let needs = [
        (table.needs_target(), "--target"),
        (table.needs_rig(), "--rig"),
        (table.needs_month(), "--month"),
        (table.needs_evening(), "--date"),
    ];
    let needs: Vec<&str> = needs.iter().filter(|(it, _)| *it).map(|&(_, name)| name).collect();
    if needs.is_empty() { String::new() } else { format!(" Needs {}.", needs.join(", ")) }
}
