//! What the program says of its sources, of the licences they ask for, and of its limits.

use crate::glossary;
use crate::sources::{BRIGHT_STARS, DEEP_SKY, STARS};

/// What each key does, in the order shown.
pub const KEYS: [(&str, &str); 27] = [
    ("Ctrl+1 to Ctrl+4", "show Frame, Year, Demands, Choose"),
    ("Ctrl+F", "finds a target"),
    ("Arrows", "turn the chosen frame"),
    ("Shift+arrows", "move the chosen frame"),
    ("Ctrl+arrows", "pan the sky"),
    ("+ and −, Alt+↑ and Alt+↓", "zoom"),
    ("Alt+Home", "shows every frame"),
    ("Ctrl+B", "turns the chosen frame to its best rotation"),
    ("Ctrl+M", "lists mosaic panels"),
    ("Ctrl+P", "puts your own picture under the frames"),
    ("Ctrl+D", "draws the target's outline, or ends that"),
    ("[ and ]", "choose a corner of an outline that is drawn; arrows move it, with Shift less"),
    ("Insert, Delete", "add a corner, take one away"),
    ("Enter, Escape", "finish the outline, leave it"),
    ("Ctrl+Z, Ctrl+Shift+Z", "undo, redo"),
    ("Ctrl+S, Ctrl+Shift+S", "save the kit, save it under another name"),
    ("Ctrl+O", "opens a kit"),
    ("Ctrl+N", "begins a kit"),
    ("Ctrl+E", "exports a picture"),
    ("Ctrl+Shift+E", "makes a comparison sheet"),
    ("Ctrl+T", "exports a table"),
    ("Ctrl+I", "reads a wish list from a file"),
    ("Tab, Shift+Tab", "go from control to control"),
    ("Arrows left and right", "change the focal length, on a handle of the ladder"),
    ("Escape", "closes a window over the view"),
    ("F1", "shows and hides this"),
    ("Ctrl+Q", "leaves"),
];

/// Title and text of each notice, in the order shown.
pub fn all() -> Vec<(&'static str, String)> {
    let mut notices: Vec<_> = ALL.iter().map(|&(title, text)| (title, text.to_owned())).collect();
    let words = glossary::ALL.map(|term| format!("{}: {}.", term.word, term.meaning));
    notices.insert(1, ("Words", words.join("\n")));
    notices
}

const ALL: [(&str, &str); 9] = [
    (
        "Cautions",
        "Never point any optics at or near the Sun without a certified full-aperture solar filter.\n\
         Planning figures are estimates; a maker's rated payload and limits come first.\n\
         Heavy rigs: follow local guidance on lifting, and lift the heaviest piece with help.\n\
         Mains electricity, batteries and dew: use outdoor-rated, protected supplies and follow \
         local electrical codes.",
    ),
    (
        "What is synthetic",
        "Stars fainter than V 9.5 are synthetic: a star-count model says how many there are, and a \
         fixed seed where. They show how crowded a field is, not which stars are in it.",
    ),
    (
        "Times and hours",
        "Nights run from local noon to local noon by the site's time zone. Hours in the dark count \
         with the Sun's centre 18 degrees below the horizon, the target above the site's limit and \
         the Moon's centre below 0 degrees, all without refraction; altitudes shown for a moment \
         include it. The Earth's turning is taken from UTC (UT1 = UTC), which is true to 0.9 second \
         while leap seconds are kept; beyond their list the last difference stays, and by 2100 every \
         time may be off by a minute or two.",
    ),
    ("Sky data: objects", DEEP_SKY.whole),
    ("Sky data: stars", STARS.whole),
    ("Sky data: bright stars", BRIGHT_STARS.whole),
    (
        "Constellations",
        "Boundaries: N. G. Roman 1987, PASP 99, 695, CDS catalogue VI/42, as carried by astropy \
         (BSD 3-Clause).",
    ),
    (
        "Astronomy routines",
        "Precession and the galactic frame are computed with sofars, a translation of the IAU SOFA \
         collection. This software uses computations derived from software provided by the \
         International Astronomical Union's SOFA Board under its licence, and is not itself \
         software provided, endorsed or licensed by SOFA. Routines have been translated and \
         renamed.",
    ),
    (
        "Font and licence",
        "Noto Sans, SIL Open Font License 1.1. The program's own code is licensed MIT OR \
         Apache-2.0; the sky data keep their own licences.",
    ),
];

#[cfg(test)]
mod tests {
    use egui::{Key, Modifiers};

    use super::KEYS;
    use crate::action::Action;

    #[test]
    fn every_key_of_the_window_is_listed() {
        for action in Action::with_shortcuts() {
            let keys = action.shortcut().map(|keys| {
                let held = [
                    (Modifiers::ALT, "Alt+"),
                    (Modifiers::COMMAND, "Ctrl+"),
                    (Modifiers::SHIFT, "Shift+"),
                ];
                let held =
                    held.map(|(one, name)| if keys.modifiers.contains(one) { name } else { "" });
                let key = match keys.logical_key {
                    Key::ArrowUp => "↑",
                    Key::ArrowDown => "↓",
                    // Named by the first and the last of them.
                    Key::Num2 | Key::Num3 => "1",
                    other => other.name(),
                };
                held.concat() + key
            });
            let listed = keys.as_deref().is_some_and(|keys| {
                KEYS.iter().any(|(known, _)| known.split([' ', ',']).any(|one| one == keys))
            });
            assert!(listed, "{keys:?} for {action:?}");
        }
    }
}
