//! Why a subcommand could not do its work.

use std::io;
use std::path::PathBuf;

use thiserror::Error;

use crate::files::KitFileError;
use crate::files::kit_file::SaveError;
use crate::files::replace_file::WriteError;
use crate::files::suffix::SuffixError;
use crate::files::wish_export::WishWriteError;
use crate::files::wish_row::WishFileError;
use crate::sheet::SheetError;
use crate::sketch::SketchError;
use crate::sky::catalogue::SkyError;
use crate::strip::StripError;
use crate::tables::TableError;
use fieldstop::mosaic::MosaicError;

/// Why a subcommand could not do its work.
#[derive(Debug, Error)]
pub(super) enum CliError {
    /// There is no display, or none that can draw.
    #[error(
        "the window cannot be opened: {0}; expected an X11 or Wayland display with OpenGL \
         (`fieldstop --help` lists what works without one)"
    )]
    NoWindow(String),
    /// The kit was refused.
    #[error(transparent)]
    Kit(#[from] KitFileError),
    /// The program's own sky data cannot be read.
    #[error(transparent)]
    Sky(#[from] SkyError),
    /// No rig of that name.
    #[error("no rig is called {name:?}; expected one of {}", in_words(rigs))]
    NoRig { name: String, rigs: Vec<String> },
    /// No target of that name.
    #[error(
        "no target is called {name:?}, neither in the wish list nor in the catalogue{}",
        suggestion(similar)
    )]
    NoTarget { name: String, similar: Vec<String> },
    /// A search for nothing.
    #[error("found an empty text; expected something to search for, such as \"M 31\" or \"veil\"")]
    NoText,
    /// A search without an answer.
    #[error(
        "nothing in the catalogue is called {text:?}; expected a designation, a common name or \
             a constellation, such as \"M 31\", \"veil\" or \"Cygnus\"{}",
        spelt_nearly_so(similar)
    )]
    NothingFound { text: String, similar: Vec<String> },
    /// Neither a command nor a file.
    #[error("there is neither a command nor a file that is called {}; `fieldstop --help` lists the \
             commands", path.display())]
    NoSuchFile { path: PathBuf },
    /// The mosaic is out of all reason.
    #[error(transparent)]
    Panels(#[from] MosaicError),
    /// The mosaic has no such panel.
    #[error("there is no panel {panel}; expected a number from 1 to {panels}")]
    NoPanel { panel: usize, panels: usize },
    /// The calendar has no such nights.
    #[error("the nights of {year} cannot be worked out; expected a year from 1950 to 2100")]
    NoYear { year: i16 },
    /// What is written would take the kit's place.
    #[error("{} is the kit itself; expected another name for what is written", path.display())]
    OverKit { path: PathBuf },
    /// The file's name does not tell what it is to be.
    #[error(transparent)]
    Suffix(#[from] SuffixError),
    /// The picture could not be drawn.
    #[error(transparent)]
    Sketch(#[from] SketchError),
    /// The table cannot be made.
    #[error(transparent)]
    Table(TableError),
    /// The table is about something that was not named.
    #[error("{why}; expected {argument}")]
    TableNeeds { why: String, argument: &'static str },
    /// The kit could not be saved.
    #[error(transparent)]
    Save(#[from] SaveError),
    /// The list of targets was refused.
    #[error("{}: {source}", path.display())]
    Wishes { path: PathBuf, source: WishFileError },
    /// The kit would take the list's place.
    #[error("{} is the list itself; expected another name for the kit", path.display())]
    OverList { path: PathBuf },
    /// The list could not be written.
    #[error(transparent)]
    WriteWishes(#[from] WishWriteError),
    /// The table could not be written as CSV.
    #[error("the table cannot be written as CSV: {0}")]
    Csv(#[source] csv::Error),
    /// The strip could not be drawn.
    #[error(transparent)]
    Strip(#[from] StripError),
    /// The sheet could not be made.
    #[error(transparent)]
    Sheet(#[from] SheetError),
    /// The file asked for could not be written.
    #[error(transparent)]
    Write(#[from] WriteError),
    /// Numbers without a JSON form.
    #[error("the answer cannot be written as JSON: {0}")]
    Json(#[source] serde_json::Error),
    /// Whoever reads the answer stopped, or the disk is full.
    #[error("the answer could not be written: {0}")]
    Output(#[source] io::Error),
}

/// Names in a row.
fn in_words(names: &[String]) -> String {
    if names.is_empty() {
        return "the kit's rigs, but it has none".to_owned();
    }
    names.iter().map(|name| format!("{name:?}")).collect::<Vec<_>>().join(", ")
}

fn spelt_nearly_so(similar: &[String]) -> String {
    if similar.is_empty() {
        String::new()
    } else {
        format!("; spelt nearly so are {}", similar.join(", "))
    }
}

fn suggestion(similar: &[String]) -> String {
    if similar.is_empty() {
        "; `fieldstop find` searches by parts of names".to_owned()
    } else {
        format!("; similar are {}", similar.join(", "))
    }
}
