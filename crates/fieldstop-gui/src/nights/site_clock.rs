//! The clock of a site: from the core's instants to local dates and times, and back.

use fieldstop::kit::Site;
use fieldstop::{Instant, Night, Observer};
use jiff::civil::{Date, Time};
use jiff::tz::{TimeZone, TimeZoneDatabase};
use jiff::{Timestamp, ToSpan, ZonedDateTime};

use crate::files::kit_file::is_known_zone;

/// A site's place on Earth and its time zone.
#[derive(Clone, Debug)]
pub struct SiteClock {
    zone: TimeZone,
    observer: Observer,
}

impl SiteClock {
    /// The clock of a site.
    pub fn of(site: &Site) -> Self {
        // OK because a kit holds none but known zones; UTC only keeps this total.
        let zone = TimeZoneDatabase::bundled().get(&site.time_zone).unwrap_or(TimeZone::UTC);
        Self { zone, observer: Observer::of(site) }
    }

    /// Where it is.
    pub fn observer(&self) -> Observer {
        self.observer
    }

    /// A local time as an instant. A time that the clocks skip is taken as much later.
    pub fn instant(&self, date: Date, time: Time) -> Option<Instant> {
        let zoned = date.to_datetime(time).to_zoned_datetime(self.zone.clone()).ok()?;
        Some(Instant::from_unix_ms(zoned.timestamp().as_millisecond()))
    }

    /// Noon on a date.
    pub fn noon(&self, date: Date) -> Option<Instant> {
        self.instant(date, Time::constant(12, 0, 0, 0))
    }

    /// The midnight in which a date ends.
    pub fn midnight_after(&self, date: Date) -> Option<Instant> {
        self.instant(date.checked_add(1.day()).ok()?, Time::midnight())
    }

    /// The night that begins in an evening, from local noon to local noon.
    pub fn night(&self, evening: Date) -> Option<Night> {
        let next = evening.checked_add(1.day()).ok()?;
        Some(Night::new(self.observer, self.noon(evening)?, self.noon(next)?))
    }

    /// An instant as the site's clocks show it.
    pub fn local(&self, instant: Instant) -> Option<ZonedDateTime> {
        let timestamp = Timestamp::from_millisecond(instant.unix_ms()).ok()?;
        Some(timestamp.to_zoned_datetime(self.zone.clone()))
    }

    /// The time of day there, to the minute: `23:41`.
    pub fn time(&self, instant: Instant) -> String {
        // To the nearest minute, as almanacs round.
        self.local(instant.after_s(30.0)).map_or_else(String::new, |local| {
            let time = local.time();
            format!("{:02}:{:02}", time.hour(), time.minute())
        })
    }

    /// The evening to which an instant's night belongs.
    pub fn evening_of(&self, instant: Instant) -> Option<Date> {
        let local = self.local(instant)?;
        if local.time().hour() < 12 { local.date().yesterday().ok() } else { Some(local.date()) }
    }

    /// How far its clocks are ahead of Greenwich outside summer time, this year.
    pub fn winter_offset_hours(&self) -> Option<f64> {
        let year = self.tonight()?.year();
        // Summer time puts clocks forward, so the lesser of two offsets half a year apart is the
        // other one, on either side of the equator.
        [1, 7]
            .into_iter()
            .filter_map(|month| {
                let noon = self.noon(Date::new(year, month, 1).ok()?)?;
                let offset = self.local(noon)?.offset();
                Some(f64::from(offset.seconds()) / 3600.0)
            })
            .min_by(f64::total_cmp)
    }

    /// The evening of the night that is on now, or is to come today.
    pub fn tonight(&self) -> Option<Date> {
        self.evening_of(Instant::from_unix_ms(Timestamp::now().as_millisecond()))
    }
}

/// The IANA name of the zone that this computer is set to; `None` if it does not tell, or tells one
/// that a kit could not hold.
pub fn system_zone() -> Option<String> {
    let zone = TimeZone::try_system().ok()?;
    zone.iana_name().filter(|name| is_known_zone(name)).map(str::to_owned)
}

/// An instant as ISO 8601 UTC to the second: `2026-03-14T20:41:07Z`.
pub fn utc_text(instant: Instant) -> Option<String> {
    // Rounded towards the past, also before 1970.
    let second = instant.after_s(0.5).unix_ms().div_euclid(1000);
    Some(Timestamp::from_second(second).ok()?.to_string())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use jiff::civil::date;

    use super::*;

    fn clock(time_zone: &str) -> SiteClock {
        let mut kit = crate::starting_points::new_kit("Test");
        kit.site.time_zone = time_zone.to_owned();
        SiteClock::of(&kit.site)
    }

    /// European Union directive 2000/84/EC: clocks go forward on the last Sunday of March and back
    /// on the last Sunday of October.
    #[test]
    fn a_night_in_which_the_clocks_change_is_an_hour_shorter_or_longer() {
        let paris = clock("Europe/Paris");
        for (evening, hours) in [
            (date(2026, 3, 27), 24.0),
            (date(2026, 3, 28), 23.0),
            (date(2026, 10, 24), 25.0),
            (date(2026, 10, 25), 24.0),
        ] {
            assert_eq!(paris.night(evening).unwrap().window().hours(), hours, "{evening}");
        }
    }

    /// Offsets of the IANA time zone database: standard time, also where January has summer time.
    #[test]
    fn the_winter_offset_is_standard_time_on_both_sides_of_the_equator() {
        for (zone, hours) in [
            ("Europe/Paris", 1.0),
            ("Australia/Adelaide", 9.5),
            ("America/New_York", -5.0),
            ("Asia/Kathmandu", 5.75),
        ] {
            assert_eq!(clock(zone).winter_offset_hours(), Some(hours), "{zone}");
        }
    }

    #[test]
    fn an_evening_lasts_until_the_next_noon() {
        let nepal = clock("Asia/Kathmandu");
        let noon = nepal.noon(date(2026, 5, 1)).unwrap();
        assert_eq!(utc_text(noon).unwrap(), "2026-05-01T06:15:00Z");
        for (hours, evening) in [(0.0, 1), (23.9, 1), (24.0, 2), (-0.1, 30)] {
            assert_eq!(nepal.evening_of(noon.after_hours(hours)).unwrap().day(), evening);
        }
        assert_eq!(nepal.time(noon.after_hours(11.5)), "23:30");
        let midnight = nepal.midnight_after(date(2026, 5, 1)).unwrap();
        assert_eq!(midnight.hours_since(noon), 12.0);
    }

    /// Samoa went from 29 to 31 December 2011 (IANA time zone database, Pacific/Apia).
    #[test]
    fn a_day_that_a_zone_skipped_has_no_night_of_its_own() {
        let samoa = clock("Pacific/Apia");
        let hours = |day| samoa.night(date(2011, 12, day)).unwrap().window().hours();
        assert_eq!(hours(28) + hours(29) + hours(30) + hours(31), 72.0);
    }

    #[test]
    fn a_time_is_written_to_the_second() {
        let instant = Instant::from_utc(2026, 3, 14, 20, 41, 6.6).unwrap();
        assert_eq!(utc_text(instant).unwrap(), "2026-03-14T20:41:07Z");
        let old = Instant::from_utc(1950, 1, 1, 0, 0, 0.2).unwrap();
        assert_eq!(utc_text(old).unwrap(), "1950-01-01T00:00:00Z");
    }
}
