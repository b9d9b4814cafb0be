//! What the whole catalogue offers a rig in one month.

use std::borrow::Cow;

use fieldstop::kit::Kit;
use fieldstop::rig::ResolvedRig;
use fieldstop::shape::fit_shape;
use serde::Serialize;

use super::{Cell, Column, PLACE, column, place_cells};
use crate::nights::in_season::rank;
use crate::nights::{MonthHours, SeasonQuestion, SiteYear, in_season};
use crate::sky::catalogue::{Catalogue, Target};
use crate::sky::wish::{WishNames, as_drawn};

/// An object in a month, with the keys of the command line's JSON.
#[derive(Serialize)]
pub struct SeasonRow {
    /// What the wish list calls it, else the catalogue.
    pub name: String,
    /// What sort of thing it is.
    pub kind: &'static str,
    /// Usable hours of the month.
    pub hours: f64,
    /// The same without the Moon.
    pub moonless_hours: f64,
    /// Usable hours of the average night.
    pub hours_a_night: f64,
    /// 1 touches the frame's edge.
    pub fill: Option<f64>,
    /// In a word.
    pub verdict: &'static str,
    /// Full major axis.
    pub major_arcmin: Option<f64>,
    /// Full minor axis.
    pub minor_arcmin: Option<f64>,
    /// Integrated, in V.
    pub magnitude: Option<f64>,
    /// Hours a night, times how well they are used.
    pub rank: f64,
    /// Where it is.
    #[serde(skip)]
    pub place_deg: (f64, f64),
}

/// The objects of a month, best first; `None` if it was told to stop.
pub fn season_rows(
    nights: &SiteYear,
    catalogue: &Catalogue,
    kit: &Kit,
    rig: &ResolvedRig<'_>,
    question: SeasonQuestion,
    go_on: &mut dyn FnMut(f32) -> bool,
) -> Option<Vec<SeasonRow>> {
    let field = rig.field();
    let names = WishNames::of(kit, catalogue);
    let found = in_season(nights, catalogue, question, go_on)?;
    let mut rows: Vec<SeasonRow> = found
        .iter()
        .filter_map(|object| Some((catalogue.targets().get(object.index)?, object.hours)))
        .map(|(target, hours)| SeasonRow::of(target, &hours, &field, kit, &names))
        .collect();
    rows.sort_by(|a, b| b.rank.total_cmp(&a.rank));
    Some(rows)
}

impl SeasonRow {
    fn of(
        target: &Target,
        hours: &MonthHours,
        field: &fieldstop::Field,
        kit: &Kit,
        names: &WishNames<'_>,
    ) -> Self {
        let limits = &kit.limits;
        let name = names.led(target).name.clone();
        let shape = as_drawn(kit, &name, Cow::Borrowed(target)).shape();
        let fit = fit_shape(shape.as_ref(), field, limits.whole_fill, limits.overlap);
        Self {
            name,
            kind: target.kind.label(),
            hours: hours.dark,
            moonless_hours: hours.moonless,
            hours_a_night: hours.a_night(),
            fill: fit.fill,
            verdict: fit.verdict.word(),
            major_arcmin: target.major_arcmin,
            minor_arcmin: target.minor_arcmin,
            magnitude: target.magnitude,
            rank: rank(hours, &fit, limits.whole_fill),
            place_deg: (target.ra_deg, target.dec_deg),
        }
    }
}

pub(super) fn columns() -> Vec<Column> {
    let mut columns = vec![
        column("object", "", "what the catalogue calls it"),
        column("kind", "", "what it is"),
        column("rig", "", "name of the rig"),
        column("year", "", "in which the nights begin"),
        column("month", "", "1 to 12"),
    ];
    columns.extend(PLACE);
    columns.extend([
        column(
            "usable_hours",
            "h",
            "in the dark with the object above the site's limit, in the month",
        ),
        column("moonless_hours", "h", "the same with the Moon below the horizon"),
        column("usable_hours_a_night", "h", "usable hours of the average night"),
        column("fill", "", "size of the outline relative to the frame at its best rotation"),
        column("verdict", "", "whole, tight, spills or size unknown"),
        column("major_arcmin", "arcmin", "full major axis"),
        column("minor_arcmin", "arcmin", "full minor axis"),
        column("magnitude", "mag", "integrated, in V"),
        column("rank", "", "usable hours a night, times how well they are used"),
    ]);
    columns
}

pub(super) fn cells(row: &SeasonRow, rig: &str, year: i16, month: usize) -> Vec<Cell> {
    let mut cells: Vec<Cell> = vec![
        row.name.as_str().into(),
        row.kind.into(),
        rig.into(),
        Cell::Whole(year.into()),
        super::count(month + 1),
    ];
    cells.extend(place_cells(row.place_deg.0, row.place_deg.1));
    cells.extend::<[Cell; 9]>([
        row.hours.into(),
        row.moonless_hours.into(),
        row.hours_a_night.into(),
        row.fill.into(),
        row.verdict.into(),
        row.major_arcmin.into(),
        row.minor_arcmin.into(),
        row.magnitude.into(),
        row.rank.into(),
    ]);
    cells
}
