//! How a table is written as CSV.
//!
//! - UTF-8 without a byte-order mark; fields divided by commas, lines ended by CR LF, quoted as
//!   RFC 4180 says; the first line has the headings.
//! - Numbers with a point, without thousands, unrounded: the shortest text that reads back as the
//!   very same double, never with an exponent. Yes and no are `true` and `false`. Unknown is empty.
//! - Spreadsheets take a cell that begins with `=`, `+`, `-`, `@`, a tab or a carriage return for a
//!   formula, and a kit may come from a stranger who called a rig `=HYPERLINK(…)`. So a text that
//!   begins so has an apostrophe put before it: the sign by which spreadsheets know text. Texts that
//!   begin with apostrophes and then such a character get one more, so that [`unguarded`] always
//!   gives back what was there. Numbers, and angles and times that the program writes, are as they
//!   are.

use csv::{QuoteStyle, Terminator, WriterBuilder};

use super::{Cell, Column};

/// Characters by which a spreadsheet knows a formula.
const FORMULA: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// The text of a file with these headings and rows.
///
/// # Errors
/// When the writer refuses, which one into memory does not.
pub fn text(columns: &[Column], rows: &[Vec<Cell>]) -> Result<String, csv::Error> {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .quote_style(QuoteStyle::Necessary)
        .from_writer(Vec::new());
    writer.write_record(columns.iter().map(|column| column.name))?;
    for row in rows {
        writer.write_record(columns.iter().zip(row).map(|(column, cell)| written(column, cell)))?;
    }
    let bytes = writer.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// A cell as the file has it.
fn written(column: &Column, cell: &Cell) -> String {
    match cell {
        Cell::Empty => String::new(),
        // The program's own writing of an angle or a time: its sign is no formula.
        Cell::Text(text) if !column.unit.is_empty() => text.clone(),
        Cell::Text(text) => guarded(text),
        Cell::Number(number) => number.to_string(),
        Cell::Whole(count) => count.to_string(),
        Cell::Flag(flag) => flag.to_string(),
    }
}

/// Whether a text begins like a formula, apostrophes before it aside.
fn is_formula(text: &str) -> bool {
    text.trim_start_matches('\'').starts_with(FORMULA)
}

/// A text that no spreadsheet takes for a formula.
pub fn guarded(text: &str) -> String {
    if is_formula(text) { format!("'{text}") } else { text.to_owned() }
}

/// What [`guarded`] was given.
pub fn unguarded(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(inner) if is_formula(inner) => inner,
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const NAME: Column = Column { name: "name", unit: "", what: "" };

    #[test]
    fn a_formula_becomes_a_text_and_comes_back() {
        for text in [
            "=1+1", "+A1", "-A1", "@SUM(A1)", "\tx", "\rx", "'=1", "''-", "'quoted'", "M 31", "",
            "'",
        ] {
            let safe = guarded(text);
            assert!(!safe.starts_with(FORMULA), "{text}");
            assert_eq!(unguarded(&safe), text);
        }
        assert_eq!(guarded("M 31"), "M 31");
        assert_eq!(guarded("'quoted'"), "'quoted'");
    }

    /// RFC 4180, section 2: rules 5 to 7.
    #[test]
    fn quotes_commas_and_line_breaks_are_quoted_as_the_standard_says() {
        let rows = [vec![Cell::from("a \"b\", c\nd")], vec![Cell::from(-0.25)], vec![Cell::Empty]];
        let written = text(&[NAME], &rows).unwrap_or_default();
        assert_eq!(written, "name\r\n\"a \"\"b\"\", c\nd\"\r\n-0.25\r\n\"\"\r\n");
    }

    proptest! {
        #[test]
        fn any_name_comes_back(name in any::<String>()) {
            let file = text(&[NAME], &[vec![Cell::Text(name.clone())]]).unwrap_or_default();
            let mut reader = csv::Reader::from_reader(file.as_bytes());
            let back = reader.records().next().and_then(Result::ok);
            let back = back.as_ref().and_then(|row| row.get(0)).map(|text| unguarded(text).to_owned());
            prop_assert_eq!(back, Some(name));
        }

        #[test]
        fn any_number_comes_back(number in any::<f64>()) {
            let cell = Cell::from(number);
            prop_assert_eq!(cell == Cell::Empty, !number.is_finite());
            if number.is_finite() {
                let written = written(&NAME, &cell);
                prop_assert!(!written.contains(['e', 'E', ',']));
                prop_assert_eq!(written.parse::<f64>().ok(), Some(number));
            }
        }
    }
}
