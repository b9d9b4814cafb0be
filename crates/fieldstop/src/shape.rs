//! A target's shape: the catalogue's ellipse, or a polygon that the person drew on the sky.
//!
//! A frame is centred on an ellipse by its middle. A polygon has no such point: the frame stands
//! on the middle of the rectangle about it that lies along the frame's sides, so the fill is that
//! rectangle's width and height over the frame's, whichever is larger.
//!
//! What of a polygon decides is its convex hull. While the frame turns, the rectangle hangs on the
//! same four corners until one of its sides lies along a side of the hull; in between its width
//! and height are each a stretch of a cosine. A larger one of two such curves is least at an end of
//! the stretch or where the two cross, and both are known without a search.
//!
//! Distances are taken on the plane that touches the sky at the hull's centre of area. The frame
//! has a plane of its own, a little beside it: what that makes of the fill is of the order of the
//! size times the distance of the two, in radians: 2 parts in 10,000 for a shape 3 degrees across.

use std::sync::Arc;

use thiserror::Error;

use crate::fit::{self, Fit, ROUNDING, Verdict, least_rotation};
use crate::panel_search::plain_count_over;
use crate::region::{Region, edges};
use crate::{Angle, Direction, Field, Frame, Icrs, Outline, TangentPlane, TangentPoint};

/// Fewer corners are no shape.
pub const LEAST_CORNERS: usize = 3;

/// More corners are not drawn by hand.
pub const MOST_CORNERS: usize = 200;

/// A corner farther from the middle than this is a slip of the hand, and no picture's business.
pub const FARTHEST: Angle = Angle::from_deg(60.0);

/// Fills are the same where they differ by less than this share: corners drawn by hand are not
/// finer, and a shape that is meant to be symmetric is not turned over for a hair.
const SAME_FILL: f64 = 1e-4;

/// Rounds of looking for the centre of area; each is closer by the square of the size in radians.
const CENTRING_ROUNDS: u32 = 4;

/// Why corners make no shape. Corners and sides count from 1; a side runs from the corner of its
/// own number to the next.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum ShapeFault {
    /// Too few or too many.
    #[error(
        "an outline has {LEAST_CORNERS} to {MOST_CORNERS} corners; this one would have {found}"
    )]
    Corners {
        /// How many there are.
        found: usize,
    },
    /// Two neighbours that are one.
    #[error(
        "corner {corner} would be at the same place as the one after it; expected every corner at a place of its own"
    )]
    Coincident {
        /// The first of the two.
        corner: usize,
    },
    /// Sides that meet elsewhere than at their common corner.
    #[error(
        "the side after corner {side} and the side after corner {other} would cross or touch; expected sides that meet only at their corners"
    )]
    Crossing {
        /// The first side.
        side: usize,
        /// The second side.
        other: usize,
    },
    /// All corners on one line.
    #[error("all corners would lie on one line; expected a shape with some room in it")]
    Flat,
    /// More sky than an outline takes.
    #[error("corner {corner} would be more than {:.0} degrees from the middle of the outline; expected less", FARTHEST.deg())]
    Wide {
        /// The farthest corner.
        corner: usize,
    },
}

/// A polygon on the sky whose sides, great circles, do not cross.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnShape {
    places: Vec<Direction<Icrs>>,
    middle: Direction<Icrs>,
    corners: Vec<TangentPoint>,
    hull: Vec<TangentPoint>,
    major: Angle,
}

impl DrawnShape {
    /// The shape with these corners, in order round it.
    ///
    /// # Errors
    /// [`ShapeFault`] with the first thing that is wrong.
    ///
    /// # Example
    /// ```
    /// # use fieldstop::{Angle, Direction, shape::{DrawnShape, ShapeFault}};
    /// let at = |ra, dec| Direction::from_ra_dec(Angle::from_deg(ra), Angle::from_deg(dec));
    /// let square = [at(10.0, 0.0), at(11.0, 0.0), at(11.0, 1.0), at(10.0, 1.0)];
    /// assert!(DrawnShape::new(&square).is_ok());
    /// let crossed = [square[0], square[2], square[1], square[3]];
    /// assert_eq!(DrawnShape::new(&crossed), Err(ShapeFault::Crossing { side: 1, other: 3 }));
    /// ```
    pub fn new(places: &[Direction<Icrs>]) -> Result<Self, ShapeFault> {
        if !(LEAST_CORNERS..=MOST_CORNERS).contains(&places.len()) {
            return Err(ShapeFault::Corners { found: places.len() });
        }
        let sum = places.iter().fold([0.0; 3], |sum, place| {
            let xyz = place.xyz();
            [sum[0] + xyz[0], sum[1] + xyz[1], sum[2] + xyz[2]]
        });
        // The centre of area as the plane about the mean shows it, then as its own plane does.
        let mut middle = Direction::from_vector(sum).ok_or(ShapeFault::Wide { corner: 1 })?;
        for _ in 0..CENTRING_ROUNDS {
            let hull = convex_hull(&seen_from(middle, places)?);
            let centre = centre_of_area(&hull).ok_or(ShapeFault::Flat)?;
            middle = TangentPlane::new(middle).direction(centre);
        }
        let corners = seen_from(middle, places)?;
        check_sides(&corners)?;
        let hull = convex_hull(&corners);
        let mut shape = Self { places: places.to_vec(), middle, corners, hull, major: Angle::ZERO };
        let ends = shape.hull_on_sky();
        shape.major = pairs(&ends).map(|(a, b)| a.separation(b)).fold(Angle::ZERO, Angle::max);
        Ok(shape)
    }

    /// Its corners on the sky, as they were given.
    pub fn places(&self) -> &[Direction<Icrs>] {
        &self.places
    }

    /// The centre of area of its hull.
    pub fn middle(&self) -> Direction<Icrs> {
        self.middle
    }

    /// Its corners on the plane that touches the sky at its [middle](Self::middle).
    pub fn corners(&self) -> &[TangentPoint] {
        &self.corners
    }

    /// The corners of its convex hull on that plane, in order round it.
    pub fn hull(&self) -> &[TangentPoint] {
        &self.hull
    }

    /// The corners of its convex hull on the sky, in order round it.
    pub fn hull_on_sky(&self) -> Vec<Direction<Icrs>> {
        let plane = TangentPlane::new(self.middle);
        self.hull.iter().map(|&corner| plane.direction(corner)).collect()
    }

    /// The separation of its two corners that are farthest apart.
    pub fn major(&self) -> Angle {
        self.major
    }

    /// The rectangle about it along the sides of a frame whose up direction has that position
    /// angle at the middle.
    fn rectangle(&self, rotation: Angle) -> Rectangle {
        let (sin, cos) = rotation.sin_cos();
        let none = (f64::INFINITY, f64::NEG_INFINITY);
        let (x, y) = self.hull.iter().fold((none, none), |(x, y), p| {
            let (right, up) = (p.eta * sin - p.xi * cos, p.eta * cos + p.xi * sin);
            ((x.0.min(right), x.1.max(right)), (y.0.min(up), y.1.max(up)))
        });
        let (right, up) = (f64::midpoint(x.0, x.1), f64::midpoint(y.0, y.1));
        Rectangle {
            half_width: (x.1 - x.0) / 2.0,
            half_height: (y.1 - y.0) / 2.0,
            centre: TangentPoint { xi: up * sin - right * cos, eta: up * cos + right * sin },
        }
    }

    /// The least fill, and the smallest rotation at the middle that comes as near to it as no
    /// matter, in [0, 180) degrees.
    fn best_at_middle(&self, field: &Field) -> (f64, Angle) {
        let along: Vec<f64> = edges(&self.hull)
            .map(|(p, q)| (q.xi - p.xi).atan2(q.eta - p.eta))
            .flat_map(|rad| [rad, rad + Angle::RIGHT.rad()])
            .map(|rad| Angle::from_rad(rad).wrapped_axis().rad())
            .collect();
        let mut turns = along;
        turns.extend([0.0, Angle::HALF_TURN.rad()]);
        turns.sort_by(f64::total_cmp);
        let crossings = turns.iter().zip(turns.iter().skip(1)).filter_map(|(&from, &to)| {
            let crossing = self.crossing(Angle::from_rad(f64::midpoint(from, to)), field).rad();
            (from..=to).contains(&crossing).then_some(crossing)
        });
        let tried: Vec<(f64, Angle)> = turns
            .iter()
            .copied()
            .chain(crossings)
            .map(|rad| least_rotation(Angle::from_rad(rad)))
            .map(|rotation| (self.rectangle(rotation).fill(field), rotation))
            .collect();
        let least = tried.iter().map(|(fill, _)| *fill).fold(f64::INFINITY, f64::min);
        let rotation = tried
            .into_iter()
            .filter(|(fill, _)| *fill <= least * (1.0 + SAME_FILL))
            .map(|(_, rotation)| rotation)
            .fold(Angle::HALF_TURN, Angle::min);
        (least, rotation)
    }

    /// The rotation at which the rectangle fills width and height alike, if it hangs on the corners
    /// that it hangs on at some other rotation; 0 to 180 degrees.
    fn crossing(&self, rotation: Angle, field: &Field) -> Angle {
        let (sin, cos) = rotation.sin_cos();
        let ends = |depth: &dyn Fn(&TangentPoint) -> f64| {
            let by_depth = |a: &&TangentPoint, b: &&TangentPoint| depth(a).total_cmp(&depth(b));
            let (least, most) =
                (self.hull.iter().min_by(by_depth), self.hull.iter().max_by(by_depth));
            least.zip(most).map_or((0.0, 0.0), |(p, q)| (q.xi - p.xi, q.eta - p.eta))
        };
        let across = ends(&|p| p.eta * sin - p.xi * cos);
        let upright = ends(&|p| p.eta * cos + p.xi * sin);
        let (width, height) = (field.half_width, field.half_height);
        // across.1 sin - across.0 cos over the width is upright.1 cos + upright.0 sin over the
        // height.
        let rad =
            (across.0 / width + upright.1 / height).atan2(across.1 / width - upright.0 / height);
        Angle::from_rad(rad).wrapped_axis()
    }

    /// A frame on it whose rotation at the middle is known; its own differs where meridians
    /// converge.
    fn frame_at_middle(&self, field: &Field, rotation: Angle) -> Frame {
        let plane = TangentPlane::new(self.middle);
        let centre = self.rectangle(rotation).centre;
        Frame {
            centre: plane.direction(centre),
            rotation: plane.position_angle_at(centre, rotation),
            field: *field,
        }
    }

    /// Its corners as a frame that stands on it sees them: right and up from the frame's middle, on
    /// the plane.
    pub fn in_frame(&self, rotation: Angle) -> Vec<(f64, f64)> {
        let rotation = self.rotation_at_middle(rotation);
        let (sin, cos) = rotation.sin_cos();
        let centre = self.rectangle(rotation).centre;
        let seen = |corner: &TangentPoint| {
            let (xi, eta) = (corner.xi - centre.xi, corner.eta - centre.eta);
            (eta * sin - xi * cos, eta * cos + xi * sin)
        };
        self.corners.iter().map(seen).collect()
    }

    /// The rotation at the middle that gives a frame on it this rotation of its own.
    pub fn rotation_at_middle(&self, own: Angle) -> Angle {
        /// The frame's centre is near: every round leaves a part of the difference, a tenth of it 6
        /// degrees from a pole.
        const ROUNDS: u32 = 20;
        /// A millionth of an arcsecond.
        const CLOSE_RAD: f64 = 5e-12;
        let plane = TangentPlane::new(self.middle);
        let off = |rotation: Angle| {
            let there = plane.position_angle_at(self.rectangle(rotation).centre, rotation);
            (own - there).wrapped_signed()
        };
        let mut rotation = own;
        for _ in 0..ROUNDS {
            let left = off(rotation);
            if left.rad().abs() < CLOSE_RAD {
                return rotation;
            }
            rotation += left;
        }
        // Beside a pole the rounds need not come to an end.
        nearest_root(&off, rotation)
    }
}

/// The rotation nearest to another at which a difference is zero, looked for all round; where there
/// is none, one at which it is least.
fn nearest_root(off: &dyn Fn(Angle) -> Angle, near: Angle) -> Angle {
    const STEPS: u32 = 1440;
    const HALVINGS: u32 = 48;
    /// From one step to the next a difference may wrap round, which is no root.
    const NO_WRAP_RAD: f64 = 1.5;
    let turn = |step: u32| Angle::from_deg(360.0 * f64::from(step) / f64::from(STEPS));
    let (mut least, mut best): ((f64, Angle), Option<(f64, Angle)>) = ((f64::INFINITY, near), None);
    for step in 0..STEPS {
        let (mut from, mut to) = (turn(step), turn(step + 1));
        let (at_from, at_to) = (off(from).rad(), off(to).rad());
        if at_from.abs() < least.0 {
            least = (at_from.abs(), from);
        }
        if at_from * at_to > 0.0 || (at_from - at_to).abs() > NO_WRAP_RAD {
            continue;
        }
        for _ in 0..HALVINGS {
            let middle = from + (to - from) / 2.0;
            if off(middle).rad() * at_from > 0.0 { from = middle } else { to = middle }
        }
        let away = (from - near).wrapped_signed().rad().abs();
        if best.is_none_or(|(nearest, _)| away < nearest) {
            best = Some((away, from));
        }
    }
    best.unwrap_or(least).1
}

/// A rectangle on the plane.
struct Rectangle {
    half_width: f64,
    half_height: f64,
    centre: TangentPoint,
}

impl Rectangle {
    fn fill(&self, field: &Field) -> f64 {
        (self.half_width / field.half_width).max(self.half_height / field.half_height)
    }
}

/// What a frame is put on.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// The catalogue's ellipse, about the target's own place.
    Ellipse(Outline),
    /// What the person drew, wherever it is.
    Drawn(Arc<DrawnShape>),
}

impl From<Outline> for Shape {
    fn from(outline: Outline) -> Self {
        Self::Ellipse(outline)
    }
}

impl Shape {
    /// From end to end: the ellipse's major axis, or the two corners that are farthest apart.
    pub fn major(&self) -> Angle {
        match self {
            Self::Ellipse(outline) => outline.major,
            Self::Drawn(drawn) => drawn.major(),
        }
    }

    /// Its size relative to a frame that stands on it: 1 touches the edge.
    ///
    /// # Units
    /// - `rotation`: position angle of the frame's up direction
    /// - returns: above 0; infinite for an ellipse of 180 degrees and more
    pub fn fill(&self, field: &Field, rotation: Angle) -> f64 {
        match self {
            Self::Ellipse(outline) => fit::fill(outline, field, rotation),
            Self::Drawn(drawn) => drawn.rectangle(drawn.rotation_at_middle(rotation)).fill(field),
        }
    }

    /// The rotation of a frame at which the fill is least, in [0, 180) degrees, the smallest among
    /// equals; for a drawn shape, among those within a ten-thousandth of the least fill.
    ///
    /// # Example
    /// Two frames' width by one frame's height, drawn at position angle 30 degrees.
    /// ```
    /// # use fieldstop::{Angle, Direction, Field, shape::{DrawnShape, Shape}};
    /// # use std::sync::Arc;
    /// let field = Field { half_width: 0.01, half_height: 0.005 };
    /// let middle = Direction::from_ra_dec(Angle::ZERO, Angle::ZERO);
    /// let frame = fieldstop::Frame { centre: middle, rotation: Angle::from_deg(30.0), field };
    /// let corners = [(-2.0, -1.0), (2.0, -1.0), (2.0, 1.0), (-2.0, 1.0)].map(|(x, y)| frame.point(x, y));
    /// let shape = Shape::Drawn(Arc::new(DrawnShape::new(&corners).unwrap()));
    /// assert!((shape.best_rotation(&field).deg() - 30.0).abs() < 1e-6);
    /// assert!((shape.fill(&field, shape.best_rotation(&field)) - 2.0).abs() < 1e-9);
    /// ```
    pub fn best_rotation(&self, field: &Field) -> Angle {
        match self {
            Self::Ellipse(outline) => fit::best_rotation(outline, field),
            Self::Drawn(drawn) => {
                let (_, rotation) = drawn.best_at_middle(field);
                let frame = drawn.frame_at_middle(field, rotation);
                least_rotation(frame.rotation)
            }
        }
    }

    /// The least fill there is.
    pub fn least_fill(&self, field: &Field) -> f64 {
        match self {
            Self::Ellipse(outline) => fit::fill(outline, field, fit::best_rotation(outline, field)),
            Self::Drawn(drawn) => drawn.best_at_middle(field).0,
        }
    }

    /// A frame that stands on it at some rotation; `place` is the target's.
    pub fn frame(&self, place: Direction<Icrs>, field: &Field, rotation: Angle) -> Frame {
        match self {
            Self::Ellipse(_) => Frame { centre: place, rotation, field: *field },
            Self::Drawn(drawn) => Frame {
                rotation,
                ..drawn.frame_at_middle(field, drawn.rotation_at_middle(rotation))
            },
        }
    }

    /// It as a region of a plane, with the point at which the plane touches the sky; `None` for an
    /// ellipse of 180 degrees and more.
    pub fn region(&self, place: Direction<Icrs>) -> Option<(Direction<Icrs>, Region)> {
        match self {
            Self::Ellipse(outline) => Some((place, Region::of_outline(outline)?)),
            Self::Drawn(drawn) => Some((drawn.middle, Region::Polygon(drawn.corners.clone()))),
        }
    }
}

/// How a target fits a frame that stands on it at the best rotation; as [`fit::fit`], for any
/// shape.
///
/// # Units
/// - `whole_fill`: a target at or under this fill is whole, above 0, at most 1
/// - `overlap`: between mosaic panels, of a panel's side, 0 to 0.9
pub fn fit_shape(shape: Option<&Shape>, field: &Field, whole_fill: f64, overlap: f64) -> Fit {
    match shape {
        None => fit::fit(None, field, whole_fill, overlap),
        Some(Shape::Ellipse(outline)) => fit::fit(Some(outline), field, whole_fill, overlap),
        Some(Shape::Drawn(drawn)) => {
            let (fill, rotation) = drawn.best_at_middle(field);
            let panels = if fill <= 1.0 + ROUNDING {
                (1, 1)
            } else {
                plain_count_over(&Region::Polygon(drawn.corners.clone()), field, overlap)
            };
            Fit {
                fill: Some(fill),
                best_rotation: least_rotation(drawn.frame_at_middle(field, rotation).rotation),
                verdict: Verdict::of(fill, whole_fill),
                panels: Some(panels),
            }
        }
    }
}

/// Corners on the plane of a middle, none too far from it.
fn seen_from(
    middle: Direction<Icrs>,
    places: &[Direction<Icrs>],
) -> Result<Vec<TangentPoint>, ShapeFault> {
    let plane = TangentPlane::new(middle);
    let near = |(index, &place): (usize, &Direction<Icrs>)| {
        let wide = ShapeFault::Wide { corner: index + 1 };
        if middle.separation(place) > FARTHEST {
            Err(wide)
        } else {
            plane.project(place).ok_or(wide)
        }
    };
    places.iter().enumerate().map(near).collect()
}

/// Refuses sides without length, and sides that meet where they should not.
fn check_sides(corners: &[TangentPoint]) -> Result<(), ShapeFault> {
    let sides: Vec<(TangentPoint, TangentPoint)> = edges(corners).collect();
    if let Some(index) = sides.iter().position(|(p, q)| p == q) {
        return Err(ShapeFault::Coincident { corner: index + 1 });
    }
    let last = sides.len() - 1;
    for (index, &one) in sides.iter().enumerate() {
        for (later, &other) in sides.iter().enumerate().skip(index + 1) {
            let meet = if later == index + 1 {
                fold_back(one, other)
            } else if (index, later) == (0, last) {
                fold_back(other, one)
            } else {
                cross(one, other)
            };
            if meet {
                return Err(ShapeFault::Crossing { side: index + 1, other: later + 1 });
            }
        }
    }
    Ok(())
}

/// Whether a side lies back upon the one before it.
fn fold_back((p, q): (TangentPoint, TangentPoint), (_, r): (TangentPoint, TangentPoint)) -> bool {
    let back = (p.xi - q.xi) * (r.xi - q.xi) + (p.eta - q.eta) * (r.eta - q.eta) > 0.0;
    back && turn(p, q, r).abs() <= TOUCHING * distance(p, q) * distance(q, r)
}

/// Points as near to a line as this share of its length lie on it.
const TOUCHING: f64 = 1e-9;

fn distance(a: TangentPoint, b: TangentPoint) -> f64 {
    (b.xi - a.xi).hypot(b.eta - a.eta)
}

/// Whether two segments have a point in common.
fn cross((p, q): (TangentPoint, TangentPoint), (r, s): (TangentPoint, TangentPoint)) -> bool {
    let (to_p, to_q) = (turn(r, s, p), turn(r, s, q));
    let (to_r, to_s) = (turn(p, q, r), turn(p, q, s));
    if to_p * to_q < 0.0 && to_r * to_s < 0.0 {
        return true;
    }
    let longer = distance(p, q).max(distance(r, s));
    let reach = TOUCHING * longer;
    let within = |a: TangentPoint, b: TangentPoint, c: TangentPoint| {
        (a.xi.min(b.xi) - reach..=a.xi.max(b.xi) + reach).contains(&c.xi)
            && (a.eta.min(b.eta) - reach..=a.eta.max(b.eta) + reach).contains(&c.eta)
    };
    let on = |turn: f64| turn.abs() <= reach * longer;
    (on(to_p) && within(r, s, p))
        || (on(to_q) && within(r, s, q))
        || (on(to_r) && within(p, q, r))
        || (on(to_s) && within(p, q, s))
}

/// Twice the area of a triangle, positive if it is gone round from east to north.
fn turn(a: TangentPoint, b: TangentPoint, c: TangentPoint) -> f64 {
    (b.xi - a.xi) * (c.eta - a.eta) - (b.eta - a.eta) * (c.xi - a.xi)
}

/// The convex hull, in order round it; fewer than three points if all lie on one line.
///
/// # Source
/// Andrew 1979, Inf. Proc. Letters 9, 216 (monotone chain).
fn convex_hull(corners: &[TangentPoint]) -> Vec<TangentPoint> {
    let mut sorted = corners.to_vec();
    sorted.sort_by(|a, b| a.xi.total_cmp(&b.xi).then(a.eta.total_cmp(&b.eta)));
    let chain = |points: &mut dyn Iterator<Item = &TangentPoint>| {
        let mut chain: Vec<TangentPoint> = Vec::new();
        for &point in points {
            while let [.., a, b] = chain[..]
                && turn(a, b, point) <= 0.0
            {
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut hull = chain(&mut sorted.iter());
    hull.extend(chain(&mut sorted.iter().rev()));
    hull
}

/// The centre of area of a convex polygon; `None` if it has none.
fn centre_of_area(hull: &[TangentPoint]) -> Option<TangentPoint> {
    let origin = *hull.first()?;
    let (mut area, mut xi, mut eta) = (0.0, 0.0, 0.0);
    for (p, q) in edges(hull) {
        let part = turn(origin, p, q);
        area += part;
        xi += part * (p.xi + q.xi - 2.0 * origin.xi);
        eta += part * (p.eta + q.eta - 2.0 * origin.eta);
    }
    let extent = hull.iter().map(|corner| distance(origin, *corner)).fold(0.0, f64::max);
    let centre =
        TangentPoint { xi: origin.xi + xi / (3.0 * area), eta: origin.eta + eta / (3.0 * area) };
    // Corners on one line enclose what rounding leaves between them.
    (area > TOUCHING * extent * extent && centre.xi.is_finite() && centre.eta.is_finite())
        .then_some(centre)
}

fn pairs<T: Copy>(list: &[T]) -> impl Iterator<Item = (T, T)> + '_ {
    let later = |index: usize| list.iter().skip(index + 1);
    list.iter()
        .enumerate()
        .flat_map(move |(index, &one)| later(index).map(move |&other| (one, other)))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
        Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
    }

    fn drawn(places: &[Direction<Icrs>]) -> Shape {
        Shape::Drawn(Arc::new(DrawnShape::new(places).unwrap()))
    }

    fn ellipse(a: f64, b: f64, pa_deg: f64) -> Outline {
        let axis = |tangent: f64| Angle::from_rad(2.0 * tangent.atan());
        Outline {
            major: axis(a),
            minor: Some(axis(b)),
            position_angle: Some(Angle::from_deg(pa_deg)),
        }
    }

    /// Corners evenly spaced on an ellipse by its eccentric anomaly.
    fn corners_on(outline: &Outline, centre: Direction<Icrs>, count: u32) -> Vec<Direction<Icrs>> {
        let plane = TangentPlane::new(centre);
        let (a, b) = outline.semi_axes();
        let (sin_pa, cos_pa) = outline.axis_pa().sin_cos();
        let corner = |k: u32| {
            let (sin, cos) = (Angle::TURN * (f64::from(k) / f64::from(count))).sin_cos();
            let (along, across) = (a * cos, b * sin);
            plane.direction(TangentPoint {
                xi: along * sin_pa + across * cos_pa,
                eta: along * cos_pa - across * sin_pa,
            })
        };
        (0..count).map(corner).collect()
    }

    proptest! {
        /// 64 chords lie inside the ellipse by 1 - cos(180/64 degrees), 0.12 %, at most.
        #[test]
        fn a_polygon_of_an_ellipse_fits_as_the_ellipse_does(
            a in 0.002..0.05f64, ratio in 0.1..1.0f64, pa in 0.0..180.0f64, dec in -80.0..80.0f64,
            half_width in 0.002..0.05f64, sides in 0.4..2.5f64,
        ) {
            let field = Field { half_width, half_height: half_width * sides };
            let outline = ellipse(a, a * ratio, pa);
            let centre = place(123.0, dec);
            let polygon = drawn(&corners_on(&outline, centre, 64));
            let smooth = Shape::from(outline);
            let (rough_fill, fill) = (polygon.least_fill(&field), smooth.least_fill(&field));
            prop_assert!((rough_fill / fill - 1.0).abs() < 0.0013, "{rough_fill} {fill}");
            // Its best rotation is as good for the ellipse as the ellipse's own.
            let there = smooth.fill(&field, polygon.best_rotation(&field));
            prop_assert!(there / fill - 1.0 < 0.003, "{there} {fill}");
            // A long one hangs on its own axis: the rotation itself agrees where it decides.
            let frame = polygon.frame(centre, &field, polygon.best_rotation(&field));
            prop_assert!(frame.centre.separation(centre).rad() < 0.003 * a);
        }

        /// No rotation of many tried is better than the closed form's, and none need be far.
        #[test]
        fn no_rotation_is_better_than_the_best(
            radii in prop::collection::vec(0.2..1.0f64, 3..14), scale in 0.003..0.05f64,
            dec in -85.0..85.0f64, half_width in 0.003..0.04f64, sides in 0.4..2.5f64,
        ) {
            let field = Field { half_width, half_height: half_width * sides };
            let star = star(&radii, scale, dec);
            let shape = drawn(&star);
            let best = shape.least_fill(&field);
            let found = (0..3600)
                .map(|k| shape.fill(&field, Angle::from_deg(f64::from(k) * 0.05)))
                .fold(f64::INFINITY, f64::min);
            prop_assert!(best <= found * (1.0 + 1e-9), "{best} {found}");
            // A step of a twentieth of a degree moves a corner by at most 0.0009 of the diagonal.
            prop_assert!(found <= best * 1.005, "{best} {found}");
            let at_best = shape.fill(&field, shape.best_rotation(&field));
            prop_assert!(at_best / best - 1.0 < 1.1e-4 && at_best > best * (1.0 - 1e-9), "{at_best} {best}");
        }

        /// A frame of the fill's own size, put where it says, holds every corner and touches one
        /// side: checked by projecting the corners into the frame's own picture.
        #[test]
        fn the_best_frame_just_holds_the_corners(
            radii in prop::collection::vec(0.2..1.0f64, 3..14), scale in 0.003..0.03f64,
            dec in -89.0..89.0f64, half_width in 0.003..0.04f64, sides in 0.4..2.5f64,
        ) {
            let shape_places = star(&radii, scale, dec);
            let shape = drawn(&shape_places);
            let field = Field { half_width, half_height: half_width * sides };
            let fill = shape.least_fill(&field);
            let just = Field {
                half_width: field.half_width * fill,
                half_height: field.half_height * fill,
            };
            let frame = shape.frame(place(0.0, 0.0), &just, shape.best_rotation(&field));
            let reach = shape_places
                .iter()
                .map(|&corner| frame.picture_point(corner).unwrap())
                .map(|(x, y)| x.abs().max(y.abs()))
                .fold(0.0, f64::max);
            // The frame's plane is not the shape's: see the head of the file.
            prop_assert!((reach - 1.0).abs() < 2.0 * scale * scale + 1.1e-4, "{reach}");
        }
    }

    /// A polygon with corners at even angles and these distances from a place: it crosses nothing.
    fn star(radii: &[f64], scale: f64, dec_deg: f64) -> Vec<Direction<Icrs>> {
        let centre = place(200.0, dec_deg);
        let step = Angle::TURN * (1.0 / radii.len() as f64);
        radii
            .iter()
            .enumerate()
            .map(|(k, radius)| centre.offset(step * k as f64, Angle::from_rad(radius * scale)))
            .collect()
    }

    #[test]
    fn a_turned_rectangle_fits_just_so() {
        // 1.5 frame widths by 0.6 frame heights: lying along the frame fills 1.5; no lean helps,
        // since the width falls slower than the height grows to meet it only at
        // 1.5 cos d + 0.6 (h/w) sin d, which first rises.
        let field = Field { half_width: 0.012, half_height: 0.008 };
        for (rotation, dec) in [(0.0, 0.0), (37.0, 50.0), (143.0, -75.0)] {
            let frame =
                Frame { centre: place(80.0, dec), rotation: Angle::from_deg(rotation), field };
            let corners = [(-1.5, -0.6), (1.5, -0.6), (1.5, 0.6), (-1.5, 0.6)];
            let shape = drawn(&corners.map(|(x, y)| frame.point(x, y)));
            // On its way out and back the shape's own middle loses a few parts in 10^10.
            assert!((shape.least_fill(&field) - 1.5).abs() < 1e-8, "{rotation}");
            assert!((shape.best_rotation(&field).deg() - rotation).abs() < 1e-6, "{rotation}");
            let centred = shape.frame(place(0.0, 0.0), &field, shape.best_rotation(&field));
            assert!(centred.centre.separation(frame.centre).arcsec() < 1e-3);
        }
    }

    #[test]
    fn a_rectangle_that_is_turned_to_lean_does_so_at_the_crossing() {
        // A thin strip 1.2 widths long leans until its ends reach as far up as the frame:
        // 1.2 w cos d + s sin d = w t and 1.2 w sin d + s cos d = h t for one t.
        let field = Field { half_width: 0.012, half_height: 0.008 };
        let frame = Frame { centre: place(80.0, 0.0), rotation: Angle::ZERO, field };
        let strip = 0.05;
        let corners = [(-1.2, -strip), (1.2, -strip), (1.2, strip), (-1.2, strip)];
        let shape = drawn(&corners.map(|(x, y)| frame.point(x, y)));
        let (w, h, a, s) = (0.012, 0.008, 1.2 * 0.012, strip * 0.008);
        // tan d from a cos d / w + s sin d / w = a sin d / h + s cos d / h.
        let d = ((a / w - s / h) / (a / h - s / w)).atan();
        let wanted = (a * d.cos() + s * d.sin()) / w;
        assert!((shape.least_fill(&field) - wanted).abs() < 1e-8);
        let found = shape.best_rotation(&field).rad();
        assert!((found - d).abs() < 1e-6, "{found} {d}");
    }

    #[test]
    fn corners_upon_an_ellipse_lean_to_the_same_side_as_the_ellipse() {
        // A long one leans by its best fill to either side alike; rounded corners would choose.
        let field = Field { half_width: 0.0325, half_height: 0.0217 };
        let (outline, centre) = (ellipse(0.0277, 0.009, 35.0), place(10.7, 41.3));
        let rounded = |corner: Direction<Icrs>| {
            let round = |angle: Angle| (angle.deg() * 1e6).round() / 1e6;
            place(round(corner.ra()), round(corner.dec()))
        };
        let corners: Vec<_> = corners_on(&outline, centre, 12).into_iter().map(rounded).collect();
        let (found, smooth) =
            (drawn(&corners).best_rotation(&field), Shape::from(outline).best_rotation(&field));
        assert!((found - smooth).abs().deg() < 2.0, "{} {}", found.deg(), smooth.deg());
    }

    #[test]
    fn a_shape_that_a_notch_was_cut_into_fits_as_its_hull_does() {
        let field = Field { half_width: 0.012, half_height: 0.008 };
        let hull = [place(10.0, 0.0), place(12.0, 0.0), place(12.0, 1.0), place(10.0, 1.0)];
        let mut notched = hull.to_vec();
        notched.insert(1, place(11.0, 0.8));
        let (whole, notched) = (drawn(&hull), drawn(&notched));
        assert!((whole.least_fill(&field) - notched.least_fill(&field)).abs() < 1e-12);
        let turned = whole.best_rotation(&field) - notched.best_rotation(&field);
        assert!(turned.abs().rad() < 1e-9);
    }

    #[test]
    fn what_is_no_shape_is_refused_with_its_corner() {
        let square = [place(10.0, 0.0), place(11.0, 0.0), place(11.0, 1.0), place(10.0, 1.0)];
        let fault = |places: &[Direction<Icrs>]| DrawnShape::new(places).unwrap_err();
        assert_eq!(fault(&square[..2]), ShapeFault::Corners { found: 2 });
        assert_eq!(fault(&[square[0]; 201]), ShapeFault::Corners { found: 201 });
        let crossed = [square[0], square[2], square[1], square[3]];
        assert_eq!(fault(&crossed), ShapeFault::Crossing { side: 1, other: 3 });
        let mut twice = square.to_vec();
        twice.insert(2, square[1]);
        assert_eq!(fault(&twice), ShapeFault::Coincident { corner: 2 });
        let line = [place(10.0, 0.0), place(11.0, 0.0), place(12.0, 0.0)];
        assert_eq!(fault(&line), ShapeFault::Flat);
        let wide = [place(0.0, 0.0), place(140.0, 0.0), place(70.0, 30.0)];
        assert!(matches!(fault(&wide), ShapeFault::Wide { .. }));
        let opposite = [place(0.0, 0.0), place(120.0, 0.0), place(240.0, 0.0)];
        assert!(matches!(fault(&opposite), ShapeFault::Wide { .. }));
        // A spike: out and back along the same line.
        let spike = [square[0], square[1], place(11.0, 2.0), square[2], square[3]];
        assert!(matches!(fault(&spike), ShapeFault::Crossing { .. }), "{:?}", fault(&spike));
    }

    /// Along no meridian or parallel, so that the way back is the way out but for rounding.
    #[test]
    fn a_spike_in_any_direction_is_refused() {
        for dec_deg in [0.0, 52.3, 88.0] {
            let foot = place(200.0, dec_deg);
            let step = |towards_deg: f64, far_deg: f64| {
                foot.offset(Angle::from_deg(towards_deg), Angle::from_deg(far_deg))
            };
            for turn in 0..90 {
                let towards = 4.0 * f64::from(turn) + 0.7;
                let (tip, back) = (step(towards, 1.7), step(towards, 0.6));
                let spike =
                    [step(towards + 150.0, 1.0), foot, tip, back, step(towards + 110.0, 0.9)];
                let found = DrawnShape::new(&spike).unwrap_err();
                let wanted = ShapeFault::Crossing { side: 2, other: 3 };
                assert_eq!(found, wanted, "at {dec_deg} degrees towards {towards}");
            }
        }
    }

    #[test]
    fn about_a_pole_a_shape_is_a_shape() {
        let field = Field { half_width: 0.012, half_height: 0.008 };
        let round: Vec<_> = (0..12).map(|k| place(30.0 * f64::from(k), 89.5)).collect();
        let shape = drawn(&round);
        let radius = Angle::from_deg(0.5).rad().tan();
        // A dodecagon: between its inner and outer circle.
        let fill = shape.least_fill(&field) * 0.008;
        assert!(fill <= radius * (1.0 + 1e-9) && fill >= radius * 0.965, "{fill} {radius}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(150))]

        /// Beside a pole as well, a frame at its own rotation stands on the shape: every corner lies
        /// within the fill of it, and the farthest reaches it.
        #[test]
        fn a_frame_stands_on_its_shape_beside_a_pole(
            ra_deg in 0.0..360.0f64,
            dec_deg in prop_oneof![89.0..89.99f64, -60.0..60.0f64],
            reaches_deg in prop::collection::vec(0.3..1.0f64, 4..9),
            own_deg in -180.0..180.0f64,
        ) {
            let middle = Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg));
            let step = 360.0 / reaches_deg.len() as f64;
            let places: Vec<_> = reaches_deg
                .iter()
                .enumerate()
                .map(|(k, reach)| {
                    middle.offset(Angle::from_deg(step * k as f64), Angle::from_deg(*reach))
                })
                .collect();
            let field = Field { half_width: 0.02, half_height: 0.013 };
            let shape = Shape::Drawn(Arc::new(DrawnShape::new(&places).unwrap()));
            let own = Angle::from_deg(own_deg);
            let (fill, frame) = (shape.fill(&field, own), shape.frame(middle, &field, own));
            let reach = places
                .iter()
                .map(|place| frame.picture_point(*place).unwrap())
                .map(|(x, y)| x.abs().max(y.abs()))
                .fold(0.0, f64::max);
            // The rectangle is on the shape's own plane; the frame's is a degree aside.
            prop_assert!((reach / fill - 1.0).abs() < 0.01, "{reach} {fill}");
        }

        #[test]
        fn corners_on_a_meridian_are_no_shape(ra_deg in 0.0..360.0f64, dec_deg in -60.0..60.0f64) {
            let at = |up: f64| {
                Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg + up))
            };
            prop_assert!(DrawnShape::new(&[at(0.0), at(1.0), at(2.0)]).is_err());
        }
    }
}
