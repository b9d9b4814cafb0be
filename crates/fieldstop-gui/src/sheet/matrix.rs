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
/// Room for the names of targets, at least and at most.
const NAME_PT: (f64, f64) = (106.0, 150.0);
/// What a column needs before names get more than the least.
const COLUMN_PT: f64 = 60.0;
const MOST_COLUMN_PT: f64 = 130.0;
const ROW_PT: f64 = 9.4;
/// From a column's sign to its words.
const SIGN_PT: f64 = 7.5;
/// Between the words of a column and the next one's sign.
const GAP_PT: f64 = 5.0;

/// What the signs mean.
pub(super) fn key(facts: &Facts) -> String {
    format!(
        "● served: whole, with at least {:.0} resolution elements   ○ small: held, with fewer   \
         ▲ tight: touches the edge   ■ spills: takes a mosaic.",
        facts.kit.limits.detail,
    )
}

/// What the numbers mean, where there are any.
pub(super) const FILL_KEY: &str =
    "The number is the fill: the target's size relative to the frame at its best rotation.";
/// What the numbers over the columns are, where there is no room for names.
const NUMBERS_KEY: &str = "Rigs by their numbers, as below the sky.";

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

/// Where the table's columns stand, and what they have room for.
struct Columns {
    rigs: usize,
    /// Where the first one begins.
    left: f64,
    each: f64,
    /// Whether the fills have room.
    measured: bool,
}

impl Columns {
    fn new(facts: &Facts, targets: &[usize], width: f64) -> Self {
        let rigs = facts.choice.rigs.len().min(MOST_RIGS);
        let count = rigs.max(1) as f64;
        let (least, most) = NAME_PT;
        let names = targets.iter().filter_map(|&target| facts.wished.get(target));
        let longest = names.map(|wished| CELL_HEAVY.width(&wish_rows::name(facts, wished)) + 6.0);
        let longest = longest.fold(least, f64::max).min(most);
        let left = (width - count * COLUMN_PT).clamp(least, longest);
        let each = ((width - left) / count).min(MOST_COLUMN_PT);
        let columns = Self { rigs, left, each, measured: true };
        // All of the table has fills, or none of it.
        let measured = targets.iter().all(|&target| columns.manner(facts, target).is_some());
        Self { measured, ..columns }
    }

    fn left(&self, place: usize) -> f64 {
        self.left + self.each * place as f64
    }

    /// How long a cell's words may be.
    fn most(&self) -> f64 {
        self.each - SIGN_PT - GAP_PT
    }

    /// The fullest manner and largest type in which every cell of a target's row has room.
    fn manner(&self, facts: &Facts, target: usize) -> Option<(Manner, Type)> {
        let manners: &[(Manner, Type)] = if self.measured { &MEASURED } else { &PLAIN };
        let cells: Vec<&Cell> = self.cells(facts, target).collect();
        let fits = |&(manner, kind): &(Manner, Type)| {
            cells.iter().all(|cell| kind.width(&manner.words(cell)) <= self.most())
        };
        manners.iter().copied().find(fits)
    }

    fn cells<'a>(&self, facts: &'a Facts, target: usize) -> impl Iterator<Item = &'a Cell> {
        let rigs = facts.choice.rigs.iter().take(self.rigs);
        rigs.filter_map(move |rig| rig.cells.get(target))
    }
}

/// How a cell says what it says, beside its sign.
#[derive(Clone, Copy)]
enum Manner {
    /// `whole, small 0.01`
    Whole,
    /// `small 0.01`
    Short,
    /// `small 0.01`, but `under 0.01` where the fill is no more than that: its sign says the rest.
    Shortest,
    /// `whole, small`
    Word,
    /// `small`
    ShortWord,
}

/// Manners of a table with fills, the fullest first.
const MEASURED: [(Manner, Type); 5] = [
    (Manner::Whole, CELL),
    (Manner::Short, CELL),
    (Manner::Shortest, CELL),
    (Manner::Short, TINY),
    (Manner::Shortest, TINY),
];
/// Manners of a table without.
const PLAIN: [(Manner, Type); 3] =
    [(Manner::Word, CELL), (Manner::ShortWord, CELL), (Manner::ShortWord, TINY)];

impl Manner {
    fn words(self, cell: &Cell) -> String {
        let (_, word) = verdict(cell);
        let short = match cell.fit.verdict {
            Verdict::SizeUnknown => "unknown".to_owned(),
            _ if cell.small => "small".to_owned(),
            _ => word.clone(),
        };
        let fill = measure(cell);
        let words = match self {
            Self::Whole => format!("{word} {fill}"),
            Self::Shortest if fill.starts_with("under") => fill,
            Self::Short | Self::Shortest => format!("{short} {fill}"),
            Self::Word => word,
            Self::ShortWord => short,
        };
        words.trim().to_owned()
    }
}

/// The section's blocks below its heading.
pub(super) fn blocks(
    facts: &Facts,
    targets: &[usize],
    width: f64,
    palette: &Palette,
) -> Vec<Block> {
    let quiet = palette.text_quiet;
    let columns = Columns::new(facts, targets, width);
    let mut key = key(facts);
    let numbers_only = rig_key::numbers_only(columns.each - GAP_PT);
    let more = [(columns.measured, FILL_KEY), (numbers_only, NUMBERS_KEY)];
    for (_, words) in more.iter().filter(|(holds, _)| *holds) {
        key = format!("{key} {words}");
    }
    let intro = super::block::paragraph(&key, width, CELL, quiet).kept_with_next();
    let head = head(facts, &columns, width, palette).kept_with_next();
    let mut blocks = vec![intro, head.clone()];
    for &target in targets {
        blocks.push(row(facts, target, &columns, palette).kept_with_next().under(&head));
    }
    // Rows may be parted from each other, but not the first or the last one from its like.
    let count = blocks.len();
    for (place, block) in blocks.iter_mut().enumerate() {
        if place >= 3 && place + 2 < count {
            block.with_next = false;
        }
    }
    blocks.push(sums(facts, &columns, width, palette));
    let more = facts.wished.len() - targets.len();
    let rest = facts.choice.rigs.len() - columns.rigs;
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

fn head(facts: &Facts, columns: &Columns, width: f64, palette: &Palette) -> Block {
    let mut block = Block::new(Role::Paragraph).after(5.0);
    let rigs = (0..columns.rigs).map(|rig| (rig, columns.left(rig)));
    let room = (columns.each - GAP_PT, rig_key::MOST_LINES);
    rig_key::on_columns(&mut block, facts, rigs, room, palette);
    block.rule(0.0, width, block.height_pt - 1.0, Stroke::solid(palette.rule, 0.7));
    block
}

fn row(facts: &Facts, target: usize, columns: &Columns, palette: &Palette) -> Block {
    let mut block = Block::new(Role::Paragraph);
    if let Some(wished) = facts.wished.get(target) {
        let kind = if facts.framed.target.name == wished.name { CELL_HEAVY } else { CELL };
        let words = wish_rows::name_within(facts, wished, kind, columns.left - 6.0);
        block.text([0.0, 7.2], Anchor::Start, &words, kind, palette.text);
    }
    // Where not even the shortest has room, it is cut.
    let (manner, kind) = columns.manner(facts, target).unwrap_or((Manner::ShortWord, TINY));
    for (place, cell) in columns.cells(facts, target).enumerate() {
        let left = columns.left(place);
        let (sign, _) = verdict(cell);
        let words = shortened(&manner.words(cell), kind, columns.most());
        block.text([left, 7.2], Anchor::Start, sign, TINY, palette.text);
        block.text([left + SIGN_PT, 7.2], Anchor::Start, &words, kind, palette.text);
    }
    block.height_pt = ROW_PT;
    let right = columns.left(columns.rigs);
    block.rule(0.0, right, ROW_PT, Stroke::solid(palette.rule, 0.25));
    block
}

/// How many of the list each rig serves.
fn sums(facts: &Facts, columns: &Columns, width: f64, palette: &Palette) -> Block {
    let mut block = Block::new(Role::Paragraph);
    block.rule(0.0, width, 0.0, Stroke::solid(palette.rule, 0.7));
    block.text([0.0, 9.0], Anchor::Start, SUMS, CELL_HEAVY, palette.text);
    for rig in 0..columns.rigs {
        let words = shortened(&served(facts, rig), CELL_HEAVY, columns.each - 4.0);
        let at = [columns.left(rig), 9.0];
        block.text(at, Anchor::Start, &words, CELL_HEAVY, palette.text);
    }
    block.height_pt = 11.0;
    block
}
