//! The frames: exact quadrilaterals on the sky, each in its rig's colour and dash, with its
//! numbers at a corner and outside of it.

use fieldstop::{Angle, Frame};

use super::labels::{
    Candidate, Importance, Label, LabelBoard, LabelLine, convex_meets_box, share_towards,
};
use super::palette::Palette;
use super::primitive::{Bounds, Ink, Point, Scene, Stroke};
use super::style::rig_style;
use super::targets::{dot, ring};
use super::view::{Projection, SkyView, visible_part};
use super::{DrawnFrame, SkyInput};
use crate::font::Weight;

/// How far from a frame its name may stand, with a leader.
const REACHES: [f64; 16] = [
    14.0, 20.0, 27.0, 35.0, 44.0, 54.0, 66.0, 80.0, 96.0, 114.0, 134.0, 158.0, 186.0, 220.0, 265.0,
    320.0,
];
/// From the middle of a frame's top edge to its turning handle.
const STEM_PT: f64 = 26.0;
/// Radius of the handle's ring.
pub const HANDLE_RADIUS_PT: f64 = 6.0;

/// Where the handle stands by which a frame is turned: a little above the middle of its top edge.
///
/// `None` where that is not on the page.
pub fn turn_handle(frame: &Frame, view: &SkyView) -> Option<[f64; 2]> {
    stem(frame, &view.projection()).map(|[_, handle]| handle)
}

/// From the middle of the top edge outward to the handle.
fn stem(frame: &Frame, projection: &Projection) -> Option<[Point; 2]> {
    let edge = projection.point(frame.point(0.0, -1.0))?;
    // A little inside, so that the direction is that of the frame there and not of the page.
    let below = projection.point(frame.point(0.0, -0.999))?;
    let (dx, dy) = (edge[0] - below[0], edge[1] - below[1]);
    let length = dx.hypot(dy);
    if length <= 0.0 {
        return None;
    }
    let handle = [edge[0] + dx / length * STEM_PT, edge[1] + dy / length * STEM_PT];
    let page = projection.bounds().expanded(-HANDLE_RADIUS_PT);
    (page.contains(edge) && page.contains(handle)).then_some([edge, handle])
}

pub(super) fn draw(
    input: &SkyInput<'_>,
    projection: &Projection,
    scene: &mut Scene,
    board: &mut LabelBoard,
) {
    let mut order: Vec<&DrawnFrame> = input.frames.iter().collect();
    // Stable, so that among equals the shortlist's order decides.
    order.sort_by_key(|drawn| (drawn.lifted, drawn.chosen));
    for drawn in &order {
        draw_panels(drawn, input.palette, projection, scene);
    }
    for drawn in &order {
        draw_frame(drawn, input.palette, projection, scene);
        draw_cut_off(drawn, input.palette, projection, scene);
    }
    for drawn in order.iter().filter(|drawn| drawn.chosen) {
        draw_handle(drawn, input.palette, projection, scene, board);
    }
    for drawn in order {
        let corners: Option<Vec<Point>> =
            drawn.frame.corners().into_iter().map(|corner| projection.point(corner)).collect();
        let Some(corners) = corners else {
            continue;
        };
        for (from, to) in corners.iter().zip(corners.iter().cycle().skip(1)) {
            board.avoid_line(*from, *to);
        }
        if input.layers.text && !drawn.name.is_empty() {
            board.add(label(drawn, corners, input.palette, projection));
        }
    }
}

fn draw_frame(drawn: &DrawnFrame, palette: &Palette, projection: &Projection, scene: &mut Scene) {
    let ink = palette.rig(drawn.mark);
    let width = match (drawn.lifted, drawn.chosen) {
        (false, false) => 1.5,
        (false, true) => 2.2,
        (true, _) => 2.8,
    };
    let corners = drawn.frame.corners();
    if drawn.lifted {
        let points: Option<Vec<Point>> =
            corners.iter().map(|corner| projection.point(*corner)).collect();
        let inside = clipped(&points.unwrap_or_default(), &projection.bounds().expanded(4.0));
        if inside.len() > 2 {
            scene.polygon(inside, ink.with_opacity(0.07));
        }
    }
    let casing = Stroke::solid(palette.rig_casing(drawn.mark), width + 1.4);
    let dashed = Stroke::dashed(ink, width, rig_style(drawn.mark).dash);
    for run in projection.runs(&corners, true) {
        let line = Stroke { dash_offset_pt: run.begins_pt, ..dashed };
        let casing = Stroke { dash: dashed.dash, dash_offset_pt: run.begins_pt, ..casing };
        if run.closed {
            scene.outline(run.points.clone(), casing);
            scene.outline(run.points, line);
        } else {
            scene.line(run.points.clone(), casing);
            scene.line(run.points, line);
        }
    }
}

/// The arcs of an image circle that is too small, where it cuts the corners off.
fn draw_cut_off(drawn: &DrawnFrame, palette: &Palette, projection: &Projection, scene: &mut Scene) {
    const STEPS: u32 = 16;
    let Some(radius) = drawn.lit_radius else { return };
    let aspect = drawn.frame.field.half_width / drawn.frame.field.half_height;
    // From where the circle leaves the side to where it leaves the upper or lower edge.
    let from = if radius > 1.0 { (1.0 / radius).acos() } else { 0.0 };
    let to = (1.0 / (radius * aspect)).min(1.0).asin();
    let stroke = Stroke::solid(palette.rig(drawn.mark).with_opacity(0.8), 1.0);
    for (across, down) in [(1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0)] {
        let places: Vec<_> = (0..=STEPS)
            .map(|step| from + (to - from) * f64::from(step) / f64::from(STEPS))
            .map(|angle| {
                let (sin, cos) = angle.sin_cos();
                drawn.frame.point(across * radius * cos, down * radius * aspect * sin)
            })
            .collect();
        for run in projection.runs(&places, false) {
            scene.line(run.points, stroke);
        }
    }
}

/// The panels thin, and round them the outline of the whole mosaic.
fn draw_panels(drawn: &DrawnFrame, palette: &Palette, projection: &Projection, scene: &mut Scene) {
    if drawn.panels.len() < 2 {
        return;
    }
    let ink = palette.rig(drawn.mark);
    for panel in &drawn.panels {
        for run in projection.runs(&panel.corners(), true) {
            let stroke = Stroke::solid(ink.with_opacity(0.45), 0.8);
            if run.closed {
                scene.outline(run.points, stroke);
            } else {
                scene.line(run.points, stroke);
            }
        }
    }
    if let Some(outline) = mosaic_outline(drawn, projection) {
        let outline = clipped(&outline, &projection.bounds().expanded(4.0));
        if outline.len() > 2 {
            scene.outline(outline, Stroke::solid(ink.with_opacity(0.8), 1.2));
        }
    }
}

/// Round all panels; `None` without a mosaic, or where a panel lies behind the viewer.
fn mosaic_outline(drawn: &DrawnFrame, projection: &Projection) -> Option<Vec<Point>> {
    let corners = drawn.panels.iter().flat_map(Frame::corners);
    let around: Option<Vec<Point>> = corners.map(|corner| projection.point(corner)).collect();
    (drawn.panels.len() > 1).then_some(convex_hull(around?))
}

fn draw_handle(
    drawn: &DrawnFrame,
    palette: &Palette,
    projection: &Projection,
    scene: &mut Scene,
    board: &mut LabelBoard,
) {
    let Some([edge, handle]) = stem(&drawn.frame, projection) else {
        return;
    };
    let ink = palette.rig(drawn.mark);
    let share = 1.0 - HANDLE_RADIUS_PT / STEM_PT;
    let foot = [edge[0] + share * (handle[0] - edge[0]), edge[1] + share * (handle[1] - edge[1])];
    scene.line(vec![edge, foot], Stroke::solid(ink, 1.4));
    scene.items.push(dot(handle, HANDLE_RADIUS_PT + 1.2, palette.rig_casing(drawn.mark)));
    scene.items.push(dot(handle, HANDLE_RADIUS_PT, palette.sky));
    scene.outline(ring(handle, HANDLE_RADIUS_PT), Stroke::solid(ink, 1.6));
    let around = Bounds::at(handle[0], handle[1], 0.0, 0.0).expanded(HANDLE_RADIUS_PT + 2.0);
    board.reserve(around);
    board.avoid_line(edge, foot);
}

/// Name and numbers, outside the frame at one of its corners.
fn label(
    drawn: &DrawnFrame,
    corners: Vec<Point>,
    palette: &Palette,
    projection: &Projection,
) -> Label {
    const SIZE_PT: f64 = 10.5;
    // A mosaic is named at a corner of the whole.
    let corners = mosaic_outline(drawn, projection).unwrap_or(corners);
    let ink = label_ink(drawn.mark, palette);
    let mut lines = vec![LabelLine { text: drawn.name.clone(), weight: Weight::Heavy, ink }];
    lines.extend(drawn.lines.iter().map(|text| LabelLine {
        text: text.clone(),
        weight: Weight::Regular,
        ink,
    }));
    let mut label = Label {
        lines,
        size_pt: SIZE_PT,
        candidates: Vec::new(),
        importance: if drawn.chosen || drawn.lifted {
            Importance::ChosenFrame
        } else {
            Importance::Frame
        },
        leader_ink: ink,
    };
    let (width, height) = label.size();
    label.candidates = candidates(&corners, width, height);
    label.candidates.extend(along_edges(&corners, projection.bounds(), width, height));
    label
}

/// The rig's colour, made legible as text: pale ones darker on a bright ground.
fn label_ink(mark: u8, palette: &Palette) -> Ink {
    let ink = palette.rig(mark);
    if palette.is_bright() {
        ink.mixed(palette.text, 0.5)
    } else {
        ink.mixed(
            palette.text,
            if palette.ground == super::palette::Ground::Red { 0.0 } else { 0.2 },
        )
    }
}

/// Places outside a frame: close to its corners first, then farther out with a leader.
fn candidates(corners: &[Point], width: f64, height: f64) -> Vec<Candidate> {
    const AWAY: f64 = 4.0;
    let middle =
        [0, 1].map(|axis| corners.iter().map(|c| c[axis]).sum::<f64>() / corners.len() as f64);
    let mut candidates = Vec::new();
    for corner in corners {
        let [x, y] = *corner;
        // Corners that are higher up and further left on the page are where the eye begins.
        let order =
            0.8 * f64::from(u8::from(y > middle[1])) + 0.4 * f64::from(u8::from(x > middle[0]));
        for (at, share, cost) in [
            ([x, y - AWAY], [0.0, 1.0], 0.0),
            ([x, y - AWAY], [1.0, 1.0], 0.0),
            ([x, y + AWAY], [0.0, 0.0], 0.2),
            ([x, y + AWAY], [1.0, 0.0], 0.2),
            ([x + AWAY, y], [0.0, 0.0], 0.5),
            ([x - AWAY, y], [1.0, 0.0], 0.5),
            ([x + AWAY, y], [0.0, 1.0], 0.5),
            ([x - AWAY, y], [1.0, 1.0], 0.5),
        ] {
            let bounds =
                Bounds::at(at[0] - share[0] * width, at[1] - share[1] * height, width, height);
            if !convex_meets_box(corners, &bounds) {
                candidates.push(Candidate { at, share, cost: cost + order, leader: None });
            }
        }
        candidates.extend(farther(*corner, middle, order));
    }
    candidates
}

/// Places along what the page shows of each edge, for a frame whose corners are off the page or beset.
fn along_edges(corners: &[Point], page: Bounds, width: f64, height: f64) -> Vec<Candidate> {
    const AWAY: f64 = 4.0;
    /// More than any place outside, less than to cover a line.
    const INSIDE: f64 = 40.0;
    let middle =
        [0, 1].map(|axis| corners.iter().map(|c| c[axis]).sum::<f64>() / corners.len() as f64);
    let mut candidates = Vec::new();
    for (from, to) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        let Some((enters, leaves)) = visible_part(*from, *to, &page) else {
            continue;
        };
        let (along, length) =
            ([to[0] - from[0], to[1] - from[1]], (to[0] - from[0]).hypot(to[1] - from[1]));
        for (place, share) in [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9].into_iter().enumerate()
        {
            let share = enters + share * (leaves - enters);
            let foot = [from[0] + share * along[0], from[1] + share * along[1]];
            let normal = [-along[1] / length, along[0] / length];
            let inward =
                normal[0] * (middle[0] - foot[0]) + normal[1] * (middle[1] - foot[1]) > 0.0;
            let out = normal.map(|part| if inward { -part } else { part });
            let share = share_towards(out);
            let at = [foot[0] + AWAY * out[0], foot[1] + AWAY * out[1]];
            let bounds =
                Bounds::at(at[0] - share[0] * width, at[1] - share[1] * height, width, height);
            if !convex_meets_box(corners, &bounds) {
                candidates.push(Candidate { at, share, cost: 3.0, leader: None });
            }
            // Of an edge that the page cuts off the middle slides along as the view moves.
            if place == 0 && enters == 0.0 && leaves == 1.0 {
                candidates.extend(REACHES.map(|reach| Candidate {
                    at: [0, 1].map(|axis| foot[axis] + reach * out[axis]),
                    share,
                    cost: 8.0 + reach / 40.0,
                    leader: Some(foot),
                }));
            }
            // Inside, where the page ends too soon beyond the edge.
            let at = [foot[0] - AWAY * out[0], foot[1] - AWAY * out[1]];
            let share = share.map(|share| 1.0 - share);
            candidates.push(Candidate { at, share, cost: INSIDE, leader: None });
        }
    }
    candidates
}

/// Places away from a corner: straight out to the side, up or down, and slantwise.
fn farther(corner: Point, middle: Point, order: f64) -> Vec<Candidate> {
    let out = [0, 1].map(|axis| if corner[axis] < middle[axis] { -1.0 } else { 1.0 });
    let share = out.map(|out| if out < 0.0 { 1.0 } else { 0.0 });
    // Degrees from the horizontal.
    let ways = [
        (0.0, [share[0], 0.5], 0.0),
        (90.0, [0.5, share[1]], 0.0),
        (45.0, share, 0.3),
        (20.0, share, 0.4),
        (70.0, share, 0.4),
    ]
    .map(|(slope, share, dislike)| (Angle::from_deg(slope).sin_cos(), share, dislike));
    let places = REACHES.into_iter().flat_map(|reach| ways.map(|way| (reach, way)));
    places
        .map(|(reach, ((sin, cos), share, dislike))| Candidate {
            at: [corner[0] + reach * out[0] * cos, corner[1] + reach * out[1] * sin],
            share,
            cost: 4.0 + reach / 40.0 + dislike + order,
            leader: Some(corner),
        })
        .collect()
}

/// What of a convex polygon lies in a box.
///
/// # Source
/// Sutherland & Hodgman 1974, Comm. ACM 17, 32.
pub(super) fn clipped(polygon: &[Point], bounds: &Bounds) -> Vec<Point> {
    let mut kept = polygon.to_vec();
    for (axis, level, sign) in [
        (0, bounds.left, 1.0),
        (0, bounds.right, -1.0),
        (1, bounds.top, 1.0),
        (1, bounds.bottom, -1.0),
    ] {
        let depth = |point: Point| (point[axis] - level) * sign;
        let before = std::mem::take(&mut kept);
        for (from, to) in before.iter().zip(before.iter().cycle().skip(1)) {
            let (here, there) = (depth(*from), depth(*to));
            if here >= 0.0 {
                kept.push(*from);
            }
            if here * there < 0.0 {
                let share = here / (here - there);
                kept.push([0, 1].map(|k| from[k] + share * (to[k] - from[k])));
            }
        }
    }
    kept
}

/// The convex hull of points, in order round it.
///
/// # Source
/// Andrew 1979, Inf. Proc. Letters 9, 216 (monotone chain).
fn convex_hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let turn = |a: Point, b: Point, c: Point| {
        (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    };
    let chain = |points: &mut dyn Iterator<Item = &Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for point in points {
            while let [.., a, b] = chain[..]
                && turn(a, b, *point) <= 0.0
            {
                chain.pop();
            }
            chain.push(*point);
        }
        chain.pop();
        chain
    };
    let mut hull = chain(&mut points.iter());
    hull.extend(chain(&mut points.iter().rev()));
    hull
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::*;
    use fieldstop::{Direction, Field};

    fn frame(rotation_deg: f64) -> (Frame, SkyView) {
        let centre = Direction::from_ra_dec(Angle::from_deg(10.0), Angle::from_deg(89.9));
        let field = Field { half_width: 0.02, half_height: 0.01 };
        let frame = Frame { centre, rotation: Angle::from_deg(rotation_deg), field };
        (frame, SkyView::new(centre, Angle::from_deg(6.0), 1200.0, 800.0))
    }

    #[test]
    fn the_handle_stands_above_the_top_edge_and_turns_with_the_frame() {
        for rotation in [0.0, 30.0, 200.0] {
            let (frame, view) = frame(rotation);
            let [x, y] = turn_handle(&frame, &view).unwrap();
            let (sin, cos) = Angle::from_deg(rotation).sin_cos();
            let reach = 0.01 * view.pt_per_tangent() + STEM_PT;
            // North is up and east is left, so up turns to the left.
            assert!((x - (600.0 - reach * sin)).abs() < 1e-6, "{rotation}");
            assert!((y - (400.0 - reach * cos)).abs() < 1e-6, "{rotation}");
        }
    }

    #[test]
    fn a_handle_off_the_page_is_no_handle() {
        let (frame, view) = frame(0.0);
        assert!(turn_handle(&frame, &view.zoomed(40.0, [600.0, 400.0])).is_none());
    }

    #[test]
    fn candidates_lie_outside_the_frame() {
        let corners = [[100.0, 100.0], [300.0, 150.0], [280.0, 250.0], [80.0, 200.0]];
        for candidate in candidates(&corners, 60.0, 30.0) {
            let [x, y] = candidate.at;
            let [right, down] = candidate.share;
            let bounds = Bounds::at(x - right * 60.0, y - down * 30.0, 60.0, 30.0);
            assert!(!convex_meets_box(&corners, &bounds), "{candidate:?}");
        }
    }

    #[test]
    fn the_hull_of_a_grid_is_its_four_corners() {
        let grid = (0..12).map(|k| [f64::from(k % 4), f64::from(k / 4)]).collect();
        let hull = convex_hull(grid);
        assert_eq!(hull, [[0.0, 0.0], [3.0, 0.0], [3.0, 2.0], [0.0, 2.0]]);
    }

    #[test]
    fn a_polygon_is_cut_at_the_page() {
        let square = [[-5.0, -5.0], [5.0, -5.0], [5.0, 5.0], [-5.0, 5.0]];
        let part = clipped(&square, &Bounds::at(0.0, 0.0, 10.0, 10.0));
        assert_eq!(part.len(), 4);
        assert!(part.iter().all(|[x, y]| *x >= 0.0 && *y >= 0.0));
        assert!(clipped(&square, &Bounds::at(20.0, 0.0, 10.0, 10.0)).is_empty());
    }
}
