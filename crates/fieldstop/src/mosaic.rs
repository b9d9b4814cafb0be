//! Covering a target that spills: a grid of overlapping panels.
//!
//! The panels' centres stand on the tangent plane of the mosaic's middle, at steps of one sensor
//! side less the overlap. Each panel is a picture of its own, with its own tangent plane. Pointed
//! at the same *position angle* as the middle one, panels near a pole would fan out and open
//! wedges between them, because meridians converge; so each is turned parallel to the middle one:
//! its up direction runs along the great circle that is a vertical line of the mosaic's plane.
//!
//! The count below takes the panels for rectangles of the mosaic's plane. They are seen a little
//! from the side, so with no overlap at all a hairline stays open, or the target's very edge is
//! lost, by at most half the square of half a panel's diagonal: 0.03 % of a half side for a picture
//! of 3 degrees from corner to corner. Any usual overlap hides it.
//!
//! How many panels a side: with E the target's half extent and T the sensor's half side, n panels
//! reach `T (1 + (n - 1)(1 - o))` to either side of the middle for an overlap of o, so
//! `n = ceil((E/T - o) / (1 - o))`.

use thiserror::Error;

use crate::fit::{ROUNDING, best_rotation, fill};
use crate::{Angle, Direction, Field, Frame, Icrs, Outline, TangentPlane};

/// The most panels that [`panels`] lists. A sensor of 4.8 x 3.6 mm at 4000 mm covers 10 degrees of
/// sky with half as many; beyond it the numbers of a kit are a mistake, not a plan.
pub const MOST_PANELS: u32 = 100_000;

/// Numbers of columns tried one by one. Where a mosaic could have more, its panels are so small
/// that their number is as good as the area of the rectangle about the target, which is least with
/// the target along a side: at the fewest or at the most columns, and these are always tried.
const MOST_TRIED: u32 = 1000;

/// How a target is to be covered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plan {
    /// Panels across the mosaic, along the sensor's width.
    pub columns: u32,
    /// Panels down the mosaic, along the sensor's height.
    pub rows: u32,
    /// Position angle of the middle's up direction, in [0, 180) degrees.
    pub rotation: Angle,
}

/// Why a target's panels cannot be listed.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum MosaicError {
    /// More panels than anybody will take.
    #[error("the mosaic has {columns} x {rows} panels; expected at most {MOST_PANELS} in all")]
    TooManyPanels {
        /// Panels across.
        columns: u32,
        /// Panels down.
        rows: u32,
    },
    /// No tangent plane holds the target.
    #[error("the target is half the sky or more across; expected less than 180 degrees")]
    HalfTheSky,
}

/// Panels along one side that cover a half extent.
///
/// # Units
/// - `ratio`: half extent over the sensor's half side, >= 0
/// - `overlap`: of a panel's side, 0 to 0.9
/// - returns: at least 1, at most `u32::MAX`
///
/// # Source
/// `ceil((E/T - o) / (1 - o))`, plane geometry; see the [module](self).
///
/// # Example
/// Two panels with a tenth in common reach 1.9 panels far.
/// ```
/// # use fieldstop::mosaic::panels_along;
/// assert_eq!(panels_along(1.9, 0.1), 2);
/// assert_eq!(panels_along(1.91, 0.1), 3);
/// assert_eq!(panels_along(0.05, 0.1), 1);
/// ```
pub fn panels_along(ratio: f64, overlap: f64) -> u32 {
    // OK because the cast keeps whole numbers from 1 on and stops at the largest u32.
    ((ratio - ROUNDING * ratio.max(1.0) - overlap) / (1.0 - overlap)).ceil().max(1.0) as u32
}

/// What a grid of panels spans on the mosaic's tangent plane, as if it were one sensor.
fn grid_field(field: &Field, columns: u32, rows: u32, overlap: f64) -> Field {
    let stretch = |panels: u32| 1.0 + (f64::from(panels) - 1.0) * (1.0 - overlap);
    Field {
        half_width: field.half_width * stretch(columns),
        half_height: field.half_height * stretch(rows),
    }
}

/// The grid that covers a target with the fewest panels, at the rotation that gives it most room.
///
/// Many rotations need the same number of panels. Of these the one is taken at which the target's
/// fill of the whole mosaic is least, and among equals the smallest; so a target that one panel
/// holds gets the [best rotation](best_rotation) of the single frame.
///
/// `None` for an outline of 180 degrees and more.
///
/// # Units
/// - `overlap`: of a panel's side, 0 to 0.9
///
/// # Example
/// A strip three frames long and half a frame high takes three panels in a row.
/// ```
/// # use fieldstop::{Angle, Field, Outline, mosaic::plan};
/// let axis = |tangent: f64| Angle::from_rad(2.0 * tangent.atan());
/// let field = Field { half_width: 0.01, half_height: 0.01 };
/// let outline = Outline { major: axis(0.03), minor: Some(axis(0.005)), position_angle: None };
/// let plan = plan(&outline, &field, 0.0).unwrap();
/// assert_eq!(plan.columns * plan.rows, 3);
/// ```
pub fn plan(outline: &Outline, field: &Field, overlap: f64) -> Option<Plan> {
    let counts = panel_counts(outline, field, overlap)?;
    let product = |&(columns, rows): &(u32, u32)| u64::from(columns) * u64::from(rows);
    let fewest = counts.iter().map(product).min()?;
    counts
        .into_iter()
        .filter(|count| product(count) == fewest)
        .map(|(columns, rows)| {
            let whole = grid_field(field, columns, rows, overlap);
            let rotation = best_rotation(outline, &whole);
            (fill(outline, &whole, rotation), Plan { columns, rows, rotation })
        })
        .min_by(|(fill_a, a), (fill_b, b)| {
            let (fill_a, fill_b) = (rounded(*fill_a), rounded(*fill_b));
            fill_a.total_cmp(&fill_b).then(a.rotation.rad().total_cmp(&b.rotation.rad()))
        })
        .map(|(_, plan)| plan)
}

/// Every number of columns that some rotation needs, with the fewest rows that go with it.
///
/// While the frame turns, the square of the target's reach along the width goes through
/// everything from b² to a², and that along the height is a² + b² less the first. So the counts
/// change at known places, and none has to be searched for.
fn panel_counts(outline: &Outline, field: &Field, overlap: f64) -> Option<Vec<(u32, u32)>> {
    let (a, b) = outline.semi_axes();
    let (long, short) = (a.max(b), a.min(b));
    if !long.is_finite() {
        return None;
    }
    let columns_for = |reach: f64| panels_along(reach / field.half_width, overlap);
    let (least, most) = (columns_for(short), columns_for(long));
    let rows_beside = |columns: u32| {
        // The widest reach that these columns hold leaves the least for the rows.
        let held = grid_field(field, columns, 1, overlap).half_width * (1.0 + 2.0 * ROUNDING);
        let along_width = if columns == most { long } else { held.min(long) };
        let along_height = long.powi(2) + short.powi(2) - along_width.powi(2);
        panels_along(along_height.max(short.powi(2)).sqrt() / field.half_height, overlap)
    };
    let tried = (least..=most.min(least.saturating_add(MOST_TRIED))).chain([most]);
    Some(tried.map(|columns| (columns, rows_beside(columns))).collect())
}

/// A fill without its last digits, so that equal ones compare as equal.
fn rounded(fill: f64) -> f64 {
    (fill / ROUNDING).round() * ROUNDING
}

/// Panels in a grid, row by row from the top-left one.
///
/// # Units
/// - `centre`, `rotation`: of the mosaic's middle
/// - `overlap`: of a panel's side, 0 to 0.9
/// - returns: `columns * rows` frames; each rotation is the position angle of the panel's own up
///   direction at its own centre, 0 to 360 degrees
pub fn grid(
    centre: Direction<Icrs>,
    rotation: Angle,
    field: &Field,
    columns: u32,
    rows: u32,
    overlap: f64,
) -> Vec<Frame> {
    let plane = TangentPlane::new(centre);
    let middle = Frame { centre, rotation: rotation.wrapped(), field: *field };
    let from_middle = |index: u32, count: u32| {
        (2.0 * f64::from(index) - (f64::from(count) - 1.0)) * (1.0 - overlap)
    };
    let panel = |column: u32, row: u32| {
        let (x, y) = (from_middle(column, columns), from_middle(row, rows));
        if x == 0.0 && y == 0.0 {
            // Not by way of the plane, which would cost the middle its last digits.
            return middle;
        }
        let point = middle.tangent_point(x, y);
        let rotation = plane.position_angle_at(point, rotation);
        Frame { centre: plane.direction(point), rotation, field: *field }
    };
    (0..rows).flat_map(|row| (0..columns).map(move |column| panel(column, row))).collect()
}

/// The panels that cover a target, row by row from the top-left one.
///
/// One panel at the best rotation where the target is whole or tight; one, not turned, where its
/// size is unknown.
///
/// # Errors
/// [`MosaicError`] where the [`plan`] needs more than [`MOST_PANELS`], or there is none.
///
/// # Example
/// A target of two by two frames, with no overlap.
/// ```
/// # use fieldstop::{Angle, Direction, Field, Outline, mosaic::panels};
/// let centre = Direction::from_ra_dec(Angle::ZERO, Angle::ZERO);
/// let field = Field { half_width: 0.01, half_height: 0.01 };
/// let size = Angle::from_rad(2.0 * 0.02f64.atan());
/// let outline = Outline { major: size, minor: None, position_angle: None };
/// let panels = panels(centre, Some(&outline), &field, 0.0).unwrap();
/// assert_eq!(panels.len(), 4);
/// // The first is the top-left one: north and east of the middle.
/// assert!((panels[0].centre.ra().rad() - 0.01).abs() < 1e-6);
/// assert!((panels[0].centre.dec().rad() - 0.01).abs() < 1e-6);
/// ```
pub fn panels(
    centre: Direction<Icrs>,
    outline: Option<&Outline>,
    field: &Field,
    overlap: f64,
) -> Result<Vec<Frame>, MosaicError> {
    let Some(outline) = outline else {
        return Ok(vec![Frame { centre, rotation: Angle::ZERO, field: *field }]);
    };
    let Plan { columns, rows, rotation } =
        plan(outline, field, overlap).ok_or(MosaicError::HalfTheSky)?;
    if columns.saturating_mul(rows) > MOST_PANELS {
        return Err(MosaicError::TooManyPanels { columns, rows });
    }
    Ok(grid(centre, rotation, field, columns, rows, overlap))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use super::*;

    const FIELD: Field = Field { half_width: 0.015, half_height: 0.01 };

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

    fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
        Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
    }

    #[test]
    fn a_reach_of_whole_panels_takes_no_panel_more() {
        // Two panels with 15 % overlap reach 1.85 half sides, three 2.7, however it is rounded.
        for (ratio, panels) in [(1.0, 1), (1.85, 2), (2.7, 3), (3.55, 4), (1.850_001, 3)] {
            assert_eq!(panels_along(ratio, 0.15), panels, "{ratio}");
        }
        assert_eq!(panels_along(f64::MAX, 0.15), u32::MAX);
        assert_eq!(panels_along(0.0, 0.9), 1);
    }

    #[test]
    fn a_target_exactly_as_large_as_the_frame_is_one_panel() {
        let plan = plan(&ellipse(0.015, 0.01, 90.0), &FIELD, 0.15).unwrap();
        assert_eq!((plan.columns, plan.rows, plan.rotation), (1, 1, Angle::ZERO));
    }

    #[test]
    fn a_long_target_is_covered_along_its_length() {
        // 2.7 half widths long and a half height high: three panels in a row just hold it.
        let plan = plan(&ellipse(0.0405, 0.01, 100.0), &FIELD, 0.15).unwrap();
        assert_eq!((plan.columns, plan.rows), (3, 1));
        assert!((plan.rotation.deg() - 10.0).abs() < 1e-12);
    }

    #[test]
    fn equal_counts_go_to_the_one_with_most_room() {
        // A circle of 1.6 half heights: two panels stacked hold it with more room to spare than
        // the two by two that the width alone would suggest.
        let circle = Outline { major: axis(0.0148), minor: None, position_angle: None };
        let plan = plan(&circle, &FIELD, 0.15).unwrap();
        assert_eq!((plan.columns, plan.rows, plan.rotation), (1, 2, Angle::ZERO));
        // A square sensor can take the long target in either direction: the smaller rotation wins.
        let square = Field { half_width: 0.01, half_height: 0.01 };
        let strip = ellipse(0.0184, 0.0099, 90.0);
        let plan = super::plan(&strip, &square, 0.15).unwrap();
        assert_eq!((plan.columns, plan.rows), (2, 1));
        assert!(plan.rotation.deg() < 45.0);
    }

    #[test]
    fn a_target_of_unknown_size_is_one_panel_not_turned() {
        let panels = panels(place(10.0, 20.0), None, &FIELD, 0.15).unwrap();
        assert_eq!(panels.len(), 1);
        assert_eq!(panels[0].rotation, Angle::ZERO);
    }

    #[test]
    fn absurd_sizes_are_a_number_or_a_refusal_but_no_hang() {
        let tiny = Field { half_width: 1e-9, half_height: 1e-9 };
        let outline = ellipse(0.1, 0.05, 33.0);
        let plan = plan(&outline, &tiny, 0.15).unwrap();
        assert!(plan.columns > 1_000_000 && plan.rows > 1_000_000);
        let refused = panels(place(0.0, 0.0), Some(&outline), &tiny, 0.15);
        let Plan { columns, rows, .. } = plan;
        assert_eq!(refused, Err(MosaicError::TooManyPanels { columns, rows }));
        let sky = Outline { major: Angle::TURN, minor: None, position_angle: None };
        let refused = panels(place(0.0, 0.0), Some(&sky), &FIELD, 0.15);
        assert_eq!(refused, Err(MosaicError::HalfTheSky));
    }

    #[test]
    fn panels_come_row_by_row_from_the_top_left() {
        let frames = grid(place(0.0, 0.0), Angle::ZERO, &FIELD, 3, 2, 0.0);
        let middle = Frame { centre: place(0.0, 0.0), rotation: Angle::ZERO, field: FIELD };
        let at: Vec<_> = frames.iter().map(|f| middle.picture_point(f.centre).unwrap()).collect();
        let wanted = [(-2.0, -1.0), (0.0, -1.0), (2.0, -1.0), (-2.0, 1.0), (0.0, 1.0), (2.0, 1.0)];
        for ((x, y), (wanted_x, wanted_y)) in at.into_iter().zip(wanted) {
            assert!((x - wanted_x).abs() < 1e-12 && (y - wanted_y).abs() < 1e-12, "{x} {y}");
        }
    }

    #[test]
    fn panels_about_the_pole_turn_with_the_meridians() {
        let frames = grid(place(0.0, 90.0), Angle::ZERO, &FIELD, 3, 1, 0.1);
        // The middle's up is along the meridian of 12h, its left along that of 6h; and there, over
        // the pole from the right one, "parallel to 12h" is east, and on the right it is west.
        let [left, middle, right] = [0, 1, 2].map(|k| frames[k].rotation.wrapped_signed().deg());
        assert!((left - 90.0).abs() < 1e-6 && middle == 0.0 && (right + 90.0).abs() < 1e-6);
    }
}
