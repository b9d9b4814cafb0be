//! The window's colours and measures: dark, light, and a dim red for use beside a telescope.

use egui::{Color32, CornerRadius, FontId, Stroke, Style, TextStyle, Vec2, Visuals};

use crate::scene::palette::Palette;
use crate::state::ThemeChoice;

/// The seven tones a theme is made of, from the ground up.
struct Tones {
    dark: bool,
    ground: Color32,
    panel: Color32,
    raised: Color32,
    hovered: Color32,
    line: Color32,
    text: Color32,
    strong: Color32,
    chosen: Color32,
    warning: Color32,
}

const fn grey(r: u8, g: u8, b: u8) -> Color32 {
    Color32::from_rgb(r, g, b)
}

fn tones(theme: ThemeChoice) -> Tones {
    match theme {
        ThemeChoice::Dark => Tones {
            dark: true,
            ground: grey(11, 14, 20),
            panel: grey(20, 24, 32),
            raised: grey(34, 40, 51),
            hovered: grey(47, 55, 69),
            line: grey(58, 66, 82),
            text: grey(205, 211, 222),
            strong: grey(245, 247, 251),
            chosen: grey(38, 60, 86),
            warning: grey(240, 176, 96),
        },
        ThemeChoice::Light => Tones {
            dark: false,
            ground: grey(255, 255, 255),
            panel: grey(243, 244, 246),
            raised: grey(226, 229, 234),
            hovered: grey(212, 217, 225),
            line: grey(176, 183, 194),
            text: grey(42, 48, 58),
            strong: grey(8, 11, 16),
            chosen: grey(196, 216, 240),
            warning: grey(148, 76, 0),
        },
        ThemeChoice::Red => Tones {
            dark: true,
            ground: grey(6, 0, 0),
            panel: grey(16, 0, 0),
            raised: grey(34, 0, 0),
            hovered: grey(50, 0, 0),
            line: grey(60, 0, 0),
            text: grey(128, 0, 0),
            strong: grey(158, 0, 0),
            chosen: grey(56, 0, 0),
            warning: grey(158, 0, 0),
        },
    }
}

/// The theme's colours of the sky and what is drawn on it.
pub fn palette(theme: ThemeChoice) -> Palette {
    match theme {
        ThemeChoice::Dark => Palette::dark(),
        ThemeChoice::Light => Palette::light(),
        ThemeChoice::Red => Palette::red(),
    }
}

/// Gives the window a theme.
pub fn apply(ctx: &egui::Context, theme: ThemeChoice) {
    let base = if theme == ThemeChoice::Light { egui::Theme::Light } else { egui::Theme::Dark };
    ctx.set_theme(base);
    let tones = tones(theme);
    ctx.all_styles_mut(|style| set_style(style, &tones));
}

fn set_style(style: &mut Style, tones: &Tones) {
    style.visuals = visuals(tones);
    style.animation_time = 0.1;
    style.spacing.item_spacing = Vec2::new(8.0, 5.0);
    style.spacing.button_padding = Vec2::new(8.0, 3.0);
    style.spacing.interact_size = Vec2::new(36.0, 22.0);
    style.spacing.menu_width = 240.0;
    style.spacing.tooltip_width = 320.0;
    // Two sizes and one change of weight, no more.
    for (text_style, size) in [
        (TextStyle::Small, 11.5),
        (TextStyle::Body, 13.5),
        (TextStyle::Button, 13.5),
        (TextStyle::Monospace, 13.5),
        (TextStyle::Heading, 13.5),
    ] {
        style.text_styles.insert(text_style, FontId::proportional(size));
    }
}

fn visuals(tones: &Tones) -> Visuals {
    let mut visuals = if tones.dark { Visuals::dark() } else { Visuals::light() };
    let radius = CornerRadius::same(4);
    let widgets = &mut visuals.widgets;
    for (state, fill, ink) in [
        (&mut widgets.noninteractive, tones.panel, tones.text),
        (&mut widgets.inactive, tones.raised, tones.text),
        (&mut widgets.hovered, tones.hovered, tones.strong),
        (&mut widgets.active, tones.hovered, tones.strong),
        (&mut widgets.open, tones.hovered, tones.strong),
    ] {
        state.bg_fill = fill;
        state.weak_bg_fill = fill;
        state.fg_stroke = Stroke::new(1.0, ink);
        state.bg_stroke = Stroke::new(1.0, tones.line);
        state.corner_radius = radius;
        state.expansion = 0.0;
    }
    widgets.active.bg_stroke = Stroke::new(1.5, tones.strong);
    visuals.selection.bg_fill = tones.chosen;
    visuals.selection.stroke = Stroke::new(1.0, tones.strong);
    visuals.weak_text_color = Some(tones.text.gamma_multiply(0.72));
    visuals.hyperlink_color = tones.strong;
    visuals.panel_fill = tones.panel;
    visuals.window_fill = tones.panel;
    visuals.window_stroke = Stroke::new(1.0, tones.line);
    visuals.faint_bg_color = tones.raised.gamma_multiply(0.5);
    visuals.extreme_bg_color = tones.ground;
    visuals.text_edit_bg_color = Some(tones.ground);
    visuals.code_bg_color = tones.raised;
    visuals.warn_fg_color = tones.warning;
    visuals.error_fg_color = tones.warning;
    visuals
}
