//! Names spelt nearly as somebody wrote them, for where nothing is called so.

use super::catalogue::{Catalogue, Target};

/// The least likeness that is worth an offer: one wrong letter in five, two in ten.
const LEAST_LIKENESS: f64 = 0.78;
/// Shorter words are like too many others.
const SHORTEST: usize = 4;

impl Catalogue {
    /// Targets with a common name, or a word of one, that is spelt nearly so; the most alike first, and
    /// of those just as much alike the most prominent. Nothing is like a word of less than four letters.
    ///
    /// Likeness is the Damerau-Levenshtein distance as a share of the longer word.
    pub fn spelt_like(&self, text: &str, limit: usize) -> Vec<&Target> {
        let text = text.trim().to_lowercase();
        if text.chars().count() < SHORTEST {
            return Vec::new();
        }
        let likeness = |target: &Target| {
            let names = target.common_names.iter().map(|name| name.to_lowercase());
            let best = |name: String| {
                let words = name.split_whitespace().filter(|word| word.chars().count() >= SHORTEST);
                let each = words.map(|word| strsim::normalized_damerau_levenshtein(word, &text));
                each.fold(strsim::normalized_damerau_levenshtein(&name, &text), f64::max)
            };
            names.map(best).fold(0.0, f64::max)
        };
        let mut alike: Vec<(f64, u32, &Target)> = self
            .by_prominence()
            .map(|(place, target)| (likeness(target), place, target))
            .filter(|(likeness, ..)| *likeness >= LEAST_LIKENESS)
            .collect();
        alike.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        alike.into_iter().take(limit).map(|(.., target)| target).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_keyboard_is_forgiven() {
        let catalogue = Catalogue::embedded().expect("it is embedded");
        for (slip, meant) in [
            ("Andromda", "M 31"),
            ("whirlpol galaxy", "M 51"),
            ("Horsehaed", "B 33"),
            ("Pleides", "M 45"),
        ] {
            let found = catalogue.spelt_like(slip, 3);
            assert!(
                found.iter().any(|target| target.names().any(|n| n == meant)),
                "{slip}: {found:?}"
            );
        }
        for nothing in ["", "ab", "Nowhere Nebula of All", "xyzzyx", "\u{301}\u{301}\u{301}\u{301}"]
        {
            assert!(catalogue.spelt_like(nothing, 3).is_empty(), "{nothing}");
        }
        assert!(catalogue.spelt_like("nebula", 5).len() <= 5);
    }
}
