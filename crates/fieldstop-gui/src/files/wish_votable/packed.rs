//! The check of packed data (BINARY and BINARY2) before the library unpacks them.
//!
//! The library believes the lengths that stand in the data, and makes room for as much at once. So
//! every row is gone through here first: each length must be one that the data still hold.

use std::fmt::Write as _;

use roxmltree::Node;

use super::table::{CLOSING, FieldSource, OPENING};
use crate::words::shortened;

/// Numbers or letters of one field; the library makes room for all of them in each row.
const MOST_ELEMENTS: usize = 4096;

/// The table written anew: fields checked, rows gone through, the stream without a blank.
///
/// # Errors
/// What is wrong with it, in words.
pub(super) fn document(
    kind: &str,
    stream: Node<'_, '_>,
    fields: &[FieldSource<'_>],
) -> Result<String, String> {
    if stream.attribute("href").is_some() {
        return Err("its data are in another file; expected them in this one".to_owned());
    }
    if stream.attribute("encoding").is_some_and(|encoding| encoding != "base64") {
        return Err("its data are packed in a way of their own; expected base64".to_owned());
    }
    let mut document = String::from(OPENING);
    let mut layout = Vec::with_capacity(fields.len());
    for (index, field) in fields.iter().enumerate() {
        let bits = bits_of(field)?;
        let size = Size::of(field)?;
        layout.push((bits, size));
        let attribute = size.attribute();
        // OK because writing to a text cannot fail.
        let _written = write!(
            document,
            "<FIELD name=\"c{index}\" datatype=\"{}\"{attribute}/>",
            field.datatype
        );
    }
    let text: String = stream
        .descendants()
        .filter(Node::is_text)
        .filter_map(|node| node.text())
        .flat_map(|text| text.chars().filter(|letter| !letter.is_whitespace()))
        .collect();
    let flags = if kind == "BINARY2" { fields.len().div_ceil(8) } else { 0 };
    check_rows(&unpacked(&text)?, flags, &layout)?;
    // OK because writing to a text cannot fail.
    let _written = write!(
        document,
        "<DATA><{kind}><STREAM encoding=\"base64\">{text}</STREAM></{kind}></DATA>{CLOSING}"
    );
    Ok(document)
}

/// Bits of one value (VOTable 1.4, section 2.1).
fn bits_of(field: &FieldSource<'_>) -> Result<usize, String> {
    Ok(match field.datatype {
        "bit" => 1,
        "boolean" | "unsignedByte" | "char" => 8,
        "short" | "unicodeChar" => 16,
        "int" | "float" => 32,
        "long" | "double" | "floatComplex" => 64,
        "doubleComplex" => 128,
        found => {
            let (name, found) = (shortened(field.name, 40), shortened(found, 40));
            return Err(format!(
                "column “{name}” has the datatype “{found}”, which a VOTable does not have"
            ));
        }
    })
}

/// How many values a field has.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
enum Size {
    /// One, without a word about it.
    One,
    /// As many as that.
    Fixed(usize),
    /// As many as stand before them.
    Counted,
}

impl Size {
    /// An array size of sane numbers; rows of rows are taken as one long row.
    fn of(field: &FieldSource<'_>) -> Result<Self, String> {
        let text = field.array_size.trim();
        let wrong = || {
            let (name, found) = (shortened(field.name, 40), shortened(text, 40));
            format!(
                "column “{name}” has the arraysize “{found}”; expected at most {MOST_ELEMENTS} \
                 values in a field, or * for any number"
            )
        };
        let least = |text: &str| text.parse::<usize>().ok().filter(|&number| number > 0);
        match text.strip_suffix('*') {
            Some("") => Ok(Self::Counted),
            // The most that there may be says nothing that is needed here.
            Some(most) => least(most).map(|_| Self::Counted).ok_or_else(wrong),
            None if text.is_empty() => Ok(Self::One),
            None => text
                .split('x')
                .map(least)
                .try_fold(1_usize, |product, number| product.checked_mul(number?))
                .filter(|&product| product <= MOST_ELEMENTS)
                .map(Self::Fixed)
                .ok_or_else(wrong),
        }
    }

    fn attribute(self) -> String {
        match self {
            Self::One => String::new(),
            Self::Fixed(size) => format!(" arraysize=\"{size}\""),
            Self::Counted => " arraysize=\"*\"".to_owned(),
        }
    }
}

/// Goes through every row, and refuses data that do not end with the end of one.
fn check_rows(data: &[u8], flags: usize, layout: &[(usize, Size)]) -> Result<(), String> {
    let mut rest = data;
    let mut row = 0_usize;
    while !rest.is_empty() {
        row += 1;
        let before = rest.len();
        rest = row_end(rest, flags, layout).ok_or_else(|| {
            format!("row {row} of its packed data is cut off, or says a length that is not there")
        })?;
        if rest.len() == before {
            return Err("its rows have no length".to_owned());
        }
    }
    Ok(())
}

/// What follows a row.
fn row_end<'a>(data: &'a [u8], flags: usize, layout: &[(usize, Size)]) -> Option<&'a [u8]> {
    let mut rest = data.get(flags..)?;
    for &(bits, size) in layout {
        let count = match size {
            Size::One => 1,
            Size::Fixed(count) => count,
            Size::Counted => {
                let (length, after) = rest.split_first_chunk::<4>()?;
                rest = after;
                usize::try_from(i32::from_be_bytes(*length)).ok()?
            }
        };
        rest = rest.get(count.checked_mul(bits)?.div_ceil(8)..)?;
    }
    Some(rest)
}

/// The bytes of base64 without blanks (RFC 4648, section 4).
fn unpacked(text: &str) -> Result<Vec<u8>, String> {
    let wrong = || "its packed data are not base64".to_owned();
    let letters = text.as_bytes();
    if !letters.len().is_multiple_of(4) {
        return Err("its packed data are cut off in the middle of a group of base64".to_owned());
    }
    let code = |letter: u8| {
        Some(match letter {
            b'A'..=b'Z' => letter - b'A',
            b'a'..=b'z' => letter - b'a' + 26,
            b'0'..=b'9' => letter - b'0' + 52,
            b'+' => 62,
            b'/' => 63,
            _ => return None,
        })
    };
    let padding = letters.iter().rev().take_while(|&&letter| letter == b'=').count();
    if padding > 2 {
        return Err(wrong());
    }
    let codes = letters.get(..letters.len() - padding).unwrap_or_default();
    let mut bytes = Vec::with_capacity(codes.len());
    let (mut held, mut bits) = (0_u32, 0_u32);
    for &letter in codes {
        held = held << 6 | u32::from(code(letter).ok_or_else(wrong)?);
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            // OK because it is cut to a byte.
            bytes.push((held >> bits & 0xFF) as u8);
            held &= (1 << bits) - 1;
        }
    }
    // Bits that are left over must be nought, or the library would refuse what was checked here.
    if held == 0 { Ok(bytes) } else { Err(wrong()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4648, section 10.
    #[test]
    fn base64_is_unpacked_as_the_standard_says() {
        for (text, bytes) in [
            ("", ""),
            ("Zg==", "f"),
            ("Zm8=", "fo"),
            ("Zm9v", "foo"),
            ("Zm9vYg==", "foob"),
            ("Zm9vYmE=", "fooba"),
            ("Zm9vYmFy", "foobar"),
        ] {
            assert_eq!(unpacked(text).as_deref(), Ok(bytes.as_bytes()));
        }
        for text in ["Zg", "Z===", "Zg=a", "Zh==", "Z*==", "===="] {
            assert!(unpacked(text).is_err(), "{text}");
        }
    }
}
