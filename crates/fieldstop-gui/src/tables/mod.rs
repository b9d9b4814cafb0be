//! Every table that the program shows, as rows under headings with units, for CSV and for other
//! programs: one file a table.
//!
//! The rows come from the functions that the views and the command line's JSON rest on, so the
//! numbers are the same to the last digit. [`csv`] says how they are written.

mod bodies;
mod checklist;
pub mod choose;
mod comparison;
mod costs;
mod coverage;
pub mod csv;
pub mod demands;
mod findings;
pub mod fits;
mod frames;
mod grades;
pub mod night;
pub mod nights;
pub mod panels;
pub mod question;
mod ranges;
pub mod rigs;
pub mod season;
mod table_name;
mod wishes;
mod year;

use fieldstop::Angle;
use fieldstop::sexagesimal::{dec_text, ra_text};

pub use question::{TableError, TableQuestion, work_out};
pub use table_name::TableName;

/// The year that usable hours are counted in unless another is asked for. Dark hours above a limit
/// hardly differ from year to year, and the same command says the same on any day.
pub const USUAL_YEAR: i16 = 2026;

/// One entry of a table.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Unknown, or there is no such thing; the file has nothing there.
    Empty,
    /// A name, a word, a time.
    Text(String),
    /// In the column's unit, unrounded.
    Number(f64),
    /// A count.
    Whole(i64),
    /// Yes or no.
    Flag(bool),
}

impl From<f64> for Cell {
    /// A number that is none, as absurd parts lead to, is an empty cell.
    fn from(number: f64) -> Self {
        if number.is_finite() { Self::Number(number) } else { Self::Empty }
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<u32> for Cell {
    fn from(count: u32) -> Self {
        Self::Whole(count.into())
    }
}

impl From<bool> for Cell {
    fn from(flag: bool) -> Self {
        Self::Flag(flag)
    }
}

impl<T: Into<Self>> From<Option<T>> for Cell {
    fn from(known: Option<T>) -> Self {
        known.map_or(Self::Empty, Into::into)
    }
}

/// A count as a cell.
fn count(number: usize) -> Cell {
    // OK because nothing here is counted beyond what an i64 holds.
    Cell::Whole(i64::try_from(number).unwrap_or(i64::MAX))
}

/// The heading of a column.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub struct Column {
    /// Its heading in the file; a number's ends with its unit.
    pub name: &'static str,
    /// Its unit, spelled out; empty for words, counts and plain ratios.
    pub unit: &'static str,
    /// What stands in it.
    pub what: &'static str,
}

/// A heading, for the lists of the tables.
const fn column(name: &'static str, unit: &'static str, what: &'static str) -> Column {
    Column { name, unit, what }
}

/// A table worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Which.
    pub name: TableName,
    /// Its headings.
    pub columns: Vec<Column>,
    /// One cell a heading in each.
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// The table as CSV.
    ///
    /// # Errors
    /// When the writer refuses, which one into memory does not.
    pub fn to_csv(&self) -> Result<String, ::csv::Error> {
        csv::text(&self.columns, &self.rows)
    }
}

/// Headings of a place on the sky, ICRS: degrees to compute with, sexagesimal to read.
const PLACE: [Column; 4] = [
    column("ra_deg", "deg", "right ascension, ICRS"),
    column("dec_deg", "deg", "declination, ICRS"),
    column("ra_hms", "h m s", "right ascension, ICRS"),
    column("dec_dms", "deg arcmin arcsec", "declination, ICRS"),
];

/// A place on the sky under [`PLACE`].
pub(crate) fn place_cells(ra_deg: f64, dec_deg: f64) -> [Cell; 4] {
    [
        ra_deg.into(),
        dec_deg.into(),
        ra_text(Angle::from_deg(ra_deg), 2).into(),
        dec_text(Angle::from_deg(dec_deg), 1).into(),
    ]
}
