//! The filter in front of a rig's camera, or none.

use egui::{ComboBox, RichText, Ui};
use fieldstop::kit::Filter;
use fieldstop::range;

use crate::widget::{NumberField, name_field, named, unique_name};

/// Typical filters: name, middle and width (nm), transmission, thickness (mm), price. Common
/// practice, no source; the wavelengths of the lines are those of the spectrum.
const TYPICAL: [(&str, [f64; 5]); 4] = [
    ("hydrogen alpha, 7 nm", [656.3, 7.0, 0.9, 2.0, 150.0]),
    ("oxygen III, 7 nm", [500.7, 7.0, 0.9, 2.0, 150.0]),
    ("luminance", [550.0, 280.0, 0.97, 2.0, 60.0]),
    ("light pollution", [560.0, 180.0, 0.92, 2.0, 110.0]),
];

fn typical(name: &str, figures: [f64; 5]) -> Filter {
    let [centre_nm, width_nm, transmission, thickness_mm, price] = figures;
    Filter {
        name: name.to_owned(),
        centre_nm,
        width_nm,
        transmission,
        thickness_mm: Some(thickness_mm),
        price: Some(price),
        owned: false,
    }
}

/// Shows which filter there is and its figures.
pub(super) fn ui(ui: &mut Ui, filter: &mut Option<Filter>, currency: &str) {
    ui.add_space(6.0);
    ui.strong("Filter");
    pick(ui, filter);
    let Some(part) = filter else { return };
    if let Some(name) = name_field(ui, "Filter name", &part.name, |name| unique_name(name, &[])) {
        part.name = name;
    }
    let field = |label, unit, range| NumberField::new(label, unit, range).of("Filter");
    for (shown, value) in [
        (field("Middle", "nm", range::WAVELENGTH_NM), &mut part.centre_nm),
        (field("Width", "nm", range::PASSBAND_NM), &mut part.width_nm),
        (
            field("Transmission", "", range::THROUGHPUT)
                .tip("Share of the light that gets through within its width"),
            &mut part.transmission,
        ),
    ] {
        if let Some(new) = shown.show(ui, *value) {
            *value = new;
        }
    }
    for (shown, value) in [
        (
            field("Thickness", "mm", range::THICKNESS_MM)
                .tip("Glass moves the focus back by a third of it"),
            &mut part.thickness_mm,
        ),
        (field("Price", currency, range::MONEY), &mut part.price),
    ] {
        if let Some(new) = shown.show_optional(ui, *value) {
            *value = new;
        }
    }
    named(ui.checkbox(&mut part.owned, "Already owned"), "Filter already owned");
}

fn pick(ui: &mut Ui, filter: &mut Option<Filter>) {
    let current = filter.as_ref().map_or("none", |part| part.name.as_str()).to_owned();
    let combo = ComboBox::from_id_salt("Filter")
        .width(ui.available_width() - 8.0)
        .selected_text(&current)
        .show_ui(ui, |ui| {
            if ui.selectable_label(filter.is_none(), "none").clicked() {
                *filter = None;
            }
            ui.label(RichText::new("Typical, to start from").weak());
            for (name, figures) in TYPICAL {
                if ui.selectable_label(current == name, name).clicked() {
                    *filter = Some(typical(name, figures));
                }
            }
        });
    named(combo.response, "Filter");
}
