//! How a rig is told from the others on paper: its number, its line, its name.

use super::block::Block;
use super::facts::Facts;
use super::text::{BODY_HEAVY, CELL_HEAVY, Type, shortened, wrapped_to};
use crate::scene::Palette;
use crate::scene::primitive::{Anchor, Point, Stroke};
use crate::scene::style::rig_style;

/// Length of a sample of a rig's line.
pub(super) const SAMPLE_PT: f64 = 30.0;
/// Width of a line that stands for a rig.
pub(super) const LINE_PT: f64 = 1.5;

/// A rig's name; nothing for a rig that is not there.
pub(super) fn name(facts: &Facts, rig: usize) -> &str {
    facts.kit.rigs.get(rig).map_or("", |rig| rig.name.as_str())
}

/// A rig's line in its colour and dash.
pub(super) fn stroke(facts: &Facts, rig: usize, width_pt: f64, palette: &Palette) -> Stroke {
    let mark = facts.kit.mark_of(rig);
    Stroke::dashed(palette.rig(mark), width_pt, rig_style(mark).dash)
}

/// Number, sample and name in a line, the name in the room that is left.
pub(super) fn in_line(
    block: &mut Block,
    [x, baseline]: Point,
    facts: &Facts,
    rig: usize,
    most: f64,
    palette: &Palette,
) {
    let number = format!("{}", rig + 1);
    block.text([x + 10.0, baseline], Anchor::End, &number, BODY_HEAVY, palette.text);
    let (left, y) = (x + 15.0, baseline - 2.9);
    block.rule(left, left + SAMPLE_PT, y, stroke(facts, rig, LINE_PT + 0.3, palette));
    let from = left + SAMPLE_PT + 6.0;
    let (name, most) = (name(facts, rig), x + most - from);
    // A long name is small rather than cut.
    let kind = if BODY_HEAVY.width(name) <= most { BODY_HEAVY } else { CELL_HEAVY };
    let words = shortened(name, kind, most);
    block.text([from, baseline], Anchor::Start, &words, kind, palette.text);
}

/// Lines of a name over a column at most.
pub(super) const MOST_LINES: usize = 4;
/// Columns narrower than this have their rig's number alone: most names would be torn there.
const NARROW_PT: f64 = 38.0;

/// Whether rigs over columns so wide are told by their numbers alone.
pub(super) fn numbers_only(most: f64) -> bool {
    most < NARROW_PT
}

/// Rigs over columns: sample, number and name, the names in as many lines as they need, up to so
/// many.
pub(super) fn on_columns(
    block: &mut Block,
    facts: &Facts,
    rigs: impl Iterator<Item = (usize, f64)>,
    (most, most_lines): (f64, usize),
    palette: &Palette,
) {
    let kind: Type = CELL_HEAVY;
    let mut rows: usize = 1;
    for (rig, x) in rigs {
        let length = SAMPLE_PT.min(most);
        block.rule(x, x + length, 3.0, stroke(facts, rig, LINE_PT, palette));
        let name = if numbers_only(most) { "" } else { name(facts, rig) };
        let lines = wrapped_to(&format!("{} {name}", rig + 1), kind, most, most_lines);
        block.lines([x, 13.5], &lines, kind, palette.text);
        rows = rows.max(lines.len());
    }
    block.height_pt = 7.5 + kind.line_pt() * rows as f64 + 1.5;
}
