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

/// The wish list as the contents of a file: CSV or a VOTable, by the ending of its name.
///
/// # Errors
/// [`WishWriteError`].
pub fn text(path: &Path, kit: &Kit, catalogue: &Catalogue) -> Result<String, WishWriteError> {
    match suffix(path).as_str() {
        "csv" => Ok(wish_csv::write(kit, catalogue)?),
        "xml" | "vot" | "votable" => Ok(wish_votable::write(kit, catalogue)?),
        _ => Err(SuffixError::of(path, ".csv, or .xml or .vot for a VOTable").into()),
    }
}

/// Writes the wish list.
///
/// # Errors
/// [`WishWriteError`], with what the file held before untouched.
pub fn write(path: &Path, kit: &Kit, catalogue: &Catalogue) -> Result<(), WishWriteError> {
    let text = text(path, kit, catalogue)?;
    Ok(replace_file::replace(path, text.as_bytes())?)
}
