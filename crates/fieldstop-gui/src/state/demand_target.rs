//! What the demand figures need to know of a target, and where it stands when it is highest.

use fieldstop::Angle;
use fieldstop::air::airmass;
use fieldstop::demands::DemandTarget;
use fieldstop::kit::Site;
use fieldstop::place::highest_ever;
use fieldstop::why::{Known, Why};

use crate::sky::catalogue::Target;
use crate::sky::kind::Kind;

/// Share of a glowing nebula's light in a whole passband that its brightest line holds.
/// Common practice: hydrogen alpha is a quarter to a third of what a camera sees of such a nebula.
const LINE_SHARE: f64 = 0.3;

/// A target as the demand figures see it.
pub fn demand_target(target: &Target) -> DemandTarget {
    DemandTarget {
        declination: Angle::from_deg(target.dec_deg),
        major: target.shape().map(|shape| shape.major()),
        surface_brightness_mag_arcsec2: target.surface_brightness_mag_arcsec2,
        line_share: line_share(target.kind),
    }
}

/// The share of the brightest line where the light comes from glowing gas, none where it comes from
/// stars or lit dust; unknown where the catalogue says no more than that it is a nebula.
fn line_share(kind: Kind) -> Known<Option<f64>> {
    match kind {
        Kind::HiiRegion
        | Kind::EmissionNebula
        | Kind::PlanetaryNebula
        | Kind::SupernovaRemnant
        | Kind::ClusterWithNebula
        | Kind::NebulaPair => Ok(Some(LINE_SHARE)),
        Kind::Nebula | Kind::Other | Kind::Custom => Err(Why::NoLineShare),
        Kind::Galaxy
        | Kind::GalaxyPair
        | Kind::GalaxyTriplet
        | Kind::GalaxyGroup
        | Kind::OpenCluster
        | Kind::GlobularCluster
        | Kind::Association
        | Kind::ReflectionNebula
        | Kind::DarkNebula
        | Kind::Nova
        | Kind::DoubleStar => Ok(None),
    }
}

/// Where in the sky the figures are for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Standing {
    /// Overhead, no target being chosen.
    Zenith,
    /// On the meridian, as high as the target ever gets.
    Highest {
        /// Above the horizon.
        altitude: Angle,
        /// From north through east: north or south.
        azimuth: Angle,
        /// The air in the way, 1 overhead.
        airmass: f64,
    },
    /// The target never rises at this site.
    NeverRises,
}

impl Standing {
    /// Of a declination at a site.
    pub fn of(declination: Angle, site: &Site) -> Self {
        let latitude = Angle::from_deg(site.latitude_deg);
        let altitude = highest_ever(latitude, declination);
        if altitude <= Angle::ZERO {
            return Self::NeverRises;
        }
        let azimuth = if declination > latitude { Angle::ZERO } else { Angle::from_deg(180.0) };
        match airmass(altitude) {
            // The formula falls short of 1 by 0.0003 overhead.
            Some(air) => Self::Highest { altitude, azimuth, airmass: air.max(1.0) },
            None => Self::NeverRises,
        }
    }

    /// The air in the way; that of the zenith for a target that never rises.
    pub fn airmass(self) -> f64 {
        match self {
            Self::Highest { airmass, .. } => airmass,
            Self::Zenith | Self::NeverRises => 1.0,
        }
    }

    /// Altitude and azimuth, where there is a place.
    pub fn altitude_azimuth(self) -> Option<(Angle, Angle)> {
        match self {
            Self::Highest { altitude, azimuth, .. } => Some((altitude, azimuth)),
            Self::Zenith | Self::NeverRises => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::starting_points::new_kit;

    #[test]
    fn a_target_is_highest_on_the_meridian() {
        let mut site = new_kit("Test").site;
        site.latitude_deg = 52.0;
        // Spherical geometry: the equator stands 38 degrees high in the south, sec z is 1.62.
        let Standing::Highest { altitude, azimuth, airmass } = Standing::of(Angle::ZERO, &site)
        else {
            unreachable!("the equator rises everywhere but at the poles");
        };
        assert!((altitude.deg() - 38.0).abs() < 1e-9);
        assert!((azimuth.deg() - 180.0).abs() < 1e-9);
        assert!((airmass - 1.0 / altitude.sin()).abs() < 0.01);
        assert_eq!(Standing::of(Angle::from_deg(-60.0), &site), Standing::NeverRises);
    }
}
