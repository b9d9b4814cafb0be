//! When each target is up in the dark: hours a month as small bars with their numbers.

use super::block::Block;
use super::facts::Facts;
use super::text::TINY;
use crate::nights::{MONTHS, MonthHours};
use crate::nights::date::month_short;
use crate::nights::month::expected_hours;
use crate::scene::Palette;
use crate::scene::primitive::{Anchor, Bounds, Stroke};

/// Width of a month.
pub(super) const MONTH_PT: f64 = 16.6;
/// Width of the twelve.
pub(super) const WIDTH_PT: f64 = MONTH_PT * MONTHS as f64;

/// The most that a month can offer here: all its dark hours. A full bar.
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

/// A month's number: whole hours; a dash where there are none.
pub(super) fn hours_words(hours: f64) -> String {
    if hours < 0.5 { "–".to_owned() } else { format!("{hours:.0}") }
}

/// Twelve bars with their numbers.
pub(super) fn bars(
    block: &mut Block,
    months: &[MonthHours; MONTHS],
    full: f64,
    room: Bounds,
    palette: &Palette,
) {
    let shade = palette.page.mixed(palette.text, 0.24);
    for (place, month) in months.iter().enumerate() {
        let left = room.left + MONTH_PT * place as f64;
        let share = if full > 0.0 { (month.dark / full).clamp(0.0, 1.0) } else { 0.0 };
        let height = room.height() * share;
        if height > 0.0 {
            let bar = Bounds::at(left + 0.6, room.bottom - height, MONTH_PT - 1.2, height);
            block.filled(bar, shade);
        }
        let at = [left + MONTH_PT / 2.0, room.bottom - 2.1];
        let words = hours_words(month.dark);
        block.text(at, Anchor::Middle, &words, TINY, palette.text);
    }
    block.rule(room.left, room.left + WIDTH_PT, room.bottom, Stroke::solid(palette.rule, 0.35));
}

/// What the bars mean, and how far they can be trusted.
pub(super) fn words(facts: &Facts) -> String {
    let mut words = format!(
        "Usable hours in each month of {}: Sun at least 18° below the horizon, target above {:.0}° \
         and the skyline, Moon up or down; a full bar is {:.0} h, the darkest month here.",
        facts.year,
        facts.kit.site.lowest_altitude_deg,
        full_hours(facts)
    );
    words += if facts.kit.site.clear_fraction.is_empty() {
        " How many nights are clear is not known: every night is counted as clear."
    } else {
        " Every night is counted as clear; what the site's clear nights leave stands behind the year."
    };
    if let Some(none) = &facts.no_dark {
        words += " ";
        words += none;
    }
    words
}

/// The hours of a year, and what the site's clear nights leave of them.
pub(super) fn year_words(facts: &Facts, months: &[MonthHours; MONTHS], total: f64) -> String {
    match expected_hours(months, &facts.kit.site.clear_fraction) {
        Some(clear) => format!("{total:.0} ({clear:.0})"),
        None => format!("{total:.0}"),
    }
}
