//! The real stars to V 9.5, read where they lie in the program, without unpacking.
//!
//! The file is cut by brightness into bands, and each band by place into HEALPix cells (nested),
//! more cells the more stars it holds. Within a cell the stars stand brightest first. A look at the
//! sky touches the cells in view of the bands that are bright enough, and leaves each cell at the
//! first star too faint to show: its cost follows what is visible.
//!
//! [`pack_stars`](super::pack_stars) writes the file. All numbers are little-endian:
//!
//! | part | layout |
//! | --- | --- |
//! | start | `MAGIC`, then the length in bytes of each of the parts below, `u32` each |
//! | band, as many as `BANDS` | for every cell the number of the band's stars in the cells before it, and at last the number of all, `u32` each; then the stars |
//! | star, 16 bytes | x, y, z of the unit vector (ICRS) times `UNIT`, `i32` each; V and B - V in thousandths of a magnitude, `i16` each |
//! | names | for each named star its 16 bytes, the length of the text, `u16`, and the text: UTF-8, several names separated by `;` |

use fieldstop::{Angle, Cone, Direction, Icrs, Star};
use thiserror::Error;

/// First bytes of the file; the digit grows with the layout.
pub(super) const MAGIC: [u8; 8] = *b"STARS  1";

/// Faintest V of each band in thousandths of a magnitude, and the HEALPix order of its cells:
/// some 10 stars a cell on the average of the sky.
pub(super) const BANDS: [Band; 8] = [
    Band { faintest: 4000, order: 1 },
    Band { faintest: 5000, order: 1 },
    Band { faintest: 6000, order: 2 },
    Band { faintest: 7000, order: 3 },
    Band { faintest: 8000, order: 4 },
    Band { faintest: 8500, order: 4 },
    Band { faintest: 9000, order: 4 },
    Band { faintest: 9500, order: 5 },
];

/// Length that stands for one: steps of 0.0001 arcsec, far below the source's 0.036.
pub(super) const UNIT: f64 = 2_147_483_647.0;

/// B - V of a star whose colour the list lacks (159 of 216,309): the Sun's, near the middle.
pub const DEFAULT_B_V: f64 = 0.65;

type Bytes = &'static [u8];

pub(super) const STAR_BYTES: usize = 16;

#[derive(Clone, Copy)]
pub(super) struct Band {
    pub(super) faintest: i16,
    pub(super) order: u8,
}

impl Band {
    pub(super) const fn cells(self) -> usize {
        12 << (2 * self.order)
    }
}

/// Why a file is not a star list.
#[derive(Clone, Copy, Debug, Error, PartialEq, Eq)]
pub enum StarListError {
    /// The first bytes are others.
    #[error("the packed star list does not begin with \"STARS  1\"; the example pack_sky makes it")]
    Mark,
    /// The parts do not fill the file, or a part is not of the length that it states.
    #[error("the packed star list is cut off or damaged; the example pack_sky makes it")]
    Length,
}

/// The bright stars, in the bytes of a packed list.
#[derive(Clone, Copy)]
pub struct StarList {
    bands: [PackedBand; BANDS.len()],
    names: Bytes,
}

#[derive(Clone, Copy)]
struct PackedBand {
    /// For each cell, and for the end: how many of the band's stars come before.
    starts: &'static [[u8; 4]],
    stars: &'static [[u8; STAR_BYTES]],
}

/// A star that has a name.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NamedStar {
    /// The star.
    pub star: Star,
    names: &'static str,
}

impl NamedStar {
    /// The name to show.
    pub fn name(&self) -> &'static str {
        self.names.split(';').next().unwrap_or(self.names)
    }

    /// All its names, the one to show first.
    pub fn names(&self) -> impl Iterator<Item = &'static str> + use<> {
        self.names.split(';')
    }
}

static EMBEDDED: Bytes = include_bytes!("../../../../assets/packed/stars.bin");

impl StarList {
    /// The list that the program carries. Takes no time: nothing is unpacked.
    ///
    /// # Errors
    /// When the asset was packed in another layout or damaged.
    pub const fn embedded() -> Result<Self, StarListError> {
        Self::from_bytes(EMBEDDED)
    }

    /// Finds the parts of a packed list.
    ///
    /// # Errors
    /// When the bytes are not a packed list, or one cut off.
    pub const fn from_bytes(bytes: Bytes) -> Result<Self, StarListError> {
        let Some((mark, mut lengths)) = bytes.split_first_chunk::<8>() else {
            return Err(StarListError::Mark);
        };
        if u64::from_le_bytes(*mark) != u64::from_le_bytes(MAGIC) {
            return Err(StarListError::Mark);
        }
        let Some((_, mut parts)) = lengths.split_at_checked(4 * (BANDS.len() + 1)) else {
            return Err(StarListError::Length);
        };
        let mut bands = [PackedBand { starts: &[], stars: &[] }; BANDS.len()];
        let mut number = 0;
        while number < BANDS.len() {
            let Some((part, later_lengths, later_parts)) = next_part(lengths, parts) else {
                return Err(StarListError::Length);
            };
            let Some(band) = PackedBand::from_bytes(part, BANDS[number].cells()) else {
                return Err(StarListError::Length);
            };
            bands[number] = band;
            (lengths, parts) = (later_lengths, later_parts);
            number += 1;
        }
        match next_part(lengths, parts) {
            Some((names, _, [])) => Ok(Self { bands, names }),
            _ => Err(StarListError::Length),
        }
    }

    /// Calls `see` for every star of a cone that is not fainter than a V magnitude.
    ///
    /// Radius 0 to 180 degrees, the edge inside; a NaN shows nothing. Brightest first only within
    /// a cell: the order is fixed, but no order to rely on.
    pub fn visit(
        &self,
        centre: Direction<Icrs>,
        radius: Angle,
        faintest_mag: f64,
        see: &mut impl FnMut(Star),
    ) {
        let Some(cone) = Cone::new(centre, radius) else {
            return;
        };
        let mut brighter_limit = i16::MIN;
        for (band, packed) in BANDS.iter().zip(&self.bands) {
            if faintest_mag.is_nan() || f64::from(brighter_limit) * 1e-3 > faintest_mag {
                return;
            }
            brighter_limit = band.faintest;
            for &cell in &cone.cells(band.order) {
                for record in packed.cell(cell) {
                    let star = unpacked(record);
                    if f64::from(star.v_mag) > faintest_mag {
                        break;
                    }
                    if cone.contains(star.place) {
                        see(star);
                    }
                }
            }
        }
    }

    /// The stars that have names, brightest first.
    pub fn names(&self) -> impl Iterator<Item = NamedStar> + use<> {
        let mut rest = self.names;
        std::iter::from_fn(move || {
            let (record, after_record) = rest.split_first_chunk::<STAR_BYTES>()?;
            let (length, after_length) = after_record.split_first_chunk::<2>()?;
            let length = usize::from(u16::from_le_bytes(*length));
            let (names, later) = after_length.split_at_checked(length)?;
            rest = later;
            Some(NamedStar { star: unpacked(record), names: std::str::from_utf8(names).ok()? })
        })
    }

    /// How many stars the list holds.
    pub fn len(&self) -> usize {
        self.bands.iter().map(|band| band.stars.len()).sum()
    }

    /// Whether it holds none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// Splits off the next part: the part, then the lengths and the parts that follow.
const fn next_part(lengths: Bytes, parts: Bytes) -> Option<(Bytes, Bytes, Bytes)> {
    let Some((length, later_lengths)) = lengths.split_first_chunk::<4>() else {
        return None;
    };
    match parts.split_at_checked(u32::from_le_bytes(*length) as usize) {
        Some((part, later_parts)) => Some((part, later_lengths, later_parts)),
        None => None,
    }
}

impl PackedBand {
    const fn from_bytes(part: Bytes, cells: usize) -> Option<Self> {
        let Some((starts, stars)) = part.split_at_checked(4 * (cells + 1)) else {
            return None;
        };
        let (starts, _) = starts.as_chunks::<4>();
        match stars.as_chunks::<STAR_BYTES>() {
            (stars, []) => Some(Self { starts, stars }),
            _ => None,
        }
    }

    fn cell(&self, cell: u64) -> &'static [[u8; STAR_BYTES]] {
        let start = |at: usize| Some(u32::from_le_bytes(*self.starts.get(at)?) as usize);
        let stars = || {
            let cell = usize::try_from(cell).ok()?;
            self.stars.get(start(cell)?..start(cell + 1)?)
        };
        // OK because a list whose index points nowhere shows no star there rather than panic; the
        // tests compare the embedded one with its source.
        stars().unwrap_or(&[])
    }
}

fn unpacked(record: &[u8; STAR_BYTES]) -> Star {
    let [x0, x1, x2, x3, y0, y1, y2, y3, z0, z1, z2, z3, v0, v1, c0, c1] = *record;
    let along = |bytes| f64::from(i32::from_le_bytes(bytes)) / UNIT;
    let magnitude = |bytes| f32::from(i16::from_le_bytes(bytes)) / 1000.0;
    let xyz = [[x0, x1, x2, x3], [y0, y1, y2, y3], [z0, z1, z2, z3]].map(along);
    // OK because the packed vector is of unit length within 1e-9; a zero one would stand at 0h.
    let place = Direction::from_vector(xyz)
        .unwrap_or_else(|| Direction::from_ra_dec(Angle::ZERO, Angle::ZERO));
    Star { place, v_mag: magnitude([v0, v1]), b_v: magnitude([c0, c1]) }
}
