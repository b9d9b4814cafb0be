//! How many nights are clear at the site, month by month, if the person knows.

use egui::{RichText, Ui};
use fieldstop::range::CLEAR_FRACTION;

use crate::nights::MONTHS;
use crate::nights::date::month_short;
use crate::widget::NumberField;

/// A first guess for each month, to be changed.
const HALF: f64 = 0.5;
const COLUMNS: usize = 3;

/// Shows the twelve shares, or the way to begin them.
pub fn ui(ui: &mut Ui, shares: &mut Vec<f64>) {
    ui.add_space(6.0);
    ui.strong("Clear nights");
    if shares.is_empty() {
        ui.label(
            RichText::new(
                "Share of the nights that are clear, by month. With it, the Year view says how many \
                 hours to expect under a real sky.",
            )
            .weak()
            .small(),
        );
        if ui.button("Add clear nights").clicked() {
            *shares = vec![HALF; MONTHS];
        }
        return;
    }
    egui::Grid::new("clear nights").num_columns(COLUMNS).show(ui, |ui| {
        for (month, share) in shares.iter_mut().enumerate() {
            let field = NumberField::new(month_short(month), "", CLEAR_FRACTION)
                .of("clear nights")
                .compact()
                .tip("Share of this month's nights that are clear: 0.4 is two in five");
            ui.vertical(|ui| {
                if let Some(new) = field.show(ui, *share) {
                    *share = new;
                }
            });
            if month % COLUMNS == COLUMNS - 1 {
                ui.end_row();
            }
        }
    });
    if ui.button("Forget clear nights").clicked() {
        shares.clear();
    }
}
