//! The hour angles in which a star clears the horizon.
//!
//! A star keeps its declination all night, so its way over the sky is a small circle, the same
//! every day; only when it sets out on it depends on its right ascension and the date. Over a flat
//! horizon the part above the limit is one arc, known in closed form; over a skyline it may be
//! several.

use std::f64::consts::{PI, TAU};

use crate::crossing::above_zero;
use crate::{Angle, Horizon};

/// The intervals of hour angle, radians, in which a star of a declination stands above its limit.
///
/// Within half a turn either side of the meridian; a star that is always up has the whole turn.
pub(crate) fn hour_angles_up(horizon: &Horizon, latitude: Angle, dec: Angle) -> Vec<(f64, f64)> {
    let (sin_latitude, cos_latitude) = latitude.sin_cos();
    let (sin_dec, cos_dec) = dec.sin_cos();
    if horizon.is_flat() {
        let above = horizon.lowest().sin() - sin_latitude * sin_dec;
        return match half_arc(above, cos_latitude * cos_dec) {
            HalfArc::Never => Vec::new(),
            HalfArc::Always => vec![(-PI, PI)],
            HalfArc::Half(half) => vec![(-half, half)],
        };
    }
    // 0.1 s of time.
    const TOLERANCE_RAD: f64 = 7e-6;
    let knots = skyline_knots(horizon, latitude, dec);
    // A star more than a step above the highest or below the lowest limit cannot reach it before
    // the next knot: no need to know its azimuth.
    let (lowest, highest) = (horizon.lowest(), horizon.highest());
    let surely_down = (lowest - KNOT_STEP).max(-Angle::RIGHT).sin();
    let surely_up = (highest + KNOT_STEP).min(Angle::RIGHT).sin();
    above_zero(&knots, TOLERANCE_RAD, |hour_angle| {
        let (sin_hour, cos_hour) = hour_angle.sin_cos();
        let to_meridian = cos_dec * cos_hour;
        let up = sin_latitude * sin_dec + cos_latitude * to_meridian;
        if up < surely_down || up > surely_up {
            return up - surely_down;
        }
        let east = -cos_dec * sin_hour;
        let north = cos_latitude * sin_dec - sin_latitude * to_meridian;
        up.atan2(east.hypot(north)) - horizon.limit(Angle::from_rad(east.atan2(north))).rad()
    })
}

/// How far apart in hour angle a star's path over a skyline is looked at, at the least.
const KNOT_STEP: Angle = Angle::from_deg(4.0);

/// Hour angles between which a star's height over the skyline turns at most once: every few
/// degrees, and wherever the star passes a corner of the skyline.
fn skyline_knots(horizon: &Horizon, latitude: Angle, dec: Angle) -> Vec<f64> {
    let (sin_latitude, cos_latitude) = latitude.sin_cos();
    let (sin_dec, cos_dec) = dec.sin_cos();
    let steps = (TAU / KNOT_STEP.rad()).ceil();
    // OK because the steps are few.
    let mut knots: Vec<f64> =
        (0..=steps as u32).map(|k| PI * (2.0 * f64::from(k) / steps - 1.0)).collect();
    for azimuth in horizon.corner_azimuths() {
        // The star is in the vertical plane of the azimuth where p cos H + q sin H = r; the plane
        // runs on to the opposite azimuth, and a knot too many does no harm.
        let (sin_azimuth, cos_azimuth) = azimuth.sin_cos();
        let (p, q) = (-sin_azimuth * cos_dec * sin_latitude, cos_azimuth * cos_dec);
        let r = -sin_azimuth * sin_dec * cos_latitude;
        let (towards, apart) = (q.atan2(p), (r / p.hypot(q)).acos());
        for hour_angle in [towards - apart, towards + apart] {
            // Never reached: the arc cosine is not a number, and neither is the knot.
            if hour_angle.is_finite() {
                knots.push(Angle::from_rad(hour_angle).wrapped_signed().rad());
            }
        }
    }
    knots.sort_unstable_by(f64::total_cmp);
    knots
}

/// How far either side of the meridian a star is up over a flat horizon.
pub(crate) enum HalfArc {
    Never,
    Always,
    /// Radians, 0 to half a turn.
    Half(f64),
}

/// From `sin h - sin lat sin dec` and `cos lat cos dec`, or the same multiple of both; at a pole
/// the second is zero, and the first decides.
pub(crate) fn half_arc(above: f64, swing: f64) -> HalfArc {
    if above >= swing {
        HalfArc::Never
    } else if above <= -swing {
        HalfArc::Always
    } else {
        HalfArc::Half((above / swing).acos())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn total(spans: &[(f64, f64)]) -> f64 {
        spans.iter().map(|(start, end)| end - start).sum()
    }

    #[test]
    fn a_star_on_the_equator_is_up_for_half_a_turn_from_everywhere() {
        for latitude in [-80.0, -10.0, 0.0, 45.0, 89.0] {
            let horizon = Horizon::flat(Angle::ZERO);
            let up = hour_angles_up(&horizon, Angle::from_deg(latitude), Angle::ZERO);
            assert!((total(&up) - PI).abs() < 1e-12, "{latitude}");
        }
    }

    #[test]
    fn a_skyline_of_one_height_is_a_flat_horizon() {
        let skyline = Horizon::new(0.0, &[(0.0, 30.0), (120.0, 30.0), (240.0, 30.0)]);
        let flat = Horizon::flat(Angle::from_deg(30.0));
        for (latitude, dec) in [(50.0, 20.0), (50.0, 80.0), (50.0, -60.0), (90.0, 40.0), (0.0, 0.0)]
        {
            let (latitude, dec) = (Angle::from_deg(latitude), Angle::from_deg(dec));
            let by_skyline = total(&hour_angles_up(&skyline, latitude, dec));
            assert!((by_skyline - total(&hour_angles_up(&flat, latitude, dec))).abs() < 2e-5);
        }
    }

    #[test]
    fn a_chimney_hides_a_star_for_as_long_as_it_takes_to_pass_behind() {
        // At the pole a star goes round at one altitude, a degree of azimuth a degree of hour angle.
        // Half-way up, the chimney is half as wide as at its foot: a quarter of a degree.
        let chimney = [(99.0, 0.0), (99.25, 60.0), (99.5, 0.0)];
        let horizon = Horizon::new(0.0, &chimney);
        let up = hour_angles_up(&horizon, Angle::from_deg(90.0), Angle::from_deg(30.0));
        assert!((TAU - total(&up) - Angle::from_deg(0.25).rad()).abs() < 3e-5);
    }
}
