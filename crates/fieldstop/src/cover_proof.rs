//! Whether panels cover a region, by geometry: what is left when each of them is cut out.
//!
//! A panel's edges are great circles, so on the mosaic's tangent plane they are straight, however
//! far from the middle the panel lies, at any declination; a panel is a convex quadrilateral there.
//! Cut out of a convex polygon it leaves at most four convex polygons. If nothing is left after the
//! last panel, the region is covered, and no grid of samples could have missed a gap.

use crate::region::{Region, edges};
use crate::{Direction, Frame, Icrs, TangentPlane, TangentPoint};

/// Pieces smaller than this share of the region are rounding.
const NOTHING: f64 = 1e-12;

/// What is left of a region outside all panels, as a share of its area; 0 is proof of cover.
///
/// An ellipse is replaced by a polygon about it, 1 part in 100,000 larger, so the share is an
/// upper bound. 1 where a panel's corner is 90 degrees or more from the middle.
///
/// # Example
/// Two panels that only touch leave nothing of what they hold between them.
/// ```
/// # use fieldstop::{Angle, Direction, Field, Outline, cover_proof::uncovered, mosaic::grid, region::Region};
/// let centre = Direction::from_ra_dec(Angle::ZERO, Angle::from_deg(80.0));
/// let field = Field { half_width: 0.01, half_height: 0.01 };
/// let axis = |tangent: f64| Angle::from_rad(2.0 * tangent.atan());
/// let outline = Outline { major: axis(0.019), minor: Some(axis(0.009)),
///     position_angle: Some(Angle::RIGHT) };
/// let region = Region::of_outline(&outline).unwrap();
/// let two = grid(centre, Angle::ZERO, &field, 2, 1, 0.0);
/// assert_eq!(uncovered(&region, centre, &two), 0.0);
/// // One of them leaves the other's half.
/// assert!((uncovered(&region, centre, &two[..1]) - 0.5).abs() < 0.01);
/// ```
pub fn uncovered(region: &Region, middle: Direction<Icrs>, panels: &[Frame]) -> f64 {
    let plane = TangentPlane::new(middle);
    let mut left = triangles(&region.outer_corners());
    let whole: f64 = left.iter().map(|piece| area(piece).abs()).sum();
    for panel in panels {
        let corners: Option<Vec<TangentPoint>> =
            panel.corners().into_iter().map(|corner| plane.project(corner)).collect();
        let Some(corners) = corners else {
            return 1.0;
        };
        left = left.iter().flat_map(|piece| without(piece, &corners)).collect();
        left.retain(|piece| area(piece).abs() > NOTHING * whole);
    }
    left.iter().map(|piece| area(piece).abs()).sum::<f64>() / whole
}

/// What is left of a convex polygon outside another, in convex pieces.
fn without(polygon: &[TangentPoint], cut: &[TangentPoint]) -> Vec<Vec<TangentPoint>> {
    // Both senses occur: a frame as the sky is seen runs against the plane's.
    let sense = area(cut).signum();
    let mut pieces = Vec::new();
    let mut inside = polygon.to_vec();
    for (p, q) in edges(cut) {
        let side = |point: TangentPoint| sense * cross(p, q, point);
        let outside = clipped(&inside, |point| -side(point));
        if outside.len() >= 3 {
            pieces.push(outside);
        }
        inside = clipped(&inside, side);
    }
    pieces
}

/// The part of a convex polygon where a linear function is not negative.
fn clipped(polygon: &[TangentPoint], side: impl Fn(TangentPoint) -> f64) -> Vec<TangentPoint> {
    let mut kept = Vec::with_capacity(polygon.len() + 1);
    for (p, q) in edges(polygon) {
        let (at_p, at_q) = (side(p), side(q));
        if at_p >= 0.0 {
            kept.push(p);
        }
        if (at_p > 0.0 && at_q < 0.0) || (at_p < 0.0 && at_q > 0.0) {
            let share = at_p / (at_p - at_q);
            kept.push(TangentPoint {
                xi: p.xi + share * (q.xi - p.xi),
                eta: p.eta + share * (q.eta - p.eta),
            });
        }
    }
    kept
}

/// Twice the area of the triangle p, q, r: above 0 if r lies to the left of the way from p to q,
/// with xi to the right and eta up.
fn cross(p: TangentPoint, q: TangentPoint, r: TangentPoint) -> f64 {
    (q.xi - p.xi) * (r.eta - p.eta) - (q.eta - p.eta) * (r.xi - p.xi)
}

/// Area of a polygon; below 0 if its corners run clockwise, with xi to the right and eta up.
fn area(corners: &[TangentPoint]) -> f64 {
    edges(corners).map(|(p, q)| p.xi * q.eta - q.xi * p.eta).sum::<f64>() / 2.0
}

/// A polygon in convex pieces: itself if it is convex, else triangles, cut off ear by ear.
fn triangles(corners: &[TangentPoint]) -> Vec<Vec<TangentPoint>> {
    let mut corners = corners.to_vec();
    if area(&corners) < 0.0 {
        corners.reverse();
    }
    let mut pieces = Vec::new();
    while let Some(reflex) = first_reflex(&corners) {
        let Some(ear) = ear(&corners, reflex) else {
            // Edges that cross have no ears; the rest is taken as it is.
            break;
        };
        let [p, q, r] = neighbours(&corners, ear);
        pieces.push(vec![p, q, r]);
        corners.remove(ear);
    }
    pieces.push(corners);
    pieces
}

fn neighbours(corners: &[TangentPoint], at: usize) -> [TangentPoint; 3] {
    let count = corners.len();
    // OK because a remainder by their number is the place of a corner.
    [corners[(at + count - 1) % count], corners[at % count], corners[(at + 1) % count]]
}

fn is_reflex(corners: &[TangentPoint], at: usize) -> bool {
    let [p, q, r] = neighbours(corners, at);
    cross(p, q, r) < 0.0
}

fn first_reflex(corners: &[TangentPoint]) -> Option<usize> {
    if corners.len() < 4 {
        return None;
    }
    (0..corners.len()).find(|&at| is_reflex(corners, at))
}

/// A corner whose triangle holds no other corner, looked for from behind a reflex one.
fn ear(corners: &[TangentPoint], reflex: usize) -> Option<usize> {
    (1..corners.len()).map(|step| (reflex + step) % corners.len()).find(|&at| {
        let [p, q, r] = neighbours(corners, at);
        let holds = |&point: &TangentPoint| {
            ![p, q, r].contains(&point)
                && cross(p, q, point) >= 0.0
                && cross(q, r, point) >= 0.0
                && cross(r, p, point) >= 0.0
        };
        cross(p, q, r) >= 0.0 && !corners.iter().any(holds)
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::covered::covered;
    use crate::{Angle, Field};

    const FIELD: Field = Field { half_width: 0.015, half_height: 0.01 };

    fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
        Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]

        /// Frames strewn over an ellipse: what cutting leaves is what counting misses.
        #[test]
        fn cutting_agrees_with_counting(
            dec in -90.0..90.0f64, a in 0.01..0.05f64, ratio in 0.2..1.0f64, pa in 0.0..180.0f64,
            strewn in proptest::collection::vec((-1.0..1.0f64, -1.0..1.0f64, 0.0..360.0f64), 0..12),
        ) {
            let middle = place(40.0, dec);
            let plane = TangentPlane::new(middle);
            let frames: Vec<Frame> = strewn
                .into_iter()
                .map(|(xi, eta, turn)| Frame {
                    centre: plane.direction(TangentPoint { xi: xi * a, eta: eta * a }),
                    rotation: Angle::from_deg(turn),
                    field: FIELD,
                })
                .collect();
            let region =
                Region::Ellipse { semi_axes: (a, a * ratio), position_angle: Angle::from_deg(pa) };
            let (left, held) = (uncovered(&region, middle, &frames), covered(&region, middle, &frames));
            // The noise of 40,000 even points along some hundred of edge.
            prop_assert!((left + held - 1.0).abs() < 3e-3, "{left} left, {held} held");
        }
    }

    #[test]
    fn a_notched_polygon_is_cut_into_all_of_itself() {
        let middle = place(0.0, 0.0);
        let point = |xi: f64, eta: f64| TangentPoint { xi: 0.01 * xi, eta: 0.01 * eta };
        // Two notches, from above and from below, in either sense.
        let mut corners = vec![
            point(-2.0, -1.0),
            point(-0.5, 0.2),
            point(2.0, -1.0),
            point(2.0, 1.0),
            point(0.5, -0.1),
            point(-2.0, 1.0),
        ];
        for _sense in 0..2 {
            let pieces = triangles(&corners);
            let sum: f64 = pieces.iter().map(|piece| area(piece)).sum();
            assert!((sum - area(&corners).abs()).abs() < 1e-15);
            assert!(pieces.iter().all(|piece| first_reflex(piece).is_none() && area(piece) > 0.0));
            let region = Region::Polygon(corners.clone());
            let frame = Frame { centre: middle, rotation: Angle::ZERO, field: FIELD };
            let left = uncovered(&region, middle, &[frame]);
            let held = covered(&region, middle, &[frame]);
            assert!((left + held - 1.0).abs() < 0.01, "{left} {held}");
            corners.reverse();
        }
    }

    #[test]
    fn a_hairline_is_found() {
        let middle = place(10.0, 85.0);
        let region = Region::Ellipse { semi_axes: (0.02, 0.005), position_angle: Angle::RIGHT };
        let whole = crate::mosaic::grid(middle, Angle::ZERO, &FIELD, 2, 1, 1e-3);
        assert_eq!(uncovered(&region, middle, &whole), 0.0);
        let apart = crate::mosaic::grid(middle, Angle::ZERO, &FIELD, 2, 1, -1e-5);
        let left = uncovered(&region, middle, &apart);
        assert!(left > 0.0 && left < 1e-4, "{left}");
    }
}
