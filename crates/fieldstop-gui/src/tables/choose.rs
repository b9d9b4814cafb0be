//! What the tables of the choice and the command line's `choose` share.

use fieldstop::choice::{Choice, RigChoice, TargetRange, Wanted, choice};
use fieldstop::demands::Conditions;
use fieldstop::kit::Kit;
use fieldstop::range::LADDER_MM;
use serde::Serialize;

use crate::nights::SiteYear;
use crate::sky::catalogue::Catalogue;
use crate::sky::wish::target_named;
use crate::state::wanted::wanted;

/// Steps of the coverage over the ladder: one every 2 %.
const STEPS: u32 = 268;

/// The choice for a kit, compared on everything, its focal lengths for one rig's camera.
pub fn choice_of(kit: &Kit, catalogue: &Catalogue, chosen: usize, year: &SiteYear) -> Choice {
    let wishes = kit.wish_list.iter();
    let wanted: Vec<Wanted> = wishes
        .filter_map(|wish| Some((wish, target_named(kit, wish.name(), catalogue)?)))
        .map(|(wish, target)| {
            let hours = year.season.hours(target.place).map(|night| f64::from(night.dark));
            wanted(kit, wish.name(), &target, hours.sum())
        })
        .collect();
    choice(kit, chosen, &wanted, &kit.criteria(), &Conditions::at_zenith(&kit.site))
}

/// A target's useful focal lengths, with the keys of the command line's JSON.
#[derive(Serialize)]
pub struct RangeRow<'a> {
    /// As the kit has it.
    pub target: &'a str,
    /// Where it begins to show the detail wanted.
    pub shortest_mm: Option<f64>,
    /// The longest that holds it whole.
    pub longest_mm: Option<f64>,
    /// Usable hours of the year.
    pub hours_in_year: f64,
}

impl<'a> RangeRow<'a> {
    /// Of a target.
    pub fn of(range: &'a TargetRange) -> Self {
        Self {
            target: &range.target,
            shortest_mm: range.range.and_then(|range| range.shortest_mm),
            longest_mm: range.range.map(|range| range.longest_mm),
            hours_in_year: range.hours_in_year,
        }
    }
}

/// What a focal length serves, with the keys of the command line's JSON.
#[derive(Serialize)]
pub struct CoverageRow {
    /// On the ladder.
    pub focal_length_mm: f64,
    /// Targets whole with detail enough.
    pub served: u32,
    /// Their hours times stars.
    pub weighted: f64,
}

/// What every step of the ladder serves; none without a rig.
pub fn coverage_rows(choice: &Choice) -> Vec<CoverageRow> {
    if choice.setting.is_none() {
        return Vec::new();
    }
    let ladder = LADDER_MM.most / LADDER_MM.least;
    let step = |k: u32| LADDER_MM.least * ladder.powf(f64::from(k) / f64::from(STEPS));
    (0..=STEPS)
        .map(|k| if k == STEPS { LADDER_MM.most } else { step(k) })
        .map(|focal_length_mm| {
            let served = choice.coverage.at(focal_length_mm);
            CoverageRow { focal_length_mm, served: served.count, weighted: served.weighted }
        })
        .collect()
}

/// The names of the rigs that beat one.
pub fn dominated_by<'a>(rig: &RigChoice, choice: &'a Choice) -> Vec<&'a str> {
    let by = rig.dominated_by.iter().filter_map(|&place| choice.rigs.get(place));
    by.map(|rig| rig.name.as_str()).collect()
}
