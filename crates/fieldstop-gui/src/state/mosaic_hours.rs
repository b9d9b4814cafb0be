//! The hours that a mosaic takes, beside those that the nights of its season give.

use fieldstop::Angle;
use fieldstop::demands::hours_of;
use fieldstop::kit::Kit;
use fieldstop::mosaic_cost::{MosaicCost, mosaic_cost};
use fieldstop::why::{Known, Why};

use super::demand_target::{Standing, demand_target};
use super::what_if::WhatIf;
use crate::nights::date::month_name;
use crate::nights::{MONTHS, TargetYear};
use crate::sky::catalogue::Target;

/// The hours of a mosaic in words: what each panel takes, all of them, and what there is.
///
/// Under the sky as the Demands view has it before anything is tried out there. The season is all
/// months in which an average night has an hour for the target; where the site knows its clear
/// nights, only those count.
pub fn words(
    kit: &Kit,
    rig: usize,
    target: &Target,
    panels: usize,
    year: Option<&TargetYear>,
) -> String {
    let hours_each = hours_each(kit, rig, target);
    let Some(year) = year else {
        return match hours_each {
            Ok(each) => format!("{} The nights are being worked out.", takes(kit, each, panels)),
            Err(why) => unknown(why),
        };
    };
    let clear = &kit.site.clear_fraction;
    let season: Vec<usize> = (0..MONTHS).filter(|&month| year.is_worth(month)).collect();
    let there = season
        .iter()
        .filter_map(|&month| Some((month, year.months.get(month)?)))
        .map(|(month, hours)| hours.dark * clear.get(month).copied().unwrap_or(1.0))
        .sum();
    match mosaic_cost(panels, hours_each, there) {
        Ok(cost) => {
            let takes = takes(kit, cost.hours_each, panels);
            format!("{takes} {}", season_words(&season, clear.is_empty(), cost))
        }
        Err(why) => unknown(why),
    }
}

fn hours_each(kit: &Kit, rig: usize, target: &Target) -> Known<f64> {
    let resolved = kit.resolve(rig).ok_or(Why::NoTarget)?;
    let standing = Standing::of(Angle::from_deg(target.dec_deg), &kit.site);
    let conditions = WhatIf::default().conditions(&kit.site, standing);
    hours_of(&resolved, &kit.site, &kit.limits, &demand_target(target), &conditions)
}

fn takes(kit: &Kit, each: f64, panels: usize) -> String {
    let all = each * panels as f64;
    format!(
        "Each takes {} to a signal-to-noise ratio of {} in a square arcsecond, all take {}.",
        hours(each),
        kit.limits.snr,
        hours(all)
    )
}

fn season_words(season: &[usize], any_night: bool, cost: MosaicCost) -> String {
    if season.is_empty() {
        return "It has no season here: no month has an hour a night for it.".to_owned();
    }
    let nights = if any_night { "nights" } else { "clear nights" };
    let enough = if cost.is_enough() { "enough" } else { "not enough" };
    format!(
        "The {nights} of its season, {}, give {}: {enough}.",
        months(season),
        hours(cost.hours_there)
    )
}

fn unknown(why: Why) -> String {
    format!("How long a panel takes is not known: {why}.")
}

/// Hours with as many digits as they deserve.
fn hours(hours: f64) -> String {
    if hours < 9.95 { format!("{hours:.1} h") } else { format!("{hours:.0} h") }
}

/// Months of a year, run by run, a run over New Year as one: `October to February`.
fn months(season: &[usize]) -> String {
    if season.len() == MONTHS {
        return "all the year".to_owned();
    }
    let is_in = |month: usize| season.contains(&(month % MONTHS));
    let begins = (0..MONTHS).filter(|&month| is_in(month) && !is_in(month + MONTHS - 1));
    let runs: Vec<String> = begins
        .map(|first| {
            let length = (0..MONTHS).take_while(|step| is_in(first + step)).count();
            let last = (first + length - 1) % MONTHS;
            let (first, last) = (month_name(first), month_name(last));
            if length == 1 { first.to_owned() } else { format!("{first} to {last}") }
        })
        .collect();
    runs.join(" and ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_season_over_new_year_is_one() {
        assert_eq!(months(&[0, 1, 9, 10, 11]), "October to February");
        assert_eq!(months(&[4]), "May");
        assert_eq!(months(&[1, 2, 8]), "February to March and September");
        assert_eq!(months(&(0..12).collect::<Vec<_>>()), "all the year");
    }

    #[test]
    fn a_mosaic_that_takes_more_than_the_season_is_not_enough() {
        let cost = |hours_there| mosaic_cost(6, Ok(4.0), hours_there).unwrap();
        let words = |hours_there| season_words(&[9, 10], true, cost(hours_there));
        assert_eq!(
            words(24.0),
            "The nights of its season, October to November, give 24 h: enough."
        );
        assert!(words(23.9).ends_with("give 24 h: not enough."), "{}", words(23.9));
        assert!(season_words(&[], true, cost(0.0)).contains("no season"));
    }
}
