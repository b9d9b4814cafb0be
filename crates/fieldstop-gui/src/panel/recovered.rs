//! Offers work that was not saved when the program last ended.

use std::path::Path;

/// What is to become of it.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum RecoveredAnswer {
    /// Not decided.
    Asking,
    /// Go on with it.
    Restore,
    /// Forget it for good.
    Discard,
    /// Ask again at the next start.
    Later,
}

/// Shows the question.
pub fn window(ctx: &egui::Context, kit: &str, path: Option<&Path>) -> RecoveredAnswer {
    let mut answer = RecoveredAnswer::Asking;
    let modal = egui::Modal::new(egui::Id::unique("recovered window")).show(ctx, |ui| {
        ui.set_width(440.0);
        ui.strong("Unsaved work from last time");
        ui.label(format!(
            "“{kit}” had changes that no file held when the program ended. They were kept."
        ));
        if let Some(path) = path {
            ui.weak(format!("It was opened from {}", path.display()));
        }
        ui.horizontal(|ui| {
            for (text, tip, choice) in [
                (
                    "Go on with it",
                    "Opens it with its changes; saving is up to you, undo leads back to the file",
                    RecoveredAnswer::Restore,
                ),
                (
                    "Throw it away",
                    "Forgets these changes for good; the file stays as it is",
                    RecoveredAnswer::Discard,
                ),
                ("Decide later", "Asks again at the next start", RecoveredAnswer::Later),
            ] {
                if ui.button(text).on_hover_text(tip).clicked() {
                    answer = choice;
                }
            }
        });
    });
    if modal.should_close() && answer == RecoveredAnswer::Asking {
        answer = RecoveredAnswer::Later;
    }
    answer
}
