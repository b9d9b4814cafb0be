//! The step-by-step start: five short steps from nothing to a kit with a first recommendation.
//!
//! The steps edit the open kit itself, so nothing can be lost by leaving: what was given so far is
//! the kit. Once they are over they are one step of the history.

mod camera;
mod candidates;
mod limits;
mod site;
mod wishes;

use std::collections::HashSet;

use egui::{Align, Layout, RichText, ScrollArea, Ui};
use fieldstop::kit::{Kit, OtaClass};

use super::finder::Finder;
use crate::action::{Action, Queue};
use crate::nights::SiteClock;
use crate::one_camera;
use crate::sky::catalogue::Catalogue;
use crate::state::first_start::quarter_of;
use crate::state::{Figures, FirstFigures, YearFigures};
use crate::widget::scrolled_in;

/// One of the five steps.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Step {
    /// Where.
    Site,
    /// With which camera.
    Camera,
    /// What is to be photographed.
    Wishes,
    /// What can be spent and carried.
    Limits,
    /// Which classes of telescope come into question.
    Candidates,
}

impl Step {
    /// Every step, in order.
    pub const ALL: [Self; 5] =
        [Self::Site, Self::Camera, Self::Wishes, Self::Limits, Self::Candidates];

    /// What its button says.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Site => "1  Site",
            Self::Camera => "2  Camera",
            Self::Wishes => "3  Wish list",
            Self::Limits => "4  Limits",
            Self::Candidates => "5  Candidates",
        }
    }

    /// The question that it asks.
    const fn question(self) -> &'static str {
        match self {
            Self::Site => "Where will you take your photographs?",
            Self::Camera => "Which camera have you got, or do you want?",
            Self::Wishes => "What would you like to photograph?",
            Self::Limits => "What can you spend and carry, and is there a mount already?",
            Self::Candidates => "Which classes of telescope come into question?",
        }
    }

    const fn number(self) -> usize {
        match self {
            Self::Site => 0,
            Self::Camera => 1,
            Self::Wishes => 2,
            Self::Limits => 3,
            Self::Candidates => 4,
        }
    }

    fn before(self) -> Option<Self> {
        Self::ALL.get(self.number().checked_sub(1)?).copied()
    }

    fn after(self) -> Option<Self> {
        Self::ALL.get(self.number() + 1).copied()
    }
}

/// The steps as they stand: which one, and what is being typed or looked at in it.
pub struct FirstStart {
    /// Which step is shown.
    pub step: Step,
    /// Whether the steps are shown, or were left and wait to be taken up again.
    pub open: bool,
    finder: Finder,
    /// Sentences that are open to their figures.
    sentences: HashSet<String>,
    quarter: usize,
    proposed: bool,
}

impl FirstStart {
    /// Begins at the first step.
    pub fn new(kit: &Kit) -> Self {
        let tonight = SiteClock::of(&kit.site).tonight();
        // OK because a month is 1 to 12.
        let month = tonight.map_or(0, crate::nights::date::month_index);
        Self {
            step: Step::Site,
            open: true,
            finder: Finder::default(),
            sentences: HashSet::new(),
            quarter: quarter_of(month),
            proposed: false,
        }
    }

    /// Puts the cursor into the search field, which is in the step of the wish list.
    pub fn find(&mut self) {
        self.step = Step::Wishes;
        self.finder.focus();
    }

    /// Whether the candidates are being looked at, so that they must be compared.
    pub fn compares(&self) -> bool {
        self.open && self.step == Step::Candidates
    }

    /// Goes to a step. The first time the candidates are reached without any, one of every class is
    /// proposed, since a recommendation needs something to choose from.
    fn go_to(&mut self, step: Step, kit: &mut Kit) {
        self.step = step;
        if step == Step::Candidates && kit.rigs.is_empty() && !self.proposed {
            for class in OtaClass::ALL {
                one_camera::add_candidate(kit, class);
            }
            self.proposed = true;
        }
    }
}

/// What the steps show and change.
pub struct FirstStartInput<'a> {
    /// What has been given so far.
    pub kit: &'a mut Kit,
    /// For the kit as it stood at the start of this frame.
    pub figures: &'a Figures,
    /// Well-known targets and the recommendation.
    pub first: &'a FirstFigures,
    /// The nights at the site.
    pub year: &'a YearFigures,
    /// Everything that can be wished for.
    pub catalogue: &'a Catalogue,
    /// What is asked for.
    pub queue: &'a mut Queue,
}

/// The line with the steps and the way out.
pub fn head(ui: &mut Ui, start: &mut FirstStart, input: &mut FirstStartInput<'_>) {
    ui.horizontal(|ui| {
        for step in Step::ALL {
            let button = egui::Button::selectable(start.step == step, step.label());
            if ui.add(button).on_hover_text(step.question()).clicked() {
                start.go_to(step, input.kit);
            }
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            input.queue.button(ui, Action::LeaveSteps, true);
        });
    });
}

/// The line with the ways on and back.
pub fn foot(ui: &mut Ui, start: &mut FirstStart, input: &mut FirstStartInput<'_>) {
    ui.add_space(2.0);
    ui.horizontal(|ui| {
        let before = start.step.before();
        if ui.add_enabled(before.is_some(), egui::Button::new("Back")).clicked()
            && let Some(step) = before
        {
            start.go_to(step, input.kit);
        }
        match start.step.after() {
            Some(step) => {
                let next = egui::Button::new(RichText::new("Next").strong());
                let tip = format!("On to {}", step.label());
                if ui.add(next).on_hover_text(tip).clicked() {
                    start.go_to(step, input.kit);
                }
            }
            None => input.queue.button(ui, Action::FinishSteps, true),
        }
        ui.weak(summary(input.kit));
    });
    ui.add_space(2.0);
}

/// What has been given so far, in a line.
fn summary(kit: &Kit) -> String {
    let camera = one_camera::camera_of(kit).map_or("no camera yet", |camera| camera.name.as_str());
    let count = |number: usize, one: &str, many: &str| match number {
        1 => format!("1 {one}"),
        _ => format!("{number} {many}"),
    };
    format!(
        "So far: {}, {camera}, {} wished for, {}.",
        kit.site.name,
        count(kit.wish_list.len(), "target", "targets"),
        count(kit.rigs.len(), "candidate", "candidates"),
    )
}

/// The step itself.
pub fn body(ui: &mut Ui, start: &mut FirstStart, input: &mut FirstStartInput<'_>) {
    ui.add_space(6.0);
    ui.strong(start.step.question());
    ui.add_space(6.0);
    match start.step {
        Step::Wishes => {
            wishes::ui(ui, &mut start.finder, &mut start.quarter, input);
            return;
        }
        Step::Site | Step::Camera | Step::Limits | Step::Candidates => {}
    }
    let area = ScrollArea::vertical().auto_shrink(false);
    scrolled_in(ui, "step", area, |ui| match start.step {
        Step::Site => site::ui(ui, input),
        Step::Camera => camera::ui(ui, input),
        Step::Wishes => {}
        Step::Limits => limits::ui(ui, input),
        Step::Candidates => candidates::ui(ui, &mut start.sentences, input),
    });
}

/// Width of a column of fields.
const FIELDS_PT: f32 = 400.0;

/// Two columns: what is asked for, and what it means.
fn columns(
    ui: &mut Ui,
    input: &mut FirstStartInput<'_>,
    left_pt: f32,
    left: impl FnOnce(&mut Ui, &mut FirstStartInput<'_>),
    right: impl FnOnce(&mut Ui, &mut FirstStartInput<'_>),
) {
    ui.horizontal_top(|ui| {
        ui.vertical(|ui| {
            ui.set_width(left_pt);
            left(ui, input);
        });
        ui.add_space(24.0);
        ui.vertical(|ui| {
            ui.set_max_width(ui.available_width().min(620.0));
            right(ui, input);
        });
    });
}
