//! One night for every target of the wish list.

use fieldstop::air::Air;
use fieldstop::kit::Kit;
use fieldstop::moonlight::DarkSky;
use fieldstop::season::{Highest, target_night};
use fieldstop::{Horizon, Night};
use jiff::civil::Date;
use serde::Serialize;

use super::nights::NightRow;
use super::{Cell, Column, column};
use crate::nights::SiteClock;
use crate::nights::site_clock::utc_text;
use crate::sky::catalogue::Catalogue;
use crate::sky::wish::target_of;

/// Where a target stands when it is highest, with the keys of the command line's JSON.
#[derive(Serialize)]
pub struct HighestRow {
    /// When.
    pub utc: Option<String>,
    /// Without refraction.
    pub altitude_deg: f64,
    /// As it is seen.
    pub refracted_altitude_deg: f64,
    /// From north through east.
    pub azimuth_deg: f64,
    /// 1 overhead.
    pub airmass: Option<f64>,
    /// On the sky.
    pub moon_distance_deg: f64,
}

impl HighestRow {
    /// Of a target's highest moment in the dark.
    pub fn of(highest: Highest, air: Air) -> Self {
        Self {
            utc: utc_text(highest.instant),
            altitude_deg: highest.altitude.deg(),
            refracted_altitude_deg: air.apparent_altitude(highest.altitude).deg(),
            azimuth_deg: highest.azimuth.deg(),
            airmass: highest.airmass,
            moon_distance_deg: highest.moon_distance.deg(),
        }
    }
}

pub(super) fn columns() -> Vec<Column> {
    vec![
        column("target", "", "name of the target"),
        column("evening", "date", "on which the night begins"),
        column("usable_start_utc", "UTC, ISO 8601", "the first usable moment"),
        column("usable_end_utc", "UTC, ISO 8601", "the last; there may be a gap between"),
        column("dark_hours", "h", "astronomical darkness"),
        column("usable_hours", "h", "in the dark with the target above the site's limit"),
        column("moonless_hours", "h", "the same with the Moon below the horizon"),
        column("worth_hours", "h", "what the usable hours are worth with moonlight counted"),
        column("highest_utc", "UTC, ISO 8601", "when it is highest in the dark"),
        column("highest_altitude_deg", "deg", "then, without refraction"),
        column("refracted_altitude_deg", "deg", "then, as it is seen"),
        column("azimuth_deg", "deg", "then, from north through east"),
        column("airmass", "", "then, 1 overhead"),
        column("moon_distance_deg", "deg", "then, from the Moon on the sky"),
        column("note", "", "what is out of the ordinary in this night"),
    ]
}

pub(super) fn rows(
    kit: &Kit,
    catalogue: &Catalogue,
    clock: &SiteClock,
    night: &Night,
    evening: Date,
) -> Vec<Vec<Cell>> {
    let horizon = Horizon::of(&kit.site);
    let air = Air::standard(kit.site.elevation_m);
    let sky = DarkSky::of(&kit.site);
    let mut rows = Vec::new();
    for wish in &kit.wish_list {
        let Some(target) = target_of(wish, catalogue) else { continue };
        let hours = target_night(night, &horizon, target.place);
        let row = NightRow::of(clock, evening, night, &hours);
        let worth = sky.worth_hours(night, night.apparent(target.place), &hours.dark);
        let highest = hours.highest.map(|highest| HighestRow::of(highest, air));
        let top = |figure: fn(&HighestRow) -> Cell| highest.as_ref().map_or(Cell::Empty, figure);
        rows.push(vec![
            wish.name().into(),
            row.evening.into(),
            hours.dark.start().and_then(utc_text).into(),
            hours.dark.end().and_then(utc_text).into(),
            row.dark_hours.into(),
            row.target_hours.into(),
            row.target_moonless_hours.into(),
            worth.into(),
            top(|highest| highest.utc.clone().into()),
            top(|highest| highest.altitude_deg.into()),
            top(|highest| highest.refracted_altitude_deg.into()),
            top(|highest| highest.azimuth_deg.into()),
            top(|highest| highest.airmass.into()),
            top(|highest| highest.moon_distance_deg.into()),
            row.note.into(),
        ]);
    }
    rows
}
