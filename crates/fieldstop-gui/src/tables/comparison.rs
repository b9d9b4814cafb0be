//! The rigs on the counts that decide, and who is beaten.

use fieldstop::choice::{Choice, Criterion};

use super::choose::dominated_by;
use super::{Cell, Column, column};

pub(super) fn columns() -> Vec<Column> {
    let mut columns = vec![column("rig", "", "name of the rig")];
    columns.extend(Criterion::ALL.map(|criterion| {
        let (name, unit) = match criterion {
            Criterion::Price => (criterion.key(), "of the currency"),
            // The key of the findings says what is counted; the heading says the unit as well.
            Criterion::Hours => ("hours_to_snr", "h"),
            Criterion::GuidingMargin => (criterion.key(), ""),
            _ => (criterion.key(), criterion.unit()),
        };
        column(name, unit, criterion.label())
    }));
    columns.extend([
        column("currency", "", "of the price"),
        column("tight", "", "targets that only just fit"),
        column("spills", "", "targets that do not fit"),
        column("size_unknown", "", "targets of unknown size"),
        column("small", "", "targets whole or tight with less than the wanted detail"),
        column("served", "", "targets whole with detail enough"),
        column("served_weighted_hours", "h", "usable hours of those in the year, times stars"),
        column("dominated_by", "", "rigs that are at least as good on every count and better on one, divided by semicolons"),
    ]);
    columns
}

pub(super) fn rows(choice: &Choice, currency: &str) -> Vec<Vec<Cell>> {
    let row = |rig: &fieldstop::choice::RigChoice| {
        let mut row = vec![rig.name.as_str().into()];
        row.extend(Criterion::ALL.map(|criterion| match criterion {
            Criterion::Whole => rig.whole.into(),
            _ => rig.count(criterion).into(),
        }));
        row.extend::<[Cell; 8]>([
            currency.into(),
            rig.tight.into(),
            rig.spills.into(),
            rig.size_unknown.into(),
            rig.small.into(),
            rig.served.count.into(),
            rig.served.weighted.into(),
            dominated_by(rig, choice).join("; ").into(),
        ]);
        row
    };
    choice.rigs.iter().map(row).collect()
}
