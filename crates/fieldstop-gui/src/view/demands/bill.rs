//! What each rig costs part by part, and what a first rig still lacks.

use egui::{RichText, TextEdit, Ui};
use fieldstop::kit::ChecklistItem;
use fieldstop::range;
use fieldstop::why::Part;

use super::DemandsInput;
use super::columns::Columns;
use super::table::part_row;
use crate::widget::{NumberField, named};
use crate::words::whole;

/// So that prices stand below each other.
const LINE_WIDTH: f32 = 400.0;

/// One line a part, in the rigs' columns.
pub(super) fn rows(ui: &mut Ui, columns: &Columns, input: &DemandsInput<'_>) {
    for part in [Part::Ota, Part::Corrector, Part::Camera, Part::Filter, Part::Mount] {
        let texts: Vec<String> = input
            .figures
            .rigs
            .iter()
            .map(|rig| match rig.bill.iter().find(|line| line.part == part) {
                None => "–".to_owned(),
                Some(line) if line.owned => "owned".to_owned(),
                Some(line) => line.price.map_or_else(|| "no price".to_owned(), whole),
            })
            .collect();
        // A part that no rig has needs no line.
        if texts.iter().any(|text| text != "–") {
            part_row(ui, columns, part.label(), &texts);
        }
    }
}

/// The checklist, to be ticked off, priced and extended; it becomes the kit's own once changed.
pub(super) fn checklist(ui: &mut Ui, input: &mut DemandsInput<'_>) {
    let mut items = input.figures.checklist.clone();
    let currency = input.kit.limits.currency.clone();
    ui.strong("What a first rig still lacks");
    ui.label(
        RichText::new("Tick what is there already. Prices are rough guesses until you put yours.")
            .weak(),
    );
    let mut removed = None;
    for (place, item) in items.iter_mut().enumerate() {
        ui.horizontal(|ui| {
            let there = named(ui.checkbox(&mut item.owned, ""), format!("{} is there", item.name));
            there.on_hover_text("Already there, or not needed");
            let name = item.name.clone();
            let field = NumberField::new(&name, &currency, range::MONEY)
                .of("checklist")
                .tip("Empty if you do not know it yet");
            let size = egui::vec2(LINE_WIDTH, ui.spacing().interact_size.y);
            ui.allocate_ui(size, |ui| {
                if let Some(price) = field.show_optional(ui, item.price) {
                    item.price = price;
                }
            });
            if named(ui.small_button("×"), format!("Remove {name}")).clicked() {
                removed = Some(place);
            }
        });
    }
    if let Some(place) = removed {
        items.remove(place);
    }
    if let Some(name) = new_item(ui, &items) {
        items.push(ChecklistItem { name, price: None, owned: false });
    }
    if items != input.figures.checklist {
        input.kit.limits.checklist = Some(items);
    }
}

/// A field for one more item; its name once it is added.
fn new_item(ui: &mut Ui, items: &[ChecklistItem]) -> Option<String> {
    let id = ui.make_persistent_id("new checklist item");
    let mut name: String = ui.data_mut(|data| data.get_temp(id)).unwrap_or_default();
    let mut added = None;
    ui.horizontal(|ui| {
        let field =
            TextEdit::singleline(&mut name).desired_width(180.0).hint_text("something else");
        named(ui.add(field), "Something else that is needed");
        let wanted = name.trim();
        let is_new = !wanted.is_empty() && items.iter().all(|item| item.name != wanted);
        if ui.add_enabled(is_new, egui::Button::new("Add")).clicked() {
            added = Some(wanted.to_owned());
        }
    });
    if added.is_some() {
        name.clear();
    }
    ui.data_mut(|data| data.insert_temp(id, name));
    added
}
