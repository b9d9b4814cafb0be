//! The warning that stands beside a figure wherever the Sun could be pointed at.

use egui::{RichText, Ui};
use fieldstop::sun_moon::SunCaution;

/// The warning in words.
pub(super) fn words(caution: SunCaution) -> &'static str {
    match caution {
        SunCaution::NearSun => {
            "Within 20° of the Sun. Never point any optics at or near the Sun without a certified \
             full-aperture solar filter."
        }
        SunCaution::SunIsUp => {
            "The Sun is up then. Never point any optics at or near the Sun without a certified \
             full-aperture solar filter."
        }
    }
}

/// Shows it, if there is one.
pub(super) fn ui(ui: &mut Ui, caution: Option<SunCaution>) {
    if let Some(caution) = caution {
        ui.label(RichText::new(format!("⚠ {}", words(caution))).color(ui.visuals().warn_fg_color));
    }
}
