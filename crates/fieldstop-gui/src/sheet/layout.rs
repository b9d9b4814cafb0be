//! What stands on which page: blocks one under the other, and what gives way where paper ends.
//!
//! The rules, in this order, until all fits on [`MOST_PAGES`](super::MOST_PAGES): everything on one
//! page with a sky that is still of use; else the first page for answer and sky, and all that
//! follows on the next ones, unless that costs a page; else fewer reasons, down to a few; else a
//! lower sky, where that keeps targets, and fewer targets in both lists of them, those with the
//! most stars staying, then the first of the list; fewer reasons still; no words explained, and at
//! last a line in place of what the rigs are made of. What was left out is counted or told; the
//! HTML has everything. The trade's words are all explained before the sources where that costs no
//! page, else those of the demands below their table; on a single page it may be none. The sky then
//! takes what the first page has left.

use super::block::{Block, heading};
use super::facts::Facts;
use super::{
    MOST_PAGES, Paper, demands_table, frames, glossary, header, matrix, notes, parts, reasons,
    wish_rows,
};
use crate::paint::pdf::{Part, PdfPage, Role};
use crate::scene::{Palette, Scene};
use crate::sky::Sky;

/// Free along the paper's edges; every printer reaches this far.
const MARGIN_PT: f64 = 34.0;
/// From the lower edge to the top of the foot.
const FOOT_PT: f64 = 28.0;
/// Between the last block and the foot.
const ABOVE_FOOT_PT: f64 = 6.0;
/// The sky is no lower than this, where all goes on one page no lower than that, and where it keeps
/// targets on the sheet no lower than the last.
const LEAST_SKY_PT: f64 = 215.0;
const LEAST_SKY_ALONE_PT: f64 = 260.0;
const LEAST_SKY_FOR_TARGETS_PT: f64 = 150.0;
/// In which steps a higher one is tried.
const SKY_STEP_PT: f64 = 8.0;
/// And no higher than this share of its width.
const MOST_SKY: f64 = 0.86;
/// Reasons that stay while targets can give way.
const FEW_REASONS: usize = 10;
/// Reasons that stay whatever happens.
const LEAST_REASONS: usize = 1;
/// Targets that stay whatever happens.
const LEAST_TARGETS: usize = 5;

/// More than any page has left: what stands below begins the next one.
const BREAK_PT: f64 = 10_000.0;

/// How much is shown.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Plan {
    targets: usize,
    reasons: usize,
    sky_pt: f64,
    /// Whether the demands begin a page.
    breaks: bool,
    explains: Explained,
    /// Whether it is told what each rig is made of.
    parts: bool,
}

/// Which of the trade's words are explained.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Explained {
    /// None.
    None,
    /// Those of the demands, in small type below their table.
    Demands,
    /// All, in a section of their own.
    All,
}

/// What blocks are composed for.
struct Work<'a> {
    facts: &'a Facts,
    width: f64,
    palette: Palette,
    /// Room for blocks on a page.
    height: f64,
}

/// A page's blocks, each with its place from the top of the room.
type Flowed = Vec<Vec<(f64, Block)>>;

/// The pages of a sheet.
pub(super) fn pages(facts: &Facts, sky: &Sky, paper: Paper) -> Vec<PdfPage> {
    let (page_width, page_height) = paper.size_pt();
    let work = Work {
        facts,
        width: page_width - 2.0 * MARGIN_PT,
        palette: Palette::paper(),
        height: page_height - MARGIN_PT - FOOT_PT - ABOVE_FOOT_PT,
    };
    let mut plan = work.plan();
    plan.sky_pt = work.sky_height(plan);
    let scene = frames::sky(facts, sky, (work.width, plan.sky_pt), &work.palette);
    let flowed = flow(work.blocks(plan, scene), work.height);
    let count = flowed.len();
    flowed
        .into_iter()
        .enumerate()
        .map(|(place, blocks)| {
            let mut scene = Scene::new(page_width, page_height, work.palette.page);
            let mut parts = Vec::new();
            for (top, block) in blocks {
                put(block, MARGIN_PT + top, &mut scene, &mut parts);
            }
            let foot = header::foot(facts, (place + 1, count), work.width, &work.palette);
            put(foot, page_height - FOOT_PT, &mut scene, &mut parts);
            PdfPage { scene, parts }
        })
        .collect()
}

fn put(block: Block, top: f64, scene: &mut Scene, parts: &mut Vec<Part>) {
    parts.push(Part { marks: block.items.len(), top_pt: top, role: block.role.clone() });
    scene.items.extend(block.placed([MARGIN_PT, top]));
}

impl Work<'_> {
    /// The fullest plan that fits.
    fn plan(&self) -> Plan {
        let all = Plan {
            targets: self.facts.wished.len(),
            reasons: reasons::sentences(self.facts).len(),
            sky_pt: LEAST_SKY_ALONE_PT,
            breaks: false,
            explains: Explained::None,
            parts: true,
        };
        if self.outline(all).pages(all, self.height) <= 1 {
            return self.explained(all);
        }
        let all = Plan { sky_pt: LEAST_SKY_PT, explains: Explained::Demands, ..all };
        let usual = self.fullest(all);
        if usual.targets == all.targets {
            return self.explained(usual);
        }
        let low = self.fullest(Plan { sky_pt: LEAST_SKY_FOR_TARGETS_PT, ..all });
        self.explained(if low.targets > usual.targets { low } else { usual })
    }

    /// What is left of a plan once as little as possible gave way for the pages that there are.
    fn fullest(&self, all: Plan) -> Plan {
        // Fewer rows never need more pages, so the fullest that fits is found by halving.
        let (mut fewest, mut most) = (0, all.steps());
        while fewest < most {
            let middle = fewest.midpoint(most);
            if self.broken_or_not(all.reduced(middle)).1 <= MOST_PAGES {
                most = middle;
            } else {
                fewest = middle + 1;
            }
        }
        self.broken_or_not(all.reduced(fewest)).0
    }

    /// The plan with as many of the trade's words explained as cost no page.
    fn explained(&self, plan: Plan) -> Plan {
        let pages = |plan: &Plan| self.outline(*plan).pages(*plan, self.height);
        let most = pages(&plan);
        let mut fuller = [Explained::All, Explained::Demands]
            .into_iter()
            .map(|explains| Plan { explains, ..plan });
        fuller.find(|with| pages(with) <= most).unwrap_or(plan)
    }

    /// The plan with the demands beginning a page, unless that costs one; and its pages.
    fn broken_or_not(&self, plan: Plan) -> (Plan, usize) {
        let outline = self.outline(plan);
        let (broken, whole) = (Plan { breaks: true, ..plan }, Plan { breaks: false, ..plan });
        let pages = outline.pages(broken, self.height);
        let without = outline.pages(whole, self.height);
        if pages <= without { (broken, pages) } else { (whole, without) }
    }

    /// The sky's height once it takes what the pages have left, without needing one more.
    fn sky_height(&self, plan: Plan) -> f64 {
        let outline = self.outline(plan);
        let count = outline.pages(plan, self.height);
        let most = (self.width * MOST_SKY).max(plan.sky_pt);
        // OK because paper is some hundred steps high.
        let steps = ((most - plan.sky_pt) / SKY_STEP_PT) as u32;
        let mut heights = (0..=steps).rev().map(|k| plan.sky_pt + SKY_STEP_PT * f64::from(k));
        let fits =
            |sky_pt: &f64| outline.pages(Plan { sky_pt: *sky_pt, ..plan }, self.height) <= count;
        let sky_pt = heights.find(fits).unwrap_or(plan.sky_pt);
        let flowed = outline.flow(Plan { sky_pt, ..plan }, self.height);
        let last = flowed.first().and_then(|page| page.last());
        let end = last.map_or(self.height, |(top, block)| top + block.height_pt);
        // A hair less, so that rounding never starts another page.
        // Not by clamp: the tallest of the steps can be a rounding above the most.
        (sky_pt + (self.height - end).max(0.0) - 0.01).min(most).max(sky_pt)
    }

    /// The blocks of a plan without their marks, for trying out where they fall.
    fn outline(&self, plan: Plan) -> Outline {
        let mut blocks = self.blocks(plan, Scene::new(self.width, 0.0, self.palette.page));
        for block in &mut blocks {
            block.items.clear();
            if let Some(head) = &mut block.head {
                head.items.clear();
            }
        }
        Outline { blocks }
    }

    fn blocks(&self, plan: Plan, sky: Scene) -> Vec<Block> {
        let Self { facts, width, palette, .. } = self;
        let width = *width;
        let targets = most_wanted(facts, plan.targets);
        let mut blocks = vec![
            header::block(facts, width, palette),
            header::answer_block(facts, width, palette),
            heading(&frames::heading(facts), width, palette),
            frames::sky_block(facts, sky, palette),
            frames::legend(facts, width, palette).kept_with_next(),
            super::block::paragraph(
                &frames::caption(facts),
                width,
                super::text::CELL,
                palette.text_quiet,
            ),
        ];
        blocks.push(if plan.parts {
            parts::block(facts, width, palette)
        } else {
            super::block::paragraph(parts::ELSEWHERE, width, super::text::CELL, palette.text_quiet)
        });
        blocks.extend(notes::assumptions_blocks(facts, width, palette));
        let demands = heading(demands_table::HEADING, width, palette);
        blocks.push(if plan.breaks { demands.after(BREAK_PT) } else { demands });
        blocks.extend(demands_table::blocks(facts, width, palette));
        if plan.explains == Explained::Demands {
            blocks.push(glossary::demands_block(facts, width, palette));
        }
        blocks.push(heading(wish_rows::HEADING, width, palette));
        blocks.extend(wish_rows::blocks(facts, &targets, width, palette));
        if !facts.wished.is_empty() {
            blocks.push(heading(matrix::HEADING, width, palette));
            blocks.extend(matrix::blocks(facts, &targets, width, palette));
        }
        if !reasons::sentences(facts).is_empty() {
            blocks.push(heading(reasons::HEADING, width, palette));
            blocks.push(reasons::block(facts, plan.reasons, width, palette));
        }
        blocks.push(heading(notes::CAUTIONS, width, palette));
        blocks.extend(notes::cautions_blocks(facts, width, palette));
        if plan.explains == Explained::All {
            blocks.extend(glossary::blocks(facts, width, palette));
        }
        blocks.push(heading(notes::SOURCES, width, palette));
        blocks.extend(notes::sources_blocks(facts, width, palette));
        blocks
    }
}

/// Blocks without marks.
struct Outline {
    blocks: Vec<Block>,
}

impl Outline {
    /// The blocks on pages as a plan has them, whose targets and reasons are these.
    fn flow(&self, plan: Plan, height: f64) -> Flowed {
        let mut blocks = self.blocks.clone();
        for block in &mut blocks {
            match &block.role {
                Role::Picture(_) => block.height_pt = plan.sky_pt,
                Role::Heading(_, words) if plan.breaks && words == demands_table::HEADING => {
                    block.gap_pt = BREAK_PT;
                }
                _ => {}
            }
        }
        flow(blocks, height)
    }

    fn pages(&self, plan: Plan, height: f64) -> usize {
        self.flow(plan, height).len()
    }
}

impl Plan {
    /// How often something can give way.
    fn steps(self) -> usize {
        let reasons = self.reasons.saturating_sub(LEAST_REASONS);
        let words = usize::from(self.explains == Explained::Demands);
        reasons + self.targets.saturating_sub(LEAST_TARGETS) + words + usize::from(self.parts)
    }

    /// What is left once something gave way so often: reasons, then targets, then reasons, then
    /// what words mean and what rigs are made of.
    fn reduced(self, steps: usize) -> Self {
        let first = steps.min(self.reasons.saturating_sub(FEW_REASONS));
        let second = (steps - first).min(self.targets.saturating_sub(LEAST_TARGETS));
        let rest = steps - first - second;
        let third = rest.min((self.reasons - first).saturating_sub(LEAST_REASONS));
        let last = rest - third;
        let words = usize::from(self.explains == Explained::Demands);
        Self {
            reasons: self.reasons - first - third,
            targets: self.targets - second,
            explains: if last > 0 { Explained::None } else { self.explains },
            parts: self.parts && last <= words,
            ..self
        }
    }
}

/// Places of the targets that stay, in the list's order: those with the most stars, of equals the
/// first.
fn most_wanted(facts: &Facts, most: usize) -> Vec<usize> {
    let mut places: Vec<usize> = (0..facts.wished.len()).collect();
    let stars = |place: &usize| facts.wished.get(*place).map(|w| facts.kit.stars(&w.name));
    // Stable, so that among equals the list's order decides.
    places.sort_by_key(|place| std::cmp::Reverse(stars(place)));
    places.truncate(most);
    places.sort_unstable();
    places
}

/// Puts blocks on pages, one under the other; those that stay together go on to the next page
/// together.
fn flow(blocks: Vec<Block>, height: f64) -> Flowed {
    let mut pages: Flowed = vec![Vec::new()];
    let mut top = 0.0;
    let mut rest = blocks.into_iter().peekable();
    while let Some(first) = rest.next() {
        let mut group = vec![first];
        while group.last().is_some_and(|block| block.with_next) {
            match rest.next() {
                Some(next) => group.push(next),
                None => break,
            }
        }
        let needed: f64 = group.iter().map(|block| block.gap_pt + block.height_pt).sum();
        let begins = pages.last().is_none_or(Vec::is_empty);
        if !begins && top + needed > height {
            pages.push(Vec::new());
            top = 0.0;
        }
        for block in group {
            place(block, &mut pages, &mut top, height);
        }
    }
    pages
}

/// Puts one block on the last page; its table's head first where it begins one. A group that is
/// longer than a page is parted after all.
fn place(mut block: Block, pages: &mut Flowed, top: &mut f64, height: f64) {
    let head = block.head.take();
    let is_empty = |pages: &Flowed| pages.last().is_none_or(Vec::is_empty);
    if !is_empty(pages) && *top + block.gap_pt + block.height_pt > height {
        pages.push(Vec::new());
        *top = 0.0;
    }
    if is_empty(pages) {
        block.gap_pt = 0.0;
        if let Some(mut head) = head {
            head.role = Role::Ornament;
            let below = head.height_pt;
            push(pages, *top, *head);
            *top += below;
        }
    }
    *top += block.gap_pt;
    let below = block.height_pt;
    push(pages, *top, block);
    *top += below;
}

fn push(pages: &mut Flowed, top: f64, block: Block) {
    if let Some(page) = pages.last_mut() {
        page.push((top, block));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(height_pt: f64) -> Block {
        Block { height_pt, gap_pt: 2.0, ..Block::new(Role::Paragraph) }
    }

    fn heights(pages: &Flowed) -> Vec<Vec<f64>> {
        let heights = |page: &Vec<(f64, Block)>| page.iter().map(|(_, b)| b.height_pt).collect();
        pages.iter().map(heights).collect()
    }

    #[test]
    fn reasons_give_way_before_targets_and_after_them() {
        let all = Plan {
            targets: 12,
            reasons: 15,
            sky_pt: 0.0,
            breaks: false,
            explains: Explained::Demands,
            parts: true,
        };
        let left = |steps| {
            let left = all.reduced(steps);
            (left.reasons, left.targets, left.explains, left.parts)
        };
        assert_eq!(all.steps(), 23);
        let at = [0, 5, 6, 12, 13, 21, 22, 23].map(left);
        let wanted = [
            (15, 12, Explained::Demands, true),
            (10, 12, Explained::Demands, true),
            (10, 11, Explained::Demands, true),
            (10, 5, Explained::Demands, true),
            (9, 5, Explained::Demands, true),
            (1, 5, Explained::Demands, true),
            (1, 5, Explained::None, true),
            (1, 5, Explained::None, false),
        ];
        assert_eq!(at, wanted);
        let few = Plan { targets: 2, reasons: 1, explains: Explained::None, parts: false, ..all };
        assert_eq!((few.steps(), few.reduced(0)), (0, few));
    }

    #[test]
    fn what_stays_together_goes_on_together() {
        let blocks = vec![block(60.0), block(10.0).kept_with_next(), block(40.0), block(5.0)];
        let pages = flow(blocks, 100.0);
        assert_eq!(heights(&pages), [vec![60.0], vec![10.0, 40.0, 5.0]]);
        // No gap at the top of a page.
        assert_eq!(pages[1][0].0, 0.0);
        assert_eq!(pages[1][1].0, 12.0);
    }

    #[test]
    fn a_table_has_its_head_on_every_page() {
        let head = block(10.0).kept_with_next();
        let rows = (0..5).map(|_| block(30.0).under(&head));
        let pages = flow(std::iter::once(head.clone()).chain(rows).collect(), 100.0);
        assert_eq!(
            heights(&pages),
            [vec![10.0, 30.0, 30.0], vec![10.0, 30.0, 30.0], vec![10.0, 30.0]]
        );
    }

    #[test]
    fn what_is_longer_than_a_page_is_parted_all_the_same() {
        let blocks = (0..4).map(|_| block(45.0).kept_with_next()).collect();
        assert_eq!(heights(&flow(blocks, 100.0)), [vec![45.0, 45.0], vec![45.0, 45.0]]);
    }
}
