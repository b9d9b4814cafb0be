//! Work that no kit file holds yet, kept in the program's own folder until it is saved or given up,
//! so that it outlives a crash, a kill and a power cut.
//!
//! Every running window has a slot of its own: a lock that the system lets go of however the window
//! ends, and beside it a file with the work. A file whose lock can be taken was left behind.

use std::fs::{self, File, TryLockError};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use fieldstop::kit::Kit;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::fingerprint::Fingerprint;
use super::kit_file::{self, KnowsTarget, LARGEST, SaveError};
use super::replace_file::{self, WriteError, io_words, not_a_file};

/// More windows than anybody opens; with that many slots taken, the next keeps nothing.
const SLOTS: usize = 100;

/// First line of every file of kept work.
const HEADER: &str = "// Work that was not saved yet. Fieldstop offers it when it starts.\n";

/// A kit as it stood, and the file that it belongs to.
#[derive(Clone, Debug, PartialEq)]
pub struct Unsaved {
    /// The kit with its changes.
    pub kit: Kit,
    /// The file that it was opened from or last saved in.
    pub path: Option<PathBuf>,
    /// What that file held then.
    pub on_disk: Option<Fingerprint>,
}

/// How it stands on disk: the kit is a text of its own, so that it is judged like any kit file.
#[derive(Deserialize, Serialize)]
#[serde(rename = "Unsaved")]
struct Stored {
    path: Option<PathBuf>,
    on_disk: Option<Fingerprint>,
    kit: String,
}

/// Why work was not kept. What was kept before is still there.
#[derive(Debug, Error)]
pub enum KeepError {
    /// The kit cannot be put into words that open again.
    #[error(transparent)]
    Kit(#[from] SaveError),
    /// The file could not be written.
    #[error(transparent)]
    Write(#[from] WriteError),
    /// RON has no words for it.
    #[error("the work cannot be written as RON: {0}")]
    Text(#[from] ron::Error),
}

/// A window's place for work; nobody else's while this lives.
#[derive(Debug)]
pub struct Slot {
    file: PathBuf,
    _lock: File,
}

/// Work that a window left behind that is no longer there.
#[derive(Debug)]
pub struct LeftBehind {
    /// Where it is kept; its lock is held.
    pub slot: Slot,
    /// The work.
    pub unsaved: Unsaved,
    /// When its file was written, if the system tells.
    pub kept_at: Option<SystemTime>,
}

/// What earlier windows left in a folder.
#[derive(Debug, Default)]
pub struct Found {
    /// Work that can be offered.
    pub work: Vec<LeftBehind>,
    /// Files that are there and cannot be read, each with the reason; they stay where they are.
    pub unreadable: Vec<String>,
}

impl Slot {
    /// Takes a place in a folder where no work is kept, and makes the folder if it is missing.
    ///
    /// # Errors
    /// When the folder cannot be made or nothing can be written there.
    pub fn take(folder: &Path) -> io::Result<Self> {
        fs::create_dir_all(folder)?;
        for number in 1..=SLOTS {
            if let Some(slot) = Self::lock(folder, number)?
                && !slot.file.exists()
            {
                return Ok(slot);
            }
        }
        Err(io::Error::new(io::ErrorKind::QuotaExceeded, "too many windows are open"))
    }

    /// The place of a number, if no window has it.
    fn lock(folder: &Path, number: usize) -> io::Result<Option<Self>> {
        let lock = File::options()
            .create(true)
            .truncate(false)
            .write(true)
            .open(folder.join(format!("unsaved-{number}.lock")))?;
        match lock.try_lock() {
            Ok(()) => {
                let file = folder.join(format!("unsaved-{number}.ron"));
                Ok(Some(Self { file, _lock: lock }))
            }
            Err(TryLockError::WouldBlock) => Ok(None),
            Err(TryLockError::Error(error)) => Err(error),
        }
    }

    /// The file that holds the work, if there is some.
    pub fn file(&self) -> &Path {
        &self.file
    }

    /// Forgets the work that is kept here.
    ///
    /// # Errors
    /// When the file is there and cannot be removed.
    pub fn clear(&self) -> io::Result<()> {
        match fs::remove_file(&self.file) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
            _ => Ok(()),
        }
    }
}

/// Keeps work in the file of a slot: the old work stays until the new is whole on disk.
///
/// # Errors
/// [`KeepError`], with the work kept before untouched.
pub fn keep(file: &Path, unsaved: &Unsaved) -> Result<(), KeepError> {
    let kit = kit_file::text_that_opens(file, &unsaved.kit)?;
    // A path that is no Unicode text has no words in RON: then the work is kept without it.
    let path = unsaved.path.clone().filter(|path| path.to_str().is_some());
    let stored = Stored { path, on_disk: unsaved.on_disk, kit };
    let text = format!("{HEADER}{}\n", ron::ser::to_string(&stored)?);
    Ok(replace_file::replace(file, text.as_bytes())?)
}

/// Looks for work that windows left behind. What another window that is still open keeps is not
/// touched. With a file that cannot be read comes the reason, and the file stays.
pub fn left_behind(folder: &Path, knows_target: KnowsTarget<'_>) -> Found {
    let mut found = Found::default();
    for number in 1..=SLOTS {
        if !folder.join(format!("unsaved-{number}.ron")).exists() {
            continue;
        }
        // A lock that the system cannot give (as on some network disks) is not a reason to touch it.
        let Ok(Some(slot)) = Slot::lock(folder, number) else { continue };
        match read(&slot.file, knows_target) {
            Ok(unsaved) => {
                let kept_at = fs::metadata(&slot.file).and_then(|known| known.modified()).ok();
                found.work.push(LeftBehind { slot, unsaved, kept_at });
            }
            Err(why) => found.unreadable.push(why),
        }
    }
    found
}

fn read(file: &Path, knows_target: KnowsTarget<'_>) -> Result<Unsaved, String> {
    let name = file.display();
    let said = |error: &io::Error| format!("{name}: {}", io_words(error));
    let metadata = fs::metadata(file).map_err(|error| said(&error))?;
    if let Some(found) = not_a_file(&metadata) {
        return Err(format!("{name} is {found}; expected an ordinary file"));
    }
    // Escapes make a kit's text longer, twice at most for what people write.
    let limit = 2 * LARGEST;
    let mut text = String::new();
    let opened = File::open(file).map_err(|error| said(&error))?;
    opened.take(limit + 1).read_to_string(&mut text).map_err(|error| said(&error))?;
    if text.len() as u64 > limit {
        return Err(format!("{name}: larger than {} MB", limit / 1_000_000));
    }
    let stored: Stored = ron::from_str(&text).map_err(|error| format!("{name}: {error}"))?;
    let kit = kit_file::parse(stored.kit.as_bytes(), &name.to_string(), knows_target)
        .map_err(|error| error.to_string())?;
    Ok(Unsaved { kit, path: stored.path, on_disk: stored.on_disk })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;

    fn folder(name: &str) -> PathBuf {
        let folder =
            std::env::temp_dir().join(format!("fieldstop-recovery-{}-{name}", std::process::id()));
        drop(fs::remove_dir_all(&folder));
        folder
    }

    fn work() -> Unsaved {
        Unsaved {
            kit: crate::starting_points::new_kit("A “kit”\nwith \\ and \""),
            path: Some("club.ron".into()),
            on_disk: Some(Fingerprint::of(b"old")),
        }
    }

    #[test]
    fn what_is_kept_is_found_once_its_window_is_gone() {
        let folder = folder("gone");
        let slot = Slot::take(&folder).unwrap();
        keep(slot.file(), &work()).unwrap();
        assert!(left_behind(&folder, &|_| true).work.is_empty(), "the window is still open");
        let beside = Slot::take(&folder).unwrap();
        assert_ne!(beside.file(), slot.file());
        drop(slot);
        let found = left_behind(&folder, &|_| true);
        assert_eq!(found.work.len(), 1);
        assert_eq!(found.work[0].unsaved, work());
        found.work[0].slot.clear().unwrap();
        drop(found);
        assert!(left_behind(&folder, &|_| true).work.is_empty());
        fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn a_file_that_cannot_be_read_stays_and_is_told() {
        let folder = folder("torn");
        fs::create_dir_all(&folder).unwrap();
        let file = folder.join("unsaved-1.ron");
        fs::write(&file, "Unsaved(path: None, on_disk: None, kit: \"Kit(").unwrap();
        let found = left_behind(&folder, &|_| true);
        assert!(found.work.is_empty());
        assert_eq!(found.unreadable.len(), 1);
        assert!(found.unreadable[0].contains("unsaved-1.ron"), "{:?}", found.unreadable);
        assert!(file.exists());
        drop(found);
        assert_ne!(Slot::take(&folder).unwrap().file(), file, "it is not written over either");
        fs::remove_dir_all(&folder).unwrap();
    }
}
