//! Stars fainter than the list, made where they are looked at and always in the same place.
//!
//! Magnitudes are cut into steps of a half. For each step the sky is cut into HEALPix cells of
//! equal area, small enough to hold a handful of the step's stars. How many a cell holds, where
//! they are, how bright and of what colour: all is drawn from one stream of random numbers, that is
//! keyed by step and cell and nothing else. So a star does not depend on who looks, and the cost of
//! a look follows the cells in it.
//!
//! # The same on every machine
//! The stream is made of integers. The only numbers of the system's mathematics library (sine,
//! power) that a star's existence hangs on make the expected count of its cell. They may differ by
//! the last of 53 bits between machines, and change a count only if the drawn number falls into
//! that gap: about one star in 10^15, and there are fewer than 10^8.

use std::f64::consts::PI;

use cdshealpix::nested;

use super::count_model::CountModel;
use super::random::SplitMix64;
use super::{LISTED_LIMIT, Star};
use crate::galactic::galactic_from_icrs;
use crate::{Angle, Cone, Direction, Icrs};

/// V magnitude of the faintest synthetic stars: 113 million are brighter. Pictures stop at 16 or before.
pub const SYNTHETIC_LIMIT: f64 = LISTED_LIMIT + STEP_MAG * ORDERS.len() as f64;

/// Height of a magnitude step: small enough that its count can be taken as one power law.
const STEP_MAG: f64 = 0.5;

/// HEALPix order of each step's cells, so that 4 to 14 stars fall in one on the average of the sky.
/// Coarser cells would make many stars in vain at the edge of a look, finer ones are a cost each.
const ORDERS: [u8; 16] = [5, 6, 6, 6, 7, 7, 7, 7, 8, 8, 8, 8, 9, 9, 9, 9];

/// The model is asked once for all cells within one of this order, 0.9 degrees across: over that
/// the count changes by a few per cent at most, less than its own chance scatter.
const MODEL_ORDER: u8 = 6;

/// Any number would do; another would give another sky.
const SEED: u64 = 0x6669_656c_6473_746f;

/// Adds the synthetic stars of a cone to a list, those with `brightest < V <= faintest_mag`.
///
/// The same star comes at the same place from any cone that holds it.
///
/// # Units
/// - `radius`: 0 to 180 degrees; the edge is inside. NaN or negative adds nothing
/// - `brightest`, `faintest_mag`: V magnitude; none is brighter than [`LISTED_LIMIT`] or fainter
///   than [`SYNTHETIC_LIMIT`](super::SYNTHETIC_LIMIT)
///
/// # Source
/// Counts: [`stars_per_deg2`](super::stars_per_deg2). Equal-area cells: HEALPix, Górski et al.
/// 2005, ApJ 622, 759.
///
/// # Example
/// ```
/// # use fieldstop::{Angle, Direction, stars::synthetic_stars};
/// let centre = Direction::from_ra_dec(Angle::from_deg(10.7), Angle::from_deg(41.3));
/// let (mut wide, mut narrow) = (Vec::new(), Vec::new());
/// synthetic_stars(centre, Angle::from_deg(2.0), 9.5, 13.0, &mut wide);
/// synthetic_stars(centre, Angle::from_deg(1.0), 9.5, 12.0, &mut narrow);
/// assert!(!narrow.is_empty() && narrow.iter().all(|star| wide.contains(star)));
/// ```
pub fn synthetic_stars(
    centre: Direction<Icrs>,
    radius: Angle,
    brightest: f64,
    faintest_mag: f64,
    stars: &mut Vec<Star>,
) {
    let Some(cone) = Cone::new(centre, radius) else {
        return;
    };
    let look = Look { cone, brightest, faintest_mag };
    for step in steps() {
        if step.top_mag() < faintest_mag && brightest < step.top_mag() + STEP_MAG {
            look.push_step(step, stars);
        }
    }
}

/// A magnitude step, counted from the limit of the list, and the order of its cells.
#[derive(Clone, Copy)]
struct Step {
    number: u8,
    order: u8,
}

fn steps() -> impl Iterator<Item = Step> {
    (0..).zip(ORDERS).map(|(number, order)| Step { number, order })
}

impl Step {
    /// V magnitude at which it begins.
    fn top_mag(self) -> f64 {
        LISTED_LIMIT + STEP_MAG * f64::from(self.number)
    }
}

/// What is asked for: a cone and an interval of magnitudes.
struct Look {
    cone: Cone,
    brightest: f64,
    faintest_mag: f64,
}

impl Look {
    fn push_step(&self, step: Step, stars: &mut Vec<Star>) {
        let orders_up = step.order.saturating_sub(MODEL_ORDER);
        let mut last: Option<(u64, StepRule)> = None;
        for &cell in &self.cone.cells(step.order) {
            // Cells come in nested order, so those of one parent follow each other.
            let parent = cell >> (2 * orders_up);
            let rule = match last {
                Some((of_parent, rule)) if of_parent == parent => rule,
                _ => StepRule::new(step, step.order - orders_up, parent),
            };
            self.push_cell(step, cell, &rule, stars);
            last = Some((parent, rule));
        }
    }

    /// Adds the stars of one cell that are asked for.
    fn push_cell(&self, step: Step, cell: u64, rule: &StepRule, stars: &mut Vec<Star>) {
        let layer = nested::get(step.order);
        let mut stream = SplitMix64::for_cell(SEED, step.number, cell);
        for _ in 0..rule.count(stream.next_share()) {
            // Each star takes its four numbers, wanted or not: the next one must not depend on it.
            let (dx, dy) = (stream.next_share(), stream.next_share());
            let (faintness, redness) = (stream.next_share(), stream.next_share());
            let v_mag = step.top_mag() + STEP_MAG * rule.depth(faintness);
            if !(self.brightest < v_mag && v_mag <= self.faintest_mag) {
                continue;
            }
            // Even over the cell, since HEALPix cells are of equal area in these two.
            let (ra, dec) = layer.sph_coo(cell, dx, dy);
            let place = direction(ra, dec);
            if self.cone.contains(place) {
                stars.push(Star { place, v_mag: v_mag as f32, b_v: colour(redness) as f32 });
            }
        }
    }
}

/// How the stars of one magnitude step are strewn about one part of the sky.
#[derive(Clone, Copy)]
struct StepRule {
    /// Stars expected in a cell.
    per_cell: f64,
    /// Chance that a cell has none.
    empty: f64,
    /// Logarithm of how much the count grows over the step.
    log_growth: f64,
    growth: f64,
}

impl StepRule {
    fn new(step: Step, model_order: u8, model_cell: u64) -> Self {
        let (ra, dec) = nested::center(model_order, model_cell);
        let model = CountModel::at(galactic_from_icrs(direction(ra, dec)));
        let brighter = model.stars_per_deg2(step.top_mag());
        let fainter = model.stars_per_deg2(step.top_mag() + STEP_MAG);
        let per_cell = (fainter - brighter) * cell_area_deg2(step.order);
        let growth = fainter / brighter;
        Self { per_cell, empty: (-per_cell).exp(), log_growth: growth.ln(), growth }
    }

    /// The number of stars in a cell that lies at a share of the Poisson distribution: adds up the
    /// chances of none, one, two... until they pass it.
    fn count(&self, share: f64) -> u32 {
        let mut chance = self.empty;
        let mut sum = chance;
        let mut count = 0;
        // OK because some tens of stars are expected at most: only a sum that rounding keeps below
        // the share reaches the bound.
        while sum <= share && count < 1000 {
            count += 1;
            chance *= self.per_cell / f64::from(count);
            sum += chance;
        }
        count
    }

    /// How far into the step, 0 to 1, a share of its stars reaches: the count grows along a power
    /// law there, and this is its inverse.
    fn depth(&self, share: f64) -> f64 {
        (1.0 + share * (self.growth - 1.0)).ln() / self.log_growth
    }
}

fn direction(ra: f64, dec: f64) -> Direction<Icrs> {
    Direction::from_ra_dec(Angle::from_rad(ra), Angle::from_rad(dec))
}

/// Area of a cell of an order: the sphere over 12 * 4^order.
fn cell_area_deg2(order: u8) -> f64 {
    let sphere_deg2 = 4.0 * PI * Angle::from_rad(1.0).deg() * Angle::from_rad(1.0).deg();
    sphere_deg2 / (12.0 * 4f64.powi(i32::from(order)))
}

/// B - V at a share of the way from the bluest star to the reddest: the tenths of the listed stars of
/// V 9 to 9.5. Fainter stars are given the same colours, for want of a published table.
fn colour(share: f64) -> f64 {
    const TENTHS: [f64; 11] = [-0.06, 0.16, 0.34, 0.46, 0.55, 0.69, 0.99, 1.10, 1.24, 1.48, 1.66];
    let place = share * 10.0;
    let index = (place as usize).min(9);
    TENTHS[index] + (TENTHS[index + 1] - TENTHS[index]) * (place - index as f64)
}
