//! Shades of the Year view: between a theme's ground and its ink, in one hue.

use egui::{Color32, Visuals};

/// A shade from the ground (0) to the colour (1).
pub(super) fn shade(visuals: &Visuals, colour: Color32, share: f32) -> Color32 {
    visuals.extreme_bg_color.lerp_to_gamma(colour, share.clamp(0.0, 1.0))
}

/// The five depths of a night, from day to darkness.
pub(super) fn depths(visuals: &Visuals) -> [Color32; 5] {
    let (ground, ink) = (visuals.extreme_bg_color, visuals.text_color());
    if visuals.dark_mode {
        [0.42, 0.31, 0.21, 0.11, 0.0].map(|share| ground.lerp_to_gamma(ink, share))
    } else {
        [0.0, 0.08, 0.15, 0.22, 0.32].map(|share| ground.lerp_to_gamma(ink, share))
    }
}
