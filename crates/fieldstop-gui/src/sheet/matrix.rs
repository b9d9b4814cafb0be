//! Every target in every rig: the verdict as a sign and a word.

use fieldstop::Verdict;
use fieldstop::choice::Cell;

use super::block::Block;
use super::facts::Facts;
use super::rig_key;
use super::text::{CELL, CELL_HEAVY, TINY, Type, shortened};
use super::{MOST_RIGS, wish_rows};
use crate::paint::pdf::Role;
use crate::scene::Palette;
use crate::scene::primitive::{Anchor, Stroke};
use crate::words;

/// The section's heading.
pub(super) const HEADING: &str = "Every target in every rig";
/// What the last row is called.
pub(super) const SUMS: &str = "● served, of the whole list";
const NAME_PT: f64 = 106.0;
const ROW_PT: f64 = 9.4;
/// Columns at least so wide have room for the fill.
const WIDE_PT: f64 = 66.0;

/// What the signs mean.
pub(super) fn key(facts: &Facts) -> String {
    format!(
        "● served: whole, with at least {:.0} resolution elements   ○ small: held, with fewer   \
         ▲ tight: touches the edge   ■ spills: takes a mosaic. The number is the fill: the target's \
         size relative to the frame at its best rotation.",
        facts.kit.limits.detail,
    )
}

/// Sign and verdict of a target in a rig.
pub(super) fn verdict(cell: &Cell) -> (&'static str, String) {
    let word = cell.fit.verdict.word();
    match cell.fit.verdict {
        Verdict::SizeUnknown => ("–", word.to_owned()),
        _ if cell.small => ("○", format!("{word}, small")),
        Verdict::Whole => ("●", word.to_owned()),
        Verdict::Tight => ("▲", word.to_owned()),
        Verdict::Spills => ("■", word.to_owned()),
    }
}

/// The fill.
pub(super) fn measure(cell: &Cell) -> String {
    cell.fit.fill.map_or_else(String::new, words::fill)
}

/// How many targets a rig serves, and of how many.
pub(super) fn served(facts: &Facts, rig: usize) -> String {
    let served = facts.choice.rigs.get(rig).map_or(0, |rig| rig.served.count);
    format!("{served} of {}", facts.wished.len())
}

/// The section's blocks below its heading.
pub(super) fn blocks(
    facts: &Facts,
    targets: &[usize],
    width: f64,
    palette: &Palette,
) -> Vec<Block> {
    let quiet = palette.text_quiet;
    let rigs = facts.choice.rigs.len().min(MOST_RIGS);
    let column = ((width - NAME_PT) / rigs.max(1) as f64).min(130.0);
    let intro = super::block::paragraph(&key(facts), width, CELL, quiet).kept_with_next();
    let head = head(facts, rigs, column, width, palette).kept_with_next();
    let mut blocks = vec![intro, head.clone()];
    for &target in targets {
        blocks.push(row(facts, target, rigs, column, palette).kept_with_next().under(&head));
    }
    // Rows may be parted from each other, but not the first or the last one from its like.
    let count = blocks.len();
    for (place, block) in blocks.iter_mut().enumerate() {
        if place >= 3 && place + 2 < count {
            block.with_next = false;
        }
    }
    blocks.push(sums(facts, rigs, column, width, palette));
    let (more, rest) = (facts.wished.len() - targets.len(), facts.choice.rigs.len() - rigs);
    let mut left_out = Vec::new();
    if more > 0 {
        left_out.push(words::counted(more, "more target"));
    }
    if rest > 0 {
        left_out.push(words::counted(rest, "more rig"));
    }
    if !left_out.is_empty() {
        let words = format!("and {} in the HTML form of this sheet.", left_out.join(" and "));
        blocks.push(super::block::paragraph(&words, width, CELL, quiet));
    }
    blocks
}

fn head(facts: &Facts, rigs: usize, column: f64, width: f64, palette: &Palette) -> Block {
    let mut block = Block::new(Role::Paragraph).after(5.0);
    let columns = (0..rigs).map(|rig| (rig, NAME_PT + column * rig as f64));
    rig_key::on_columns(&mut block, facts, columns, column - 5.0, palette);
    block.rule(0.0, width, block.height_pt - 1.0, Stroke::solid(palette.rule, 0.7));
    block
}

fn row(facts: &Facts, target: usize, rigs: usize, column: f64, palette: &Palette) -> Block {
    let mut block = Block::new(Role::Paragraph);
    if let Some(wished) = facts.wished.get(target) {
        let kind = if facts.framed.target.name == wished.name { CELL_HEAVY } else { CELL };
        let words = wish_rows::name_within(facts, wished, kind, NAME_PT - 6.0);
        block.text([0.0, 7.2], Anchor::Start, &words, kind, palette.text);
    }
    for (place, rig) in facts.choice.rigs.iter().take(rigs).enumerate() {
        let Some(cell) = rig.cells.get(target) else { continue };
        let (sign, word) = verdict(cell);
        let left = NAME_PT + column * place as f64;
        block.text([left, 7.2], Anchor::Start, sign, TINY, palette.text);
        let (from, most) = (left + 7.5, column - 9.5);
        let (words, kind) = cell_words(cell, &word, column, most);
        block.text([from, 7.2], Anchor::Start, &words, kind, palette.text);
    }
    block.height_pt = ROW_PT;
    let right = NAME_PT + column * rigs as f64;
    block.rule(0.0, right, ROW_PT, Stroke::solid(palette.rule, 0.25));
    block
}

/// As much as a column has room for.
fn cell_words(cell: &Cell, word: &str, column: f64, most: f64) -> (String, Type) {
    let short = if cell.small { "small" } else { word };
    let [measured, short_measured] = [word, short].map(|word| format!("{word} {}", measure(cell)));
    let mut tried = Vec::new();
    if column >= WIDE_PT {
        let measured = [&measured, &short_measured].map(String::as_str);
        tried.extend(measured.into_iter().flat_map(|words| [(words, CELL), (words, TINY)]));
    }
    tried.extend([(word, CELL), (word, TINY), (short, CELL), (short, TINY)]);
    let found = tried.into_iter().find(|(words, kind)| kind.width(words.trim()) <= most);
    match found {
        Some((words, kind)) => (words.trim().to_owned(), kind),
        None => (shortened(short, TINY, most), TINY),
    }
}

/// How many of the list each rig serves.
fn sums(facts: &Facts, rigs: usize, column: f64, width: f64, palette: &Palette) -> Block {
    let mut block = Block::new(Role::Paragraph);
    block.rule(0.0, width, 0.0, Stroke::solid(palette.rule, 0.7));
    block.text([0.0, 9.0], Anchor::Start, SUMS, CELL_HEAVY, palette.text);
    for rig in 0..rigs {
        let words = shortened(&served(facts, rig), CELL_HEAVY, column - 4.0);
        let at = [NAME_PT + column * rig as f64, 9.0];
        block.text(at, Anchor::Start, &words, CELL_HEAVY, palette.text);
    }
    block.height_pt = 11.0;
    block
}
