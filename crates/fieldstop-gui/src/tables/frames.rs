//! Where every rig's frame lies on a target, at its best rotation.

use fieldstop::kit::Kit;

use super::rigs::resolved;
use super::{Cell, Column, PLACE, column, place_cells};
use crate::framing::aimed;
use crate::sky::catalogue::Target;

pub(super) fn columns() -> Vec<Column> {
    let mut columns = vec![
        column("rig", "", "name of the rig"),
        column("target", "", "name of the target that it is centred on"),
        column("point", "", "top left, top right, bottom right, bottom left or centre"),
    ];
    columns.extend(PLACE);
    columns.push(column(
        "rotation_deg",
        "deg",
        "position angle of the frame's up direction, north through east",
    ));
    columns
}

pub(super) fn rows(kit: &Kit, name: &str, target: &Target) -> Vec<Vec<Cell>> {
    let points = ["top left", "top right", "bottom right", "bottom left"];
    let mut rows = Vec::new();
    for rig in resolved(kit) {
        let field = rig.field();
        let frame = aimed(target, None, field);
        let rotation_deg = frame.rotation.deg();
        let corners = frame.corners().map(|corner| (corner.ra().deg(), corner.dec().deg()));
        // The centre as the catalogue or the kit has it, not by way of a unit vector, unless a drawn
        // shape has its middle elsewhere.
        let centre = if target.drawn.is_some() {
            (frame.centre.ra().deg(), frame.centre.dec().deg())
        } else {
            (target.ra_deg, target.dec_deg)
        };
        let centre = ("centre", centre);
        for (point, (ra_deg, dec_deg)) in points.into_iter().zip(corners).chain([centre]) {
            let mut row = vec![rig.rig.name.as_str().into(), name.into(), point.into()];
            row.extend(place_cells(ra_deg, dec_deg));
            row.push(rotation_deg.into());
            rows.push(row);
        }
    }
    rows
}
