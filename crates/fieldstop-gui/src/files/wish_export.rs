//! The wish list as the file that its name asks for.

use std::path::{Path, PathBuf};

use fieldstop::kit::Kit;
use thiserror::Error;

use super::replace_file::{self, WriteError};
use super::{wish_csv, wish_votable};
use crate::sky::catalogue::Catalogue;

/// Why the list was not written. What the file held before is still there.
#[derive(Debug, Error)]
pub enum WishWriteError {
    /// Neither a table nor a VOTable by its name.
    #[error("{}: expected a name that ends in .csv, or in .xml or .vot for a VOTable", path.display())]
    Format {
        /// The file wanted.
        path: PathBuf,
    },
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
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("csv") => Ok(wish_csv::write(kit, catalogue)?),
        Some("xml" | "vot" | "votable") => Ok(wish_votable::write(kit, catalogue)?),
        _ => Err(WishWriteError::Format { path: path.to_owned() }),
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
