//! Why a picture cannot stand under the frames.

use std::io;

use thiserror::Error;

use super::MOST_MEGAPIXELS;
use crate::files::replace_file::io_words;
use crate::words::shortened;

/// Why a picture cannot stand under the frames. What stood there before still does.
#[derive(Debug, Error)]
pub enum PictureError {
    /// The file cannot be read.
    #[error("the picture cannot be read: {}", io_words(source))]
    Unreadable {
        /// What the system said.
        #[from]
        source: io::Error,
    },
    /// Something that is not an ordinary file has that name.
    #[error("it is {0}; expected a picture's file")]
    NotAFile(&'static str),
    /// None of the kinds that can be shown.
    #[error("it is {0}; expected a FITS, PNG, JPEG or TIFF picture")]
    OtherKind(&'static str),
    /// The file holds less than it announces.
    #[error(
        "the file ends too early: {what} needs a file of {announced} bytes, and this one holds {held}"
    )]
    CutOff {
        /// What does not fit into it.
        what: String,
        /// Bytes that there should be.
        announced: u64,
        /// Bytes that there are.
        held: u64,
    },
    /// The file ends before the picture does.
    #[error("the file ends too early: {0}")]
    EndsEarly(String),
    /// More pixels than the program takes on, or none.
    #[error(
        "it announces {width} x {height} pixels; expected at least 2 each way, at most 100,000, \
         and at most {MOST_MEGAPIXELS} megapixels"
    )]
    Size {
        /// Pixels across.
        width: u64,
        /// Pixels down.
        height: u64,
    },
    /// Unpacking it would take too much memory.
    #[error(
        "unpacking it would take {megabytes} MB; expected at most 950. Save it with 8 bits a colour, \
         as FITS or PNG, or smaller"
    )]
    TooLarge {
        /// Bytes, in millions.
        megabytes: u64,
    },
    /// A header that is not one.
    #[error("its FITS header cannot be used: {0}")]
    Header(String),
    /// A FITS file without a picture.
    #[error("it holds no picture, {0}; expected one of 2 axes, or of 3 with one or three colours")]
    NoImage(&'static str),
    /// The decoder refused the pixels.
    #[error("its pixels cannot be read: {0}")]
    Pixels(String),
    /// Every pixel is blank.
    #[error("all its pixels are blank")]
    Blank,
    /// Nothing says where on the sky it lies.
    #[error(
        "nothing says where on the sky it lies: expected world coordinates in its header or its \
         metadata (AVM), or a FITS header of the same name beside it, ending in .wcs or .hdr"
    )]
    NoCoordinates,
    /// World coordinates that cannot be used.
    #[error("its world coordinates cannot be used ({form}): {why}")]
    Coordinates {
        /// Where they stand.
        form: String,
        /// What is wrong, and what was expected.
        why: String,
    },
    /// Its path cannot be kept in a kit.
    #[error("its path is no Unicode text, so the kit could not name it; rename it, or its folder")]
    Path,
    /// The one who waited for it said stop.
    #[error("stopped before it was read")]
    Stopped,
    /// The reader failed in a way that nobody foresaw.
    #[error("reading it failed in a way that was not foreseen, so it is probably damaged")]
    Lost,
}

impl PictureError {
    /// What a decoder says of pixels, without the lists of numbers that a damaged file can bring into it.
    pub(super) fn pixels(error: &impl std::fmt::Display) -> Self {
        Self::Pixels(shortened(&error.to_string(), 200))
    }
}
