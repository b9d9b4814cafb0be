//! The trade's words, each in a plain sentence: one list for the window and for what is printed.

/// A word that a newcomer may not know.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Term {
    /// As it heads its meaning.
    pub word: &'static str,
    /// What tells that it stands in a text, in small letters.
    pub signs: &'static [&'static str],
    /// In plain words.
    pub meaning: &'static str,
}

const fn term(word: &'static str, signs: &'static [&'static str], meaning: &'static str) -> Term {
    Term { word, signs, meaning }
}

/// All of them, in the order in which they are met.
pub const ALL: [Term; 26] = [
    term("Rig", &["rig"], "telescope, corrector, camera and mount as they are used together"),
    term("OTA", &["ota"], "optical tube assembly: the telescope without its mount"),
    term(
        "Corrector",
        &["corrector"],
        "reducer, flattener, coma corrector or Barlow before the camera",
    ),
    term("Field of view", &["field of view"], "how much sky the sensor sees, across and down"),
    term("Focal ratio", &["focal ratio"], "focal length over aperture; a small number is fast"),
    term("Pixel scale", &["pixel scale"], "how much sky one pixel sees, in seconds of arc"),
    term(
        "Fill",
        &["fill"],
        "size of a target's outline against the frame at its best rotation; 1 touches the edge",
    ),
    term("Whole", &["whole"], "a fill up to the kit's limit"),
    term("Tight", &["tight"], "a fill from there up to 1"),
    term("Spills", &["spill"], "a fill over 1: one picture does not hold it"),
    term("Panel", &["panel"], "one picture of several that are joined to a mosaic"),
    term(
        "FWHM",
        &["fwhm"],
        "full width at half maximum: how wide a star is at half its brightness",
    ),
    term("Seeing", &["seeing"], "how wide the air alone makes a star, as FWHM"),
    term(
        "Resolution element",
        &["resolution element", "detail"],
        "a patch as wide as a star comes out; detail counts how many fit across a target",
    ),
    term("Served", &["serve"], "whole, with at least the detail wanted"),
    term("Small", &["small"], "whole or tight, with less detail than wanted"),
    term("RMS", &["rms"], "root mean square: the usual size of the guiding error"),
    term(
        "Back focus",
        &["back focus", "spacer"],
        "the distance that a corrector wants to the sensor",
    ),
    term(
        "Image circle",
        &["image circle"],
        "diameter of the circle that the telescope lights where the sensor is",
    ),
    term("Coma", &["coma"], "stars away from the middle of the field drawn out like comets"),
    term("Depth of focus", &["depth of focus"], "how far the focus may be off before stars widen"),
    term("Sub-exposure", &["sub-exposure"], "one of the many exposures that are added up"),
    term(
        "Airmass",
        &["airmass"],
        "how much air the light comes through: 1 at the zenith, 2 at 30° altitude",
    ),
    term("Extinction", &["extinction"], "how much light the air takes, in magnitudes per airmass"),
    term(
        "mag/arcsec²",
        &["mag/arcsec²"],
        "brightness of a patch of sky; a larger number is darker",
    ),
    term(
        "Ladder",
        &["ladder"],
        "an axis of focal lengths; a target's bar is thick where it suits the target, thin where it is only whole",
    ),
];

/// Those that stand in a text.
pub fn in_text(text: &str) -> impl Iterator<Item = &'static Term> {
    let text = text.to_lowercase();
    ALL.iter().filter(move |term| term.signs.iter().any(|sign| holds(&text, sign)))
}

/// Whether a text has this, at the start of a word.
fn holds(text: &str, sign: &str) -> bool {
    text.match_indices(sign).any(|(at, _)| {
        // OK because a match begins between two letters.
        !text[..at].ends_with(char::is_alphanumeric)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_is_known_by_its_beginning_and_only_whole() {
        let found = |text: &str| in_text(text).map(|term| term.word).collect::<Vec<_>>();
        assert_eq!(found("Takes 4 panels at a total of 9."), ["Panel"]);
        assert_eq!(found("The original brigade"), Vec::<&str>::new());
        assert_eq!(found("Delivered FWHM: spills"), ["Spills", "FWHM"]);
    }
}
