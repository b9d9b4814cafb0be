//! What each rig sees of one target: the sky with every shown frame, and their figures below.

use super::block::{Block, scaled};
use super::facts::Facts;
use super::rig_key;
use super::text::{BODY, CELL, TINY, shortened};
use super::{MANY_RIGS, MOST_RIGS};
use crate::framing::lit_radius;
use crate::paint::pdf::Role;
use crate::panel_count::PanelCount;
use crate::scene::primitive::{Anchor, Bounds, Stroke};
use crate::scene::{DrawnFrame, Layers, Palette, Scene, SkyInput, SkyView, sky_scene, stars};
use crate::sketch::span;
use crate::sky::Sky;
use crate::{demand_words, words};

/// Letters of a rig's name that stand beside its frame.
const NAME_LETTERS: usize = 28;
/// Size on paper of what is made for a screen.
const ON_PAPER: f64 = 0.76;

/// Places of the rigs whose frames are drawn.
pub(super) fn shown(facts: &Facts) -> Vec<usize> {
    let rigs = facts.kit.rigs.iter().enumerate();
    rigs.filter(|(_, rig)| rig.shown).map(|(place, _)| place).collect()
}

/// The section's heading.
pub(super) fn heading(facts: &Facts) -> String {
    let target = &facts.framed.target;
    match target.also_called() {
        behind if behind.is_empty() => format!("What each rig sees of {}", target.name),
        behind => format!("What each rig sees of {}, {behind}", target.name),
    }
}

/// What the target is, and what the picture is made of.
pub(super) fn caption(facts: &Facts) -> String {
    let target = &facts.framed.target;
    let mut facts = vec![
        demand_words::capitalised(target.kind.label()),
        words::target_size(target.major_arcmin, target.minor_arcmin, target.size_uncertain),
    ];
    if let Some(drawn) = &target.drawn {
        facts.push(words::drawn_outline(drawn));
    }
    if let Some(magnitude) = target.magnitude {
        facts.push(format!("V {magnitude:.1}"));
    }
    format!(
        "{}, in {}. North is up, east to the left; every frame to scale, at its best rotation \
         unless it was aimed otherwise. {}: a star-count model puts them there.",
        facts.join(", "),
        target.constellation_name(),
        crate::scene::furniture::SYNTHETIC_NOTE
    )
}

/// The picture in words.
pub(super) fn alternative(facts: &Facts) -> String {
    let target = &facts.framed.target;
    let frames: Vec<String> = shown(facts)
        .into_iter()
        .map(|rig| format!("{} {}", rig_key::name(facts, rig), verdict(facts, rig)))
        .collect();
    let frames = if frames.is_empty() { "no rig is shown".to_owned() } else { frames.join("; ") };
    format!("Sky around {} with the rigs' frames: {frames}.", target.name)
}

/// The sky with every shown rig's frame.
pub(super) fn sky(
    facts: &Facts,
    sky: &Sky,
    (width, height): (f64, f64),
    palette: &Palette,
) -> Scene {
    let frames: Vec<DrawnFrame> =
        shown(facts).into_iter().filter_map(|rig| drawn(facts, rig)).collect();
    let target = &facts.framed.target;
    let span = span(target, &frames, width / height);
    // Letters and lines are made for a screen; paper is read from nearer.
    let view = SkyView::new(target.middle(), span, width / ON_PAPER, height / ON_PAPER);
    let stars = stars::fetch(&view, &sky.stars);
    let wishes: Vec<_> = facts.wishes.iter().collect();
    let scene = sky_scene(&SkyInput {
        view,
        palette,
        catalogue: &sky.catalogue,
        star_list: &sky.stars,
        stars: &stars,
        chosen: Some(target),
        wishes: &wishes,
        frames: &frames,
        picture: None,
        layers: Layers::default(),
    });
    scaled(scene, ON_PAPER)
}

fn drawn(facts: &Facts, rig: usize) -> Option<DrawnFrame> {
    let resolved = facts.kit.resolve(rig)?;
    let name = rig_key::name(facts, rig);
    let mut short: String = name.chars().take(NAME_LETTERS).collect();
    if short.len() < name.len() {
        short = format!("{}…", short.trim_end());
    }
    Some(DrawnFrame {
        name: format!("{} {short}", rig + 1),
        frame: *facts.framed.frames.get(rig)?,
        mark: facts.kit.mark_of(rig),
        lines: Vec::new(),
        panels: Vec::new(),
        lit_radius: lit_radius(&resolved),
        lifted: false,
        chosen: false,
    })
}

/// The sky on the page.
pub(super) fn sky_block(facts: &Facts, scene: Scene, palette: &Palette) -> Block {
    let mut block = Block::new(Role::Picture(alternative(facts))).after(4.0).kept_with_next();
    let edge = Bounds::at(0.0, 0.0, scene.width_pt, scene.height_pt);
    block.height_pt = scene.height_pt;
    block.inset([0.0, 0.0], scene);
    block.outlined(edge, Stroke::solid(palette.rule, 0.7));
    block
}

/// Heads of the table below the sky.
pub(super) const HEADS: [&str; 7] =
    ["Rig", "Focal length", "Focal ratio", "Field of view", "Pixel scale", "Fill", "Target is"];

/// A rig's cells under those heads, the name apart.
pub(super) fn cells(facts: &Facts, rig: usize) -> Option<[String; 6]> {
    let figures = facts.rigs.get(rig)?;
    let fit = facts.framed.fits.get(rig)?;
    Some([
        words::focal_length(figures.focal_length_mm),
        words::focal_ratio(figures.focal_ratio),
        words::field(figures.field.width(), figures.field.height()),
        words::pixel_scale(figures.pixel_scale),
        fit.fill.map_or_else(|| "–".to_owned(), words::fill),
        verdict(facts, rig),
    ])
}

fn verdict(facts: &Facts, rig: usize) -> String {
    let Some(fit) = facts.framed.fits.get(rig) else { return String::new() };
    let panels = facts.panels.get(rig).copied().unwrap_or(PanelCount::Unknown);
    words::verdict(fit.verdict, panels)
}

/// Share of the width for sample and name.
const NAME_SHARE: f64 = 0.31;
/// Where the columns of figures end, as shares of the width; the last begins there.
const COLUMN_ENDS: [f64; 6] = [0.40, 0.49, 0.64, 0.74, 0.805, 0.825];
const ROW_PT: f64 = 12.6;
/// Where there are many rigs.
const CLOSE_ROW_PT: f64 = 10.8;

/// The table below the sky, as one block: which rig is which line.
pub(super) fn legend(facts: &Facts, width: f64, palette: &Palette) -> Block {
    let mut block = Block::new(Role::Paragraph).after(5.0);
    for (place, head) in HEADS.iter().enumerate() {
        let (x, anchor) = column(place, width);
        block.text([x, 7.0], anchor, head, CELL, palette.text_quiet);
    }
    block.rule(0.0, width, 10.5, Stroke::solid(palette.rule, 0.5));
    let row = if facts.kit.rigs.len() > MANY_RIGS { CLOSE_ROW_PT } else { ROW_PT };
    let mut baseline = 20.5;
    for rig in (0..facts.kit.rigs.len()).take(MOST_RIGS) {
        let Some(cells) = cells(facts, rig) else { continue };
        rig_key::in_line(&mut block, [0.0, baseline], facts, rig, width * NAME_SHARE, palette);
        for (place, words) in cells.iter().enumerate() {
            let (x, anchor) = column(place + 1, width);
            let most = room(place, width);
            // A number that no instrument has is small rather than cut.
            let kind = if BODY.width(words) <= most { BODY } else { TINY };
            let words = shortened(words, kind, most);
            block.text([x, baseline], anchor, &words, kind, palette.text);
        }
        baseline += row;
    }
    let more = facts.kit.rigs.len().saturating_sub(MOST_RIGS);
    if more > 0 {
        let words = format!("and {more} more in the HTML form of this sheet");
        block.text([51.0, baseline], Anchor::Start, &words, CELL, palette.text_quiet);
        baseline += row;
    }
    block.height_pt = baseline - row + 3.0;
    block
}

/// How long the words of a column may be.
fn room(place: usize, width: f64) -> f64 {
    /// Between two columns.
    const GAP_PT: f64 = 5.0;
    let end = COLUMN_ENDS.get(place).copied().unwrap_or(1.0);
    let before = match place.checked_sub(1) {
        None => NAME_SHARE,
        Some(before) => COLUMN_ENDS.get(before).copied().unwrap_or(1.0),
    };
    let share = if place + 1 == COLUMN_ENDS.len() { 1.0 - end } else { end - before };
    share * width - if place + 1 == COLUMN_ENDS.len() { 0.0 } else { GAP_PT }
}

/// Where a column's words stand: names on the left, numbers by their last digit.
fn column(place: usize, width: f64) -> (f64, Anchor) {
    match place.checked_sub(1).and_then(|place| COLUMN_ENDS.get(place)) {
        None => (0.0, Anchor::Start),
        Some(share) if place == COLUMN_ENDS.len() => (share * width, Anchor::Start),
        Some(share) => (share * width, Anchor::End),
    }
}
