//! Dates as people type and read them.

use fieldstop::range::Range;
use jiff::civil::Date;

/// The years that the sky's clockwork is made for.
pub const YEARS: Range =
    Range { least: 1950.0, most: 2100.0, expected: "a year from 1950 to 2100" };

/// Names of the months.
const MONTH_NAMES: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// The name of a month, counted from 0.
pub fn month_name(month: usize) -> &'static str {
    MONTH_NAMES.get(month).copied().unwrap_or_default()
}

/// Its first three letters.
pub fn month_short(month: usize) -> &'static str {
    month_name(month).get(..3).unwrap_or_default()
}

/// A date in words, without its year: `14 March`.
pub fn day_and_month(date: Date) -> String {
    format!("{} {}", date.day(), month_name(month_index(date)))
}

/// A date's month, counted from 0.
pub fn month_index(date: Date) -> usize {
    // OK because a date's month lies between 1 and 12.
    usize::try_from(date.month() - 1).unwrap_or_default()
}

/// Whether a date lies in the years that can be computed.
pub fn is_in_reach(date: Date) -> bool {
    YEARS.contains(f64::from(date.year()))
}

/// Reads a date such as `2026-03-14`.
///
/// # Errors
/// In a sentence: what was found, what was expected.
pub fn parse(text: &str) -> Result<Date, String> {
    let text = text.trim();
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts.as_slice() else {
        return Err(format!("“{text}” is no date; expected year-month-day, such as 2026-03-14."));
    };
    let (Ok(year), Ok(month), Ok(day)) =
        (year.parse::<i16>(), month.parse::<i8>(), day.parse::<i8>())
    else {
        return Err(format!("“{text}” is no date; expected year-month-day, such as 2026-03-14."));
    };
    if !YEARS.contains(f64::from(year)) {
        return Err(format!("“{text}” is too far off; expected {}.", YEARS.expected));
    }
    let Ok(first) = Date::new(year, month, 1) else {
        return Err(format!("“{text}” does not exist; expected a month from 1 to 12."));
    };
    Date::new(year, month, day).map_err(|_| {
        let name = month_name(month_index(first));
        format!("“{text}” does not exist: {name} {year} has {} days.", first.days_in_month())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_date_is_read_as_it_is_written() {
        for text in ["2026-03-14", " 2026-3-14 ", "1950-01-01", "2100-12-31", "2024-02-29"] {
            let date = parse(text);
            assert!(date.is_ok_and(|date| parse(&date.to_string()) == Ok(date)), "{text}");
        }
    }

    #[test]
    fn a_date_that_does_not_exist_is_explained() {
        for (text, why) in [
            ("2026-02-29", "February 2026 has 28 days"),
            ("2100-02-29", "February 2100 has 28 days"),
            ("2026-06-31", "June 2026 has 30 days"),
            ("2026-06-00", "June 2026 has 30 days"),
            ("2026-13-01", "month from 1 to 12"),
            ("1949-12-31", "1950 to 2100"),
            ("2101-01-01", "1950 to 2100"),
            ("14.3.2026", "year-month-day"),
            ("2026-03", "year-month-day"),
            ("-5-03-01", "year-month-day"),
            ("", "year-month-day"),
            ("2026-99999-01", "year-month-day"),
        ] {
            let refusal = parse(text).unwrap_err();
            assert!(refusal.contains(why) && refusal.contains(text), "{text}: {refusal}");
        }
    }
}
