//! What a first rig needs beside its parts.

use fieldstop::cost;
use fieldstop::kit::Kit;

use super::{Cell, Column, column};

pub(super) fn columns() -> Vec<Column> {
    vec![
        column("item", "", "what it is"),
        column(
            "price",
            "of the currency",
            "its price, a rough guess unless it was set; empty where it is unknown",
        ),
        column("owned", "", "whether it is there already, or not needed"),
        column("currency", "", "of the prices"),
    ]
}

pub(super) fn rows(kit: &Kit) -> Vec<Vec<Cell>> {
    let currency = kit.limits.currency.as_str();
    cost::checklist(&kit.limits)
        .into_iter()
        .map(|item| vec![item.name.into(), item.price.into(), item.owned.into(), currency.into()])
        .collect()
}
