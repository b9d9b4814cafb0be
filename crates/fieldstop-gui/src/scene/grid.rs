//! The equatorial grid, with steps that suit the view, and its labels along the edges.

use fieldstop::{Angle, Direction, Icrs};

use super::labels::{Candidate, Importance, Label, LabelBoard, LabelLine};
use super::palette::Palette;
use super::primitive::{Point, Scene, Stroke};
use super::view::{Projection, Run, SkyView};
use crate::font::Weight;

/// Steps of declination, in seconds of arc.
const DEC_STEPS: [i64; 15] =
    [10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 18_000, 36_000, 54_000, 108_000];
/// Steps of right ascension, in seconds of time; each divides the day.
const RA_STEPS: [i64; 15] =
    [1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 10_800];
const DAY_S: i64 = 86_400;
/// Lines closer than this are too many.
const LEAST_SPACE_PT: f64 = 120.0;
/// Hour circles that come closer than this, towards a pole, end; every fourth goes on.
const CROWDED_PT: f64 = 14.0;

/// What part of the sphere the page shows.
struct Window {
    dec_from: f64,
    dec_to: f64,
    /// Right ascension at the middle, and how far the page reaches either side.
    ra: Angle,
    ra_from: f64,
    ra_to: f64,
}

impl Window {
    fn of(view: &SkyView, projection: &Projection) -> Self {
        const STEPS: i32 = 24;
        let (width, height) = (view.width_pt, view.height_pt);
        let ra = view.centre.ra();
        let mut window = Self { dec_from: 90.0, dec_to: -90.0, ra, ra_from: 180.0, ra_to: -180.0 };
        for step in 0..=STEPS {
            let share = f64::from(step) / f64::from(STEPS);
            let (x, y) = (share * width, share * height);
            for point in [[x, 0.0], [x, height], [0.0, y], [width, y]] {
                window.include(projection.sky(point));
            }
        }
        for dec in [-90.0, 90.0] {
            let pole = Direction::from_ra_dec(Angle::ZERO, Angle::from_deg(dec));
            if projection.point(pole).is_some_and(|point| view.bounds().contains(point)) {
                (window.ra_from, window.ra_to) = (-180.0, 180.0);
                (window.dec_from, window.dec_to) =
                    (window.dec_from.min(dec), window.dec_to.max(dec));
            }
        }
        window
    }

    fn include(&mut self, place: Direction<Icrs>) {
        let (dec, ra) = (place.dec().deg(), (place.ra() - self.ra).wrapped_signed().deg());
        (self.dec_from, self.dec_to) = (self.dec_from.min(dec), self.dec_to.max(dec));
        (self.ra_from, self.ra_to) = (self.ra_from.min(ra), self.ra_to.max(ra));
    }
}

pub(super) fn draw(
    view: &SkyView,
    projection: &Projection,
    palette: &Palette,
    scene: &mut Scene,
    board: &mut LabelBoard,
) {
    let window = Window::of(view, projection);
    let stroke = Stroke::solid(palette.grid, 0.8);
    let pt_per_deg = view.pt_per_tangent() * Angle::from_deg(1.0).rad();
    let dec_step = step(&DEC_STEPS, LEAST_SPACE_PT / pt_per_deg * 3600.0);
    let cos_dec = view.centre.dec().cos().max(0.02);
    let ra_step = step(&RA_STEPS, LEAST_SPACE_PT / (pt_per_deg * cos_dec) * 240.0);

    for index in indices(window.dec_from * 3600.0, window.dec_to * 3600.0, dec_step) {
        let dec_arcsec = index * dec_step;
        // A pole is a point.
        if dec_arcsec.abs() >= 90 * 3600 {
            continue;
        }
        let dec = Angle::from_deg(dec_arcsec as f64 / 3600.0);
        let runs = projection.runs(&parallel(&window, dec, pt_per_deg), false);
        let text = dec_label(dec_arcsec, dec_step);
        board.add(edge_label(
            text,
            &runs,
            view,
            palette,
            &[Edge::Left, Edge::Right, Edge::Top, Edge::Bottom],
        ));
        runs.into_iter().for_each(|run| scene.line(run.points, stroke));
    }
    let (from_s, to_s) = (window.ra.deg() + window.ra_from, window.ra.deg() + window.ra_to);
    let mut drawn = Vec::new();
    for index in indices(from_s * 240.0, to_s * 240.0, ra_step) {
        let seconds = (index * ra_step).rem_euclid(DAY_S);
        if drawn.contains(&seconds) {
            continue;
        }
        drawn.push(seconds);
        let ends = meridian(&window, seconds, ra_step, pt_per_deg);
        let runs = projection.runs(&ends, false);
        let text = ra_label(seconds, ra_step);
        board.add(edge_label(
            text,
            &runs,
            view,
            palette,
            &[Edge::Top, Edge::Bottom, Edge::Left, Edge::Right],
        ));
        runs.into_iter().for_each(|run| scene.line(run.points, stroke));
    }
}

/// The least step that leaves enough space.
fn step(steps: &[i64], wanted: f64) -> i64 {
    let last = steps.last().copied().unwrap_or(1);
    steps.iter().copied().find(|step| *step as f64 >= wanted).unwrap_or(last)
}

fn indices(from: f64, to: f64, step: i64) -> std::ops::RangeInclusive<i64> {
    // OK because both lie within two turns, in seconds.
    (from / step as f64).ceil() as i64..=(to / step as f64).floor() as i64
}

/// A parallel across the window, in steps of some points of the page.
fn parallel(window: &Window, dec: Angle, pt_per_deg: f64) -> Vec<Direction<Icrs>> {
    let (from, to) = ((window.ra_from - 1.0).max(-180.0), (window.ra_to + 1.0).min(180.0));
    let steps = ((to - from) * dec.cos() * pt_per_deg / 16.0).clamp(24.0, 360.0).round();
    // OK because it lies between 24 and 360.
    (0..=steps as u32)
        .map(|k| from + (to - from) * f64::from(k) / steps)
        .map(|offset| Direction::from_ra_dec(window.ra + Angle::from_deg(offset), dec))
        .collect()
}

/// An hour circle through the window: a great circle, so it is straight on the page.
fn meridian(window: &Window, seconds: i64, step: i64, pt_per_deg: f64) -> Vec<Direction<Icrs>> {
    let spacing_pt = step as f64 / 240.0 * pt_per_deg;
    let goes_on = (seconds / step) % 4 == 0;
    let reach = if goes_on { 90.0 } else { (CROWDED_PT / spacing_pt).min(1.0).acos().to_degrees() };
    let ra = Angle::from_deg(seconds as f64 / 240.0);
    let (from, to) = (window.dec_from.max(-reach), window.dec_to.min(reach));
    // In two halves, since a chord from pole to pole has no direction in its middle.
    [from, (from + to) / 2.0, to]
        .map(|dec| Direction::from_ra_dec(ra, Angle::from_deg(dec)))
        .to_vec()
}

/// "21h", "21h 05m" or "21h 05m 30s", as fine as the step.
fn ra_label(seconds: i64, step: i64) -> String {
    let (hours, minutes, rest) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    match step {
        3600.. => format!("{hours}h"),
        60.. => format!("{hours}h {minutes:02}m"),
        _ => format!("{hours}h {minutes:02}m {rest:02}s"),
    }
}

/// "+44°", "+44° 30′" or "+44° 30′ 10″", as fine as the step.
fn dec_label(arcsec: i64, step: i64) -> String {
    let sign = match arcsec {
        0 => "",
        1.. => "+",
        _ => "−",
    };
    let size = arcsec.abs();
    let (degrees, minutes, rest) = (size / 3600, size / 60 % 60, size % 60);
    match step {
        3600.. => format!("{sign}{degrees}°"),
        60.. => format!("{sign}{degrees}° {minutes:02}′"),
        _ => format!("{sign}{degrees}° {minutes:02}′ {rest:02}″"),
    }
}

#[derive(Clone, Copy)]
enum Edge {
    Left,
    Right,
    Top,
    Bottom,
}

/// A label where a line meets the page's edge; one that meets none is named where it begins.
fn edge_label(
    text: String,
    runs: &[Run],
    view: &SkyView,
    palette: &Palette,
    edges: &[Edge],
) -> Label {
    let mut candidates = Vec::new();
    for (order, edge) in edges.iter().enumerate() {
        for point in runs.iter().flat_map(|run| crossings(&run.points, *edge, view)) {
            let (at, share) = match edge {
                Edge::Left => ([4.0, point[1] - 2.5], [0.0, 1.0]),
                Edge::Right => ([view.width_pt - 4.0, point[1] - 2.5], [1.0, 1.0]),
                Edge::Top => ([point[0] + 3.5, 4.0], [0.0, 0.0]),
                Edge::Bottom => ([point[0] + 3.5, view.height_pt - 4.0], [0.0, 1.0]),
            };
            candidates.push(Candidate { at, share, cost: 10.0 * order as f64, leader: None });
        }
    }
    if candidates.is_empty() {
        candidates.extend(runs.iter().filter_map(|run| run.points.first()).map(|point| {
            Candidate {
                at: [point[0] + 3.0, point[1] - 2.0],
                share: [0.0, 1.0],
                cost: 0.0,
                leader: None,
            }
        }));
    }
    let ink = palette.grid_text;
    Label {
        lines: vec![LabelLine { text, weight: Weight::Regular, ink }],
        size_pt: 9.0,
        candidates,
        importance: Importance::Grid,
        leader_ink: ink,
    }
}

/// Where a line crosses an edge of the page.
fn crossings(points: &[Point], edge: Edge, view: &SkyView) -> Vec<Point> {
    let (axis, level) = match edge {
        Edge::Left => (0, 0.0),
        Edge::Right => (0, view.width_pt),
        Edge::Top => (1, 0.0),
        Edge::Bottom => (1, view.height_pt),
    };
    let mut found = Vec::new();
    for (from, to) in points.iter().zip(points.iter().skip(1)) {
        let (before, after) = (from[axis] - level, to[axis] - level);
        if before * after < 0.0 {
            let share = before / (before - after);
            let point = [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])];
            if view.bounds().expanded(1e-6).contains(point) {
                found.push(point);
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::NamePlaces;
    use super::*;

    #[test]
    fn labels_are_as_fine_as_the_step() {
        assert_eq!(ra_label(0, 3600), "0h");
        assert_eq!(ra_label(75_900, 300), "21h 05m");
        assert_eq!(ra_label(75_930, 30), "21h 05m 30s");
        assert_eq!(dec_label(0, 3600), "0°");
        assert_eq!(dec_label(-1800, 1800), "−0° 30′");
        assert_eq!(dec_label(160_210, 10), "+44° 30′ 10″");
    }

    /// Every step is a whole share of what it counts round, so lines meet at 0h and at the poles.
    #[test]
    fn steps_divide_the_circle() {
        assert!(RA_STEPS.iter().all(|step| DAY_S % step == 0));
        assert!(DEC_STEPS.iter().all(|step| (90 * 3600) % step == 0));
    }

    #[test]
    fn lines_are_drawn_across_0h_and_round_a_pole() {
        for (ra, dec, span) in
            [(0.0, 0.0, 10.0), (359.9, 60.0, 2.0), (0.0, 90.0, 20.0), (5.0, -89.5, 1.0)]
        {
            let centre = Direction::from_ra_dec(Angle::from_deg(ra), Angle::from_deg(dec));
            let view = SkyView::new(centre, Angle::from_deg(span), 1000.0, 700.0);
            let mut scene = Scene::new(1000.0, 700.0, Palette::dark().sky);
            let mut board = LabelBoard::new(view.bounds());
            draw(&view, &view.projection(), &Palette::dark(), &mut scene, &mut board);
            assert!((6..80).contains(&scene.items.len()), "{ra} {dec}: {}", scene.items.len());
            let (palette, projection) = (Palette::dark(), view.projection());
            board.write(&palette, &projection, &mut NamePlaces::default(), &mut scene);
            let texts = scene.texts();
            assert!(texts.iter().any(|text| text.text.contains('h')), "{ra} {dec}");
            assert!(texts.iter().any(|text| text.text.contains('°')), "{ra} {dec}");
        }
    }
}
