//! What the published checks share: reading a reference table, and judging every row of it.

#![forbid(unsafe_code)]
#![allow(clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

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

/// The judge of one quantity: goes on after a miss, remembers the worst row, speaks at the end.
pub struct Judge {
    quantity: &'static str,
    unit: &'static str,
    tolerance: f64,
    rows: usize,
    misses: usize,
    worst: Option<(f64, String)>,
}

impl Judge {
    /// A judge that lets an error up to the tolerance pass.
    pub fn new(quantity: &'static str, tolerance: f64, unit: &'static str) -> Self {
        Self { quantity, unit, tolerance, rows: 0, misses: 0, worst: None }
    }

    /// Judges one row by the size of its error; one that is not a number is a miss.
    pub fn row(&mut self, row: impl Display, error: f64) {
        let error = if error.is_nan() { f64::INFINITY } else { error.abs() };
        self.rows += 1;
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
    pub fn verdict(self, least_rows: usize) {
        let Self { quantity, unit, tolerance, rows, misses, worst } = self;
        let (error, row) = worst.unwrap_or_else(|| panic!("{quantity}: no row was checked"));
        let report = format!(
            "{quantity}: {misses} of {rows} rows miss {tolerance:e} {unit}; worst {error:.3e} {unit} at row {row}"
        );
        println!("{report}");
        assert!(misses == 0, "{report}");
        assert!(rows >= least_rows, "{report}; expected at least {least_rows} rows");
    }
}
