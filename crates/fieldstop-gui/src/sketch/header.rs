//! Title above the sky, attribution below.

use fieldstop::kit::Kit;

use super::page::MARGIN_PT;
use super::{ATTRIBUTION_SHORT, software};
use crate::font::{Weight, text_width};
use crate::scene::Palette;
use crate::scene::furniture::SYNTHETIC_NOTE;
use crate::scene::primitive::{Anchor, Ink, Point, Primitive, Scene, TextMark};
use crate::sky::catalogue::Target;
use crate::words;

/// Height of the title, its margins included.
pub(super) const HEIGHT_PT: f64 = 68.0;
const TITLE_PT: f64 = 19.0;
const LINE_PT: f64 = 11.0;
const FOOT_PT: f64 = 8.0;
const FOOT_LINE_PT: f64 = 11.0;
/// Between two pieces of text on a line.
const GAP_PT: f64 = 24.0;

/// Adds a line of text.
pub(super) fn text(
    scene: &mut Scene,
    at: Point,
    anchor: Anchor,
    text: &str,
    (size_pt, weight, ink): (f64, Weight, Ink),
) {
    if !text.is_empty() {
        let text = text.to_owned();
        let mark = TextMark { at, anchor, text, size_pt, weight, ink, halo: None };
        scene.items.push(Primitive::Text(mark));
    }
}

/// Length of a text.
pub(super) fn width(text: &str, size_pt: f64, weight: Weight) -> f64 {
    f64::from(text_width(text, size_pt as f32, weight))
}

/// As much of a text as fits, with "…" for the rest; nothing if not even that fits.
pub(super) fn shortened(text: &str, size_pt: f64, weight: Weight, most: f64) -> String {
    if width(text, size_pt, weight) <= most {
        return text.to_owned();
    }
    let mut kept = text.to_owned();
    while kept.pop().is_some() {
        let tried = format!("{}…", kept.trim_end());
        if !kept.trim().is_empty() && width(&tried, size_pt, weight) <= most {
            return tried;
        }
    }
    String::new()
}

/// Target on the left, kit on the right; the target goes first where there is no room for both.
pub(super) fn draw(kit: &Kit, target: &Target, inner: f64, palette: &Palette, scene: &mut Scene) {
    let (left, right) = (MARGIN_PT, MARGIN_PT + inner);
    let (first, second) = (34.0, 53.0);

    let name = shortened(&target.name, TITLE_PT, Weight::Heavy, inner);
    let mut pen = left + width(&name, TITLE_PT, Weight::Heavy);
    text(scene, [left, first], Anchor::Start, &name, (TITLE_PT, Weight::Heavy, palette.text));
    let common = target.common_names.first().map(String::as_str).unwrap_or_default();
    let common = shortened(common, TITLE_PT, Weight::Regular, right - pen - 10.0);
    let style = (TITLE_PT, Weight::Regular, palette.text);
    text(scene, [pen + 10.0, first], Anchor::Start, &common, style);
    if !common.is_empty() {
        pen += 10.0 + width(&common, TITLE_PT, Weight::Regular);
    }
    let most = right - pen - GAP_PT;
    let kit_name = shortened(&kit.name, 13.0, Weight::Heavy, most);
    let style = (13.0, Weight::Heavy, palette.text);
    // A name cut to a stump says nothing.
    if kit_name == kit.name || width(&kit_name, 13.0, Weight::Heavy) > 80.0 {
        text(scene, [right, first], Anchor::End, &kit_name, style);
    }

    let facts = shortened(&facts(target), LINE_PT, Weight::Regular, inner);
    let style = (LINE_PT, Weight::Regular, palette.text_quiet);
    text(scene, [left, second], Anchor::Start, &facts, style);
    let most = inner - width(&facts, LINE_PT, Weight::Regular) - GAP_PT;
    if width(&kit.site.name, LINE_PT, Weight::Regular) <= most {
        text(scene, [right, second], Anchor::End, &kit.site.name, style);
    }
}

/// Kind, size, magnitude and constellation.
fn facts(target: &Target) -> String {
    let mut facts = vec![
        target.kind.label().to_owned(),
        words::target_size(target.major_arcmin, target.minor_arcmin, target.size_uncertain),
    ];
    if let Some(drawn) = &target.drawn {
        facts.push(format!("outline drawn by hand, {} across", words::span(drawn.major())));
    }
    if let Some(magnitude) = target.magnitude {
        let assumed = if target.magnitude_assumed { " (from B)" } else { "" };
        facts.push(format!("V {magnitude:.1}{assumed}"));
    }
    facts.push(format!("in {}", target.constellation_name()));
    if let Some(first) = facts.first_mut() {
        *first = capitalised(first);
    }
    facts.join("  ·  ")
}

fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Attribution, note on the stars and version, broken into lines.
pub(super) struct Footer {
    lines: Vec<String>,
}

impl Footer {
    pub(super) fn new(inner: f64) -> Self {
        let text = format!(
            "{SYNTHETIC_NOTE}. {ATTRIBUTION_SHORT} Figures are estimates for planning. {}",
            software()
        );
        Self { lines: wrapped(&text, FOOT_PT, inner) }
    }

    pub(super) fn height_pt(&self) -> f64 {
        self.lines.len() as f64 * FOOT_LINE_PT + 20.0
    }

    pub(super) fn draw(&self, top: f64, palette: &Palette, scene: &mut Scene) {
        let style = (FOOT_PT, Weight::Regular, palette.text_quiet);
        let mut baseline = top + 16.0;
        for line in &self.lines {
            text(scene, [MARGIN_PT, baseline], Anchor::Start, line, style);
            baseline += FOOT_LINE_PT;
        }
    }
}

/// A text in lines no longer than `most`; a single word may be.
fn wrapped(text: &str, size_pt: f64, most: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if width(&format!("{line} {word}"), size_pt, Weight::Regular) <= most => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shortened_text_fits_and_says_that_it_was_cut() {
        let text = "Larkmoor evening class";
        assert_eq!(shortened(text, 10.0, Weight::Regular, 1000.0), text);
        let cut = shortened(text, 10.0, Weight::Regular, 60.0);
        assert!(cut.ends_with('…') && width(&cut, 10.0, Weight::Regular) <= 60.0);
        assert_eq!(shortened(text, 10.0, Weight::Regular, 2.0), "");
    }

    #[test]
    fn wrapping_keeps_every_word() {
        let text = "one two three four five six seven";
        let lines = wrapped(text, 10.0, 60.0);
        assert!(lines.len() > 1);
        assert_eq!(lines.join(" "), text);
        assert!(lines.iter().all(|line| width(line, 10.0, Weight::Regular) <= 60.0));
    }
}
