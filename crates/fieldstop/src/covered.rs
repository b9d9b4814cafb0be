//! Share of a target that panels cover, by counting points of it: a check on the
//! [proof](crate::cover_proof) that shares nothing with it.

use crate::region::Region;
use crate::{Direction, Frame, Icrs, TangentPlane, TangentPoint};

/// Points along each side of the rectangle about a region.
const SIDE: u32 = 226;

/// Share of a region's area that lies in at least one panel, 0 to 1.
///
/// A square grid of 226 by 226 points is laid over the rectangle about the region, about 40,000 of
/// them over an ellipse, and each that lies in the region is looked up in the panels' own pictures.
///
/// # Example
/// ```
/// # use fieldstop::{Angle, Direction, Field, Frame, Outline, covered::covered, region::Region};
/// let centre = Direction::from_ra_dec(Angle::ZERO, Angle::ZERO);
/// let field = Field { half_width: 0.01, half_height: 0.01 };
/// let frame = Frame { centre, rotation: Angle::ZERO, field };
/// let major = Angle::from_rad(2.0 * 0.01f64.atan());
/// let circle = Outline { major, minor: None, position_angle: None };
/// let region = Region::of_outline(&circle).unwrap();
/// assert_eq!(covered(&region, centre, &[frame]), 1.0);
/// ```
pub fn covered(region: &Region, middle: Direction<Icrs>, panels: &[Frame]) -> f64 {
    let plane = TangentPlane::new(middle);
    let (mut points, mut inside) = (0_u32, 0_u32);
    let mut nearby = 0;
    for point in samples(region) {
        points += 1;
        let place = plane.direction(point);
        if let Some(panel) = panel_with(place, panels, nearby) {
            nearby = panel;
            inside += 1;
        }
    }
    if points == 0 { 0.0 } else { f64::from(inside) / f64::from(points) }
}

/// A panel that holds a place, looked for from one that is probably not far in the list.
fn panel_with(place: Direction<Icrs>, panels: &[Frame], nearby: usize) -> Option<usize> {
    (0..panels.len())
        .flat_map(|far| [nearby.checked_add(far), nearby.checked_sub(far)])
        .flatten()
        .find(|&panel| panels.get(panel).is_some_and(|panel| panel.contains(place)))
}

/// Points of a region, line by line, there and back.
fn samples(region: &Region) -> impl Iterator<Item = TangentPoint> + '_ {
    let (along, across) = match region {
        Region::Ellipse { semi_axes: (a, b), .. } => ((-a, *a), (-b, *b)),
        Region::Polygon(corners) => (
            span(corners.iter().map(|corner| corner.xi)),
            span(corners.iter().map(|corner| corner.eta)),
        ),
    };
    let step = |(from, to): (f64, f64), k: u32| {
        from + (to - from) * (f64::from(k) + 0.5) / f64::from(SIDE)
    };
    (0..SIDE)
        .flat_map(|line| {
            (0..SIDE).map(move |k| (line, if line % 2 == 0 { k } else { SIDE - 1 - k }))
        })
        .map(move |(line, k)| {
            let (along, across) = (step(along, k), step(across, line));
            match region {
                Region::Ellipse { position_angle, .. } => {
                    let (sin_pa, cos_pa) = position_angle.sin_cos();
                    TangentPoint {
                        xi: along * sin_pa + across * cos_pa,
                        eta: along * cos_pa - across * sin_pa,
                    }
                }
                Region::Polygon(_) => TangentPoint { xi: along, eta: across },
            }
        })
        .filter(|&point| region.contains(point))
}

fn span(numbers: impl Iterator<Item = f64>) -> (f64, f64) {
    numbers.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), x| (least.min(x), most.max(x)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Angle, Field};

    #[test]
    fn the_share_is_that_of_the_areas() {
        let middle = Direction::from_ra_dec(Angle::from_deg(50.0), Angle::from_deg(75.0));
        let field = Field { half_width: 0.001, half_height: 0.001 };
        let frame = Frame { centre: middle, rotation: Angle::from_deg(33.0), field };
        let circle = Region::Ellipse { semi_axes: (0.002, 0.002), position_angle: Angle::ZERO };
        // A square of side 2 in a circle of radius 2.
        let wanted = 4.0 / (4.0 * std::f64::consts::PI);
        assert!((covered(&circle, middle, &[frame]) - wanted).abs() < 2e-3);
        assert_eq!(covered(&circle, middle, &[]), 0.0);
    }

    #[test]
    fn no_panel_is_overlooked_wherever_the_search_starts() {
        let middle = Direction::from_ra_dec(Angle::ZERO, Angle::ZERO);
        let field = Field { half_width: 0.001, half_height: 0.001 };
        let panels = crate::mosaic::grid(middle, Angle::ZERO, &field, 5, 4, 0.0);
        for (wanted, panel) in panels.iter().enumerate() {
            for nearby in 0..panels.len() {
                assert_eq!(panel_with(panel.centre, &panels, nearby), Some(wanted));
            }
        }
    }
}
