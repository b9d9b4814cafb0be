//! The limits that a person gave, and which of them a rig breaks.

use crate::choice::RigChoice;
use crate::kit::Limits;

/// A limit that is broken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Broken {
    /// More to pay than the budget: by how much, in the kit's currency.
    Budget(f64),
    /// More to carry than wanted: by how much, in kilograms.
    Carry(f64),
    /// More of the mount's rated payload than imaging may use: the share that is used.
    Payload(f64),
}

/// By how much a rig's parts go beyond the budget, in the kit's currency; `None` where they do not,
/// and of an unknown price, which cannot be held against a budget.
///
/// The checklist is not counted: it is bought over time, and [`over_with_checklist`] tells of it.
pub fn over_budget(rig: &RigChoice, limits: &Limits) -> Option<f64> {
    let (budget, price) = (limits.budget?, rig.demands.price.ok()?);
    (price > budget).then_some(price - budget)
}

/// By how much a rig goes beyond what can be carried, in kilograms; `None` where it does not.
pub fn over_carry(rig: &RigChoice, limits: &Limits) -> Option<f64> {
    let (most, carry) = (limits.carry_kg?, rig.demands.load.carry_kg);
    (carry > most).then_some(carry - most)
}

/// The share of the mount's rated payload that a rig uses, where imaging may not use that much.
pub fn over_payload(rig: &RigChoice, limits: &Limits) -> Option<f64> {
    let used = rig.demands.load.payload_used;
    (used > limits.payload_share).then_some(used)
}

/// The limits that a rig breaks.
pub fn broken_limits(rig: &RigChoice, limits: &Limits) -> Vec<Broken> {
    [
        over_budget(rig, limits).map(Broken::Budget),
        over_carry(rig, limits).map(Broken::Carry),
        over_payload(rig, limits).map(Broken::Payload),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// By how much the checklist carries a rig over a budget that its parts alone keep, in the kit's
/// currency; `None` where it does not.
pub fn over_with_checklist(rig: &RigChoice, limits: &Limits) -> Option<f64> {
    let (budget, price) = (limits.budget?, rig.demands.price.ok()?);
    let over = price + rig.demands.checklist_price.ok()? - budget;
    (price <= budget && over > 0.0).then_some(over)
}
