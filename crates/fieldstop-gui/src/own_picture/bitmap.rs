//! PNG, JPEG and TIFF pictures: their size checked before a pixel is unpacked.
//!
//! A PNG is read row by row. A JPEG, a TIFF or an interlaced PNG has to be unpacked whole: its memory
//! is bounded by what is refused, and how far it is, is told by the bytes that were taken.

use std::fs::File;
use std::io::{BufRead, BufReader, ErrorKind, Read, Seek, SeekFrom};

use image::codecs::tiff::TiffDecoder;
use image::{ColorType, DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits};
use png::Transformations;

use super::error::PictureError;
use super::jpeg::Jpeg;
use super::reduce::{Plane, Reducer, factor};
use super::watch::{Watch, Watched};
use super::{Go, check_size};

/// Share of the progress that unpacking takes; averaging the pixels takes the rest.
const UNPACKED: f32 = 0.8;
/// Rows between two questions whether to go on.
const ROWS_UNASKED: usize = 64;
/// What unpacking a picture may take, bytes.
pub(super) const MOST_BYTES: u64 = 950_000_000;

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
    packed: Packed,
}

/// Where the pixels still are.
enum Packed {
    Jpeg(Jpeg),
    InFile(File, ImageFormat),
}

impl Bitmap {
    /// Reads all but the pixels.
    pub(super) fn open(file: File, kind: Kind, go: &mut Go<'_>) -> Result<Self, PictureError> {
        match kind {
            Kind::Jpeg => Self::open_jpeg(file, go),
            Kind::Png => Self::open_in_file(file, ImageFormat::Png),
            Kind::Tiff => Self::open_in_file(file, ImageFormat::Tiff),
        }
    }

    fn open_jpeg(file: File, go: &mut Go<'_>) -> Result<Self, PictureError> {
        let mut jpeg = Jpeg::open(file, &mut |share| go(UNPACKED * share))?;
        let (width, height) = check_size(jpeg.width as u64, jpeg.height as u64)?;
        check_memory(jpeg.bytes_unpacked())?;
        Ok(Self { width, height, xmp: jpeg.xmp.take(), packed: Packed::Jpeg(jpeg) })
    }

    fn open_in_file(mut file: File, format: ImageFormat) -> Result<Self, PictureError> {
        file.rewind()?;
        let mut decoder = decoder(BufReader::new(&mut file), format)?;
        let (width, height) = decoder.dimensions();
        let (width, height) = check_size(width.into(), height.into())?;
        let bytes = decoder.total_bytes();
        // A packet that cannot be read is as good as none: there may be a header beside the file.
        let mut xmp = decoder.xmp_metadata().ok().flatten();
        drop(decoder);
        check_memory(bytes.saturating_mul(copies(&mut file, format)?))?;
        if xmp.is_none() && format == ImageFormat::Tiff {
            xmp = tiff_packet(&mut file);
        }
        Ok(Self { width, height, xmp, packed: Packed::InFile(file, format) })
    }

    /// Reads and reduces the pixels; one plane a colour, black 0 and white 1.
    pub(super) fn read(self, go: &mut Go<'_>) -> Result<Vec<Plane>, PictureError> {
        let unpacked = match self.packed {
            Packed::Jpeg(jpeg) => jpeg.unpack(&mut |share| go(UNPACKED * share))?,
            Packed::InFile(mut file, format) => {
                if format == ImageFormat::Png
                    && let Some(planes) = png_rows(&mut file, go)?
                {
                    return Ok(planes);
                }
                unpack(&mut file, format, &mut |share| go(UNPACKED * share))?
            }
        };
        unpacked.planes(&mut |share| go(UNPACKED + (1.0 - UNPACKED) * share))
    }
}

fn refused(error: image::ImageError) -> PictureError {
    match error {
        image::ImageError::IoError(source) if source.kind() == ErrorKind::UnexpectedEof => {
            cut_off()
        }
        error => PictureError::pixels(&error),
    }
}

fn refused_png(error: png::DecodingError) -> PictureError {
    match error {
        png::DecodingError::IoError(source) if source.kind() == ErrorKind::UnexpectedEof => {
            cut_off()
        }
        error => PictureError::pixels(&error),
    }
}

fn cut_off() -> PictureError {
    PictureError::EndsEarly("what it announces goes on behind its last byte".to_owned())
}

fn check_memory(bytes: u64) -> Result<(), PictureError> {
    if bytes > MOST_BYTES {
        return Err(PictureError::TooLarge { megabytes: bytes / 1_000_000 });
    }
    Ok(())
}

fn decoder<'a>(
    file: impl BufRead + Seek + 'a,
    format: ImageFormat,
) -> Result<impl ImageDecoder + 'a, PictureError> {
    let mut reader = ImageReader::with_format(file, format);
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_BYTES);
    reader.limits(limits);
    reader.into_decoder().map_err(refused)
}

/// Unpacks a picture whole.
fn unpack(file: &mut File, format: ImageFormat, go: &mut Go<'_>) -> Result<Unpacked, PictureError> {
    file.rewind()?;
    let mut watch = Watch::new(file.metadata()?.len(), go);
    let watched = Watched::new(BufReader::new(file), &mut watch);
    let outcome = decoder(watched, format)
        .and_then(|decoder| DynamicImage::from_decoder(decoder).map_err(refused));
    if watch.is_stopped() {
        return Err(PictureError::Stopped);
    }
    let pixels = outcome?;
    let depth = match pixels.color() {
        ColorType::L8 | ColorType::La8 | ColorType::Rgb8 | ColorType::Rgba8 => Depth::Byte,
        ColorType::L16 | ColorType::La16 | ColorType::Rgb16 | ColorType::Rgba16 => Depth::Word,
        _ => Depth::Float,
    };
    Ok(Unpacked {
        width: pixels.width() as usize,
        channels: usize::from(pixels.color().channel_count()),
        depth,
        bytes: pixels.into_bytes(),
    })
}

/// How often its pixels are in memory while a picture is unpacked, at worst.
fn copies(file: &mut File, format: ImageFormat) -> Result<u64, PictureError> {
    Ok(match format {
        ImageFormat::Png if !is_interlaced(file)? => 0,
        ImageFormat::Png => 1,
        // Once in the decoder, once out of it.
        _ => 2,
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
    file.seek(SeekFrom::Start(0))?;
    let mut decoder = png::Decoder::new(BufReader::new(file));
    decoder.set_transformations(Transformations::EXPAND);
    let mut reader = decoder.read_info().map_err(refused_png)?;
    if reader.info().interlaced {
        return Ok(None);
    }
    // OK because a u32 fits into a usize where there is a window.
    let [width, height] = [reader.info().width, reader.info().height].map(|side| side as usize);
    let (colour, depth) = reader.output_color_type();
    let channels = colour.samples();
    let is_wide = depth == png::BitDepth::Sixteen;
    let mut colours = Colours::new(width, height, channels);
    let mut samples = vec![0f32; width * channels];
    for row in 0..height {
        if row % ROWS_UNASKED == 0 && !go(row as f32 / height as f32) {
            return Err(PictureError::Stopped);
        }
        let Some(bytes) = reader.next_row().map_err(refused_png)? else { break };
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

/// What a sample of a colour is stored as.
#[derive(Clone, Copy)]
pub(super) enum Depth {
    /// 8 bits; 255 is white.
    Byte,
    /// 16 bits in the machine's order; 65,535 is white.
    Word,
    /// 32-bit floating point, in which 1 is white.
    Float,
}

impl Depth {
    const fn bytes(self) -> usize {
        match self {
            Self::Byte => 1,
            Self::Word => 2,
            Self::Float => 4,
        }
    }

    /// A row's samples, black 0 and white 1.
    fn samples(self, row: &[u8], samples: &mut [f32]) {
        match self {
            Self::Byte => {
                for (sample, byte) in samples.iter_mut().zip(row) {
                    *sample = f32::from(*byte) / 255.0;
                }
            }
            Self::Word => {
                for (sample, pair) in samples.iter_mut().zip(row.as_chunks::<2>().0) {
                    *sample = f32::from(u16::from_ne_bytes(*pair)) / 65_535.0;
                }
            }
            Self::Float => {
                for (sample, word) in samples.iter_mut().zip(row.as_chunks::<4>().0) {
                    *sample = f32::from_ne_bytes(*word);
                }
            }
        }
    }
}

/// A picture unpacked whole, at its full size.
pub(super) struct Unpacked {
    pub width: usize,
    pub channels: usize,
    pub depth: Depth,
    pub bytes: Vec<u8>,
}

impl Unpacked {
    fn planes(&self, go: &mut Go<'_>) -> Result<Vec<Plane>, PictureError> {
        let mut samples = vec![0f32; self.width * self.channels];
        let row_bytes = (samples.len() * self.depth.bytes()).max(1);
        let rows = self.bytes.len() / row_bytes;
        let mut colours = Colours::new(self.width, rows, self.channels);
        for (number, row) in self.bytes.chunks_exact(row_bytes).enumerate() {
            if number % ROWS_UNASKED == 0 && !go(number as f32 / rows as f32) {
                return Err(PictureError::Stopped);
            }
            self.depth.samples(row, &mut samples);
            colours.row(&samples);
        }
        Ok(colours.finish())
    }
}

/// Takes a picture's colours apart; a pixel that is see-through is blank.
struct Colours {
    channels: usize,
    reducers: Vec<Reducer>,
    row: Vec<f32>,
}

impl Colours {
    fn new(width: usize, height: usize, channels: usize) -> Self {
        // OK because sides were checked to be at most 100,000.
        let [across, down] = [width, height].map(|side| u32::try_from(side).unwrap_or(u32::MAX));
        let factor = factor(across, down);
        let colours = if channels < 3 { 1 } else { 3 };
        let reducers = (0..colours).map(|_| Reducer::new(across, factor)).collect();
        Self { channels, reducers, row: vec![0.0; width] }
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
