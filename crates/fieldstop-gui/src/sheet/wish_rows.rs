//! The wish list in rows: when each target is up, and which focal lengths suit it, side by side.

use super::block::Block;
use super::facts::{Facts, Wished};
use super::text::{CELL, CELL_HEAVY, TINY, Type, shortened};
use super::{calendar, ladder};
use crate::paint::pdf::Role;
use crate::scene::Palette;
use crate::scene::primitive::{Anchor, Bounds, Stroke};
use crate::widget::LogAxis;

/// The section's heading.
pub(super) const HEADING: &str = "When the wish list is up, and which focal lengths suit it";
/// What stands in its place where there is no wish list.
pub(super) const EMPTY: &str = "The wish list is empty. Targets on it would stand here with their \
    hours in each month and the focal lengths that suit them.";
const NAME_PT: f64 = 118.0;
const YEAR_PT: f64 = 30.0;
const YEAR_CLEAR_PT: f64 = 48.0;
const GAP_PT: f64 = 12.0;
const ROW_PT: f64 = 9.8;
/// Where its words stand.
const BASELINE_PT: f64 = 7.3;

/// Where things stand in a row.
struct Row {
    year: f64,
    axis: LogAxis,
    width: f64,
}

impl Row {
    fn new(facts: &Facts, width: f64) -> Self {
        let clear = !facts.kit.site.clear_fraction.is_empty();
        let room = if clear { YEAR_CLEAR_PT } else { YEAR_PT };
        let year = NAME_PT + calendar::WIDTH_PT + room;
        Self { year, axis: ladder::axis(year + GAP_PT, width - 8.0), width }
    }
}

/// A target's name as rows show it, with its stars where it has more than one.
pub(super) fn name(facts: &Facts, wished: &Wished) -> String {
    wished.title.clone() + &stars(facts, wished)
}

fn stars(facts: &Facts, wished: &Wished) -> String {
    match facts.kit.stars(&wished.name) {
        1 => String::new(),
        stars => format!(", {stars} stars"),
    }
}

/// As [`name`], in a width: first the catalogue's other name gives way, then the common name is
/// cut, and last the wish list's own.
pub(super) fn name_within(facts: &Facts, wished: &Wished, kind: Type, most: f64) -> String {
    cut_name([&wished.title, &wished.short_title, &wished.name], &stars(facts, wished), kind, most)
}

fn cut_name([title, short, name]: [&str; 3], stars: &str, kind: Type, most: f64) -> String {
    /// Fewer letters of a name say nothing.
    const LEAST_LETTERS: usize = 3;
    let fits = |title: &&str| kind.width(&format!("{title}{stars}")) <= most;
    if let Some(title) = [title, short].into_iter().find(fits) {
        return format!("{title}{stars}");
    }
    let room = most - kind.width(stars);
    let cut = shortened(short, kind, room);
    let kept = cut.strip_prefix(name).map(|rest| rest.trim().trim_end_matches('…'));
    if kept.is_some_and(|kept| kept.chars().count() >= LEAST_LETTERS) {
        return format!("{cut}{stars}");
    }
    if fits(&name) { format!("{name}{stars}") } else { shortened(name, kind, most) }
}

/// The section's blocks below its heading, for the given targets; `more` were left out.
pub(super) fn blocks(
    facts: &Facts,
    targets: &[usize],
    width: f64,
    palette: &Palette,
) -> Vec<Block> {
    if facts.wished.is_empty() {
        return vec![super::block::paragraph(EMPTY, width, CELL, palette.text_quiet)];
    }
    let row = Row::new(facts, width);
    let words = format!("{} {}", calendar::words(facts), ladder::words(facts));
    let quiet = palette.text_quiet;
    let intro = super::block::paragraph(&words, width, CELL, quiet).kept_with_next();
    let head = head(facts, &row, palette).kept_with_next();
    let mut blocks = vec![intro, head.clone(), site(facts, &row, palette).under(&head)];
    for (place, &target) in targets.iter().enumerate() {
        let Some(wished) = facts.wished.get(target) else { continue };
        let down = ROW_PT * (place as f64 + 1.0);
        let block = self::target(facts, wished, target, &row, down, palette).under(&head);
        // A table does not end with a single row on the next page.
        let last_but_one = place + 2 == targets.len();
        blocks.push(if last_but_one { block.kept_with_next() } else { block });
    }
    let more = facts.wished.len() - targets.len();
    if more > 0 {
        let words = format!("and {more} more in the HTML form of this sheet.");
        if let Some(last) = blocks.last_mut() {
            last.with_next = true;
        }
        blocks.push(super::block::paragraph(&words, width, CELL, quiet));
    }
    blocks
}

fn head(facts: &Facts, row: &Row, palette: &Palette) -> Block {
    let mut block = Block::new(Role::Paragraph).after(4.0);
    let height = ladder::head(&mut block, facts, row.axis, palette);
    let base = height - 3.0;
    calendar::head(&mut block, NAME_PT, base, palette);
    let year = calendar::year_head(facts);
    block.text([row.year, base], Anchor::End, year, TINY, palette.text_quiet);
    block.rule(0.0, row.width, height, Stroke::solid(palette.rule, 0.7));
    block.height_pt = height;
    block
}

/// What the site offers at all.
fn site(facts: &Facts, row: &Row, palette: &Palette) -> Block {
    let mut block = Block::new(Role::Paragraph).kept_with_next();
    block.text([0.0, BASELINE_PT], Anchor::Start, "Dark at the site", CELL, palette.text_quiet);
    let total = facts.dark.iter().map(|month| month.dark).sum();
    months(&mut block, facts, &facts.dark, total, row, palette);
    ladder::rig_lines(&mut block, facts, row.axis, (ROW_PT, 0.0), palette);
    block.height_pt = ROW_PT;
    block
}

fn target(
    facts: &Facts,
    wished: &Wished,
    place: usize,
    row: &Row,
    down: f64,
    palette: &Palette,
) -> Block {
    let mut block = Block::new(Role::Paragraph);
    let framed = facts.framed.target.name == wished.name;
    let kind = if framed { CELL_HEAVY } else { CELL };
    let words = name_within(facts, wished, kind, NAME_PT - 6.0);
    block.text([0.0, BASELINE_PT], Anchor::Start, &words, kind, palette.text);
    let year = &wished.year;
    months(&mut block, facts, &year.months, year.total.dark, row, palette);
    let (range, middle) = (facts.choice.ranges.get(place), ROW_PT / 2.0);
    ladder::bar(&mut block, range, row.axis, middle, palette);
    ladder::rig_lines(&mut block, facts, row.axis, (ROW_PT, down), palette);
    ladder::note(&mut block, facts, range, row.axis, middle, palette);
    block.height_pt = ROW_PT;
    block
}

fn months(
    block: &mut Block,
    facts: &Facts,
    months: &[crate::nights::MonthHours; crate::nights::MONTHS],
    total: f64,
    row: &Row,
    palette: &Palette,
) {
    let room = Bounds::at(NAME_PT, 0.3, calendar::WIDTH_PT, ROW_PT - 0.6);
    let full = calendar::full_hours(facts);
    calendar::boxes(block, months, full, (room, BASELINE_PT), palette);
    let words = calendar::year_words(facts, months, total);
    block.text([row.year, BASELINE_PT], Anchor::End, &words, CELL, palette.text);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn where_room_is_short_the_designation_stays() {
        let names = ["IC 1805  Heart Nebula, Sh2-190", "IC 1805  Heart Nebula", "IC 1805"];
        let cut = |most: f64, stars: &str| cut_name(names, stars, CELL, most);
        let width = |text: &str| CELL.width(text) + 0.1;
        assert_eq!(cut(width(names[0]), ""), names[0]);
        assert_eq!(cut(width(names[0]) - 1.0, ""), names[1]);
        assert_eq!(cut(width("IC 1805  Heart…"), ""), "IC 1805  Heart…");
        assert_eq!(cut(width("IC 1805, 3 stars"), ", 3 stars"), "IC 1805, 3 stars");
        assert_eq!(cut(width(names[2]), ", 3 stars"), names[2]);
    }
}
