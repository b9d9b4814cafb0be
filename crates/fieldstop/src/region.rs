//! A target's shape as a region of its tangent plane: the catalogue's ellipse, or a polygon that
//! the person drew on the sky.

use std::f64::consts::{PI, TAU};

use crate::{Angle, Direction, Icrs, Outline, TangentPlane, TangentPoint};

/// A region of the tangent plane of a target's middle.
#[derive(Clone, Debug, PartialEq)]
pub enum Region {
    /// An ellipse about the middle.
    Ellipse {
        /// Semi-axes on the plane, finite.
        semi_axes: (f64, f64),
        /// Position angle of the first.
        position_angle: Angle,
    },
    /// A closed polygon, in either sense, whose edges do not cross.
    Polygon(Vec<TangentPoint>),
}

/// Corners of the polygon that stands in for an ellipse where only straight edges will do. It
/// touches the ellipse from outside and is larger by 1 part in 100,000.
const ELLIPSE_CORNERS: u32 = 720;

impl Region {
    /// The region of a catalogue outline; `None` from 180 degrees across on.
    pub fn of_outline(outline: &Outline) -> Option<Self> {
        let semi_axes = outline.semi_axes();
        let finite = semi_axes.0.is_finite() && semi_axes.1.is_finite();
        finite.then(|| Self::Ellipse { semi_axes, position_angle: outline.axis_pa() })
    }

    /// The region of a polygon on the sky, seen from a target's middle; its edges are great
    /// circles. `None` with fewer than three corners, or one that is 90 degrees away or more.
    pub fn of_polygon(middle: Direction<Icrs>, corners: &[Direction<Icrs>]) -> Option<Self> {
        let plane = TangentPlane::new(middle);
        let corners: Vec<TangentPoint> =
            corners.iter().map(|&corner| plane.project(corner)).collect::<Option<_>>()?;
        (corners.len() >= 3).then_some(Self::Polygon(corners))
    }

    /// Whether a point of the plane lies in it; points on the edge of an ellipse do.
    pub fn contains(&self, point: TangentPoint) -> bool {
        match self {
            Self::Ellipse { semi_axes: (a, b), position_angle } => {
                let (sin, cos) = position_angle.sin_cos();
                let along = point.xi * sin + point.eta * cos;
                let across = point.xi * cos - point.eta * sin;
                (along / a).powi(2) + (across / b).powi(2) <= 1.0
            }
            Self::Polygon(corners) => {
                // Crossings of the edges by a ray to the east: inside if they are odd in number.
                edges(corners)
                    .filter(|(p, q)| {
                        (p.eta > point.eta) != (q.eta > point.eta)
                            && point.xi
                                < p.xi + (point.eta - p.eta) / (q.eta - p.eta) * (q.xi - p.xi)
                    })
                    .count()
                    % 2
                    == 1
            }
        }
    }

    /// The corners of a polygon that holds the region: itself, or one about the ellipse.
    pub fn outer_corners(&self) -> Vec<TangentPoint> {
        match self {
            Self::Polygon(corners) => corners.clone(),
            Self::Ellipse { semi_axes: (a, b), position_angle } => {
                let (sin_pa, cos_pa) = position_angle.sin_cos();
                let outside = 1.0 / (PI / f64::from(ELLIPSE_CORNERS)).cos();
                (0..ELLIPSE_CORNERS)
                    .map(|k| {
                        let (sin, cos) =
                            (TAU * f64::from(k) / f64::from(ELLIPSE_CORNERS)).sin_cos();
                        let (along, across) = (a * cos * outside, b * sin * outside);
                        TangentPoint {
                            xi: along * sin_pa + across * cos_pa,
                            eta: along * cos_pa - across * sin_pa,
                        }
                    })
                    .collect()
            }
        }
    }

    /// The region as a frame of some rotation sees it.
    pub(crate) fn turned(&self, rotation: Angle) -> Turned {
        let (sin, cos) = rotation.sin_cos();
        match self {
            Self::Ellipse { semi_axes: (a, b), position_angle } => {
                let (sin_d, cos_d) = (*position_angle - rotation).sin_cos();
                // The major axis leans to the left of up, as position angles do.
                let (x, y) = (-sin_d, cos_d);
                let (a2, b2) = (a * a, b * b);
                Turned::Ellipse {
                    xx: a2 * x * x + b2 * y * y,
                    xy: (a2 - b2) * x * y,
                    yy: a2 * y * y + b2 * x * x,
                }
            }
            Self::Polygon(corners) => Turned::Polygon(
                corners
                    .iter()
                    .map(|p| (p.eta * sin - p.xi * cos, p.eta * cos + p.xi * sin))
                    .collect(),
            ),
        }
    }
}

/// The edges of a closed polygon.
pub(crate) fn edges(
    corners: &[TangentPoint],
) -> impl Iterator<Item = (TangentPoint, TangentPoint)> + '_ {
    let next = corners.iter().skip(1).chain(corners.first());
    corners.iter().copied().zip(next.copied())
}

/// A region in the coordinates of a frame: x right, y **up**, radians at the centre.
#[derive(Clone, Debug)]
pub(crate) enum Turned {
    /// All (x, y) with `(x y) S^-1 (x y)' <= 1`, S being the symmetric matrix of these.
    Ellipse { xx: f64, xy: f64, yy: f64 },
    /// Its corners.
    Polygon(Vec<(f64, f64)>),
}

impl Turned {
    /// The same with x and y changing places.
    pub(crate) fn transposed(&self) -> Self {
        match self {
            Self::Ellipse { xx, xy, yy } => Self::Ellipse { xx: *yy, xy: *xy, yy: *xx },
            Self::Polygon(corners) => Self::Polygon(corners.iter().map(|&(x, y)| (y, x)).collect()),
        }
    }

    /// Least and greatest y.
    pub(crate) fn height(&self) -> (f64, f64) {
        match self {
            Self::Ellipse { yy, .. } => (-yy.sqrt(), yy.sqrt()),
            Self::Polygon(corners) => span(corners.iter().map(|&(_, y)| y)),
        }
    }

    /// Least and greatest x between two heights; `None` where the region is not there.
    pub(crate) fn width_between(&self, low: f64, high: f64) -> Option<(f64, f64)> {
        if high < low {
            return None;
        }
        match self {
            Self::Ellipse { xx, xy, yy } => {
                let top = yy.sqrt();
                if low > top || high < -top {
                    return None;
                }
                // The rightmost point is at this height; between other heights x is greatest as
                // near to it as they come, since the ellipse bulges.
                let rightmost = xy / xx.sqrt();
                let right = |low: f64, high: f64| {
                    let y = rightmost.clamp(low.max(-top), high.min(top));
                    let inside = (xx - xy * xy / yy) * (1.0 - y * y / yy);
                    y * xy / yy + inside.max(0.0).sqrt()
                };
                Some((-right(-high, -low), right(low, high)))
            }
            Self::Polygon(corners) => {
                let next = corners.iter().skip(1).chain(corners.first());
                let cut = corners.iter().zip(next).filter_map(|(&p, &q)| cut_edge(p, q, low, high));
                let (least, most) = span(cut.flat_map(|(a, b)| [a, b]));
                (least <= most).then_some((least, most))
            }
        }
    }
}

/// The x at both ends of the part of an edge between two heights.
fn cut_edge(p: (f64, f64), q: (f64, f64), low: f64, high: f64) -> Option<(f64, f64)> {
    let (p, q) = if p.1 <= q.1 { (p, q) } else { (q, p) };
    if q.1 < low || p.1 > high {
        return None;
    }
    let at = |y: f64| {
        if q.1 > p.1 { p.0 + (y - p.1) / (q.1 - p.1) * (q.0 - p.0) } else { p.0 }
    };
    // An edge along the strip is kept whole.
    if p.1 == q.1 { Some((p.0, q.0)) } else { Some((at(low.max(p.1)), at(high.min(q.1)))) }
}

fn span(numbers: impl Iterator<Item = f64>) -> (f64, f64) {
    numbers.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), x| (least.min(x), most.max(x)))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn ellipse(a: f64, b: f64, pa_deg: f64) -> Region {
        Region::Ellipse { semi_axes: (a, b), position_angle: Angle::from_deg(pa_deg) }
    }

    proptest! {
        /// An ellipse and a polygon with its corners are as wide in every strip.
        #[test]
        fn a_strip_of_an_ellipse_is_as_wide_as_that_of_its_polygon(
            a in 0.001..0.2f64, ratio in 0.05..1.0f64, pa in 0.0..180.0f64, turn in 0.0..180.0f64,
            low in -1.2..1.2f64, height in 0.0..1.0f64,
        ) {
            let ellipse = ellipse(a, a * ratio, pa);
            let polygon = Region::Polygon(ellipse.outer_corners());
            let rotation = Angle::from_deg(turn);
            for transposed in [false, true] {
                let seen = |region: &Region| {
                    let turned = region.turned(rotation);
                    if transposed { turned.transposed() } else { turned }
                };
                let (seen_ellipse, seen_polygon) = (seen(&ellipse), seen(&polygon));
                let (bottom, top) = seen_ellipse.height();
                prop_assert!((seen_polygon.height().1 - top).abs() < 1e-4 * a);
                let (low, high) = (low * top, (low + height) * top);
                match (seen_ellipse.width_between(low, high), seen_polygon.width_between(low, high)) {
                    (Some(one), Some(other)) => {
                        // At the very top a hair of height is much of width.
                        let near_end = high < 0.99 * bottom || low > 0.99 * top;
                        let tolerance = if near_end { 0.2 * a } else { 1e-2 * a };
                        prop_assert!((one.0 - other.0).abs() < tolerance, "{one:?} {other:?}");
                        prop_assert!((one.1 - other.1).abs() < tolerance, "{one:?} {other:?}");
                    }
                    (None, None) => {}
                    // The polygon reaches a hair further.
                    _ => prop_assert!(low > 0.999 * top || high < 0.999 * bottom),
                }
            }
        }

        #[test]
        fn a_turned_ellipse_reaches_as_far_as_its_fill_says(
            a in 0.001..0.2f64, ratio in 0.05..1.0f64, pa in 0.0..180.0f64, turn in 0.0..180.0f64,
        ) {
            let outline = Outline {
                major: Angle::from_rad(2.0 * a.atan()),
                minor: Some(Angle::from_rad(2.0 * (a * ratio).atan())),
                position_angle: Some(Angle::from_deg(pa)),
            };
            let region = Region::of_outline(&outline).unwrap();
            let turned = region.turned(Angle::from_deg(turn));
            let (width, height) = (turned.transposed().height().1, turned.height().1);
            // A frame of just that size is filled in both directions at once.
            for (half_width, half_height) in [(width, 1.0), (1.0, height)] {
                let field = crate::Field { half_width, half_height };
                let fill = crate::fit::fill(&outline, &field, Angle::from_deg(turn));
                prop_assert!((fill - 1.0).abs() < 1e-9, "{fill}");
            }
        }
    }

    #[test]
    fn a_point_is_in_a_polygon_with_a_notch_or_not() {
        let point = |xi, eta| TangentPoint { xi, eta };
        let notched = Region::Polygon(vec![
            point(0.0, 0.0),
            point(4.0, 0.0),
            point(4.0, 4.0),
            point(2.0, 1.0),
            point(0.0, 4.0),
        ]);
        assert!(notched.contains(point(0.5, 2.0)) && notched.contains(point(3.5, 2.0)));
        assert!(!notched.contains(point(2.0, 2.0)) && !notched.contains(point(-1.0, 1.0)));
        assert_eq!(Region::of_polygon(Direction::from_ra_dec(Angle::ZERO, Angle::ZERO), &[]), None);
    }
}
