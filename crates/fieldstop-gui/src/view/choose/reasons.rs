//! What the figures say, in sentences; each opens to the figures that it was made from.

use std::collections::HashSet;

use egui::{ComboBox, Role, Sense, Shape, Stroke, TextStyle, Ui, Vec2, WidgetInfo, vec2};
use fieldstop::findings::{FigureValue, Finding};

use super::ChooseView;
use crate::state::ChoiceAnswer;
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
    let findings: Vec<&Finding> = answer
        .choice
        .findings
        .iter()
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

/// Shows a sentence, and below it its figures if it is open.
pub(super) fn finding_ui(ui: &mut Ui, finding: &Finding, open: &mut HashSet<String>) {
    let is_open = open.contains(&finding.text);
    let width = ui.available_width();
    let font = TextStyle::Body.resolve(ui.style());
    let ink = ui.visuals().text_color();
    let galley = ui.painter().layout(finding.text.clone(), font, ink, width - 28.0);
    let size = Vec2::new(width, galley.size().y + 7.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_open, &finding.text));
    if response.clicked() {
        if is_open {
            open.remove(&finding.text);
        } else {
            open.insert(finding.text.clone());
        }
    }
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    if response.hovered() || response.has_focus() {
        let fill = ui.visuals().widgets.hovered.bg_fill;
        ui.painter().rect_filled(rect, 4.0, fill);
    }
    if response.has_focus() {
        let stroke = ui.visuals().selection.stroke;
        ui.painter().rect_stroke(rect, 4.0, stroke, egui::StrokeKind::Inside);
    }
    let first_line = rect.left_top() + vec2(11.0, 11.5);
    let corners = if is_open {
        [vec2(-4.0, -2.5), vec2(4.0, -2.5), vec2(0.0, 3.5)]
    } else {
        [vec2(-2.5, -4.0), vec2(3.5, 0.0), vec2(-2.5, 4.0)]
    };
    let corners = corners.map(|corner| first_line + corner).to_vec();
    ui.painter().add(Shape::convex_polygon(corners, ink, Stroke::NONE));
    ui.painter().galley(rect.left_top() + vec2(23.0, 3.5), galley, ink);
    if is_open {
        figures_ui(ui, finding);
    }
}

fn figures_ui(ui: &mut Ui, finding: &Finding) {
    ui.indent(("figures", &finding.text), |ui| {
        egui::Grid::new(("figures of", &finding.text))
            .num_columns(2)
            .min_row_height(14.0)
            .spacing([18.0, 2.0])
            .show(ui, |ui| {
                for (key, value) in &finding.figures {
                    ui.small(key_words(key));
                    ui.small(value_words(value));
                    ui.end_row();
                }
            });
    });
}

/// A figure's key with blanks where it has marks: `Compound: delivered fwhm arcsec`.
fn key_words(key: &str) -> String {
    key.replace("rigs/", "").replace('/', ": ").replace('_', " ")
}

fn value_words(value: &FigureValue) -> String {
    match value {
        FigureValue::Word(word) => word.clone(),
        FigureValue::Number(number) if number.fract() == 0.0 && number.abs() < 1e12 => {
            format!("{number:.0}")
        }
        FigureValue::Number(number) => format!("{number:.4}"),
    }
}
