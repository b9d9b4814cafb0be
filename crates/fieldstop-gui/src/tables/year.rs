//! The wish list's usable hours, month by month.

use fieldstop::kit::Kit;

use super::{Cell, Column, column};
use crate::nights::{SiteYear, TargetYear};
use crate::sky::catalogue::Catalogue;
use crate::sky::wish::target_of;

pub(super) fn columns() -> Vec<Column> {
    vec![
        column("target", "", "name of the target"),
        column("year", "", "in which the nights begin"),
        column("month", "", "1 to 12"),
        column("nights", "", "nights that begin in the month"),
        column("dark_hours", "h", "astronomical darkness at the site in the month"),
        column(
            "usable_hours",
            "h",
            "in the dark with the target above the site's limit, in the month",
        ),
        column("moonless_hours", "h", "the same with the Moon below the horizon"),
        column("usable_hours_a_night", "h", "usable hours of the average night"),
    ]
}

pub(super) fn rows(kit: &Kit, catalogue: &Catalogue, year: &SiteYear) -> Vec<Vec<Cell>> {
    let dark = year.dark_months();
    let mut rows = Vec::new();
    for wish in &kit.wish_list {
        let Some(target) = target_of(wish, catalogue) else { continue };
        let hours = TargetYear::of(year, wish.name(), target.place);
        for (month, (dark, usable)) in dark.iter().zip(&hours.months).enumerate() {
            rows.push(vec![
                wish.name().into(),
                Cell::Whole(year.year.into()),
                super::count(month + 1),
                usable.nights.into(),
                dark.dark.into(),
                usable.dark.into(),
                usable.moonless.into(),
                usable.a_night().into(),
            ]);
        }
    }
    rows
}
