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

/// Ends of a key that name a unit, and the unit as it is printed.
const UNITS: [(&str, &str); 9] = [
    ("_mag_arcsec2", "mag/″²"),
    ("_arcsec", "arcsec"),
    ("_arcmin", "arcmin"),
    ("_deg", "°"),
    ("_mm", "mm"),
    ("_kg", "kg"),
    ("_um", "µm"),
    ("_hours", "h"),
    ("_h", "h"),
];

/// A figure's key in words, with its unit: `delivered fwhm, Compound (arcsec)`; of a difference,
/// `whole, Camera lens minus Compound`.
fn key_words(key: &str) -> String {
    // A turned difference is printed without its sign, as the sentence does.
    let key = key.strip_prefix("-(").and_then(|rest| rest.strip_suffix(')')).unwrap_or(key);
    let terms: Vec<(&str, Option<&str>)> = key.split(" - ").map(figure_and_owner).collect();
    let Some(&(figure, _)) = terms.first() else { return String::new() };
    let unit = UNITS.iter().find_map(|(end, unit)| Some((figure.strip_suffix(end)?, unit)));
    let words = |figure: &str| figure.replace(['_', '/'], " ");
    let (name, unit) = match unit {
        Some((name, unit)) => (words(name), format!(" ({unit})")),
        None => (words(figure), String::new()),
    };
    let name = if name == "whole" { "targets whole".to_owned() } else { name };
    if terms.iter().all(|(other, owner)| *other == figure && owner.is_some()) {
        let owners: Vec<&str> = terms.iter().filter_map(|(_, owner)| *owner).collect();
        return format!("{name}, {}{unit}", owners.join(" minus ").replace('/', ", "));
    }
    let others: Vec<String> = terms.iter().skip(1).map(|(figure, _)| words(figure)).collect();
    let all: Vec<String> = std::iter::once(name).chain(others).collect();
    format!("{}{unit}", all.join(" minus "))
}

/// The last part of a key, and whose it is: of `rigs/Compound/whole`, `whole` and `Compound`. Keys of
/// no rig, target or mount are all figure.
fn figure_and_owner(key: &str) -> (&str, Option<&str>) {
    let owned = key.strip_prefix("rigs/").or_else(|| key.strip_prefix("ranges/"));
    match owned.and_then(|rest| rest.rsplit_once('/')) {
        Some((owner, figure)) => (figure, Some(owner)),
        None => (key, None),
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_read_as_words() {
        for (key, words) in [
            (
                "rigs/Camera lens/whole - rigs/Compound/whole",
                "targets whole, Camera lens minus Compound",
            ),
            ("-(rigs/A/mass_kg - rigs/B/mass_kg)", "mass, A minus B (kg)"),
            ("rigs/A/targets/M 31/fill", "fill, A, targets, M 31"),
            ("best_pair/served - best/served", "best pair served minus best served"),
            ("site/seeing_fwhm_arcsec", "site seeing fwhm (arcsec)"),
            ("limits/detail", "limits detail"),
        ] {
            assert_eq!(key_words(key), words);
        }
    }
}
