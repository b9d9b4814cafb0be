//! The trade's words that stand on this sheet, explained.

use super::block::{Block, heading, paragraph};
use super::facts::Facts;
use super::text::TINY;
use super::{calendar, demands_table, frames, header, ladder, matrix, notes, reasons};
use crate::demand_words;
use crate::glossary::{Term, in_text};
use crate::scene::Palette;

/// The section's heading.
pub(super) const HEADING: &str = "Words";
/// Room for the longest word.
const LABEL_PT: f64 = 74.0;

/// The words that stand on this sheet, in the order in which they are met.
pub(super) fn terms(facts: &Facts) -> Vec<&'static Term> {
    let mut text = vec![
        header::subtitle(facts),
        header::headline(facts),
        header::served_words(facts),
        frames::HEADS.join(" "),
        calendar::words(facts),
        ladder::words(facts),
        matrix::key(facts),
    ];
    let sentences = header::answer(facts).into_iter().chain(reasons::sentences(facts));
    text.extend(sentences.map(str::to_owned));
    let cells = (0..facts.kit.rigs.len()).filter_map(|rig| frames::cells(facts, rig));
    text.extend(cells.map(|cells| cells.join(" ")));
    text.push(figures(facts));
    let said = notes::assumptions(facts).into_iter();
    text.extend(said.map(|(label, value)| format!("{label} {value}")));
    in_text(&text.join(" ")).collect()
}

/// What the rows of the demands are called.
fn figures(facts: &Facts) -> String {
    let figures = demands_table::groups(facts).into_iter().flat_map(|(_, figures)| figures);
    figures.map(demand_words::title).collect::<Vec<_>>().join(" ")
}

/// The words of the table of demands, run on in small type.
pub(super) fn demands_block(facts: &Facts, width: f64, palette: &Palette) -> Block {
    let text = format!("{} {}", figures(facts), demands_table::place_words(facts));
    let terms: Vec<String> =
        in_text(&text).map(|term| format!("{}: {}", term.word, term.meaning)).collect();
    let words = format!("{HEADING}. {}.", terms.join("; "));
    paragraph(&words, width, TINY, palette.text_quiet)
}

/// The section, for which paper has room or not.
pub(super) fn blocks(facts: &Facts, width: f64, palette: &Palette) -> Vec<Block> {
    let pairs: Vec<(&str, String)> =
        terms(facts).into_iter().map(|term| (term.word, term.meaning.to_owned())).collect();
    vec![heading(HEADING, width, palette), notes::pairs_block(&pairs, LABEL_PT, width, palette)]
}
