//! The checked table of a VOTable, and its rows through the library.

use std::fmt::Write as _;

use roxmltree::Node;
use votable::impls::VOTableValue;
use votable::iter::VOTableIterator;
use votable::iter::elems::RowValueIterator;

use super::{children, packed};
use crate::files::wish_row::{MOST_COLUMNS, WishFileError};
use crate::words::shortened;

/// A FIELD as the file has it.
pub(super) struct FieldSource<'a> {
    pub(super) name: &'a str,
    pub(super) ucd: &'a str,
    pub(super) unit: &'a str,
    pub(super) reference: &'a str,
    /// What stands for nothing; empty if the field does not say.
    pub(super) null: &'a str,
    pub(super) datatype: &'a str,
    pub(super) array_size: &'a str,
}

impl<'a> FieldSource<'a> {
    pub(super) fn of(node: Node<'a, '_>) -> Self {
        let attribute = |name| node.attribute(name).unwrap_or_default();
        let name = match attribute("name") {
            "" => attribute("ID"),
            name => name,
        };
        let values = children(node, "VALUES").next();
        Self {
            name,
            ucd: attribute("ucd"),
            unit: attribute("unit"),
            reference: attribute("ref"),
            null: values.and_then(|values| values.attribute("null")).unwrap_or_default(),
            datatype: attribute("datatype"),
            array_size: attribute("arraysize"),
        }
    }
}

/// The rows of a table, not read yet.
pub(super) enum Rows<'a, 'input> {
    /// No data at all.
    None,
    /// TABLEDATA: the elements of the rows.
    Elements(Vec<Node<'a, 'input>>, usize),
    /// BINARY or BINARY2: the table written anew.
    Packed(String),
}

/// What is told of a row: its number from 1, the byte at which it stands, and its fields as texts.
/// Answers whether to go on.
type Visit<'v> = &'v mut dyn FnMut(u64, Option<usize>, &[String]) -> bool;

impl<'a, 'input> Rows<'a, 'input> {
    /// The rows of a table, checked.
    pub(super) fn of(
        table: Node<'a, 'input>,
        fields: &[FieldSource<'_>],
    ) -> Result<Self, WishFileError> {
        let wrong = |words: &str| WishFileError::Table(words.to_owned());
        if fields.len() > MOST_COLUMNS {
            return Err(wrong("it has more than 500 columns; expected a table of targets"));
        }
        let Some(data) = children(table, "DATA").next() else { return Ok(Self::None) };
        if let Some(rows) = children(data, "TABLEDATA").next() {
            return Ok(Self::Elements(children(rows, "TR").collect(), fields.len()));
        }
        for kind in ["BINARY", "BINARY2"] {
            if let Some(packed) = children(data, kind).next() {
                let stream = children(packed, "STREAM").next();
                let stream = stream.ok_or_else(|| wrong("its data have no stream"))?;
                return packed::document(kind, stream, fields)
                    .map(Self::Packed)
                    .map_err(WishFileError::Table);
            }
        }
        Err(wrong("its data are neither TABLEDATA, BINARY nor BINARY2"))
    }

    /// Shows every row.
    ///
    /// # Errors
    /// Why the rows from here on cannot be read.
    pub(super) fn each(&mut self, visit: Visit<'_>) -> Result<(), String> {
        match self {
            Self::None => Ok(()),
            Self::Elements(rows, width) => elements(rows, *width, visit),
            Self::Packed(document) => through_library(document, None, visit),
        }
    }
}

/// Rows of TABLEDATA. Each goes to the library as texts, so that a number that is none spoils its
/// own row and not the table.
fn elements(rows: &[Node<'_, '_>], width: usize, visit: Visit<'_>) -> Result<(), String> {
    let mut document = String::from(OPENING);
    for index in 0..width {
        // OK because writing to a text cannot fail.
        let _written =
            write!(document, "<FIELD name=\"c{index}\" datatype=\"char\" arraysize=\"*\"/>");
    }
    document.push_str("<DATA><TABLEDATA>");
    for row in rows {
        document.push_str("<TR>");
        let mut cells = children(*row, "TD");
        for _ in 0..width {
            document.push_str("<TD>");
            if let Some(cell) = cells.next() {
                for text in cell.descendants().filter(Node::is_text).filter_map(|n| n.text()) {
                    escape(text, &mut document);
                }
            }
            document.push_str("</TD>");
        }
        document.push_str("</TR>");
    }
    document.push_str("</TABLEDATA></DATA>");
    document.push_str(CLOSING);
    let starts: Vec<usize> = rows.iter().map(|row| row.range().start).collect();
    through_library(&document, Some(&starts), visit)
}

pub(super) const OPENING: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
    <VOTABLE version=\"1.4\" xmlns=\"http://www.ivoa.net/xml/VOTable/v1.3\"><RESOURCE><TABLE>";
pub(super) const CLOSING: &str = "</TABLE></RESOURCE></VOTABLE>";

fn escape(text: &str, into: &mut String) {
    for letter in text.chars() {
        match letter {
            '&' => into.push_str("&amp;"),
            '<' => into.push_str("&lt;"),
            '>' => into.push_str("&gt;"),
            '"' => into.push_str("&quot;"),
            letter => into.push(letter),
        }
    }
}

/// Reads a checked document row by row.
fn through_library(
    document: &str,
    starts: Option<&[usize]>,
    visit: Visit<'_>,
) -> Result<(), String> {
    let words = |error: votable::error::VOTableError| shortened(&error.to_string(), 200);
    let mut tables = VOTableIterator::from_reader(document.as_bytes()).map_err(words)?;
    let Some(mut rows) = tables.next_table_row_value_iter().map_err(words)? else { return Ok(()) };
    let mut number = 0_usize;
    while let Some(row) = next_row(&mut rows) {
        let row: Vec<String> = row.map_err(words)?.iter().map(VOTableValue::to_string).collect();
        let start = starts.and_then(|starts| starts.get(number).copied());
        number += 1;
        if !visit(number as u64, start, &row) {
            break;
        }
    }
    Ok(())
}

type RowResult = Result<Vec<VOTableValue>, votable::error::VOTableError>;

fn next_row<R: std::io::BufRead>(rows: &mut RowValueIterator<'_, R>) -> Option<RowResult> {
    rows.next()
}
