//! What the command line says of nights beside their figures.

use fieldstop::Night;
use fieldstop::kit::Site;
use fieldstop::night::SunDepth;
use serde::Serialize;

use crate::nights::site_clock::utc_text;

/// What the clock behind every time is.
pub(super) const CLOCK_NOTE: &str = "Hours count with the Sun's centre below -18°, the target above the site's limit and the Moon's\n\
     centre below 0°, all without refraction. UT1 is taken as UTC: true to 0.9 s while leap seconds last.\n";

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
