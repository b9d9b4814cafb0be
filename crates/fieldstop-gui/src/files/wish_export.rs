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

/// Writes the wish list: CSV or a VOTable, by the ending of the file's name.
///
/// # Errors
/// [`WishWriteError`], with what the file held before untouched.
pub fn write(path: &Path, kit: &Kit, catalogue: &Catalogue) -> Result<(), WishWriteError> {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    let text = match ending.as_deref() {
        Some("csv") => wish_csv::write(kit, catalogue)?,
        Some("xml" | "vot" | "votable") => wish_votable::write(kit, catalogue)?,
        _ => return Err(WishWriteError::Format { path: path.to_owned() }),
    };
    Ok(replace_file::replace(path, text.as_bytes())?)
}
