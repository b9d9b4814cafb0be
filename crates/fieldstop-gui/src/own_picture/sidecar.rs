//! A FITS header that lies beside a picture and says where it is on the sky.

use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};

use fieldstop::fits_header::CARD;
use fitsio_pure::header::{Card, parse_card};

use super::error::PictureError;

/// Endings of such a file's name, in the order they are looked for.
const ENDINGS: [&str; 4] = ["wcs", "hdr", "WCS", "HDR"];
/// More is no header: 25,000 cards.
const LARGEST: u64 = 2_000_000;

/// The header beside a picture, if there is one.
pub(super) fn beside(picture: &Path) -> Option<PathBuf> {
    let named = ENDINGS.into_iter().map(|ending| picture.with_extension(ending));
    named.into_iter().find(|path| path != picture && path.is_file())
}

/// Reads a header: cards of 80 characters on end, as FITS has them, or one in a line.
pub(super) fn read(path: &Path) -> Result<Vec<Card>, PictureError> {
    let refused = |why: String| PictureError::Header(format!("{}: {why}", path.display()));
    if fs::metadata(path)?.len() > LARGEST {
        return Err(refused("it is longer than any header".to_owned()));
    }
    let mut bytes = Vec::new();
    File::open(path)?.take(LARGEST).read_to_end(&mut bytes)?;
    // Only the header: what follows END need not be text.
    let first = bytes.get(..=CARD).unwrap_or(&bytes);
    let in_lines = first.contains(&b'\n');
    let lines: Vec<&[u8]> = if in_lines {
        bytes
            .split(|byte| *byte == b'\n')
            .map(|line| line.strip_suffix(b"\r").unwrap_or(line))
            .collect()
    } else {
        bytes.chunks(CARD).collect()
    };
    let mut cards = Vec::new();
    for line in lines {
        let line = line.get(..CARD).unwrap_or(line);
        let mut card = [b' '; CARD];
        for (place, byte) in card.iter_mut().zip(line) {
            *place = *byte;
        }
        if card.starts_with(b"END     ") {
            return Ok(cards);
        }
        cards.push(parse_card(&card).map_err(|error| refused(error.to_string()))?);
    }
    Err(refused(
        "it has no END; expected cards of 80 characters, on end or one in a line".to_owned(),
    ))
}
