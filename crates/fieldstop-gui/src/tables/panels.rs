//! The fewest panels with which a rig covers a target.

use fieldstop::kit::Kit;
use fieldstop::mosaic::MosaicError;
use fieldstop::rig::ResolvedRig;

use super::{Cell, Column, PLACE, column, place_cells};
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
    let row = |(index, frame): (usize, &fieldstop::Frame)| {
        let mut row = vec![name.into(), rig.rig.name.as_str().into(), super::count(index + 1)];
        row.extend(place_cells(frame.centre.ra().deg(), frame.centre.dec().deg()));
        row.push(frame.rotation.wrapped().deg().into());
        row
    };
    Ok(plan.panels.iter().enumerate().map(row).collect())
}
