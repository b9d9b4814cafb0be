//! FITS pictures, read in strips: of the file's 100 megapixels only what is kept is in memory.

use std::fs::File;
use std::io::{Read, Seek, SeekFrom};

use fitsio_pure::header::{Card, parse_header_blocks};

use super::coordinates::Cards;
use super::error::PictureError;
use super::reduce::{Plane, Reducer, factor};
use super::{Go, MOST_MEGAPIXELS, check_size};

/// Bytes of a block of the file.
const BLOCK: u64 = fieldstop::fits_header::BLOCK as u64;
/// A header of more blocks than this is none: 36,000 cards.
const MOST_BLOCKS: usize = 1000;
/// Pictures and tables that are looked through.
const MOST_UNITS: usize = 200;
/// Bytes that are read at a time.
const STRIP: usize = 4_000_000;

/// A picture in a FITS file, found and not read yet.
pub(super) struct FitsImage {
    /// Its header.
    pub cards: Vec<Card>,
    pub width: u32,
    pub height: u32,
    colours: usize,
    bitpix: i64,
    begins: u64,
}

impl FitsImage {
    /// Its size, for a message.
    fn words(&self) -> String {
        let Self { width, height, colours, bitpix, .. } = self;
        let layers = if *colours == 1 { "" } else { ", three colours," };
        format!(
            "a picture of {width} x {height} pixels{layers} of {} bits each",
            bitpix.unsigned_abs()
        )
    }
}

/// The first picture with world coordinates, or else the first one at all. A part that is no use does
/// no harm to one that is.
pub(super) fn find(file: &mut File, length: u64) -> Result<FitsImage, PictureError> {
    let mut plain = None;
    let mut refused = None;
    let mut none = "only tables or empty parts";
    let mut at = 0;
    for unit in 0..MOST_UNITS {
        if unit > 0 && length.saturating_sub(at) < BLOCK {
            break;
        }
        let (cards, header) = match header(file, at, length) {
            Ok(found) => found,
            // What follows the last part may be anything.
            Err(_) if unit > 0 => break,
            Err(error) => return Err(error),
        };
        let cards_of = Cards(&cards);
        let data = match data_bytes(&cards_of) {
            Ok(data) => data,
            // Where the next part begins is not known either.
            Err(_) if plain.is_some() => break,
            Err(error) => return Err(error),
        };
        let begins = at + header;
        if cards_of.is_so("ZIMAGE") {
            none = "or a compressed one, which has to be unpacked first";
        }
        if is_image(&cards_of, unit) && data > 0 {
            let ends = begins.saturating_add(data);
            // What was found before the cut is whole.
            if ends > length && plain.is_some() {
                break;
            }
            let image = image(cards, begins);
            if let Ok(image) = &image
                && ends > length
            {
                let what = image.words();
                return Err(PictureError::CutOff { what, announced: ends, held: length });
            }
            match image {
                Ok(image) if Cards(&image.cards).has_coordinates() => return Ok(image),
                Ok(image) => plain = plain.or(Some(image)),
                Err(error) => refused = refused.or(Some(error)),
            }
        }
        at = data
            .div_ceil(BLOCK)
            .checked_mul(BLOCK)
            .and_then(|data| begins.checked_add(data))
            .unwrap_or(u64::MAX);
    }
    plain.ok_or(refused.unwrap_or(PictureError::NoImage(none)))
}

/// The cards of the header that begins there, and how many bytes it takes.
fn header(file: &mut File, at: u64, length: u64) -> Result<(Vec<Card>, u64), PictureError> {
    file.seek(SeekFrom::Start(at))?;
    let mut bytes = Vec::new();
    let mut block = [0u8; BLOCK as usize];
    for _ in 0..MOST_BLOCKS {
        let read = bytes.len() as u64;
        if length.saturating_sub(at + read) < BLOCK {
            let what = "its FITS header, which has no END so far,".to_owned();
            let announced = at + read + BLOCK;
            return Err(PictureError::CutOff { what, announced, held: length });
        }
        file.read_exact(&mut block)?;
        bytes.extend_from_slice(&block);
        if block.chunks(fieldstop::fits_header::CARD).any(|card| card.starts_with(b"END     ")) {
            let cards = parse_header_blocks(&bytes)
                .map_err(|error| PictureError::Header(error.to_string()))?;
            return Ok((cards, bytes.len() as u64));
        }
    }
    Err(PictureError::Header("it has no end".to_owned()))
}

fn is_image(cards: &Cards<'_>, unit: usize) -> bool {
    let is_kind = if unit == 0 {
        cards.is_so("SIMPLE") && !cards.is_so("GROUPS")
    } else {
        cards.text("XTENSION") == Some("IMAGE")
    };
    is_kind && cards.whole("NAXIS").is_some_and(|axes| axes >= 2)
}

/// Bytes of the data behind a header.
///
/// # Source
/// FITS standard 4.0, equation 2.
fn data_bytes(cards: &Cards<'_>) -> Result<u64, PictureError> {
    let refused = |keyword: &str, expected: &str| {
        PictureError::Header(format!("{}; expected {expected}", cards.found(keyword)))
    };
    let too_much = || {
        PictureError::Header(format!(
            "{} and {}, with more numbers than can be counted; expected at most {MOST_MEGAPIXELS} \
             megapixels",
            cards.found("NAXIS1"),
            cards.found("NAXIS2")
        ))
    };
    let whole = |keyword: &str| cards.whole(keyword).and_then(|whole| u64::try_from(whole).ok());
    let axes = whole("NAXIS").filter(|axes| *axes <= 999);
    let axes = axes.ok_or_else(|| refused("NAXIS", "a whole number from 0 to 999"))?;
    if axes == 0 {
        return Ok(0);
    }
    let mut values = 1u64;
    for axis in 1..=axes {
        let name = format!("NAXIS{axis}");
        let side = whole(&name).ok_or_else(|| refused(&name, "a whole number from 0 up"))?;
        // Random groups state 0 for their first axis.
        if !(axis == 1 && side == 0 && cards.is_so("GROUPS")) {
            values = values.checked_mul(side).ok_or_else(too_much)?;
        }
    }
    let bits = cards.whole("BITPIX").filter(|bits| matches!(bits, 8 | 16 | 32 | 64 | -32 | -64));
    let bits = bits.ok_or_else(|| refused("BITPIX", "8, 16, 32, 64, -32 or -64"))?;
    let (groups, extra) = (whole("GCOUNT").unwrap_or(1), whole("PCOUNT").unwrap_or(0));
    values
        .checked_add(extra)
        .and_then(|values| values.checked_mul(groups))
        .and_then(|values| values.checked_mul(bits.unsigned_abs() / 8))
        .ok_or_else(too_much)
}

fn image(cards: Vec<Card>, begins: u64) -> Result<FitsImage, PictureError> {
    let of = Cards(&cards);
    let side = |axis: i64| of.whole(&format!("NAXIS{axis}")).unwrap_or(0).unsigned_abs();
    let axes = of.whole("NAXIS").unwrap_or(0);
    let layers = (3..=axes.min(999)).try_fold(1u64, |layers, axis| layers.checked_mul(side(axis)));
    let colours = match layers {
        Some(1) => 1,
        Some(3) => 3,
        _ => return Err(PictureError::NoImage("or one of another number of layers")),
    };
    let (width, height) = check_size(side(1), side(2))?;
    let bitpix = of.whole("BITPIX").unwrap_or(0);
    Ok(FitsImage { width, height, colours, bitpix, begins, cards })
}

/// Reads and reduces a picture; one plane a colour.
pub(super) fn read(
    file: &mut File,
    image: &FitsImage,
    go: &mut Go<'_>,
) -> Result<Vec<Plane>, PictureError> {
    let scaling = Scaling::of(&Cards(&image.cards));
    let factor = factor(image.width, image.height);
    let pixel = image.bitpix.unsigned_abs() as usize / 8;
    let row_bytes = image.width as usize * pixel;
    let rows_at_once = (STRIP / row_bytes).max(1);
    let mut strip = vec![0u8; rows_at_once * row_bytes];
    let mut row = vec![0f32; image.width as usize];
    let rows = image.height as usize;
    file.seek(SeekFrom::Start(image.begins))?;
    let mut planes = Vec::with_capacity(image.colours);
    for colour in 0..image.colours {
        let mut reducer = Reducer::new(image.width, factor);
        let mut done = 0;
        while done < rows {
            let share = (colour * rows + done) as f32 / (image.colours * rows) as f32;
            if !go(share) {
                return Err(PictureError::Stopped);
            }
            let here = rows_at_once.min(rows - done);
            let bytes = strip.get_mut(..here * row_bytes).unwrap_or_default();
            file.read_exact(bytes)?;
            for bytes in bytes.chunks_exact(row_bytes) {
                scaling.row(image.bitpix, bytes, &mut row);
                reducer.row(&row);
            }
            done += here;
        }
        planes.push(reducer.finish());
    }
    Ok(planes)
}

/// How stored numbers become values.
///
/// # Source
/// FITS standard 4.0, sections 4.4.2.5 and 5.
struct Scaling {
    scale: f64,
    zero: f64,
    blank: Option<i64>,
}

impl Scaling {
    fn of(cards: &Cards<'_>) -> Self {
        Self {
            scale: cards.number("BSCALE").unwrap_or(1.0),
            zero: cards.number("BZERO").unwrap_or(0.0),
            blank: cards.whole("BLANK"),
        }
    }

    /// Decodes a row; what is blank becomes a NaN.
    fn row(&self, bitpix: i64, bytes: &[u8], row: &mut [f32]) {
        let whole = |number: i64| {
            if self.blank == Some(number) { f32::NAN } else { self.value(number as f64) }
        };
        match bitpix {
            8 => fill(row, bytes, |[byte]: [u8; 1]| whole(byte.into())),
            16 => fill(row, bytes, |bytes| whole(i16::from_be_bytes(bytes).into())),
            32 => fill(row, bytes, |bytes| whole(i32::from_be_bytes(bytes).into())),
            64 => fill(row, bytes, |bytes| whole(i64::from_be_bytes(bytes))),
            -32 => fill(row, bytes, |bytes| self.value(f32::from_be_bytes(bytes).into())),
            _ => fill(row, bytes, |bytes| self.value(f64::from_be_bytes(bytes))),
        }
    }

    fn value(&self, number: f64) -> f32 {
        (number * self.scale + self.zero) as f32
    }
}

fn fill<const BYTES: usize>(row: &mut [f32], bytes: &[u8], value: impl Fn([u8; BYTES]) -> f32) {
    let (numbers, _) = bytes.as_chunks::<BYTES>();
    for (pixel, number) in row.iter_mut().zip(numbers) {
        *pixel = value(*number);
    }
}
