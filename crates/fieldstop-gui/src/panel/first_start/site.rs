//! Step 1: place, clock, sky and air, in words with their usual values.

use egui::{RichText, Ui};
use fieldstop::kit::Site;
use fieldstop::range;

use super::{FIELDS_PT, FirstStartInput, columns};
use crate::files::kit_file::is_known_zone;
use crate::nights::site_clock::system_zone;
use crate::nights::{SiteClock, SiteYear};
use crate::starting_points;
use crate::state::YearFigures;
use crate::widget::{NumberField, steady_name_field};
use crate::words::whole;

/// Sky brightness at the zenith in mag/arcsec², and how to tell. Common practice, after the scale of
/// Bortle 2001, Sky & Telescope 101 (2), 126, from memory.
const SKIES: [(&str, f64, &str); 4] = [
    ("City", 18.0, "no Milky Way, stars can be counted"),
    ("Suburb", 19.5, "Milky Way at best a hint overhead"),
    ("Country", 21.0, "Milky Way plain to see"),
    ("Far from towns", 21.8, "Milky Way full of structure"),
];

/// Seeing in arcseconds. Common practice, no source.
const SEEING: [(&str, f64, &str); 3] = [
    ("Steady", 1.8, "high ground or an even sea wind"),
    ("Usual", 2.5, "lowlands on an ordinary clear night"),
    ("Unsteady", 4.0, "stars twinkle hard; lee of hills"),
];

pub(super) fn ui(ui: &mut Ui, input: &mut FirstStartInput<'_>) {
    columns(
        ui,
        input,
        FIELDS_PT,
        |ui, input| {
            if let Some(name) = steady_name_field(ui, "Kit", &input.kit.name, not_empty) {
                input.kit.name = name;
            }
            place(ui, &mut input.kit.site);
            ui.add_space(10.0);
            sky(ui, &mut input.kit.site);
            ui.add_space(10.0);
            air(ui, &mut input.kit.site);
        },
        |ui, input| meaning(ui, &input.kit.site, input.year),
    );
}

fn not_empty(name: &str) -> Result<(), String> {
    if name.is_empty() { Err("is empty; expected a name.".to_owned()) } else { Ok(()) }
}

fn place(ui: &mut Ui, site: &mut Site) {
    if let Some(name) = steady_name_field(ui, "Place", &site.name, not_empty) {
        site.name = name;
    }
    let latitude = NumberField::new("Latitude", "°", range::LATITUDE)
        .steady()
        .tip("North positive, south negative. A map or a telephone tells it; a tenth of a degree will do");
    if let Some(degrees) = latitude.show(ui, site.latitude_deg) {
        site.latitude_deg = degrees;
    }
    let longitude = NumberField::new("Longitude", "°", range::LONGITUDE)
        .steady()
        .tip("East of Greenwich positive, west negative");
    if let Some(degrees) = longitude.show(ui, site.longitude_deg) {
        site.longitude_deg = degrees;
    }
    let zone = |zone: &str| {
        if is_known_zone(zone) {
            Ok(())
        } else {
            Err("is not a known zone; expected an IANA name such as Europe/London.".to_owned())
        }
    };
    if let Some(zone) = steady_name_field(ui, "Time zone", &site.time_zone, zone) {
        site.time_zone = zone;
    }
    ui.label(RichText::new(format!("{} {}", zone_words(site), sun_zone_words(site))).weak());
}

/// Where the zone comes from, and what to do if it is not the site's.
fn zone_words(site: &Site) -> String {
    match system_zone() {
        None => format!(
            "This computer does not tell its time zone. {} stands until you name the site's, such as \
             Europe/London.",
            site.time_zone
        ),
        Some(zone) if zone == site.time_zone && is_universal(&zone) => format!(
            "This computer runs on {zone}, which is seldom a site's own zone. Name the site's, such as \
             Europe/London."
        ),
        Some(zone) if zone == site.time_zone => {
            format!("{zone} is this computer's zone. Change it if the site has another.")
        }
        Some(zone) => format!("This computer's own zone is {zone}."),
    }
}

/// The whole hours that the longitude suggests.
fn sun_zone_words(site: &Site) -> String {
    let hours = (site.longitude_deg / 15.0).round();
    let sign = if hours < 0.0 { '−' } else { '+' };
    format!("The longitude suggests about UTC{sign}{:.0}.", hours.abs())
}

fn is_universal(zone: &str) -> bool {
    matches!(zone, "UTC" | "Etc/UTC" | "Etc/UCT" | "Etc/GMT" | "Etc/Zulu" | "Etc/Universal")
}

/// A choice in words of a number, with the number itself to be changed below.
fn in_words(ui: &mut Ui, value: &mut f64, choices: &[(&str, f64, &str)]) {
    for &(word, typical, how) in choices {
        // OK because the value was set to this very number or it was not.
        let chosen = (*value - typical).abs() < 1e-9;
        if ui.radio(chosen, format!("{word}: {how} ({typical})")).clicked() {
            *value = typical;
        }
    }
}

fn sky(ui: &mut Ui, site: &mut Site) {
    ui.strong("Sky without the Moon");
    in_words(ui, &mut site.sky_brightness_mag_arcsec2, &SKIES);
    let field = NumberField::new("Sky brightness", "mag/″²", range::SURFACE_BRIGHTNESS).steady().tip(
        "Light of a square arcsecond of empty sky overhead, in magnitudes: the larger the number, the darker. A sky meter or a map of light pollution tells it",
    );
    if let Some(brightness) = field.show(ui, site.sky_brightness_mag_arcsec2) {
        site.sky_brightness_mag_arcsec2 = brightness;
    }
}

fn air(ui: &mut Ui, site: &mut Site) {
    ui.strong("Air");
    in_words(ui, &mut site.seeing_fwhm_arcsec, &SEEING);
    let field = NumberField::new("Seeing", "arcsec", range::SEEING_ARCSEC).steady().tip(
        "How wide moving air smears a star in a long exposure, at half its brightness. It limits the detail of every telescope",
    );
    if let Some(seeing) = field.show(ui, site.seeing_fwhm_arcsec) {
        site.seeing_fwhm_arcsec = seeing;
    }
    let field = NumberField::new("Lowest altitude", "°", range::LOWEST_ALTITUDE)
        .steady()
        .tip("Nothing lower is worth photographing from here: trees, roofs, haze");
    if let Some(lowest) = field.show(ui, site.lowest_altitude_deg) {
        site.lowest_altitude_deg = lowest;
    }
}

fn meaning(ui: &mut Ui, site: &Site, year: &YearFigures) {
    ui.strong("What this means");
    if is_stand_in(site) {
        ui.label(
            RichText::new(format!(
                "You have not said where you are. Until you do, {} on the Greenwich meridian stands in.",
                latitude_words(site.latitude_deg)
            ))
            .color(ui.visuals().warn_fg_color),
        );
    }
    if let Some(words) = clock_words(site) {
        ui.label(RichText::new(words).color(ui.visuals().warn_fg_color));
    }
    ui.label(reach_words(site)).on_hover_text(
        "Declination: how far north or south a target stands on the sky, as latitude does on Earth",
    );
    match (year.nights(), year.progress()) {
        (Some(nights), _) => night_words(ui, nights),
        (None, Some((label, share))) => {
            ui.weak(format!("{label}: {:.0} %", share * 100.0));
        }
        (None, None) => {}
    }
    ui.add_space(8.0);
    ui.weak("Skyline, elevation, extinction and clear nights can be given later, under Site and limits.");
}

/// Whether the place is still the one that a new kit begins with.
fn is_stand_in(site: &Site) -> bool {
    let new = starting_points::new_kit("").site;
    site.latitude_deg == new.latitude_deg && site.longitude_deg == new.longitude_deg
}

fn latitude_words(latitude_deg: f64) -> String {
    let side = if latitude_deg < 0.0 { "south" } else { "north" };
    format!("{}° {side}", crate::demand_words::plain(latitude_deg.abs()))
}

/// What never comes high enough, from the declination that culminates at the limit.
fn reach_words(site: &Site) -> String {
    let (latitude, lowest) = (site.latitude_deg, site.lowest_altitude_deg);
    let edge = lowest - 90.0 + latitude.abs();
    let here = latitude_words(latitude);
    let (beyond, sign) = if latitude < 0.0 { ("north", -1.0) } else { ("south", 1.0) };
    if edge <= -90.0 {
        return format!(
            "From {here} the whole sky comes above your lowest altitude of {lowest:.0}°."
        );
    }
    format!(
        "From {here}, nothing {beyond} of declination {}° ever reaches your lowest altitude of \
         {lowest:.0}°.",
        format!("{:.0}", sign * edge).replace('-', "−")
    )
}

/// Hours between the Sun's time and the clock's beyond which a sign may be wrong. Common practice,
/// no source: no zone in use is further off its Sun, summer time included.
const CLOCK_OFF_HOURS: f64 = 3.6;

/// That place and clock do not belong together, if so.
fn clock_words(site: &Site) -> Option<String> {
    if is_stand_in(site) {
        return None;
    }
    let clock = SiteClock::of(site);
    let offset = clock.winter_offset_hours()?;
    let sun = site.longitude_deg / 15.0;
    // Round the clock: 23 hours ahead is one behind.
    let off = (offset - sun + 12.0).rem_euclid(24.0) - 12.0;
    (off.abs() > CLOCK_OFF_HOURS).then(|| {
        format!(
            "The clock of {} is {:.1} h off the Sun at longitude {}°. Check both: west of Greenwich is \
             negative.",
            site.time_zone,
            off.abs(),
            crate::demand_words::plain(site.longitude_deg)
        )
    })
}

fn night_words(ui: &mut Ui, nights: &SiteYear) {
    let hours: f64 = nights.dark_months().iter().map(|month| month.dark).sum();
    ui.label(format!(
        "{} h of astronomical darkness in {}, clouds and Moon not counted.",
        whole(hours),
        nights.year
    ));
    if let Some(why) = nights.no_dark_words() {
        ui.label(why);
    }
}
