//! What a night's plot says in words: the facts of the night, and the moment under the pointer.

use egui::Ui;
use fieldstop::air::airmass;
use fieldstop::night::SunDepth;
use fieldstop::spans::Spans;
use fieldstop::sun_moon::SunCaution;
use fieldstop::{Angle, Instant};

use super::{YearInput, caution};
use crate::nights::site_year::night_note;
use crate::nights::target_year::hours_text;
use crate::state::NightFigures;

/// The night and the chosen target in it, a line each.
pub(super) fn facts(ui: &mut Ui, night: &NightFigures, input: &YearInput<'_>) {
    ui.label(night_facts(night));
    if let Some(words) = target_facts(night, input) {
        ui.strong(words);
    }
    if let Some(chosen) = &night.chosen {
        let from_sun = night.night.from_sun(chosen.place, night.night.middle());
        caution::ui(ui, SunCaution::at(-Angle::RIGHT, from_sun));
    }
}

/// Sunset, twilights, darkness, Moon.
fn night_facts(night: &NightFigures) -> String {
    let clock = |instant: Option<Instant>| instant.map(|instant| night.clock.time(instant));
    let mut facts = Vec::new();
    let known = &night.night;
    for (text, instant) in
        [("Sunset", known.falls(SunDepth::Set)), ("sunrise", known.ends(SunDepth::Set))]
    {
        facts.extend(clock(instant).map(|time| format!("{text} {time}")));
    }
    facts.extend(night_note(known).map(str::to_owned));
    if !known.dark().is_empty() {
        facts.push(format!(
            "dark {} ({})",
            spans_words(night, known.dark()),
            hours_text(known.dark().hours())
        ));
    } else if known.falls(SunDepth::Nautical).is_some() {
        let nautical = known.below(SunDepth::Nautical).spans(known.window());
        facts.push(format!("Sun below 12° {}", spans_words(night, &nautical)));
    }
    facts.push(format!("Moon {:.0} % lit", known.moon_phase().lit_fraction * 100.0));
    for (text, instant) in [("moonrise", known.moonrise()), ("moonset", known.moonset())] {
        facts.extend(clock(instant).map(|time| format!("{text} {time}")));
    }
    facts.join("  ·  ")
}

/// The chosen target's hours.
fn target_facts(night: &NightFigures, input: &YearInput<'_>) -> Option<String> {
    let name = input.workspace.target.as_deref()?;
    let chosen = night.chosen.as_ref()?;
    let dark = &chosen.hours.dark;
    let usable = if night.night.dark().is_empty() {
        format!("{name} has no dark sky to stand in this night")
    } else if dark.is_empty() {
        format!("{name} is not above your limit while it is dark")
    } else {
        format!(
            "{name} usable {} ({}), {} without the Moon; with moonlight counted, worth {}",
            spans_words(night, dark),
            hours_text(dark.hours()),
            hours_text(chosen.hours.moonless.hours()),
            hours_text(chosen.worth_hours)
        )
    };
    let transit = chosen
        .hours
        .transit
        .map(|transit| format!("  ·  transit {}", night.clock.time(transit)))
        .unwrap_or_default();
    let highest = chosen.hours.highest.map(|highest| {
        let air = highest.airmass.map(|x| format!(", airmass {x:.2}")).unwrap_or_default();
        format!(
            "  ·  highest in the dark {:.1}° at {}{air}, {:.0}° from the Moon",
            night.air.apparent_altitude(highest.altitude).deg(),
            night.clock.time(highest.instant),
            highest.moon_distance.deg()
        )
    });
    Some(usable + &transit + &highest.unwrap_or_default())
}

/// `20:24 to 04:31`, and several of them.
fn spans_words(night: &NightFigures, spans: &Spans) -> String {
    let window = night.night.window();
    let words: Vec<String> = spans
        .iter()
        .map(|span| {
            if span == window {
                return "all day and night".to_owned();
            }
            format!("{} to {}", night.clock.time(span.start), night.clock.time(span.end))
        })
        .collect();
    words.join(" and ")
}

/// The moment that was pointed at or clicked, with the warning that goes with it.
pub(super) fn readout(
    ui: &mut Ui,
    night: &NightFigures,
    moment: Option<Instant>,
    input: &YearInput<'_>,
) {
    let Some(moment) = moment else {
        ui.weak(
            "Rest the pointer on the plot to read a moment; drag it for another night. Keys: left \
             and right a night, up and down ten minutes.",
        );
        return;
    };
    ui.label(moment_words(night, moment, input));
    let from_sun = night
        .chosen
        .as_ref()
        .map_or(Angle::HALF_TURN, |chosen| night.night.from_sun(chosen.place, moment));
    caution::ui(ui, SunCaution::at(night.night.sun(moment).altitude, from_sun));
}

fn moment_words(night: &NightFigures, moment: Instant, input: &YearInput<'_>) -> String {
    let sun = night.night.sun(moment).altitude;
    let mut words = vec![format!("{}  {}", night.clock.time(moment), light_words(sun))];
    let moon = night.night.moon(moment);
    if let (Some(chosen), Some(name)) = (&night.chosen, &input.workspace.target) {
        let seen = night.night.star(chosen.place, moment);
        let altitude = night.air.apparent_altitude(seen.altitude);
        let mut text =
            format!("{name} {:.1}° high, azimuth {:.0}°", altitude.deg(), seen.azimuth.deg());
        if let Some(x) = airmass(altitude) {
            text += &format!(", airmass {x:.2}");
        }
        if !night.horizon.clears(seen) {
            text += ", behind your limit";
        } else if sun < SunDepth::Astronomical.altitude() {
            let sky = night.sky.brightness_at(&night.night, chosen.place, moment);
            text += &format!(", sky {sky:.1} mag/arcsec² there");
        }
        words.push(text);
        words.push(format!(
            "Moon {:.1}° high, {:.0}° away",
            night.air.apparent_altitude(moon.altitude).deg(),
            seen.separation(moon).deg()
        ));
    } else {
        let altitude = night.air.apparent_altitude(moon.altitude);
        words.push(format!("Moon {:.1}° high", altitude.deg()));
    }
    words.join("  ·  ")
}

/// Day, one of the twilights, or dark.
fn light_words(sun: Angle) -> &'static str {
    let below = |depth: SunDepth| sun < depth.altitude();
    if below(SunDepth::Astronomical) {
        "dark"
    } else if below(SunDepth::Nautical) {
        "astronomical twilight"
    } else if below(SunDepth::Civil) {
        "nautical twilight"
    } else if below(SunDepth::Set) {
        "civil twilight"
    } else {
        "day"
    }
}

/// The plot in a sentence, for those who cannot see it.
pub(super) fn describe(night: &NightFigures, input: &YearInput<'_>) -> String {
    let target = target_facts(night, input).unwrap_or_default();
    format!("Night of {}. {}. {target}", night.evening, night_facts(night))
}
