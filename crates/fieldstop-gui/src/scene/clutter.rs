//! What stands where a name wants to be, and how much the name or its leader would disturb it.

use super::labels::{Importance, convex_meets_box};
use super::primitive::{Bounds, Point};
use super::view::visible_part;

/// From one point to another.
pub(super) type Segment = [Point; 2];

/// A name on a line: more than any place costs by itself, so a free one wins however far it is.
const COVERED_LINE: f64 = 60.0;
/// A coordinate on a line is still read, and would rather not jump from edge to edge of the page.
const COVERED_BY_GRID: f64 = 5.0;
/// A frame's words on the chosen target.
const ON_CHOSEN: f64 = 120.0;
/// A leader over a frame's edge or an outline.
const STRUCK_LINE: f64 = 1.5;
/// A leader over another.
const STRUCK_LEADER: f64 = 120.0;
/// A leader and a name over each other, where neither is read: no name may be worth that.
const STRUCK_NAME: f64 = f64::INFINITY;

/// Space between words and a line beside them.
const GAP_PT: f64 = 2.0;
/// A leader ends on what it leads to, which it is not to be blamed for.
const END_PT: f64 = 2.0;
/// A smoother outline is thinned; half as many sides are four times farther off, 0.2 points.
const MOST_SIDES: usize = 96;

/// A line that is drawn, and the box about it.
struct Path {
    points: Vec<Point>,
    bounds: Bounds,
}

impl Path {
    fn meets(&self, bounds: &Bounds) -> bool {
        self.bounds.overlaps(bounds) && self.sides().any(|side| meets(&side, bounds))
    }

    fn crosses(&self, line: &Segment) -> bool {
        meets(line, &self.bounds) && self.sides().any(|side| cross(&side, line))
    }

    fn sides(&self) -> impl Iterator<Item = Segment> {
        self.points.iter().zip(self.points.iter().skip(1)).map(|(from, to)| [*from, *to])
    }
}

/// What is drawn already.
#[derive(Default)]
pub(super) struct Clutter {
    edges: Vec<Segment>,
    outlines: Vec<Path>,
    chosen: Vec<Vec<Point>>,
    words: Vec<Bounds>,
    leaders: Vec<Segment>,
}

impl Clutter {
    pub(super) fn add_edge(&mut self, edge: Segment) {
        self.edges.push(edge);
    }

    pub(super) fn add_outline(&mut self, mut points: Vec<Point>) {
        let (step, last) = (points.len().div_ceil(MOST_SIDES).max(1), points.last().copied());
        if step > 1 {
            points = points.into_iter().step_by(step).chain(last).collect();
        }
        if let Some(bounds) = Bounds::about(&points) {
            self.outlines.push(Path { points, bounds });
        }
    }

    /// The convex area of the chosen target.
    pub(super) fn add_chosen(&mut self, area: Vec<Point>) {
        self.chosen.push(area);
    }

    pub(super) fn add_words(&mut self, bounds: Bounds) {
        self.words.push(bounds);
    }

    pub(super) fn add_leader(&mut self, leader: Segment) {
        self.leaders.push(leader);
    }

    /// Whether words stand in a box.
    pub(super) fn has_words(&self, bounds: &Bounds) -> bool {
        self.words.iter().any(|words| words.overlaps(bounds))
    }

    /// How many lines and outlines a box would cover.
    pub(super) fn covered(&self, bounds: &Bounds) -> usize {
        self.edges.iter().filter(|edge| meets(edge, bounds)).count()
            + self.outlines.iter().filter(|outline| outline.meets(bounds)).count()
    }

    /// Whether a box lies on the chosen target.
    pub(super) fn on_chosen(&self, bounds: &Bounds) -> bool {
        self.chosen.iter().any(|area| convex_meets_box(area, bounds))
    }

    /// How much a name in a box would disturb, as far as that is less than `most`.
    pub(super) fn covering(&self, importance: Importance, bounds: &Bounds, most: f64) -> f64 {
        let roomy = bounds.expanded(GAP_PT);
        if self.leaders.iter().any(|leader| meets(leader, &roomy)) {
            return STRUCK_NAME;
        }
        let each = match importance {
            Importance::Grid => COVERED_BY_GRID,
            _ => COVERED_LINE,
        };
        let mut cost = each * self.covered(&roomy) as f64;
        let is_frame = matches!(importance, Importance::Frame | Importance::ChosenFrame);
        if cost < most && is_frame && self.on_chosen(bounds) {
            cost += ON_CHOSEN;
        }
        cost
    }

    /// How much a leader would disturb, as far as that is less than `most`; its second point is what
    /// it leads to.
    pub(super) fn striking(&self, leader: &Segment, most: f64) -> f64 {
        let Some(leader) = shortened(leader) else {
            return 0.0;
        };
        if self.words.iter().any(|words| meets(&leader, &words.expanded(GAP_PT))) {
            return STRUCK_NAME;
        }
        let leaders = self.leaders.iter().filter(|other| cross(other, &leader));
        let mut cost = STRUCK_LEADER * leaders.count() as f64;
        if cost < most {
            let edges = self.edges.iter().filter(|edge| cross(edge, &leader)).count();
            let outlines = self.outlines.iter().filter(|outline| outline.crosses(&leader)).count();
            cost += STRUCK_LINE * (edges + outlines) as f64;
        }
        cost
    }
}

fn shortened([from, to]: &Segment) -> Option<Segment> {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let length = dx.hypot(dy);
    let share = (length - END_PT) / length;
    (length > END_PT).then(|| [*from, [from[0] + share * dx, from[1] + share * dy]])
}

fn meets([from, to]: &Segment, bounds: &Bounds) -> bool {
    let beside = |axis: usize, least: f64, most: f64| {
        (from[axis] < least && to[axis] < least) || (from[axis] > most && to[axis] > most)
    };
    // Most are nowhere near, and this is the quicker question.
    !beside(0, bounds.left, bounds.right)
        && !beside(1, bounds.top, bounds.bottom)
        && visible_part(*from, *to, bounds).is_some()
}

/// Whether two segments cross; those that only touch do not.
fn cross(one: &Segment, other: &Segment) -> bool {
    let side =
        |[a, b]: &Segment, c: Point| (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
    side(one, other[0]) * side(one, other[1]) < 0.0
        && side(other, one[0]) * side(other, one[1]) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Any cost matters.
    const ALL: f64 = f64::INFINITY;

    #[test]
    fn a_box_inside_an_outline_covers_no_line() {
        let mut clutter = Clutter::default();
        let square = Bounds::at(0.0, 0.0, 100.0, 100.0).corners();
        clutter.add_outline([square.to_vec(), vec![square[0]]].concat());
        assert_eq!(clutter.covered(&Bounds::at(40.0, 40.0, 20.0, 10.0)), 0);
        assert_eq!(clutter.covered(&Bounds::at(90.0, 40.0, 20.0, 10.0)), 1);
        assert_eq!(clutter.covered(&Bounds::at(110.0, 40.0, 20.0, 10.0)), 0);
    }

    #[test]
    fn a_smooth_outline_is_thinned_and_stays_closed() {
        let mut clutter = Clutter::default();
        let angle = |step: i32| f64::from(step) / 1000.0 * std::f64::consts::TAU;
        clutter.add_outline((0..=1000).map(|k| angle(k).sin_cos()).map(|(y, x)| [x, y]).collect());
        let points = &clutter.outlines[0].points;
        assert!(points.len() <= MOST_SIDES + 2, "{}", points.len());
        let (first, last) = (points[0], points[points.len() - 1]);
        assert!((first[0] - last[0]).hypot(first[1] - last[1]) < 1e-9);
    }

    #[test]
    fn a_leader_is_not_blamed_for_what_it_leads_to() {
        let mut clutter = Clutter::default();
        clutter.add_edge([[100.0, 0.0], [100.0, 50.0]]);
        assert_eq!(clutter.striking(&[[40.0, 20.0], [100.0, 20.0]], ALL), 0.0);
        assert_eq!(clutter.striking(&[[40.0, 20.0], [110.0, 20.0]], ALL), STRUCK_LINE);
    }

    #[test]
    fn words_and_a_leader_never_stand_over_each_other() {
        let mut clutter = Clutter::default();
        clutter.add_words(Bounds::at(50.0, 10.0, 20.0, 20.0));
        clutter.add_leader([[0.0, 80.0], [200.0, 80.0]]);
        assert_eq!(clutter.striking(&[[0.0, 20.0], [100.0, 20.0]], ALL), STRUCK_NAME);
        assert_eq!(clutter.striking(&[[0.0, 60.0], [100.0, 100.0]], ALL), STRUCK_LEADER);
        let on_leader = Bounds::at(50.0, 75.0, 20.0, 10.0);
        assert_eq!(clutter.covering(Importance::Frame, &on_leader, ALL), STRUCK_NAME);
    }
}
