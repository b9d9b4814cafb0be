//! What a rig still costs, and what a first rig tends to lack beside its parts.

use crate::ResolvedRig;
use crate::kit::{ChecklistItem, Limits};
use crate::why::{Known, Part, Why};

/// One line of the bill.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PricedPart {
    /// Which part.
    pub part: Part,
    /// In the kit's currency.
    pub price: Option<f64>,
    /// Already there.
    pub owned: bool,
}

impl PricedPart {
    /// What has to be paid for it.
    pub fn to_pay(self) -> Known<f64> {
        if self.owned { Ok(0.0) } else { self.price.ok_or(Why::NoPrice(self.part)) }
    }
}

/// The bill of a rig, part by part.
pub fn bill(rig: &ResolvedRig<'_>) -> Vec<PricedPart> {
    let line = |part, price, owned| PricedPart { part, price, owned };
    let mut lines = vec![line(Part::Ota, rig.ota.price, rig.ota.owned)];
    if let Some(corrector) = rig.corrector {
        lines.push(line(Part::Corrector, corrector.price, corrector.owned));
    }
    lines.push(line(Part::Camera, rig.camera.price, rig.camera.owned));
    if let Some(filter) = &rig.rig.filter {
        lines.push(line(Part::Filter, filter.price, filter.owned));
    }
    lines.push(line(Part::Mount, rig.mount.price, rig.mount.owned));
    lines
}

/// What the rig still costs: every part that is not owned.
///
/// # Errors
/// [`Why::NoPrice`] for the first part that has to be bought and has no price.
pub fn price(rig: &ResolvedRig<'_>) -> Known<f64> {
    bill(rig).into_iter().map(PricedPart::to_pay).sum()
}

/// What a first rig usually lacks, with a rough price where the currency is one the guess was made
/// in; the kit's own list stands in its place if there is one.
///
/// # Source
/// Common practice; prices are rough guesses.
pub fn checklist(limits: &Limits) -> Vec<ChecklistItem> {
    if let Some(own) = &limits.checklist {
        return own.clone();
    }
    let known_currency = ["GBP", "EUR", "USD"].contains(&limits.currency.as_str());
    let usual = [
        ("guide telescope and guide camera", 250.0),
        ("power supply or battery, outdoor-rated", 150.0),
        ("dew heaters", 80.0),
        ("light-pollution or line filter", 120.0),
        ("adapters and spacers", 60.0),
    ];
    usual
        .map(|(name, price)| ChecklistItem {
            name: name.to_owned(),
            price: known_currency.then_some(price),
            owned: false,
        })
        .into()
}

/// What the checklist adds: every item that is not there yet.
///
/// # Errors
/// [`Why::NoChecklistPrice`] if one of them has no price.
pub fn checklist_price(items: &[ChecklistItem]) -> Known<f64> {
    items
        .iter()
        .filter(|item| !item.owned)
        .map(|item| item.price.ok_or(Why::NoChecklistPrice))
        .sum()
}
