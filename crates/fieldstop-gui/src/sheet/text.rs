//! Words on paper: sizes, measuring, wrapping, shortening.

use crate::font::{Weight, text_width};
use crate::scene::primitive::{Anchor, Ink, Point, Primitive, TextMark};

/// A size and weight of letters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Type {
    pub(super) size_pt: f64,
    pub(super) weight: Weight,
}

impl Type {
    const fn new(size_pt: f64, weight: Weight) -> Self {
        Self { size_pt, weight }
    }

    /// From one baseline to the next.
    pub(super) const fn line_pt(self) -> f64 {
        self.size_pt * 1.3
    }

    /// Length of a text.
    pub(super) fn width(self, text: &str) -> f64 {
        f64::from(text_width(text, self.size_pt as f32, self.weight))
    }
}

/// Name of the kit.
pub(super) const TITLE: Type = Type::new(20.0, Weight::Heavy);
/// What a section is about.
pub(super) const HEADING: Type = Type::new(11.5, Weight::Heavy);
/// Running text.
pub(super) const BODY: Type = Type::new(8.6, Weight::Regular);
/// Running text that must not be overlooked.
pub(super) const BODY_HEAVY: Type = Type::new(8.6, Weight::Heavy);
/// Running text in a narrow column.
pub(super) const REASON: Type = Type::new(7.6, Weight::Regular);
/// Cells of a table, and what explains it.
pub(super) const CELL: Type = Type::new(7.4, Weight::Regular);
/// Heads of a table.
pub(super) const CELL_HEAVY: Type = Type::new(7.4, Weight::Heavy);
/// Numbers in small boxes.
pub(super) const TINY: Type = Type::new(6.2, Weight::Regular);

/// A line of text as a mark.
pub(super) fn mark(at: Point, anchor: Anchor, text: &str, kind: Type, ink: Ink) -> Primitive {
    Primitive::Text(TextMark {
        at,
        anchor,
        text: text.to_owned(),
        size_pt: kind.size_pt,
        weight: kind.weight,
        ink,
        halo: None,
    })
}

/// A text in lines no longer than `most`. A word that is longer by itself is broken.
pub(super) fn wrapped(text: &str, kind: Type, most: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words(text) {
        let tried = match lines.last() {
            Some(line) => format!("{line} {word}"),
            None => word.clone(),
        };
        match lines.last_mut() {
            Some(line) if kind.width(&tried) <= most => *line = tried,
            _ => lines.extend(broken(&word, kind, most)),
        }
    }
    lines
}

/// Units that a line does not begin with.
const UNITS: [&str; 10] = ["%", "EUR", "GB", "arcsec", "h", "kg", "mag", "mm", "px", "µm"];

/// The words of a text, a number and its unit being one.
fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let bare = word.trim_end_matches(['.', ',', ';', ':', ')']);
        match words.last_mut() {
            Some(number) if UNITS.contains(&bare) && ends_in_digit(number) => {
                *number = format!("{number} {word}");
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

fn ends_in_digit(word: &str) -> bool {
    word.ends_with(|letter: char| letter.is_ascii_digit())
}

/// A word in pieces that fit; at least one letter a piece.
fn broken(word: &str, kind: Type, most: f64) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for letter in word.chars() {
        let Some(piece) = pieces.last_mut() else { continue };
        let tried = format!("{piece}{letter}");
        if piece.is_empty() || kind.width(&tried) <= most {
            *piece = tried;
        } else {
            pieces.push(letter.to_string());
        }
    }
    pieces
}

/// A text in at most so many lines, the last ending in "…" if there was more.
pub(super) fn wrapped_to(text: &str, kind: Type, most: f64, rows: usize) -> Vec<String> {
    let mut lines = wrapped(text, kind, most);
    if lines.len() > rows {
        let rest = lines.split_off(rows.saturating_sub(1)).join(" ");
        lines.push(shortened(&rest, kind, most));
    }
    lines
}

/// A name as a sentence of our own has it: whole, unless it is longer than any sensible one.
pub(super) fn brief(name: &str) -> String {
    const MOST_LETTERS: usize = 48;
    if name.chars().count() <= MOST_LETTERS {
        return name.to_owned();
    }
    let kept: String = name.chars().take(MOST_LETTERS - 1).collect();
    format!("{}…", kept.trim_end())
}

/// As much of a text as fits, with "…" for the rest; nothing if not even that fits.
pub(super) fn shortened(text: &str, kind: Type, most: f64) -> String {
    if kind.width(text) <= most {
        return text.to_owned();
    }
    let mut kept = text.to_owned();
    while kept.pop().is_some() {
        let tried = format!("{}…", kept.trim_end());
        if kind.width(&tried) <= most {
            return if kept.trim().is_empty() { String::new() } else { tried };
        }
    }
    String::new()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrapping_keeps_every_letter_and_the_width() {
        let text = "A rig with an unpronounceablylongcompoundnamethatnolineholds of 400 mm";
        let lines = wrapped(text, BODY, 70.0);
        assert!(lines.iter().all(|line| BODY.width(line) <= 70.0), "{lines:?}");
        let letters = |text: &str| text.split_whitespace().collect::<String>();
        assert_eq!(letters(&lines.concat()), letters(text));
        assert_eq!(wrapped("", BODY, 70.0), Vec::<String>::new());
    }

    #[test]
    fn a_number_keeps_its_unit() {
        let lines = wrapped("the darkest month here has 359 h, no more", BODY, 120.0);
        assert!(lines.iter().any(|line| line.contains("359 h,")), "{lines:?}");
        assert_eq!(words("f/4 of 3 kg)."), ["f/4", "of", "3 kg)."]);
    }

    #[test]
    fn a_width_of_nothing_still_ends() {
        assert_eq!(wrapped("ab", BODY, 0.0), ["a", "b"]);
        assert_eq!(shortened("ab", BODY, 0.0), "");
    }

    #[test]
    fn what_is_cut_says_so() {
        let lines = wrapped_to("one two three four five six seven eight", CELL, 40.0, 2);
        assert_eq!(lines.len(), 2);
        assert!(lines[1].ends_with('…') && CELL.width(&lines[1]) <= 40.0);
    }
}
