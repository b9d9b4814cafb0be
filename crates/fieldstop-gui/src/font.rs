//! The one bundled font: its bytes, the width of a line of text, and its place in egui.
//!
//! Screen, PNG and every other picture use these two files, which hold no kerning, so a line of
//! text is equally long in all of them. Licence and origin: `assets/fonts/README.md`.

use std::sync::{Arc, LazyLock};

use ab_glyph::{Font, FontRef};
use egui::{FontData, FontDefinitions, FontFamily};

/// Noto Sans, the regular weight, a TrueType file.
pub const REGULAR_TTF: &[u8] = include_bytes!("../../../assets/fonts/NotoSans-Regular.ttf");
/// Noto Sans, the semi-bold weight, a TrueType file.
pub const HEAVY_TTF: &[u8] = include_bytes!("../../../assets/fonts/NotoSans-SemiBold.ttf");

/// The one change of weight.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
pub enum Weight {
    /// Running text and numbers.
    #[default]
    Regular,
    /// Names and headings.
    Heavy,
}

/// A parsed font, with the advances of the common characters at hand.
struct Face {
    font: FontRef<'static>,
    /// In shares of the font size, for the characters below [`TABLED`].
    advances: Vec<f32>,
}

/// Latin, Greek and Cyrillic lie below; the rest is looked up each time.
const TABLED: u32 = 0x500;

impl Face {
    fn new(ttf: &'static [u8]) -> Self {
        #[expect(clippy::expect_used, reason = "the bytes are fixed when the program is built")]
        // OK because a test parses the very same bytes.
        let font = FontRef::try_from_slice(ttf).expect("the bundled font parses");
        let advance = |code| char::from_u32(code).map_or(0.0, |c| advance_per_size(&font, c));
        Self { advances: (0..TABLED).map(advance).collect(), font }
    }

    fn advance(&self, character: char) -> f32 {
        let tabled = self.advances.get(character as usize).copied();
        tabled.unwrap_or_else(|| advance_per_size(&self.font, character))
    }
}

fn advance_per_size(font: &FontRef<'_>, character: char) -> f32 {
    let per_em = font.units_per_em().unwrap_or(1000.0);
    font.h_advance_unscaled(font.glyph_id(character)) / per_em
}

static FACES: LazyLock<[Face; 2]> =
    LazyLock::new(|| [Face::new(REGULAR_TTF), Face::new(HEAVY_TTF)]);

fn face(weight: Weight) -> &'static Face {
    let [regular, heavy] = &*FACES;
    match weight {
        Weight::Regular => regular,
        Weight::Heavy => heavy,
    }
}

/// The parsed font, for painters that draw outlines.
pub(crate) fn outlines(weight: Weight) -> &'static FontRef<'static> {
    &face(weight).font
}

/// How far the pen moves on for one character, in the unit of `size`.
pub(crate) fn advance(character: char, size: f32, weight: Weight) -> f32 {
    face(weight).advance(character) * size
}

/// Length of a line of text, in the unit of `size_pt` (the side of the em square).
pub fn text_width(text: &str, size_pt: f32, weight: Weight) -> f32 {
    let face = face(weight);
    text.chars().map(|character| face.advance(character)).sum::<f32>() * size_pt
}

/// Height of a capital letter above its baseline, as a share of the font size.
pub const CAPITAL_HEIGHT: f32 = 0.714;
/// How far letters such as g reach below the baseline, as a share of the font size.
pub const DESCENT: f32 = 0.24;

/// egui's name for the heavier weight.
pub fn heavy_family() -> FontFamily {
    FontFamily::Name("heavy".into())
}

/// egui's name for a weight.
pub fn family(weight: Weight) -> FontFamily {
    match weight {
        Weight::Regular => FontFamily::Proportional,
        Weight::Heavy => heavy_family(),
    }
}

/// egui's fonts with the bundled one first, egui's own behind it for signs that it lacks.
pub fn egui_fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::default();
    let fallbacks = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    for (name, ttf, family) in [
        ("Noto Sans", REGULAR_TTF, FontFamily::Proportional),
        ("Noto Sans SemiBold", HEAVY_TTF, heavy_family()),
    ] {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(ttf)));
        let order = std::iter::once(name.to_owned()).chain(fallbacks.iter().cloned());
        fonts.families.insert(family, order.collect());
    }
    fonts
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::*;

    #[test]
    fn both_weights_parse_and_have_tabular_digits() {
        for weight in [Weight::Regular, Weight::Heavy] {
            let zero = advance('0', 1.0, weight);
            assert!(zero > 0.4);
            for digit in '1'..='9' {
                assert!((advance(digit, 1.0, weight) - zero).abs() < 1e-6, "{digit}");
            }
        }
    }

    #[test]
    fn the_signs_that_figures_need_are_in_the_font() {
        for weight in [Weight::Regular, Weight::Heavy] {
            for sign in "′″°×±→←↑↓≤≥−²³…·–—≈½α–ωΔЖŁşőé✓●○■▲▼".chars()
            {
                assert!(outlines(weight).glyph_id(sign).0 != 0, "{sign}");
            }
        }
    }

    #[test]
    fn egui_measures_as_we_do() {
        let context = egui::Context::default();
        context.set_fonts(egui_fonts());
        let mut width = 0.0;
        let text = "NGC 7000 · 3.8° × 2.6° at 2.30″/px";
        // Fonts take effect in the frame after they are set.
        for _ in 0..2 {
            let mut output = context.run_ui(egui::RawInput::default(), |ui| {
                let font = egui::FontId::new(40.0, FontFamily::Proportional);
                let galley = ui.painter().layout_no_wrap(text.into(), font, egui::Color32::WHITE);
                width = galley.size().x;
            });
            output.textures_delta.clear();
        }
        let ours = text_width(text, 40.0, Weight::Regular);
        assert!((width - ours).abs() < 0.02 * ours, "egui {width}, here {ours}");
    }
}
