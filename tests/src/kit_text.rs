//! The text of a kit file, for tests that change it.

use std::ops::Range;

/// Where the numbers of a kit's text stand, those in names left out.
pub fn numbers_of(text: &str) -> Vec<Range<usize>> {
    let is_part = |letter: char| letter.is_ascii_alphanumeric() || "_.-".contains(letter);
    let mut found = Vec::new();
    let mut at = 0;
    for (place, piece) in text.split('"').enumerate() {
        // Every second piece stands within quotation marks.
        let mut from = 0;
        while place % 2 == 0 && from < piece.len() {
            let start = piece[from..].find(is_part).map_or(piece.len(), |start| from + start);
            let end = piece[start..].find(|c| !is_part(c)).map_or(piece.len(), |end| start + end);
            if piece[start..end].parse::<f64>().is_ok() {
                found.push(at + start..at + end);
            }
            from = end;
        }
        at += piece.len() + 1;
    }
    found
}
