//! Where a rig's frame stands on a target: as the person aimed it, or as it fits best.

use fieldstop::fit::best_rotation;
use fieldstop::kit::Kit;
use fieldstop::{Angle, Direction, Frame};

use crate::sky::catalogue::Target;

/// The frame of a rig on a target: its aim if it was touched, else the middle at the best rotation.
pub fn frame_on(kit: &Kit, rig: usize, target: &Target) -> Option<Frame> {
    let resolved = kit.resolve(rig)?;
    let field = resolved.field();
    let aim = kit.aim(&resolved.rig.name, &target.name);
    let centre = aim.and_then(|aim| aim.centre_deg).map_or(target.place, |(ra_deg, dec_deg)| {
        Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
    });
    let rotation = aim.and_then(|aim| aim.rotation_deg).map_or_else(
        || target.outline.as_ref().map_or(Angle::ZERO, |outline| best_rotation(outline, &field)),
        Angle::from_deg,
    );
    Some(Frame { centre, rotation, field })
}
