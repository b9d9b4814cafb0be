//! What the mount has to carry, and what the person has to.

use crate::ResolvedRig;
use crate::why::{Known, Part, Why};

/// Masses of a rig.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// All that rides on the mount.
    pub on_mount_kg: f64,
    /// That, over the mount's rated payload.
    pub payload_used: f64,
    /// All that has to be carried to the site, mount and tripod included.
    pub carry_kg: f64,
    /// The heaviest piece.
    pub heaviest: Part,
    /// Its mass.
    pub heaviest_kg: f64,
}

/// Adds up a rig's masses.
///
/// # Source
/// Arithmetic. What share of a rated payload imaging can use, usually half, is common practice.
pub fn load(rig: &ResolvedRig<'_>) -> Load {
    let pieces = [
        (Part::Ota, rig.ota.mass_kg),
        (Part::Corrector, rig.corrector.map_or(0.0, |corrector| corrector.mass_kg)),
        (Part::Camera, rig.camera.mass_kg),
        (Part::Extras, rig.rig.extra_mass_kg),
        (Part::Mount, rig.mount.mass_kg),
    ];
    let carry_kg = pieces.iter().map(|(_, mass)| mass).sum();
    let on_mount_kg =
        pieces.iter().filter(|(part, _)| *part != Part::Mount).map(|(_, mass)| mass).sum();
    let (heaviest, heaviest_kg) = pieces
        .into_iter()
        .max_by(|(_, a), (_, b)| a.total_cmp(b))
        .unwrap_or((Part::Mount, rig.mount.mass_kg));
    Load {
        on_mount_kg,
        payload_used: on_mount_kg / rig.mount.payload_kg,
        carry_kg,
        heaviest,
        heaviest_kg,
    }
}

/// Moment of inertia of the tube about its middle, kg m^2: how hard a gust or a correction finds
/// it to stop.
///
/// Twice the length at the same mass is four times as much, though the scales say the same.
///
/// # Errors
/// [`Why::NoLength`] if the tube's length is not stated.
///
/// # Source
/// Mechanics, an even rod: `m L^2 / 12`.
///
/// # Example
/// ```
/// # use fieldstop::load::rod_moment_kg_m2;
/// assert_eq!(rod_moment_kg_m2(12.0, 500.0), 0.25);
/// ```
pub fn tube_moment_kg_m2(rig: &ResolvedRig<'_>) -> Known<f64> {
    let length_mm = rig.ota.length_mm.ok_or(Why::NoLength)?;
    Ok(rod_moment_kg_m2(rig.ota.mass_kg, length_mm))
}

/// Moment of inertia of an even rod about its middle, kg m^2.
pub fn rod_moment_kg_m2(mass_kg: f64, length_mm: f64) -> f64 {
    mass_kg * (length_mm / 1000.0).powi(2) / 12.0
}
