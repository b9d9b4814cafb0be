//! Which keys there are, where the sky data come from, under which licences, and what the program
//! cautions against.

use egui::{Grid, Ui};

use crate::notices;
use crate::widget::scrolled;

/// Shows the cautions, the keys, then sources and licences.
pub fn window(ctx: &egui::Context, open: &mut bool) {
    egui::Window::new("Keys, sources and cautions").open(open).default_size([560.0, 520.0]).show(
        ctx,
        |ui| {
            scrolled(ui, |ui| {
                ui.label(format!(
                    "Fieldstop {} helps to choose an imaging telescope before paying for it.",
                    env!("CARGO_PKG_VERSION")
                ));
                for (place, (title, text)) in notices::all().into_iter().enumerate() {
                    ui.add_space(8.0);
                    ui.strong(title);
                    ui.label(text);
                    // Behind the cautions, which come first.
                    if place == 0 {
                        keys(ui);
                    }
                }
            });
        },
    );
}

fn keys(ui: &mut Ui) {
    ui.add_space(8.0);
    ui.strong("Keys");
    Grid::new("keys").num_columns(2).spacing([16.0, 2.0]).show(ui, |ui| {
        for (keys, does) in notices::KEYS {
            ui.label(keys);
            ui.label(does);
            ui.end_row();
        }
    });
}
