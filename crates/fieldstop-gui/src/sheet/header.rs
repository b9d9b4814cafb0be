//! Whose sheet it is, and its answer.

use fieldstop::findings::Finding;

use super::block::Block;
use super::facts::Facts;
use super::text::{BODY, CELL, TITLE, Type, wrapped_to};
use crate::font::Weight;
use crate::paint::pdf::Role;
use crate::scene::Palette;
use crate::scene::primitive::{Anchor, Bounds};
use crate::words::counted;

/// Sentences of the answer that stand in its box on paper; the others begin the reasons there.
pub(super) const ON_PAPER: usize = 5;
/// The answer's first line.
const ANSWER: Type = Type { size_pt: 11.5, weight: Weight::Heavy };
/// Space between the answer and its box.
const PAD_PT: f64 = 8.0;

/// Name and version of the program.
pub(super) fn software() -> String {
    format!("Fieldstop {}", env!("CARGO_PKG_VERSION"))
}

/// Title of the document.
pub(super) fn title(facts: &Facts) -> String {
    format!("{}: comparison sheet", facts.kit.name)
}

/// What the document is, in a sentence.
pub(super) fn description(facts: &Facts) -> String {
    format!(
        "{} and {} compared for {}, nights of {}.",
        counted(facts.kit.rigs.len(), "imaging rig"),
        counted(facts.kit.wish_list.len(), "target"),
        facts.kit.site.name,
        facts.year
    )
}

/// Site, year and program, in a line.
pub(super) fn subtitle(facts: &Facts) -> String {
    let site = &facts.kit.site;
    let side = |value: f64, plus: &str, minus: &str| {
        format!("{:.2}° {}", value.abs(), if value < 0.0 { minus } else { plus })
    };
    format!(
        "Which imaging rig, and why. {}, {}, {}. Nights of {}, by the clocks of {}. {}.",
        site.name,
        side(site.latitude_deg, "N", "S"),
        side(site.longitude_deg, "E", "W"),
        facts.year,
        site.time_zone,
        software()
    )
}

/// The kit's name over site, year and program.
pub(super) fn block(facts: &Facts, width: f64, palette: &Palette) -> Block {
    let mut block = Block::new(Role::Heading(1, title(facts)));
    let lines = wrapped_to(&facts.kit.name, TITLE, width, 2);
    let mut baseline = block.lines([0.0, 18.0], &lines, TITLE, palette.text);
    baseline += CELL.line_pt() - TITLE.line_pt() + 5.0;
    let lines = wrapped_to(&subtitle(facts), CELL, width, 3);
    let end = block.lines([0.0, baseline], &lines, CELL, palette.text_quiet);
    block.height_pt = end - CELL.size_pt;
    block
}

/// The answer's headline.
pub(super) fn headline(facts: &Facts) -> String {
    if facts.wished.is_empty() {
        return "No wish list: nothing to choose by yet".to_owned();
    }
    let advice = facts.choice.recommendation.as_ref();
    match advice.and_then(|advice| facts.choice.rigs.get(advice.place)) {
        Some(best) => format!(
            "Recommended: {}, which serves {} of {}",
            best.name,
            best.served.count,
            facts.wished.len()
        ),
        None => "No rig of the shortlist can be recommended".to_owned(),
    }
}

/// What "serves" means, beside the headline.
pub(super) fn served_words(facts: &Facts) -> String {
    let limits = &facts.kit.limits;
    format!(
        "A rig serves a target that it holds whole (at most {:.0} % of the frame) and shows with at \
         least {:.0} resolution elements across.",
        limits.whole_fill * 100.0,
        limits.detail
    )
}

/// Whether a finding is part of the answer, rather than a reason for it.
pub(super) fn is_answer(finding: &Finding) -> bool {
    let keys = ["best/focal_length_mm", "best_pair/served"];
    finding.figures.iter().any(|(key, _)| keys.contains(&key.as_str()))
}

/// The answer's sentences, as the choice gives them: what is recommended, then focal lengths.
pub(super) fn answer(facts: &Facts) -> Vec<&str> {
    let advice = facts.choice.recommendation.iter().flat_map(|advice| &advice.findings);
    let answers = advice.chain(facts.choice.findings.iter().filter(|finding| is_answer(finding)));
    answers.map(|finding| finding.text.as_str()).collect()
}

/// The answer in a box.
pub(super) fn answer_block(facts: &Facts, width: f64, palette: &Palette) -> Block {
    let mut block = Block::new(Role::Paragraph).after(8.0);
    let inner = width - 2.0 * PAD_PT - 3.0;
    let left = PAD_PT + 3.0;
    let heads = wrapped_to(&headline(facts), ANSWER, inner, 3);
    let mut words = Block::new(Role::Paragraph);
    let mut baseline = words.lines([left, 18.0], &heads, ANSWER, palette.text);
    let answers = answer(facts).into_iter().take(ON_PAPER);
    for sentence in answers.chain([served_words(facts).as_str()]) {
        let lines = wrapped_to(sentence, BODY, inner, 2);
        baseline = words.lines([left, baseline], &lines, BODY, palette.text) + 1.5;
    }
    block.height_pt = baseline - BODY.size_pt + PAD_PT - 2.0;
    let ground = palette.page.mixed(palette.rule, 0.16);
    block.filled(Bounds::at(0.0, 0.0, width, block.height_pt), ground);
    block.filled(Bounds::at(0.0, 0.0, 3.0, block.height_pt), palette.text);
    block.items.append(&mut words.items);
    block
}

/// What stands at the foot of every page.
pub(super) fn foot(facts: &Facts, page: (usize, usize), width: f64, palette: &Palette) -> Block {
    let mut block = Block::new(Role::Ornament);
    let right = format!("page {} of {}", page.0, page.1);
    let room = width - CELL.width(&right) - 12.0;
    let left = format!(
        "Estimates for planning; a maker's rated limits come first. {} · {}",
        software(),
        facts.kit.name
    );
    let left = super::text::shortened(&left, CELL, room);
    block.text([0.0, 8.0], Anchor::Start, &left, CELL, palette.text_quiet);
    block.text([width, 8.0], Anchor::End, &right, CELL, palette.text_quiet);
    block.height_pt = 10.0;
    block
}
