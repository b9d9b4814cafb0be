//! How far a figure moves when the sky is not quite as the kit says.

use super::{Conditions, DemandTarget, Demands, Figure, Value, demands};
use crate::ResolvedRig;
use crate::kit::{Limits, Site};

/// Seeing varies by this share from night to night. Common practice.
const SEEING_SHARE: f64 = 0.3;
/// Sky brightness varies by as many magnitudes. Common practice.
const SKY_MAG: f64 = 0.5;

/// The figures in better and worse seeing and under a darker and a brighter sky, one at a time.
#[derive(Clone, Debug, PartialEq)]
pub struct Sensitivity {
    /// Seeing 30 % sharper, seeing 30 % softer, sky 0.5 mag darker, sky 0.5 mag brighter.
    pub cases: [Demands; 4],
}

/// The figures of a rig as seeing varies by 30 % and sky brightness by 0.5 magnitude.
pub fn sensitivity(
    rig: &ResolvedRig<'_>,
    site: &Site,
    limits: &Limits,
    target: Option<&DemandTarget>,
    conditions: &Conditions,
) -> Sensitivity {
    let seeing = |factor: f64| Conditions {
        seeing_fwhm_arcsec: conditions.seeing_fwhm_arcsec * factor,
        ..*conditions
    };
    let sky = |magnitudes: f64| Conditions {
        sky_brightness_mag_arcsec2: conditions.sky_brightness_mag_arcsec2 + magnitudes,
        ..*conditions
    };
    let cases =
        [seeing(1.0 - SEEING_SHARE), seeing(1.0 + SEEING_SHARE), sky(SKY_MAG), sky(-SKY_MAG)];
    Sensitivity { cases: cases.map(|case| demands(rig, site, limits, target, &case)) }
}

impl Sensitivity {
    /// Least and greatest value of a figure among the cases; `None` where it is not a number or
    /// does not move.
    pub fn range(&self, figure: Figure) -> Option<(f64, f64)> {
        let mut range: Option<(f64, f64)> = None;
        for case in &self.cases {
            let Ok(Value::Number(number)) = case.value(figure) else { return None };
            let (least, most) = range.unwrap_or((number, number));
            range = Some((least.min(number), most.max(number)));
        }
        range.filter(|(least, most)| most > least)
    }
}
