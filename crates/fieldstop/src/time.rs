//! Instants of time, and the three clocks that astronomy reads them by.
//!
//! - **UTC** is what a watch set to the time signal shows. An [`Instant`] counts it.
//! - **TT**, terrestrial time, runs evenly; planets move by it. [`Instant::tt_minus_utc_s`] ahead.
//! - **UT1** is how far the Earth has turned. Here **UT1 = UTC**. That is true to 0.9 s while leap
//!   seconds keep it so: at most 13.5 arcsec of hour angle, 0.9 s in a time of rise or transit.
//!
//! Nobody knows the leap seconds to come, so the list of them ends. After its end the last
//! difference stays (69.184 s), and nothing stops. How far the Earth will really have turned by
//! 2100 is uncertain by a minute or two; every event is off by that, all by the same amount.

use sofars::cal::{cal2jd, jd2cal};
use sofars::consts::{DJ00, DJY, TTMTAI};
use sofars::ts::dat;

const MS_PER_DAY: i64 = 86_400_000;
const SECONDS_PER_DAY: f64 = 86_400.0;
/// 1970 January 1, 0h, where computers begin to count.
const UNIX_EPOCH_JD: f64 = 2_440_587.5;
/// 1972 January 1, 0h: UTC in whole seconds begins.
const LEAP_SECONDS_BEGIN_MS: i64 = 730 * MS_PER_DAY;

/// An instant of UTC, to the millisecond.
///
/// Counted as computers do, in milliseconds since 1970 January 1, 0h UTC without leap seconds, so
/// that every day has 86,400 seconds. A leap second itself shares the count of the second after it.
///
/// # Example
/// ```
/// # use fieldstop::Instant;
/// // J2000.0 is 2000 January 1 at noon.
/// let noon = Instant::from_utc(2000, 1, 1, 12, 0, 0.0).unwrap();
/// assert_eq!(noon.julian_date(), 2_451_545.0);
/// assert_eq!(noon.unix_ms(), 946_728_000_000);
/// ```
#[derive(Clone, Copy, Debug, Eq, Hash, Ord, PartialEq, PartialOrd)]
pub struct Instant {
    unix_ms: i64,
}

impl Instant {
    /// From the milliseconds since 1970 January 1, 0h UTC.
    pub const fn from_unix_ms(unix_ms: i64) -> Self {
        Self { unix_ms }
    }

    /// The milliseconds since 1970 January 1, 0h UTC.
    pub const fn unix_ms(self) -> i64 {
        self.unix_ms
    }

    /// From a date of the Gregorian calendar and a time of day; `None` where there is no such date.
    ///
    /// # Units
    /// - `month` 1 to 12, `day` 1 to 28, 29, 30 or 31
    /// - `hour`, `minute`, `second`: counted on from 0h of that day, whatever their size
    pub fn from_utc(
        year: i32,
        month: i32,
        day: i32,
        hour: i32,
        minute: i32,
        second: f64,
    ) -> Option<Self> {
        let (jd, mjd) = cal2jd(year, month, day).ok()?;
        let seconds = f64::from(hour) * 3600.0 + f64::from(minute) * 60.0 + second;
        Some(Self::from_julian_date(jd + mjd).after_s(seconds))
    }

    /// From a Julian date of UTC.
    ///
    /// A Julian date in one `f64` is good to 0.04 ms.
    pub fn from_julian_date(jd: f64) -> Self {
        let ms = ((jd - UNIX_EPOCH_JD) * MS_PER_DAY as f64).round();
        // OK because the cast saturates: a number that is not one, or far beyond all dates, still
        // gives an instant.
        Self { unix_ms: ms as i64 }
    }

    /// The Julian date of UTC.
    pub fn julian_date(self) -> f64 {
        let (day, fraction) = self.split();
        day + fraction
    }

    /// From a Julian date of terrestrial time (dynamical time in handbooks).
    pub fn from_tt_julian_date(jd_tt: f64) -> Self {
        let near = Self::from_julian_date(jd_tt);
        let utc = near.after_s(-near.tt_minus_utc_s());
        // Once more, for where a leap second lies in between.
        near.after_s(-utc.tt_minus_utc_s())
    }

    /// This instant some seconds later; earlier, if negative.
    pub fn after_s(self, seconds: f64) -> Self {
        // OK because the cast and the sum saturate.
        Self { unix_ms: self.unix_ms.saturating_add((seconds * 1000.0).round() as i64) }
    }

    /// This instant some hours later; earlier, if negative.
    pub fn after_hours(self, hours: f64) -> Self {
        self.after_s(hours * 3600.0)
    }

    /// Hours from another instant to this one; negative, if this one is earlier.
    pub fn hours_since(self, earlier: Self) -> f64 {
        self.unix_ms.saturating_sub(earlier.unix_ms) as f64 / 3_600_000.0
    }

    /// The instant half-way to another.
    pub fn middle(self, other: Self) -> Self {
        Self { unix_ms: self.unix_ms.midpoint(other.unix_ms) }
    }

    /// Terrestrial time minus UTC.
    ///
    /// From 1972 on 32.184 s and the leap seconds of the IERS, the last of 2017; it stays at that
    /// value. Before 1972 clocks followed the Earth, and the difference is the observed Delta T, as
    /// a polynomial, good to 0.2 s from 1941 on.
    ///
    /// # Source
    /// IAU SOFA `dat`. Before 1972: Espenak & Meeus 2006, NASA/TP-2006-214141, polynomials for
    /// 1941-1961 and 1961-1986 (from memory).
    ///
    /// # Example
    /// ```
    /// # use fieldstop::Instant;
    /// let then = Instant::from_utc(2026, 6, 1, 0, 0, 0.0).unwrap();
    /// assert_eq!(then.tt_minus_utc_s(), 69.184);
    /// ```
    pub fn tt_minus_utc_s(self) -> f64 {
        if self.unix_ms < LEAP_SECONDS_BEGIN_MS {
            return self.delta_t_before_1972_s();
        }
        let (day, fraction) = self.split();
        // A date so far off that it has no calendar keeps the last known difference too.
        const LAST_KNOWN_S: f64 = 37.0;
        let tai_minus_utc_s = jd2cal(day, fraction)
            .and_then(|(year, month, day, fraction)| dat(year, month, day, fraction));
        TTMTAI + tai_minus_utc_s.unwrap_or(LAST_KNOWN_S)
    }

    fn delta_t_before_1972_s(self) -> f64 {
        let year = (2000.0 + (self.julian_date() - DJ00) / DJY).max(1941.0);
        if year < 1961.0 {
            let t = year - 1950.0;
            29.07 + 0.407 * t - t.powi(2) / 233.0 + t.powi(3) / 2547.0
        } else {
            let t = year - 1975.0;
            45.45 + 1.067 * t - t.powi(2) / 260.0 - t.powi(3) / 718.0
        }
    }

    /// The Julian date of UTC, and by UT1 = UTC of UT1, as a day that begins at 0h and a fraction.
    pub(crate) fn split(self) -> (f64, f64) {
        let day = self.unix_ms.div_euclid(MS_PER_DAY);
        let ms = self.unix_ms.rem_euclid(MS_PER_DAY);
        (UNIX_EPOCH_JD + day as f64, ms as f64 / MS_PER_DAY as f64)
    }

    /// The Julian date of terrestrial time in two parts that sum to it.
    pub(crate) fn tt(self) -> (f64, f64) {
        let (day, fraction) = self.split();
        (day, fraction + self.tt_minus_utc_s() / SECONDS_PER_DAY)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::*;

    #[test]
    fn a_julian_date_comes_back() {
        for jd in [2_433_282.5, 2_451_545.0, 2_461_367.803_893_79, 2_488_434.5] {
            assert!((Instant::from_julian_date(jd).julian_date() - jd).abs() < 1e-8);
            let tt = Instant::from_tt_julian_date(jd).tt();
            assert!((tt.0 + tt.1 - jd).abs() < 1e-8, "{jd}");
        }
    }

    #[test]
    fn dates_that_do_not_exist_are_refused() {
        assert!(Instant::from_utc(2026, 2, 29, 0, 0, 0.0).is_none());
        assert!(Instant::from_utc(2100, 2, 29, 0, 0, 0.0).is_none());
        assert!(Instant::from_utc(2024, 2, 29, 0, 0, 0.0).is_some());
        assert!(Instant::from_utc(2024, 13, 1, 0, 0, 0.0).is_none());
    }

    #[test]
    fn terrestrial_time_has_no_gap_and_no_end() {
        let at = |year| Instant::from_utc(year, 1, 1, 0, 0, 0.0).unwrap();
        // Clocks went over to whole seconds with less than a tenth of a second of change.
        let before = at(1972).after_s(-1.0).tt_minus_utc_s();
        assert!((at(1972).tt_minus_utc_s() - before).abs() < 0.1);
        assert!((at(1961).after_s(-1.0).tt_minus_utc_s() - at(1961).tt_minus_utc_s()).abs() < 0.2);
        assert_eq!(at(2017).tt_minus_utc_s() - at(2017).after_s(-1.0).tt_minus_utc_s(), 1.0);
        assert_eq!(at(2100).tt_minus_utc_s(), 69.184);
    }

    /// Observed Delta T from the table of the Astronomical Almanac, from memory.
    #[test]
    fn before_leap_seconds_the_earth_was_the_clock() {
        for (year, observed_s) in
            [(1950, 29.15), (1955, 31.07), (1960, 33.15), (1965, 35.73), (1970, 40.18)]
        {
            let found = Instant::from_utc(year, 1, 1, 0, 0, 0.0).unwrap().tt_minus_utc_s();
            assert!((found - observed_s).abs() < 0.2, "{year}: {found}");
        }
    }

    #[test]
    fn no_number_stops_the_clock() {
        for jd in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300] {
            let instant = Instant::from_julian_date(jd).after_hours(f64::MAX);
            assert!(instant.tt_minus_utc_s().is_finite());
        }
    }
}
