//! The fewest panels with which a rig covers a target.

use fieldstop::kit::Kit;
use fieldstop::mosaic::MosaicError;
use fieldstop::panel_search::{PanelPlan, fewest_panels, fewest_panels_over};
use fieldstop::region::Region;
use fieldstop::rig::ResolvedRig;

use super::{Cell, Column, PLACE, column, place_cells};
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
    let plan = plan(kit, rig, name, target)?;
    let row = |(index, frame): (usize, &fieldstop::Frame)| {
        let mut row = vec![name.into(), rig.rig.name.as_str().into(), super::count(index + 1)];
        row.extend(place_cells(frame.centre.ra().deg(), frame.centre.dec().deg()));
        row.push(frame.rotation.wrapped().deg().into());
        row
    };
    Ok(plan.panels.iter().enumerate().map(row).collect())
}

/// Over the shape that the person drew, or else over the catalogue's.
fn plan(
    kit: &Kit,
    rig: &ResolvedRig<'_>,
    name: &str,
    target: &Target,
) -> Result<PanelPlan, MosaicError> {
    let (field, overlap) = (rig.field(), kit.limits.overlap);
    let drawn = kit
        .drawn_outline(name)
        .and_then(|drawn| Region::of_polygon(target.place, &drawn.corners()));
    match drawn {
        Some(region) => fewest_panels_over(target.place, &region, &field, overlap),
        None => fewest_panels(target.place, target.outline.as_ref(), &field, overlap),
    }
}
