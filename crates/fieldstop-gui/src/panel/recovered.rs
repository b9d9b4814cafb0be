//! Offers work that was not saved when the program last ended.

use std::path::Path;
use std::time::SystemTime;

use egui::{Key, Modifiers};
use jiff::Timestamp;
use jiff::tz::TimeZone;

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
pub fn window(
    ctx: &egui::Context,
    kit: &str,
    path: Option<&Path>,
    kept_at: Option<SystemTime>,
) -> RecoveredAnswer {
    let kept = kept_at.and_then(when).map_or_else(String::new, |when| format!(" {when}"));
    let mut answer = RecoveredAnswer::Asking;
    let modal = egui::Modal::new(egui::Id::unique("recovered window")).show(ctx, |ui| {
        ui.set_width(440.0);
        ui.strong("Unsaved work from last time");
        ui.label(format!(
            "“{kit}” had changes that no file held when the program ended. They were kept{kept}."
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
    // A click beside it is no answer.
    let leaves = modal.is_top_modal
        && !modal.any_popup_open
        && ctx.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape));
    if leaves && answer == RecoveredAnswer::Asking {
        answer = RecoveredAnswer::Later;
    }
    answer
}

/// When a file was written, by this computer's clock.
fn when(written_at: SystemTime) -> Option<String> {
    let timestamp = Timestamp::try_from(written_at).ok()?;
    let local = timestamp.to_zoned_datetime(TimeZone::system());
    let (date, time) = (local.date(), local.time());
    Some(format!("on {date} at {:02}:{:02}", time.hour(), time.minute()))
}
