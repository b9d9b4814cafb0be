//! What the published checks share: reading a reference table, and judging every row of it.

#![forbid(unsafe_code)]
#![allow(clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

pub mod kit_text;

use std::fmt::Display;
use std::path::Path;

use serde::de::DeserializeOwned;

/// Reads every row of a table of `reference/`, typed.
///
/// # Panics
/// Where the table is missing or a row does not have the columns expected.
pub fn reference_rows<T: DeserializeOwned>(table: &str) -> Vec<T> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("reference").join(table);
    csv::Reader::from_path(&path)
        .and_then(|mut reader| reader.deserialize().collect())
        .unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The judge of one quantity: goes on after a miss, remembers every error, speaks at the end.
pub struct Judge {
    quantity: &'static str,
    unit: &'static str,
    tolerance: f64,
    table: Option<&'static str>,
    misses: usize,
    errors: Vec<f64>,
    worst: Option<(f64, String)>,
}

impl Judge {
    /// A judge that lets an error up to the tolerance pass.
    pub fn new(quantity: &'static str, tolerance: f64, unit: &'static str) -> Self {
        Self { quantity, unit, tolerance, table: None, misses: 0, errors: Vec::new(), worst: None }
    }

    /// The table of `reference/` whose rows it judges: its errors then stand in the accuracy table.
    pub fn against(self, table: &'static str) -> Self {
        Self { table: Some(table), ..self }
    }

    /// Judges one row by the size of its error; one that is not a number is a miss.
    pub fn row(&mut self, row: impl Display, error: f64) {
        let error = if error.is_nan() { f64::INFINITY } else { error.abs() };
        self.errors.push(error);
        self.misses += usize::from(error > self.tolerance);
        if self.worst.as_ref().is_none_or(|(worst, _)| error > *worst) {
            self.worst = Some((error, row.to_string()));
        }
    }

    /// Judges one row by what was wanted and found.
    pub fn values(&mut self, row: impl Display, wanted: f64, found: f64) {
        self.row(format_args!("{row} (wanted {wanted}, found {found})"), found - wanted);
    }

    /// Prints the worst row and fails if any row missed, or if there were fewer rows than that.
    ///
    /// # Panics
    /// That is how it fails.
    pub fn verdict(mut self, least_rows: usize) {
        self.errors.sort_by(f64::total_cmp);
        let median = self.errors.get(self.errors.len() / 2).copied().unwrap_or(f64::NAN);
        let Self { quantity, unit, tolerance, table, misses, errors, worst } = self;
        let rows = errors.len();
        let (error, row) = worst.unwrap_or_else(|| panic!("{quantity}: no row was checked"));
        let report = format!(
            "{quantity}: {misses} of {rows} rows miss {tolerance:e} {unit}; worst {error:.3e} {unit} at row {row}"
        );
        println!("{report}");
        if let Some(table) = table {
            let errors: Vec<String> = errors.iter().map(|error| format!("{error:e}")).collect();
            println!(
                "accuracy|{table}|{quantity}|{rows}|{median:e}|{error:e}|{tolerance:e}|{unit}|{}",
                errors.join(" ")
            );
        }
        assert!(misses == 0, "{report}");
        assert!(rows >= least_rows, "{report}; expected at least {least_rows} rows");
    }
}
