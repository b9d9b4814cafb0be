//! Share of a target that panels cover, by counting points of it: a check on the
//! [proof](crate::cover_proof) that shares nothing with it.

use crate::region::Region;
use crate::{Direction, Frame, Icrs, TangentPlane, TangentPoint};

/// Points that are counted over an ellipse.
const POINTS: u32 = 40_000;

/// Share of a region's area that lies in at least one panel, 0 to 1.
///
/// 40,000 points of equal weight are spread evenly over the region and looked up in every panel's
/// own picture.
///
/// # Source
/// Vogel 1979, Mathematical Biosciences 44, 179: points of a disc at the golden angle, radius by the
/// root of their number.
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
    for point in samples(region) {
        points += 1;
        let place = plane.direction(point);
        inside += u32::from(panels.iter().any(|panel| panel.contains(place)));
    }
    if points == 0 { 0.0 } else { f64::from(inside) / f64::from(points) }
}

fn samples(region: &Region) -> Vec<TangentPoint> {
    match region {
        Region::Ellipse { semi_axes: (a, b), position_angle } => {
            let golden_rad = std::f64::consts::PI * (3.0 - 5f64.sqrt());
            let (sin_pa, cos_pa) = position_angle.sin_cos();
            let point = |k: u32| {
                let radius = ((f64::from(k) + 0.5) / f64::from(POINTS)).sqrt();
                let (sin, cos) = (golden_rad * f64::from(k)).sin_cos();
                let (along, across) = (a * radius * cos, b * radius * sin);
                TangentPoint {
                    xi: along * sin_pa + across * cos_pa,
                    eta: along * cos_pa - across * sin_pa,
                }
            };
            (0..POINTS).map(point).collect()
        }
        Region::Polygon(corners) => {
            let side = f64::from(POINTS).sqrt() as u32;
            let span = |of: fn(&TangentPoint) -> f64| {
                corners
                    .iter()
                    .map(of)
                    .fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), x| {
                        (least.min(x), most.max(x))
                    })
            };
            let ((left, right), (low, high)) = (span(|p| p.xi), span(|p| p.eta));
            let step = |k: u32| (f64::from(k) + 0.5) / f64::from(side);
            (0..side * side)
                .map(|k| TangentPoint {
                    xi: left + step(k % side) * (right - left),
                    eta: low + step(k / side) * (high - low),
                })
                .filter(|&point| region.contains(point))
                .collect()
        }
    }
}
