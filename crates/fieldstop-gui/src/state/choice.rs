//! The choice for the open kit, worked out beside the window, and the same with a part swapped.

use std::sync::Arc;

use fieldstop::choice::{Choice, Criterion, Wanted, choice};
use fieldstop::demands::Conditions;
use fieldstop::focal_range::Setting;
use fieldstop::kit::Kit;

use super::catalogue_coverage::{CatalogueCoverage, CatalogueQuestion};
use super::figures::Figures;
use super::wanted::wanted_list;
use super::worked::Worked;
use super::year::YearFigures;
use crate::sky::Sky;

/// Stars narrowed by less than this share are narrowed in vain. Common practice.
pub const NOTHING_GAINED: f64 = 0.05;

/// What the choice depends on.
#[derive(Clone, PartialEq)]
struct Question {
    kit: Kit,
    chosen: usize,
    wanted: Vec<Wanted>,
}

/// The choice, and what it was made from.
pub struct ChoiceAnswer {
    /// Rigs, site and limits.
    pub kit: Kit,
    /// The rig whose camera and aperture the ladder stands for.
    pub chosen: usize,
    /// What rigs are compared on.
    pub criteria: Vec<Criterion>,
    /// The wish list's targets, in its order.
    pub wanted: Vec<Wanted>,
    /// Ranges, coverage, rigs, findings.
    pub choice: Choice,
    /// From here on the mount's guiding widens the stars by more than the kit's threshold.
    pub guiding_fails_from_mm: Option<f64>,
    /// From here on a longer focal length narrows the stars by less than [`NOTHING_GAINED`].
    pub nothing_gained_from_mm: Option<f64>,
}

impl ChoiceAnswer {
    fn of(question: Question) -> Self {
        let Question { kit, chosen, wanted } = question;
        let criteria = kit.criteria();
        let conditions = Conditions::at_zenith(&kit.site);
        let choice = choice(&kit, chosen, &wanted, &criteria, &conditions);
        let loss = kit.limits.thresholds.guiding_loss;
        let setting = choice.setting.as_ref();
        Self {
            guiding_fails_from_mm: setting.and_then(|setting| setting.guiding_fails_from_mm(loss)),
            nothing_gained_from_mm: setting
                .and_then(|setting| setting.nothing_gained_from_mm(NOTHING_GAINED)),
            choice,
            kit,
            chosen,
            criteria,
            wanted,
        }
    }
}

/// What the choice is asked for.
pub struct ChoiceInput<'a> {
    /// The open kit.
    pub kit: &'a Kit,
    /// The same with a part swapped, if one is tried out.
    pub tried: Option<Kit>,
    /// Its targets.
    pub figures: &'a Figures,
    /// Their hours in the year.
    pub year: &'a YearFigures,
    /// The chosen rig.
    pub chosen: usize,
    /// What of the catalogue is asked about beside the wish list, if anything.
    pub catalogue: Option<CatalogueQuestion>,
    /// The catalogue.
    pub sky: &'a Arc<Sky>,
}

/// The choice as far as it is known.
#[derive(Default)]
pub struct ChoiceFigures {
    now: Worked<Question, ChoiceAnswer>,
    tried: Worked<Question, ChoiceAnswer>,
    tried_kit: Option<Kit>,
    catalogue: Worked<(CatalogueQuestion, Setting, f64, f64), CatalogueCoverage>,
}

impl ChoiceFigures {
    /// Brings it up to date, once the hours of the year are there.
    pub fn update(&mut self, input: ChoiceInput<'_>, ctx: &egui::Context) {
        let Some(wanted) = wanted_list(input.kit, input.figures, input.year) else { return };
        let question =
            |kit: &Kit| Question { kit: kit.clone(), chosen: input.chosen, wanted: wanted.clone() };
        ask(&mut self.now, question(input.kit), "Working out the choice", ctx);
        match &input.tried {
            Some(kit) => ask(&mut self.tried, question(kit), "Working out the change", ctx),
            None => self.tried.forget(),
        }
        self.ask_catalogue(input.catalogue, input.sky, ctx);
        self.tried_kit = input.tried;
    }

    fn ask_catalogue(
        &mut self,
        question: Option<CatalogueQuestion>,
        sky: &Arc<Sky>,
        ctx: &egui::Context,
    ) {
        self.catalogue.collect();
        let answer = self.now.answer();
        let Some((question, answer)) = question.zip(answer) else { return };
        let Some(setting) = answer.choice.setting else { return };
        let limits = answer.kit.limits.clone();
        let asked = (question, setting, limits.whole_fill, limits.detail);
        if self.catalogue.is_asked(&asked) || self.catalogue.progress().is_some() {
            return;
        }
        let sky = sky.clone();
        self.catalogue.ask(asked, "Going through the catalogue", ctx, move |progress| {
            progress
                .report(0.0)
                .then(|| CatalogueCoverage::of(question, setting, &limits, &sky.catalogue))
        });
    }

    /// What of the catalogue is served, or while that is worked out what was asked before.
    pub fn catalogue(&self) -> Option<&CatalogueCoverage> {
        self.catalogue.answer().map(AsRef::as_ref)
    }

    /// The choice, or while it is worked out the one before.
    pub fn answer(&self) -> Option<&ChoiceAnswer> {
        self.now.answer().map(AsRef::as_ref)
    }

    /// The choice with the part swapped, once that very swap is worked out.
    pub fn tried(&self) -> Option<&ChoiceAnswer> {
        let answer = self.tried.answer()?;
        (Some(&answer.kit) == self.tried_kit.as_ref()).then(|| answer.as_ref())
    }

    /// The kit with the part swapped.
    pub fn tried_kit(&self) -> Option<&Kit> {
        self.tried_kit.as_ref()
    }
}

/// Asks, unless it was asked already. One question at a time: while a handle is dragged the last
/// one is answered before the next is asked.
fn ask(
    worked: &mut Worked<Question, ChoiceAnswer>,
    question: Question,
    label: &str,
    ctx: &egui::Context,
) {
    worked.collect();
    if worked.is_asked(&question) || worked.progress().is_some() {
        return;
    }
    let asked = question.clone();
    worked.ask(question, label, ctx, move |progress| {
        progress.report(0.0).then(|| ChoiceAnswer::of(asked))
    });
}
