//! Asks what is to become of changes that no file holds, before they would be lost.

/// What is to become of them.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum UnsavedAnswer {
    /// Not decided.
    Asking,
    /// Save, then go on.
    Save,
    /// Go on without them.
    Discard,
    /// Stay.
    Stay,
}

/// Shows the question.
pub fn window(ctx: &egui::Context, kit: &str) -> UnsavedAnswer {
    let mut answer = UnsavedAnswer::Asking;
    let modal = egui::Modal::new(egui::Id::unique("unsaved window")).show(ctx, |ui| {
        ui.set_width(380.0);
        ui.strong("Save the changes?");
        ui.label(format!(
            "“{kit}” has changes that no file holds yet. Without saving they are lost."
        ));
        ui.horizontal(|ui| {
            for (text, choice) in [
                ("Save", UnsavedAnswer::Save),
                ("Do not save", UnsavedAnswer::Discard),
                ("Stay here", UnsavedAnswer::Stay),
            ] {
                if ui.button(text).clicked() {
                    answer = choice;
                }
            }
        });
    });
    if modal.should_close() && answer == UnsavedAnswer::Asking {
        answer = UnsavedAnswer::Stay;
    }
    answer
}
