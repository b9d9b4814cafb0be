//! Asks how large the sketch is to be, before asking where it goes.

use fieldstop::range::Range;

use crate::state::Workspace;
use crate::widget::NumberField;

const SIDE_PX: Range = Range { least: 16.0, most: 20_000.0, expected: "pixels from 16 to 20,000" };
const MOST_PX: u64 = 200_000_000;

/// What was decided.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum SketchAnswer {
    /// Nothing yet.
    Asking,
    /// Go on and ask where.
    Export,
    /// Nothing was wanted after all.
    Cancelled,
}

/// Shows the window.
pub fn window(
    ctx: &egui::Context,
    workspace: &mut Workspace,
    target: Option<&str>,
) -> SketchAnswer {
    let mut answer = SketchAnswer::Asking;
    let modal = egui::Modal::new(egui::Id::unique("sketch window")).show(ctx, |ui| {
        ui.set_width(320.0);
        ui.strong("Export sketch");
        let Some(target) = target else {
            ui.label("Choose a target first: the sketch shows the frames around it.");
            if ui.button("Close").clicked() {
                answer = SketchAnswer::Cancelled;
            }
            return;
        };
        ui.label(format!("The frames on {target} with their figures, as a PNG picture."));
        let (width, height) = &mut workspace.sketch_px;
        side(ui, "Width", width);
        side(ui, "Height", height);
        let fits = u64::from(*width) * u64::from(*height) <= MOST_PX;
        if !fits {
            ui.label("At most 200 million pixels: make it narrower or lower.");
        }
        ui.horizontal(|ui| {
            let save = ui.add_enabled(fits, egui::Button::new("Save as…"));
            if ui.memory(|memory| memory.focused().is_none()) {
                save.request_focus();
            }
            if save.clicked() {
                answer = SketchAnswer::Export;
            }
            if ui.button("Cancel").clicked() {
                answer = SketchAnswer::Cancelled;
            }
        });
    });
    if modal.should_close() && answer == SketchAnswer::Asking {
        answer = SketchAnswer::Cancelled;
    }
    answer
}

fn side(ui: &mut egui::Ui, label: &str, pixels: &mut u32) {
    let field = NumberField::new(label, "px", SIDE_PX).whole();
    if let Some(value) = field.show(ui, f64::from(*pixels)) {
        // OK because the field accepts whole numbers from 16 to 20,000 only.
        *pixels = value as u32;
    }
}
