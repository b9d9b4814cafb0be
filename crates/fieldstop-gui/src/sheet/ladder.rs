//! The focal ladder: on one logarithmic axis, a bar a target and an upright line a rig.

use fieldstop::choice::TargetRange;
use fieldstop::range::LADDER_MM;

use super::MOST_RIGS;
use super::block::Block;
use super::facts::Facts;
use super::rig_key;
use super::text::{CELL_HEAVY, TINY, brief};
use crate::scene::Palette;
use crate::scene::primitive::{Anchor, Bounds, Stroke};
use crate::widget::LogAxis;
use crate::words;

/// Lengths that are marked on the axis.
const TICKS_MM: [f64; 8] = [20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 4000.0];
/// Rows of numbers over the axis at most, where rigs stand close together.
const NUMBER_ROWS: usize = 4;
const NUMBER_ROW_PT: f64 = 8.6;
const TICK_ROW_PT: f64 = 11.0;

/// An axis over a width.
pub(super) fn axis(left: f64, right: f64) -> LogAxis {
    LogAxis { left: left as f32, right: right as f32 }
}

fn x(axis: LogAxis, mm: f64) -> f64 {
    f64::from(axis.x(mm))
}

/// Rigs' numbers over their lines, and the lengths along the axis; gives the head's height.
pub(super) fn head(block: &mut Block, facts: &Facts, axis: LogAxis, palette: &Palette) -> f64 {
    let mut ends: Vec<f64> = Vec::new();
    let mut placed = Vec::new();
    for (rig, mm) in lengths(facts) {
        let words = format!("{}", rig + 1);
        let half = CELL_HEAVY.width(&words) / 2.0;
        let at = x(axis, mm);
        let row = ends.iter().position(|end| at - half >= *end).unwrap_or(ends.len());
        if row == NUMBER_ROWS {
            continue;
        }
        let end = at + half + 2.0;
        match ends.get_mut(row) {
            Some(known) => *known = end,
            None => ends.push(end),
        }
        placed.push((at, row, words));
    }
    let height = NUMBER_ROW_PT * ends.len() as f64 + TICK_ROW_PT;
    for (at, row, words) in placed {
        let baseline = height - TICK_ROW_PT - NUMBER_ROW_PT * row as f64 - 1.0;
        block.text([at, baseline], Anchor::Middle, &words, CELL_HEAVY, palette.text);
    }
    ticks(block, axis, height - 3.0, palette);
    height
}

fn ticks(block: &mut Block, axis: LogAxis, baseline: f64, palette: &Palette) {
    let mut free_from = f64::NEG_INFINITY;
    for mm in TICKS_MM {
        let words = if mm < LADDER_MM.most { format!("{mm}") } else { words::focal_length(mm) };
        let half = TINY.width(&words) / 2.0;
        let middle = x(axis, mm).min(f64::from(axis.right) + 6.0 - half);
        // A tick whose number would touch the one before stays without.
        if middle - half >= free_from {
            block.text([middle, baseline], Anchor::Middle, &words, TINY, palette.text_quiet);
            free_from = middle + half + 2.0;
        }
    }
}

/// The rigs by focal length, as far as paper shows them.
fn lengths(facts: &Facts) -> Vec<(usize, f64)> {
    let mut lengths: Vec<(usize, f64)> = facts
        .rigs
        .iter()
        .enumerate()
        .take(MOST_RIGS)
        .map(|(rig, figures)| (rig, figures.focal_length_mm))
        .collect();
    lengths.sort_by(|(_, a), (_, b)| a.total_cmp(b));
    lengths
}

/// The rigs' lines through a row; `down` is how far below the table's first row it stands, so that
/// a broken line goes on from row to row.
pub(super) fn rig_lines(
    block: &mut Block,
    facts: &Facts,
    axis: LogAxis,
    (height, down): (f64, f64),
    palette: &Palette,
) {
    for (rig, mm) in lengths(facts) {
        let at = x(axis, mm);
        let stroke = rig_key::stroke(facts, rig, rig_key::LINE_PT, palette);
        let stroke = Stroke { dash_offset_pt: down, ..stroke };
        block.line(vec![[at, 0.0], [at, height]], stroke);
    }
}

/// A target's bar: thin as far as it is whole, thick where its detail shows too.
pub(super) fn bar(
    block: &mut Block,
    range: Option<&TargetRange>,
    axis: LogAxis,
    middle: f64,
    palette: &Palette,
) {
    let thin = Stroke::solid(palette.text, 0.7);
    let left = f64::from(axis.left);
    match shape(range) {
        Shape::Words(_) => {}
        Shape::Thin { to, .. } => block.rule(left, x(axis, to), middle, thin),
        Shape::Useful { from, to } => {
            block.rule(left, x(axis, from), middle, thin);
            let width = (x(axis, to) - x(axis, from)).max(1.0);
            let bounds = Bounds::at(x(axis, from), middle - 2.7, width, 5.4);
            block.filled(bounds, palette.page.mixed(palette.text, 0.26));
            block.outlined(bounds, Stroke::solid(palette.text, 0.5));
        }
    }
}

/// Why a target has no thick bar, on clear ground where it covers the fewest rigs' lines.
pub(super) fn note(
    block: &mut Block,
    facts: &Facts,
    range: Option<&TargetRange>,
    axis: LogAxis,
    middle: f64,
    palette: &Palette,
) {
    let (from, words) = match shape(range) {
        Shape::Words(words) => (f64::from(axis.left), words),
        Shape::Thin { to, words } => (x(axis, to), words),
        Shape::Useful { .. } => return,
    };
    let width = TINY.width(&words) + 2.0 * PAD_PT;
    let lines: Vec<f64> = lengths(facts).into_iter().map(|(_, mm)| x(axis, mm)).collect();
    let left = clear_place(&lines, (f64::from(axis.left), f64::from(axis.right)), width, from);
    let ground = Bounds::at(left, middle - 3.6, width, 7.2);
    block.filled(ground, palette.page);
    block.text([left + PAD_PT, middle + 2.1], Anchor::Start, &words, TINY, palette.text);
}

/// Clear ground beside a note's words.
const PAD_PT: f64 = 1.5;
/// And from there to the middle of a rig's line.
const CLEAR_PT: f64 = 1.2;

/// Where what is so wide covers the fewest lines, of such places the nearest to the one that is
/// wanted.
fn clear_place(lines: &[f64], (least, most): (f64, f64), width: f64, wanted: f64) -> f64 {
    let last = (most - width).max(least);
    let beside = lines.iter().flat_map(|line| [line + CLEAR_PT, line - CLEAR_PT - width]);
    let places = [wanted, least, last].into_iter().chain(beside).map(|x| x.clamp(least, last));
    // A hair less, so that a place beside a line does not cover it by rounding.
    let clear = CLEAR_PT - 0.01;
    let covered = |left: f64| {
        let is_under = |line: &&f64| **line > left - clear && **line < left + width + clear;
        lines.iter().filter(is_under).count()
    };
    let best = places.min_by(|&a, &b| {
        let apart = |left: f64| (left - wanted).abs();
        covered(a).cmp(&covered(b)).then(apart(a).total_cmp(&apart(b)))
    });
    best.unwrap_or(least)
}

/// What a row of the ladder shows.
enum Shape {
    Words(String),
    Thin { to: f64, words: String },
    Useful { from: f64, to: f64 },
}

fn shape(range: Option<&TargetRange>) -> Shape {
    let Some(lengths) = range.and_then(|range| range.range) else {
        return Shape::Words("size unknown".to_owned());
    };
    let to = lengths.longest_mm;
    if to <= LADDER_MM.least {
        return Shape::Words("never whole here".to_owned());
    }
    match lengths.shortest_mm {
        None => Shape::Thin { to, words: "detail at no length".to_owned() },
        Some(from) if lengths.is_empty() || from > LADDER_MM.most => {
            let words = format!("detail from {}", words::detail_from(from));
            Shape::Thin { to, words }
        }
        Some(from) => Shape::Useful { from, to },
    }
}

/// What bars and lines mean.
pub(super) fn words(facts: &Facts) -> String {
    format!(
        "Ladder, focal length in mm: an upright line a rig, by its number; a bar a target, thick \
         where it is whole and shows {:.0} resolution elements, thin where it is whole only, with \
         camera, aperture and guiding of {}.",
        facts.kit.limits.detail,
        brief(rig_key::name(facts, facts.chosen))
    )
}

/// A range in words, as tables write it: from, to.
pub(super) fn range_words(range: &TargetRange) -> [String; 2] {
    let none = || "–".to_owned();
    let Some(lengths) = range.range else { return [none(), none()] };
    [lengths.shortest_mm.map_or_else(none, words::detail_from), words::whole_to(lengths.longest_mm)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_note_stands_between_the_lines_or_over_as_few_as_can_be() {
        let lines = [70.0, 90.0, 110.0, 150.0];
        let place = |width: f64, wanted: f64| clear_place(&lines, (0.0, 200.0), width, wanted);
        // Where it is wanted, if that is free.
        assert_eq!(place(40.0, 155.0), 155.0);
        // Else in the nearest gap that has room.
        assert_eq!(place(30.0, 100.0), 110.0 + CLEAR_PT);
        assert_eq!(place(60.0, 100.0), 70.0 - CLEAR_PT - 60.0);
        // No gap has room: one line is covered, not two.
        assert_eq!(place(75.0, 200.0), 125.0);
        // Wider than the axis, it begins with it.
        assert_eq!(place(300.0, 50.0), 0.0);
    }
}
