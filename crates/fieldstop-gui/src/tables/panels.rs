//! The fewest panels with which a rig covers a target.

use fieldstop::kit::Kit;
use fieldstop::mosaic::MosaicError;
use fieldstop::rig::ResolvedRig;
use fieldstop::{Angle, Frame};

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
        row.push(without_noise_deg(frame.rotation).into());
        row
    };
    panels.iter().enumerate().map(row).collect()
}

/// Degrees, 0 to below 360, without what arithmetic leaves of an upright panel: 6e-15 is nothing to
/// turn a camera by.
fn without_noise_deg(angle: Angle) -> f64 {
    const NOISE_DEG: f64 = 1e-9;
    let deg = angle.wrapped().deg();
    if deg.min(360.0 - deg) < NOISE_DEG { 0.0 } else { deg }
}

/// The same table as CSV, of panels that have been found already.
///
/// # Errors
/// When the writer refuses, which one into memory does not.
pub fn csv_of(target: &str, rig: &str, panels: &[Frame]) -> Result<String, ::csv::Error> {
    csv::text(&columns(), &rows_of(target, rig, panels))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rotation_is_told_without_the_noise_of_arithmetic() {
        let told = |deg: f64| without_noise_deg(Angle::from_deg(deg));
        assert_eq!([told(6e-15), told(-6e-15), told(360.0), told(-359.9999999999999)], [0.0; 4]);
        assert_eq!(told(-90.0), 270.0);
        assert_eq!(told(33.1234567890123), Angle::from_deg(33.1234567890123).deg(), "unrounded");
    }
}
