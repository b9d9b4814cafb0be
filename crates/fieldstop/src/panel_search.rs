//! The fewest panels that cover a target: rows of panels, each only as long as the target is there.
//!
//! The plain [grid](crate::mosaic) covers the rectangle about a target, corners and all, though an
//! ellipse has none. Here the target is cut into rows (or columns), and each row gets as many
//! panels as the target is wide in it, placed about the target's own middle there. Searched are
//! all rotations, both ways of cutting, how many rows, where they start, and where within two rows'
//! overlap the one hands over to the other. Neighbours in a row, and rows, overlap by at least what
//! is wanted.
//!
//! The counting takes panels for rectangles of the mosaic's plane; a panel on the sky is seen from
//! the side and is a little distorted. So it is done with panels that are taken for slightly too
//! small, as small as the number of panels allows, and what comes out is [proved](crate::cover_proof)
//! by cutting the true panels out of the target. If no shape with fewer panels can be proved, the
//! plain grid stays: there are never more panels than that.

use crate::cover_proof::uncovered;
use crate::fit::{ROUNDING, fill};
use crate::mosaic::{self, MosaicError, panels_along};
use crate::region::{Region, Turned};
use crate::shape::Shape;
use crate::{Angle, Direction, Field, Frame, Icrs, Outline, TangentPlane};

/// Panels that cover a target.
#[derive(Clone, Debug, PartialEq)]
pub struct PanelPlan {
    /// Row by row from the top; each with the position angle of its own up direction.
    pub panels: Vec<Frame>,
    /// How many the plain grid would take; for a polygon, at the same rotations.
    pub plain: usize,
    /// Whether the cover is proved by geometry. Not so where the size is unknown, for a plain grid
    /// of more than 400 panels, and where the plain grid stays and leaves a hairline, as it can at
    /// an overlap of nearly 0 or for a target of exactly its size.
    pub proved: bool,
}

/// Plain grids of more panels than this are not improved on: nobody takes so many.
pub const MOST_SEARCHED: u32 = 400;

/// Rotations tried, in half a turn.
const ROTATIONS: u32 = 360;

/// Starts of the rows that are tried, from the middle to all the way to one side.
const STARTS: [f64; 5] = [0.0, 0.5, 1.0, -0.5, -1.0];

/// Places within two rows' overlap where one may hand over to the next, from one end to the other.
const HANDOVERS: [f64; 5] = [0.0, -0.5, 0.5, -1.0, 1.0];

/// How many cuts of equal room and number are put to the proof.
const PROOFS: usize = 12;

/// How small the panels are taken for while there are still no more of them, by turns.
const SHRUNK: [f64; 9] = [0.999, 0.997, 0.993, 0.985, 0.97, 0.95, 0.92, 0.88, 0.8];

/// The fewest panels that cover a catalogue outline.
///
/// A whole or tight target is one panel at its [best rotation](crate::fit::best_rotation); one of
/// unknown size is one panel, not turned.
///
/// # Units
/// - `overlap`: of a panel's side, 0 to 0.9
///
/// # Errors
/// [`MosaicError`] as for [`mosaic::panels`].
///
/// # Example
/// A circle a little more than two frames across: the plain grid takes nine panels, rows of two,
/// three and two take seven.
/// ```
/// # use fieldstop::{Angle, Direction, Field, Outline, panel_search::fewest_panels};
/// let centre = Direction::from_ra_dec(Angle::ZERO, Angle::from_deg(60.0));
/// let field = Field { half_width: 0.01, half_height: 0.01 };
/// let major = Angle::from_rad(2.0 * 0.021f64.atan());
/// let circle = Outline { major, minor: None, position_angle: None };
/// let plan = fewest_panels(centre, Some(&circle), &field, 0.1).unwrap();
/// assert_eq!((plan.panels.len(), plan.plain, plan.proved), (7, 9, true));
/// ```
pub fn fewest_panels(
    centre: Direction<Icrs>,
    outline: Option<&Outline>,
    field: &Field,
    overlap: f64,
) -> Result<PanelPlan, MosaicError> {
    let plain = mosaic::panels(centre, outline, field, overlap)?;
    let one = |panels: Vec<Frame>, proved| {
        let plain = panels.len();
        PanelPlan { panels, plain, proved }
    };
    let Some(outline) = outline else {
        return Ok(one(plain, false));
    };
    let Some(region) = Region::of_outline(outline) else {
        return Err(MosaicError::HalfTheSky);
    };
    if let [only] = plain.as_slice() {
        // At exactly the frame's own size the polygon about the ellipse reaches over its edge.
        let held = fill(outline, field, only.rotation) <= 1.0 + ROUNDING;
        return Ok(one(plain, held));
    }
    if plain.len() > MOST_SEARCHED as usize {
        return Ok(one(plain, false));
    }
    let better = search(centre, &region, field, overlap, plain.len());
    Ok(match better {
        Some(panels) => PanelPlan { panels, plain: plain.len(), proved: true },
        None => {
            let proved = uncovered(&region, centre, &plain) == 0.0;
            one(plain, proved)
        }
    })
}

/// The fewest panels that cover a region of any shape, seen from its middle.
///
/// # Errors
/// [`MosaicError::TooManyPanels`] where even at the best rotation the rectangle about it takes
/// more than 400.
pub fn fewest_panels_over(
    middle: Direction<Icrs>,
    region: &Region,
    field: &Field,
    overlap: f64,
) -> Result<PanelPlan, MosaicError> {
    let (columns, rows, rotation, about) = plain_over(region, field, overlap);
    if columns.saturating_mul(rows) > MOST_SEARCHED {
        return Err(MosaicError::TooManyPanels { columns, rows });
    }
    let plain = (columns * rows) as usize;
    if let Some(panels) = search(middle, region, field, overlap, plain) {
        return Ok(PanelPlan { panels, plain, proved: true });
    }
    let rows = grid_rows(columns, rows, field, overlap, about);
    let panels = Rows { rotation, transposed: false, rows }.frames(middle, field, overlap, 1.0);
    let proved = uncovered(region, middle, &panels) == 0.0;
    Ok(PanelPlan { panels, plain, proved })
}

/// The fewest panels that cover a shape; as [`fewest_panels`], for any.
///
/// # Units
/// - `place`: the target's; a drawn shape has a place of its own
/// - `overlap`: of a panel's side, 0 to 0.9
///
/// # Errors
/// [`MosaicError`] as for [`fewest_panels`] and [`fewest_panels_over`].
pub fn fewest_panels_for(
    place: Direction<Icrs>,
    shape: Option<&Shape>,
    field: &Field,
    overlap: f64,
) -> Result<PanelPlan, MosaicError> {
    let drawn = match shape {
        Some(Shape::Drawn(drawn)) => drawn,
        Some(Shape::Ellipse(outline)) => {
            return fewest_panels(place, Some(outline), field, overlap);
        }
        None => return fewest_panels(place, None, field, overlap),
    };
    let (shape, region) = (Shape::Drawn(drawn.clone()), Region::Polygon(drawn.corners().to_vec()));
    let middle = drawn.middle();
    if shape.least_fill(field) <= 1.0 + ROUNDING {
        let panels = vec![shape.frame(place, field, shape.best_rotation(field))];
        let proved = uncovered(&region, middle, &panels) == 0.0;
        return Ok(PanelPlan { panels, plain: 1, proved });
    }
    fewest_panels_over(middle, &region, field, overlap)
}

/// Columns and rows of the plain grid over a region's rectangle, at the rotation that takes fewest.
pub(crate) fn plain_count_over(region: &Region, field: &Field, overlap: f64) -> (u32, u32) {
    let (columns, rows, ..) = plain_over(region, field, overlap);
    (columns, rows)
}

/// The plain grid over a region's rectangle, at the rotation that takes fewest: columns, rows,
/// rotation, and the rectangle's middle in the frame's coordinates.
fn plain_over(region: &Region, field: &Field, overlap: f64) -> (u32, u32, Angle, (f64, f64)) {
    let at = |rotation: Angle| {
        let turned = region.turned(rotation);
        let ((left, right), (low, high)) = (turned.transposed().height(), turned.height());
        let columns = panels_along((right - left) / 2.0 / field.half_width, overlap);
        let rows = panels_along((high - low) / 2.0 / field.half_height, overlap);
        (columns, rows, rotation, (f64::midpoint(left, right), f64::midpoint(low, high)))
    };
    let mut best = at(Angle::ZERO);
    for rotation in rotations().skip(1) {
        let other = at(rotation);
        if u64::from(other.0) * u64::from(other.1) < u64::from(best.0) * u64::from(best.1) {
            best = other;
        }
    }
    best
}

fn grid_rows(columns: u32, rows: u32, field: &Field, overlap: f64, (x, y): (f64, f64)) -> Vec<Row> {
    let step = 2.0 * field.half_height * (1.0 - overlap);
    (0..rows).map(|row| Row { y: y + from_middle(row, rows) * step, x, panels: columns }).collect()
}

/// Steps from the middle of a row of `count` to its member `index`.
fn from_middle(index: u32, count: u32) -> f64 {
    f64::from(index) - (f64::from(count) - 1.0) / 2.0
}

fn rotations() -> impl Iterator<Item = Angle> {
    (0..ROTATIONS).map(|k| Angle::from_deg(180.0 * f64::from(k) / f64::from(ROTATIONS)))
}

/// One way of cutting a region into rows.
#[derive(Clone, Copy, Debug)]
struct Cut {
    rotation: Angle,
    transposed: bool,
    /// Rows beyond the fewest that reach from end to end.
    more_rows: u32,
    start: f64,
}

/// A row of panels: its height, its middle, how many.
#[derive(Clone, Copy, Debug)]
struct Row {
    y: f64,
    x: f64,
    panels: u32,
}

/// A way of cutting, worked out.
struct Rows {
    rotation: Angle,
    transposed: bool,
    rows: Vec<Row>,
}

/// The fewest panels, at most `most`, whose cover can be proved.
fn search(
    middle: Direction<Icrs>,
    region: &Region,
    field: &Field,
    overlap: f64,
    most: usize,
) -> Option<Vec<Frame>> {
    let cuts = all_cuts();
    // Panels are seen from the side: shrunk by the square of half a diagonal they are rectangles.
    let half_diagonal = field.half_width.hypot(field.half_height);
    let true_size = 1.0 - half_diagonal.powi(2).min(0.1);
    let counted = |cuts: &[Cut], shrunk: f64| -> Vec<(u32, Cut)> {
        let mut turned: Option<(Angle, bool, Turned)> = None;
        cuts.iter()
            .map(|&cut| {
                let known = turned
                    .take()
                    .filter(|known| known.0 == cut.rotation && known.1 == cut.transposed);
                let (.., shape) = turned.insert(
                    known.unwrap_or_else(|| (cut.rotation, cut.transposed, cut.shape(region))),
                );
                (cut.strips(shape, field, overlap, shrunk).panels(), cut)
            })
            .collect()
    };
    let mut found = counted(&cuts, true_size);
    found.sort_by_key(|&(panels, _)| panels);
    // Number by number, the ones with most room first, until one is proved.
    while let Some(&(fewest, _)) = found.first() {
        if fewest as usize > most {
            return None;
        }
        let equal = found.iter().take_while(|&&(panels, _)| panels == fewest).count();
        let mut roomy: Vec<Cut> = found.drain(..equal).map(|(_, cut)| cut).collect();
        let mut levels = vec![(true_size, roomy.clone())];
        for shrunk in SHRUNK {
            let still = counted(&roomy, shrunk).into_iter().filter(|&(panels, _)| panels <= fewest);
            roomy = still.map(|(_, cut)| cut).collect();
            if roomy.is_empty() {
                break;
            }
            levels.push((shrunk, roomy.clone()));
        }
        for (shrunk, cuts) in levels.into_iter().rev() {
            for cut in cuts.iter().step_by(cuts.len().div_ceil(PROOFS)) {
                let rows = cut.strips(&cut.shape(region), field, overlap, shrunk).rows();
                let rows = Rows { rotation: cut.rotation, transposed: cut.transposed, rows };
                let panels = rows.frames(middle, field, overlap, shrunk);
                if uncovered(region, middle, &panels) == 0.0 {
                    return Some(panels);
                }
            }
        }
    }
    None
}

fn all_cuts() -> Vec<Cut> {
    let mut cuts = Vec::new();
    for rotation in rotations() {
        for transposed in [false, true] {
            for more_rows in [0, 1] {
                cuts.extend(STARTS.map(|start| Cut { rotation, transposed, more_rows, start }));
            }
        }
    }
    cuts
}

impl Cut {
    /// The region as the rows see it: x along the rows.
    fn shape(self, region: &Region) -> Turned {
        let turned = region.turned(self.rotation);
        if self.transposed { turned.transposed() } else { turned }
    }

    /// The strips of the region that this way of cutting gives.
    fn strips<'shape>(
        self,
        shape: &'shape Turned,
        field: &Field,
        overlap: f64,
        shrunk: f64,
    ) -> Strips<'shape> {
        let (half_length, half_height) = if self.transposed {
            (shrunk * field.half_height, shrunk * field.half_width)
        } else {
            (shrunk * field.half_width, shrunk * field.half_height)
        };
        let (bottom, top) = shape.height();
        let half_extent = (top - bottom) / 2.0;
        let count = panels_along(half_extent / half_height, overlap) + self.more_rows;
        let step = 2.0 * half_height * (1.0 - overlap);
        let reach = half_height + f64::from(count - 1) * step / 2.0;
        Strips {
            shape,
            bottom,
            top,
            middle: f64::midpoint(bottom, top) + self.start * (reach - half_extent).max(0.0),
            count,
            step,
            freedom: (overlap * half_height).min(step / 2.0),
            half_length,
            overlap,
        }
    }
}

/// A region in strips, one a row of panels; where in the rows' overlap a strip ends is still open.
struct Strips<'shape> {
    shape: &'shape Turned,
    bottom: f64,
    top: f64,
    /// Of all rows together.
    middle: f64,
    /// Number of rows.
    count: u32,
    /// From row to row.
    step: f64,
    /// How far a hand-over may lie from the middle of the overlap, to either side.
    freedom: f64,
    /// Of a panel, along the row.
    half_length: f64,
    overlap: f64,
}

/// The fewest panels up to one end of a row, and which end of the row before leads there.
#[derive(Clone, Copy)]
struct Fewest {
    panels: u32,
    /// How far the hand-overs lie off the middle of the overlaps, where there is most room.
    strain: usize,
    from: usize,
}

impl Strips<'_> {
    fn centre(&self, row: u32) -> f64 {
        self.middle + from_middle(row, self.count) * self.step
    }

    /// Where a row ends, by one of the hand-overs; the last one ends with the region.
    fn end(&self, row: u32, handover: f64) -> f64 {
        if row + 1 == self.count {
            return self.top;
        }
        let end = self.centre(row) + self.step / 2.0 + handover * self.freedom;
        end.clamp(self.bottom, self.top)
    }

    /// The panels of a row that covers the region between two heights.
    fn row_between(&self, row: u32, low: f64, high: f64) -> Row {
        let width = if high > low { self.shape.width_between(low, high) } else { None };
        let y = self.centre(row);
        width.map_or(Row { y, x: 0.0, panels: 0 }, |(left, right)| Row {
            y,
            x: f64::midpoint(left, right),
            panels: panels_along((right - left) / 2.0 / self.half_length, self.overlap),
        })
    }

    /// Row by row, and for each place where the row may end, the fewest panels up to there; so
    /// every combination of hand-overs is tried at the cost of a few.
    fn tried(&self) -> Vec<[Fewest; HANDOVERS.len()]> {
        let nothing = [Fewest { panels: 0, strain: 0, from: 0 }; HANDOVERS.len()];
        let mut rows = Vec::with_capacity(self.count as usize);
        let mut before = nothing;
        let mut starts = [self.bottom; HANDOVERS.len()];
        for row in 0..self.count {
            let ends = HANDOVERS.map(|handover| self.end(row, handover));
            let known = if row == 0 { 1 } else { HANDOVERS.len() };
            let wanted = if row + 1 == self.count { 1 } else { HANDOVERS.len() };
            let mut fewest = nothing;
            for (place, (best, &end)) in fewest.iter_mut().zip(&ends).enumerate().take(wanted) {
                best.panels = u32::MAX;
                for (from, (&start, sofar)) in starts.iter().zip(&before).enumerate().take(known) {
                    let panels =
                        sofar.panels.saturating_add(self.row_between(row, start, end).panels);
                    // The places come in pairs, the nearest to the middle first.
                    let strain = sofar.strain + place.div_ceil(2);
                    if (panels, strain) < (best.panels, best.strain) {
                        *best = Fewest { panels, strain, from };
                    }
                }
            }
            (before, starts) = (fewest, ends);
            rows.push(fewest);
        }
        rows
    }

    /// How many panels the rows take at the best hand-overs.
    fn panels(&self) -> u32 {
        self.tried().last().map_or(0, |[last, ..]| last.panels)
    }

    /// The rows at the best hand-overs, from the lowest up.
    fn rows(&self) -> Vec<Row> {
        let tried = self.tried();
        // From the last row back: each knows which end of the one before it follows.
        let mut place = 0;
        let mut ends: Vec<f64> = Vec::with_capacity(tried.len());
        for (row, fewest) in (0..self.count).zip(&tried).rev() {
            let (Some(handover), Some(best)) = (HANDOVERS.get(place), fewest.get(place)) else {
                return Vec::new();
            };
            ends.push(self.end(row, *handover));
            place = best.from;
        }
        let mut low = self.bottom;
        let rows = (0..self.count).zip(ends.into_iter().rev());
        rows.map(|(row, high)| self.row_between(row, std::mem::replace(&mut low, high), high))
            .collect()
    }
}

impl Rows {
    /// The panels on the sky, from the top row (or left column) on.
    fn frames(
        &self,
        middle: Direction<Icrs>,
        field: &Field,
        overlap: f64,
        shrunk: f64,
    ) -> Vec<Frame> {
        let plane = TangentPlane::new(middle);
        let view = Frame { centre: middle, rotation: self.rotation, field: *field };
        let half_length = if self.transposed { field.half_height } else { field.half_width };
        let step = 2.0 * shrunk * half_length * (1.0 - overlap);
        let mut frames = Vec::new();
        for row in self.rows.iter().rev() {
            for panel in 0..row.panels {
                let along = row.x + from_middle(panel, row.panels) * step;
                let (x, y) = if self.transposed { (row.y, along) } else { (along, row.y) };
                // Picture coordinates are in half sides, y down.
                let point = view.tangent_point(x / field.half_width, -y / field.half_height);
                let rotation = plane.position_angle_at(point, self.rotation);
                frames.push(Frame { centre: plane.direction(point), rotation, field: *field });
            }
        }
        frames
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::TangentPoint;
    use crate::covered::covered;

    const FIELD: Field = Field { half_width: 0.015, half_height: 0.01 };

    fn place(dec_deg: f64) -> Direction<Icrs> {
        Direction::from_ra_dec(Angle::from_deg(123.0), Angle::from_deg(dec_deg))
    }

    fn axis(tangent: f64) -> Angle {
        Angle::from_rad(2.0 * tangent.atan())
    }

    fn ellipse(a: f64, b: f64, pa_deg: f64) -> Outline {
        Outline {
            major: axis(a),
            minor: Some(axis(b)),
            position_angle: Some(Angle::from_deg(pa_deg)),
        }
    }

    /// Points of an ellipse on a square grid of its own plane and along its very edge, each asked
    /// of every panel: nothing here comes from the search or from the proof.
    fn points(centre: Direction<Icrs>, a: f64, b: f64, pa_deg: f64) -> Vec<Direction<Icrs>> {
        let plane = TangentPlane::new(centre);
        let (sin, cos) = pa_deg.to_radians().sin_cos();
        let on_sky = |x: f64, y: f64| {
            let (along, across) = (a * x, b * y);
            plane.direction(TangentPoint {
                xi: along * sin + across * cos,
                eta: along * cos - across * sin,
            })
        };
        let inside = (-100..=100)
            .flat_map(|i| (-100..=100).map(move |j| (f64::from(i) / 100.0, f64::from(j) / 100.0)))
            .filter(|(x, y)| x.hypot(*y) <= 1.0);
        let edge = (0..3600).map(|k| (f64::from(k) / 10.0).to_radians().sin_cos());
        inside.chain(edge).map(|(x, y)| on_sky(x, y)).collect()
    }

    #[test]
    fn every_point_is_covered_at_any_declination() {
        for dec_deg in [0.0, 60.0, 85.0, 89.5] {
            let centre = place(dec_deg);
            for (a, b, pa_deg) in
                [(0.03, 0.025, 20.0), (0.08, 0.012, 47.0), (0.05, 0.05, 0.0), (0.09, 0.06, 133.0)]
            {
                for overlap in [0.0, 0.15, 0.5] {
                    let outline = ellipse(a, b, pa_deg);
                    let plan = fewest_panels(centre, Some(&outline), &FIELD, overlap).unwrap();
                    let case = format!("dec {dec_deg}, {a} x {b}, overlap {overlap}");
                    assert!(plan.proved, "{case}: {} of {}", plan.panels.len(), plan.plain);
                    assert!(plan.panels.len() <= plan.plain, "{case}");
                    let missed = points(centre, a, b, pa_deg)
                        .into_iter()
                        .filter(|&point| !plan.panels.iter().any(|panel| panel.contains(point)))
                        .count();
                    assert_eq!(missed, 0, "{case}");
                    let region = Region::of_outline(&outline).unwrap();
                    assert_eq!(covered(&region, centre, &plan.panels), 1.0, "{case}");
                }
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(20))]

        #[test]
        fn never_more_than_the_plain_grid_and_never_a_gap(
            dec_deg in -90.0..90.0f64, a in 0.012..0.08f64, ratio in 0.1..1.0f64,
            pa_deg in 0.0..180.0f64, overlap in 0.0..0.6f64,
        ) {
            let outline = ellipse(a, a * ratio, pa_deg);
            let plan = fewest_panels(place(dec_deg), Some(&outline), &FIELD, overlap).unwrap();
            let plain = mosaic::panels(place(dec_deg), Some(&outline), &FIELD, overlap).unwrap();
            prop_assert_eq!(plan.plain, plain.len());
            prop_assert!(plan.panels.len() <= plan.plain);
            // Fewer cannot hold it: their area alone is too small.
            let panel_area = 4.0 * FIELD.half_width * FIELD.half_height;
            let area = std::f64::consts::PI * a * a * ratio;
            prop_assert!(plan.panels.len() as f64 * panel_area * 1.02 > area);
            let missed = points(place(dec_deg), 0.9999 * a, 0.9999 * a * ratio, pa_deg)
                .into_iter()
                .filter(|&point| !plan.panels.iter().any(|panel| panel.contains(point)))
                .count();
            prop_assert!(missed == 0 || !plan.proved && overlap < 1e-3, "{missed} missed");
        }
    }

    #[test]
    fn neighbours_overlap_by_what_is_wanted() {
        for (dec_deg, overlap) in [(0.0, 0.15), (85.0, 0.3)] {
            let outline = ellipse(0.06, 0.05, 30.0);
            let plan = fewest_panels(place(dec_deg), Some(&outline), &FIELD, overlap).unwrap();
            for panel in &plan.panels {
                // The nearest other panel's centre, in this one's half sides: two of them apart
                // they would only touch.
                let nearest = plan
                    .panels
                    .iter()
                    .filter(|other| *other != panel)
                    .filter_map(|other| panel.picture_point(other.centre))
                    .map(|(x, y)| (x.abs() / 2.0).max(y.abs() / 2.0))
                    .fold(f64::INFINITY, f64::min);
                assert!(1.0 - nearest >= overlap - 2e-3, "{nearest} at {dec_deg}");
            }
        }
    }

    #[test]
    fn corners_that_hold_nothing_are_left_out() {
        // Long and leaning: a grid over its length at any rotation holds empty corners.
        let mut saved = 0;
        for (a, b) in [(0.05, 0.045), (0.06, 0.06), (0.1, 0.09)] {
            let plan = fewest_panels(place(10.0), Some(&ellipse(a, b, 10.0)), &FIELD, 0.1).unwrap();
            assert!(plan.panels.len() <= plan.plain);
            saved += plan.plain - plan.panels.len();
        }
        assert!(saved >= 4, "{saved} panels saved");
    }

    #[test]
    fn one_panel_is_that_of_the_frame_view() {
        let tight = ellipse(0.015, 0.01, 90.0);
        let plan = fewest_panels(place(40.0), Some(&tight), &FIELD, 0.15).unwrap();
        assert_eq!((plan.panels.len(), plan.plain, plan.proved), (1, 1, true));
        assert_eq!(plan.panels[0].rotation, Angle::ZERO);
        let unknown = fewest_panels(place(40.0), None, &FIELD, 0.15).unwrap();
        assert_eq!((unknown.panels.len(), unknown.proved), (1, false));
    }

    #[test]
    fn a_polygon_is_covered_where_its_ellipse_would_waste_panels() {
        let middle = place(70.0);
        let plane = TangentPlane::new(middle);
        // An L of two arms, each one panel wide.
        let corners = [
            (-0.04, -0.03),
            (0.04, -0.03),
            (0.04, -0.013),
            (-0.015, -0.013),
            (-0.015, 0.03),
            (-0.04, 0.03),
        ];
        let on_sky: Vec<Direction<Icrs>> =
            corners.iter().map(|&(xi, eta)| plane.direction(TangentPoint { xi, eta })).collect();
        let region = Region::of_polygon(middle, &on_sky).unwrap();
        let plan = fewest_panels_over(middle, &region, &FIELD, 0.1).unwrap();
        assert!(
            plan.proved && plan.panels.len() < plan.plain,
            "{} {}",
            plan.panels.len(),
            plan.plain
        );
        assert_eq!(covered(&region, middle, &plan.panels), 1.0);
    }

    #[test]
    fn absurd_sizes_are_an_error_or_the_plain_grid() {
        let sky = Outline { major: Angle::TURN, minor: None, position_angle: None };
        assert_eq!(
            fewest_panels(place(0.0), Some(&sky), &FIELD, 0.1),
            Err(MosaicError::HalfTheSky)
        );
        let tiny = Field { half_width: 1e-4, half_height: 1e-4 };
        let plan =
            fewest_panels(place(0.0), Some(&ellipse(0.003, 0.002, 5.0)), &tiny, 0.2).unwrap();
        assert_eq!((plan.panels.len(), plan.proved), (plan.plain, false));
    }
}
