//! What each rig is made of: a row a rig, by the number that it has everywhere.

use super::block::Block;
use super::facts::Facts;
use super::rig_key;
use super::text::{CELL, TINY, Type, wrapped_to};
use super::{MANY_RIGS, MOST_RIGS};
use crate::paint::pdf::Role;
use crate::scene::Palette;
use crate::scene::primitive::{Anchor, Stroke};

/// What the table is.
pub(super) const CAPTION: &str = "What each rig is made of";
/// What stands in its place on paper where there is no room.
pub(super) const ELSEWHERE: &str = "What each rig is made of is in the HTML form of this sheet.";
/// Its heads.
pub(super) const HEADS: [&str; 5] = ["Rig", "Telescope", "Corrector", "Camera", "Mount"];

/// A rig's parts under those heads, its name apart.
pub(super) fn cells(facts: &Facts, rig: usize) -> Option<[&str; 4]> {
    let parts = facts.kit.resolve(rig)?;
    let corrector = parts.corrector.map_or("–", |corrector| corrector.name.as_str());
    Some([&parts.ota.name, corrector, &parts.camera.name, &parts.mount.name])
}

/// Where the columns begin, as shares of the width.
const COLUMNS: [f64; 5] = [0.0, 0.26, 0.46, 0.64, 0.82];
/// Room for a rig's number.
const NUMBER_PT: f64 = 15.0;
/// Between two columns.
const GAP_PT: f64 = 6.0;
/// Lines of a name at most.
const MOST_LINES: usize = 2;

/// The table, as one block.
pub(super) fn block(facts: &Facts, width: f64, palette: &Palette) -> Block {
    let mut block = Block::new(Role::Paragraph).after(5.0);
    let heads = std::iter::once(CAPTION).chain(HEADS.into_iter().skip(1));
    for (left, head) in COLUMNS.iter().zip(heads) {
        block.text([left * width, 6.5], Anchor::Start, head, CELL, palette.text_quiet);
    }
    block.rule(0.0, width, 9.5, Stroke::solid(palette.rule, 0.5));
    let kind: Type = if facts.kit.rigs.len() > MANY_RIGS { TINY } else { CELL };
    let mut top = 10.5;
    for rig in (0..facts.kit.rigs.len()).take(MOST_RIGS) {
        let Some(parts) = cells(facts, rig) else { continue };
        let number = format!("{}", rig + 1);
        let baseline = top + kind.size_pt;
        block.text([10.0, baseline], Anchor::End, &number, kind, palette.text);
        let names = std::iter::once(rig_key::name(facts, rig)).chain(parts);
        let mut rows: usize = 1;
        for (column, words) in names.enumerate() {
            let (left, most) = room(column, width);
            // The rig's own name stands in full above.
            let lines = wrapped_to(words, kind, most, if column == 0 { 1 } else { MOST_LINES });
            block.lines([left, baseline], &lines, kind, palette.text);
            rows = rows.max(lines.len());
        }
        top += kind.line_pt() * rows as f64;
    }
    let more = facts.kit.rigs.len().saturating_sub(MOST_RIGS);
    if more > 0 {
        let words = format!("and {more} more in the HTML form of this sheet");
        let at = [NUMBER_PT, top + kind.size_pt];
        block.text(at, Anchor::Start, &words, kind, palette.text_quiet);
        top += kind.line_pt();
    }
    block.height_pt = top + 1.0;
    block
}

/// Where a column's words begin, and how long they may be.
fn room(column: usize, width: f64) -> (f64, f64) {
    let begin = |column: usize| COLUMNS.get(column).map_or(width + GAP_PT, |share| share * width);
    let left = begin(column) + if column == 0 { NUMBER_PT } else { 0.0 };
    (left, begin(column + 1) - GAP_PT - left)
}
