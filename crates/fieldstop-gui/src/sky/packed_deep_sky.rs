//! The compact file of deep-sky objects that the program embeds.
//!
//! Little-endian throughout. First the eight bytes `FSDEEP01` and a `u32` count of rows; then,
//! row after row:
//!
//! | bytes | what | unit |
//! | --- | --- | --- |
//! | 4, 4 | right ascension `u32`, declination `i32` | 1e-6 degree |
//! | 4, 4 | major axis, minor axis, `u32` | 0.01 arcminute; all ones is unknown |
//! | 2 | position angle `u16` | degree; all ones is unknown |
//! | 2, 2 | V, surface brightness in V, `i16` | 0.01 magnitude; the least is unknown |
//! | 1, 1 | number of the kind; flags: 1 size uncertain, 2 magnitude assumed | |
//! | 2 + n | text: `u16` length and UTF-8, tabs between the fields name, constellation, note, |
//! | | common names, other names; semicolons within the last two | |
//!
//! A number is the quotient of two whole numbers that a double holds exactly, so what comes out is
//! the very number that the decimal text of the source means.

use super::catalogue::SkyError;
use super::kind::Kind;
use super::row::Row;

const MAGIC: &[u8; 8] = b"FSDEEP01";
const MICRODEGREES: f64 = 1e6;
const HUNDREDTHS: f64 = 100.0;
const WHOLE: f64 = 1.0;
const SIZE_UNCERTAIN: u8 = 1;
const MAGNITUDE_ASSUMED: u8 = 2;

/// Writes rows in the compact form.
///
/// # Errors
/// [`SkyError::Unpackable`] where a number has more decimals than the form holds, lies outside
/// it, or a text holds one of the form's own separators.
pub fn pack(rows: &[Row]) -> Result<Vec<u8>, SkyError> {
    let mut bytes = MAGIC.to_vec();
    let count = u32::try_from(rows.len()).map_err(|_| unpackable("", "count of rows"))?;
    bytes.extend(count.to_le_bytes());
    for row in rows {
        pack_row(row, &mut bytes)?;
    }
    Ok(bytes)
}

fn pack_row(row: &Row, bytes: &mut Vec<u8>) -> Result<(), SkyError> {
    let fail = |field| unpackable(&row.name, field);
    let number = |value: f64, scale: f64, field| exact(value, scale).ok_or_else(|| fail(field));

    let ra = number(row.ra_deg, MICRODEGREES, "ra_deg")?;
    bytes.extend(u32::try_from(ra).map_err(|_| fail("ra_deg"))?.to_le_bytes());
    let dec = number(row.dec_deg, MICRODEGREES, "dec_deg")?;
    bytes.extend(i32::try_from(dec).map_err(|_| fail("dec_deg"))?.to_le_bytes());
    for (axis, field) in [(row.major_arcmin, "major_arcmin"), (row.minor_arcmin, "minor_arcmin")] {
        let packed = match axis {
            None => u32::MAX,
            Some(axis) => {
                u32::try_from(number(axis, HUNDREDTHS, field)?).map_err(|_| fail(field))?
            }
        };
        bytes.extend(packed.to_le_bytes());
    }
    let pa = match row.pa_deg {
        None => u16::MAX,
        Some(pa) => u16::try_from(number(pa, WHOLE, "pa_deg")?).map_err(|_| fail("pa_deg"))?,
    };
    bytes.extend(pa.to_le_bytes());
    for (magnitude, field) in [
        (row.magnitude, "magnitude"),
        (row.surface_brightness_mag_arcsec2, "surface_brightness_mag_arcsec2"),
    ] {
        let packed = match magnitude {
            None => i16::MIN,
            Some(value) => {
                i16::try_from(number(value, HUNDREDTHS, field)?).map_err(|_| fail(field))?
            }
        };
        bytes.extend(packed.to_le_bytes());
    }
    bytes.push(row.kind.number().ok_or_else(|| fail("kind"))?);
    bytes.push(
        if row.size_uncertain { SIZE_UNCERTAIN } else { 0 }
            | if row.magnitude_assumed { MAGNITUDE_ASSUMED } else { 0 },
    );
    let text = text_of(row).ok_or_else(|| fail("text"))?;
    bytes.extend(u16::try_from(text.len()).map_err(|_| fail("text"))?.to_le_bytes());
    bytes.extend(text.as_bytes());
    Ok(())
}

fn text_of(row: &Row) -> Option<String> {
    let plain = [&row.name, &row.constellation, &row.note];
    let listed = || row.common_names.iter().chain(&row.other_names);
    let clean = !plain.into_iter().chain(listed()).any(|text| text.contains(['\t', '\n']))
        && !listed().any(|text| text.contains(';') || text.is_empty());
    clean.then(|| {
        let [name, constellation, note] = plain;
        let (common, other) = (row.common_names.join(";"), row.other_names.join(";"));
        format!("{name}\t{constellation}\t{note}\t{common}\t{other}")
    })
}

/// The whole number that `value * scale` is; `None` if dividing it again would not give `value`.
fn exact(value: f64, scale: f64) -> Option<i64> {
    let scaled = (value * scale).round();
    #[expect(clippy::cast_possible_truncation, reason = "checked to be small and whole")]
    (scaled.abs() < 1e15 && scaled / scale == value).then_some(scaled as i64)
}

fn unpackable(name: &str, field: &'static str) -> SkyError {
    SkyError::Unpackable { name: name.to_owned(), field }
}

/// Reads the rows back from the compact form.
///
/// # Errors
/// [`SkyError::Damaged`] where the bytes are not what [`pack`] writes.
pub fn unpack(bytes: &[u8]) -> Result<Vec<Row>, SkyError> {
    let mut reader = Reader { bytes, length: bytes.len() };
    if reader.take::<8>()? != *MAGIC {
        return Err(SkyError::Damaged { at: 0 });
    }
    let count = reader.u32()?;
    // OK because a row takes 28 bytes at least, so a wrong count cannot ask for much memory.
    let mut rows = Vec::with_capacity((count as usize).min(bytes.len() / 28));
    for _ in 0..count {
        rows.push(reader.row()?);
    }
    if reader.bytes.is_empty() { Ok(rows) } else { Err(reader.damaged()) }
}

struct Reader<'a> {
    bytes: &'a [u8],
    length: usize,
}

impl<'a> Reader<'a> {
    fn damaged(&self) -> SkyError {
        SkyError::Damaged { at: self.length - self.bytes.len() }
    }

    fn take<const N: usize>(&mut self) -> Result<[u8; N], SkyError> {
        let (head, rest) = self.bytes.split_first_chunk().ok_or_else(|| self.damaged())?;
        self.bytes = rest;
        Ok(*head)
    }

    fn u32(&mut self) -> Result<u32, SkyError> {
        self.take().map(u32::from_le_bytes)
    }

    fn u16(&mut self) -> Result<u16, SkyError> {
        self.take().map(u16::from_le_bytes)
    }

    fn axis(&mut self) -> Result<Option<f64>, SkyError> {
        let packed = self.u32()?;
        Ok((packed != u32::MAX).then(|| f64::from(packed) / HUNDREDTHS))
    }

    fn magnitude(&mut self) -> Result<Option<f64>, SkyError> {
        let packed = i16::from_le_bytes(self.take()?);
        Ok((packed != i16::MIN).then(|| f64::from(packed) / HUNDREDTHS))
    }

    fn text(&mut self) -> Result<&'a str, SkyError> {
        let length = usize::from(self.u16()?);
        let (text, rest) = self.bytes.split_at_checked(length).ok_or_else(|| self.damaged())?;
        let text = str::from_utf8(text).map_err(|_| self.damaged())?;
        self.bytes = rest;
        Ok(text)
    }

    fn row(&mut self) -> Result<Row, SkyError> {
        let ra_deg = f64::from(self.u32()?) / MICRODEGREES;
        let dec_deg = f64::from(i32::from_le_bytes(self.take()?)) / MICRODEGREES;
        let (major_arcmin, minor_arcmin) = (self.axis()?, self.axis()?);
        let pa = self.u16()?;
        let (magnitude, surface_brightness) = (self.magnitude()?, self.magnitude()?);
        let [kind, flags] = self.take()?;
        let kind = Kind::from_number(kind).ok_or_else(|| self.damaged())?;
        let mut fields = self.text()?.split('\t');
        let mut field =
            || fields.next().ok_or(SkyError::Damaged { at: self.length - self.bytes.len() });
        Ok(Row {
            name: field()?.to_owned(),
            constellation: field()?.to_owned(),
            note: field()?.to_owned(),
            common_names: list(field()?),
            other_names: list(field()?),
            kind,
            ra_deg,
            dec_deg,
            major_arcmin,
            minor_arcmin,
            pa_deg: (pa != u16::MAX).then(|| f64::from(pa)),
            size_uncertain: flags & SIZE_UNCERTAIN != 0,
            magnitude,
            magnitude_assumed: flags & MAGNITUDE_ASSUMED != 0,
            surface_brightness_mag_arcsec2: surface_brightness,
        })
    }
}

fn list(text: &str) -> Vec<String> {
    text.split(';').filter(|name| !name.is_empty()).map(str::to_owned).collect()
}
