//! The focal ladder: on one logarithmic axis, a bar a target and an upright line a rig.

use fieldstop::choice::TargetRange;
use fieldstop::range::LADDER_MM;

use super::block::Block;
use super::facts::Facts;
use super::rig_key;
use super::text::{CELL_HEAVY, TINY};
use super::MOST_RIGS;
use crate::scene::Palette;
use crate::scene::primitive::{Anchor, Bounds, Primitive, Stroke, TextMark};
use crate::widget::LogAxis;
use crate::words;

/// Lengths that are marked on the axis.
const TICKS_MM: [f64; 8] = [20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 4000.0];
/// Rows of numbers over the axis, where rigs stand close together.
const NUMBER_ROWS: usize = 3;
const NUMBER_ROW_PT: f64 = 8.6;
/// Height of the head: numbers of the rigs, then the axis.
pub(super) const HEAD_PT: f64 = NUMBER_ROW_PT * NUMBER_ROWS as f64 + 11.0;

/// An axis over a width.
pub(super) fn axis(left: f64, right: f64) -> LogAxis {
    LogAxis { left: left as f32, right: right as f32 }
}

fn x(axis: LogAxis, mm: f64) -> f64 {
    f64::from(axis.x(mm))
}

/// Rigs' numbers over their lines, and the lengths along the axis.
pub(super) fn head(block: &mut Block, facts: &Facts, axis: LogAxis, palette: &Palette) {
    let base = HEAD_PT - 3.0;
    let mut free_from = f64::NEG_INFINITY;
    for mm in TICKS_MM {
        let at = x(axis, mm);
        let words = if mm < LADDER_MM.most { format!("{mm}") } else { words::focal_length(mm) };
        let half = TINY.width(&words) / 2.0;
        // A tick whose number would touch the one before stays without.
        let middle = at.min(f64::from(axis.right) + 6.0 - half);
        if middle - half >= free_from {
            block.text([middle, base], Anchor::Middle, &words, TINY, palette.text_quiet);
            free_from = middle + half + 2.0;
        }
    }
    let mut ends = [f64::NEG_INFINITY; NUMBER_ROWS];
    for (rig, mm) in lengths(facts) {
        let words = format!("{}", rig + 1);
        let half = CELL_HEAVY.width(&words) / 2.0;
        let at = x(axis, mm);
        let Some(row) = ends.iter().position(|end| at - half >= *end) else { continue };
        if let Some(end) = ends.get_mut(row) {
            *end = at + half + 2.0;
        }
        let baseline = NUMBER_ROW_PT * (NUMBER_ROWS - row) as f64 - 1.0;
        block.text([at, baseline], Anchor::Middle, &words, CELL_HEAVY, palette.text);
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
    let (left, right) = (f64::from(axis.left), f64::from(axis.right));
    match shape(range) {
        Shape::Words(words) => note(block, left, right, middle, &words, palette),
        Shape::Thin { to, words } => {
            block.rule(left, x(axis, to), middle, thin);
            note(block, x(axis, to) + 3.0, right, middle, &words, palette);
        }
        Shape::Useful { from, to } => {
            block.rule(left, x(axis, from), middle, thin);
            let width = (x(axis, to) - x(axis, from)).max(1.0);
            let bounds = Bounds::at(x(axis, from), middle - 2.6, width, 5.2);
            block.filled(bounds, palette.page.mixed(palette.text, 0.42));
            block.outlined(bounds, Stroke::solid(palette.text, 0.5));
        }
    }
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
        return Shape::Words("never whole on this axis".to_owned());
    }
    match lengths.shortest_mm {
        None => Shape::Thin { to, words: "its detail shows at no length".to_owned() },
        Some(from) if lengths.is_empty() || from > LADDER_MM.most => {
            let words = format!("its detail shows from {}", words::focal_length(from.ceil()));
            Shape::Thin { to, words }
        }
        Some(from) => Shape::Useful { from, to },
    }
}

/// Words on the row, lifted off the rigs' lines, moved left where no room is.
fn note(block: &mut Block, from: f64, right: f64, middle: f64, words: &str, palette: &Palette) {
    let left = from.min(right - TINY.width(words));
    block.items.push(Primitive::Text(TextMark {
        at: [left, middle + 2.1],
        anchor: Anchor::Start,
        text: words.to_owned(),
        size_pt: TINY.size_pt,
        weight: TINY.weight,
        ink: palette.text,
        halo: Some(palette.halo),
    }));
}

/// What bars and lines mean.
pub(super) fn words(facts: &Facts) -> String {
    format!(
        "Ladder, focal length in mm: upright lines are the rigs by their numbers. A target's bar is \
         thick where it is whole and shows {:.0} resolution elements, thin where it is whole only; \
         with the camera, the aperture and the guiding of {}.",
        facts.kit.limits.detail,
        rig_key::name(facts, facts.chosen)
    )
}

/// A range in words, as tables write it: from, to.
pub(super) fn range_words(range: &TargetRange) -> [String; 2] {
    let none = || "–".to_owned();
    let Some(lengths) = range.range else { return [none(), none()] };
    [
        lengths.shortest_mm.map_or_else(none, |mm| format!("{mm:.0} mm")),
        format!("{:.0} mm", lengths.longest_mm),
    ]
}
