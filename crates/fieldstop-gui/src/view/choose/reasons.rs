//! What the figures say, in sentences; each opens to the figures that it was made from.

use egui::{ComboBox, Ui};
use fieldstop::findings::{FigureValue, Finding};

use super::ChooseView;
use crate::state::ChoiceAnswer;
use crate::widget::finding_ui;
use crate::widget::named;

/// Shows the page.
pub(super) fn ui(ui: &mut Ui, view: &mut ChooseView, answer: &ChoiceAnswer) {
    let rigs = &answer.choice.rigs;
    if view.about.as_ref().is_some_and(|name| rigs.iter().all(|rig| rig.name != *name)) {
        view.about = None;
    }
    ui.horizontal_wrapped(|ui| {
        ui.weak("About");
        let shown = view.about.clone().unwrap_or_else(|| "everything".to_owned());
        let combo =
            ComboBox::from_id_salt("about").width(190.0).selected_text(shown).show_ui(ui, |ui| {
                ui.selectable_value(&mut view.about, None, "everything");
                for rig in rigs {
                    ui.selectable_value(&mut view.about, Some(rig.name.clone()), &rig.name);
                }
            });
        named(combo.response, "Reasons about");
        ui.weak("Open a sentence to see the figures it was made from.");
    });
    let recommended = answer.choice.recommendation.iter().flat_map(|advice| &advice.findings);
    let findings: Vec<&Finding> = recommended
        .chain(&answer.choice.findings)
        .filter(|finding| view.about.as_ref().is_none_or(|name| is_about(finding, name)))
        .collect();
    if findings.is_empty() {
        ui.label("The figures say nothing particular about it.");
    }
    for finding in findings {
        finding_ui(ui, finding, &mut view.open);
    }
}

/// Whether a sentence rests on a figure of a rig, or names it.
pub(super) fn is_about(finding: &Finding, rig: &str) -> bool {
    let named = |value: &FigureValue| matches!(value, FigureValue::Word(word) if word == rig);
    finding.concerns(rig) || finding.figures.iter().any(|(_, value)| named(value))
}
