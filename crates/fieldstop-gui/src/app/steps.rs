//! The step-by-step start within the window: begun, left, taken up again, ended.

use egui::{CentralPanel, Panel};

use super::{App, FitView};
use crate::action::Action;
use crate::nights::site_clock::system_zone;
use crate::panel::first_start::{self, FirstStart, FirstStartInput};
use crate::panel::status_line::Notice;
use crate::starting_points;
use crate::state::{Document, Origin, ViewChoice};

impl App {
    /// Whether the steps have the window to themselves.
    pub(super) fn shows_steps(&self) -> bool {
        self.steps.as_ref().is_some_and(|steps| steps.open)
    }

    pub(super) fn start_steps(&mut self) {
        let mut kit = starting_points::new_kit("My kit");
        if let Some(zone) = system_zone() {
            kit.site.time_zone = zone;
        }
        self.show_document(Document::new(kit, Origin::New, None));
        self.document.begin_joined();
        self.steps = Some(FirstStart::new(&self.document.kit));
        self.notice = Notice::done("Leave at any step: what you gave so far is your kit.");
    }

    pub(super) fn resume_steps(&mut self) {
        if self.shows_steps() {
            return;
        }
        self.document.begin_joined();
        let steps = self.steps.get_or_insert_with(|| FirstStart::new(&self.document.kit));
        steps.open = true;
    }

    pub(super) fn leave_steps(&mut self) {
        if let Some(steps) = self.steps.as_mut().filter(|steps| steps.open) {
            steps.open = false;
            self.document.end_joined();
            self.choose_something();
            self.notice = Notice::done(
                "Nothing is lost. Go on step by step whenever you like, or freely here.",
            );
        }
    }

    /// Opens the kit in the window, on the rig that was recommended.
    pub(super) fn finish_steps(&mut self) {
        self.leave_steps();
        self.steps = None;
        let advice = self.first.candidates().and_then(|choice| choice.recommendation.as_ref());
        self.workspace.rig = advice.map_or(0, |advice| advice.rig);
        self.workspace.view = ViewChoice::Choose;
        self.update_figures();
        self.fit_view = Some(FitView::ChosenFrame);
        self.notice = Notice::done("This is your kit. Save it to keep it.");
    }

    /// Puts the cursor into the search field that is shown, or can be.
    pub(super) fn find_target(&mut self) {
        match self.steps.as_mut().filter(|steps| steps.open) {
            Some(steps) => steps.find(),
            None => self.finder.focus(),
        }
    }

    /// Shows a view, for which the steps make way.
    pub(super) fn show_view(&mut self, view: ViewChoice) {
        self.leave_steps();
        self.workspace.view = view;
    }

    pub(super) fn update_steps(&mut self, ctx: &egui::Context) {
        let Some(steps) = self.steps.as_ref().filter(|steps| steps.open) else { return };
        let (kit, compares) = (&self.document.kit, steps.compares());
        self.first.update(kit, &self.figures, &self.year, compares, &self.sky, ctx);
        if self.first.progress().is_some() {
            ctx.request_repaint_after(std::time::Duration::from_millis(100));
        }
    }

    pub(super) fn show_steps(&mut self, ui: &mut egui::Ui) {
        let Some(steps) = &mut self.steps else { return };
        self.frame_view.pointed = None;
        let mut input = FirstStartInput {
            kit: &mut self.document.kit,
            figures: &self.figures,
            first: &self.first,
            year: &self.year,
            catalogue: &self.sky.catalogue,
            queue: &mut self.queue,
        };
        Panel::top("steps").show(ui, |ui| first_start::head(ui, steps, &mut input));
        Panel::bottom("steps on and back").show(ui, |ui| first_start::foot(ui, steps, &mut input));
        CentralPanel::default().show(ui, |ui| first_start::body(ui, steps, &mut input));
    }

    /// That the steps were left midway, and the way back to them.
    pub(super) fn unfinished_line(&mut self, ui: &mut egui::Ui) {
        let Some(steps) = &self.steps else { return };
        let left_at = steps.step.label();
        let mut hidden = false;
        Panel::top("unfinished line").show(ui, |ui| {
            ui.horizontal(|ui| {
                ui.weak(format!("You left the steps at “{left_at}”."));
                self.queue.button(ui, Action::ResumeSteps, true);
                hidden =
                    ui.button("Hide").on_hover_text("The Kit menu has the steps too").clicked();
            });
        });
        if hidden {
            self.steps = None;
        }
    }
}
