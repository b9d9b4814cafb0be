//! What every focal length serves of the wish list.

use fieldstop::choice::Choice;

use super::choose::{CoverageRow, coverage_rows};
use super::{Cell, Column, column};

pub(super) fn columns() -> Vec<Column> {
    vec![
        column("focal_length_mm", "mm", "on the focal ladder, in steps of 2 %"),
        column("rig", "", "whose camera, aperture and guiding the figures are for"),
        column("served", "", "targets whole with detail enough"),
        column("served_weighted_hours", "h", "usable hours of those in the year, times stars"),
    ]
}

pub(super) fn rows(choice: &Choice, rig: Option<&str>) -> Vec<Vec<Cell>> {
    let row = |step: CoverageRow| {
        vec![step.focal_length_mm.into(), rig.into(), step.served.into(), step.weighted.into()]
    };
    coverage_rows(choice).into_iter().map(row).collect()
}
