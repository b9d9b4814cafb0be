//! Lists of targets as CSV: read however a spreadsheet, a catalogue service or a person wrote them,
//! and written so that every number reads back as it was.
//!
//! Fields may be divided by commas, semicolons or tabs: that by which most headings are known. Lines
//! may end in any of the usual ways, and a byte-order mark does not disturb. What is not UTF-8 is
//! read as Latin-1 (ISO 8859-1), and said to be.

use csv::{ReaderBuilder, Terminator};
use fieldstop::kit::{Kit, Wish};

use super::wish_cells;
use super::wish_heading::{Columns, heading, is_older_equinox, is_part};
use super::wish_row::{At, MOST_COLUMNS, MOST_ROWS, ReadList, WishFileError, in_words};
use crate::sky::catalogue::Catalogue;
use crate::sky::wish;
use crate::tables::csv::unguarded;
use crate::tables::{Cell, Column};

/// What may divide fields, the likelier first.
const DELIMITERS: [u8; 3] = [b'\t', b';', b','];

/// Reads a list.
///
/// # Errors
/// [`WishFileError`]: it is no text, or no heading says where the names are. Rows that make no
/// sense are no errors: they say so themselves.
pub fn read(bytes: &[u8]) -> Result<ReadList, WishFileError> {
    let mut list = ReadList::default();
    let text = text_of(bytes, &mut list.remarks)?;
    // One sort of line end, so that lines are counted as an editor counts them.
    let text = text.replace("\r\n", "\n").replace('\r', "\n") + "\n";
    let (delimiter, columns) = headings(&text, &mut list.remarks)?;
    check_width(&text, delimiter)?;
    let mut reader = ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .terminator(Terminator::Any(b'\n'))
        .from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    let mut past_headings = false;
    while reader.read_record(&mut record).map_err(WishFileError::Csv)? {
        let is_empty = record.iter().all(|field| field.trim().is_empty());
        if is_empty || !std::mem::replace(&mut past_headings, true) {
            continue;
        }
        if list.rows.len() == MOST_ROWS {
            list.remarks.push(format!("Only the first {MOST_ROWS} rows were read."));
            break;
        }
        // The reader stands behind the row; a quoted field may have lines of its own.
        let within: usize = record.iter().map(|field| field.matches('\n').count()).sum();
        let line = reader.position().line().saturating_sub(1 + within as u64);
        let field = |index: usize| unguarded(record.get(index).unwrap_or_default()).to_owned();
        list.rows.push(wish_cells::row(&columns, At::Line(line), &field));
    }
    remark_on_hours(&columns, &mut list);
    Ok(list)
}

/// The file as text: UTF-8, or else Latin-1.
fn text_of(bytes: &[u8], remarks: &mut Vec<String>) -> Result<String, WishFileError> {
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        return Err(WishFileError::Utf16);
    }
    let bytes = bytes.strip_prefix("\u{feff}".as_bytes()).unwrap_or(bytes);
    let line_of = |at: usize| 1 + bytes.iter().take(at).filter(|&&byte| byte == b'\n').count();
    if let Some(at) = bytes.iter().position(|&byte| byte == 0) {
        return Err(WishFileError::Binary { line: line_of(at) });
    }
    if bytes.trim_ascii().is_empty() {
        return Err(WishFileError::Empty);
    }
    let Err(error) = str::from_utf8(bytes) else {
        return Ok(String::from_utf8_lossy(bytes).into_owned());
    };
    // Codes that Latin-1 has no letters for: it is something else.
    if let Some(at) = bytes.iter().position(|byte| (0x80..0xA0).contains(byte)) {
        return Err(WishFileError::Binary { line: line_of(at) });
    }
    remarks.push(format!(
        "Line {} is not UTF-8, so the file was read as Latin-1 (ISO 8859-1).",
        line_of(error.valid_up_to())
    ));
    Ok(bytes.iter().map(|&byte| char::from(byte)).collect())
}

/// What divides the fields, and what the headings mean.
fn headings(text: &str, remarks: &mut Vec<String>) -> Result<(u8, Columns), WishFileError> {
    let first = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let mut best = (b',', Columns::default(), Vec::new());
    for delimiter in DELIMITERS {
        let names = fields(first, delimiter);
        let mut columns = Columns::default();
        for (index, name) in names.iter().enumerate().take(MOST_COLUMNS) {
            if let Some(heading) = heading(name) {
                columns.offer(index, heading);
            }
        }
        if (columns.count(), names.len()) > (best.1.count(), best.2.len()) {
            best = (delimiter, columns, names);
        }
    }
    let (delimiter, mut columns, names) = best;
    if columns.name.is_none() {
        return Err(WishFileError::NoNames { found: in_words(names.iter().map(String::as_str)) });
    }
    if names.iter().any(|name| is_part(name)) {
        remarks.push(
            "Coordinates spread over several columns are not read; put each into one column."
                .to_owned(),
        );
        (columns.ra, columns.dec) = (None, None);
    }
    if let Some(old) = names.iter().find(|name| is_older_equinox(name)) {
        remarks.push(format!("“{old}” was left: places are ICRS or J2000 here."));
    }
    if columns.ra.is_some() != columns.dec.is_some() {
        remarks.push("Only one of right ascension and declination has a column.".to_owned());
    }
    Ok((delimiter, columns))
}

/// The fields of one line.
fn fields(line: &str, delimiter: u8) -> Vec<String> {
    let mut reader =
        ReaderBuilder::new().delimiter(delimiter).has_headers(false).from_reader(line.as_bytes());
    let first = reader.records().next().and_then(Result::ok);
    first.iter().flatten().map(|field| field.trim().to_owned()).collect()
}

/// A line of millions of fields would take a gigabyte to read.
fn check_width(text: &str, delimiter: u8) -> Result<(), WishFileError> {
    let wide = |line: &str| line.bytes().filter(|&byte| byte == delimiter).count() > MOST_COLUMNS;
    match text.lines().position(wide) {
        Some(index) => Err(WishFileError::TooWide { line: index + 1 }),
        None => Ok(()),
    }
}

/// Says so where right ascensions taken for degrees may have been meant as hours.
fn remark_on_hours(columns: &Columns, list: &mut ReadList) {
    let Some(ra) = columns.ra.filter(|ra| ra.unit.is_none()) else { return };
    let mut places = list.rows.iter().filter_map(|row| row.place_deg).peekable();
    if places.peek().is_some() && places.all(|(ra_deg, _)| ra_deg <= 24.0) && list.rows.len() > 2 {
        list.remarks.push(format!(
            "Every right ascension (column {}) is at most 24 and was taken for degrees. If they are \
             hours, call the column ra_hours.",
            ra.index + 1
        ));
    }
}

const fn column(name: &'static str, unit: &'static str, what: &'static str) -> Column {
    Column { name, unit, what }
}

/// The headings of the file written; [`read`] knows them all.
pub const COLUMNS: [Column; 11] = [
    column("name", "", "name of the target"),
    column("listed_as", "", "catalogue or own"),
    column("ra_deg", "deg", "right ascension, ICRS"),
    column("dec_deg", "deg", "declination, ICRS"),
    column("ra_hms", "h m s", "right ascension, ICRS"),
    column("dec_dms", "deg arcmin arcsec", "declination, ICRS"),
    column("major_arcmin", "arcmin", "full major axis"),
    column("minor_arcmin", "arcmin", "full minor axis"),
    column("position_angle_deg", "deg", "of the major axis, north through east"),
    column("surface_brightness_mag_arcsec2", "mag/arcsec2", "mean, in V"),
    column("outline", "", OUTLINE),
];

/// What the last column says: the axes beside it are never those of a shape drawn by hand.
pub(super) const OUTLINE: &str = "what fits go by: the ellipse of these axes, from the catalogue or \
    your own; or a shape drawn by hand, which is not in this file";

/// The wish list as CSV.
///
/// # Errors
/// When the writer refuses, which one into memory does not.
pub fn write(kit: &Kit, catalogue: &Catalogue) -> Result<String, csv::Error> {
    crate::tables::csv::text(&COLUMNS, &rows(kit, catalogue))
}

/// A name that is read as one line again.
fn on_one_line(name: &str) -> String {
    name.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

/// The wish list under [`COLUMNS`].
pub(super) fn rows(kit: &Kit, catalogue: &Catalogue) -> Vec<Vec<Cell>> {
    let row = |wish: &Wish| {
        let target = wish::as_drawn(kit, wish.name(), wish::target_of(wish, catalogue)?);
        let own = matches!(wish, Wish::Custom { .. });
        let mut row: Vec<Cell> =
            vec![on_one_line(wish.name()).into(), if own { "own" } else { "catalogue" }.into()];
        row.extend(crate::tables::place_cells(target.ra_deg, target.dec_deg));
        row.extend::<[Cell; 5]>([
            target.major_arcmin.into(),
            target.minor_arcmin.into(),
            target.pa_deg.into(),
            target.surface_brightness_mag_arcsec2.into(),
            target.outline_word().into(),
        ]);
        Some(row)
    };
    kit.wish_list.iter().filter_map(row).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::wish_row::LONGEST_FIELD;

    #[test]
    fn lines_are_counted_as_editors_count_them() {
        let text = "\n\nname;ra\r\n\r\nM 31;1\n\"two\nlines\";2\rM 33;3";
        let lines: Vec<At> = match read(text.as_bytes()) {
            Ok(list) => list.rows.iter().map(|row| row.at).collect(),
            Err(error) => unreachable!("{error}"),
        };
        assert_eq!(lines, [At::Line(5), At::Line(6), At::Line(8)]);
    }

    #[test]
    fn a_quotation_mark_that_is_not_closed_makes_one_long_field() {
        let text = format!("name,ra\n\"M 31,{}", "x".repeat(2 * LONGEST_FIELD));
        let rows = read(text.as_bytes()).map(|list| list.rows).unwrap_or_default();
        assert_eq!(rows.len(), 1);
        assert!(rows.iter().all(|row| row.name.chars().count() > 200));
    }
}
