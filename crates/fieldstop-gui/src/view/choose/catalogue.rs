//! The curve of the whole catalogue in place of the wish list's, by kind and size.

use egui::{ComboBox, DragValue, Ui};

use crate::state::{CatalogueCoverage, CatalogueQuestion, KindGroup};
use crate::widget::{finite_number, named};
use crate::words::focal_length;

/// Shows what the curve is of, and changes it.
pub(super) fn ui(ui: &mut Ui, question: &mut Option<CatalogueQuestion>) {
    ui.separator();
    let mut on = question.is_some();
    let tip = "Draws the curve for the whole catalogue instead of the wish list; the bars stay";
    if ui.checkbox(&mut on, "Curve of the catalogue").on_hover_text(tip).changed() {
        *question = on.then(CatalogueQuestion::default);
    }
    let Some(question) = question else { return };
    let combo = ComboBox::from_id_salt("kinds").selected_text(question.kinds.label());
    let combo = combo.show_ui(ui, |ui| {
        for kinds in KindGroup::ALL {
            ui.selectable_value(&mut question.kinds, kinds, kinds.label());
        }
    });
    named(combo.response, "Kinds of object");
    for (value, name) in
        [(&mut question.least_arcmin, "Smallest size"), (&mut question.most_arcmin, "Largest size")]
    {
        let field = DragValue::new(value)
            .range(0.1..=600.0)
            .custom_parser(finite_number)
            .speed(0.2)
            .max_decimals(1)
            .suffix("′");
        named(ui.add(field).on_hover_text(name), name);
    }
}

/// The answer for the catalogue.
pub(super) fn words(found: &CatalogueCoverage) -> String {
    let question = found.question;
    let what = format!(
        "Of {} {} from {}′ to {}′",
        found.count,
        question.kinds.label(),
        question.least_arcmin,
        question.most_arcmin
    );
    let Some(best) = found.best else { return format!("{what}, no focal length serves any.") };
    let alone = found.coverage.at(best.focal_length_mm).count;
    let single = focal_length(best.focal_length_mm.round());
    let two = found.best_pair.map_or_else(String::new, |pair| {
        format!(
            "; {} and {} together {}",
            focal_length(pair.short.focal_length_mm.round()),
            focal_length(pair.long.focal_length_mm.round()),
            pair.served.count
        )
    });
    format!("{what}, {single} serves {alone}{two}.")
}
