//! Title and night above the sky, attribution below.

use fieldstop::kit::Kit;

use super::options::{PageStyle, Part};
use super::page::MARGIN_PT;
use super::software;
use crate::font::{Weight, text_width};
use crate::scene::Palette;
use crate::scene::furniture::SYNTHETIC_NOTE;
use crate::scene::primitive::{Anchor, Ink, Point, Primitive, Scene, TextMark};
use crate::sky::catalogue::Target;
use crate::words;

const TITLE_PT: f64 = 19.0;
/// Size of the lines below the title.
pub(crate) const LINE_PT: f64 = 11.0;
const FOOT_PT: f64 = 8.0;
const FOOT_LINE_PT: f64 = 11.0;
/// Between two pieces of text on a line.
const GAP_PT: f64 = 24.0;
/// Baseline of the first line.
const FIRST_PT: f64 = 34.0;
/// From the title's baseline to that of the facts below it.
const FACTS_PT: f64 = 19.0;
/// From one line of the night to the next.
const NIGHT_LINE_PT: f64 = 15.5;
/// Below the last line.
const BELOW_PT: f64 = 15.0;

/// Adds a line of text.
pub(crate) fn text(
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
pub(crate) fn width(text: &str, size_pt: f64, weight: Weight) -> f64 {
    f64::from(text_width(text, size_pt as f32, weight))
}

/// As much of a text as fits, with "…" for the rest; nothing if not even that fits.
pub(crate) fn shortened(text: &str, size_pt: f64, weight: Weight, most: f64) -> String {
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

/// What stands on the first two lines: on the left what goes first where there is no room for both.
pub(crate) struct Title {
    /// In heavy letters.
    pub(crate) name: String,
    /// Behind it.
    pub(crate) beside: String,
    /// On the right.
    pub(crate) whose: String,
    /// On the second line.
    pub(crate) facts: String,
    /// On its right.
    pub(crate) place: String,
}

impl Title {
    /// A target, for a kit.
    pub(crate) fn of(kit: &Kit, target: &Target) -> Self {
        Self {
            name: target.name.clone(),
            beside: target.also_called(),
            whose: kit.name.clone(),
            facts: facts(target),
            place: kit.site.name.clone(),
        }
    }
}

/// What stands above the sky.
pub(crate) struct Header {
    title: Option<Title>,
    /// Lines of the night, and whether each is a warning.
    night: Vec<(String, bool)>,
}

impl Header {
    /// A title, and lines of a night with its warning, broken where they are too long.
    pub(crate) fn new(
        title: Option<Title>,
        night: &[String],
        warning: Option<&str>,
        inner: f64,
    ) -> Self {
        let lines = |text: &str, warns: bool| -> Vec<(String, bool)> {
            let weight = if warns { Weight::Heavy } else { Weight::Regular };
            let lines = wrapped(text, LINE_PT, weight, inner);
            lines.into_iter().map(|line| (line, warns)).collect()
        };
        let night = night.iter().flat_map(|text| lines(text, false));
        let night = night.chain(warning.into_iter().flat_map(|text| lines(text, true)));
        Self { title, night: night.collect() }
    }

    /// Its height, margins included.
    pub(crate) fn height_pt(&self) -> f64 {
        let night = self.night.len() as f64 * NIGHT_LINE_PT;
        match (&self.title, self.night.is_empty()) {
            (Some(_), _) => FIRST_PT + FACTS_PT + night + BELOW_PT,
            (None, false) => FIRST_PT - NIGHT_LINE_PT + night + BELOW_PT,
            (None, true) => MARGIN_PT,
        }
    }

    /// Draws it at the top of a page.
    pub(crate) fn draw(&self, inner: f64, palette: &Palette, scene: &mut Scene) {
        let mut baseline = FIRST_PT;
        if let Some(title) = &self.title {
            first_line(title, inner, palette, scene);
            second_line(title, inner, palette, scene);
            baseline += FACTS_PT + NIGHT_LINE_PT;
        }
        for (line, warns) in &self.night {
            let weight = if *warns { Weight::Heavy } else { Weight::Regular };
            let style = (LINE_PT, weight, palette.text);
            text(scene, [MARGIN_PT, baseline], Anchor::Start, line, style);
            baseline += NIGHT_LINE_PT;
        }
    }
}

fn first_line(title: &Title, inner: f64, palette: &Palette, scene: &mut Scene) {
    let (left, right) = (MARGIN_PT, MARGIN_PT + inner);
    let name = shortened(&title.name, TITLE_PT, Weight::Heavy, inner);
    let mut pen = left + width(&name, TITLE_PT, Weight::Heavy);
    text(scene, [left, FIRST_PT], Anchor::Start, &name, (TITLE_PT, Weight::Heavy, palette.text));
    let beside = shortened(&title.beside, TITLE_PT, Weight::Regular, right - pen - 10.0);
    let style = (TITLE_PT, Weight::Regular, palette.text);
    text(scene, [pen + 10.0, FIRST_PT], Anchor::Start, &beside, style);
    if !beside.is_empty() {
        pen += 10.0 + width(&beside, TITLE_PT, Weight::Regular);
    }
    let most = right - pen - GAP_PT;
    let whose = shortened(&title.whose, 13.0, Weight::Heavy, most);
    let style = (13.0, Weight::Heavy, palette.text);
    // A name cut to a stump says nothing.
    if whose == title.whose || width(&whose, 13.0, Weight::Heavy) > 80.0 {
        text(scene, [right, FIRST_PT], Anchor::End, &whose, style);
    }
}

fn second_line(title: &Title, inner: f64, palette: &Palette, scene: &mut Scene) {
    let baseline = FIRST_PT + FACTS_PT;
    let facts = shortened(&title.facts, LINE_PT, Weight::Regular, inner);
    let style = (LINE_PT, Weight::Regular, palette.text_quiet);
    text(scene, [MARGIN_PT, baseline], Anchor::Start, &facts, style);
    let most = inner - width(&facts, LINE_PT, Weight::Regular) - GAP_PT;
    if width(&title.place, LINE_PT, Weight::Regular) <= most {
        text(scene, [MARGIN_PT + inner, baseline], Anchor::End, &title.place, style);
    }
}

/// Kind, size, magnitude and constellation.
fn facts(target: &Target) -> String {
    let mut facts = vec![
        target.kind.label().to_owned(),
        words::target_size(target.major_arcmin, target.minor_arcmin, target.size_uncertain),
    ];
    if let Some(drawn) = &target.drawn {
        facts.push(words::drawn_outline(drawn));
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

/// What is said of a picture that is not the program's.
pub(super) fn own_picture_note(name: &str) -> String {
    format!(
        "Under the frames: own picture {name}, in place of the drawn stars; its rights are not known \
         to this program."
    )
}

/// That what was asked for is not drawn: `Names and compass found no room.`
fn no_room_words(parts: &[Part]) -> Option<String> {
    let names: Vec<&str> = parts
        .iter()
        .map(|part| match part {
            Part::Names => "names",
            Part::Grid => "grid",
            Part::Scale => "scale bar",
            Part::Compass => "compass",
            other => other.label(),
        })
        .collect();
    let (last, others) = names.split_last()?;
    let all = match others {
        [] => (*last).to_owned(),
        others => format!("{} and {last}", others.join(", ")),
    };
    Some(format!("{} found no room.", capitalised(&all)))
}

/// Attribution, note on the stars and version, broken into lines.
pub(crate) struct Footer {
    lines: Vec<String>,
}

impl Footer {
    /// What is to be said of a page in this style. Sources are named, and synthetic stars said to
    /// be that, as long as they are drawn.
    pub(crate) fn new(
        style: &PageStyle,
        picture: Option<&str>,
        no_room: &[Part],
        inner: f64,
    ) -> Self {
        let mut said: Vec<String> = picture.map(own_picture_note).into_iter().collect();
        if style.draws(Part::Stars) {
            said.push(format!("{SYNTHETIC_NOTE}."));
        }
        said.extend(no_room_words(no_room));
        said.extend(style.sources().iter().map(|source| source.short.to_owned()));
        if style.draws(Part::Remarks) {
            said.push(format!("Figures are estimates for planning. {}", software()));
        }
        Self { lines: wrapped(&said.join(" "), FOOT_PT, Weight::Regular, inner) }
    }

    /// Its height, margins included.
    pub(crate) fn height_pt(&self) -> f64 {
        self.lines.len() as f64 * FOOT_LINE_PT + 20.0
    }

    /// Draws it from its top.
    pub(crate) fn draw(&self, top: f64, palette: &Palette, scene: &mut Scene) {
        let style = (FOOT_PT, Weight::Regular, palette.text_quiet);
        let mut baseline = top + 16.0;
        for line in &self.lines {
            text(scene, [MARGIN_PT, baseline], Anchor::Start, line, style);
            baseline += FOOT_LINE_PT;
        }
    }
}

/// A text in lines no longer than `most`; a single word that is too long is cut.
pub(crate) fn wrapped(text: &str, size_pt: f64, weight: Weight, most: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if width(&format!("{line} {word}"), size_pt, weight) <= most => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(shortened(word, size_pt, weight, most)),
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
    fn what_found_no_room_is_told_in_one_sentence() {
        assert_eq!(no_room_words(&[]), None);
        assert_eq!(no_room_words(&[Part::Compass]).as_deref(), Some("Compass found no room."));
        let all = [Part::Grid, Part::Names, Part::Compass];
        let told = no_room_words(&all);
        assert_eq!(told.as_deref(), Some("Grid, names and compass found no room."));
    }

    #[test]
    fn wrapping_keeps_every_word() {
        let text = "one two three four five six seven";
        let lines = wrapped(text, 10.0, Weight::Regular, 60.0);
        assert!(lines.len() > 1);
        assert_eq!(lines.join(" "), text);
        assert!(lines.iter().all(|line| width(line, 10.0, Weight::Regular) <= 60.0));
    }
}
