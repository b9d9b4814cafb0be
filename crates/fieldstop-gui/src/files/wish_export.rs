//! The wish list as the file that its name asks for.

use std::path::Path;

use fieldstop::kit::Kit;
use thiserror::Error;

use super::replace_file::{self, WriteError};
use super::suffix::{SuffixError, suffix};
use super::{wish_csv, wish_votable};
use crate::sky::catalogue::Catalogue;

/// Why the list was not written. What the file held before is still there.
#[derive(Debug, Error)]
pub enum WishWriteError {
    /// Neither a table nor a VOTable by its name.
    #[error(transparent)]
    Suffix(#[from] SuffixError),
    /// The writer of CSV gave up.
    #[error("the list cannot be written as CSV: {0}")]
    Csv(#[from] csv::Error),
    /// The writer of VOTables gave up.
    #[error("the list cannot be written as a VOTable: {0}")]
    VoTable(#[from] votable::error::VOTableError),
    /// The file could not be written.
    #[error(transparent)]
    Write(#[from] WriteError),
}

/// Writes the wish list: CSV or a VOTable, by the ending of the file's name.
///
/// # Errors
/// [`WishWriteError`], with what the file held before untouched.
pub fn write(path: &Path, kit: &Kit, catalogue: &Catalogue) -> Result<(), WishWriteError> {
    let text = match suffix(path).as_str() {
        "csv" => wish_csv::write(kit, catalogue)?,
        "xml" | "vot" | "votable" => wish_votable::write(kit, catalogue)?,
        _ => return Err(SuffixError::of(path, ".csv, or .xml or .vot for a VOTable").into()),
    };
    Ok(replace_file::replace(path, text.as_bytes())?)
}
