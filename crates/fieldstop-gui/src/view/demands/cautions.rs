//! What to mind before paying and before lifting.

use egui::{Margin, RichText, Ui};

use super::DemandsInput;
use crate::demand_words::heavy_pieces;

/// Shows the cautions below the table.
pub(super) fn ui(ui: &mut Ui, input: &DemandsInput<'_>) {
    egui::Frame::new().inner_margin(Margin::symmetric(10, 12)).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        ui.strong("Mind");
        if let Some(heavy) = heavy_pieces(&input.figures.rigs, input.kit.limits.thresholds.lift_kg) {
            ui.label(heavy);
        }
        for caution in [
            "All of these are estimates for planning. A maker's rated limits come first.",
            "Lift and carry by your local manual-handling guidance; the heaviest piece of each rig is in the table.",
            "Mains power and batteries outdoors, with dew about: supplies made for it and protected, by your local electrical code.",
            "Never point any of this at the Sun without a certified filter over the full aperture.",
        ] {
            ui.label(RichText::new(caution).weak());
        }
    });
}
