//! The reasons: what the choice found, in its own sentences, in two columns.

use super::block::Block;
use super::facts::Facts;
use super::header::{ON_PAPER, answer, is_answer};
use super::text::{CELL, REASON, wrapped_to};
use crate::paint::pdf::Role;
use crate::scene::Palette;
use crate::scene::primitive::Anchor;

/// The section's heading.
pub(super) const HEADING: &str = "Reasons, with their figures";
const GUTTER_PT: f64 = 16.0;
const INDENT_PT: f64 = 9.0;
const GAP_PT: f64 = 3.0;
/// A sentence that lists more than this holds is cut; the HTML has it whole.
const MOST_LINES: usize = 6;

/// The sentences that the answer rests on, the most telling first.
pub(super) fn sentences(facts: &Facts) -> Vec<&str> {
    let reasons = facts.choice.findings.iter().filter(|finding| !is_answer(finding));
    reasons.map(|finding| finding.text.as_str()).collect()
}

/// The first so many of them, as even columns.
pub(super) fn block(facts: &Facts, most: usize, width: f64, palette: &Palette) -> Block {
    let mut sentences = sentences(facts);
    sentences.splice(..0, answer(facts).into_iter().skip(ON_PAPER));
    let column = (width - GUTTER_PT) / 2.0;
    let mut shown: Vec<Vec<String>> = sentences
        .iter()
        .take(most)
        .map(|sentence| wrapped_to(sentence, REASON, column - INDENT_PT, MOST_LINES))
        .collect();
    if sentences.len() > most {
        let words = format!("and {} more in the HTML form of this sheet.", sentences.len() - most);
        shown.push(wrapped_to(&words, REASON, column - INDENT_PT, MOST_LINES));
    }
    let height = |lines: &Vec<String>| lines.len() as f64 * REASON.line_pt() + GAP_PT;
    let all: f64 = shown.iter().map(height).sum();
    let mut block = Block::new(Role::Paragraph).after(3.0);
    let (mut left, mut top, mut lowest) = (0.0, 0.0, 0.0_f64);
    for lines in &shown {
        // Over to the second column once half is written.
        if left == 0.0 && top > 0.0 && top + height(lines) / 2.0 > all / 2.0 {
            (left, top) = (column + GUTTER_PT, 0.0);
        }
        block.text([left + 1.0, top + REASON.size_pt], Anchor::Start, "–", CELL, palette.text);
        block.lines([left + INDENT_PT, top + REASON.size_pt], lines, REASON, palette.text);
        top += height(lines);
        lowest = lowest.max(top);
    }
    block.height_pt = lowest;
    block
}
