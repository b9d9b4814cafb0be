//! `fieldstop sheet`: the comparison sheet of a kit, as PDF or HTML.

use std::path::PathBuf;

use clap::Args;

use super::error::CliError;
use super::{lookup, year_in_reach};
use crate::files::replace_file;
use crate::sheet::{Paper, Sheet, SheetFormat, SheetOptions, USUAL_YEAR};
use crate::sky::Sky;
use crate::words::counted;

/// Put a kit's comparison on one to three pages, for printing or for a browser
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The kit file
    kit: PathBuf,
    /// The file to write; its suffix says the form
    #[arg(long, value_name = "FILE.pdf|FILE.html")]
    out: PathBuf,
    /// The target to frame, as the wish list has it, or a designation or common name; the first of
    /// the wish list if left out
    #[arg(long, value_name = "NAME")]
    target: Option<String>,
    /// The year whose nights are counted, 1950 to 2100
    #[arg(
        long,
        value_name = "YYYY",
        default_value_t = USUAL_YEAR,
        allow_negative_numbers = true,
        value_parser = year_in_reach
    )]
    year: i16,
    /// The paper that a PDF's pages are for
    #[arg(long, value_enum, default_value_t)]
    paper: Paper,
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    let out = &arguments.out;
    let format = SheetFormat::of(out)?;
    // Refused before the work, not after it.
    replace_file::check(out)?;
    lookup::not_over_kit(&arguments.kit, out)?;
    let sky = Sky::embedded()?;
    let kit = lookup::kit(&arguments.kit, &sky.catalogue)?;
    if let Some(name) = &arguments.target {
        lookup::target(&kit, &sky.catalogue, name)?;
    }
    let options = SheetOptions {
        target: arguments.target.clone(),
        year: arguments.year,
        chosen: 0,
        paper: arguments.paper,
    };
    let sheet = Sheet::new(&kit, &sky, &options, &mut |_share| true)?;
    replace_file::replace(out, &sheet.file(format)?)?;
    Ok(format!("{}: {}\n", out.display(), size_words(&sheet, format)))
}

fn size_words(sheet: &Sheet<'_>, format: SheetFormat) -> String {
    let rigs = counted(sheet.facts().kit.rigs.len(), "rig");
    let targets = counted(sheet.facts().kit.wish_list.len(), "target");
    format!("{} of {rigs} and {targets}", format.suffix().to_uppercase())
}
