//! The table of mosaic panels that the chosen rig needs for the chosen target.

use egui::{RichText, Ui};
use fieldstop::Frame;
use fieldstop::panel_search::MOST_SEARCHED;
use fieldstop::sexagesimal::{dec_text, ra_text};

use crate::panel_count::PanelCount;
use crate::state::PanelAnswer;
use crate::widget::{beside_sky, scrolled};
use crate::words;

/// What was asked for in the window.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum PanelsAnswer {
    /// Nothing yet.
    None,
    /// The table as text for another program.
    Copy,
    /// The table as a file.
    SaveCsv,
}

/// What the window is given to show.
pub struct PanelsInput<'a> {
    /// The chosen rig.
    pub rig: &'a str,
    /// The chosen target.
    pub target: &'a str,
    /// How many panels, as far as it is known.
    pub count: PanelCount,
    /// Whether they are few enough to be looked for.
    pub searched: bool,
    /// The panels, once they are known.
    pub answer: Option<&'a PanelAnswer>,
    /// Between panels, of a panel's side.
    pub overlap: f64,
    /// What they take in hours.
    pub hours: &'a dyn Fn(usize) -> String,
}

const WIDTH_PT: f32 = 440.0;

/// Shows the panels of a rig on a target.
pub fn window(ctx: &egui::Context, open: &mut bool, input: &PanelsInput<'_>) -> PanelsAnswer {
    let mut answer = PanelsAnswer::None;
    egui::Window::new("Mosaic panels")
        .open(open)
        .default_pos(beside_sky(ctx, WIDTH_PT))
        .default_size([WIDTH_PT, 380.0])
        .show(ctx, |ui| {
            let (rig, target) = (input.rig, input.target);
            match (input.answer, input.count) {
                (Some(found), _) => panels_ui(ui, found, input, &mut answer),
                (None, count) if input.searched => {
                    let panels = count.words().unwrap_or_default();
                    ui.label(format!("{rig} covers {target} with {panels}."));
                    ui.weak("Where the fewest stand is being worked out.");
                }
                (None, PanelCount::AtMost(panels) | PanelCount::Exactly(panels @ 2..)) => {
                    ui.label(format!(
                        "About {panels} panels of {rig} cover {target}: more than \
                         {MOST_SEARCHED} are not listed one by one."
                    ));
                }
                (None, _) => {
                    ui.label(format!(
                        "{target} needs no mosaic with {rig}: one picture holds it, or its size \
                         is unknown."
                    ));
                }
            }
        });
    answer
}

fn panels_ui(ui: &mut Ui, found: &PanelAnswer, input: &PanelsInput<'_>, answer: &mut PanelsAnswer) {
    let plan = &found.plan;
    let panels = plan.panels.len();
    let cover = if panels == 1 { "covers" } else { "cover" };
    let count = words::counted(panels, "panel");
    ui.label(format!("{count} of {} {cover} {}.", input.rig, input.target));
    let grid = match plan.plain.saturating_sub(panels) {
        0 => "as many as a plain grid takes".to_owned(),
        fewer => format!("{fewer} fewer than a plain grid takes"),
    };
    let proof = if plan.proved { ", and geometry proves that no gap is left" } else { "" };
    ui.weak(format!(
        "These are the fewest found, {grid}. They cover {:.2} % of the outline{proof}. They overlap \
         by at least {:.0} %, set under Site and limits, whatever the frame's own rotation.",
        100.0 * found.covered,
        input.overlap * 100.0,
    ));
    ui.label((input.hours)(panels));
    ui.horizontal(|ui| {
        if ui.button("Copy").on_hover_text("The table as CSV, to paste elsewhere").clicked() {
            *answer = PanelsAnswer::Copy;
        }
        if ui.button("Save as CSV…").clicked() {
            *answer = PanelsAnswer::SaveCsv;
        }
    });
    scrolled(ui, |ui| table(ui, &plan.panels));
}

fn table(ui: &mut Ui, panels: &[Frame]) {
    egui::Grid::new("panels").num_columns(4).striped(true).spacing([18.0, 4.0]).show(ui, |ui| {
        for heading in ["Panel", "Right ascension", "Declination", "Rotation"] {
            ui.label(RichText::new(heading).weak());
        }
        ui.end_row();
        for (index, panel) in panels.iter().enumerate() {
            ui.label((index + 1).to_string());
            ui.label(ra_text(panel.centre.ra(), 1));
            ui.label(dec_text(panel.centre.dec(), 0));
            ui.label(words::rotation(panel.rotation));
            ui.end_row();
        }
    });
}
