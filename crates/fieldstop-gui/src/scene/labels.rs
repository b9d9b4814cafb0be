//! Words on the sky without a collision: the important ones first, the others move or give way.

use super::clutter::Clutter;
use super::name_places::{NamePlaces, STAYS};
use super::palette::Palette;
use super::primitive::{Anchor, Bounds, Ink, Point, Primitive, Scene, Stroke, TextMark};
use super::view::Projection;
use crate::font::{self, Weight};

/// Space kept free above and below every label.
const GAP_PT: f64 = 2.0;
/// Space kept free beside it: words nearer than this on one line read as one name.
const BESIDE_PT: f64 = 9.0;
/// From the page's edge.
const EDGE_PT: f64 = 3.0;
/// Width of a leader.
pub const LEADER_PT: f64 = 0.7;
/// Baseline to baseline, as a share of the font size.
const LINE_HEIGHT: f64 = 1.28;

/// Who goes first when there is no room for all; the greatest first.
#[derive(Clone, Copy, Debug, Eq, Ord, PartialEq, PartialOrd)]
pub enum Importance {
    /// A line of the grid.
    Grid,
    /// A bright star.
    Star,
    /// A target of the catalogue; the more prominent first.
    Target(u32),
    /// A target of the wish list.
    Wish,
    /// A frame.
    Frame,
    /// A frame that is lifted or chosen.
    ChosenFrame,
    /// The chosen target.
    Chosen,
}

/// Where a label may stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// A point of the page.
    pub at: Point,
    /// Which point of the label stands there: 0 its left or top edge, 1 its right or bottom edge.
    pub share: [f64; 2],
    /// How unwelcome the place is, beside the lines that it would cover.
    pub cost: f64,
    /// Where a thin line leads to, if the label stands away from what it names.
    pub leader: Option<Point>,
}

/// Which point of a label stands at its place, for a label that lies in a direction from what it
/// names: beside a steep edge it stands at half height, above a flat one at half width.
pub(super) fn share_towards(direction: [f64; 2]) -> [f64; 2] {
    direction.map(|part| {
        if part.abs() < 0.2 {
            0.5
        } else if part < 0.0 {
            1.0
        } else {
            0.0
        }
    })
}

/// One line of a label.
#[derive(Clone, Debug, PartialEq)]
pub struct LabelLine {
    /// The words.
    pub text: String,
    /// Their weight.
    pub weight: Weight,
    /// Their colour.
    pub ink: Ink,
}

/// Words that belong to a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// From top to bottom.
    pub lines: Vec<LabelLine>,
    /// Font size.
    pub size_pt: f64,
    /// Where it may stand.
    pub candidates: Vec<Candidate>,
    /// Who goes first.
    pub importance: Importance,
    /// Colour of its leader.
    pub leader_ink: Ink,
}

impl Label {
    /// Width and height of its box.
    pub(crate) fn size(&self) -> (f64, f64) {
        let width = |line: &LabelLine| {
            f64::from(font::text_width(&line.text, self.size_pt as f32, line.weight))
        };
        let widest = self.lines.iter().map(width).fold(0.0, f64::max);
        let rows = self.lines.len() as f64 - 1.0;
        let row = f64::from(font::CAPITAL_HEIGHT + font::DESCENT) * self.size_pt;
        (widest, row + rows.max(0.0) * LINE_HEIGHT * self.size_pt)
    }
}

/// Collects labels and what they keep off, then decides.
pub struct LabelBoard {
    page: Bounds,
    clutter: Clutter,
    labels: Vec<Label>,
}

impl LabelBoard {
    /// An empty page.
    pub fn new(page: Bounds) -> Self {
        Self { page, clutter: Clutter::default(), labels: Vec::new() }
    }

    /// Nothing may stand here.
    pub fn reserve(&mut self, bounds: Bounds) {
        self.clutter.add_words(bounds);
    }

    /// No frame's words may stand on this convex area: the chosen target.
    pub fn keep_clear(&mut self, area: Vec<Point>) {
        self.clutter.add_chosen(area);
    }

    /// Labels rather do not cover this line.
    pub fn avoid_line(&mut self, from: Point, to: Point) {
        self.clutter.add_edge([from, to]);
    }

    /// Nor this outline, though they may stand inside it.
    pub fn avoid_outline(&mut self, points: Vec<Point>) {
        self.clutter.add_outline(points);
    }

    /// How many lines and outlines a box would cover.
    pub(crate) fn crossed(&self, bounds: &Bounds) -> usize {
        self.clutter.covered(bounds) + usize::from(self.clutter.on_chosen(bounds))
    }

    /// Asks for a label.
    pub fn add(&mut self, label: Label) {
        self.labels.push(label);
    }

    /// Writes every label for which there is room, rather where it stood before than elsewhere.
    pub fn write(
        mut self,
        palette: &Palette,
        projection: &Projection,
        places: &mut NamePlaces,
        scene: &mut Scene,
    ) {
        let before = std::mem::take(places);
        let mut labels = std::mem::take(&mut self.labels);
        // Stable, so that among equals the order of asking decides.
        labels.sort_by_key(|label| std::cmp::Reverse(label.importance));
        for label in &labels {
            let (width, height) = label.size();
            // Coordinates go by the page's edge, not by the sky.
            let name = label.lines.first().filter(|_| label.importance > Importance::Grid);
            let stood =
                name.and_then(|name| before.same(&name.text, &label.candidates, projection));
            let Some((candidate, bounds)) = self.best(label, stood, width, height) else {
                continue;
            };
            if let Some(name) = name {
                places.put(&name.text, &candidate, projection);
            }
            self.clutter.add_words(bounds);
            if let Some(end) = candidate.leader {
                let start = nearest(&bounds, end);
                scene.line(vec![start, end], Stroke::solid(label.leader_ink, LEADER_PT));
                self.clutter.add_leader([start, end]);
            }
            write_lines(label, candidate.share[0], &bounds, palette, scene);
        }
    }

    fn best(
        &self,
        label: &Label,
        stood: Option<usize>,
        width: f64,
        height: f64,
    ) -> Option<(Candidate, Bounds)> {
        let inside = self.page.expanded(-EDGE_PT);
        let mut best: Option<(f64, Candidate, Bounds)> = None;
        for (place, candidate) in label.candidates.iter().enumerate() {
            let mut cost = candidate.cost - if stood == Some(place) { STAYS } else { 0.0 };
            // What covers nothing costs this much already.
            if best.as_ref().is_some_and(|(least, ..)| cost >= *least) {
                continue;
            }
            let left = candidate.at[0] - candidate.share[0] * width;
            let top = candidate.at[1] - candidate.share[1] * height;
            let bounds = Bounds::at(left, top, width, height);
            let roomy = Bounds {
                left: bounds.left - BESIDE_PT,
                right: bounds.right + BESIDE_PT,
                ..bounds.expanded(GAP_PT)
            };
            if !inside.encloses(&bounds) || self.clutter.has_words(&roomy) {
                continue;
            }
            let least = best.as_ref().map_or(f64::INFINITY, |(least, ..)| *least);
            if let Some(end) = candidate.leader {
                // A line that leads off the page leads nowhere.
                if !self.page.contains(end) {
                    continue;
                }
                let leader = [nearest(&bounds, end), end];
                cost += self.clutter.striking(&leader, least - cost);
            }
            if cost < least {
                cost += self.clutter.covering(label.importance, &bounds, least - cost);
            }
            if cost < least {
                best = Some((cost, *candidate, bounds));
            }
        }
        best.map(|(_, candidate, bounds)| (candidate, bounds))
    }
}

fn write_lines(label: &Label, share: f64, bounds: &Bounds, palette: &Palette, scene: &mut Scene) {
    let (anchor, x) = if share < 0.25 {
        (Anchor::Start, bounds.left)
    } else if share > 0.75 {
        (Anchor::End, bounds.right)
    } else {
        (Anchor::Middle, (bounds.left + bounds.right) / 2.0)
    };
    let mut baseline = bounds.top + f64::from(font::CAPITAL_HEIGHT) * label.size_pt;
    for line in &label.lines {
        scene.items.push(Primitive::Text(TextMark {
            at: [x, baseline],
            anchor,
            text: line.text.clone(),
            size_pt: label.size_pt,
            weight: line.weight,
            ink: line.ink,
            halo: Some(palette.halo),
        }));
        baseline += LINE_HEIGHT * label.size_pt;
    }
}

/// The point of a box that is nearest to another point.
fn nearest(bounds: &Bounds, [x, y]: Point) -> Point {
    [x.clamp(bounds.left, bounds.right), y.clamp(bounds.top, bounds.bottom)]
}

/// Whether a convex polygon and a box share any area: they do unless a side of one parts them.
pub(crate) fn convex_meets_box(polygon: &[Point], bounds: &Bounds) -> bool {
    let beyond = |outside: &dyn Fn(&Point) -> bool| polygon.iter().all(outside);
    if beyond(&|p| p[0] < bounds.left)
        || beyond(&|p| p[0] > bounds.right)
        || beyond(&|p| p[1] < bounds.top)
        || beyond(&|p| p[1] > bounds.bottom)
    {
        return false;
    }
    let middle = [
        polygon.iter().map(|p| p[0]).sum::<f64>() / polygon.len() as f64,
        polygon.iter().map(|p| p[1]).sum::<f64>() / polygon.len() as f64,
    ];
    let next = polygon.iter().cycle().skip(1);
    !polygon.iter().zip(next).any(|(from, to)| {
        let side =
            |p: Point| (to[0] - from[0]) * (p[1] - from[1]) - (to[1] - from[1]) * (p[0] - from[0]);
        let inner = side(middle);
        bounds.corners().iter().all(|corner| side(*corner) * inner < 0.0)
    })
}

#[cfg(test)]
mod tests {
    use super::super::view::SkyView;
    use super::*;
    use fieldstop::{Angle, Direction};

    const PAGE: Bounds = Bounds::at(0.0, 0.0, 200.0, 100.0);

    fn label(text: &str, importance: Importance, candidates: &[Point]) -> Label {
        let ink = Ink::rgb(255, 255, 255);
        let line = LabelLine { text: text.to_owned(), weight: Weight::Regular, ink };
        let at = |at: &Point| Candidate { at: *at, share: [0.0, 0.0], cost: 0.0, leader: None };
        Label {
            lines: vec![line],
            size_pt: 10.0,
            candidates: candidates.iter().map(at).collect(),
            importance,
            leader_ink: ink,
        }
    }

    fn write(board: LabelBoard, places: &mut NamePlaces, scene: &mut Scene) {
        let centre = Direction::from_ra_dec(Angle::from_deg(10.0), Angle::from_deg(40.0));
        let view = SkyView::new(centre, Angle::from_deg(2.0), 200.0, 100.0);
        board.write(&Palette::dark(), &view.projection(), places, scene);
    }

    fn written(board: LabelBoard) -> Vec<String> {
        let mut scene = Scene::new(200.0, 100.0, Ink::rgb(0, 0, 0));
        write(board, &mut NamePlaces::default(), &mut scene);
        scene.texts().into_iter().map(|text| text.text).collect()
    }

    #[test]
    fn the_more_important_of_two_stays() {
        let mut board = LabelBoard::new(PAGE);
        board.add(label("grid", Importance::Grid, &[[50.0, 50.0]]));
        board.add(label("chosen", Importance::Chosen, &[[52.0, 50.0]]));
        assert_eq!(written(board), ["chosen"]);
    }

    #[test]
    fn a_label_moves_before_it_gives_way() {
        let mut board = LabelBoard::new(PAGE);
        board.add(label("first", Importance::Wish, &[[50.0, 50.0]]));
        board.add(label("second", Importance::Wish, &[[52.0, 50.0], [52.0, 20.0]]));
        assert_eq!(written(board), ["first", "second"]);
    }

    #[test]
    fn a_label_stays_on_the_page_and_off_reserved_places() {
        let mut board = LabelBoard::new(PAGE);
        board.reserve(Bounds::at(0.0, 0.0, 100.0, 100.0));
        board.add(label("reserved", Importance::Wish, &[[50.0, 50.0]]));
        board.add(label("outside", Importance::Wish, &[[190.0, 50.0]]));
        assert!(written(board).is_empty());
    }

    #[test]
    fn a_frame_keeps_its_words_off_the_target() {
        let mut board = LabelBoard::new(PAGE);
        board.keep_clear(vec![[40.0, 0.0], [100.0, 0.0], [100.0, 100.0], [40.0, 100.0]]);
        board.add(label("frame", Importance::Frame, &[[50.0, 50.0], [120.0, 50.0]]));
        let mut scene = Scene::new(200.0, 100.0, Ink::rgb(0, 0, 0));
        write(board, &mut NamePlaces::default(), &mut scene);
        assert!(scene.texts().iter().all(|text| text.left() >= 100.0));
    }

    #[test]
    fn a_free_place_wins_over_a_nearer_one_on_a_line() {
        let mut board = LabelBoard::new(PAGE);
        board.avoid_line([0.0, 54.0], [200.0, 54.0]);
        let mut wish = label("wish", Importance::Wish, &[[50.0, 50.0], [120.0, 20.0]]);
        wish.candidates[1].cost = 14.0;
        wish.candidates[1].leader = Some([50.0, 54.0]);
        board.add(wish);
        let mut scene = Scene::new(200.0, 100.0, Ink::rgb(0, 0, 0));
        write(board, &mut NamePlaces::default(), &mut scene);
        assert!((scene.texts()[0].left() - 120.0).abs() < 1e-9);
    }

    #[test]
    fn a_leader_goes_round_a_name_and_a_name_off_a_leader() {
        let mut board = LabelBoard::new(PAGE);
        board.add(label("first", Importance::Chosen, &[[80.0, 20.0]]));
        let mut second = label("second", Importance::Frame, &[[130.0, 20.0], [130.0, 60.0]]);
        second.candidates[1].cost = 5.0;
        second.candidates.iter_mut().for_each(|place| place.leader = Some([20.0, 24.0]));
        board.add(second);
        // Only where the leader of the second goes.
        board.add(label("star", Importance::Star, &[[70.0, 40.0]]));
        let mut scene = Scene::new(200.0, 100.0, Ink::rgb(0, 0, 0));
        write(board, &mut NamePlaces::default(), &mut scene);
        let texts = scene.texts();
        assert_eq!(texts.len(), 2, "{texts:?}");
        assert!(texts[1].at[1] > 60.0);
    }

    #[test]
    fn a_name_stays_where_it_stood_until_a_line_drives_it_away() {
        let mut places = NamePlaces::default();
        let mut left_of_it = |line: Option<f64>, candidates: &[Point]| {
            let mut board = LabelBoard::new(PAGE);
            if let Some(x) = line {
                board.avoid_line([x, 0.0], [x, 100.0]);
            }
            let mut wish = label("wish", Importance::Wish, candidates);
            wish.candidates.iter_mut().skip(1).for_each(|place| place.cost = 1.0);
            board.add(wish);
            let mut scene = Scene::new(200.0, 100.0, Ink::rgb(0, 0, 0));
            write(board, &mut places, &mut scene);
            scene.texts()[0].left().round()
        };
        let both = [[20.0, 50.0], [120.0, 50.0]];
        assert_eq!(left_of_it(Some(25.0), &both), 120.0);
        assert_eq!(left_of_it(None, &both), 120.0);
        assert_eq!(left_of_it(Some(125.0), &both), 20.0);
    }

    #[test]
    fn a_box_at_the_corner_of_an_oval_is_free() {
        let circle: Vec<Point> = (0..32)
            .map(|k| f64::from(k) / 32.0 * std::f64::consts::TAU)
            .map(|angle| [50.0 + 40.0 * angle.cos(), 50.0 + 40.0 * angle.sin()])
            .collect();
        assert!(!convex_meets_box(&circle, &Bounds::at(10.0, 10.0, 9.0, 9.0)));
        assert!(convex_meets_box(&circle, &Bounds::at(10.0, 10.0, 20.0, 20.0)));
        assert!(convex_meets_box(&circle, &Bounds::at(45.0, 45.0, 10.0, 10.0)));
    }
}
