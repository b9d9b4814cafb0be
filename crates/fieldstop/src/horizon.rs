//! What hides the sky: the lowest altitude worth photographing at, and the skyline.

use std::f64::consts::TAU;

use crate::Angle;
use crate::kit::Site;
use crate::place::Horizontal;

/// The altitude above which a target can be photographed, by azimuth.
///
/// The skyline is linear in azimuth between its points and closed round through north; the higher
/// of skyline and lowest altitude counts.
///
/// # Example
/// A house to the east, between azimuths 80 and 100 degrees.
/// ```
/// # use fieldstop::{Angle, Horizon};
/// let skyline = [(79.0, 0.0), (80.0, 40.0), (100.0, 40.0), (101.0, 0.0)];
/// let horizon = Horizon::new(20.0, &skyline);
/// let limit = |azimuth_deg| horizon.limit(Angle::from_deg(azimuth_deg)).deg();
/// assert_eq!(limit(270.0).round(), 20.0);
/// assert_eq!(limit(90.0).round(), 40.0);
/// assert_eq!(limit(79.75).round(), 30.0);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Horizon {
    lowest: Angle,
    /// (azimuth, altitude) in radians, azimuths rising from 0 to one turn, nowhere below `lowest`.
    /// Empty where the limit is the same all round.
    corners: Vec<(f64, f64)>,
}

impl Horizon {
    /// The same lowest altitude all round.
    pub const fn flat(lowest: Angle) -> Self {
        Self { lowest, corners: Vec::new() }
    }

    /// The horizon of a site.
    pub fn of(site: &Site) -> Self {
        Self::new(site.lowest_altitude_deg, &site.horizon)
    }

    /// From the lowest altitude and the skyline's points (azimuth, altitude).
    ///
    /// # Units
    /// - `lowest_altitude_deg`: degrees
    /// - `skyline_deg`: degrees; azimuth 0 to 360 from north through east, rising, as
    ///   [`Kit::check`](crate::kit::Kit::check) demands; others are put in order
    pub fn new(lowest_altitude_deg: f64, skyline_deg: &[(f64, f64)]) -> Self {
        let lowest = Angle::from_deg(lowest_altitude_deg);
        let mut points: Vec<(f64, f64)> = skyline_deg
            .iter()
            .map(|&(azimuth, altitude)| (azimuth.to_radians(), altitude.to_radians()))
            .collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let hides_something = points.iter().any(|&(_, altitude)| altitude > lowest.rad());
        if !hides_something {
            return Self::flat(lowest);
        }
        let mut corners = Vec::with_capacity(2 * points.len());
        for (index, &here) in points.iter().enumerate() {
            corners.push((here.0, here.1.max(lowest.rad())));
            let next = points
                .get(index + 1)
                .copied()
                .or_else(|| points.first().map(|&(azimuth, altitude)| (azimuth + TAU, altitude)));
            corners.extend(next.and_then(|next| crossing(here, next, lowest.rad())));
        }
        corners.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self { lowest, corners }
    }

    /// The lowest altitude of all, whatever the skyline.
    pub const fn lowest(&self) -> Angle {
        self.lowest
    }

    /// The highest limit at any azimuth.
    pub fn highest(&self) -> Angle {
        let skyline = self.corners.iter().map(|corner| corner.1);
        Angle::from_rad(skyline.fold(self.lowest.rad(), f64::max))
    }

    /// Whether the limit is the same all round.
    pub fn is_flat(&self) -> bool {
        self.corners.is_empty()
    }

    /// The altitude that a target must exceed at an azimuth.
    pub fn limit(&self, azimuth: Angle) -> Angle {
        let azimuth = azimuth.wrapped().rad();
        let (Some(first), Some(last)) = (self.corners.first(), self.corners.last()) else {
            return self.lowest;
        };
        let after = self.corners.partition_point(|corner| corner.0 <= azimuth);
        let left = match after.checked_sub(1).and_then(|before| self.corners.get(before)) {
            Some(&left) => left,
            None => (last.0 - TAU, last.1),
        };
        let right = match self.corners.get(after) {
            Some(&right) => right,
            None => (first.0 + TAU, first.1),
        };
        let width = right.0 - left.0;
        // A step in the skyline has no width; there the higher side counts.
        if width <= 0.0 {
            return Angle::from_rad(left.1.max(right.1));
        }
        Angle::from_rad(left.1 + (right.1 - left.1) * (azimuth - left.0) / width)
    }

    /// Whether a place stands clear of it.
    pub fn clears(&self, place: Horizontal) -> bool {
        place.altitude > self.limit(place.azimuth)
    }

    /// The azimuths in radians at which the limit bends.
    pub(crate) fn corner_azimuths(&self) -> impl Iterator<Item = f64> + '_ {
        self.corners.iter().map(|corner| corner.0)
    }
}

/// Where the line between two points crosses a level strictly inside, azimuth in one turn.
fn crossing(here: (f64, f64), next: (f64, f64), level: f64) -> Option<(f64, f64)> {
    let (before, after) = (here.1 - level, next.1 - level);
    (before * after < 0.0).then(|| {
        let share = before / (before - after);
        ((here.0 + (next.0 - here.0) * share).rem_euclid(TAU), level)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn limit(horizon: &Horizon, azimuth_deg: f64) -> f64 {
        horizon.limit(Angle::from_deg(azimuth_deg)).deg()
    }

    #[test]
    fn the_skyline_closes_through_north() {
        let horizon = Horizon::new(0.0, &[(10.0, 10.0), (350.0, 30.0)]);
        for (azimuth, altitude) in [(0.0, 20.0), (355.0, 25.0), (5.0, 15.0), (180.0, 20.0)] {
            assert!((limit(&horizon, azimuth) - altitude).abs() < 1e-9, "{azimuth}");
        }
    }

    #[test]
    fn the_higher_of_skyline_and_lowest_altitude_counts() {
        let skyline = [(0.0, -5.0), (90.0, 60.0), (200.0, 10.0)];
        let (bare, raised) = (Horizon::new(-90.0, &skyline), Horizon::new(25.0, &skyline));
        for step in 0..3600 {
            let azimuth = 0.1 * f64::from(step);
            let wanted = limit(&bare, azimuth).max(25.0);
            assert!((limit(&raised, azimuth) - wanted).abs() < 1e-9, "{azimuth}");
        }
        assert!(Horizon::new(60.0, &skyline).is_flat());
    }

    #[test]
    fn one_point_is_the_same_all_round_and_a_step_takes_the_higher_side() {
        let one = Horizon::new(0.0, &[(123.0, 12.0)]);
        assert!(
            (limit(&one, 0.0) - 12.0).abs() < 1e-12 && (limit(&one, 123.0) - 12.0).abs() < 1e-12
        );
        let step = Horizon::new(0.0, &[(0.0, 5.0), (360.0, 50.0)]);
        assert!((limit(&step, 180.0) - 27.5).abs() < 1e-9);
        assert!(limit(&step, 0.0) >= 5.0 && limit(&step, 359.999_999) > 49.9);
    }
}
