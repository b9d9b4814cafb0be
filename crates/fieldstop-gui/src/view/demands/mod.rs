//! The Demands view: what each candidate asks of seeing, mount, back, purse and patience.

mod bill;
mod cautions;
mod columns;
mod explanation;
pub(crate) mod groups;
mod plots;
mod sliders;
mod table;
mod thresholds;

use std::collections::HashSet;

use egui::{Margin, Ui};
use fieldstop::demands::Figure;
use fieldstop::kit::Kit;

use crate::action::Queue;
use crate::scene::palette::Palette;
use crate::sky::catalogue::Target;
use crate::state::{DemandFigures, WhatIf, Workspace};
use crate::widget::scrolled;

/// What the Demands view is given to show and to change.
pub struct DemandsInput<'a> {
    /// Thresholds and the checklist are changed in it.
    pub kit: &'a mut Kit,
    /// The chosen rig.
    pub workspace: &'a Workspace,
    /// For the kit as it stood at the start of this frame.
    pub figures: &'a DemandFigures,
    /// The chosen target.
    pub target: Option<&'a Target>,
    /// The theme's colours.
    pub palette: &'a Palette,
    /// What is asked for.
    pub queue: &'a mut Queue,
    /// The rig that the pointer is on, here or in a panel.
    pub lifted: &'a mut Option<usize>,
}

/// What the Demands view remembers between frames and nobody saves.
#[derive(Default)]
pub struct DemandsView {
    /// What is tried out.
    pub what_if: WhatIf,
    /// The rows that are open.
    pub open: HashSet<Figure>,
    /// Which columns are seen where there are more than fit.
    sideways: columns::Sideways,
}

impl DemandsView {
    /// Shows the view over all the room there is.
    pub fn ui(&mut self, ui: &mut Ui, input: &mut DemandsInput<'_>) {
        ui.painter().rect_filled(ui.max_rect(), 0.0, ui.visuals().panel_fill);
        egui::Frame::new().inner_margin(Margin::symmetric(8, 5)).show(ui, |ui| {
            sliders::ui(ui, &mut self.what_if, input);
        });
        if input.figures.rigs.is_empty() {
            ui.centered_and_justified(|ui| {
                ui.label(
                    "What each telescope asks of seeing, mount, back and purse stands here, one column each. \
                     Add a candidate to the shortlist to begin.",
                );
            });
            return;
        }
        let columns = columns::header(ui, &mut self.sideways, input);
        scrolled(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            table::ui(ui, &columns, &mut self.open, input);
            cautions::ui(ui, input);
        });
    }
}
