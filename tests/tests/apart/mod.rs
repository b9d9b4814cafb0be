//! Whether names that are drawn on the sky can be told from each other.

use fieldstop_gui::scene::primitive::TextMark;

/// On one line, names this near to each other read as one: twice the width of a space and more.
/// As a share of the size of the letters; common practice, no source.
const LEAST_BETWEEN: f64 = 0.6;

/// Only words on the sky have a rim. Lines of one label stand under each other, so no two of them
/// are on one line.
pub(crate) fn names_on_the_sky_stay_apart(texts: &[TextMark], what: &str) {
    let names: Vec<&TextMark> = texts.iter().filter(|text| text.halo.is_some()).collect();
    for (place, name) in names.iter().enumerate() {
        let here = name.bounds();
        for other in &names[..place] {
            let there = other.bounds();
            let on_one_line = here.top < there.bottom && there.top < here.bottom;
            let between = (there.left - here.right).max(here.left - there.right);
            let least = LEAST_BETWEEN * name.size_pt.min(other.size_pt);
            assert!(
                !on_one_line || between >= least,
                "{what}: {:?} and {:?} are {between:.1} points apart; expected {least:.1}",
                name.text,
                other.text
            );
        }
    }
}
