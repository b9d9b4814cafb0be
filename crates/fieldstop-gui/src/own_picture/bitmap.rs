//! PNG, JPEG and TIFF pictures: their size checked before a pixel is unpacked.
//!
//! A PNG is read row by row. A JPEG or TIFF has to be unpacked whole, so there is no progress to
//! tell meanwhile, and its memory is bounded by what is refused.

use std::fs::File;
use std::io::{BufReader, Read, Seek, SeekFrom};

use image::codecs::tiff::TiffDecoder;
use image::{ColorType, DynamicImage, ImageDecoder, ImageReader, Limits};
use png::Transformations;

use super::error::PictureError;
use super::reduce::{Plane, Reducer, factor};
use super::{Go, check_size};

/// What unpacking a picture may take, bytes.
const MOST_BYTES: u64 = 950_000_000;

/// Which bitmap it is.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub(super) enum Kind {
    Png,
    Jpeg,
    Tiff,
}

/// A bitmap's size and metadata, and the way to its pixels.
pub(super) struct Bitmap {
    pub width: u32,
    pub height: u32,
    /// The XMP packet.
    pub xmp: Option<Vec<u8>>,
    kind: Kind,
    file: File,
}

impl Bitmap {
    /// Reads all but the pixels.
    pub(super) fn open(mut file: File, kind: Kind) -> Result<Self, PictureError> {
        let mut decoder = decoder(&mut file, kind)?;
        let (width, height) = decoder.dimensions();
        let (width, height) = check_size(width.into(), height.into())?;
        let bytes = decoder.total_bytes();
        // A packet that cannot be read is as good as none: there may be a header beside the file.
        let mut xmp = decoder.xmp_metadata().ok().flatten();
        drop(decoder);
        let bytes = bytes.saturating_mul(copies(&mut file, kind)?);
        if bytes > MOST_BYTES {
            return Err(PictureError::TooLarge { megabytes: bytes / 1_000_000 });
        }
        if xmp.is_none() && kind == Kind::Tiff {
            xmp = tiff_packet(&mut file);
        }
        Ok(Self { width, height, xmp, kind, file })
    }

    /// Reads and reduces the pixels; one plane a colour, black 0 and white 1.
    pub(super) fn read(mut self, go: &mut Go<'_>) -> Result<Vec<Plane>, PictureError> {
        if self.kind == Kind::Png
            && let Some(planes) = png_rows(&mut self.file, go)?
        {
            return Ok(planes);
        }
        if !go(0.0) {
            return Err(PictureError::Stopped);
        }
        let decoder = decoder(&mut self.file, self.kind)?;
        let pixels = DynamicImage::from_decoder(decoder).map_err(refused)?;
        if !go(0.8) {
            return Err(PictureError::Stopped);
        }
        Ok(planes_of(&pixels))
    }
}

fn refused(error: image::ImageError) -> PictureError {
    PictureError::Pixels(error.to_string())
}

fn decoder(file: &mut File, kind: Kind) -> Result<impl ImageDecoder + '_, PictureError> {
    file.seek(SeekFrom::Start(0))?;
    let format = match kind {
        Kind::Png => image::ImageFormat::Png,
        Kind::Jpeg => image::ImageFormat::Jpeg,
        Kind::Tiff => image::ImageFormat::Tiff,
    };
    let mut reader = ImageReader::with_format(BufReader::new(file), format);
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_BYTES);
    reader.limits(limits);
    reader.into_decoder().map_err(refused)
}

/// How often its pixels are in memory while a picture is unpacked, at worst.
fn copies(file: &mut File, kind: Kind) -> Result<u64, PictureError> {
    Ok(match kind {
        Kind::Png if !is_interlaced(file)? => 0,
        Kind::Png => 1,
        // Once in the decoder, once out of it.
        Kind::Tiff => 2,
        // A progressive one has its coefficients, two bytes each, beside its pixels.
        Kind::Jpeg => 3,
    })
}

/// Whether a PNG's rows come in several passes.
///
/// # Source
/// PNG specification, third edition, 11.2.1: the last byte of the first chunk's 13, which stand
/// behind 16 others.
fn is_interlaced(file: &mut File) -> Result<bool, PictureError> {
    let mut start = [0u8; 29];
    file.seek(SeekFrom::Start(0))?;
    file.read_exact(&mut start)?;
    Ok(start.last().is_some_and(|method| *method != 0))
}

/// The packet of a TIFF. Where limits were set, the decoder lets no field of a file be larger than
/// its pixels, and a small picture's packet is; its own limits bound it just as well.
fn tiff_packet(file: &mut File) -> Option<Vec<u8>> {
    file.seek(SeekFrom::Start(0)).ok()?;
    TiffDecoder::new(BufReader::new(file)).ok()?.xmp_metadata().ok().flatten()
}

/// Reads a PNG row by row; `None` if it is interlaced and has to be unpacked whole.
fn png_rows(file: &mut File, go: &mut Go<'_>) -> Result<Option<Vec<Plane>>, PictureError> {
    let refused = |error: png::DecodingError| PictureError::Pixels(error.to_string());
    file.seek(SeekFrom::Start(0))?;
    let mut decoder = png::Decoder::new(BufReader::new(file));
    decoder.set_transformations(Transformations::EXPAND);
    let mut reader = decoder.read_info().map_err(refused)?;
    if reader.info().interlaced {
        return Ok(None);
    }
    let (width, height) = (reader.info().width, reader.info().height);
    let (colour, depth) = reader.output_color_type();
    let channels = colour.samples();
    let is_wide = depth == png::BitDepth::Sixteen;
    let mut colours = Colours::new(width, height, channels);
    let mut samples = vec![0f32; width as usize * channels];
    for row in 0..height {
        if row % 64 == 0 && !go(row as f32 / height as f32) {
            return Err(PictureError::Stopped);
        }
        let Some(bytes) = reader.next_row().map_err(refused)? else { break };
        if is_wide {
            let (pairs, _) = bytes.data().as_chunks::<2>();
            for (sample, pair) in samples.iter_mut().zip(pairs) {
                *sample = f32::from(u16::from_be_bytes(*pair)) / 65_535.0;
            }
        } else {
            for (sample, byte) in samples.iter_mut().zip(bytes.data()) {
                *sample = f32::from(*byte) / 255.0;
            }
        }
        colours.row(&samples);
    }
    Ok(Some(colours.finish()))
}

fn planes_of(pixels: &DynamicImage) -> Vec<Plane> {
    let channels = usize::from(pixels.color().channel_count());
    let mut colours = Colours::new(pixels.width(), pixels.height(), channels);
    let width = pixels.width() as usize * channels;
    let mut samples = vec![0f32; width];
    let mut rows = |row: &mut dyn FnMut(usize, &mut [f32])| {
        for number in 0..pixels.height() as usize {
            row(number, &mut samples);
            colours.row(&samples);
        }
    };
    match pixels.color() {
        ColorType::L8 | ColorType::La8 | ColorType::Rgb8 | ColorType::Rgba8 => {
            let bytes = pixels.as_bytes();
            rows(&mut |number, samples| {
                let row = bytes.get(number * width..).unwrap_or_default();
                for (sample, byte) in samples.iter_mut().zip(row) {
                    *sample = f32::from(*byte) / 255.0;
                }
            });
        }
        ColorType::L16 | ColorType::La16 | ColorType::Rgb16 | ColorType::Rgba16 => {
            let bytes = pixels.as_bytes();
            rows(&mut |number, samples| {
                let (pairs, _) = bytes.get(number * width * 2..).unwrap_or_default().as_chunks();
                for (sample, pair) in samples.iter_mut().zip(pairs) {
                    *sample = f32::from(u16::from_ne_bytes(*pair)) / 65_535.0;
                }
            });
        }
        // 32-bit floating point, in which 1 is white.
        _ => {
            let bytes = pixels.as_bytes();
            rows(&mut |number, samples| {
                let (words, _) = bytes.get(number * width * 4..).unwrap_or_default().as_chunks();
                for (sample, word) in samples.iter_mut().zip(words) {
                    *sample = f32::from_ne_bytes(*word);
                }
            });
        }
    }
    colours.finish()
}

/// Takes a picture's colours apart; a pixel that is see-through is blank.
struct Colours {
    channels: usize,
    reducers: Vec<Reducer>,
    row: Vec<f32>,
}

impl Colours {
    fn new(width: u32, height: u32, channels: usize) -> Self {
        let factor = factor(width, height);
        let colours = if channels < 3 { 1 } else { 3 };
        let reducers = (0..colours).map(|_| Reducer::new(width, factor)).collect();
        Self { channels, reducers, row: vec![0.0; width as usize] }
    }

    fn row(&mut self, samples: &[f32]) {
        let has_alpha = matches!(self.channels, 2 | 4);
        for (colour, reducer) in self.reducers.iter_mut().enumerate() {
            for (value, pixel) in self.row.iter_mut().zip(samples.chunks_exact(self.channels)) {
                let is_blank = has_alpha && pixel.last().is_some_and(|alpha| *alpha < 0.5);
                let sample = pixel.get(colour).copied().unwrap_or_default();
                *value = if is_blank { f32::NAN } else { sample };
            }
            reducer.row(&self.row);
        }
    }

    fn finish(self) -> Vec<Plane> {
        self.reducers.into_iter().map(Reducer::finish).collect()
    }
}
