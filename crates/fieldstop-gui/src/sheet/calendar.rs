//! When each target is up in the dark: hours a month as small boxes, shaded and numbered.

use super::block::Block;
use super::facts::Facts;
use super::text::TINY;
use crate::nights::date::month_short;
use crate::nights::month::expected_hours;
use crate::nights::{MONTHS, MonthHours};
use crate::scene::Palette;
use crate::scene::primitive::{Anchor, Bounds, Ink};

/// Width of a month.
pub(super) const MONTH_PT: f64 = 16.6;
/// Width of the twelve.
pub(super) const WIDTH_PT: f64 = MONTH_PT * MONTHS as f64;

/// The most that a month can offer here: all its dark hours. The darkest shade.
pub(super) fn full_hours(facts: &Facts) -> f64 {
    facts.dark.iter().map(|month| month.dark).fold(0.0, f64::max)
}

/// Names of the months over their columns.
pub(super) fn head(block: &mut Block, left: f64, baseline: f64, palette: &Palette) {
    for month in 0..MONTHS {
        let x = left + MONTH_PT * (month as f64 + 0.5);
        let name = month_short(month);
        block.text([x, baseline], Anchor::Middle, name, TINY, palette.text_quiet);
    }
}

/// What a month without hours says.
const NONE: &str = "–";
/// Shares of the ink in the shade of hardly any hours, and of all there can be. Black stays legible
/// on the darkest.
const LIGHTEST: f64 = 0.03;
const DARKEST: f64 = 0.42;

/// A month's number: whole hours; a dash where there are none.
pub(super) fn hours_words(hours: f64) -> String {
    if hours < 0.5 { NONE.to_owned() } else { format!("{hours:.0}") }
}

/// The shade of a share of the most hours that there can be.
pub(super) fn shade(share: f64, palette: &Palette) -> Ink {
    let share = if share > 0.0 { LIGHTEST + (DARKEST - LIGHTEST) * share } else { 0.0 };
    palette.page.mixed(palette.text, share)
}

/// Twelve boxes, the fuller the darker, each with its number.
pub(super) fn boxes(
    block: &mut Block,
    months: &[MonthHours; MONTHS],
    full: f64,
    (room, baseline): (Bounds, f64),
    palette: &Palette,
) {
    for (place, month) in months.iter().enumerate() {
        let left = room.left + MONTH_PT * place as f64;
        let share = if full > 0.0 { (month.dark / full).clamp(0.0, 1.0) } else { 0.0 };
        let words = hours_words(month.dark);
        if words != NONE {
            let shade = shade(share, palette);
            let ground = Bounds::at(left + 0.3, room.top, MONTH_PT - 0.6, room.height());
            block.filled(ground, shade);
        }
        let at = [left + MONTH_PT / 2.0, baseline];
        block.text(at, Anchor::Middle, &words, TINY, palette.text);
    }
}

/// What the boxes mean, and how far they can be trusted.
pub(super) fn words(facts: &Facts) -> String {
    let mut words = format!(
        "Usable hours in each month of {}: Sun 18° below the horizon or lower, target above {:.0}° \
         and the skyline, Moon or no Moon; the darkest shade is {:.0} h, the darkest month here.",
        facts.year,
        facts.kit.site.lowest_altitude_deg,
        full_hours(facts)
    );
    words += if facts.kit.site.clear_fraction.is_empty() {
        " Every night is counted as clear."
    } else {
        " Every night is counted as clear; in brackets what the site's clear nights leave."
    };
    if let Some(none) = &facts.no_dark {
        words += " ";
        words += none;
    }
    words
}

/// What stands over the hours of the year.
pub(super) fn year_head(facts: &Facts) -> &'static str {
    if facts.kit.site.clear_fraction.is_empty() { "year, h" } else { "year (clear)" }
}

/// The hours of a year, and what the site's clear nights leave of them.
pub(super) fn year_words(facts: &Facts, months: &[MonthHours; MONTHS], total: f64) -> String {
    match expected_hours(months, &facts.kit.site.clear_fraction) {
        Some(clear) => format!("{total:.0} ({clear:.0})"),
        None => format!("{total:.0}"),
    }
}
