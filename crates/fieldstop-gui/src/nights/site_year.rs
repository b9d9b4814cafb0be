//! Every night of a year at one site: dear to make, made once, asked often.

use fieldstop::kit::Site;
use fieldstop::night::{SunDepth, When};
use fieldstop::{Angle, Horizon, Night, Season};
use jiff::ToSpan;
use jiff::civil::Date;

use super::date::day_and_month;
use super::month::{MONTHS, MonthHours};
use super::site_clock::SiteClock;

/// One night of the year.
#[derive(Clone, Debug)]
pub struct YearNight {
    /// The date on which it begins.
    pub evening: Date,
    /// The night itself.
    pub night: Night,
    /// How long it is astronomically dark.
    pub dark_hours: f64,
    /// How much of the Moon is lit in the middle of it, 0 to 1.
    pub moon_lit: f64,
}

/// Every night that begins in a year.
#[derive(Clone, Debug)]
pub struct SiteYear {
    /// The year.
    pub year: i16,
    /// The site's clock.
    pub clock: SiteClock,
    /// What hides its sky.
    pub horizon: Horizon,
    /// In order.
    pub nights: Vec<YearNight>,
    /// The same nights, ready to be asked about targets.
    pub season: Season,
}

impl SiteYear {
    /// Works out a year, told now and then how far it is; `None` if it was told to stop.
    pub fn work_out(site: &Site, year: i16, go_on: &mut dyn FnMut(f32) -> bool) -> Option<Self> {
        let clock = SiteClock::of(site);
        let first = Date::new(year, 1, 1).ok()?;
        let mut nights = Vec::with_capacity(366);
        for evening in first.series(1.day()).take_while(|date| date.year() == year) {
            // OK because no year has more than 366 days.
            if !go_on(nights.len() as f32 / 366.0) {
                return None;
            }
            let Some(night) = clock.night(evening) else { continue };
            nights.push(YearNight {
                evening,
                dark_hours: night.dark().hours(),
                moon_lit: night.moon_phase().lit_fraction,
                night,
            });
        }
        let horizon = Horizon::of(site);
        let season = Season::new(nights.iter().map(|night| &night.night), horizon.clone());
        Some(Self { year, clock, horizon, nights, season })
    }

    /// The place of an evening among the nights.
    pub fn index_of(&self, evening: Date) -> Option<usize> {
        self.nights.iter().position(|night| night.evening == evening)
    }

    /// The dark hours of each month.
    pub fn dark_months(&self) -> [MonthHours; MONTHS] {
        let mut months = [MonthHours::default(); MONTHS];
        for night in &self.nights {
            if let Some(month) = months.get_mut(super::date::month_index(night.evening)) {
                month.nights += 1;
                month.dark += night.dark_hours;
                month.moonless += night.night.moonless_dark().hours();
            }
        }
        months
    }

    /// The stretches of evenings without astronomical night, first and last of each.
    pub fn without_dark(&self) -> Vec<(Date, Date)> {
        let mut stretches: Vec<(Date, Date)> = Vec::new();
        let mut goes_on = false;
        for night in &self.nights {
            let bright = night.night.dark().is_empty();
            match stretches.last_mut() {
                Some(last) if bright && goes_on => last.1 = night.evening,
                _ if bright => stretches.push((night.evening, night.evening)),
                _ => {}
            }
            goes_on = bright;
        }
        stretches
    }

    /// Why there is no astronomical night, in a sentence; `None` where there is one all year.
    pub fn no_dark_words(&self) -> Option<String> {
        let stretches = self.without_dark();
        if stretches.is_empty() {
            return None;
        }
        let dates: Vec<String> = match stretches.as_slice() {
            [(first, last)] if first.day_of_year() == 1 && last.day_of_year() >= 365 => {
                vec!["all year".to_owned()]
            }
            _ => stretches
                .iter()
                .map(|&(first, last)| {
                    if first == last {
                        format!("on {}", day_and_month(first))
                    } else {
                        format!("from {} to {}", day_and_month(first), day_and_month(last))
                    }
                })
                .collect(),
        };
        let shallowest = self
            .nights
            .iter()
            .filter(|night| night.night.dark().is_empty())
            .map(|night| (deepest_sun(&night.night), night.evening))
            .max_by(|a, b| a.0.rad().total_cmp(&b.0.rad()))?;
        let (depth, evening) = shallowest;
        let reason = if depth.deg() > SunDepth::Set.altitude().deg() {
            format!("on {} it does not even set", day_and_month(evening))
        } else {
            format!(
                "on {} it sinks {:.1}° below the horizon, and a dark sky takes 18°",
                day_and_month(evening),
                -depth.deg()
            )
        };
        Some(format!(
            "No astronomical night {}: the Sun stays too near the horizon; {reason}.",
            dates.join(" and ")
        ))
    }
}

/// The Sun's altitude where it is lowest in a night, to a hundredth of a degree.
pub fn deepest_sun(night: &Night) -> Angle {
    const STEP_MINUTES: i32 = 5;
    let window = night.window();
    // OK because a window is a day or two long.
    let steps = (window.hours() * 60.0) as i32 / STEP_MINUTES;
    (0..=steps)
        .map(|step| night.sun(window.start.after_s(f64::from(step * STEP_MINUTES) * 60.0)).altitude)
        .fold(Angle::RIGHT, Angle::min)
}

/// Why a night has no figures, in the fewest words; `None` for one with astronomical darkness.
pub fn night_note(night: &Night) -> Option<&'static str> {
    if !night.dark().is_empty() {
        return (*night.below(SunDepth::Set) == When::Always).then_some("the Sun does not rise");
    }
    Some(match night.below(SunDepth::Set) {
        When::Never => "no astronomical night: the Sun does not set",
        _ => "no astronomical night",
    })
}
