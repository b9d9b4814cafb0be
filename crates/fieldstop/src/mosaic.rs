//! Covering a target that spills: a grid of overlapping panels.
//!
//! The panels' centres stand on the tangent plane of the mosaic's middle, at steps of one sensor
//! side less the overlap. Each panel is a picture of its own, with its own tangent plane. Pointed
//! at the same *position angle* as the middle one, panels near a pole would fan out and open
//! wedges between them, because meridians converge; so each is turned parallel to the middle one:
//! its up direction runs along the great circle that is a vertical line of the mosaic's plane.
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

/// More panels than anybody will take.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[error("the mosaic has {columns} x {rows} panels; expected at most {MOST_PANELS} in all")]
pub struct TooManyPanels {
    /// Panels across.
    pub columns: u32,
    /// Panels down.
    pub rows: u32,
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
/// [`TooManyPanels`] where the [`plan`] needs more than [`MOST_PANELS`], or an outline is 180
/// degrees and more across.
pub fn panels(
    centre: Direction<Icrs>,
    outline: Option<&Outline>,
    field: &Field,
    overlap: f64,
) -> Result<Vec<Frame>, TooManyPanels> {
    let Some(outline) = outline else {
        return Ok(vec![Frame { centre, rotation: Angle::ZERO, field: *field }]);
    };
    match plan(outline, field, overlap) {
        Some(Plan { columns, rows, rotation }) if columns.saturating_mul(rows) <= MOST_PANELS => {
            Ok(grid(centre, rotation, field, columns, rows, overlap))
        }
        Some(Plan { columns, rows, .. }) => Err(TooManyPanels { columns, rows }),
        None => Err(TooManyPanels { columns: u32::MAX, rows: u32::MAX }),
    }
}
