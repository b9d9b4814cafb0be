//! Below an open row: what the figure means, how it is worked out, what would mend it, and a plot.

use egui::{Align, Layout, Margin, RichText, Ui, Vec2};
use fieldstop::demands::{Figure, Grade};

use super::{DemandsInput, bill, plots, thresholds};
use crate::paint::screen;
use crate::scene::style::rig_style;
use crate::state::demands::Opened;
use crate::state::mending::Trouble;
use crate::widget::{grade_colour, grade_mark, rig_line};

/// From this width on, words and plots stand side by side.
const SIDE_BY_SIDE: f32 = 520.0;

/// Shows the reasons of a row.
pub(super) fn ui(ui: &mut Ui, figure: Figure, input: &mut DemandsInput<'_>) {
    egui::Frame::new()
        .fill(ui.visuals().faint_bg_color)
        .inner_margin(Margin { left: 24, right: 12, top: 8, bottom: 10 })
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 5.0;
            ui.push_id(figure, |ui| {
                let opened = input.figures.opened(figure);
                let charts = opened.map_or(&[][..], |opened| opened.charts.as_slice());
                if charts.is_empty() {
                    words(ui, figure, opened, input);
                } else if ui.available_width() < SIDE_BY_SIDE {
                    words(ui, figure, opened, input);
                    plots::ui(ui, charts, input.palette);
                } else {
                    ui.columns_const(|[left, right]| {
                        // The columns' own layout would spread words over the whole line.
                        left.with_layout(Layout::top_down(Align::LEFT), |ui| {
                            words(ui, figure, opened, input);
                        });
                        right.with_layout(Layout::top_down(Align::LEFT), |ui| {
                            plots::ui(ui, charts, input.palette);
                        });
                    });
                }
            });
        });
}

fn words(ui: &mut Ui, figure: Figure, opened: Option<&Opened>, input: &mut DemandsInput<'_>) {
    let rule = figure.rule();
    ui.label(rule.meaning);
    if let Some(here) = opened.and_then(|opened| opened.here.as_ref()) {
        ui.label(RichText::new(here).strong());
    }
    ui.label(RichText::new(format!("Worked out as: {}.", rule.formula)).weak());
    ui.label(RichText::new(format!("Source: {} ({}).", rule.source, rule.standing.label())).weak());
    if input.figures.rigs.iter().any(|rig| rig.sensitivity.range(figure).is_some()) {
        ui.label(
            RichText::new(
                "The range above it is for seeing 30 % better or worse and a sky 0.5 mag darker or brighter.",
            )
            .weak(),
        );
    }
    if let Some(opened) = opened
        && !opened.troubles.is_empty()
    {
        why_bad(ui, &opened.troubles, input);
    }
    if figure == Figure::ChecklistPrice {
        bill::checklist(ui, input);
    }
    thresholds::ui(ui, figure, &mut input.kit.limits);
}

fn why_bad(ui: &mut Ui, troubles: &[Trouble], input: &DemandsInput<'_>) {
    ui.add_space(4.0);
    ui.strong("Why is this bad, and what would mend it?");
    let chosen = input.workspace.rig;
    let (first, rest): (Vec<&Trouble>, Vec<&Trouble>) =
        troubles.iter().partition(|trouble| trouble.rig == chosen);
    for trouble in first.into_iter().chain(rest) {
        trouble_ui(ui, trouble, input);
    }
}

fn trouble_ui(ui: &mut Ui, trouble: &Trouble, input: &DemandsInput<'_>) {
    let Some(own) = input.figures.rigs.get(trouble.rig) else { return };
    ui.horizontal(|ui| {
        let (line, _) = ui.allocate_exact_size(Vec2::new(26.0, 14.0), egui::Sense::hover());
        let colour = screen::colour(input.palette.rig(own.mark));
        let dash = rig_style(own.mark).dash;
        rig_line(ui.painter(), line.left_center(), line.right_center(), colour, dash, 2.0);
        ui.label(&own.name);
        let (mark, _) = ui.allocate_exact_size(Vec2::new(11.0, 14.0), egui::Sense::hover());
        grade_mark(ui.painter(), mark.center(), trouble.grade, input.palette);
        ui.label(
            RichText::new(trouble.grade.label()).color(grade_colour(trouble.grade, input.palette)),
        );
    });
    ui.indent(("trouble", trouble.rig), |ui| {
        let verb = if trouble.grade == Grade::Bad { "Bad" } else { "Doubtful" };
        ui.label(format!("{verb} because: {}.", trouble.why));
        for remedy in &trouble.remedies {
            ui.label(format!("•  {remedy}"));
        }
    });
}
