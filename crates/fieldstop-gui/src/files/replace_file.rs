//! Puts new contents in a file so that it holds either the old or the new ones, never half of them.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use atomic_write_file::AtomicWriteFile;
use thiserror::Error;

/// Bytes that are written at a time.
const PIECE: usize = 1 << 20;

/// Why a file was not written. What it held before is still there.
#[derive(Debug, Error)]
pub enum WriteError {
    /// The folder that it should go into does not exist.
    #[error("{}: there is no folder {}; expected a folder that exists", path.display(), folder.display())]
    NoFolder {
        /// The file wanted.
        path: PathBuf,
        /// The folder that is missing.
        folder: PathBuf,
    },
    /// Something that is not an ordinary file has that name.
    #[error("{} is {found}; expected the name of an ordinary file", path.display())]
    NotAFile {
        /// The file wanted.
        path: PathBuf,
        /// What stands there.
        found: &'static str,
    },
    /// The file is marked read-only.
    #[error("{} is read-only; choose another name, or allow writing to it", path.display())]
    ReadOnly {
        /// The file wanted.
        path: PathBuf,
    },
    /// The one who waited for it said stop.
    #[error("{} was not written: it was stopped before", path.display())]
    Stopped {
        /// The file wanted.
        path: PathBuf,
    },
    /// The system refused.
    #[error("{} could not be written: {}", path.display(), io_words(source))]
    Io {
        /// The file wanted.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
}

/// What the system said, without its error numbers.
pub(crate) fn io_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "the system does not allow it".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk is read-only".to_owned(),
        _ => error.to_string(),
    }
}

/// What stands under a path, if it is not an ordinary file.
pub(crate) fn not_a_file(metadata: &fs::Metadata) -> Option<&'static str> {
    if metadata.is_file() {
        None
    } else if metadata.is_dir() {
        Some("a folder")
    } else {
        Some("a device, pipe or socket")
    }
}

/// Writes a file through a temporary one in the same folder, flushed to disk and then renamed.
///
/// A link is followed: the file that it leads to is replaced, not the link. Permissions stay.
///
/// # Errors
/// [`WriteError`], with the old contents untouched.
pub fn replace(path: &Path, contents: &[u8]) -> Result<(), WriteError> {
    replace_unless_stopped(path, contents, &mut |_| true)
}

/// As [`replace`], but told the share that is written, and stopped once `go` says no.
///
/// # Errors
/// [`WriteError`], with the old contents untouched.
pub fn replace_unless_stopped(
    path: &Path,
    contents: &[u8],
    go: &mut dyn FnMut(f32) -> bool,
) -> Result<(), WriteError> {
    let path = destination(path)?;
    let failed = |source| WriteError::Io { path: path.clone(), source };
    let mut file = AtomicWriteFile::open(&path).map_err(failed)?;
    for (number, piece) in contents.chunks(PIECE).enumerate() {
        if !go((number * PIECE) as f32 / contents.len() as f32) {
            return Err(WriteError::Stopped { path });
        }
        file.write_all(piece).map_err(failed)?;
    }
    if !go(1.0) {
        return Err(WriteError::Stopped { path });
    }
    // `commit` flushes to disk before it renames.
    file.commit().map_err(failed)
}

/// Asks before long work whether [`replace`] could begin; the disk may still fill up meanwhile.
///
/// # Errors
/// [`WriteError`], as [`replace`] would give it.
pub fn check(path: &Path) -> Result<(), WriteError> {
    destination(path).map(|_path| ())
}

/// The file that writing to a path would replace.
fn destination(path: &Path) -> Result<PathBuf, WriteError> {
    let failed = |source| WriteError::Io { path: path.to_owned(), source };
    match fs::symlink_metadata(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => new_file(path),
        Err(error) => Err(failed(error)),
        Ok(_) => {
            let path = fs::canonicalize(path).map_err(failed)?;
            let metadata = fs::metadata(&path).map_err(failed)?;
            if let Some(found) = not_a_file(&metadata) {
                return Err(WriteError::NotAFile { path, found });
            }
            if metadata.permissions().readonly() {
                return Err(WriteError::ReadOnly { path });
            }
            Ok(path)
        }
    }
}

/// A path where nothing stands yet, in a folder that exists.
fn new_file(path: &Path) -> Result<PathBuf, WriteError> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    if path.file_name().is_none() {
        return Err(WriteError::NotAFile { path: path.to_owned(), found: "no file name" });
    }
    if folder.is_dir() {
        Ok(path.to_owned())
    } else {
        Err(WriteError::NoFolder { path: path.to_owned(), folder: folder.to_owned() })
    }
}
