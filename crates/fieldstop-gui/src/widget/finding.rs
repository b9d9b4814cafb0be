//! A sentence that opens to the figures it was made from.

use std::collections::HashSet;

use egui::{Role, Sense, Shape, Stroke, TextStyle, Ui, Vec2, WidgetInfo, vec2};
use fieldstop::findings::{FigureValue, Finding};

/// Shows a sentence, and below it its figures if it is open.
pub fn finding_ui(ui: &mut Ui, finding: &Finding, open: &mut HashSet<String>) {
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
