//! What the sky holds: deep-sky objects and how they are found, constellations, stars.

pub mod catalogue;
pub mod constellation;
pub mod designation;
pub mod kind;
pub mod pack_deep_sky;
pub mod pack_stars;
pub mod packed_deep_sky;
pub mod row;
pub mod search;
pub mod spelling;
pub mod star_list;
pub mod wish;

use fieldstop::{Angle, Direction, Icrs};

pub use catalogue::{Catalogue, SkyError, Target};
pub use star_list::StarList;

/// Everything the program knows of the sky.
pub struct Sky {
    /// Deep-sky objects.
    pub catalogue: Catalogue,
    /// Bright stars.
    pub stars: StarList,
}

impl Sky {
    /// The sky that the program carries within it.
    ///
    /// # Errors
    /// [`SkyError`] if it was built from damaged files.
    pub fn embedded() -> Result<Self, SkyError> {
        Ok(Self { catalogue: Catalogue::embedded()?, stars: StarList::embedded()? })
    }
}

/// The object that a place most likely means: of those within reach, the one whose outline is
/// smallest, so that what lies within something larger can be pointed at.
pub fn nearest(catalogue: &Catalogue, place: Direction<Icrs>, reach: Angle) -> Option<&Target> {
    let half = |target: &Target| target.outline.map_or(Angle::ZERO, |outline| outline.major / 2.0);
    catalogue
        .near(place, reach)
        .map(|target| (target, half(target).max(reach), place.separation(target.place)))
        .min_by(|(_, half, away), (_, other_half, other_away)| {
            half.rad().total_cmp(&other_half.rad()).then(away.rad().total_cmp(&other_away.rad()))
        })
        .map(|(target, ..)| target)
}
