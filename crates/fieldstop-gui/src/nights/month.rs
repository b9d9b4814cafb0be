//! The hours of a month's nights together.

use fieldstop::season::UsableHours;

/// Months of a year.
pub const MONTHS: usize = 12;

/// What the nights that begin in one month offer together.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MonthHours {
    /// How many nights begin in it.
    pub nights: u32,
    /// Usable hours in the dark, all nights together.
    pub dark: f64,
    /// The same, with the Moon down.
    pub moonless: f64,
}

impl MonthHours {
    /// Adds a night.
    pub fn add(&mut self, hours: UsableHours) {
        self.nights += 1;
        self.dark += f64::from(hours.dark);
        self.moonless += f64::from(hours.moonless);
    }

    /// Usable hours of the average night.
    pub fn a_night(&self) -> f64 {
        if self.nights == 0 { 0.0 } else { self.dark / f64::from(self.nights) }
    }
}

/// Hours that may be expected under a real sky: each month's hours times its share of clear nights.
/// `None` where the site does not know its shares.
pub fn expected_hours(months: &[MonthHours; MONTHS], clear_fraction: &[f64]) -> Option<f64> {
    (clear_fraction.len() == MONTHS)
        .then(|| months.iter().zip(clear_fraction).map(|(month, clear)| month.dark * clear).sum())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn expected_hours_are_the_clear_share_of_each_month() {
        let mut months = [MonthHours::default(); MONTHS];
        months[0].dark = 100.0;
        months[6].dark = 10.0;
        let mut clear = vec![0.0; MONTHS];
        (clear[0], clear[6]) = (0.25, 0.5);
        assert_eq!(expected_hours(&months, &clear), Some(30.0));
        assert_eq!(expected_hours(&months, &[]), None);
    }
}
