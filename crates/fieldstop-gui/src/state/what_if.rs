//! What is tried out over the demand figures: another seeing, guiding, sky or Moon than the kit's.

use fieldstop::Angle;
use fieldstop::demands::Conditions;
use fieldstop::kit::Site;
use fieldstop::moonlight::{DarkSky, MoonLamp};

use super::demand_target::Standing;

/// Dark hours of a usual night. Common practice.
const USUAL_DARK_HOURS: f64 = 6.0;

/// The Moon that the figures are for.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
pub enum MoonChoice {
    /// Below the horizon, or new.
    #[default]
    None,
    /// Half lit.
    Half,
    /// Wholly lit.
    Full,
}

impl MoonChoice {
    /// Every choice.
    pub const ALL: [Self; 3] = [Self::None, Self::Half, Self::Full];

    /// What the list says.
    pub const fn label(self) -> &'static str {
        match self {
            Self::None => "no Moon",
            Self::Half => "half Moon",
            Self::Full => "full Moon",
        }
    }

    /// The Moon half-way up the sky and a third of the way round it: a usual case.
    fn lamp(self) -> Option<MoonLamp> {
        let phase_angle = match self {
            Self::None => return None,
            Self::Half => Angle::from_deg(90.0),
            Self::Full => Angle::ZERO,
        };
        Some(MoonLamp {
            altitude: Angle::from_deg(45.0),
            phase_angle,
            separation: Angle::from_deg(60.0),
        })
    }

    /// Magnitudes by which it brightens a site's sky at an altitude.
    ///
    /// # Source
    /// Krisciunas & Schaefer 1991, PASP 103, 1033.
    fn brightening_mag(self, site: &Site, altitude: Angle) -> f64 {
        let sky = DarkSky::of(site);
        let dark = sky.brightness_mag_arcsec2(altitude, None);
        dark - sky.brightness_mag_arcsec2(altitude, self.lamp())
    }
}

/// What is tried out; the kit's own value where there is none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WhatIf {
    /// Long exposure, at the zenith.
    pub seeing_fwhm_arcsec: Option<f64>,
    /// Of every guided mount, total of both axes.
    pub guided_rms_arcsec: Option<f64>,
    /// Without the Moon.
    pub sky_brightness_mag_arcsec2: Option<f64>,
    /// What lights the sky beside it.
    pub moon: MoonChoice,
    /// Of one night.
    pub dark_hours: f64,
}

impl Default for WhatIf {
    fn default() -> Self {
        Self {
            seeing_fwhm_arcsec: None,
            guided_rms_arcsec: None,
            sky_brightness_mag_arcsec2: None,
            moon: MoonChoice::None,
            dark_hours: USUAL_DARK_HOURS,
        }
    }
}

impl WhatIf {
    /// Whether anything differs from what the kit and a usual night say.
    pub fn is_changed(&self) -> bool {
        *self != Self::default()
    }

    /// The conditions that the figures are computed for.
    pub fn conditions(&self, site: &Site, standing: Standing) -> Conditions {
        let sky = self.sky_brightness_mag_arcsec2.unwrap_or(site.sky_brightness_mag_arcsec2);
        let tried = Site { sky_brightness_mag_arcsec2: sky, ..site.clone() };
        let altitude = standing.altitude_azimuth().map_or(Angle::RIGHT, |(altitude, _)| altitude);
        Conditions {
            airmass: standing.airmass(),
            seeing_fwhm_arcsec: self.seeing_fwhm_arcsec.unwrap_or(site.seeing_fwhm_arcsec),
            sky_brightness_mag_arcsec2: sky - self.moon.brightening_mag(&tried, altitude),
            guided_rms_arcsec: self.guided_rms_arcsec,
            altitude_azimuth: standing.altitude_azimuth(),
            dark_hours: Some(self.dark_hours),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::starting_points::new_kit;

    #[test]
    fn a_full_moon_brightens_the_sky_more_than_a_half_one() {
        let site = new_kit("Test").site;
        let sky = |moon| {
            let what_if = WhatIf { moon, ..WhatIf::default() };
            what_if.conditions(&site, Standing::Zenith).sky_brightness_mag_arcsec2
        };
        assert!((sky(MoonChoice::None) - site.sky_brightness_mag_arcsec2).abs() < 1e-12);
        // From memory, Krisciunas & Schaefer 1991: a full Moon costs a dark sky about 3 magnitudes.
        let full = sky(MoonChoice::None) - sky(MoonChoice::Full);
        assert!((1.5..4.0).contains(&full), "{full}");
        assert!(sky(MoonChoice::Full) < sky(MoonChoice::Half));
        assert!(sky(MoonChoice::Half) < sky(MoonChoice::None));
    }
}
