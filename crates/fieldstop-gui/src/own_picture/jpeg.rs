//! JPEG pictures, unpacked by the library that the crate `image` has for them: through that crate
//! nothing could be told, or stopped, while one is unpacked.

use std::fs::File;
use std::io::{Cursor, Read};

use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use super::Go;
use super::bitmap::{Depth, MOST_BYTES, Unpacked};
use super::error::PictureError;
use super::watch::{Watch, Watched};

/// Share of the progress that fetching the packed bytes takes.
const FETCHED: f32 = 0.1;
/// How often its pixels are in memory at worst: a progressive one has its coefficients, two bytes
/// each, beside its pixels.
const COPIES: u64 = 3;

/// A JPEG in memory, still packed.
pub(super) struct Jpeg {
    bytes: Vec<u8>,
    colours: ColorSpace,
    pub width: usize,
    pub height: usize,
    /// The XMP packet.
    pub xmp: Option<Vec<u8>>,
}

impl Jpeg {
    /// Fetches a file, and reads all but its pixels.
    pub(super) fn open(file: File, go: &mut Go<'_>) -> Result<Self, PictureError> {
        let length = file.metadata()?.len();
        if length > MOST_BYTES {
            return Err(PictureError::TooLarge { megabytes: length / 1_000_000 });
        }
        let mut fetched = |share: f32| go(FETCHED * share);
        let mut watch = Watch::new(length, &mut fetched);
        let mut bytes = Vec::new();
        Watched::new(file, &mut watch).take(MOST_BYTES).read_to_end(&mut bytes)?;
        if watch.is_stopped() {
            return Err(PictureError::Stopped);
        }
        if !has_end(&bytes) {
            return Err(PictureError::EndsEarly(format!(
                "it holds {} bytes, and among them not the mark that ends a JPEG",
                bytes.len()
            )));
        }
        let mut decoder = JpegDecoder::new_with_options(Cursor::new(&bytes), options());
        decoder.decode_headers().map_err(refused)?;
        let (width, height) = decoder.dimensions().unwrap_or_default();
        let colours = match decoder.input_colorspace() {
            Some(grey @ (ColorSpace::Luma | ColorSpace::LumaA)) => grey,
            _ => ColorSpace::RGB,
        };
        let xmp = decoder.xmp().cloned();
        Ok(Self { bytes, colours, width, height, xmp })
    }

    /// Bytes in memory while it is unpacked.
    pub(super) fn bytes_unpacked(&self) -> u64 {
        let samples = self.width as u64 * self.height as u64 * self.colours.num_components() as u64;
        (self.bytes.len() as u64).saturating_add(samples.saturating_mul(COPIES))
    }

    /// Unpacks it.
    pub(super) fn unpack(self, go: &mut Go<'_>) -> Result<Unpacked, PictureError> {
        let mut unpacked = |share: f32| go(FETCHED + (1.0 - FETCHED) * share);
        let mut watch = Watch::new(self.bytes.len() as u64, &mut unpacked);
        let file = Watched::new(Cursor::new(&self.bytes), &mut watch);
        let options = options().jpeg_set_out_colorspace(self.colours);
        let mut decoder = JpegDecoder::new_with_options(file, options);
        let outcome = decoder.decode();
        drop(decoder);
        if watch.is_stopped() {
            return Err(PictureError::Stopped);
        }
        let bytes = outcome.map_err(refused)?;
        let channels = self.colours.num_components();
        if bytes.len() != self.width * self.height * channels {
            return Err(refused("they are not as many as announced"));
        }
        Ok(Unpacked { width: self.width, channels, depth: Depth::Byte, bytes })
    }
}

/// Whether the mark is there that ends the picture. The library paints what lies behind the end of
/// a file that was cut off grey, and says nothing.
///
/// Every mark begins with a byte of all ones. Most are followed by a segment's length, which goes
/// with it, so that the end of a small picture within the metadata is none of this one.
///
/// # Source
/// ITU-T T.81, B.1.1 and table B.1.
fn has_end(bytes: &[u8]) -> bool {
    let mut rest = bytes;
    while let Some(at) = rest.iter().position(|byte| *byte == 0xff) {
        rest = rest.get(at + 1..).unwrap_or_default();
        let length = match rest {
            [0xd9, ..] => return true,
            // A byte of the pixels, a restart or the start; or filling before a mark.
            [0x00 | 0x01 | 0xd0..=0xd8, ..] => 1,
            [0xff, ..] => 0,
            [_, high, low, ..] => 1 + usize::from(u16::from_be_bytes([*high, *low])),
            _ => return false,
        };
        rest = rest.get(length..).unwrap_or_default();
    }
    false
}

/// As browsers do, what can be read of a damaged picture is shown.
fn options() -> DecoderOptions {
    let any = usize::MAX;
    DecoderOptions::default().set_strict_mode(false).set_max_width(any).set_max_height(any)
}

fn refused(error: impl std::fmt::Display) -> PictureError {
    PictureError::pixels(&error)
}
