//! Right ascension and declination as people write and type them.
//!
//! Written: `20h 59m 17.1s` and `+44° 31′ 44″`. Read: the same, with any of the usual separators
//! (`20:59:17.1`, `20 59 17.1`, `+44 31 44`, `44d31m44s`, `44°31'44"`), or plain degrees.
//!
//! A lone number is degrees, for right ascension too; two or three numbers are hours, minutes and
//! seconds for right ascension, and degrees, minutes and seconds for declination.

use sofars::vm::{a2af, a2tf};
use thiserror::Error;

use crate::Angle;

/// Why a typed coordinate cannot be used.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum CoordinateError {
    /// Not a coordinate at all.
    #[error("found {found:?}; expected {expected}")]
    Unreadable {
        /// As typed, its first sixty characters.
        found: String,
        /// What would do.
        expected: &'static str,
    },
    /// Minutes or seconds of 60 and more, or an angle off its scale.
    #[error("found {found:?}; expected {expected}")]
    OutOfRange {
        /// As typed, its first sixty characters.
        found: String,
        /// What would do.
        expected: &'static str,
    },
}

/// What a message repeats of a text: a pasted page would make none of it.
fn beginning(text: &str) -> String {
    const MOST: usize = 60;
    let mut letters = text.chars();
    let beginning: String = letters.by_ref().take(MOST).collect();
    if letters.next().is_some() { beginning + "…" } else { beginning }
}

const RA_EXPECTED: &str = "a right ascension such as 20h 59m 17s, 20 59 17 or 314.82 degrees";
const RA_RANGE: &str = "a right ascension from 0 to 24 hours (360 degrees), \
                        minutes and seconds below 60";
const DEC_EXPECTED: &str = "a declination such as +44 31 44 or 44.53 degrees";
const DEC_RANGE: &str = "a declination from -90 to 90 degrees, minutes and seconds below 60";

/// SOFA counts the fraction in a 32-bit number, which holds nine decimals.
const MOST_DECIMALS: u8 = 9;

/// Right ascension in hours, minutes and seconds of time.
///
/// # Units
/// - `decimals`: of the seconds; at most 9
///
/// # Source
/// IAU SOFA `a2tf`, which rounds before it splits, so that no second is ever 60.
///
/// # Example
/// ```
/// # use fieldstop::{Angle, sexagesimal::ra_text};
/// assert_eq!(ra_text(Angle::from_deg(314.82125), 1), "20h 59m 17.1s");
/// // What rounds up to 24 hours is 0 hours.
/// assert_eq!(ra_text(Angle::from_deg(359.999_999), 0), "00h 00m 00s");
/// ```
pub fn ra_text(ra: Angle, decimals: u8) -> String {
    let decimals = decimals.min(MOST_DECIMALS);
    let (_, [hours, minutes, seconds, fraction]) = a2tf(decimals.into(), ra.wrapped().rad());
    let seconds = with_fraction(seconds, fraction, decimals);
    format!("{:02}h {minutes:02}m {seconds}s", hours % 24)
}

/// Declination in degrees, minutes and seconds of arc, always with its sign.
///
/// # Units
/// - `decimals`: of the seconds; at most 9
///
/// # Source
/// IAU SOFA `a2af`, which rounds before it splits, so that no second is ever 60.
///
/// # Example
/// ```
/// # use fieldstop::{Angle, sexagesimal::dec_text};
/// assert_eq!(dec_text(Angle::from_deg(44.5289), 0), "+44° 31′ 44″");
/// assert_eq!(dec_text(Angle::from_arcsec(-0.5), 1), "−00° 00′ 00.5″");
/// ```
pub fn dec_text(dec: Angle, decimals: u8) -> String {
    let decimals = decimals.min(MOST_DECIMALS);
    let (sign, [degrees, minutes, seconds, fraction]) = a2af(decimals.into(), dec.rad());
    let sign = if sign == '-' { '−' } else { '+' };
    let seconds = with_fraction(seconds, fraction, decimals);
    format!("{sign}{degrees:02}° {minutes:02}′ {seconds}″")
}

fn with_fraction(seconds: i32, fraction: i32, decimals: u8) -> String {
    if decimals == 0 {
        format!("{seconds:02}")
    } else {
        format!("{seconds:02}.{fraction:0width$}", width = usize::from(decimals))
    }
}

/// Right ascension as typed: hours, minutes, seconds, or degrees.
///
/// # Units
/// - returns: 0 to 360 degrees
///
/// # Errors
/// [`CoordinateError`], saying what would do.
///
/// # Example
/// ```
/// # use fieldstop::sexagesimal::parse_ra;
/// for text in ["20h 59m 17.1s", "20:59:17.1", "20 59 17.1", "20h59.285m", "314.82125", "314.82125°"] {
///     assert!((parse_ra(text).unwrap().deg() - 314.82125).abs() < 1e-9, "{text}");
/// }
/// assert!(parse_ra("24 00 01").is_err());
/// ```
pub fn parse_ra(text: &str) -> Result<Angle, CoordinateError> {
    parse_ra_in(text, None)
}

/// What the first number of a right ascension counts.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum RaUnit {
    /// Hours of time, 15 degrees each.
    Hours,
    /// Degrees of arc.
    Degrees,
}

/// Right ascension as typed, under a heading that may say what its first number counts.
///
/// A unit written beside the number decides; then the heading's; without either it is read as
/// [`parse_ra`] reads it.
///
/// # Units
/// - returns: 0 to 360 degrees
///
/// # Errors
/// [`CoordinateError`], saying what would do.
///
/// # Example
/// ```
/// # use fieldstop::sexagesimal::{RaUnit, parse_ra_in};
/// let deg = |text, unit| parse_ra_in(text, unit).unwrap().deg();
/// assert!((deg("6.5", Some(RaUnit::Hours)) - 97.5).abs() < 1e-9);
/// assert!((deg("97 30 00", Some(RaUnit::Degrees)) - 97.5).abs() < 1e-9);
/// assert!((deg("97.5°", Some(RaUnit::Hours)) - 97.5).abs() < 1e-9);
/// ```
pub fn parse_ra_in(text: &str, heading: Option<RaUnit>) -> Result<Angle, CoordinateError> {
    let unreadable =
        || CoordinateError::Unreadable { found: beginning(text), expected: RA_EXPECTED };
    let out_of_range =
        || CoordinateError::OutOfRange { found: beginning(text), expected: RA_RANGE };
    let parts = Parts::read(text).ok_or_else(unreadable)?;
    let number = parts.value().ok_or_else(out_of_range)?;
    let ra = match parts.first_unit.or(heading) {
        Some(RaUnit::Hours) => Angle::from_hours(number),
        Some(RaUnit::Degrees) => Angle::from_deg(number),
        None if parts.count == 1 => Angle::from_deg(number),
        None => Angle::from_hours(number),
    };
    let in_range = !parts.negative && ra <= Angle::TURN;
    in_range.then_some(ra).ok_or_else(out_of_range)
}

/// Declination as typed: degrees, minutes, seconds, or degrees alone.
///
/// # Units
/// - returns: -90 to 90 degrees
///
/// # Errors
/// [`CoordinateError`], saying what would do.
///
/// # Example
/// ```
/// # use fieldstop::sexagesimal::parse_dec;
/// for text in ["-5° 23′ 28″", "−5 23 28", "-5:23:28", "-5d23m28s", "-5.391111111"] {
///     assert!((parse_dec(text).unwrap().deg() + 5.391111111).abs() < 1e-9, "{text}");
/// }
/// // The sign of a zero counts.
/// assert_eq!(parse_dec("-0 30").unwrap().deg(), -0.5);
/// ```
pub fn parse_dec(text: &str) -> Result<Angle, CoordinateError> {
    let unreadable =
        || CoordinateError::Unreadable { found: beginning(text), expected: DEC_EXPECTED };
    let out_of_range =
        || CoordinateError::OutOfRange { found: beginning(text), expected: DEC_RANGE };
    let parts = Parts::read(text).ok_or_else(unreadable)?;
    if parts.first_unit == Some(RaUnit::Hours) {
        return Err(unreadable());
    }
    let number = parts.value().filter(|&number| number <= 90.0).ok_or_else(out_of_range)?;
    Ok(Angle::from_deg(if parts.negative { -number } else { number }))
}

/// A coordinate taken apart: a sign and one to three numbers.
struct Parts {
    negative: bool,
    numbers: [f64; 3],
    count: usize,
    first_unit: Option<RaUnit>,
}

impl Parts {
    /// Numbers with one mark or space after each; `None` if it is not that.
    fn read(text: &str) -> Option<Self> {
        let text = text.trim();
        let (negative, text) = match text.strip_prefix(['-', '−', '–']) {
            Some(text) => (true, text),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let mut rest = text.trim_start();
        let mut parts = Self { negative, numbers: [0.0; 3], count: 0, first_unit: None };
        while !rest.is_empty() {
            let end = rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
            let (digits, after) = rest.split_at(end);
            *parts.numbers.get_mut(parts.count)? = digits.parse().ok()?;
            parts.count += 1;
            let (mark, after) = split_mark(after.trim_start());
            if parts.count == 1 {
                parts.first_unit = match mark {
                    Some('h' | 'H') => Some(RaUnit::Hours),
                    Some('d' | 'D' | '°' | 'º') => Some(RaUnit::Degrees),
                    _ => None,
                };
            }
            let allowed = MARKS.get(parts.count - 1)?;
            if mark.is_some_and(|mark| !allowed.contains(mark)) {
                return None;
            }
            rest = after.trim_start();
            // A colon promises another number.
            if rest.is_empty() && mark == Some(':') {
                return None;
            }
        }
        (parts.count > 0).then_some(parts)
    }

    /// The numbers as one, in units of the first; `None` where minutes or seconds reach 60, or a
    /// fraction is followed by smaller units.
    fn value(&self) -> Option<f64> {
        let [first, minutes, seconds] = self.numbers;
        let whole = |number: f64| number.fract() == 0.0;
        let sound = minutes < 60.0
            && seconds < 60.0
            && (self.count < 2 || whole(first))
            && (self.count < 3 || whole(minutes));
        sound.then_some(first + minutes / 60.0 + seconds / 3600.0)
    }
}

/// The marks that may stand behind the first, second and third number.
const MARKS: [&str; 3] = ["hHdD°º:", "mM′'’:", "sS″\"”"];

/// A unit mark or colon at the start of a text, and what follows it.
fn split_mark(text: &str) -> (Option<char>, &str) {
    let mut rest = text.chars();
    match rest.next() {
        Some(mark) if !mark.is_ascii_digit() && mark != '.' => (Some(mark), rest.as_str()),
        _ => (None, text),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use super::*;

    #[test]
    fn seconds_never_reach_sixty() {
        let nearly_a_minute = Angle::from_hours(1.0) - Angle::from_arcsec(0.01);
        assert_eq!(ra_text(nearly_a_minute, 1), "01h 00m 00.0s");
        assert_eq!(dec_text(Angle::from_deg(5.0) - Angle::from_arcsec(0.01), 1), "+05° 00′ 00.0″");
    }

    #[test]
    fn decimals_beyond_nine_are_nine() {
        assert_eq!(ra_text(Angle::from_hours(1.5), 200), "01h 30m 00.000000000s");
        assert_eq!(dec_text(Angle::from_deg(-89.5), 200), "−89° 30′ 00.000000000″");
    }

    #[test]
    fn right_ascension_is_read_in_every_usual_spelling() {
        let wanted_deg = 83.822_083_333_333_33; // 5h 35m 17.3s
        for text in ["5h35m17.3s", "05:35:17.3", " 5 35 17.3 ", "5H 35M 17.3S", "5h 35′ 17.3″"]
        {
            assert!((parse_ra(text).unwrap().deg() - wanted_deg).abs() < 1e-10, "{text}");
        }
        for text in ["83d49m19.5s", "83° 49′ 19.5″", "83.822083333333333", "+83.822083333333333°"]
        {
            assert!((parse_ra(text).unwrap().deg() - wanted_deg).abs() < 1e-10, "{text}");
        }
        for (text, deg) in [("0", 0.0), ("360", 360.0), ("24h", 360.0), ("12 30", 187.5)] {
            assert!((parse_ra(text).unwrap().deg() - deg).abs() < 1e-10, "{text}");
        }
    }

    #[test]
    fn declination_is_read_in_every_usual_spelling() {
        let wanted_deg = -5.391_111_111_111_111; // -5° 23′ 28″
        for text in ["-5d23m28s", "-05:23:28", "− 5 23 28", "–5° 23' 28\"", "-5°23′28″"] {
            assert!((parse_dec(text).unwrap().deg() - wanted_deg).abs() < 1e-10, "{text}");
        }
        assert_eq!(parse_dec("-0 0 36").unwrap().arcsec().round(), -36.0);
        assert!((parse_dec("+90").unwrap().deg() - 90.0).abs() < 1e-12);
    }

    #[test]
    fn what_is_no_coordinate_is_refused_with_words() {
        for text in ["", "-", "abc", "5h35x", "5:", "1 2 3 4", "5..3", "--5", "1e5", "NaN", "inf"] {
            let error = parse_ra(text).unwrap_err();
            assert!(matches!(error, CoordinateError::Unreadable { .. }), "{text}: {error}");
            assert!(error.to_string().contains("expected a right ascension"), "{error}");
            assert!(parse_dec(text).is_err(), "{text}");
        }
        assert!(matches!(parse_dec("5h"), Err(CoordinateError::Unreadable { .. })));
    }

    #[test]
    fn what_is_off_its_scale_is_refused_with_words() {
        for text in ["-1", "361", "24h 0m 1s", "5h 60m", "5 30 60", "5.5 30", "5 30.5 10"] {
            let error = parse_ra(text).unwrap_err();
            assert!(matches!(error, CoordinateError::OutOfRange { .. }), "{text}: {error}");
        }
        for text in ["90 0 1", "-91", "5 60", "5 0 60", "5.5 30"] {
            let error = parse_dec(text).unwrap_err();
            assert!(matches!(error, CoordinateError::OutOfRange { .. }), "{text}: {error}");
        }
        assert!(parse_ra(&"9".repeat(400)).is_err());
    }
}
