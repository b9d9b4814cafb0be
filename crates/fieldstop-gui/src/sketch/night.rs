//! A night in words for the page: when it is dark, what the Moon does, when the target is up.
//!
//! The night is one that somebody chose. Nothing here asks what time it is.

use fieldstop::kit::Kit;
use fieldstop::season::target_night;
use fieldstop::spans::Spans;
use fieldstop::sun_moon::SunCaution;
use fieldstop::{Angle, Horizon, Night};
use jiff::civil::Date;

use super::SketchError;
use crate::nights::site_year::night_note;
use crate::nights::target_year::hours_text;
use crate::nights::{SiteClock, date};
use crate::sky::Target;
use crate::words;

/// A night at the kit's site.
pub(crate) struct ChosenNight {
    evening: Date,
    zone: String,
    clock: SiteClock,
    night: Night,
    horizon: Horizon,
}

impl ChosenNight {
    /// The night that begins in an evening.
    pub(crate) fn new(kit: &Kit, evening: Date) -> Result<Self, SketchError> {
        let clock = SiteClock::of(&kit.site);
        let night = Some(evening).filter(|evening| date::is_in_reach(*evening));
        let night = night
            .and_then(|evening| clock.night(evening))
            .ok_or(SketchError::Night { year: evening.year() })?;
        let zone = kit.site.time_zone.clone();
        Ok(Self { evening, zone, clock, night, horizon: Horizon::of(&kit.site) })
    }

    /// Date, darkness and Moon.
    pub(crate) fn words(&self) -> String {
        let night = &self.night;
        let date = format!("{} {}", date::day_and_month(self.evening), self.evening.year());
        let mut facts = vec![format!("Night of {date} ({} time)", self.zone)];
        facts.extend(night_note(night).map(str::to_owned));
        if !night.dark().is_empty() {
            let hours = hours_text(night.dark().hours());
            facts.push(format!("dark {} ({hours})", self.spans(night.dark())));
        }
        let mut moon = format!("Moon {:.0} % lit", night.moon_phase().lit_fraction * 100.0);
        for (word, instant) in [("rises", night.moonrise()), ("sets", night.moonset())] {
            if let Some(instant) = instant {
                moon += &format!(", {word} {}", self.clock.time(instant));
            }
        }
        facts.push(moon);
        facts.join("  ·  ")
    }

    /// A target's hours: `22:10 to 04:31 (6 h 21 min), highest 71° at 01:20`.
    pub(crate) fn hours(&self, target: &Target) -> String {
        let hours = target_night(&self.night, &self.horizon, target.place);
        if self.night.dark().is_empty() {
            return "no dark sky to stand in".to_owned();
        }
        if hours.dark.is_empty() {
            return "not above your limit while it is dark".to_owned();
        }
        let mut text =
            format!("usable {} ({}", self.spans(&hours.dark), hours_text(hours.dark.hours()));
        if hours.moonless.hours() < hours.dark.hours() {
            text += &format!(", {} without the Moon", hours_text(hours.moonless.hours()));
        }
        text += ")";
        if let Some(highest) = hours.highest {
            let time = self.clock.time(highest.instant);
            text += &format!(", highest {:.0}° at {time}", highest.altitude.deg());
        }
        text
    }

    /// A target's hours in the fewest words.
    pub(crate) fn short_hours(&self, target: &Target) -> String {
        let hours = target_night(&self.night, &self.horizon, target.place);
        if hours.dark.is_empty() {
            return "not up in the dark".to_owned();
        }
        format!("usable {}", self.spans(&hours.dark))
    }

    /// The warning that goes with targets close to the Sun.
    pub(crate) fn caution(&self, targets: &[&Target]) -> Option<String> {
        let caution = |target: &Target| {
            let place = self.night.apparent(target.place);
            SunCaution::at(-Angle::RIGHT, self.night.from_sun(place, self.night.middle()))
        };
        let near: Vec<_> =
            targets.iter().filter_map(|target| Some((*target, caution(target)?))).collect();
        let (_, caution) = near.first()?;
        let names: Vec<&str> = near.iter().map(|(target, _)| target.name.as_str()).collect();
        Some(format!("Caution, {}: {}", names.join(", "), words::sun_caution(*caution)))
    }

    fn spans(&self, spans: &Spans) -> String {
        let time = |instant| self.clock.time(instant);
        let words = spans.iter().map(|span| format!("{} to {}", time(span.start), time(span.end)));
        words.collect::<Vec<_>>().join(" and ")
    }
}
