//! Lists of targets as VOTables (IVOA recommendation, versions 1.0 to 1.5), read and written through
//! the `votable` library.
//!
//! That library trusts its input: an odd end of a packed stream or a monstrous array size ends in a
//! panic or takes all memory. So a file is first read as plain XML, without document types, whose
//! entities could grow without end; its table is checked, and only the checked table, written anew in
//! plain form, is handed to the library, row by row.
//!
//! Columns are found by their UCD (`meta.id`, `pos.eq.ra`, `pos.eq.dec`, `phys.angSize`,
//! `pos.posAng`, each as the first word), or else by name as in a CSV file. Units are read.

mod packed;
mod table;
mod write;

use roxmltree::{Document, Node, ParsingOptions};

pub use write::write;

use super::wish_cells;
use super::wish_heading::{Columns, Field, heading, is_older_equinox, unit_of};
use super::wish_row::{At, MOST_ROWS, ReadList, WishFileError, in_words};
use crate::words::shortened;
use table::{FieldSource, Rows};

/// Elements and texts of a file; a list of 20,000 targets with 30 columns has as many.
const MOST_NODES: u32 = 1_500_000;
/// Elements within elements; a VOTable with resources in resources has about ten.
const DEEPEST: usize = 64;

/// Reads a list: the first table that has names.
///
/// # Errors
/// [`WishFileError`]: it is no VOTable, or none of its tables has names. Rows that make no sense are
/// no errors: they say so themselves.
pub fn read(bytes: &[u8]) -> Result<ReadList, WishFileError> {
    let wrong = |words: &str| WishFileError::Xml(words.to_owned());
    let text = str::from_utf8(bytes)
        .map_err(|_| wrong("it is not saved as UTF-8; save it again with that encoding"))?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    check_depth(text)?;
    let options = ParsingOptions { nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, options).map_err(|error| match error {
        roxmltree::Error::NodesLimitReached => {
            wrong("it has more than 1,500,000 elements and texts; expected a list of targets")
        }
        error => WishFileError::Xml(shortened(&error.to_string(), 200)),
    })?;
    if document.root_element().tag_name().name() != "VOTABLE" {
        return Err(wrong("its outermost element is not VOTABLE"));
    }
    let tables = document.descendants().filter(|node| node.tag_name().name() == "TABLE");
    let mut seen: Vec<String> = Vec::new();
    for table in tables {
        let mut list = ReadList::default();
        let fields: Vec<FieldSource<'_>> = children(table, "FIELD").map(FieldSource::of).collect();
        let (columns, doubled) = columns(&document, &fields, &mut list.remarks);
        if columns.name.is_none() {
            seen.extend(fields.iter().map(|field| field.name.to_owned()));
            continue;
        }
        let rows = Rows::of(table, &fields)?;
        fill(&mut list, &columns, &doubled, &fields, rows, text)?;
        return Ok(list);
    }
    Err(WishFileError::NoNames { found: in_words(seen.iter().map(String::as_str)) })
}

/// Refuses elements nested so deep that reading them would take all of the stack.
fn check_depth(text: &str) -> Result<(), WishFileError> {
    let mut depth = 0_usize;
    for piece in text.split('<').skip(1) {
        let closes_itself = piece.split('>').next().is_some_and(|tag| tag.ends_with('/'));
        if piece.starts_with('/') {
            depth = depth.saturating_sub(1);
        } else if !piece.starts_with(['!', '?']) && !closes_itself {
            depth += 1;
        }
        if depth > DEEPEST {
            return Err(WishFileError::Xml(format!(
                "its elements lie more than {DEEPEST} deep in each other"
            )));
        }
    }
    Ok(())
}

fn children<'a, 'input>(
    node: Node<'a, 'input>,
    name: &'static str,
) -> impl Iterator<Item = Node<'a, 'input>> {
    node.children().filter(move |child| child.tag_name().name() == name)
}

/// Which fields have what, and which hold half of the axis that is wanted.
fn columns(
    document: &Document<'_>,
    fields: &[FieldSource<'_>],
    remarks: &mut Vec<String>,
) -> (Columns, Vec<usize>) {
    let mut columns = Columns::default();
    let mut doubled = Vec::new();
    // By UCD first: a name may be anything.
    for by_ucd in [true, false] {
        for (index, field) in fields.iter().enumerate() {
            let found = if by_ucd { ucd_heading(field) } else { heading(field.name) };
            let Some(mut found) = found else { continue };
            let angular =
                !matches!(found.field, Field::Name | Field::ListedAs | Field::SurfaceBrightness);
            if angular && !field.unit.is_empty() {
                let Some(unit) = unit_of(field.unit) else {
                    let (name, unit) = (field.name, shortened(field.unit, 40));
                    remarks
                        .push(format!("Column “{name}” was left: its unit “{unit}” is unknown."));
                    continue;
                };
                found.unit = Some(unit);
            }
            let is_place = matches!(found.field, Field::Ra | Field::Dec);
            if is_place && (is_older_equinox(field.name) || is_fk4(document, field)) {
                let name = field.name;
                remarks.push(format!("“{name}” was left: places are ICRS or J2000 here."));
                continue;
            }
            columns.offer(index, found);
            if by_ucd && is_semi_axis(field) {
                doubled.push(index);
                let name = field.name;
                remarks
                    .push(format!("Column “{name}” has semi-axes by its UCD; they were doubled."));
            }
        }
    }
    remarks.sort();
    remarks.dedup();
    (columns, doubled)
}

/// What a UCD says of a field, its name aside.
fn ucd_heading(field: &FieldSource<'_>) -> Option<super::wish_heading::Heading> {
    let ucd = field.ucd.to_lowercase();
    let mut words = ucd.split(';').map(str::trim);
    let first = words.next().unwrap_or_default();
    let is_main = words.any(|word| word == "meta.main");
    // UCDs of the first kind, which old services still write.
    let text = match (first, is_main) {
        ("meta.id", true) | ("id_main", _) => "name",
        ("meta.id", false) => "id",
        ("pos.eq.ra" | "pos_eq_ra_main" | "pos_eq_ra", _) => "ra",
        ("pos.eq.dec" | "pos_eq_dec_main" | "pos_eq_dec", _) => "dec",
        ("pos.posang" | "pos_pos-ang", _) => "pa",
        ("phot.mag.sb", _) => "surfacebrightness",
        // A name that says which axis it is says more than the UCD.
        ("phys.angsize.smajaxis", _) if heading(field.name).is_none() => "major",
        ("phys.angsize.sminaxis", _) if heading(field.name).is_none() => "minor",
        ("phys.angsize", _) if heading(field.name).is_none() => "size",
        _ => return None,
    };
    heading(text).map(|heading| heading.by_ucd(is_main))
}

/// A semi-axis by the words of the UCD list, and by nothing in its name.
fn is_semi_axis(field: &FieldSource<'_>) -> bool {
    let ucd = field.ucd.to_lowercase();
    let semi = ucd.starts_with("phys.angsize.smajaxis") || ucd.starts_with("phys.angsize.sminaxis");
    semi && heading(field.name).is_none()
}

/// Whether a field's coordinate system is of an older equinox.
fn is_fk4(document: &Document<'_>, field: &FieldSource<'_>) -> bool {
    let mut systems = document.descendants().filter(|node| node.tag_name().name() == "COOSYS");
    !field.reference.is_empty()
        && systems.any(|node| {
            let system = node.attribute("system").unwrap_or_default().to_lowercase();
            node.attribute("ID") == Some(field.reference) && system.contains("fk4")
        })
}

fn fill(
    list: &mut ReadList,
    columns: &Columns,
    doubled: &[usize],
    fields: &[FieldSource<'_>],
    mut rows: Rows<'_, '_>,
    text: &str,
) -> Result<(), WishFileError> {
    let mut lines = Lines { text, byte: 0, line: 1 };
    let outcome = rows.each(&mut |number, at_byte, values| {
        if list.rows.len() == MOST_ROWS {
            list.remarks.push(format!("Only the first {MOST_ROWS} rows were read."));
            return false;
        }
        let at = at_byte.map_or(At::Row(number), |byte| At::Line(lines.of(byte)));
        let field = |index: usize| {
            let value = values.get(index).map(|value| value.trim_matches('\0').trim());
            let null = fields.get(index).map_or("", |field| field.null);
            let value = value.filter(|value| null.is_empty() || *value != null);
            let value = value.unwrap_or_default();
            match value.parse::<f64>() {
                Ok(half) if doubled.contains(&index) => (2.0 * half).to_string(),
                _ => value.to_owned(),
            }
        };
        list.rows.push(wish_cells::row(columns, at, &field));
        true
    });
    match outcome {
        Err(why) if list.rows.is_empty() => Err(WishFileError::Table(why)),
        Err(why) => {
            let read = list.rows.len();
            list.remarks.push(format!("After row {read} the table cannot be read: {why}"));
            Ok(())
        }
        Ok(()) => Ok(()),
    }
}

/// Lines of a text by bytes that only go forward, so that a long file is gone through once.
struct Lines<'a> {
    text: &'a str,
    byte: usize,
    line: u64,
}

impl Lines<'_> {
    fn of(&mut self, byte: usize) -> u64 {
        let passed = self.text.as_bytes().get(self.byte..byte).unwrap_or_default();
        self.line += passed.iter().filter(|&&byte| byte == b'\n').count() as u64;
        self.byte = self.byte.max(byte);
        self.line
    }
}
