//! What the command line's nights are about: a target that keeps its place, or a body that moves.

use fieldstop::kit::Kit;
use fieldstop::season::{TargetNight, target_night};
use fieldstop::sun_moon::SunCaution;
use fieldstop::{Angle, Body, Direction, Horizon, Icrs, Night};

use super::error::CliError;
use super::lookup;
use crate::nights::BodyNight;
use crate::sky::catalogue::Catalogue;

/// A target by its name.
pub(super) enum Sought {
    /// The place of a target of the wish list or the catalogue.
    Fixed(Direction<Icrs>),
    /// Sun, Moon or planet.
    Moving(Body),
}

impl Sought {
    /// The target of that name; bodies come after wish list and catalogue.
    pub(super) fn find(kit: &Kit, catalogue: &Catalogue, name: &str) -> Result<Self, CliError> {
        let body = || Body::ALL.into_iter().find(|body| body.name().eq_ignore_ascii_case(name));
        match lookup::target(kit, catalogue, name) {
            Ok(target) => Ok(Self::Fixed(target.place)),
            Err(unknown) => body().map(Self::Moving).ok_or(unknown),
        }
    }

    /// What a night offers for it.
    pub(super) fn in_night(&self, night: &Night, horizon: &Horizon) -> TargetNight {
        match self {
            Self::Fixed(place) => target_night(night, horizon, *place),
            Self::Moving(body) => BodyNight::of(*body, night, horizon).hours,
        }
    }

    /// The warning that goes with it, if it stands near the Sun in that night.
    pub(super) fn caution(&self, night: &Night, horizon: &Horizon) -> Option<SunCaution> {
        match self {
            Self::Fixed(place) => {
                let from_sun = night.from_sun(night.apparent(*place), night.middle());
                SunCaution::at(-Angle::RIGHT, from_sun)
            }
            Self::Moving(body) => BodyNight::of(*body, night, horizon).caution,
        }
    }
}
