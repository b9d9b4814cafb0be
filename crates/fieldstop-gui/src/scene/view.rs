//! Where on the sky the page looks: the map between places on the sky and points on the page.
//!
//! Gnomonic at the middle of the view, north up and east left there unless the view is turned, so
//! every great circle is a straight line and every frame aimed at the middle a true rectangle.

use fieldstop::{Angle, Direction, Field, Frame, Icrs, TangentPlane, TangentPoint};

use super::primitive::{Bounds, Point};

/// What part of the sky is shown, and on how large a page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SkyView {
    /// In the middle of the page.
    pub centre: Direction<Icrs>,
    /// From the left to the right edge, through the middle.
    pub span: Angle,
    /// Width of the page.
    pub width_pt: f64,
    /// Height of the page.
    pub height_pt: f64,
    /// Position angle of the page's up direction in the middle, from north through east.
    pub up: Angle,
}

impl SkyView {
    /// The narrowest span.
    pub const SPAN_MIN: Angle = Angle::from_arcmin(5.0);
    /// The widest span, of the page's longer side.
    pub const SPAN_MAX: Angle = Angle::from_deg(90.0);

    /// A view of a place. A span outside the limits becomes the nearest that is inside; a page
    /// is at least one point wide and high.
    pub fn new(centre: Direction<Icrs>, span: Angle, width_pt: f64, height_pt: f64) -> Self {
        let (width_pt, height_pt) = (width_pt.max(1.0), height_pt.max(1.0));
        let most = widest(width_pt, height_pt);
        // The order makes a NaN the widest span.
        let span = span.min(most).max(Self::SPAN_MIN.min(most));
        Self { centre, span, width_pt, height_pt, up: Angle::ZERO }
    }

    /// What a frame takes, and nothing beside it, on a page of this width: the picture.
    pub fn filled_by(frame: &Frame, width_pt: f64) -> Self {
        let Field { half_width, half_height } = frame.field;
        Self {
            centre: frame.centre,
            span: frame.field.width(),
            width_pt,
            height_pt: width_pt * half_height / half_width,
            up: frame.rotation,
        }
    }

    /// The same middle and span on a page of another size.
    pub fn resized(self, width_pt: f64, height_pt: f64) -> Self {
        Self { up: self.up, ..Self::new(self.centre, self.span, width_pt, height_pt) }
    }

    /// Points of the page to one radian's tangent in the middle.
    pub fn pt_per_tangent(&self) -> f64 {
        self.width_pt / 2.0 / (self.span / 2.0).tan()
    }

    /// Points of the page that an angle spans in the middle.
    pub fn points_across(&self, angle: Angle) -> f64 {
        2.0 * (angle / 2.0).tan() * self.pt_per_tangent()
    }

    /// From the top to the bottom edge, through the middle.
    pub fn span_down(&self) -> Angle {
        Angle::from_rad((self.height_pt / 2.0 / self.pt_per_tangent()).atan()) * 2.0
    }

    /// From the middle to a corner.
    pub fn radius(&self) -> Angle {
        let half_diagonal_pt = self.width_pt.hypot(self.height_pt) / 2.0;
        Angle::from_rad((half_diagonal_pt / self.pt_per_tangent()).atan())
    }

    /// The whole page.
    pub const fn bounds(&self) -> Bounds {
        Bounds::at(0.0, 0.0, self.width_pt, self.height_pt)
    }

    /// The map from sky to page, made once for many places.
    pub fn projection(&self) -> Projection {
        Projection {
            plane: TangentPlane::new(self.centre),
            scale: self.pt_per_tangent(),
            middle: [self.width_pt / 2.0, self.height_pt / 2.0],
            turn: self.up.sin_cos(),
            bounds: self.bounds(),
        }
    }

    /// Where a place falls on the page, or beside it; `None` from 90 degrees off the middle on.
    pub fn point(&self, place: Direction<Icrs>) -> Option<Point> {
        self.projection().point(place)
    }

    /// The place on the sky behind a point of the page.
    pub fn sky(&self, point: Point) -> Direction<Icrs> {
        self.projection().sky(point)
    }

    /// The view after dragging: what was at one point is at the other now.
    ///
    /// North stays up in the middle, so close to a pole, where that cannot be, the middle goes
    /// as far as the pole.
    pub fn panned(self, from: Point, to: Point) -> Self {
        self.with_place_at(self.sky(from), to)
    }

    /// The view with its span divided by a factor, the place at a point staying there.
    pub fn zoomed(self, factor: f64, about: Point) -> Self {
        if !(factor > 0.0 && factor.is_finite()) {
            return self;
        }
        let half = (self.span / 2.0).tan() / factor;
        let span = Angle::from_rad(half.atan()) * 2.0;
        let zoomed = Self::new(self.centre, span, self.width_pt, self.height_pt);
        Self { up: self.up, ..zoomed }.with_place_at(self.sky(about), about)
    }

    /// The view that shows a place at a point: the middle moves, the span stays.
    ///
    /// A place has fixed components towards the middle, east and north once its point is fixed.
    /// Its height above the equator then gives the middle's declination, and what is left the
    /// right ascension.
    fn with_place_at(self, place: Direction<Icrs>, point: Point) -> Self {
        let TangentPoint { xi, eta } = self.projection().tangent_point(point);
        let depth = 1.0 / 1f64.hypot(xi.hypot(eta));
        let (ahead, east, north) = (depth, depth * xi, depth * eta);

        // height = ahead sin(dec) + north cos(dec) = reach sin(dec + lead)
        let height = place.xyz()[2];
        let (reach, lead) = (ahead.hypot(north), north.atan2(ahead));
        let rise = (height / reach).clamp(-1.0, 1.0).asin();
        let right = Angle::RIGHT.rad();
        let now = self.centre.dec().rad();
        let Some(dec) = [rise - lead, std::f64::consts::PI - rise - lead]
            .map(|dec| Angle::from_rad(dec).wrapped_signed().rad())
            .into_iter()
            .filter(|dec| dec.is_finite())
            .min_by(|one, other| {
                let miss = |dec: f64| (dec - now).abs() + 10.0 * (dec.abs() - right).max(0.0);
                miss(*one).total_cmp(&miss(*other))
            })
            .map(|dec| dec.clamp(-right, right))
        else {
            return self;
        };
        let along = ahead * dec.cos() - north * dec.sin();
        let ra = place.ra() - Angle::from_rad(east.atan2(along));
        Self { centre: Direction::from_ra_dec(ra, Angle::from_rad(dec)), ..self }
    }
}

/// The widest span across a page whose longer side spans [`SkyView::SPAN_MAX`].
fn widest(width_pt: f64, height_pt: f64) -> Angle {
    let share = (width_pt / height_pt).min(1.0);
    Angle::from_rad(((SkyView::SPAN_MAX / 2.0).tan() * share).atan()) * 2.0
}

/// The map from sky to page.
#[derive(Clone, Copy, Debug)]
pub struct Projection {
    plane: TangentPlane<Icrs>,
    scale: f64,
    middle: Point,
    /// Sine and cosine of the position angle of the page's up direction.
    turn: (f64, f64),
    bounds: Bounds,
}

/// How far off the middle a line is still followed: its cosine. About 88.9 degrees.
const LEAST_DEPTH: f64 = 0.02;

/// How far outside the page lines are followed before they are cut.
const CUT_MARGIN_PT: f64 = 8.0;

impl Projection {
    /// Where a place falls; see [`SkyView::point`].
    pub fn point(&self, place: Direction<Icrs>) -> Option<Point> {
        self.plane.project(place).map(|on_plane| self.page_point(on_plane))
    }

    /// Where a point of the tangent plane falls.
    pub fn page_point(&self, point: TangentPoint) -> Point {
        let (sin, cos) = self.turn;
        let left = point.xi * cos - point.eta * sin;
        let up = point.xi * sin + point.eta * cos;
        [self.middle[0] - left * self.scale, self.middle[1] - up * self.scale]
    }

    /// The point of the tangent plane behind a point of the page.
    fn tangent_point(&self, point: Point) -> TangentPoint {
        let (sin, cos) = self.turn;
        let left = (self.middle[0] - point[0]) / self.scale;
        let up = (self.middle[1] - point[1]) / self.scale;
        TangentPoint { xi: left * cos + up * sin, eta: up * cos - left * sin }
    }

    /// The place on the sky behind a point of the page.
    pub fn sky(&self, point: Point) -> Direction<Icrs> {
        self.plane.direction(self.tangent_point(point))
    }

    /// Points of the page to one radian's tangent in the middle.
    pub fn pt_per_tangent(&self) -> f64 {
        self.scale
    }

    /// The page.
    pub fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// The parts of a line of great circles that are on the page, with how far along the whole
    /// line (in points) each begins, so that a dash pattern does not creep when the view moves.
    pub fn runs(&self, places: &[Direction<Icrs>], closed: bool) -> Vec<Run> {
        let joined = closed.then(|| places.first()).flatten();
        let ends: Vec<[f64; 3]> = places.iter().chain(joined).map(|place| place.xyz()).collect();
        let mut runs = Runs::default();
        for pair in ends.windows(2) {
            // OK because `windows(2)` yields pairs.
            match self.in_front(pair[0], pair[1]) {
                Some((from, to)) => runs.add(from, to, &self.bounds.expanded(CUT_MARGIN_PT)),
                None => runs.cut(),
            }
        }
        runs.finish(closed)
    }

    /// Both ends of a great circle on the page's plane, cut where it passes behind the viewer.
    fn in_front(&self, from: [f64; 3], to: [f64; 3]) -> Option<(Point, Point)> {
        let centre = self.plane.centre().xyz();
        let depth = |v: [f64; 3]| centre[0] * v[0] + centre[1] * v[1] + centre[2] * v[2];
        let (near, far) = (depth(from) - LEAST_DEPTH, depth(to) - LEAST_DEPTH);
        if near <= 0.0 && far <= 0.0 {
            return None;
        }
        // A chord projects onto the same line as its great circle.
        let on_chord = |share: f64| {
            Direction::from_vector([0, 1, 2].map(|k| from[k] + share * (to[k] - from[k])))
        };
        let cut = near / (near - far);
        let start = if near > 0.0 { on_chord(0.0) } else { on_chord(cut) };
        let end = if far > 0.0 { on_chord(1.0) } else { on_chord(cut) };
        Some((self.point(start?)?, self.point(end?)?))
    }
}

/// A part of a line that is on the page.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// At least two points.
    pub points: Vec<Point>,
    /// How far along the whole line it begins.
    pub begins_pt: f64,
    /// Whether it is the whole of a closed line.
    pub closed: bool,
}

/// Collects the visible parts of a line, segment by segment.
#[derive(Default)]
struct Runs {
    done: Vec<Run>,
    open: Option<Run>,
    length_pt: f64,
    was_cut: bool,
}

impl Runs {
    fn add(&mut self, from: Point, to: Point, bounds: &Bounds) {
        let length = (to[0] - from[0]).hypot(to[1] - from[1]);
        let at =
            |share: f64| [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])];
        match visible_part(from, to, bounds) {
            Some((enters, leaves)) => {
                if enters > 0.0 {
                    self.cut();
                }
                let begins_pt = self.length_pt + enters * length;
                let run = self.open.get_or_insert_with(|| Run {
                    points: vec![at(enters)],
                    begins_pt,
                    closed: false,
                });
                run.points.push(at(leaves));
                if leaves < 1.0 {
                    self.cut();
                }
            }
            None => self.cut(),
        }
        self.length_pt += length;
    }

    fn cut(&mut self) {
        self.was_cut = true;
        self.done.extend(self.open.take());
    }

    fn finish(mut self, closed: bool) -> Vec<Run> {
        let whole = closed && !self.was_cut;
        self.done.extend(self.open.take().map(|mut run| {
            if whole {
                run.points.pop();
                run.closed = true;
            }
            run
        }));
        self.done.retain(|run| run.points.len() > 1);
        self.done
    }
}

/// Which part of a segment lies in a box, as shares of its length.
///
/// # Source
/// Liang & Barsky 1984, ACM Trans. Graphics 3, 1.
pub(crate) fn visible_part(from: Point, to: Point, bounds: &Bounds) -> Option<(f64, f64)> {
    let (mut enters, mut leaves) = (0.0f64, 1.0f64);
    let sides = [(0, bounds.left, bounds.right), (1, bounds.top, bounds.bottom)];
    for (axis, least, most) in sides {
        let step = to[axis] - from[axis];
        if step == 0.0 {
            if from[axis] < least || from[axis] > most {
                return None;
            }
            continue;
        }
        let (one, other) = ((least - from[axis]) / step, (most - from[axis]) / step);
        enters = enters.max(one.min(other));
        leaves = leaves.min(one.max(other));
    }
    (enters < leaves).then_some((enters, leaves))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::*;

    fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
        Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
    }

    fn view(ra_deg: f64, dec_deg: f64, span_deg: f64) -> SkyView {
        SkyView::new(place(ra_deg, dec_deg), Angle::from_deg(span_deg), 1000.0, 700.0)
    }

    #[test]
    fn north_is_up_and_east_is_left() {
        let view = view(120.0, 40.0, 5.0);
        let [x, y] = view.point(place(120.0, 41.0)).unwrap();
        assert!((x - 500.0).abs() < 1e-9 && y < 350.0);
        let [x, _] = view.point(place(121.0, 40.0)).unwrap();
        assert!(x < 500.0);
    }

    #[test]
    fn the_span_reaches_from_edge_to_edge() {
        for span in [0.1, 5.0, 60.0, 90.0] {
            let view = view(10.0, -20.0, span);
            let across = view.sky([0.0, 350.0]).separation(view.sky([1000.0, 350.0]));
            assert!((across.deg() - span).abs() < 1e-9);
            let corner = view.sky([0.0, 0.0]).separation(view.centre);
            assert!((corner - view.radius()).abs().deg() < 1e-9);
        }
    }

    #[test]
    fn a_tall_page_spans_no_more_than_a_wide_one() {
        let tall = SkyView::new(place(0.0, 0.0), Angle::from_deg(90.0), 400.0, 900.0);
        assert!((tall.span_down().deg() - 90.0).abs() < 1e-9);
        assert!(tall.span.deg() < 90.0);
    }

    /// A frame's own picture coordinates are computed without any view.
    #[test]
    fn a_view_filled_by_a_frame_is_its_picture() {
        let field = Field { half_width: 0.03, half_height: 0.02 };
        for (ra, dec, turn) in [(10.0, 40.0, 0.0), (359.9, -30.0, 33.0), (200.0, 88.0, 250.0)] {
            let frame = Frame { centre: place(ra, dec), rotation: Angle::from_deg(turn), field };
            let view = SkyView::filled_by(&frame, 300.0);
            assert!((view.height_pt - 200.0).abs() < 1e-9);
            for (x, y) in [(-1.0, -1.0), (1.0, -1.0), (0.0, -1.0), (0.3, 0.7)] {
                let [right, down] = view.point(frame.point(x, y)).unwrap();
                assert!((right - 150.0 * (1.0 + x)).abs() < 1e-6, "{turn}: {right}");
                assert!((down - 100.0 * (1.0 + y)).abs() < 1e-6, "{turn}: {down}");
                assert!(view.sky([right, down]).separation(frame.point(x, y)).arcsec() < 1e-6);
            }
        }
    }

    #[test]
    fn a_dragged_place_stays_under_the_pointer() {
        for (ra, dec) in [(0.01, 0.0), (359.9, 60.0), (80.0, 85.0), (200.0, -88.0), (10.0, 45.0)] {
            for span in [0.2, 10.0, 90.0] {
                let view = view(ra, dec, span);
                let (from, to) = ([420.0, 300.0], [520.0, 380.0]);
                let moved = view.panned(from, to);
                let miss = moved.sky(to).separation(view.sky(from));
                // Only where the middle would have to pass over the pole does the place slip.
                if moved.centre.dec().abs().deg() < 89.999_999 {
                    assert!(miss.arcsec() < 1e-3, "{ra} {dec} {span}: {}", miss.arcsec());
                }
            }
        }
    }

    #[test]
    fn zooming_keeps_the_place_under_the_pointer() {
        let view = view(359.99, 70.0, 20.0);
        let about = [900.0, 100.0];
        let near = view.zoomed(4.0, about);
        assert!(near.sky(about).separation(view.sky(about)).arcsec() < 1e-3);
        let halves = (view.span / 2.0).tan() / (near.span / 2.0).tan();
        assert!((halves - 4.0).abs() < 1e-9);
        assert_eq!(view.zoomed(f64::NAN, about), view);
        assert_eq!(view.zoomed(1e9, about).span, SkyView::SPAN_MIN);
    }

    #[test]
    fn a_view_at_the_pole_can_be_dragged_away() {
        let pole = view(0.0, 90.0, 10.0);
        let up = pole.panned([500.0, 350.0], [500.0, 250.0]);
        assert!(up.sky([500.0, 250.0]).separation(pole.centre).deg() < 1e-9);
        assert!(up.centre.dec().deg() < 89.0);
        // North stays up, so the pole cannot come below the middle.
        let down = pole.panned([500.0, 350.0], [500.0, 450.0]);
        assert!(down.centre.separation(pole.centre).deg() < 1e-9);
    }

    #[test]
    fn a_line_behind_the_viewer_is_cut_and_a_closed_one_stays_closed() {
        let projection = view(0.0, 0.0, 60.0).projection();
        let square = [place(5.0, 5.0), place(355.0, 5.0), place(355.0, -5.0), place(5.0, -5.0)];
        let runs = projection.runs(&square, true);
        assert_eq!(runs.len(), 1);
        assert!(runs[0].closed && runs[0].points.len() == 4);
        assert!(projection.runs(&[place(170.0, 0.0), place(190.0, 0.0)], false).is_empty());
        let across = projection.runs(&[place(350.0, 0.0), place(120.0, 0.0)], false);
        assert_eq!(across.len(), 1);
        assert!(!across[0].closed);
    }
}
