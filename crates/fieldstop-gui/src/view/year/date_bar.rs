//! The date of the night: typed, stepped through, or tonight.

use egui::Ui;
use jiff::ToSpan;

use super::YearView;
use crate::widget::{date_field, named};

/// Shows the line.
pub(super) fn ui(ui: &mut Ui, view: &mut YearView) {
    ui.horizontal_wrapped(|ui| {
        let mut wanted = date_field(ui, "Evening of", view.evening);
        for (text, name, days) in [
            ("« week", "One week back", -7),
            ("‹ night", "One night back", -1),
            ("night ›", "One night on", 1),
            ("week »", "One week on", 7),
        ] {
            if named(ui.button(text).on_hover_text(name), name).clicked() {
                wanted = view.evening.checked_add(days.days()).ok();
            }
        }
        if let Some(tonight) = view.tonight
            && ui.button("Tonight").clicked()
        {
            wanted = Some(tonight);
        }
        if let Some(evening) = wanted {
            view.go_to(evening);
        }
    });
}
