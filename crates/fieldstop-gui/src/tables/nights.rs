//! Every night of a year for one target.

use fieldstop::Night;
use fieldstop::season::{TargetNight, target_night};
use jiff::civil::Date;
use serde::Serialize;

use super::{Cell, Column, column};
use crate::nights::site_clock::utc_text;
use crate::nights::site_year::night_note;
use crate::nights::{SiteClock, SiteYear};
use crate::sky::catalogue::Target;

/// A night for a target, with the keys of the command line's JSON.
#[derive(Serialize)]
pub struct NightRow {
    /// The date on which it begins.
    pub evening: String,
    /// Where astronomical darkness begins.
    pub dark_start_utc: Option<String>,
    /// Where it ends.
    pub dark_end_utc: Option<String>,
    /// How long it lasts.
    pub dark_hours: f64,
    /// In the dark with the target above the site's limit.
    pub target_hours: f64,
    /// The same without the Moon.
    pub target_moonless_hours: f64,
    /// In the dark, without refraction.
    pub highest_altitude_deg: Option<f64>,
    /// When it passes the meridian.
    pub transit_utc: Option<String>,
    /// 0 is new, 1 is full.
    pub moon_lit_fraction: f64,
    /// What is out of the ordinary.
    pub note: Option<&'static str>,
}

impl NightRow {
    /// The row of a night, from what the night offers for the target.
    pub fn of(clock: &SiteClock, evening: Date, night: &Night, target: &TargetNight) -> Self {
        let dark = night.dark();
        let middle = if dark.is_empty() {
            clock.midnight_after(evening).unwrap_or(night.middle())
        } else {
            night.middle()
        };
        Self {
            evening: evening.to_string(),
            dark_start_utc: dark.start().and_then(utc_text),
            dark_end_utc: dark.end().and_then(utc_text),
            dark_hours: dark.hours(),
            target_hours: target.dark.hours(),
            target_moonless_hours: target.moonless.hours(),
            highest_altitude_deg: target.highest.map(|highest| highest.altitude.deg()),
            transit_utc: target.transit.and_then(utc_text),
            moon_lit_fraction: night.moon_phase_at(middle).lit_fraction,
            note: night_note(night),
        }
    }
}

pub(super) fn columns() -> Vec<Column> {
    vec![
        column("target", "", "name of the target"),
        column("evening", "date", "on which the night begins"),
        column("dark_start_utc", "UTC, ISO 8601", "where astronomical darkness begins"),
        column("dark_end_utc", "UTC, ISO 8601", "where it ends"),
        column("dark_hours", "h", "astronomical darkness"),
        column("usable_hours", "h", "in the dark with the target above the site's limit"),
        column("moonless_hours", "h", "the same with the Moon below the horizon"),
        column("highest_altitude_deg", "deg", "in the dark, without refraction"),
        column("transit_utc", "UTC, ISO 8601", "when the target passes the meridian"),
        column("moon_lit_fraction", "", "0 is new, 1 is full"),
        column("note", "", "what is out of the ordinary"),
    ]
}

pub(super) fn rows(year: &SiteYear, name: &str, target: &Target) -> Vec<Vec<Cell>> {
    let row = |night: &crate::nights::YearNight| {
        let hours = target_night(&night.night, &year.horizon, target.place);
        let row = NightRow::of(&year.clock, night.evening, &night.night, &hours);
        vec![
            name.into(),
            row.evening.into(),
            row.dark_start_utc.into(),
            row.dark_end_utc.into(),
            row.dark_hours.into(),
            row.target_hours.into(),
            row.target_moonless_hours.into(),
            row.highest_altitude_deg.into(),
            row.transit_utc.into(),
            row.moon_lit_fraction.into(),
            row.note.into(),
        ]
    };
    year.nights.iter().map(row).collect()
}
