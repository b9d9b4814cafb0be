//! Why a kit file was refused, said so that a person can mend it.

use std::fmt;
use std::io;
use std::str::Utf8Error;

use fieldstop::kit::{FORMAT, KitFault};
use thiserror::Error;

use super::replace_file::io_words;

/// Why a kit file was refused: which file, where in it, and the fact.
#[derive(Debug)]
pub struct KitFileError {
    /// The file, as it was named.
    pub file: String,
    /// Line and column, where the fault has one.
    pub place: Option<TextPlace>,
    /// Path of the field in words, such as `otas, entry 1 "60 mm doublet", aperture_mm`; may be empty.
    pub field: String,
    /// What was found and what was expected.
    pub fault: Box<Fault>,
}

/// A place in a text, as editors count: from 1, columns in characters.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub struct TextPlace {
    /// From 1.
    pub line: usize,
    /// From 1.
    pub column: usize,
}

impl TextPlace {
    pub(super) fn at_byte(text: &str, byte: usize) -> Self {
        let before = text.get(..byte).unwrap_or(text);
        let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
        let column = before.get(line_start..).unwrap_or("").chars().count() + 1;
        Self { line: before.matches('\n').count() + 1, column }
    }
}

/// The fact that makes a kit file unusable.
#[derive(Debug, Error)]
pub enum Fault {
    /// It could not be opened or read.
    #[error("it cannot be read: {}", io_words(.0))]
    Unreadable(#[source] io::Error),
    /// A folder, a device, a pipe.
    #[error("found {0}; expected a kit file")]
    NotAFile(&'static str),
    /// Larger than [`LARGEST`](super::kit_file::LARGEST).
    #[error("the file is larger than 16 MB; expected a kit file, which has some kilobytes")]
    TooLarge,
    /// Not text.
    #[error("found bytes that are not UTF-8; expected a text file")]
    NotUtf8(#[source] Utf8Error),
    /// Written by a later version of the program.
    #[error(
        "format is {found}; expected {FORMAT}: the kit was written by a later version of Fieldstop"
    )]
    Newer {
        /// The file's format.
        found: u64,
    },
    /// Not RON, or another kind of value than belongs there.
    #[error("found {found}; expected {expected}")]
    Syntax {
        /// The text at that place.
        found: String,
        /// What belongs there.
        expected: String,
        /// As the reader of RON put it.
        source: ron::Error,
    },
    /// A number outside its range; the words come from the range itself.
    #[error("{0}")]
    OutOfRange(String),
    /// A name that no field or class has.
    #[error("found {found}; expected {}", one_of(expected))]
    UnknownName {
        /// The name found.
        found: String,
        /// The names that belong there.
        expected: &'static [&'static str],
    },
    /// A field that has to be there.
    #[error("the field {field} is missing; expected every field that is not optional")]
    Missing {
        /// Its name.
        field: &'static str,
    },
    /// A field given twice.
    #[error("the field {field} is given twice; expected it once")]
    Twice {
        /// Its name.
        field: &'static str,
    },
    /// Parts that do not go together.
    #[error(transparent)]
    Kit(#[from] KitFault),
    /// No such time zone.
    #[error("found {name:?}; expected the IANA name of a time zone, such as \"Europe/London\"")]
    TimeZone {
        /// As found.
        name: String,
    },
    /// A wanted target that the catalogue does not know.
    #[error(
        "found {name:?}, which the catalogue does not hold; expected a designation such as \"M 31\", or Custom(...) with a place of your own"
    )]
    Target {
        /// As found.
        name: String,
    },
}

impl fmt::Display for KitFileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if let Some(TextPlace { line, column }) = self.place {
            write!(f, ", line {line}, column {column}")?;
        }
        if !self.field.is_empty() {
            write!(f, ", {}", self.field)?;
        }
        write!(f, ": {}", self.fault)
    }
}

impl std::error::Error for KitFileError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        Some(&*self.fault)
    }
}

fn one_of(names: &[&str]) -> String {
    match names {
        [] => "no name here".to_owned(),
        [only] => (*only).to_owned(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}
