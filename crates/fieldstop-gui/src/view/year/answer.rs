//! The answer to "when" for the chosen target, and what the site allows at all.

use egui::{RichText, Ui};

use super::YearInput;
use crate::nights::TargetYear;
use crate::nights::month::expected_hours;

/// Shows the chosen target's answer, then the site's.
pub(super) fn ui(ui: &mut Ui, input: &YearInput<'_>) {
    let chosen = input.workspace.target.as_deref();
    match (chosen, chosen.and_then(|name| input.year.target(name))) {
        (Some(_), Some(target)) => {
            ui.strong(target.words() + &expected(target, input));
        }
        (Some(name), None) => {
            ui.weak(format!("{name}: being worked out"));
        }
        (None, _) => {
            ui.label("No target chosen. Pick one from the wish list, or find one there.");
        }
    }
    let Some(nights) = input.year.nights() else { return };
    let site = &input.kit.site;
    let place = format!(
        "{} at {:.2}° {}, nothing below {:.0}°.",
        site.name,
        site.latitude_deg.abs(),
        if site.latitude_deg < 0.0 { "south" } else { "north" },
        site.lowest_altitude_deg
    );
    ui.label(RichText::new(place).weak());
    if let Some(words) = nights.no_dark_words() {
        let left = "What is left then: the Moon, planets, and bright clusters in twilight.";
        ui.label(format!("{words} {left}"));
    }
}

/// Hours under a real sky, where the site knows its clear nights.
fn expected(target: &TargetYear, input: &YearInput<'_>) -> String {
    match expected_hours(&target.months, &input.kit.site.clear_fraction) {
        Some(hours) if target.total.dark > 0.0 => {
            format!(" With your clear nights, expect {hours:.0} h.")
        }
        _ => String::new(),
    }
}
