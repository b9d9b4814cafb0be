//! One target through a year at one site.

use fieldstop::place::highest_ever;
use fieldstop::season::UsableHours;
use fieldstop::{Angle, Direction, Icrs};

use super::date::{month_index, month_name};
use super::month::{MONTHS, MonthHours};
use super::site_year::SiteYear;

/// A target that stands above its limit for less than this in an average night of a month is not
/// worth setting up for then. The project's own rule.
pub const WORTH_HOURS: f64 = 1.0;

/// A target's usable hours through a year.
#[derive(Clone, Debug)]
pub struct TargetYear {
    /// What it goes by.
    pub name: String,
    /// One a night, in the year's order.
    pub hours: Vec<UsableHours>,
    /// The same by month.
    pub months: [MonthHours; MONTHS],
    /// All of them together.
    pub total: MonthHours,
    /// The highest it ever stands, without refraction.
    pub highest_ever: Angle,
    /// The altitude it must exceed there.
    pub limit_there: Angle,
    /// The latitude from which it passes overhead: its declination of date.
    pub overhead_at: Angle,
}

impl TargetYear {
    /// Asks the year about a target.
    pub fn of(year: &SiteYear, name: &str, place: Direction<Icrs>) -> Self {
        let hours: Vec<UsableHours> = year.season.hours(place).collect();
        let mut months = [MonthHours::default(); MONTHS];
        let mut total = MonthHours::default();
        for (night, &usable) in year.nights.iter().zip(&hours) {
            total.add(usable);
            if let Some(month) = months.get_mut(month_index(night.evening)) {
                month.add(usable);
            }
        }
        let latitude = year.clock.observer().latitude;
        let middle = year.nights.get(year.nights.len() / 2);
        let dec = middle.map_or(place.dec(), |night| night.night.apparent(place).dec());
        let culminates = if dec < latitude { Angle::HALF_TURN } else { Angle::ZERO };
        Self {
            name: name.to_owned(),
            hours,
            months,
            total,
            highest_ever: highest_ever(latitude, dec),
            limit_there: year.horizon.limit(culminates),
            overhead_at: dec,
        }
    }

    /// The month with the most usable hours in an average night, counted from 0; `None` if there
    /// are none at all.
    pub fn best_month(&self) -> Option<usize> {
        let a_night = |month: usize| self.months.get(month).map_or(0.0, MonthHours::a_night);
        (0..MONTHS)
            .filter(|&month| a_night(month) > 0.0)
            .max_by(|&a, &b| a_night(a).total_cmp(&a_night(b)))
    }

    /// Whether a month has something to do for it.
    pub fn is_worth(&self, month: usize) -> bool {
        self.months.get(month).is_some_and(|hours| hours.a_night() >= WORTH_HOURS)
    }

    /// The answer to "when", in a sentence or two.
    pub fn words(&self) -> String {
        let name = &self.name;
        let Some((month, hours)) = self.best_month().and_then(|m| Some((m, self.months.get(m)?)))
        else {
            return self.never_words();
        };
        format!(
            "{name} is best in {}: {} usable in an average night then, {:.0} h in the year, {:.0} h \
             of them without the Moon. It reaches {:.0}° at best.",
            month_name(month),
            hours_text(hours.a_night()),
            self.total.dark,
            self.total.moonless,
            self.highest_ever.deg(),
        )
    }

    /// Why it has no hours at all.
    fn never_words(&self) -> String {
        let (name, highest) = (&self.name, self.highest_ever.deg());
        let overhead = format!(
            "It passes overhead at latitude {:.0}° {}.",
            self.overhead_at.deg().abs(),
            if self.overhead_at < Angle::ZERO { "south" } else { "north" }
        );
        if self.highest_ever < Angle::ZERO {
            return format!(
                "{name} never rises from here: at best it stands {:.1}° below the horizon. \
                 {overhead}",
                -highest
            );
        }
        if self.highest_ever <= self.limit_there {
            return format!(
                "{name} never rises high enough from here: at best it reaches {highest:.1}°, and \
                 the site's limit there is {:.0}°. {overhead}",
                self.limit_there.deg()
            );
        }
        format!(
            "{name} is never up in the dark from here: it reaches {highest:.1}°, but only by day or \
             in twilight."
        )
    }
}

/// Hours and minutes: `7 h 40 min`.
pub fn hours_text(hours: f64) -> String {
    // OK because a night has no more minutes than an i64 holds.
    let minutes = (hours * 60.0).round() as i64;
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes:02} min"),
    }
}

#[cfg(test)]
mod tests {
    use super::hours_text;

    #[test]
    fn hours_read_as_people_say_them() {
        for (hours, text) in [(7.666, "7 h 40 min"), (0.2, "12 min"), (8.0, "8 h"), (1.999, "2 h")]
        {
            assert_eq!(hours_text(hours), text);
        }
    }
}
