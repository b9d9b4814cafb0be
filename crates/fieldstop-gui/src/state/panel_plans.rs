//! The fewest panels for every pair of rig and target that is looked at, worked out beside the
//! window and remembered.
//!
//! Views ask while they draw; what is not known yet is noted and worked out afterwards, in the
//! order in which it was asked for. Until then they are told the plain grid's number as an upper
//! bound.

use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::hash::{Hash, Hasher};
use std::sync::Arc;
use std::time::{Duration, Instant};

use fieldstop::covered::covered;
use fieldstop::panel_search::{PanelPlan, fewest_panels_for};
use fieldstop::shape::Shape;
use fieldstop::{Direction, Field, Fit, Icrs};

use super::worked::Worked;
use crate::panel_count::PanelCount;
use crate::sky::catalogue::Target;

/// With more answers than this, those that nobody looks at any more are forgotten.
const MOST_KEPT: usize = 600;

/// After this long a worker hands over what it has, so that the window is brought up to date.
const HAND_OVER: Duration = Duration::from_millis(120);

/// What a plan depends on.
#[derive(Clone, PartialEq)]
struct Question {
    field: Field,
    overlap: f64,
    place: Direction<Icrs>,
    shape: Shape,
}

// Every number of a checked kit has two ends, so that no figure made of them is NaN.
impl Eq for Question {}

impl Hash for Question {
    fn hash<H: Hasher>(&self, state: &mut H) {
        // Without the shape: few differ in that alone.
        let [x, y, z] = self.place.xyz();
        for number in [self.field.half_width, self.field.half_height, self.overlap, x, y, z] {
            // The two zeros are equal, and so must be what is made of them.
            (number + 0.0).to_bits().hash(state);
        }
    }
}

/// A plan, and how much of the target it covers.
pub struct PanelAnswer {
    /// The panels.
    pub plan: PanelPlan,
    /// Share of the outline in at least one panel, counted point by point, 0 to 1.
    pub covered: f64,
}

/// An answer to a question; none where the panels cannot be listed.
type Answered = (Question, Option<Arc<PanelAnswer>>);

/// An answer that is remembered, and the frame in which it was last looked at.
struct Known {
    answer: Option<Arc<PanelAnswer>>,
    seen: Cell<u64>,
}

/// The plans as far as they are known.
#[derive(Default)]
pub struct PanelPlans {
    known: HashMap<Question, Known>,
    /// Frames so far.
    frame: u64,
    /// What is not known yet, each with how many were asked for before it.
    asked: RefCell<HashMap<Question, usize>>,
    work: Worked<Vec<Question>, Vec<Answered>>,
}

impl PanelPlans {
    /// How many panels a target takes that fits a field so.
    pub fn count(&self, target: &Target, field: &Field, overlap: f64, fit: &Fit) -> PanelCount {
        let shape = target.shape();
        match PanelCount::of_fit(fit, shape.as_ref()) {
            PanelCount::AtMost(plain) => match self.answer(target, field, overlap) {
                Some(answer) => PanelCount::from(&answer.plan),
                None => PanelCount::AtMost(plain),
            },
            count => count,
        }
    }

    /// The panels of a target that spills over a field, once they are known.
    pub fn answer(
        &self,
        target: &Target,
        field: &Field,
        overlap: f64,
    ) -> Option<&Arc<PanelAnswer>> {
        let question =
            Question { field: *field, overlap, place: target.place, shape: target.shape()? };
        if let Some(known) = self.known.get(&question) {
            known.seen.set(self.frame);
            return known.answer.as_ref();
        }
        let mut asked = self.asked.borrow_mut();
        let order = asked.len();
        asked.entry(question).or_insert(order);
        None
    }

    /// Takes in what was worked out; to be called at the beginning of every frame.
    pub fn collect(&mut self) {
        self.frame += 1;
        if !self.work.collect() {
            return;
        }
        self.forget_beyond(MOST_KEPT);
        if let Some(answers) = self.work.answer() {
            let remembered = |(question, answer): &Answered| {
                (question.clone(), Known { answer: answer.clone(), seen: Cell::new(self.frame) })
            };
            self.known.extend(answers.iter().map(remembered));
        }
        self.work.forget();
    }

    /// With more answers than that, keeps those that the last frame looked at: the next one will
    /// ask for them again, so that forgetting them would be searching without end.
    fn forget_beyond(&mut self, most: usize) {
        if self.known.len() > most {
            self.known.retain(|_, known| known.seen.get() + 1 >= self.frame);
        }
    }

    /// Has worked out what was asked for since the last time and is not known.
    pub fn work_out(&mut self, ctx: &egui::Context) {
        let asked = self.asked.take();
        if asked.is_empty() || self.work.progress().is_some() {
            return;
        }
        let mut asked: Vec<(Question, usize)> = asked.into_iter().collect();
        asked.sort_by_key(|(_, order)| *order);
        let asked: Vec<Question> = asked.into_iter().map(|(question, _)| question).collect();
        let questions = asked.clone();
        self.work.ask(asked, "Looking for the fewest panels", ctx, move |progress| {
            let started = Instant::now();
            let mut answers = Vec::new();
            for question in questions {
                if !progress.report(0.0) {
                    return None;
                }
                let answer = question.answer().map(Arc::new);
                answers.push((question, answer));
                if started.elapsed() > HAND_OVER {
                    break;
                }
            }
            Some(answers)
        });
    }

    /// Whether some are being worked out.
    pub fn is_at_work(&self) -> bool {
        self.work.progress().is_some()
    }
}

impl Question {
    fn answer(&self) -> Option<PanelAnswer> {
        let plan =
            fewest_panels_for(self.place, Some(&self.shape), &self.field, self.overlap).ok()?;
        let (middle, region) = self.shape.region(self.place)?;
        let covered = covered(&region, middle, &plan.panels);
        Some(PanelAnswer { plan, covered })
    }
}

#[cfg(test)]
mod tests {
    use std::thread;

    use super::*;
    use crate::sky::Catalogue;
    use fieldstop::shape::fit_shape;

    #[test]
    fn a_plan_is_an_upper_bound_first_and_exact_once_worked_out() {
        let catalogue = Catalogue::embedded().unwrap();
        let target = catalogue.named("M 31").unwrap();
        let field = Field { half_width: 0.006, half_height: 0.004 };
        let (ctx, mut plans) = (egui::Context::default(), PanelPlans::default());
        let fit = fit_shape(target.shape().as_ref(), &field, 0.9, 0.15);
        let PanelCount::AtMost(plain) = plans.count(target, &field, 0.15, &fit) else {
            panic!("nothing is known yet");
        };
        plans.work_out(&ctx);
        while plans.is_at_work() {
            thread::sleep(Duration::from_millis(1));
            plans.collect();
        }
        let PanelCount::Exactly(fewest) = plans.count(target, &field, 0.15, &fit) else {
            panic!("it was worked out");
        };
        let again = crate::panel_count::fewest(target, &field, 0.15).unwrap();
        assert_eq!(fewest, again.panels.len() as u64);
        assert!(fewest < plain, "{fewest} {plain}");
        let answer = plans.answer(target, &field, 0.15).unwrap();
        assert!(answer.plan.proved && answer.covered == 1.0);
        // Nothing more is asked for.
        plans.work_out(&ctx);
        assert!(!plans.is_at_work());
    }

    #[test]
    fn what_is_looked_at_is_not_forgotten_however_much_it_is() {
        let catalogue = Catalogue::embedded().unwrap();
        let target = catalogue.named("M 31").unwrap();
        let field = |k: i32| {
            let side = 0.01 + 1e-6 * f64::from(k);
            Field { half_width: side, half_height: side }
        };
        let question = |k| {
            let (place, shape) = (target.place, target.shape().unwrap());
            Question { field: field(k), overlap: 0.1, place, shape }
        };
        let known = |k| (question(k), Known { answer: None, seen: Cell::new(0) });
        let mut plans = PanelPlans { known: (0..9).map(known).collect(), ..Default::default() };
        plans.collect();
        for k in 0..6 {
            assert!(plans.answer(target, &field(k), 0.1).is_none());
        }
        plans.collect();
        plans.forget_beyond(9);
        assert_eq!(plans.known.len(), 9, "there are not too many");
        plans.forget_beyond(4);
        assert_eq!(plans.known.len(), 6);
        assert!((0..6).all(|k| plans.known.contains_key(&question(k))));
    }
}
