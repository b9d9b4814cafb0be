//! What the step-by-step start shows: the well-known targets through the year, and the first
//! recommendation among the candidates.
//!
//! Both take a while and are worked out on threads of their own, as the year is.

use std::cmp::Ordering;
use std::sync::Arc;

use fieldstop::choice::{Choice, Criterion, RigChoice, Wanted, choice};
use fieldstop::demands::Conditions;
use fieldstop::kit::{Kit, OtaClass};

use super::demand_target::demand_target;
use super::figures::Figures;
use super::worked::Worked;
use super::year::YearFigures;
use crate::demand_words::{digits, money, percent};
use crate::nights::{MonthHours, SiteYear, TargetYear};
use crate::one_camera;
use crate::sky::Sky;
use crate::sky::catalogue::{Catalogue, Target};
use crate::sky::kind::Kind;
use crate::starting_points;

/// Quarters that the year is picked from, each of three months.
pub const QUARTERS: usize = 4;

/// A quarter of the year in words. Months, not seasons: in June it is winter south of the equator.
pub const fn quarter_label(quarter: usize) -> &'static str {
    match quarter {
        0 => "December to February",
        1 => "March to May",
        2 => "June to August",
        _ => "September to November",
    }
}

/// The quarter that a month belongs to, counted from 0 as January.
pub const fn quarter_of(month: usize) -> usize {
    (month + 1) / 3 % QUARTERS
}

/// A target that many people know, with its year at the site.
pub struct KnownTarget {
    /// Its place in the catalogue.
    pub index: usize,
    /// Its hours.
    pub year: TargetYear,
}

impl KnownTarget {
    /// The usable hours of an average night in a quarter.
    pub fn hours_a_night(&self, quarter: usize) -> f64 {
        let months = self.year.months.iter().enumerate();
        let mut sum = MonthHours::default();
        for (_, month) in months.filter(|&(month, _)| quarter_of(month) == quarter) {
            sum.nights += month.nights;
            sum.dark += month.dark;
        }
        sum.a_night()
    }

    /// The quarter in which it is best; `None` if it is never up in the dark.
    pub fn best_quarter(&self) -> Option<usize> {
        let hours = |&quarter: &usize| self.hours_a_night(quarter);
        (0..QUARTERS)
            .filter(|quarter| hours(quarter) > 0.0)
            .max_by(|a, b| hours(a).total_cmp(&hours(b)))
    }
}

/// Whether many people know a target: it has a common name or a Messier number, and a known size.
pub fn is_well_known(target: &Target) -> bool {
    let named = !target.common_names.is_empty() || target.name.starts_with("M ");
    let kind = !matches!(target.kind, Kind::Other | Kind::Nova | Kind::DoubleStar);
    named && kind && target.outline.is_some()
}

/// The nights that a year of targets was worked out for: the same ones, not merely equal ones.
struct SameNights(Arc<SiteYear>);

impl PartialEq for SameNights {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

/// The kit's wish list as the choice needs it; `None` while hours are still being worked out.
fn wanted(kit: &Kit, figures: &Figures, year: &YearFigures) -> Option<Vec<Wanted>> {
    let rows = kit.wish_list.iter().zip(&figures.wishes);
    let known = rows.filter_map(|(wish, row)| Some((wish.name(), row.target.as_ref()?)));
    known
        .map(|(name, target)| {
            Some(Wanted {
                name: name.to_owned(),
                outline: target.shape(),
                demand: demand_target(target),
                hours_in_year: year.target(name)?.total.dark,
                stars: kit.stars(name),
            })
        })
        .collect()
}

/// What the choice was asked for.
type ChoiceQuestion = (Kit, Vec<Wanted>);

/// The figures of the step-by-step start as far as they are known.
#[derive(Default)]
pub struct FirstFigures {
    known: Worked<SameNights, Vec<KnownTarget>>,
    candidates: Worked<ChoiceQuestion, Choice>,
    classes: Worked<ChoiceQuestion, Choice>,
}

impl FirstFigures {
    /// Brings the figures up to date; the candidates only while they are looked at.
    pub fn update(
        &mut self,
        kit: &Kit,
        figures: &Figures,
        year: &YearFigures,
        with_candidates: bool,
        sky: &Arc<Sky>,
        ctx: &egui::Context,
    ) {
        self.ask_known(year, sky, ctx);
        self.known.collect();
        self.candidates.collect();
        self.classes.collect();
        if with_candidates && let Some(wanted) = wanted(kit, figures, year) {
            ask_choice(&mut self.candidates, (kit.clone(), wanted.clone()), ctx);
            ask_choice(&mut self.classes, (kit_of_all_classes(kit), wanted), ctx);
        }
    }

    fn ask_known(&mut self, year: &YearFigures, sky: &Arc<Sky>, ctx: &egui::Context) {
        let Some(nights) = year.shared_nights() else {
            // Hours of other nights are wrong here.
            self.known.forget();
            return;
        };
        let question = SameNights(nights.clone());
        if self.known.is_asked(&question) {
            return;
        }
        let (nights, sky) = (nights.clone(), sky.clone());
        self.known.ask(question, "Working out the hours of well-known targets", ctx, move |told| {
            known_targets(&nights, &sky.catalogue, &mut |share| told.report(share))
        });
    }

    /// The well-known targets, in the catalogue's order.
    pub fn known(&self) -> Option<&[KnownTarget]> {
        self.known.answer().map(|known| known.as_slice())
    }

    /// The choice among the kit's candidates, or while it is worked out the one before.
    pub fn candidates(&self) -> Option<&Choice> {
        self.candidates.answer().map(Arc::as_ref)
    }

    /// What a typical rig of a class would do with the kit's camera and mount.
    pub fn class(&self, class: OtaClass) -> Option<&RigChoice> {
        let name = starting_points::class_label(class);
        self.classes.answer()?.rigs.iter().find(|rig| rig.name == name)
    }

    /// What is being worked out and how far it is.
    pub fn progress(&self) -> Option<(&str, f32)> {
        self.known.progress().or(self.candidates.progress()).or(self.classes.progress())
    }
}

fn ask_choice(
    worked: &mut Worked<ChoiceQuestion, Choice>,
    question: ChoiceQuestion,
    ctx: &egui::Context,
) {
    if worked.is_asked(&question) {
        return;
    }
    let (kit, wanted) = question.clone();
    worked.ask(question, "Comparing the candidates", ctx, move |_| {
        Some(choice(&kit, 0, &wanted, &Criterion::ALL, &Conditions::at_zenith(&kit.site)))
    });
}

/// The same kit with one typical rig of every class and nothing else on its shortlist.
fn kit_of_all_classes(kit: &Kit) -> Kit {
    let mut all = kit.clone();
    let camera = one_camera::camera_of(kit).cloned();
    (all.rigs, all.otas, all.correctors) = (Vec::new(), Vec::new(), Vec::new());
    if let Some(camera) = camera {
        all.cameras.retain(|other| other.name == camera.name);
    }
    for class in OtaClass::ALL {
        one_camera::add_candidate(&mut all, class);
    }
    all
}

/// Every well-known target with its year; `None` if it was told to stop.
fn known_targets(
    nights: &SiteYear,
    catalogue: &Catalogue,
    go_on: &mut dyn FnMut(f32) -> bool,
) -> Option<Vec<KnownTarget>> {
    let targets = catalogue.targets();
    let mut known = Vec::new();
    for (index, target) in targets.iter().enumerate().filter(|(_, target)| is_well_known(target)) {
        // OK because the catalogue has far fewer rows than an f32 counts.
        if !go_on(index as f32 / targets.len() as f32) {
            return None;
        }
        known.push(KnownTarget { index, year: TargetYear::of(nights, &target.name, target.place) });
    }
    Some(known)
}

/// The candidate to begin with, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Recommendation {
    /// Its place in the kit's shortlist.
    pub rig: usize,
    /// Whether it keeps within budget, what can be carried, and what its mount takes.
    pub within_limits: bool,
    /// In a sentence with its figures.
    pub sentence: String,
}

/// The candidate that serves most among those that keep within the limits; of equals the first of
/// the shortlist, as [`Choice::best_rig`] has it. Where none serves any, the one that takes most whole.
/// If none keeps within them, the same among all.
///
/// `None` without candidates or without wishes, as there is nothing to go by then.
pub fn recommendation(kit: &Kit, choice: &Choice) -> Option<Recommendation> {
    if choice.ranges.is_empty() {
        return None;
    }
    let within: Vec<&RigChoice> =
        choice.rigs.iter().filter(|rig| keeps_within_limits(kit, rig)).collect();
    let pool: Vec<&RigChoice> =
        if within.is_empty() { choice.rigs.iter().collect() } else { within.clone() };
    // Of equals the search from the far end finds the first last.
    let best = pool.iter().rev().max_by(|a, b| {
        let by_weight = a.served.weighted.total_cmp(&b.served.weighted);
        // Where nothing is served, being whole is at least something.
        by_weight.then(a.served.count.cmp(&b.served.count)).then(match a.served.count {
            0 => a.whole.cmp(&b.whole),
            _ => Ordering::Equal,
        })
    })?;
    let within_limits = !within.is_empty();
    let mut sentence = sentence(kit, choice, best, within_limits.then_some(within.len()));
    sentence.extend(held_back(kit, choice, best));
    sentence.extend(pool.iter().filter_map(|other| as_good(kit, best, other)));
    Some(Recommendation { rig: best.rig, within_limits, sentence })
}

/// Whether a rig breaks none of the limits that the person gave.
pub fn keeps_within_limits(kit: &Kit, rig: &RigChoice) -> bool {
    broken_limits(kit, rig).is_empty()
}

/// The limits that a rig breaks, and by how much, in words that follow its name. One whose price is
/// unknown cannot be held against a budget.
pub fn broken_limits(kit: &Kit, rig: &RigChoice) -> Vec<String> {
    let limits = &kit.limits;
    let mut broken = Vec::new();
    if let (Some(budget), Ok(price)) = (limits.budget, rig.demands.price)
        && price > budget
    {
        let over = money(price - budget, &limits.currency);
        broken.push(format!("costs {over} more than your budget"));
    }
    let load = &rig.demands.load;
    if let Some(most) = limits.carry_kg.filter(|most| load.carry_kg > *most) {
        broken.push(format!("is {} kg more than you can carry", digits(load.carry_kg - most)));
    }
    if load.payload_used > limits.payload_share {
        broken.push(format!(
            "takes {} of its mount's payload, of which imaging may use {}",
            percent(load.payload_used),
            percent(limits.payload_share)
        ));
    }
    broken
}

/// The candidate that would serve more, were it not for a limit, and which limit.
fn held_back(kit: &Kit, choice: &Choice, best: &RigChoice) -> Option<String> {
    let most = choice.best_rig.and_then(|place| choice.rigs.get(place))?;
    let broken = broken_limits(kit, most);
    (most.served.weighted > best.served.weighted && !broken.is_empty()).then(|| {
        format!(
            " {} would serve more, {} of {}, but {}.",
            most.name,
            most.served.count,
            choice.ranges.len(),
            broken.join(" and ")
        )
    })
}

/// That another candidate serves as much, and what it costs and shows beside the best.
fn as_good(kit: &Kit, best: &RigChoice, other: &RigChoice) -> Option<String> {
    if other.rig == best.rig || best.served.count == 0 || other.served != best.served {
        return None;
    }
    let price = match (best.demands.price, other.demands.price) {
        (Ok(price), Ok(others)) => {
            let difference = money((others - price).abs(), &kit.limits.currency);
            format!(" for {difference} {}", if others < price { "less" } else { "more" })
        }
        _ => String::new(),
    };
    Some(format!(
        " {} does as well{price}; its stars are {:.1} arcsec wide against {:.1}.",
        other.name, other.demands.delivered_fwhm_arcsec, best.demands.delivered_fwhm_arcsec
    ))
}

fn sentence(kit: &Kit, choice: &Choice, rig: &RigChoice, within: Option<usize>) -> String {
    let (list, name) = (choice.ranges.len(), &rig.name);
    let breaks = || broken_limits(kit, rig).join(" and ");
    let who = match (within, choice.rigs.len()) {
        (_, 1) if within.is_some() => format!("{name} is the only candidate"),
        (Some(1), all) => {
            format!("{name} is the only one of the {all} candidates within your limits")
        }
        (Some(within), all) if within == all => {
            format!("All {all} candidates keep within your limits; {name} does best")
        }
        (Some(within), all) => {
            format!(
                "Of the {within} candidates (out of {all}) within your limits, {name} does best"
            )
        }
        (None, 1) => format!("{name} is the only candidate, but it {}", breaks()),
        (None, all) => format!(
            "None of the {all} candidates keeps within your limits; {name} does best, but it {}",
            breaks()
        ),
    };
    let detail = kit.limits.detail;
    format!(
        "{who}: it takes {} of your {list} {} whole, {} of them with at least {detail} resolution \
         elements across.",
        rig.whole,
        if list == 1 { "target" } else { "targets" },
        rig.served.count,
    )
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use fieldstop::demands::DemandTarget;
    use fieldstop::{Angle, Outline};

    use super::*;

    #[test]
    fn every_month_belongs_to_one_quarter() {
        let quarters: Vec<usize> = (0..12).map(quarter_of).collect();
        assert_eq!(quarters, [0, 0, 1, 1, 1, 2, 2, 2, 3, 3, 3, 0]);
    }

    /// The choice of a kit with one typical rig of every class on round targets of these sizes.
    fn choice_of(kit: &Kit, arcmin: &[f64]) -> Choice {
        let wanted = |&size: &f64| {
            let major = Angle::from_arcmin(size);
            Wanted {
                name: format!("Round {size}"),
                outline: Some(Outline { major, minor: None, position_angle: None }.into()),
                demand: DemandTarget {
                    declination: Angle::from_deg(40.0),
                    major: Some(major),
                    surface_brightness_mag_arcsec2: None,
                    line_share: None,
                },
                hours_in_year: 500.0,
                stars: 1,
            }
        };
        let wanted: Vec<Wanted> = arcmin.iter().map(wanted).collect();
        choice(kit, 0, &wanted, &Criterion::ALL, &Conditions::at_zenith(&kit.site))
    }

    fn recommended(kit: &Kit, arcmin: &[f64]) -> (OtaClass, Recommendation) {
        let advice = recommendation(kit, &choice_of(kit, arcmin)).unwrap();
        (kit.resolve(advice.rig).unwrap().ota.class, advice)
    }

    /// Common practice, no source: a camera lens for what spans degrees, a long telescope for what
    /// spans a minute or two.
    #[test]
    fn large_targets_ask_for_short_rigs_and_small_ones_for_long_rigs() {
        let kit = kit_of_all_classes(&starting_points::new_kit("Mine"));
        assert_eq!(recommended(&kit, &[300.0, 330.0]).0, OtaClass::CameraLens);
        // 40 elements across 2.2 arcminutes are 3.3 arcsec each: the compound OTA alone has stars so
        // narrow on an APS-C camera, as its long focal length spoils least of 2.5 arcsec of seeing.
        assert_eq!(recommended(&kit, &[2.15]).0, OtaClass::Compound);
    }

    #[test]
    fn where_nothing_is_served_the_one_that_holds_most_is_recommended() {
        let mut kit = kit_of_all_classes(&starting_points::new_kit("Mine"));
        kit.limits.detail = 1e6;
        let (class, advice) = recommended(&kit, &[300.0, 330.0]);
        assert_eq!(class, OtaClass::CameraLens);
        assert!(!advice.sentence.contains("does as well"), "{}", advice.sentence);
        assert!(advice.sentence.contains("2 of your 2 targets whole, 0 of"), "{}", advice.sentence);
    }

    #[test]
    fn what_a_limit_holds_back_is_named_with_the_limit() {
        let mut kit = kit_of_all_classes(&starting_points::new_kit("Mine"));
        kit.limits.budget = Some(2500.0);
        let (class, advice) = recommended(&kit, &[2.15]);
        assert_ne!(class, OtaClass::Compound);
        assert!(advice.within_limits);
        // 1,450 + 850 + 1,300 for OTA, camera and mount, from the starting points.
        let held = "Compound (mirror and lens) would serve more, 1 of 1, but costs 1,100 EUR more";
        assert!(advice.sentence.contains(held), "{}", advice.sentence);

        kit.limits.budget = Some(10.0);
        let (_, advice) = recommended(&kit, &[2.15]);
        assert!(!advice.within_limits);
        assert!(advice.sentence.starts_with("None of the 5"), "{}", advice.sentence);
    }

    #[test]
    fn nothing_is_recommended_by_an_empty_list() {
        let kit = kit_of_all_classes(&starting_points::new_kit("Mine"));
        assert_eq!(recommendation(&kit, &choice_of(&kit, &[])), None);
        let empty = starting_points::new_kit("Mine");
        assert_eq!(recommendation(&empty, &choice_of(&empty, &[60.0])), None);
    }
}
