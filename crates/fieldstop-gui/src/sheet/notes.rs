//! What the sheet was reckoned with, what to mind, and where its figures and its sky come from.

use fieldstop::demands::Figure;
use fieldstop::kit::MountKind;

use super::block::{Block, paragraph, paragraph_to};
use super::demands_table::groups;
use super::facts::Facts;
use super::text::{BODY, CELL, CELL_HEAVY, TINY, wrapped_to};
use crate::demand_words::{digits, heavy_pieces, percent, plain};
use crate::nights::date::month_short;
use crate::paint::pdf::Role;
use crate::scene::Palette;
use crate::scene::furniture::SYNTHETIC_NOTE;
use crate::scene::primitive::Anchor;
use crate::sources;
use crate::words::counted;
use crate::words::money;

/// A caution that names more rigs than this holds is cut; the HTML has it whole.
const CAUTION_LINES: usize = 4;
/// Headings of the three sections.
pub(super) const ASSUMPTIONS: &str = "Reckoned with";
pub(super) const CAUTIONS: &str = "Mind";
pub(super) const SOURCES: &str = "Sources";

/// What the person said, as label and value.
pub(super) fn assumptions(facts: &Facts) -> Vec<(&'static str, String)> {
    let (site, limits) = (&facts.kit.site, &facts.kit.limits);
    let skyline = match site.horizon.len() {
        0 => "flat".to_owned(),
        points => counted(points, "point"),
    };
    let not_said = || "no limit said".to_owned();
    let mut assumptions = vec![
        (
            "Seeing",
            format!("{}″ at the zenith, give or take 30 %", digits(site.seeing_fwhm_arcsec)),
        ),
        (
            "Sky",
            format!(
                "{} mag/arcsec² at the zenith without the Moon, give or take 0.5",
                plain(site.sky_brightness_mag_arcsec2)
            ),
        ),
        ("Extinction", format!("{} mag per airmass", plain(site.extinction_mag_airmass))),
        ("Lowest altitude", format!("{}°, skyline {skyline}", plain(site.lowest_altitude_deg))),
        ("Clear nights", clear_nights(&site.clear_fraction)),
        ("Guiding", guiding(facts)),
        ("Budget", limits.budget.map_or_else(not_said, |budget| money(budget, &limits.currency))),
        ("To carry", limits.carry_kg.map_or_else(not_said, |mass| format!("{} kg", plain(mass)))),
        ("Payload", format!("{} of what the mount is rated for", percent(limits.payload_share))),
        ("Whole", format!("at most {} of the frame's side", percent(limits.whole_fill))),
        ("Detail wanted", format!("{} resolution elements across a target", plain(limits.detail))),
        ("Signal to noise", format!("{} wanted", plain(limits.snr))),
    ];
    assumptions.extend(drawn_outlines(facts).map(|words| ("Outlines", words)));
    assumptions
}

/// Which targets are not taken as the catalogue has them.
fn drawn_outlines(facts: &Facts) -> Option<String> {
    let targets = std::iter::once(&facts.framed.target).chain(&facts.wishes);
    let mut names: Vec<&str> = Vec::new();
    for target in targets.filter(|target| target.drawn.is_some()) {
        if !names.contains(&target.name.as_str()) {
            names.push(&target.name);
        }
    }
    (!names.is_empty()).then(|| {
        format!("drawn by hand: {}; fill, verdict and focal lengths go by that", names.join(", "))
    })
}

fn clear_nights(shares: &[f64]) -> String {
    if shares.is_empty() {
        return "not known; every night counted as clear".to_owned();
    }
    let by_share = || shares.iter().enumerate();
    let least = by_share().min_by(|(_, a), (_, b)| a.total_cmp(b));
    let most = by_share().max_by(|(_, a), (_, b)| a.total_cmp(b));
    match least.zip(most) {
        Some(((low, least), (high, most))) => format!(
            "{} in {} to {} in {}",
            percent(*least),
            month_short(low),
            percent(*most),
            month_short(high)
        ),
        None => String::new(),
    }
}

/// What each mount in use is said to do.
fn guiding(facts: &Facts) -> String {
    let mut said: Vec<String> = Vec::new();
    for rig in (0..facts.kit.rigs.len()).filter_map(|rig| facts.kit.resolve(rig)) {
        let words = match (rig.mount.guided_rms_arcsec, rig.mount.kind) {
            (Some(rms), _) => format!("{} {}″ RMS", rig.mount.name, digits(rms)),
            (None, MountKind::Fixed) => format!("{} does not track", rig.mount.name),
            (None, _) => format!("{} is not guided", rig.mount.name),
        };
        if !said.contains(&words) {
            said.push(words);
        }
    }
    said.join(", ")
}

/// How uncertain all of it is.
pub(super) const UNCERTAIN: &str = "Seeing and sky brightness change from night to night, sizes of \
    nebulae end where one's eye ends, surface brightness is a mean over the target: take every \
    figure as an estimate.";

/// Labels and values in two columns; `label_pt` is room for the longest label.
pub(super) fn pairs_block(
    pairs: &[(&str, String)],
    label_pt: f64,
    width: f64,
    palette: &Palette,
) -> Block {
    const GUTTER_PT: f64 = 16.0;
    let column = (width - GUTTER_PT) / 2.0;
    let mut block = Block::new(Role::Paragraph).after(3.0);
    let mut lowest: f64 = 0.0;
    for (half, pairs) in pairs.chunks(pairs.len().div_ceil(2).max(1)).enumerate() {
        let left = (column + GUTTER_PT) * half as f64;
        let mut baseline = CELL.size_pt;
        for (label, value) in pairs {
            block.text([left, baseline], Anchor::Start, label, CELL, palette.text_quiet);
            let lines = wrapped_to(value, CELL, column - label_pt, 4);
            let at = [left + label_pt, baseline];
            baseline = block.lines(at, &lines, CELL, palette.text) + 0.6;
        }
        lowest = lowest.max(baseline - CELL.size_pt);
    }
    block.height_pt = lowest;
    block
}

/// What to mind before paying, lifting and looking.
pub(super) fn cautions(facts: &Facts) -> Vec<String> {
    let mut cautions = vec![
        "Never point any optics at or near the Sun without a certified full-aperture solar filter."
            .to_owned(),
    ];
    cautions.extend(heavy_pieces(&facts.demands, facts.kit.limits.thresholds.lift_kg));
    cautions.extend(
        [
            "Lift and carry by your local manual-handling guidance; total and heaviest piece of \
             each rig are in the table of demands.",
            "Mains electricity, batteries and dew: outdoor-rated, protected supplies, by your local \
             electrical code.",
            "Planning figures are estimates; a rated payload and a maker's limits come first.",
        ]
        .map(str::to_owned),
    );
    cautions
}

/// Where figures come from, what is synthetic, whose data the sky is.
pub(super) fn sources(facts: &Facts) -> Vec<String> {
    let mut rules: Vec<(String, Vec<&str>)> = Vec::new();
    let figures = groups(facts).into_iter().flat_map(|(_, figures)| figures);
    for figure in std::iter::once(Figure::FocalLength).chain(figures) {
        let rule = figure.rule();
        // Practice that names no source says so only once.
        let source = if rule.source.contains(rule.standing.label()) {
            rule.source.to_owned()
        } else {
            format!("{}, {}", rule.source, rule.standing.label())
        };
        match rules.iter_mut().find(|(known, _)| *known == source) {
            Some((_, labels)) if !labels.contains(&figure.label()) => labels.push(figure.label()),
            Some(_) => {}
            None => rules.push((source, vec![figure.label()])),
        }
    }
    let rules: Vec<String> =
        rules.iter().map(|(source, labels)| format!("{} ({source})", labels.join(", "))).collect();
    vec![
        format!(
            "Figures: {}. Frames: gnomonic projection (Calabretta & Greisen 2002, A&A 395, 1077). \
             Nights: IAU SOFA routines, translated.",
            rules.join("; ")
        ),
        format!("{SYNTHETIC_NOTE}: they show how crowded a field is, not which stars are in it."),
        sources::in_full(sources::of_sky(true)),
    ]
}

/// Cautions, each with a heading's worth of weight for the first.
pub(super) fn cautions_blocks(facts: &Facts, width: f64, palette: &Palette) -> Vec<Block> {
    let mut blocks = Vec::new();
    for (place, caution) in cautions(facts).iter().enumerate() {
        let kind = if place == 0 { super::text::BODY_HEAVY } else { BODY };
        let words = format!("– {caution}");
        let block = paragraph_to(&words, width, kind, palette.text, CAUTION_LINES);
        blocks.push(block.after(1.0).kept_with_next());
    }
    if let Some(last) = blocks.last_mut() {
        last.with_next = false;
    }
    blocks
}

/// Sources, small.
pub(super) fn sources_blocks(facts: &Facts, width: f64, palette: &Palette) -> Vec<Block> {
    let paragraphs = sources(facts);
    let mut blocks: Vec<Block> = paragraphs
        .iter()
        .map(|words| paragraph(words, width, TINY, palette.text_quiet).after(1.5))
        .collect();
    if let Some(first) = blocks.first_mut() {
        first.with_next = true;
    }
    blocks
}

/// The assumptions' section.
pub(super) fn assumptions_blocks(facts: &Facts, width: f64, palette: &Palette) -> Vec<Block> {
    /// Room for the longest label.
    const LABEL_PT: f64 = 62.0;
    let mut title = Block::new(Role::Heading(2, ASSUMPTIONS.to_owned())).after(8.0);
    title.text([0.0, 8.0], Anchor::Start, ASSUMPTIONS, CELL_HEAVY, palette.text);
    title.height_pt = 10.0;
    vec![
        title.kept_with_next(),
        pairs_block(&assumptions(facts), LABEL_PT, width, palette).kept_with_next(),
        paragraph(UNCERTAIN, width, CELL, palette.text_quiet).after(1.0),
    ]
}
