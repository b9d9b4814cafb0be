//! What a mosaic costs in nights: every panel takes as long as a single picture.

use crate::why::Known;

/// Hours of a mosaic against the hours there are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MosaicCost {
    /// How many panels.
    pub panels: usize,
    /// To the wanted signal-to-noise ratio, each.
    pub hours_each: f64,
    /// Of all panels.
    pub hours: f64,
    /// Usable hours of the target that were counted: of a night, a season or a year.
    pub hours_there: f64,
    /// Share of them that the mosaic takes; infinite where there are none.
    pub share: f64,
}

impl MosaicCost {
    /// Whether the nights counted give the hours.
    pub fn is_enough(self) -> bool {
        self.share <= 1.0
    }
}

/// The hours that a mosaic takes.
///
/// Overlaps are exposed twice and gain nothing here: each panel has to be good by itself.
///
/// # Units
/// - `hours_each`: as [`crate::demands::hours_of`] gives it for the rig and target
/// - `hours_there`: usable hours in the stretch of time that is asked about, >= 0
///
/// # Errors
/// The reason why the hours of one picture are not known.
///
/// # Example
/// Six panels of four hours fill 24 of the 60 hours that a month has.
/// ```
/// # use fieldstop::mosaic_cost::mosaic_cost;
/// let cost = mosaic_cost(6, Ok(4.0), 60.0).unwrap();
/// assert_eq!((cost.hours, cost.share, cost.is_enough()), (24.0, 0.4, true));
/// ```
pub fn mosaic_cost(panels: usize, hours_each: Known<f64>, hours_there: f64) -> Known<MosaicCost> {
    let hours_each = hours_each?;
    let hours = panels as f64 * hours_each;
    Ok(MosaicCost { panels, hours_each, hours, hours_there, share: hours / hours_there })
}
