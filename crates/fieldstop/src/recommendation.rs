//! The rig to take, in sentences: why it, what else would do, and what speaks against it.

use crate::choice::{Choice, RigChoice};
use crate::findings::{Finding, recommended};
use crate::kit::Kit;
use crate::limits_kept::broken_limits;
use crate::serving::serving_most;

/// The rig that the figures speak for.
#[derive(Clone, Debug, PartialEq)]
pub struct Recommendation {
    /// Its place in [`Choice::rigs`].
    pub place: usize,
    /// Its place in the kit's shortlist.
    pub rig: usize,
    /// Whether it keeps the budget, what can be carried, and what its mount takes.
    pub within_limits: bool,
    /// Why, what else would do, and what speaks against it; the first says which.
    pub findings: Vec<Finding>,
}

/// The rig that [serves most](crate::serving) among those that keep the person's limits; among all
/// if none does.
///
/// `None` without rigs or without wishes: there is nothing to go by then.
pub(crate) fn recommendation(kit: &Kit, choice: &Choice) -> Option<Recommendation> {
    if choice.ranges.is_empty() {
        return None;
    }
    let keeps = |rig: &&RigChoice| broken_limits(rig, &kit.limits).is_empty();
    let within: Vec<&RigChoice> = choice.rigs.iter().filter(keeps).collect();
    let within_limits = !within.is_empty();
    let pool: Vec<&RigChoice> = if within_limits { within } else { choice.rigs.iter().collect() };
    let most = serving_most(pool.iter().copied())?;
    let place = choice.rigs.iter().position(|rig| rig.rig == most.first.rig)?;
    let findings = recommended(kit, choice, &pool, &most, within_limits);
    Some(Recommendation { place, rig: most.first.rig, within_limits, findings })
}
