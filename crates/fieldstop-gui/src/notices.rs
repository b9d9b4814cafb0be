//! What the program says of its sources, of the licences they ask for, and of its limits.

use crate::glossary;
use crate::sources::{BRIGHT_STARS, DEEP_SKY, STARS};

/// Title and text of each notice, in the order shown.
pub fn all() -> Vec<(&'static str, String)> {
    let mut notices: Vec<_> = ALL.iter().map(|&(title, text)| (title, text.to_owned())).collect();
    let words = glossary::ALL.map(|term| format!("{}: {}.", term.word, term.meaning));
    notices.insert(1, ("Words", words.join("\n")));
    notices
}

const ALL: [(&str, &str); 10] = [
    (
        "Cautions",
        "Never point any optics at or near the Sun without a certified full-aperture solar filter.\n\
         Planning figures are estimates; a maker's rated payload and limits come first.\n\
         Heavy rigs: follow local guidance on lifting, and lift the heaviest piece with help.\n\
         Mains electricity, batteries and dew: use outdoor-rated, protected supplies and follow \
         local electrical codes.",
    ),
    (
        "Keys",
        "Arrows turn the chosen frame, with Shift move it, with Ctrl pan the sky. + and − zoom. \
         Ctrl+1 to Ctrl+4 show the views. Ctrl+F finds a target, Ctrl+B turns to the best rotation, Ctrl+M lists mosaic panels, \
         Ctrl+D draws the target's outline: [ and ] choose a corner, arrows move it, with Shift in finer steps, \
         Insert adds one, Delete takes it away, Enter finishes, Escape leaves. \
         Ctrl+E exports a picture, Ctrl+Shift+E a comparison sheet, Ctrl+T a table; Ctrl+I reads a wish list, Ctrl+P puts \
         your own picture under the frames. Alt+↑ and Alt+↓ zoom too, Alt+Home shows every frame. Ctrl+N begins a kit, \
         Ctrl+O opens one, Ctrl+S saves, Ctrl+Shift+S under another name, Ctrl+Q leaves; Ctrl+Z undoes, Ctrl+Shift+Z redoes. Tab goes from \
         control to control; on a handle of the ladder, arrows change the focal length.",
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
