//! The colours of a theme. Each is designed for its ground, none is another one inverted.

use super::primitive::Ink;
use super::style::rig_style;

/// What a palette is for.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
pub enum Ground {
    /// A screen indoors, or a picture: nearly black with a little blue.
    #[default]
    Dark,
    /// A screen by day.
    Light,
    /// White paper, from a printer that may know no colour.
    Paper,
    /// A screen beside a telescope: one hue, no bright pixel.
    Red,
}

/// The colours of a theme.
#[derive(Clone, Debug, PartialEq)]
pub struct Palette {
    /// What it is for.
    pub ground: Ground,
    /// Behind the stars.
    pub sky: Ink,
    /// Around the sky.
    pub page: Ink,
    /// Text that matters.
    pub text: Ink,
    /// Text that explains.
    pub text_quiet: Ink,
    /// Lines that part one thing from another.
    pub rule: Ink,
    /// Lines of the equatorial grid.
    pub grid: Ink,
    /// Their labels.
    pub grid_text: Ink,
    /// Outlines of the catalogue's targets.
    pub target: Ink,
    /// Outlines of the wish list's targets.
    pub wish: Ink,
    /// Outline of the chosen target.
    pub chosen: Ink,
    /// Rim of text on the sky.
    pub halo: Ink,
}

impl Palette {
    /// Nearly black with a little blue.
    pub const fn dark() -> Self {
        Self {
            ground: Ground::Dark,
            sky: Ink::rgb(7, 10, 18),
            page: Ink::rgb(15, 18, 27),
            text: Ink::rgb(226, 230, 238),
            text_quiet: Ink::rgb(150, 158, 174),
            rule: Ink::rgb(50, 57, 74),
            grid: Ink::rgb(30, 40, 62),
            grid_text: Ink::rgb(104, 120, 152),
            target: Ink::rgb(98, 120, 132),
            wish: Ink::rgb(146, 172, 178),
            chosen: Ink::rgb(214, 232, 232),
            halo: Ink([7, 10, 18, 215]),
        }
    }

    /// A bright screen.
    pub const fn light() -> Self {
        Self {
            ground: Ground::Light,
            sky: Ink::rgb(247, 248, 251),
            page: Ink::rgb(255, 255, 255),
            text: Ink::rgb(26, 30, 38),
            text_quiet: Ink::rgb(92, 99, 112),
            rule: Ink::rgb(205, 210, 219),
            grid: Ink::rgb(217, 222, 232),
            grid_text: Ink::rgb(112, 122, 144),
            target: Ink::rgb(140, 158, 166),
            wish: Ink::rgb(88, 114, 124),
            chosen: Ink::rgb(24, 62, 72),
            halo: Ink([247, 248, 251, 225]),
        }
    }

    /// White paper. Every line differs enough from white, and the important ones enough from the
    /// quiet ones, to be told apart in grey.
    pub const fn paper() -> Self {
        Self {
            ground: Ground::Paper,
            sky: Ink::rgb(255, 255, 255),
            page: Ink::rgb(255, 255, 255),
            text: Ink::rgb(12, 14, 18),
            text_quiet: Ink::rgb(74, 79, 89),
            rule: Ink::rgb(140, 146, 156),
            grid: Ink::rgb(176, 184, 197),
            grid_text: Ink::rgb(92, 99, 113),
            target: Ink::rgb(112, 122, 129),
            wish: Ink::rgb(66, 87, 96),
            chosen: Ink::rgb(4, 38, 48),
            halo: Ink([255, 255, 255, 230]),
        }
    }

    /// One hue, no bright pixel.
    pub const fn red() -> Self {
        Self {
            ground: Ground::Red,
            sky: Ink::rgb(6, 0, 0),
            page: Ink::rgb(10, 0, 0),
            text: Ink::rgb(150, 0, 0),
            text_quiet: Ink::rgb(110, 0, 0),
            rule: Ink::rgb(50, 0, 0),
            grid: Ink::rgb(32, 0, 0),
            grid_text: Ink::rgb(84, 0, 0),
            target: Ink::rgb(72, 0, 0),
            wish: Ink::rgb(96, 0, 0),
            chosen: Ink::rgb(140, 0, 0),
            halo: Ink([6, 0, 0, 215]),
        }
    }

    /// Whether marks are darker than the ground.
    pub const fn is_bright(&self) -> bool {
        matches!(self.ground, Ground::Light | Ground::Paper)
    }

    /// A star's colour by its B - V, muted.
    ///
    /// The hues follow a black body's from 30,000 to 3,000 kelvin; saturation is a matter of
    /// taste, so they are a suggestion and not photometry.
    pub fn star(&self, b_v: f32) -> Ink {
        const HUES: [(f32, Ink); 5] = [
            (-0.3, Ink::rgb(182, 203, 255)),
            (0.2, Ink::rgb(232, 238, 255)),
            (0.6, Ink::rgb(255, 246, 232)),
            (1.0, Ink::rgb(255, 228, 196)),
            (1.7, Ink::rgb(255, 204, 158)),
        ];
        let hue = between(&HUES, b_v);
        match self.ground {
            Ground::Dark => hue,
            Ground::Red => Ink::rgb(150, 0, 0),
            // A printed tint would be read as a faint star.
            Ground::Paper => Ink::rgb(10, 12, 16),
            // A tint too pale for white paper is deepened by taking it from the ink.
            Ground::Light => {
                let [red, green, blue, _] = hue.0;
                let least = red.min(green).min(blue);
                let tint = |channel: u8| (channel - least) / 2 + 18;
                Ink::rgb(tint(red), tint(green), tint(blue))
            }
        }
    }

    /// The one colour for the light of a photograph, where it must not keep its own. It is dimmer
    /// than words and frames, which stand over it.
    pub fn photograph(&self) -> Option<Ink> {
        (self.ground == Ground::Red).then_some(Ink::rgb(84, 0, 0))
    }

    /// A rig's colour on this ground.
    pub fn rig(&self, mark: u8) -> Ink {
        const BLACK: Ink = Ink::rgb(0, 0, 0);
        let colour = rig_style(mark).colour;
        match self.ground {
            Ground::Dark if colour == BLACK => Ink::rgb(240, 240, 240),
            Ground::Dark => colour,
            // Too pale to be darkened: it would be yellow no more. It gets a casing.
            Ground::Light if luminance(colour) > PALE => colour,
            Ground::Light => (0..=10)
                .map(|step| colour.mixed(BLACK, f64::from(step) * 0.05))
                .find(|ink| contrast(*ink, self.sky) >= LEAST_CONTRAST)
                .unwrap_or(colour),
            // Yellow too: a casing printed in grey would be another line.
            Ground::Paper => (0..=60)
                .map(|step| colour.mixed(BLACK, f64::from(step) * 0.01))
                .find(|ink| contrast(*ink, self.sky) >= LEAST_CONTRAST)
                .unwrap_or(BLACK),
            // The dash tells the rigs apart here; brightness helps a little.
            Ground::Red => {
                Ink::rgb([150, 120, 136, 108, 144, 114, 128, 100][usize::from(mark % 8)], 0, 0)
            }
        }
    }

    /// The wider line under a rig's, which keeps it clear of what lies behind: the ground's own
    /// colour, or a dark one where the rig's colour is too pale for a bright ground.
    pub fn rig_casing(&self, mark: u8) -> Ink {
        if self.is_bright() && contrast(self.rig(mark), self.sky) < LEAST_CONTRAST {
            return Ink::rgb(84, 80, 70);
        }
        self.sky.with_opacity(0.75)
    }
}

/// For a graphical object on its ground.
///
/// # Source
/// WCAG 2.1, success criterion 1.4.11.
const LEAST_CONTRAST: f64 = 3.0;
/// Luminance above which a colour is not darkened; of the set only yellow has it.
const PALE: f64 = 0.6;

/// Relative luminance, 0 to 1.
///
/// # Source
/// WCAG 2.1, "relative luminance".
pub fn luminance(ink: Ink) -> f64 {
    let linear = |channel: u8| {
        let share = f64::from(channel) / 255.0;
        if share <= 0.040_45 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
    };
    let [red, green, blue, _] = ink.0;
    0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)
}

/// Contrast of two opaque colours, 1 to 21.
///
/// # Source
/// WCAG 2.1, "contrast ratio".
pub fn contrast(one: Ink, other: Ink) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// The colour at a value between listed ones; the ends go on for ever.
fn between(listed: &[(f32, Ink)], value: f32) -> Ink {
    let mut before = listed.first().copied().unwrap_or((0.0, Ink::rgb(255, 255, 255)));
    for &(at, ink) in listed {
        if value < at {
            let share = (value - before.0) / (at - before.0);
            return if at > before.0 { before.1.mixed(ink, f64::from(share)) } else { ink };
        }
        before = (at, ink);
    }
    before.1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn every() -> [Palette; 4] {
        [Palette::dark(), Palette::light(), Palette::paper(), Palette::red()]
    }

    /// WCAG 2.1, success criterion 1.4.3: 4.5 for text. Beside a telescope text is kept dim on
    /// purpose.
    #[test]
    fn text_is_legible_on_its_ground() {
        for palette in every() {
            let least = if palette.ground == Ground::Red { 2.0 } else { 4.5 };
            for ground in [palette.sky, palette.page] {
                assert!(contrast(palette.text, ground) >= least, "{:?}", palette.ground);
                assert!(
                    contrast(palette.text_quiet, ground) >= least.min(4.5) * 0.8,
                    "{:?}",
                    palette.ground
                );
            }
        }
    }

    /// WCAG 2.1, success criterion 1.4.11: 3 for graphical objects, by colour or by casing.
    #[test]
    fn every_rig_stands_out_from_the_sky() {
        for palette in every() {
            let least = if palette.ground == Ground::Red { 1.5 } else { 3.0 };
            for mark in 0..8 {
                let line = contrast(palette.rig(mark), palette.sky);
                let casing = palette.rig_casing(mark);
                let cased = if casing.0[3] == 255 { contrast(casing, palette.sky) } else { 1.0 };
                assert!(line.max(cased) >= least, "{:?}, mark {mark}: {line}", palette.ground);
            }
        }
    }

    /// In grey only lightness is left: what matters more must be darker by a step that is seen.
    /// The steps are ours, no source.
    #[test]
    fn paper_keeps_its_order_in_grey() {
        let paper = Palette::paper();
        let white = Ink::rgb(255, 255, 255);
        let order = [paper.grid, paper.target, paper.wish, paper.chosen];
        let contrasts = order.map(|ink| contrast(ink, white));
        assert!(contrasts[0] > 1.8, "the grid is {} only", contrasts[0]);
        for pair in contrasts.windows(2) {
            assert!(pair[1] > 1.3 * pair[0], "{contrasts:?}");
        }
        assert!((0..8).all(|mark| paper.rig_casing(mark).0[..3] == [255, 255, 255]));
        assert!(contrast(paper.star(0.0), white) > 15.0);
    }

    #[test]
    fn the_red_theme_has_one_hue_and_no_bright_colour() {
        let red = Palette::red();
        let mut inks = vec![red.sky, red.page, red.text, red.text_quiet, red.rule, red.grid];
        inks.extend([red.grid_text, red.target, red.wish, red.chosen, red.halo]);
        inks.extend((0..=255).flat_map(|mark| [red.rig(mark), red.rig_casing(mark)]));
        inks.extend(red.photograph());
        inks.extend([-0.4, 0.0, 0.8, 2.0, f32::NAN].map(|b_v| red.star(b_v)));
        for ink in inks {
            assert!(ink.0[0] <= 150 && ink.0[1] == 0 && ink.0[2] == 0, "{ink:?}");
        }
    }
}
