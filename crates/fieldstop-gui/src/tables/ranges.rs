//! The focal lengths that suit every target, with the camera and aperture of one rig.

use fieldstop::choice::Choice;

use super::choose::RangeRow;
use super::{Cell, Column, column};

pub(super) fn columns() -> Vec<Column> {
    vec![
        column("target", "", "name of the target"),
        column("rig", "", "whose camera, aperture and guiding the lengths are for"),
        column(
            "shortest_mm",
            "mm",
            "focal length that begins to show the wanted detail; empty for none",
        ),
        column(
            "longest_mm",
            "mm",
            "focal length that still holds it whole; empty for an unknown size",
        ),
        column("usable_hours_in_year", "h", "in the dark with the target above the site's limit"),
        column("stars", "", "how much it is wanted, 1 to 5"),
    ]
}

pub(super) fn rows(choice: &Choice, rig: Option<&str>) -> Vec<Vec<Cell>> {
    let row = |range: &fieldstop::choice::TargetRange| {
        let row = RangeRow::of(range);
        vec![
            row.target.into(),
            rig.into(),
            row.shortest_mm.into(),
            row.longest_mm.into(),
            row.hours_in_year.into(),
            range.stars.into(),
        ]
    };
    choice.ranges.iter().map(row).collect()
}
