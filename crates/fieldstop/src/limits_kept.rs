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

/// The limits that a rig breaks. An unknown price cannot be held against a budget, and the
/// checklist is not counted: it is bought over time, and [`over_with_checklist`] tells of it.
pub fn broken_limits(rig: &RigChoice, limits: &Limits) -> Vec<Broken> {
    let load = &rig.demands.load;
    let budget = limits.budget.zip(rig.demands.price.ok());
    let budget = budget.filter(|(budget, price)| price > budget);
    let carry = limits.carry_kg.filter(|most| load.carry_kg > *most);
    [
        budget.map(|(budget, price)| Broken::Budget(price - budget)),
        carry.map(|most| Broken::Carry(load.carry_kg - most)),
        (load.payload_used > limits.payload_share).then_some(Broken::Payload(load.payload_used)),
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
