//! The program without a window, for scripts: one file a subcommand.
//!
//! The exit status is 0 only if the work was done; otherwise the standard error says why. A
//! sketch without the picture that its kit names is done, and the standard error says so too.

mod choose;
mod demands;
mod error;
mod export;
mod figures;
mod find;
mod frame;
mod header;
mod lookup;
mod mosaic;
mod night;
mod night_row;
mod page_arguments;
mod season;
mod sheet;
mod sketch;
mod sought;
mod strip;
mod table;
mod wishes;
mod year;

use std::error::Error;
use std::ffi::OsString;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{CommandFactory as _, Parser, Subcommand};
use serde::Serialize;

use error::CliError;

use crate::nights::date::YEARS;

/// Choose an imaging telescope before paying for it: what each candidate would see, over the same sky.
#[derive(Debug, Parser)]
#[command(name = "fieldstop", version, args_conflicts_with_subcommands = true)]
struct Arguments {
    #[command(subcommand)]
    command: Option<Command>,
    /// The kit file to open in the window; the demo kit if left out
    kit: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
enum Command {
    Sketch(sketch::Arguments),
    Strip(strip::Arguments),
    Sheet(sheet::Arguments),
    Figures(figures::Arguments),
    Demands(demands::Arguments),
    Find(find::Arguments),
    Frame(frame::Arguments),
    Mosaic(mosaic::Arguments),
    Header(header::Arguments),
    Year(year::Arguments),
    Night(night::Arguments),
    Season(season::Arguments),
    Choose(choose::Arguments),
    Export(export::Arguments),
    Wishes(wishes::Arguments),
}

/// The exit status where the arguments themselves make no sense, as for an unknown option.
const WRONG_USE: u8 = 2;

/// Does what the command line asks for; `open_window` is called if that is the window.
pub fn run(open_window: impl FnOnce(Option<PathBuf>) -> Result<(), Box<dyn Error>>) -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            // What stands behind a misspelt command is understood by nobody.
            let first = std::env::args_os().nth(1).map(PathBuf::from);
            return match first.filter(|word| is_no_command(word) && is_missing(word)) {
                Some(path) => refuse_misspelt(path),
                None => usage(&error),
            };
        }
    };
    // A misspelt command would open a window that nobody asked for.
    if let Some(path) = arguments.kit.clone().filter(|path| is_missing(path)) {
        return refuse_misspelt(path);
    }
    let done = match arguments.command {
        None => open_window(arguments.kit).map_err(|error| CliError::NoWindow(last_words(&*error))),
        Some(command) => answer(command),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            complain(&format!("fieldstop: {error}\n"));
            ExitCode::FAILURE
        }
    }
}

/// Whether a word is neither a command nor an option.
fn is_no_command(word: &Path) -> bool {
    let word = word.to_string_lossy();
    let commands = Arguments::command();
    let mut names = commands.get_subcommands().map(clap::Command::get_name);
    !word.starts_with('-') && word != "help" && !names.any(|name| name == word)
}

fn refuse_misspelt(path: PathBuf) -> ExitCode {
    complain(&format!("fieldstop: {}\n", CliError::NoSuchFile { path }));
    ExitCode::from(WRONG_USE)
}

/// What is wrong with a command line, the program's name first; nothing is done. None if it is
/// understood, or asks for the help or the version.
pub fn fault(arguments: impl IntoIterator<Item = OsString>) -> Option<String> {
    let error = Arguments::try_parse_from(arguments).err()?;
    error.use_stderr().then(|| error.to_string())
}

/// Shows the help or the version that was asked for, or what is wrong with the arguments.
fn usage(error: &clap::Error) -> ExitCode {
    match error.print() {
        Ok(()) => u8::try_from(error.exit_code()).map_or(ExitCode::FAILURE, ExitCode::from),
        Err(_) => ExitCode::FAILURE,
    }
}

/// What went wrong, without the places in other people's sources that such an error begins with.
fn last_words(error: &dyn Error) -> String {
    let text = error.to_string();
    text.rsplit(": ").next().unwrap_or(&text).trim_end_matches('.').to_owned()
}

/// Writes to the standard error. If nobody reads that either, there is nobody left to tell.
fn complain(message: &str) {
    let _told = io::stderr().write_all(message.as_bytes());
}

fn answer(command: Command) -> Result<(), CliError> {
    let text = match command {
        Command::Sketch(arguments) => sketch::run(&arguments)?,
        Command::Strip(arguments) => strip::run(&arguments)?,
        Command::Sheet(arguments) => sheet::run(&arguments)?,
        Command::Figures(arguments) => figures::run(&arguments)?,
        Command::Demands(arguments) => demands::run(&arguments)?,
        Command::Find(arguments) => find::run(&arguments)?,
        Command::Frame(arguments) => frame::run(&arguments)?,
        Command::Mosaic(arguments) => mosaic::run(&arguments)?,
        Command::Header(arguments) => header::run(&arguments)?,
        Command::Year(arguments) => year::run(&arguments)?,
        Command::Night(arguments) => night::run(&arguments)?,
        Command::Season(arguments) => season::run(&arguments)?,
        Command::Choose(arguments) => choose::run(&arguments)?,
        Command::Export(arguments) => export::run(&arguments)?,
        Command::Wishes(arguments) => wishes::run(&arguments)?,
    };
    let mut output = io::stdout().lock();
    output.write_all(text.as_bytes()).and_then(|()| output.flush()).map_err(CliError::Output)
}

/// The version of the JSON that the subcommands print.
const JSON_FORMAT: u32 = 1;

/// JSON with every number as it was computed, never rounded.
fn json(value: &impl Serialize) -> Result<String, CliError> {
    Ok(serde_json::to_string_pretty(value).map_err(CliError::Json)? + "\n")
}

/// A direction as two angles.
#[derive(Serialize)]
struct RaDec {
    ra_deg: f64,
    dec_deg: f64,
}

impl RaDec {
    fn of(place: fieldstop::Direction<fieldstop::Icrs>) -> Self {
        Self { ra_deg: place.ra().deg(), dec_deg: place.dec().deg() }
    }
}

/// Reads a number of a range from the command line.
fn number_in(range: fieldstop::range::Range) -> impl Fn(&str) -> Result<f64, String> + Clone {
    move |text| match text.trim().parse::<f64>() {
        Ok(number) if range.contains(number) => Ok(number),
        _ => Err(format!("expected {}", range.expected)),
    }
}

/// Reads a year that the sky's clockwork is made for.
fn year_in_reach(text: &str) -> Result<i16, String> {
    let year = text.trim().parse::<i16>().ok().filter(|&year| YEARS.contains(f64::from(year)));
    year.ok_or_else(|| format!("expected {}", YEARS.expected))
}

/// Reads the number of a month.
fn month(text: &str) -> Result<u8, String> {
    let month = text.trim().parse().ok().filter(|month| (1..=12).contains(month));
    month.ok_or_else(|| "expected a month from 1 to 12".to_owned())
}

/// Whether there certainly is nothing at a path.
fn is_missing(path: &Path) -> bool {
    path.try_exists().is_ok_and(|exists| !exists)
}

/// Whether two paths lead to one file.
fn is_same_file(one: &Path, other: &Path) -> bool {
    match (fs::canonicalize(one), fs::canonicalize(other)) {
        (Ok(one), Ok(other)) => one == other,
        _ => false,
    }
}
