//! What every rig costs, part by part.

use fieldstop::cost;
use fieldstop::kit::Kit;

use super::rigs::resolved;
use super::{Cell, Column, column};

pub(super) fn columns() -> Vec<Column> {
    vec![
        column("rig", "", "name of the rig"),
        column("part", "", "which part"),
        column("price", "of the currency", "its price; empty where it is unknown"),
        column("owned", "", "whether it is there already"),
        column(
            "to_pay",
            "of the currency",
            "what is still to pay for it; empty where that is unknown",
        ),
        column("currency", "", "of the prices"),
    ]
}

pub(super) fn rows(kit: &Kit) -> Vec<Vec<Cell>> {
    let mut rows = Vec::new();
    for rig in resolved(kit) {
        for line in cost::bill(&rig) {
            rows.push(vec![
                rig.rig.name.as_str().into(),
                line.part.label().into(),
                line.price.into(),
                line.owned.into(),
                line.to_pay().ok().into(),
                kit.limits.currency.as_str().into(),
            ]);
        }
    }
    rows
}
