//! A picture of the person's own, with its place on the sky, to stand under the frames.
//!
//! FITS, PNG, JPEG or TIFF. Its world coordinates are looked for in the file, then in a FITS
//! header of the same name beside it. It is made smaller while it is read ([`reduce`]), so that a
//! picture of 100 megapixels takes no more memory than one of four; how it is shown is worked out
//! from what was kept ([`stretch`]).
//!
//! Whatever is wrong with a file is a [`PictureError`]; libraries are only called with sizes that
//! were checked before.

mod bitmap;
mod coordinates;
mod error;
mod fits;
mod jpeg;
pub mod path;
pub mod reduce;
mod sidecar;
pub mod stretch;
mod watch;

use std::fs::{self, File};
use std::io::{Read, Seek};
use std::path::Path;
use std::sync::Arc;

use fieldstop::kit::Kit;
use fieldstop::world_coordinates::WorldCoordinates;

pub(crate) use coordinates::{check_place, check_sizes, turned_matrix};
pub use error::PictureError;
use reduce::{Plane, factor};
use stretch::{Levels, Look};

use crate::avm;
use crate::files::replace_file::not_a_file;
use crate::scene::picture::{PlacedPicture, RowOrder};
use crate::scene::raster::Raster;
use bitmap::{Bitmap, Kind};
use coordinates::{Cards, coordinates};

/// Is told the share done, 0 to 1, and answers whether to go on.
pub type Go<'a> = dyn FnMut(f32) -> bool + 'a;

/// Most millions of pixels of a file.
pub const MOST_MEGAPIXELS: u64 = 400;
/// Most pixels along a side of a file.
const LONGEST_SIDE: u64 = 100_000;

/// A picture as it was read.
#[derive(Clone, Debug)]
pub struct OwnPicture {
    /// Name of its file, without folders.
    pub name: String,
    /// Where the pixels of its file lie on the sky.
    pub map: Arc<WorldCoordinates>,
    /// Where that stands, and in which form.
    pub form: String,
    /// Whether it stands in a header beside a PNG, JPEG or TIFF, whose rows may be counted from
    /// either side.
    pub is_beside_bitmap: bool,
    /// Whether its values are what a camera counted, rather than prepared to be looked at.
    pub is_measured: bool,
    rows: RowOrder,
    planes: Vec<Plane>,
    levels: Levels,
}

impl OwnPicture {
    /// How it is best shown at first.
    pub fn first_look(&self) -> Look {
        if self.is_measured { Look::MEASURED } else { Look::PREPARED }
    }

    /// Its pixels as they are to be seen.
    pub fn raster(&self, look: Look) -> Raster {
        stretch::stretched(&self.planes, &self.levels, self.is_measured, look)
    }

    /// Pixels across and down that were kept.
    pub fn kept_px(&self) -> (usize, usize) {
        self.planes.first().map_or((0, 0), |plane| (plane.width, plane.height))
    }

    /// The picture as a scene takes it.
    pub fn placed(&self, raster: Arc<Raster>, opacity: f64) -> PlacedPicture {
        PlacedPicture {
            name: self.name.clone(),
            raster,
            map: self.map.clone(),
            rows: self.rows,
            factor: factor(self.map.width_px, self.map.height_px),
            opacity,
        }
    }
}

/// Reads a picture.
///
/// `counted` says from which row a header beside a PNG, JPEG or TIFF counts. FITS counts from the
/// bottom; some programs that write such headers count a bitmap's rows from the top.
///
/// # Errors
/// [`PictureError`]; nothing of a faulty file is kept.
pub fn open(path: &Path, counted: RowOrder, go: &mut Go<'_>) -> Result<OwnPicture, PictureError> {
    // Asked before opening, since opening a pipe waits for somebody to write into it.
    let metadata = fs::metadata(path)?;
    if let Some(found) = not_a_file(&metadata) {
        return Err(PictureError::NotAFile(found));
    }
    let mut file = File::open(path)?;
    let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
    let (placed, rows, planes, is_measured) = match kind(&mut file)? {
        None => {
            let image = fits::find(&mut file, metadata.len())?;
            let placed = place_fits(&image, path)?;
            (placed, RowOrder::FromBottom, fits::read(&mut file, &image, go)?, true)
        }
        Some(kind) => {
            let bitmap = Bitmap::open(file, kind, go)?;
            let placed = place_bitmap(&bitmap, path, counted)?;
            (placed, RowOrder::FromTop, bitmap.read(go)?, false)
        }
    };
    let Placed { map, form, is_beside } = placed;
    let is_beside_bitmap = is_beside && !is_measured;
    let levels = Levels::of(&planes);
    if levels.is_empty() {
        return Err(PictureError::Blank);
    }
    let map = Arc::new(map);
    Ok(OwnPicture { name, map, form, is_beside_bitmap, is_measured, rows, planes, levels })
}

/// The picture that a kit names, as a scene takes it; none if it names none, or hides it wholly.
///
/// # Errors
/// As [`open`].
pub fn of_kit(
    kit: &Kit,
    kit_folder: Option<&Path>,
    go: &mut Go<'_>,
) -> Result<Option<PlacedPicture>, PictureError> {
    let Some(background) = kit.background.as_ref().filter(|picture| picture.opacity > 0.0) else {
        return Ok(None);
    };
    let file = path::resolved(&background.path, kit_folder);
    let picture = open(&file, RowOrder::of(background), go)?;
    let look = Look { dark_level: background.dark_level, stretch: background.stretch };
    Ok(Some(picture.placed(Arc::new(picture.raster(look)), background.opacity)))
}

/// Which bitmap a file is by its first bytes; `None` for FITS.
fn kind(file: &mut File) -> Result<Option<Kind>, PictureError> {
    let mut start = Vec::new();
    file.take(16).read_to_end(&mut start)?;
    file.rewind()?;
    let is = |magic: &[u8]| start.starts_with(magic);
    match () {
        () if is(b"SIMPLE  =") => Ok(None),
        () if is(b"\x89PNG\r\n\x1a\n") => Ok(Some(Kind::Png)),
        () if is(b"\xff\xd8\xff") => Ok(Some(Kind::Jpeg)),
        () if is(b"II*\0") || is(b"MM\0*") => Ok(Some(Kind::Tiff)),
        () if is(b"\x1f\x8b") => {
            Err(PictureError::OtherKind("packed with gzip, which has to be undone first"))
        }
        () if start.is_empty() => Err(PictureError::OtherKind("empty")),
        () => Err(PictureError::OtherKind("of a kind that is not known here")),
    }
}

/// A picture's sides, if they can be taken on.
fn check_size(width: u64, height: u64) -> Result<(u32, u32), PictureError> {
    let refused = PictureError::Size { width, height };
    let sides = 2..=LONGEST_SIDE;
    if !sides.contains(&width)
        || !sides.contains(&height)
        || width * height > MOST_MEGAPIXELS * 1_000_000
    {
        return Err(refused);
    }
    match (u32::try_from(width), u32::try_from(height)) {
        (Ok(width), Ok(height)) => Ok((width, height)),
        _ => Err(refused),
    }
}

/// Where the pixels lie.
struct Placed {
    map: WorldCoordinates,
    /// In words, where that was found.
    form: String,
    /// Whether it was found in a header beside the file.
    is_beside: bool,
}

impl Placed {
    fn inside(map: WorldCoordinates, form: String) -> Self {
        Self { map, form, is_beside: false }
    }
}

fn place_fits(image: &fits::FitsImage, path: &Path) -> Result<Placed, PictureError> {
    let cards = Cards(&image.cards);
    if !cards.has_coordinates() {
        return beside(path, (image.width, image.height));
    }
    let form = "its FITS header";
    match coordinates(&cards, (image.width, image.height)) {
        Ok((map, words)) => Ok(Placed::inside(map, format!("{form}: {words}"))),
        Err(why) => Err(PictureError::Coordinates { form: form.to_owned(), why }),
    }
}

fn place_bitmap(bitmap: &Bitmap, path: &Path, counted: RowOrder) -> Result<Placed, PictureError> {
    let size = (bitmap.width, bitmap.height);
    let beside = |path, size| {
        let found = beside(path, size)?;
        Ok(match counted {
            RowOrder::FromBottom => found,
            RowOrder::FromTop => Placed { map: found.map.with_rows_from_top(), ..found },
        })
    };
    let Some(xmp) = &bitmap.xmp else { return beside(path, size) };
    match avm::coordinates(xmp, size) {
        Ok(None) => beside(path, size),
        Ok(Some(map)) => Ok(Placed::inside(map, "its metadata (AVM): TAN".to_owned())),
        Err(why) => Err(PictureError::Coordinates { form: "its metadata (AVM)".to_owned(), why }),
    }
}

/// By the header that lies beside the file.
fn beside(path: &Path, (width, height): (u32, u32)) -> Result<Placed, PictureError> {
    let beside = sidecar::beside(path).ok_or(PictureError::NoCoordinates)?;
    let name = beside.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let refused = |why: String| PictureError::Coordinates { form: name.clone(), why };
    let cards = sidecar::read(&beside)?;
    let cards = Cards(&cards);
    for (keyword, side) in [("NAXIS1", width), ("NAXIS2", height)] {
        if let Some(told) = cards.whole(keyword).filter(|told| *told != i64::from(side)) {
            return Err(refused(format!(
                "it is for a picture whose {keyword} is {told}; expected {side}, as this one's"
            )));
        }
    }
    if !cards.has_coordinates() {
        return Err(refused("it holds none; expected CTYPE1 and CTYPE2".to_owned()));
    }
    let (map, words) = coordinates(&cards, (width, height)).map_err(refused)?;
    Ok(Placed { map, form: format!("{name} beside it: {words}"), is_beside: true })
}
