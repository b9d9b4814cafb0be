//! What each rig demands: rigs as columns, the figures that decide as rows, each with its grade.

use fieldstop::demands::{Figure, Grade};

use super::block::Block;
use super::facts::Facts;
use super::rig_key;
use super::text::{CELL, TINY, brief, shortened};
use super::{MANY_RIGS, MOST_RIGS};
use crate::demand_words;
use crate::paint::pdf::Role;
use crate::scene::Palette;
use crate::scene::primitive::{Anchor, Point, Stroke};
use crate::state::demand_target::Standing;
use crate::words;

/// Figures that people ask for, in the order of the questions.
pub(super) const GROUPS: [(&str, &[Figure]); 6] = [
    (
        "Resolution: how fine a detail comes through, and whether the pixels suit it",
        &[Figure::DeliveredFwhm, Figure::Detail, Figure::PixelsPerFwhm, Figure::Sampling],
    ),
    (
        "Tracking: how well the mount must follow",
        &[Figure::Untracked, Figure::Unguided, Figure::GuideRmsNeeded, Figure::GuidingLoss],
    ),
    (
        "Load: what mount and back must carry",
        &[Figure::MassOnMount, Figure::PayloadUsed, Figure::HeaviestPiece, Figure::Carry],
    ),
    (
        "Coverage and focus: what must be kept in order",
        &[Figure::ImageCircleOk, Figure::CornerComa, Figure::DepthOfFocus],
    ),
    (
        "Exposure: how much time it takes",
        &[Figure::SubExposure, Figure::HoursPerArcsec2, Figure::GigabytesANight],
    ),
    ("Cost: what is still to pay", &[Figure::Price, Figure::ChecklistPrice]),
];

/// The groups with the rows that say something of at least one rig.
pub(super) fn groups(facts: &Facts) -> Vec<(&'static str, Vec<Figure>)> {
    let says =
        |figure: &Figure| (0..facts.demands.len()).any(|rig| has_figure(facts, rig, *figure));
    let rows = |figures: &[Figure]| figures.iter().copied().filter(says).collect::<Vec<_>>();
    let groups = GROUPS.iter().map(|(name, figures)| (*name, rows(figures)));
    groups.filter(|(_, figures)| !figures.is_empty()).collect()
}

fn has_figure(facts: &Facts, rig: usize, figure: Figure) -> bool {
    cell(facts, rig, figure).why.is_none()
}

/// Rows that also say how far they move with the sky.
const UNCERTAIN: [Figure; 2] = [Figure::DeliveredFwhm, Figure::HoursPerArcsec2];
/// What such a row is called.
pub(super) const RANGE_LABEL: &str = "as seeing and sky vary";

/// As many leave the names of the groups room; more need it for the targets.
const NAMED: usize = 6;
const LABEL_PT: f64 = 110.0;
const ROW_PT: f64 = 10.3;
const GRADE_ROW_PT: f64 = 7.4;
const RANGE_ROW_PT: f64 = 7.8;
const GROUP_ROW_PT: f64 = 10.8;
/// Between a figure and its grade.
const GRADE_GAP_PT: f64 = 4.0;

/// The sign of a grade: a ring, a triangle, a square, as in the window.
pub(super) const fn sign(grade: Grade) -> &'static str {
    match grade {
        Grade::Good => "○",
        Grade::Doubtful => "▲",
        Grade::Bad => "■",
    }
}

/// A figure of a rig in words, and its grade; the reason if there is none.
pub(super) struct Cell {
    /// The figure, or a dash.
    pub(super) text: String,
    /// How it stands to what is wanted.
    pub(super) grade: Option<Grade>,
    /// Why there is no figure.
    pub(super) why: Option<String>,
}

/// A figure of a rig.
pub(super) fn cell(facts: &Facts, rig: usize, figure: Figure) -> Cell {
    let Some(own) = facts.demands.get(rig) else {
        return Cell { text: "–".to_owned(), grade: None, why: None };
    };
    match demand_words::cell(&own.demands, figure, &facts.kit.limits.currency) {
        Ok(text) => Cell { text, grade: own.grade(figure).map(|graded| graded.grade), why: None },
        Err(why) => Cell { text: "–".to_owned(), grade: None, why: Some(why) },
    }
}

/// From the least to the most as seeing varies by 30 % and sky by half a magnitude.
pub(super) fn range(facts: &Facts, rig: usize, figure: Figure) -> Option<String> {
    if !UNCERTAIN.contains(&figure) {
        return None;
    }
    let (least, most) = facts.demands.get(rig)?.sensitivity.range(figure)?;
    let currency = &facts.kit.limits.currency;
    let text = |number: f64| demand_words::value(figure, number.into(), currency);
    Some(format!("{} – {}", text(least), text(most)))
}

/// Whether any rig has such a range.
pub(super) fn has_range(facts: &Facts, figure: Figure) -> bool {
    (0..facts.demands.len()).any(|rig| range(facts, rig, figure).is_some())
}

/// Where in the sky the figures are for.
pub(super) fn place_words(facts: &Facts) -> String {
    let name = brief(&facts.framed.target.name);
    match facts.standing {
        Standing::Zenith => "For the zenith.".to_owned(),
        Standing::Highest { altitude, airmass, .. } => format!(
            "For {name} at its highest, {:.0}° up, airmass {}, without the Moon, to a \
             signal-to-noise ratio of {}.",
            altitude.deg(),
            words::three_digits(airmass),
            demand_words::plain(facts.kit.limits.snr)
        ),
        Standing::NeverRises => format!(
            "{name} never rises at this site: the figures are for the zenith, without a target."
        ),
    }
}

/// What the signs mean.
pub(super) const KEY: &str = "○ good   ▲ doubtful: it works, with care   ■ bad: it stands in the way. \
    Grades follow the kit's limits and common practice; guiding is good up to a fifth more RMS than its limit.";

/// Why some figures are missing, each reason once.
pub(super) fn reasons(facts: &Facts) -> Option<String> {
    let mut reasons: Vec<String> = Vec::new();
    for figure in groups(facts).into_iter().flat_map(|(_, figures)| figures) {
        for why in (0..facts.demands.len()).filter_map(|rig| cell(facts, rig, figure).why) {
            let said = format!("{}: {why}", figure.label());
            if !reasons.contains(&said) {
                reasons.push(said);
            }
        }
    }
    (!reasons.is_empty()).then(|| format!("No figure (–): {}.", reasons.join("; ")))
}

/// The section's blocks below its heading.
pub(super) fn blocks(facts: &Facts, width: f64, palette: &Palette) -> Vec<Block> {
    let quiet = palette.text_quiet;
    let intro = format!("{} {KEY}", place_words(facts));
    let mut blocks = vec![super::block::paragraph(&intro, width, CELL, quiet).kept_with_next()];
    let all = facts.demands.len();
    let rigs: Vec<usize> = (0..all.min(MOST_RIGS)).collect();
    let parts = rigs.len().div_ceil(MANY_RIGS).max(1);
    let named = all <= NAMED;
    for columns in rigs.chunks(rigs.len().div_ceil(parts).max(1)) {
        // Two tables have wider columns, and two heads.
        let head_lines = if parts == 1 { rig_key::MOST_LINES } else { 2 };
        let columns = Columns::new(columns, head_lines, width);
        let head = columns.head(facts, width, palette).kept_with_next();
        blocks.push(head.clone());
        let rows = columns.rows(facts, named, width, palette);
        blocks.extend(rows.into_iter().map(|row| row.under(&head)));
    }
    if all > MOST_RIGS {
        let more = words::counted(all - MOST_RIGS, "more rig");
        let more = format!("and {more} in the HTML form of this sheet.");
        blocks.push(super::block::paragraph(&more, width, CELL, quiet));
    }
    if let Some(reasons) = reasons(facts) {
        blocks.push(super::block::paragraph(&reasons, width, TINY, quiet));
    }
    blocks
}

/// Where the rigs of one table stand.
struct Columns<'a> {
    rigs: &'a [usize],
    width: f64,
    /// Lines of a rig's name at most.
    head_lines: usize,
}

impl<'a> Columns<'a> {
    fn new(rigs: &'a [usize], head_lines: usize, width: f64) -> Self {
        // One or two rigs are not to be torn apart.
        let own = ((width - LABEL_PT) / rigs.len().max(1) as f64).min(130.0);
        Self { rigs, width: own, head_lines }
    }

    fn left(&self, place: usize) -> f64 {
        LABEL_PT + self.width * place as f64
    }

    fn head(&self, facts: &Facts, width: f64, palette: &Palette) -> Block {
        let mut block = Block::new(Role::Paragraph).after(6.0);
        let rigs = self.rigs.iter().enumerate().map(|(place, &rig)| (rig, self.left(place)));
        let room = (self.width - 6.0, self.head_lines);
        rig_key::on_columns(&mut block, facts, rigs, room, palette);
        block.rule(0.0, width, block.height_pt - 1.0, Stroke::solid(palette.rule, 0.7));
        block
    }

    fn rows(&self, facts: &Facts, named: bool, width: f64, palette: &Palette) -> Vec<Block> {
        let mut rows = Vec::new();
        for (name, figures) in groups(facts) {
            if named {
                let mut block = Block::new(Role::Paragraph).kept_with_next();
                block.text([0.0, 8.8], Anchor::Start, name, TINY, palette.text_quiet);
                block.height_pt = GROUP_ROW_PT;
                rows.push(block);
            }
            // A group is not parted by the end of a page.
            for figure in figures {
                rows.push(self.row(facts, figure, palette).kept_with_next());
            }
            if let Some(last) = rows.last_mut() {
                last.with_next = false;
                let y = last.height_pt;
                last.rule(0.0, width, y, Stroke::solid(palette.rule, 0.35));
            }
        }
        rows
    }

    fn row(&self, facts: &Facts, figure: Figure, palette: &Palette) -> Block {
        let mut block = Block::new(Role::Paragraph);
        let title = shortened(&demand_words::title(figure), CELL, LABEL_PT - 6.0);
        block.text([0.0, 8.0], Anchor::Start, &title, CELL, palette.text);
        let cells: Vec<Cell> = self.rigs.iter().map(|&rig| cell(facts, rig, figure)).collect();
        let most = self.width - 4.0;
        // Where one cell has no room for its grade beside its figure, the row's grades go below.
        let beside = cells.iter().all(|cell| cell.width() <= most);
        for (place, cell) in cells.iter().enumerate() {
            cell.draw(&mut block, [self.left(place), 8.0], most, beside, palette);
        }
        block.height_pt = if beside { ROW_PT } else { ROW_PT + GRADE_ROW_PT };
        if has_range(facts, figure) {
            let y = block.height_pt + 5.4;
            block.text([8.0, y], Anchor::Start, RANGE_LABEL, TINY, palette.text_quiet);
            for (place, &rig) in self.rigs.iter().enumerate() {
                let words = range(facts, rig, figure).unwrap_or_else(|| "–".to_owned());
                let words = shortened(&words, TINY, self.width - 4.0);
                let at = [self.left(place), y];
                block.text(at, Anchor::Start, &words, TINY, palette.text_quiet);
            }
            block.height_pt += RANGE_ROW_PT;
        }
        block
    }
}

impl Cell {
    /// Its grade as sign and word.
    fn grade_words(&self) -> Option<String> {
        self.grade.map(|grade| format!("{} {}", sign(grade), grade.label()))
    }

    /// Length of figure and grade in a line.
    fn width(&self) -> f64 {
        let grade = self.grade_words().map_or(0.0, |words| TINY.width(&words) + GRADE_GAP_PT);
        CELL.width(&self.text) + grade
    }

    /// The figure with its grade beside or below it.
    fn draw(&self, block: &mut Block, [x, y]: Point, most: f64, beside: bool, palette: &Palette) {
        let kind = if CELL.width(&self.text) <= most { CELL } else { TINY };
        let text = shortened(&self.text, kind, most);
        block.text([x, y], Anchor::Start, &text, kind, palette.text);
        if let Some(grade) = self.grade_words() {
            let below = y + GRADE_ROW_PT;
            let at = if beside { [x + kind.width(&text) + GRADE_GAP_PT, y] } else { [x, below] };
            let grade = shortened(&grade, TINY, most);
            block.text(at, Anchor::Start, &grade, TINY, palette.text_quiet);
        }
    }
}

/// The section's heading.
pub(super) const HEADING: &str = "What each rig demands";
