//! What the end of a file's name says of it.

use std::path::{Path, PathBuf};

use thiserror::Error;

/// A file name that does not tell what the file is to be.
#[derive(Debug, Error, PartialEq)]
#[error("{} {}; expected a name that ends in {expected}", path.display(), found_words(found))]
pub struct SuffixError {
    /// The file wanted.
    pub path: PathBuf,
    /// What its name ends in.
    pub found: String,
    /// What it may end in, in words.
    pub expected: &'static str,
}

fn found_words(found: &str) -> String {
    if found.is_empty() { "has no ending".to_owned() } else { format!("ends in {found:?}") }
}

impl SuffixError {
    /// That this name does not end as it should.
    pub fn of(path: &Path, expected: &'static str) -> Self {
        let found = path.extension().unwrap_or_default().to_string_lossy().into_owned();
        Self { path: path.to_owned(), found, expected }
    }
}

/// The end of a name in small letters; empty if it has none.
pub fn suffix(path: &Path) -> String {
    path.extension().unwrap_or_default().to_string_lossy().to_lowercase()
}

/// Refuses a name that does not end so.
///
/// # Errors
/// [`SuffixError`].
pub fn check(path: &Path, wanted: &str, expected: &'static str) -> Result<(), SuffixError> {
    if suffix(path) == wanted { Ok(()) } else { Err(SuffixError::of(path, expected)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wrong_end_is_told_with_the_right_one() {
        assert_eq!(check(Path::new("a.b/list.CSV"), "csv", ".csv"), Ok(()));
        let told = |name: &str| check(Path::new(name), "csv", ".csv").map_err(|e| e.to_string());
        let end = "expected a name that ends in .csv";
        assert_eq!(told("list.xls"), Err(format!("list.xls ends in \"xls\"; {end}")));
        assert_eq!(told("list"), Err(format!("list has no ending; {end}")));
        assert!(told(".csv").is_err() && told("csv").is_err());
    }
}
