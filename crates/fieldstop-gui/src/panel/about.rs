//! Where the sky data come from, under which licences, and what the program cautions against.

/// Shows the sources, licences and cautions.
pub fn window(ctx: &egui::Context, open: &mut bool) {
    egui::Window::new("Sources and cautions")
        .open(open)
        .default_size([560.0, 520.0])
        .vscroll(true)
        .show(ctx, |ui| {
            ui.label(format!(
                "Fieldstop {} helps to choose an imaging telescope before paying for it.",
                env!("CARGO_PKG_VERSION")
            ));
            for (title, text) in crate::notices::all() {
                ui.add_space(8.0);
                ui.strong(title);
                ui.label(text);
            }
        });
}
