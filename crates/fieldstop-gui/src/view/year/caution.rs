//! The warning that stands beside a figure wherever the Sun could be pointed at.

use egui::{RichText, Ui};
use fieldstop::sun_moon::SunCaution;

use crate::words;

/// Shows it, if there is one.
pub(super) fn ui(ui: &mut Ui, caution: Option<SunCaution>) {
    if let Some(caution) = caution {
        let text = format!("Caution: {}", words::sun_caution(caution));
        ui.label(RichText::new(text).color(ui.visuals().warn_fg_color));
    }
}
