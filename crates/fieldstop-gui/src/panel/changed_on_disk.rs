//! Asks before a kit is written over what somebody else has written into its file meanwhile.

use std::path::Path;

/// What is to be done.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum ChangedAnswer {
    /// Not decided.
    Asking,
    /// Write over the other's changes.
    Replace,
    /// Save under another name.
    SaveAs,
    /// Save nothing.
    Stay,
}

/// Shows the question.
pub fn window(ctx: &egui::Context, path: &Path) -> ChangedAnswer {
    let mut answer = ChangedAnswer::Asking;
    let modal = egui::Modal::new(egui::Id::unique("changed on disk window")).show(ctx, |ui| {
        ui.set_width(440.0);
        ui.strong("The file has changed meanwhile");
        ui.label(format!(
            "{} is no longer as you opened or last saved it: another window or program has written \
             to it. Replacing it loses those changes.",
            path.display()
        ));
        ui.horizontal(|ui| {
            for (text, choice) in [
                ("Save as…", ChangedAnswer::SaveAs),
                ("Replace it", ChangedAnswer::Replace),
                ("Stay here", ChangedAnswer::Stay),
            ] {
                if ui.button(text).clicked() {
                    answer = choice;
                }
            }
        });
    });
    if modal.should_close() && answer == ChangedAnswer::Asking {
        answer = ChangedAnswer::Stay;
    }
    answer
}
