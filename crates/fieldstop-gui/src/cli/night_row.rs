//! One night of one target as the command line prints it.

use fieldstop::Night;
use fieldstop::kit::Site;
use fieldstop::night::SunDepth;
use fieldstop::season::TargetNight;
use jiff::civil::Date;
use serde::Serialize;

use crate::nights::SiteClock;
use crate::nights::site_clock::utc_text;
use crate::nights::site_year::night_note;

/// What the clock behind every time is.
pub(super) const CLOCK_NOTE: &str = "Hours count with the Sun's centre below -18°, the target above the site's limit and the Moon's\n\
     centre below 0°, all without refraction. UT1 is taken as UTC: true to 0.9 s while leap seconds last.\n";

/// A night's figures, with the keys that scripts read.
#[derive(Serialize)]
pub(super) struct NightRow {
    pub(super) evening: String,
    pub(super) dark_start_utc: Option<String>,
    pub(super) dark_end_utc: Option<String>,
    pub(super) dark_hours: f64,
    pub(super) target_hours: f64,
    pub(super) target_moonless_hours: f64,
    pub(super) highest_altitude_deg: Option<f64>,
    pub(super) transit_utc: Option<String>,
    pub(super) moon_lit_fraction: f64,
    pub(super) note: Option<&'static str>,
}

impl NightRow {
    /// The row of a night, from what the night offers for the target.
    pub(super) fn of(
        clock: &SiteClock,
        evening: Date,
        night: &Night,
        target: &TargetNight,
    ) -> Self {
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

/// The twilights of a night.
#[derive(Serialize)]
pub(super) struct Twilights {
    sunset_utc: Option<String>,
    civil_dusk_utc: Option<String>,
    nautical_dusk_utc: Option<String>,
    astronomical_dusk_utc: Option<String>,
    astronomical_dawn_utc: Option<String>,
    nautical_dawn_utc: Option<String>,
    civil_dawn_utc: Option<String>,
    sunrise_utc: Option<String>,
    moonrise_utc: Option<String>,
    moonset_utc: Option<String>,
}

impl Twilights {
    pub(super) fn of(night: &Night) -> Self {
        let falls = |depth| night.falls(depth).and_then(utc_text);
        let ends = |depth| night.ends(depth).and_then(utc_text);
        Self {
            sunset_utc: falls(SunDepth::Set),
            civil_dusk_utc: falls(SunDepth::Civil),
            nautical_dusk_utc: falls(SunDepth::Nautical),
            astronomical_dusk_utc: falls(SunDepth::Astronomical),
            astronomical_dawn_utc: ends(SunDepth::Astronomical),
            nautical_dawn_utc: ends(SunDepth::Nautical),
            civil_dawn_utc: ends(SunDepth::Civil),
            sunrise_utc: ends(SunDepth::Set),
            moonrise_utc: night.moonrise().and_then(utc_text),
            moonset_utc: night.moonset().and_then(utc_text),
        }
    }
}

/// What a site is called and where it is, for a heading.
pub(super) fn site_words(site: &Site) -> String {
    format!(
        "{} ({:.2}°, {:.2}°, {})",
        site.name, site.latitude_deg, site.longitude_deg, site.time_zone
    )
}
