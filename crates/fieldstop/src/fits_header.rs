//! A FITS header that says where on the sky a picture lies: cards of 80 characters, TAN.
//!
//! Written as FITS itself does: cards without line breaks, `END` after the last, blanks up to a
//! multiple of 2880 bytes. It is a header alone: it announces a picture, and no pixel follows.
//!
//! # Source
//! FITS standard 4.0, section 4 (cards) and 8 (world coordinates); Greisen & Calabretta 2002,
//! A&A 395, 1061; Calabretta & Greisen 2002, A&A 395, 1077.

use crate::world_coordinates::WorldCoordinates;

/// Characters of a card.
pub const CARD: usize = 80;
/// Bytes that a header is a multiple of.
pub const BLOCK: usize = 2880;

/// A value of a card.
#[derive(Clone, Debug, PartialEq)]
pub enum CardValue {
    /// T or F.
    Logical(bool),
    /// A whole number.
    Whole(i64),
    /// A number, with as many digits as it takes to read it back unchanged.
    Real(f64),
    /// Text; what is not printable ASCII becomes a question mark.
    Text(String),
}

/// The header of a picture with these world coordinates.
///
/// Beside what places the picture it holds `object` (OBJECT) and remarks (COMMENT). RADESYS is
/// ICRS, so there is no equinox to state. LONPOLE is stated, since its default turns to 0 where
/// the picture is centred on the north pole.
///
/// # Example
/// ```
/// # use fieldstop::fits_header::fits_header;
/// # use fieldstop::world_coordinates::WorldCoordinates;
/// # use fieldstop::{Angle, Direction, Field, Frame};
/// let centre = Direction::from_ra_dec(Angle::from_deg(10.0), Angle::from_deg(20.0));
/// let field = Field { half_width: 0.01, half_height: 0.01 };
/// let frame = Frame { centre, rotation: Angle::ZERO, field };
/// let header = fits_header(&WorldCoordinates::of_frame(&frame, 400, 400), "M 31", &[]);
/// assert_eq!(header.len(), 2880);
/// assert!(header.starts_with("SIMPLE  =                    T"));
/// assert!(header.contains("CTYPE1  = 'RA---TAN'"));
/// ```
pub fn fits_header(map: &WorldCoordinates, object: &str, remarks: &[String]) -> String {
    use CardValue::{Logical, Real, Text, Whole};
    let text = |words: &str| Text(words.to_owned());
    let [[cd11, cd12], [cd21, cd22]] = map.cd_deg;
    let (ra, dec) = (map.reference.ra().deg(), map.reference.dec().deg());
    let cards = [
        ("SIMPLE", Logical(true), "FITS; a header alone, no data follow"),
        ("BITPIX", Whole(16), "as a camera would write them"),
        ("NAXIS", Whole(2), ""),
        ("NAXIS1", Whole(map.width_px.into()), "pixels across"),
        ("NAXIS2", Whole(map.height_px.into()), "pixels up, the bottom row first"),
        ("OBJECT", text(object), "target"),
        ("WCSAXES", Whole(2), ""),
        ("CTYPE1", text("RA---TAN"), "right ascension, gnomonic"),
        ("CTYPE2", text("DEC--TAN"), "declination, gnomonic"),
        ("CUNIT1", text("deg"), ""),
        ("CUNIT2", text("deg"), ""),
        ("CRPIX1", Real(map.reference_px[0]), "middle of the first pixel is 1"),
        ("CRPIX2", Real(map.reference_px[1]), "middle of the bottom row is 1"),
        ("CRVAL1", Real(ra), "right ascension there"),
        ("CRVAL2", Real(dec), "declination there"),
        ("CD1_1", Real(cd11), "degrees east for a pixel right"),
        ("CD1_2", Real(cd12), "degrees east for a pixel up"),
        ("CD2_1", Real(cd21), "degrees north for a pixel right"),
        ("CD2_2", Real(cd22), "degrees north for a pixel up"),
        ("LONPOLE", Real(180.0), "stated: its default is 0 at the pole"),
        ("LATPOLE", Real(dec), ""),
        ("RADESYS", text("ICRS"), ""),
    ];
    let mut header: String =
        cards.iter().map(|(keyword, value, comment)| card(keyword, value, comment)).collect();
    for remark in remarks {
        header.extend(commentary(remark));
    }
    header.push_str(&padded("END", CARD));
    let blocks = header.len().div_ceil(BLOCK);
    padded(&header, blocks * BLOCK)
}

/// One card of a keyword, a value and a remark, which is left out where it does not fit.
///
/// # Example
/// ```
/// # use fieldstop::fits_header::{CardValue, card};
/// let text = card("NAXIS1", &CardValue::Whole(400), "pixels across");
/// assert_eq!(text.len(), 80);
/// assert_eq!(text.trim_end(), "NAXIS1  =                  400 / pixels across");
/// ```
pub fn card(keyword: &str, value: &CardValue, comment: &str) -> String {
    let value = match value {
        CardValue::Logical(is_so) => format!("{:>20}", if *is_so { "T" } else { "F" }),
        CardValue::Whole(number) => format!("{number:>20}"),
        CardValue::Real(number) => format!("{:>20}", real(*number)),
        CardValue::Text(words) => quoted(words),
    };
    let mut card = format!("{keyword:<8}= {value}");
    if !comment.is_empty() && card.len() + 3 + comment.len() <= CARD {
        card = format!("{card} / {comment}");
    }
    padded(&card, CARD)
}

/// A number that is read back unchanged, always with a decimal point.
fn real(number: f64) -> String {
    // Plain digits read best, and grow too long below this.
    let text = if number != 0.0 && number.abs() < 1e-4 {
        format!("{number:E}")
    } else {
        format!("{number}")
    };
    match text.split_once('E') {
        _ if text.contains('.') => text,
        Some((digits, power)) => format!("{digits}.0E{power}"),
        None => format!("{text}.0"),
    }
}

/// Text in quotes, at least eight characters of it, as much as fits a card.
fn quoted(words: &str) -> String {
    const MOST: usize = CARD - 12;
    let mut inner = String::new();
    for letter in ascii(words).chars() {
        let more = if letter == '\'' { "''".to_owned() } else { letter.to_string() };
        if inner.len() + more.len() > MOST {
            break;
        }
        inner += &more;
    }
    format!("'{inner:<8}'")
}

/// A remark in as many COMMENT cards as it takes.
fn commentary(remark: &str) -> Vec<String> {
    const MOST: usize = CARD - 8;
    let mut lines: Vec<String> = Vec::new();
    for word in ascii(remark).split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.len() + 1 + word.len() <= MOST => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.chars().take(MOST).collect()),
        }
    }
    lines.iter().map(|line| padded(&format!("COMMENT {line}"), CARD)).collect()
}

fn ascii(words: &str) -> String {
    words.chars().map(|c| if matches!(c, ' '..='~') { c } else { '?' }).collect()
}

fn padded(text: &str, length: usize) -> String {
    format!("{text:<length$}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_back_unchanged_and_look_like_reals() {
        for number in [180.0, 0.0, -0.000_583_333_333_333_333_4, 1.0 / 3.0, 1e-300, 359.999, -3e-5]
        {
            let text = real(number);
            assert!(text.contains('.'), "{text}");
            assert_eq!(text.parse::<f64>(), Ok(number));
            assert!(text.len() < 30, "{text}");
        }
    }

    #[test]
    fn every_card_has_eighty_plain_characters() {
        let odd = "Bode\u{2019}s 'galaxy' ".repeat(12);
        for card in
            [card("OBJECT", &CardValue::Text(odd.clone()), "target"), commentary(&odd).concat()]
        {
            assert_eq!(card.len() % CARD, 0);
            assert!(card.bytes().all(|byte| (b' '..=b'~').contains(&byte)));
        }
        // A quote in a text is doubled, so the quotes of a card are even in number.
        let quotes = card("OBJECT", &CardValue::Text(odd), "").matches('\'').count();
        assert_eq!(quotes % 2, 0);
    }
}
