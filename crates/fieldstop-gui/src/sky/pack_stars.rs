//! Makes the compact star list that the program carries from the open data beside it.
//!
//! A developer runs this when the data change; a test checks that what is carried is what the data
//! give. The layout is told where it is read: [`star_list`](super::star_list).

use std::collections::HashMap;
use std::io::Read;

use fieldstop::cone::cell_at;
use fieldstop::{Angle, Direction, Icrs};
use flate2::read::GzDecoder;
use serde::Deserialize;
use thiserror::Error;

use super::star_list::{BANDS, Band, DEFAULT_B_V, MAGIC, STAR_BYTES, UNIT};

/// A row of `bright_stars.csv`.
#[derive(Clone, Debug, Deserialize)]
pub struct StarRow {
    /// Right ascension, ICRS at epoch J2016.0, degrees.
    pub ra_deg: f64,
    /// Declination, degrees.
    pub dec_deg: f64,
    /// Johnson V.
    pub v_mag: f64,
    /// B - V where it is known.
    pub b_v: Option<f64>,
    /// Hipparcos number where it has one.
    pub hip: Option<u32>,
    /// Proper names separated by `;`, often empty.
    pub name: String,
}

/// A row of `star_names.csv`: names that replace those of the list.
#[derive(Debug, Deserialize)]
struct NameRow {
    hip: u32,
    listed: String,
    names: String,
}

/// Why the list could not be packed.
#[derive(Debug, Error)]
pub enum PackStarsError {
    /// The list of stars could not be decompressed.
    #[error("bright_stars.csv.gz cannot be decompressed")]
    Gzip(#[from] std::io::Error),
    /// A row of one of the files is not what it should be.
    #[error("a row of the star data cannot be read")]
    Row(#[from] csv::Error),
    /// A star is fainter than the faintest band, or a number does not fit its field.
    #[error("{0:?} does not fit the layout")]
    DoesNotFit(StarRow),
    /// The names to be replaced are not there.
    #[error("star_names.csv: HIP {hip} is not listed as {listed:?}")]
    NoSuchName {
        /// Hipparcos number.
        hip: u32,
        /// The names expected in the list.
        listed: String,
    },
    /// The list is too long for its counts.
    #[error("the packed list is too long")]
    TooLong(#[from] std::num::TryFromIntError),
}

/// Reads the source: the compressed list, with the names put right.
///
/// # Errors
/// When a file is not of the form that the data's README tells.
pub fn read_stars(stars_gz: &[u8], names_csv: &[u8]) -> Result<Vec<StarRow>, PackStarsError> {
    let mut text = Vec::new();
    GzDecoder::new(stars_gz).read_to_end(&mut text)?;
    let mut stars =
        csv::Reader::from_reader(&text[..]).deserialize().collect::<Result<Vec<StarRow>, _>>()?;
    let by_hip: HashMap<u32, usize> =
        stars.iter().enumerate().filter_map(|(at, star)| Some((star.hip?, at))).collect();
    for row in csv::Reader::from_reader(names_csv).deserialize() {
        let NameRow { hip, listed, names } = row?;
        match by_hip.get(&hip).and_then(|&at| stars.get_mut(at)) {
            Some(star) if star.name == listed => star.name = names,
            _ => return Err(PackStarsError::NoSuchName { hip, listed }),
        }
    }
    Ok(stars)
}

/// The packed list of some stars.
///
/// # Errors
/// When a star is fainter than the list goes or a number does not fit its field.
pub fn pack_stars(stars: &[StarRow]) -> Result<Vec<u8>, PackStarsError> {
    let mut bands: [Vec<PackedStar>; BANDS.len()] = Default::default();
    let mut named = Vec::new();
    for star in stars {
        let packed = PackedStar::new(star)?;
        if !star.name.is_empty() {
            named.push((packed, star.name.as_str()));
        }
        bands[packed.band].push(packed);
    }
    named.sort_by_key(|&(star, name)| (star.v, name));
    let mut parts = Vec::new();
    for (band, mut stars) in BANDS.into_iter().zip(bands) {
        stars.sort_unstable();
        parts.push(band_bytes(band, &stars)?);
    }
    parts.push(name_bytes(&named)?);

    let mut file = MAGIC.to_vec();
    for part in &parts {
        file.extend(u32::try_from(part.len())?.to_le_bytes());
    }
    file.extend(parts.concat());
    Ok(file)
}

/// Ordered as the file is: by band, cell and brightness, and then somehow.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct PackedStar {
    band: usize,
    cell: u64,
    v: i16,
    xyz: [i32; 3],
    b_v: i16,
}

impl PackedStar {
    fn new(star: &StarRow) -> Result<Self, PackStarsError> {
        let does_not_fit = || PackStarsError::DoesNotFit(star.clone());
        let (ra, dec) = (Angle::from_deg(star.ra_deg), Angle::from_deg(star.dec_deg));
        let v = thousandths(star.v_mag).ok_or_else(does_not_fit)?;
        let b_v = thousandths(star.b_v.unwrap_or(DEFAULT_B_V)).ok_or_else(does_not_fit)?;
        let band = BANDS.iter().position(|band| v <= band.faintest).ok_or_else(does_not_fit)?;
        let place = Direction::<Icrs>::from_ra_dec(ra, dec);
        let cell = cell_at(place, BANDS[band].order).ok_or_else(does_not_fit)?;
        Ok(Self {
            band,
            cell,
            // OK because a coordinate of a unit vector is at most 1, and UNIT is the largest i32.
            xyz: place.xyz().map(|along| (along * UNIT).round() as i32),
            v,
            b_v,
        })
    }

    fn bytes(&self) -> [u8; STAR_BYTES] {
        let mut bytes = [0; STAR_BYTES];
        let fields = self.xyz.iter().flat_map(|along| along.to_le_bytes());
        let fields = fields.chain(self.v.to_le_bytes()).chain(self.b_v.to_le_bytes());
        bytes.iter_mut().zip(fields).for_each(|(byte, field)| *byte = field);
        bytes
    }
}

fn thousandths(mag: f64) -> Option<i16> {
    let rounded = (mag * 1000.0).round();
    let fits = (f64::from(i16::MIN)..=f64::from(i16::MAX)).contains(&rounded);
    fits.then_some(rounded as i16)
}

fn band_bytes(band: Band, stars: &[PackedStar]) -> Result<Vec<u8>, PackStarsError> {
    let mut bytes = Vec::new();
    for cell in 0..=band.cells() as u64 {
        let before = stars.partition_point(|star| star.cell < cell);
        bytes.extend(u32::try_from(before)?.to_le_bytes());
    }
    bytes.extend(stars.iter().flat_map(PackedStar::bytes));
    Ok(bytes)
}

fn name_bytes(named: &[(PackedStar, &str)]) -> Result<Vec<u8>, PackStarsError> {
    let mut bytes = Vec::new();
    for (star, names) in named {
        bytes.extend(star.bytes());
        bytes.extend(u16::try_from(names.len())?.to_le_bytes());
        bytes.extend(names.as_bytes());
    }
    Ok(bytes)
}
