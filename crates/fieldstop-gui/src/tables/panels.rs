//! The fewest panels with which a rig covers a target.

use fieldstop::Frame;
use fieldstop::kit::Kit;
use fieldstop::mosaic::MosaicError;
use fieldstop::rig::ResolvedRig;

use super::{Cell, Column, PLACE, column, csv, place_cells};
use crate::panel_count;
use crate::sky::catalogue::Target;

pub(super) fn columns() -> Vec<Column> {
    let mut columns = vec![
        column("target", "", "name of the target"),
        column("rig", "", "name of the rig"),
        column("panel", "", "number of the panel"),
    ];
    columns.extend(PLACE);
    columns.push(column(
        "rotation_deg",
        "deg",
        "position angle of the panel's up direction, north through east",
    ));
    columns
}

pub(super) fn rows(
    kit: &Kit,
    rig: &ResolvedRig<'_>,
    name: &str,
    target: &Target,
) -> Result<Vec<Vec<Cell>>, MosaicError> {
    let plan = panel_count::fewest(target, &rig.field(), kit.limits.overlap)?;
    Ok(rows_of(name, &rig.rig.name, &plan.panels))
}

fn rows_of(target: &str, rig: &str, panels: &[Frame]) -> Vec<Vec<Cell>> {
    let row = |(index, frame): (usize, &Frame)| {
        let mut row = vec![target.into(), rig.into(), super::count(index + 1)];
        row.extend(place_cells(frame.centre.ra().deg(), frame.centre.dec().deg()));
        row.push(frame.rotation.wrapped().deg().into());
        row
    };
    panels.iter().enumerate().map(row).collect()
}

/// The same table as CSV, of panels that have been found already.
///
/// # Errors
/// When the writer refuses, which one into memory does not.
pub fn csv_of(target: &str, rig: &str, panels: &[Frame]) -> Result<String, ::csv::Error> {
    csv::text(&columns(), &rows_of(target, rig, panels))
}
