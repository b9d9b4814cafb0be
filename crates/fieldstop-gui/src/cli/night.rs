//! `fieldstop night`: one night for one target, with Moon and planets.

use std::path::PathBuf;

use clap::Args;
use fieldstop::air::Air;
use fieldstop::kit::Kit;
use fieldstop::moonlight::DarkSky;
use fieldstop::season::TargetNight;
use fieldstop::spans::Spans;
use fieldstop::{Horizon, Night};
use jiff::civil::Date;
use serde::Serialize;

use super::error::CliError;
use super::night_row::{self, Twilights};
use super::sought::Sought;
use super::{JSON_FORMAT, json, lookup};
use crate::nights::site_clock::utc_text;
use crate::nights::target_year::hours_text;
use crate::nights::{BodyNight, SiteClock, date};
use crate::sky::catalogue::Catalogue;
use crate::tables::night::HighestRow;
use crate::tables::nights::NightRow;
use crate::words;

/// One night for a target: twilights, usable hours, Moon and planets
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The kit file
    kit: PathBuf,
    /// The target's name, as the wish list has it, or a designation, common name, planet or Moon
    #[arg(long, value_name = "NAME")]
    target: String,
    /// The date on which the night begins
    #[arg(long, value_name = "YYYY-MM-DD", allow_hyphen_values = true, value_parser = date::parse)]
    date: Date,
    /// Print JSON with every number unrounded
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct OneNight<'a> {
    format: u32,
    target: &'a str,
    site: &'a str,
    #[serde(flatten)]
    row: NightRow,
    #[serde(flatten)]
    twilights: Twilights,
    usable: Vec<Stretch>,
    target_worth_hours: Option<f64>,
    highest: Option<HighestRow>,
    caution: Option<&'static str>,
    bodies: Vec<Body>,
}

#[derive(Serialize)]
struct Stretch {
    start_utc: Option<String>,
    end_utc: Option<String>,
}

#[derive(Serialize)]
struct Body {
    name: &'static str,
    diameter_arcsec: f64,
    lit_fraction: f64,
    elongation_deg: f64,
    up: Vec<Stretch>,
    pixels: Vec<RigPixels>,
    caution: Option<&'static str>,
}

#[derive(Serialize)]
struct RigPixels {
    rig: String,
    diameter_px: f64,
}

/// The night worked out, before it is put in one form or the other.
struct Worked {
    clock: SiteClock,
    night: Night,
    row: NightRow,
    hours: TargetNight,
    /// Moonlight is reckoned for targets of the deep sky only.
    worth_hours: Option<f64>,
    bodies: Vec<BodyNight>,
    caution: Option<&'static str>,
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    let catalogue = Catalogue::embedded()?;
    let kit = lookup::kit(&arguments.kit, &catalogue)?;
    let target = Sought::find(&kit, &catalogue, &arguments.target)?;
    let worked = work_out(&kit, &target, arguments.date)
        .ok_or(CliError::NoYear { year: arguments.date.year() })?;
    if !arguments.json {
        return Ok(for_people(&kit, arguments, &worked));
    }
    let air = Air::standard(kit.site.elevation_m);
    json(&OneNight {
        format: JSON_FORMAT,
        target: &arguments.target,
        site: &kit.site.name,
        twilights: Twilights::of(&worked.night),
        usable: stretches(&worked.hours.dark),
        target_worth_hours: worked.worth_hours,
        highest: worked.hours.highest.map(|highest| HighestRow::of(highest, air)),
        caution: worked.caution,
        bodies: worked.bodies.iter().map(|body| Body::of(body, &kit)).collect(),
        row: worked.row,
    })
}

fn work_out(kit: &Kit, target: &Sought, evening: Date) -> Option<Worked> {
    let clock = SiteClock::of(&kit.site);
    let night = clock.night(evening)?;
    let horizon = Horizon::of(&kit.site);
    let hours = target.in_night(&night, &horizon);
    let worth_hours = match target {
        Sought::Fixed(place) => {
            let place = night.apparent(*place);
            Some(DarkSky::of(&kit.site).worth_hours(&night, place, &hours.dark))
        }
        Sought::Moving(_) => None,
    };
    Some(Worked {
        worth_hours,
        row: NightRow::of(&clock, evening, &night, &hours),
        bodies: BodyNight::all(&night, &horizon),
        caution: target.caution(&night, &horizon).map(words::sun_caution),
        clock,
        night,
        hours,
    })
}

fn stretches(spans: &Spans) -> Vec<Stretch> {
    let stretch = |span: fieldstop::spans::Span| Stretch {
        start_utc: utc_text(span.start),
        end_utc: utc_text(span.end),
    };
    spans.iter().map(stretch).collect()
}

impl Body {
    fn of(body: &BodyNight, kit: &Kit) -> Self {
        let pixels = (0..kit.rigs.len()).filter_map(|rig| kit.resolve(rig)).map(|rig| RigPixels {
            rig: rig.rig.name.clone(),
            diameter_px: body.diameter.rad() / rig.pixel_scale().rad(),
        });
        Self {
            name: body.body.name(),
            diameter_arcsec: body.diameter.arcsec(),
            lit_fraction: body.phase.lit_fraction,
            elongation_deg: body.phase.elongation.deg(),
            up: stretches(&body.up),
            pixels: pixels.collect(),
            caution: body.caution.map(words::sun_caution),
        }
    }
}

fn for_people(kit: &Kit, arguments: &Arguments, worked: &Worked) -> String {
    let name = &arguments.target;
    let mut text = format!(
        "{name} in the night of {} from {}, local times\n\n",
        arguments.date,
        night_row::site_words(&kit.site)
    );
    let spans = |spans: &Spans| {
        let words = spans
            .iter()
            .map(|s| format!("{} to {}", worked.clock.time(s.start), worked.clock.time(s.end)));
        words.collect::<Vec<_>>().join(" and ")
    };
    if let Some(note) = worked.row.note {
        text += &format!("Note: {note}\n");
    }
    if !worked.night.dark().is_empty() {
        let hours = hours_text(worked.row.dark_hours);
        text += &format!("Dark: {} ({hours})\n", spans(worked.night.dark()));
    }
    if !worked.hours.dark.is_empty() {
        let worth = worked.worth_hours.map_or_else(String::new, |worth| {
            format!("; worth {} with moonlight counted", hours_text(worth))
        });
        text += &format!(
            "Usable: {} ({}; {} without the Moon{worth})\n",
            spans(&worked.hours.dark),
            hours_text(worked.row.target_hours),
            hours_text(worked.row.target_moonless_hours),
        );
    } else {
        text += "Usable: at no time\n";
    }
    if let Some(highest) = worked.hours.highest {
        text += &format!(
            "Highest in the dark: {:.1}° at {}, {:.0}° from the Moon\n",
            highest.altitude.deg(),
            worked.clock.time(highest.instant),
            highest.moon_distance.deg()
        );
    }
    text += &format!("Moon: {:.0} % lit\n", worked.row.moon_lit_fraction * 100.0);
    if let Some(caution) = worked.caution {
        text += &format!("Caution: {caution}\n");
    }
    text + "\n" + &body_lines(worked) + "\n" + night_row::CLOCK_NOTE
}

fn body_lines(worked: &Worked) -> String {
    let mut text = String::new();
    for body in &worked.bodies {
        let caution = body.caution.map(words::sun_caution);
        text += &format!(
            "{}: {} across{}\n",
            body.body.name(),
            words::span(body.diameter),
            caution.map(|words| format!(". {words}")).unwrap_or_default()
        );
    }
    text
}
