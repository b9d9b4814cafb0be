//! The targets: outlines at their true size and place, quiet, the chosen one clear.

use fieldstop::Angle;
use fieldstop::shape::Shape as OutlineShape;

use super::labels::{
    Candidate, Importance, Label, LabelBoard, LabelLine, convex_meets_box, share_towards,
};
use super::palette::Palette;
use super::primitive::{Bounds, Disc, Ink, Point, Primitive, Scene, Stroke};
use super::view::{Projection, SkyView};
use super::{SkyInput, frames};
use crate::font::Weight;
use crate::sky::catalogue::Target;
use crate::sky::kind::Kind;

/// How far a drawn ellipse may lie inside the true one.
const TOLERANCE_PT: f64 = 0.05;
/// An outline smaller than this, across, becomes a small mark.
const LEAST_OUTLINE_PT: f64 = 5.0;
/// Dots of an outline whose size is known to be uncertain.
const UNCERTAIN: &[f64] = &[1.5, 3.0];

/// Why a target is drawn; the greatest is drawn last.
#[derive(Clone, Copy, Debug, Eq, Ord, PartialEq, PartialOrd)]
enum Role {
    /// Of the catalogue.
    Listed,
    /// On the wish list.
    Wished,
    /// The one that the frames are aimed at.
    Chosen,
}

pub(super) fn draw(
    input: &SkyInput<'_>,
    projection: &Projection,
    scene: &mut Scene,
    board: &mut LabelBoard,
) {
    let view = &input.view;
    let special = |target: &Target| {
        input.chosen.is_some_and(|chosen| chosen.is_same(target))
            || input.wishes.iter().any(|wish| wish.is_same(target))
    };
    if input.layers.catalogue {
        for target in input.catalogue.near(view.centre, view.radius()) {
            if worth_drawing(target, view) && !special(target) {
                draw_one(target, Role::Listed, input, projection, scene, board);
            }
        }
    }
    for wish in input.wishes {
        if input.chosen.is_none_or(|chosen| !chosen.is_same(wish)) {
            draw_one(wish, Role::Wished, input, projection, scene, board);
        }
    }
    if let Some(chosen) = input.chosen {
        draw_one(chosen, Role::Chosen, input, projection, scene, board);
    }
}

/// The faintest magnitude at which a target is shown: fainter the narrower the view.
fn faintest(view: &SkyView) -> f64 {
    5.2 + 4.9 * (90.0 / view.span.deg()).log10()
}

/// Whether a target of the catalogue is shown at this width; a wide view shows few.
fn worth_drawing(target: &Target, view: &SkyView) -> bool {
    let Some(outline) = target.outline else {
        // A mark without a size is worth its place only where little else is in view.
        return view.span < Angle::from_deg(1.5) && target.magnitude.is_some();
    };
    let across_pt = view.points_across(outline.major);
    // Larger than the page is a background, not a target.
    if outline.major > view.span.max(view.span_down()) * 1.5 {
        return false;
    }
    let known = !target.common_names.is_empty() || target.name.starts_with("M ");
    match target.kind {
        Kind::Other | Kind::Nova | Kind::DoubleStar => known && across_pt > 12.0,
        Kind::Association => known && across_pt > 40.0,
        _ => match target.magnitude {
            Some(magnitude) => magnitude < faintest(view) + if known { 1.0 } else { 0.0 },
            None => across_pt > if known { 10.0 } else { 26.0 },
        },
    }
}

fn draw_one(
    target: &Target,
    role: Role,
    input: &SkyInput<'_>,
    projection: &Projection,
    scene: &mut Scene,
    board: &mut LabelBoard,
) {
    let palette = input.palette;
    let ink = match role {
        Role::Listed => palette.target,
        Role::Wished => palette.wish,
        Role::Chosen => palette.chosen,
    };
    let shape = target.shape();
    let across_pt = shape.as_ref().map(|shape| input.view.points_across(shape.major()));
    // What keeps a line clear of a photograph behind it, as a frame's casing does.
    let casing = input.picture.filter(|picture| picture.opacity > 0.0).map(|_| palette.halo);
    let pen = Pen { ink, casing };
    let shape = match (shape, across_pt) {
        (Some(shape), Some(across_pt)) if across_pt >= LEAST_OUTLINE_PT => {
            draw_outline(target, &shape, role, pen, palette, projection, scene)
        }
        (shape, _) => draw_mark(target, shape.is_none(), pen, projection, scene),
    };
    let Some(shape) = shape else {
        return;
    };
    if role == Role::Chosen {
        board.keep_clear(shape.points.clone());
    }
    let in_view = shape.bounds.overlaps(&input.view.bounds());
    for line in &shape.lines {
        board.avoid_outline(line.clone());
    }
    let said = role == Role::Chosen && input.layers.captioned;
    if input.layers.text && in_view && !said && worth_naming(target, role, &input.view) {
        board.add(label(target, role, ink, &shape, &input.view));
    }
}

/// Where a target stands on the page.
struct Shape {
    points: Vec<Point>,
    bounds: Bounds,
    /// What is drawn of it on the page.
    lines: Vec<Vec<Point>>,
}

impl Shape {
    fn of(points: Vec<Point>, lines: Vec<Vec<Point>>) -> Option<Self> {
        let bounds = Bounds::about(&points)?;
        Some(Self { points, bounds, lines })
    }
}

/// What an outline is drawn with.
#[derive(Clone, Copy)]
struct Pen {
    ink: Ink,
    /// Of the wider line under it, if it has one.
    casing: Option<Ink>,
}

impl Pen {
    fn line(self, points: &[Point], closed: bool, stroke: Stroke, scene: &mut Scene) {
        /// As much as a frame's casing is wider than its line.
        const WIDER_PT: f64 = 1.4;
        let width_pt = stroke.width_pt + WIDER_PT;
        let under = self.casing.map(|ink| Stroke { ink, width_pt, ..stroke });
        for stroke in under.into_iter().chain([stroke]) {
            if closed {
                scene.outline(points.to_vec(), stroke);
            } else {
                scene.line(points.to_vec(), stroke);
            }
        }
    }
}

fn draw_outline(
    target: &Target,
    shape: &OutlineShape,
    role: Role,
    pen: Pen,
    palette: &Palette,
    projection: &Projection,
    scene: &mut Scene,
) -> Option<Shape> {
    let tolerance = TOLERANCE_PT / projection.pt_per_tangent();
    // A drawn polygon's hull, since what is filled and kept clear of words is convex.
    let (places, around) = match shape {
        OutlineShape::Ellipse(outline) => {
            let places = outline.on_sky(target.place, tolerance);
            (places.clone(), places)
        }
        OutlineShape::Drawn(drawn) => (drawn.places().to_vec(), drawn.hull_on_sky()),
    };
    let is_convex = places.len() == around.len();
    let points: Option<Vec<Point>> = around.iter().map(|place| projection.point(*place)).collect();
    let (width, fill) = match role {
        Role::Listed => (0.8, 0.025),
        Role::Wished => (1.1, 0.05),
        Role::Chosen => (1.5, 0.07),
    };
    if let Some(points) = points.as_ref().filter(|_| is_convex) {
        let inside = frames::clipped(points, &projection.bounds().expanded(4.0));
        if inside.len() > 2 {
            scene.polygon(
                inside,
                pen.ink.with_opacity(if palette.is_bright() { fill * 1.2 } else { fill }),
            );
        }
    }
    let dash = if target.size_uncertain && target.drawn.is_none() { UNCERTAIN } else { &[] };
    let mut lines = Vec::new();
    for mut run in projection.runs(&places, true) {
        let dashed = Stroke::dashed(pen.ink, width, dash);
        let stroke = Stroke { dash_offset_pt: run.begins_pt, ..dashed };
        pen.line(&run.points, run.closed, stroke, scene);
        let first = run.points.first().copied();
        run.points.extend(first.filter(|_| run.closed));
        lines.push(run.points);
    }
    Shape::of(points?, lines)
}

/// A small mark: a ring for what is too small for its outline, a cross of four strokes with an
/// open middle for what has no known size.
fn draw_mark(
    target: &Target,
    size_unknown: bool,
    pen: Pen,
    projection: &Projection,
    scene: &mut Scene,
) -> Option<Shape> {
    let [x, y] = projection.point(target.place)?;
    if !projection.bounds().expanded(8.0).contains([x, y]) {
        return None;
    }
    let stroke = Stroke::solid(pen.ink, 1.0);
    let reach = if size_unknown {
        for (dx, dy) in [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)] {
            let at = |r: f64| [x + r * dx, y + r * dy];
            pen.line(&[at(3.0), at(8.0)], false, stroke, scene);
        }
        8.0
    } else {
        pen.line(&ring([x, y], 3.0), true, stroke, scene);
        3.0
    };
    let [a, b, c, d] = Bounds::at(x - reach, y - reach, 2.0 * reach, 2.0 * reach).corners();
    Shape::of(vec![a, b, c, d], vec![vec![a, b, c, d, a]])
}

/// A circle as a polygon.
pub(super) fn ring([x, y]: Point, radius: f64) -> Vec<Point> {
    const SIDES: u32 = 24;
    (0..SIDES)
        .map(|k| f64::from(k) / f64::from(SIDES) * std::f64::consts::TAU)
        .map(|angle| [x + radius * angle.cos(), y + radius * angle.sin()])
        .collect()
}

fn worth_naming(target: &Target, role: Role, view: &SkyView) -> bool {
    if role != Role::Listed {
        return true;
    }
    let across_pt = target.outline.map_or(0.0, |outline| view.points_across(outline.major));
    let known = !target.common_names.is_empty() || target.name.starts_with("M ");
    let bright = target.magnitude.is_some_and(|magnitude| magnitude < faintest(view) - 1.0);
    across_pt > 34.0 || bright || (known && across_pt > 8.0)
}

/// The words at a target: its name, for the chosen one what else it is called too.
fn words(target: &Target, role: Role) -> Vec<(String, Weight)> {
    let behind = target.also_called();
    let mut words = Vec::new();
    match role {
        Role::Chosen => {
            words.push((target.name.clone(), Weight::Heavy));
            if !behind.is_empty() {
                words.push((behind, Weight::Regular));
            }
        }
        Role::Wished | Role::Listed => words.push((target.name.clone(), Weight::Regular)),
    }
    if target.shape().is_none() && role != Role::Listed {
        words.push(("size unknown".to_owned(), Weight::Regular));
    }
    words
}

fn label(target: &Target, role: Role, ink: Ink, shape: &Shape, view: &SkyView) -> Label {
    let across_pt = shape.bounds.width().max(shape.bounds.height());
    let lines = words(target, role)
        .into_iter()
        .map(|(text, weight)| LabelLine { text, weight, ink })
        .collect();
    // OK because a float is cast to the nearest value that fits.
    let prominence = (across_pt * 10.0) as u32;
    Label {
        lines,
        size_pt: if role == Role::Chosen { 12.0 } else { 10.0 },
        candidates: candidates(shape, role, view),
        importance: match role {
            Role::Listed => Importance::Target(prominence),
            Role::Wished => Importance::Wish,
            Role::Chosen => Importance::Chosen,
        },
        leader_ink: ink,
    }
}

/// Below, above, beside the outline, then anywhere round it; for one that reaches over the page's
/// edges, inside it. Farther away it has a leader.
fn candidates(shape: &Shape, role: Role, view: &SkyView) -> Vec<Candidate> {
    let Bounds { left, top, right, bottom } = shape.bounds;
    let (x, y) = ((left + right) / 2.0, (top + bottom) / 2.0);
    let place = |at: Point, share: [f64; 2], cost: f64| Candidate { at, share, cost, leader: None };
    let mut candidates = vec![
        place([x, bottom + AWAY], [0.5, 0.0], 0.0),
        place([x, top - AWAY], [0.5, 1.0], 0.5),
        place([right + AWAY, y], [0.0, 0.5], 1.0),
        place([left - AWAY, y], [1.0, 0.5], 1.0),
        place([right, bottom + AWAY], [0.0, 0.0], 1.5),
        place([left, bottom + AWAY], [1.0, 0.0], 1.5),
    ];
    if shape.bounds.width() > 60.0 && shape.bounds.height() > 30.0 {
        let page = view.bounds().expanded(-50.0);
        let middle = [
            x.clamp(page.left, page.right.max(page.left)),
            y.clamp(page.top, page.bottom.max(page.top)),
        ];
        for (at, share, cost) in [([x, bottom - 8.0], [0.5, 1.0], 6.0), (middle, [0.5, 0.5], 8.0)] {
            if convex_meets_box(&shape.points, &Bounds::at(at[0], at[1] - 1.0, 0.0, 0.0)) {
                candidates.push(place(at, share, cost));
            }
        }
    }
    for way in 0..WAYS {
        round(shape, way, role, &mut candidates);
    }
    candidates
}

/// Directions in which a name is tried round an outline.
const WAYS: u32 = 16;
/// Space between an outline and its name.
const AWAY: f64 = 5.0;

/// Places in one direction of the page: at the point of the outline that lies farthest that way.
fn round(shape: &Shape, way: u32, role: Role, candidates: &mut Vec<Candidate>) {
    const REACHES: [f64; 9] = [18.0, 26.0, 36.0, 48.0, 64.0, 84.0, 110.0, 144.0, 188.0];
    // What nobody asked for is not worth a long line.
    let most = if role == Role::Listed { 64.0 } else { f64::INFINITY };
    let (sin, cos) = (f64::from(way) / f64::from(WAYS) * std::f64::consts::TAU).sin_cos();
    let along = |[x, y]: Point| x * cos + y * sin;
    let farthest = shape.points.iter().copied().max_by(|a, b| along(*a).total_cmp(&along(*b)));
    let Some([x, y]) = farthest else { return };
    let share = share_towards([cos, sin]);
    let at = |reach: f64| [x + reach * cos, y + reach * sin];
    candidates.push(Candidate { at: at(AWAY), share, cost: 2.0, leader: None });
    candidates.extend(REACHES.into_iter().filter(|reach| *reach <= most).map(|reach| Candidate {
        at: at(reach),
        share,
        cost: 9.0 + reach / 20.0,
        leader: Some([x, y]),
    }));
}

/// A dot in the middle of a place, for the painter's sake a disc.
pub(super) fn dot([x, y]: Point, radius: f64, ink: Ink) -> Primitive {
    let [x, y, radius] = [x, y, radius].map(|v| v as f32);
    Primitive::Discs(vec![Disc { x, y, radius, ink }])
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::super::{Layers, sky_scene};
    use super::*;
    use crate::sky::Sky;

    fn words_about(chosen: &str, wishes: &[&str], span_deg: f64) -> Vec<String> {
        let sky = Sky::embedded().unwrap();
        let named = |name: &str| sky.catalogue.named(name).unwrap();
        let wishes: Vec<&Target> = wishes.iter().map(|name| named(name)).collect();
        let chosen = named(chosen);
        let scene = sky_scene(&SkyInput {
            view: SkyView::new(chosen.place, Angle::from_deg(span_deg), 900.0, 600.0),
            palette: &Palette::dark(),
            catalogue: &sky.catalogue,
            star_list: &sky.stars,
            stars: &[],
            chosen: Some(chosen),
            wishes: &wishes,
            frames: &[],
            picture: None,
            layers: Layers { catalogue: false, ..Layers::default() },
        });
        scene.texts().into_iter().map(|text| text.text).collect()
    }

    #[test]
    fn a_wish_in_view_is_named_and_one_far_away_is_not() {
        let words = words_about("M 57", &["M 56", "NGC 7000", "M 31"], 12.0);
        assert!(words.contains(&"M 57".to_owned()) && words.contains(&"M 56".to_owned()));
        assert!(!words.contains(&"NGC 7000".to_owned()) && !words.contains(&"M 31".to_owned()));
    }

    #[test]
    fn an_unknown_size_is_said() {
        let sky = Sky::embedded().unwrap();
        let sizeless = sky.catalogue.targets().iter().find(|t| t.outline.is_none()).unwrap();
        let words = words_about(&sizeless.name, &[], 2.0);
        assert!(words.contains(&"size unknown".to_owned()), "{words:?}");
    }
}
