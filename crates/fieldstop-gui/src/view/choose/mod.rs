//! The Choose view: which one, and why.

mod answer;
mod bars;
mod catalogue;
mod cells;
mod comparison;
mod curve;
mod face_to_face;
mod focal_lengths;
mod matrix;
mod order;
mod reasons;
mod regions;
mod what_if;

use std::collections::HashSet;

use egui::{Margin, Ui};
use fieldstop::kit::Kit;

use crate::action::{Action, Queue};
use crate::scene::palette::Palette;
use crate::state::{
    CatalogueQuestion, ChoiceAnswer, ChoiceFigures, Figures, Swap, ViewChoice, Workspace,
    YearFigures,
};
use crate::widget::scrolled;
use order::Order;

/// What the Choose view is given to show and to change.
pub struct ChooseInput<'a> {
    /// Stars and focal lengths are changed in it.
    pub kit: &'a mut Kit,
    /// The chosen target and rig.
    pub workspace: &'a Workspace,
    /// For the kit as it stood at the start of this frame.
    pub figures: &'a Figures,
    /// The choice as far as it is worked out.
    pub choice: &'a ChoiceFigures,
    /// The hours of the year.
    pub year: &'a YearFigures,
    /// The theme's colours.
    pub palette: &'a Palette,
    /// What is asked for.
    pub queue: &'a mut Queue,
    /// The rig that the pointer is on, here or in a panel.
    pub lifted: &'a mut Option<usize>,
}

/// The pages of the view.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
enum Page {
    #[default]
    FocalLengths,
    Matrix,
    Comparison,
    Reasons,
    FaceToFace,
    WhatIf,
}

impl Page {
    const ALL: [Self; 6] = [
        Self::FocalLengths,
        Self::Matrix,
        Self::Comparison,
        Self::Reasons,
        Self::FaceToFace,
        Self::WhatIf,
    ];

    const fn label(self) -> &'static str {
        match self {
            Self::FocalLengths => "Focal lengths",
            Self::Matrix => "Targets by rig",
            Self::Comparison => "Compare",
            Self::Reasons => "Reasons",
            Self::FaceToFace => "Face to face",
            Self::WhatIf => "What if",
        }
    }

    const fn tip(self) -> &'static str {
        match self {
            Self::FocalLengths => "How much of the wish list each focal length serves",
            Self::Matrix => "Every target in every rig, drawn to scale, and how much you want it",
            Self::Comparison => "Every rig on every count, and which are beaten by another",
            Self::Reasons => "What the figures say, in sentences, each with its figures",
            Self::FaceToFace => "Two rigs on the same target, and all that differs",
            Self::WhatIf => "Try another corrector, camera or mount before you change the kit",
        }
    }
}

/// What the Choose view remembers between frames and nobody saves.
#[derive(Default)]
pub struct ChooseView {
    page: Page,
    order: Order,
    /// Only targets worth an evening in this month, counted from 0.
    month: Option<usize>,
    /// What the curve is of instead of the wish list.
    catalogue: Option<CatalogueQuestion>,
    /// The findings that are open, by their sentence.
    open: HashSet<String>,
    /// Only findings about the rig of this name.
    about: Option<String>,
    /// The second of two rigs face to face, by name.
    against: Option<String>,
    swap: Option<Swap>,
}

impl ChooseView {
    /// What of the catalogue is asked about, while that is looked at.
    pub fn catalogue(&self) -> Option<CatalogueQuestion> {
        self.catalogue.filter(|_| self.page == Page::FocalLengths)
    }

    /// The kit with the part swapped that is tried out, if there is one on the chosen rig.
    pub fn tried_kit(&mut self, kit: &Kit, chosen: usize) -> Option<Kit> {
        let tried = self.swap.as_ref().filter(|swap| swap.rig == chosen)?.applied(kit);
        if tried.is_none() {
            self.swap = None;
        }
        tried
    }

    /// For another kit: asks about nothing of the kit before.
    pub fn forget_kit(&mut self) {
        (self.about, self.against, self.swap, self.month) = (None, None, None, None);
    }

    /// Tries nothing out any more.
    pub fn drop_swap(&mut self) {
        self.swap = None;
    }

    /// Shows the view over all the room there is.
    pub fn ui(&mut self, ui: &mut Ui, input: &mut ChooseInput<'_>) {
        let frame =
            egui::Frame::new().fill(ui.visuals().panel_fill).inner_margin(Margin::symmetric(10, 6));
        frame.show(ui, |ui| {
            ui.set_min_size(ui.available_size());
            ui.horizontal_wrapped(|ui| {
                for page in Page::ALL {
                    let button = egui::Button::selectable(self.page == page, page.label());
                    if ui.add(button).on_hover_text(page.tip()).clicked() {
                        self.page = page;
                    }
                }
            });
            if input.kit.rigs.is_empty() || input.kit.wish_list.is_empty() {
                invite(ui, input);
                return;
            }
            let choice = input.choice;
            match choice.answer() {
                Some(answer) if !answer.choice.rigs.is_empty() => {
                    if answer::ui(ui, answer) {
                        self.page = Page::Reasons;
                        self.open.extend(answer::reasons(answer));
                    }
                    self.page(ui, answer, input);
                }
                _ => work_in_progress(ui, input),
            }
        });
    }

    fn page(&mut self, ui: &mut Ui, answer: &ChoiceAnswer, input: &mut ChooseInput<'_>) {
        match self.page {
            Page::FocalLengths => focal_lengths::ui(ui, self, answer, input),
            Page::Matrix => matrix::ui(ui, self, answer, input),
            Page::Comparison => scrolled(ui, |ui| comparison::ui(ui, self, answer, input)),
            Page::Reasons => scrolled(ui, |ui| reasons::ui(ui, self, answer)),
            Page::FaceToFace => scrolled(ui, |ui| face_to_face::ui(ui, self, answer, input)),
            Page::WhatIf => scrolled(ui, |ui| what_if::ui(ui, self, answer, input)),
        }
    }
}

/// What an empty view says, and the first step out of it.
fn invite(ui: &mut Ui, input: &mut ChooseInput<'_>) {
    ui.add_space(20.0);
    ui.label(
        "Here your wish list meets your shortlist: which focal lengths serve most of it, which \
         telescope is beaten by another, and why.",
    );
    if input.kit.rigs.is_empty() {
        ui.label("Add a candidate to the shortlist on the left to begin.");
    }
    if input.kit.wish_list.is_empty() {
        ui.label("Put something on the wish list on the right: find it there by name.");
        input.queue.button(ui, Action::FindTarget, true);
    }
}

/// What is shown while there is nothing to show yet.
fn work_in_progress(ui: &mut Ui, input: &mut ChooseInput<'_>) {
    ui.add_space(20.0);
    match input.year.progress() {
        Some((label, share)) => {
            ui.horizontal(|ui| {
                ui.add(egui::ProgressBar::new(share).desired_width(320.0).text(label));
                if ui.button("Stop").clicked() {
                    input.year.stop();
                }
            });
            ui.weak("A target counts by the hours it is up in the dark from your site.");
        }
        None if input.year.nights().is_none() => {
            ui.label("The hours of the year, by which targets count, were not worked out.");
            input.queue.button(ui, Action::WorkOutYear, true);
        }
        None => {
            ui.weak("Working out the choice …");
        }
    }
}

/// Looks at a target through a rig.
fn show_frame(queue: &mut Queue, target: &str, rig: usize) {
    queue.push(Action::ChooseTarget(target.to_owned()));
    queue.push(Action::ChooseRig(rig));
    queue.push(Action::ShowView(ViewChoice::Frame));
}
