//! Moon and planets on one evening, in every rig.

use fieldstop::kit::Kit;
use fieldstop::{Horizon, Night};
use jiff::civil::Date;

use super::rigs::resolved;
use super::{Cell, Column, column};
use crate::nights::BodyNight;
use crate::nights::site_clock::utc_text;
use crate::words;

pub(super) fn columns() -> Vec<Column> {
    vec![
        column("body", "", "Sun, Moon or planet"),
        column("evening", "date", "on which the night begins"),
        column("rig", "", "name of the rig"),
        column("diameter_px", "px", "its width in the rig"),
        column("diameter_arcsec", "arcsec", "its width on the sky, in the middle of the night"),
        column("lit_fraction", "", "share of its disc that is lit"),
        column("elongation_deg", "deg", "from the Sun on the sky"),
        column(
            "up_start_utc",
            "UTC, ISO 8601",
            "above the site's limit between sunset and sunrise, from",
        ),
        column("up_end_utc", "UTC, ISO 8601", "until; there may be a gap between"),
        column("highest_altitude_deg", "deg", "then, without refraction"),
        column("caution", "", "how near to the Sun it stands, where that matters"),
    ]
}

pub(super) fn rows(kit: &Kit, night: &Night, evening: Date) -> Vec<Vec<Cell>> {
    let horizon = Horizon::of(&kit.site);
    let rigs = resolved(kit);
    let mut rows = Vec::new();
    for body in BodyNight::all(night, &horizon) {
        for rig in &rigs {
            rows.push(vec![
                body.body.name().into(),
                evening.to_string().into(),
                rig.rig.name.as_str().into(),
                (body.diameter.rad() / rig.pixel_scale().rad()).into(),
                body.diameter.arcsec().into(),
                body.phase.lit_fraction.into(),
                body.phase.elongation.deg().into(),
                body.up.start().and_then(utc_text).into(),
                body.up.end().and_then(utc_text).into(),
                body.highest.map(|highest| highest.deg()).into(),
                body.caution.map(words::sun_caution).into(),
            ]);
        }
    }
    rows
}
