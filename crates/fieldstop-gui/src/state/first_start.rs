//! What the step-by-step start shows: the well-known targets through the year, and the first
//! recommendation among the candidates.
//!
//! Both take a while and are worked out on threads of their own, as the year is.

use std::sync::Arc;

use fieldstop::choice::{Choice, Criterion, RigChoice, Wanted, choice};
use fieldstop::demands::Conditions;
use fieldstop::kit::{Kit, OtaClass};

use super::figures::Figures;
use super::wanted::wanted_list;
use super::worked::Worked;
use super::year::YearFigures;
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
        if with_candidates && let Some(wanted) = wanted_list(kit, figures, year) {
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
                    line_share: Ok(None),
                },
                hours_in_year: 500.0,
                stars: 1,
            }
        };
        let wanted: Vec<Wanted> = arcmin.iter().map(wanted).collect();
        choice(kit, 0, &wanted, &Criterion::ALL, &Conditions::at_zenith(&kit.site))
    }

    /// The class that is recommended, whether within the limits, and why in words.
    fn recommended(kit: &Kit, arcmin: &[f64]) -> (OtaClass, bool, String) {
        let advice = choice_of(kit, arcmin).recommendation.unwrap();
        let words: Vec<String> = advice.findings.into_iter().map(|finding| finding.text).collect();
        (kit.resolve(advice.rig).unwrap().ota.class, advice.within_limits, words.join(" "))
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

    /// Whole in all of them, and told apart by nothing but detail: the longest shows most.
    #[test]
    fn of_rigs_that_serve_as_much_the_sharpest_is_recommended() {
        let kit = kit_of_all_classes(&starting_points::new_kit("Mine"));
        let (class, _, why) = recommended(&kit, &[8.0, 10.0]);
        assert_eq!(class, OtaClass::Compound);
        assert!(why.contains("serve as many; Compound"), "{why}");
        assert!(why.contains("shows the most detail"), "{why}");
    }

    #[test]
    fn where_nothing_is_served_the_one_that_holds_most_is_recommended() {
        let mut kit = kit_of_all_classes(&starting_points::new_kit("Mine"));
        kit.limits.detail = 1e6;
        let (class, _, why) = recommended(&kit, &[300.0, 330.0]);
        assert_eq!(class, OtaClass::CameraLens);
        assert!(!why.contains("serves as many"), "{why}");
        assert!(why.contains("2 of 2 targets whole, 0 of"), "{why}");
    }

    #[test]
    fn what_a_limit_holds_back_is_named_with_the_limit() {
        let mut kit = kit_of_all_classes(&starting_points::new_kit("Mine"));
        kit.limits.budget = Some(2500.0);
        let (class, within_limits, why) = recommended(&kit, &[2.15]);
        assert_ne!(class, OtaClass::Compound);
        assert!(within_limits);
        // 1,450 + 850 + 1,300 for OTA, camera and mount, from the starting points.
        let held = "Compound (mirror and lens) would serve more, by hours in the dark and by how much you want each, 1 of 1, but costs 1,100 EUR more";
        assert!(why.contains(held), "{why}");

        kit.limits.budget = Some(10.0);
        let (_, within_limits, why) = recommended(&kit, &[2.15]);
        assert!(!within_limits);
        assert!(why.starts_with("None of the 5"), "{why}");
    }

    #[test]
    fn nothing_is_recommended_by_an_empty_list() {
        let kit = kit_of_all_classes(&starting_points::new_kit("Mine"));
        assert_eq!(choice_of(&kit, &[]).recommendation, None);
        let empty = starting_points::new_kit("Mine");
        assert_eq!(choice_of(&empty, &[60.0]).recommendation, None);
    }
}
