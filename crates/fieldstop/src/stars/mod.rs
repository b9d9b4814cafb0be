//! Stars: what one is here, how many the sky holds, and where the unlisted ones are put.
//!
//! Down to [`LISTED_LIMIT`] a caller brings a list of real stars. Fainter ones are far too many to
//! carry (45 million to magnitude 16), so [`synthetic_stars`] makes them where they are looked at:
//! as many as [`stars_per_deg2`] says, each always in the same place. They are scenery, and whoever
//! shows them says so.

mod count_model;
mod random;
mod synthetic;

pub use count_model::stars_per_deg2;
pub use synthetic::{SYNTHETIC_LIMIT, synthetic_stars};

use crate::{Direction, Icrs};

/// V magnitude to which a list of real stars is expected to be complete; synthetic ones are fainter.
pub const LISTED_LIMIT: f64 = 9.5;

/// A star as a picture needs it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Star {
    /// Where it stands.
    pub place: Direction<Icrs>,
    /// Johnson V magnitude.
    pub v_mag: f32,
    /// Colour index B - V, magnitudes: -0.3 is blue, 0.65 the Sun, 1.6 red.
    pub b_v: f32,
}
