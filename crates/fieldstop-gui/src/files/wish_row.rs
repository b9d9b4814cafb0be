//! What a file says of the targets that it lists, before anything is looked up.

use std::fmt;
use std::io;

use serde::Serialize;
use thiserror::Error;

use super::replace_file::io_words;

use crate::words::shortened;

/// The largest file that is read, bytes (16 MB): a thousand times any list made by hand.
pub const LARGEST: u64 = 16_000_000;
/// Rows that are read; what follows is left, and said to be.
pub const MOST_ROWS: usize = 20_000;
/// Characters of a field; a longer one is no name and no number.
pub const LONGEST_FIELD: usize = 1_000;
/// Characters of a name.
pub const LONGEST_NAME: usize = 200;
/// Columns of a table; a wider one is no list of targets.
pub const MOST_COLUMNS: usize = 500;

/// Where in its file a target stands.
#[derive(Clone, Copy, Debug, Eq, PartialEq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum At {
    /// A line, as editors count: from 1.
    Line(u64),
    /// A row of packed data, which has no lines; from 1.
    Row(u64),
}

impl fmt::Display for At {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Line(line) => write!(f, "line {line}"),
            Self::Row(row) => write!(f, "row {row}"),
        }
    }
}

/// One target as a file has it.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadRow {
    /// Where it stands.
    pub at: At,
    /// Its name, without spaces around it; may be empty.
    pub name: String,
    /// Whether the file says that it is the person's own, whatever the catalogue calls so.
    pub own: bool,
    /// Right ascension and declination, ICRS, degrees, in range.
    pub place_deg: Option<(f64, f64)>,
    /// Full major axis, above 0.
    pub major_arcmin: Option<f64>,
    /// Full minor axis, above 0, at most the major one.
    pub minor_arcmin: Option<f64>,
    /// Of the major axis, from north through east.
    pub pa_deg: Option<f64>,
    /// Mean, in V.
    pub surface_brightness_mag_arcsec2: Option<f64>,
    /// What of the row makes no sense; it then counts only by its name.
    pub fault: Option<String>,
}

/// What a file lists.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReadList {
    /// In the file's order.
    pub rows: Vec<ReadRow>,
    /// How the file was taken, where that was not plain: a unit assumed, a column left.
    pub remarks: Vec<String>,
}

/// Why a file is no list of targets. Nothing of it is taken.
#[derive(Debug, Error)]
pub enum WishFileError {
    /// It could not be opened or read.
    #[error("it cannot be read: {}", io_words(.0))]
    Unreadable(#[source] io::Error),
    /// A folder, a device, a pipe.
    #[error("found {0}; expected a file with a list of targets")]
    NotAFile(&'static str),
    /// Larger than [`LARGEST`].
    #[error("it is larger than 16 MB; expected a list of targets, which has some kilobytes")]
    TooLarge,
    /// Nothing but spaces.
    #[error("it is empty; expected headings and a row for each target")]
    Empty,
    /// Not a text.
    #[error(
        "line {line} has bytes that are no text; expected a CSV file or a VOTable, saved as UTF-8"
    )]
    Binary {
        /// From 1.
        line: usize,
    },
    /// Two bytes a letter.
    #[error("it is saved as UTF-16; expected UTF-8: save it again with that encoding")]
    Utf16,
    /// No column has the names.
    #[error(
        "no heading tells which column has the names; found {found}; expected one called name, target or object"
    )]
    NoNames {
        /// The headings.
        found: String,
    },
    /// More than [`MOST_COLUMNS`].
    #[error("line {line} has more than {MOST_COLUMNS} fields; expected a table of targets")]
    TooWide {
        /// From 1.
        line: usize,
    },
    /// The reader of CSV gave up.
    #[error("it cannot be read as CSV: {0}")]
    Csv(#[source] csv::Error),
    /// Not XML, or XML with what a table has no use for.
    #[error("it cannot be read as a VOTable: {0}")]
    Xml(String),
    /// The reader of VOTables gave up.
    #[error("its table cannot be read: {0}")]
    Table(String),
}

/// A range of names, for a message.
pub(super) fn in_words<'a>(names: impl Iterator<Item = &'a str>) -> String {
    const SHOWN: usize = 12;
    let mut names = names.map(|name| format!("“{}”", shortened(name, 40)));
    let mut shown: Vec<String> = names.by_ref().take(SHOWN).collect();
    let more = names.count();
    if more > 0 {
        shown.push(format!("{more} more"));
    }
    if shown.is_empty() { "none".to_owned() } else { shown.join(", ") }
}
