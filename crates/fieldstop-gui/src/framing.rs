//! Where a rig's frame stands on a target: as the person aimed it, or as it fits best.

use fieldstop::coverage::{Coverage, image_circle_mm};
use fieldstop::kit::{Aim, Kit};
use fieldstop::{Angle, Direction, Field, Frame, ResolvedRig};

use crate::sky::catalogue::Target;

/// The frame of a rig on a target: its aim if it was touched, else the middle at the best rotation.
pub fn frame_on(kit: &Kit, rig: usize, target: &Target) -> Option<Frame> {
    let resolved = kit.resolve(rig)?;
    let aim = aim_on(kit, &resolved.rig.name, target);
    Some(aimed(target, aim, resolved.field()))
}

/// How the person aimed a rig at a target, under the name it goes by or the catalogue's.
pub fn aim_on<'kit>(kit: &'kit Kit, rig: &str, target: &Target) -> Option<&'kit Aim> {
    kit.aim(rig, &target.name).or_else(|| kit.aim(rig, target.catalogue_name()))
}

/// A field put on a target as an aim says, or on its middle at the best rotation.
pub fn aimed(target: &Target, aim: Option<&Aim>, field: Field) -> Frame {
    let rotation = aim.and_then(|aim| aim.rotation_deg).map(Angle::from_deg);
    let middle = placed(target, rotation, &field);
    let centre = aim.and_then(|aim| aim.centre_deg).map_or(middle.centre, |(ra_deg, dec_deg)| {
        Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
    });
    Frame { centre, ..middle }
}

/// A field put on the middle of a target at a rotation, or at the best one.
pub fn placed(target: &Target, rotation: Option<Angle>, field: &Field) -> Frame {
    match target.shape() {
        Some(shape) => {
            let rotation = rotation.unwrap_or_else(|| shape.best_rotation(field));
            shape.frame(target.place, field, rotation)
        }
        None => {
            Frame { centre: target.place, rotation: rotation.unwrap_or(Angle::ZERO), field: *field }
        }
    }
}

/// Radius of a rig's image circle in half widths of its sensor, where it leaves corners dark.
pub fn lit_radius(rig: &ResolvedRig<'_>) -> Option<f64> {
    let sensor = rig.sensor();
    let circle_mm = image_circle_mm(rig).ok()?;
    let coverage =
        Coverage { sensor_diagonal_mm: sensor.diagonal_mm(), image_circle_mm: circle_mm };
    (!coverage.is_whole()).then_some(circle_mm / sensor.width_mm)
}
