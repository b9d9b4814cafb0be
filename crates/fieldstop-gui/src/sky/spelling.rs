//! Names spelt nearly as somebody wrote them, for where nothing is called so.

use std::borrow::Cow;

use fieldstop::kit::Kit;

use super::catalogue::{Catalogue, Target};
use super::wish::own_targets;

/// The least likeness that is worth an offer: one wrong letter in five, two in ten.
const LEAST_LIKENESS: f64 = 0.78;
/// Shorter words are like too many others.
const SHORTEST: usize = 4;

/// Targets with a name, or a word of one, that is spelt nearly so: by what people call them, and by
/// whatever the person called targets of their own. The most alike first, and of those just as much alike
/// the person's own, then the most prominent. Nothing is like a word of fewer than four letters.
///
/// Likeness is one less the Damerau-Levenshtein distance as a share of the longer text.
pub fn spelt_like<'a>(
    text: &str,
    kit: Option<&Kit>,
    catalogue: &'a Catalogue,
    limit: usize,
) -> Vec<Cow<'a, Target>> {
    let text = text.trim().to_lowercase();
    if text.chars().count() < SHORTEST {
        return Vec::new();
    }
    let is_like = |name: &str| likeness(&text, [name]) >= LEAST_LIKENESS;
    let own = kit.into_iter().flat_map(|kit| own_targets(kit, catalogue, is_like));
    let own = own.map(|target| (likeness(&text, [target.name.as_str()]), 0, target));
    let catalogued = catalogue.by_prominence().map(|(place, target)| {
        let names = target.common_names.iter().map(String::as_str);
        (likeness(&text, names), place.saturating_add(1), Cow::Borrowed(target))
    });
    let mut alike: Vec<(f64, u32, Cow<'a, Target>)> =
        own.chain(catalogued).filter(|(likeness, ..)| *likeness >= LEAST_LIKENESS).collect();
    alike.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    alike.into_iter().take(limit).map(|(.., target)| target).collect()
}

/// Of the name, or word of a name, that is most alike; 0 where none can be alike enough.
fn likeness<'n>(text: &str, names: impl IntoIterator<Item = &'n str>) -> f64 {
    let letters = text.chars().count();
    let of = |word: &str| {
        let count = word.chars().count();
        let (shorter, longer) = (letters.min(count), letters.max(count));
        // No distance is less than the difference in length: most are done with here, and so is a
        // pasted page, which would take its length squared.
        let can_be = count >= SHORTEST && shorter as f64 >= LEAST_LIKENESS * longer as f64;
        if can_be { strsim::normalized_damerau_levenshtein(word, text) } else { 0.0 }
    };
    let best = |name: &str| {
        let name = name.to_lowercase();
        name.split_whitespace().map(of).fold(of(&name), f64::max)
    };
    names.into_iter().map(best).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_keyboard_is_forgiven() {
        let catalogue = Catalogue::embedded().expect("it is embedded");
        let found = |text: &str, limit| spelt_like(text, None, &catalogue, limit);
        for (slip, meant) in [
            ("Andromda", "M 31"),
            ("whirlpol galaxy", "M 51"),
            ("Horsehaed", "B 33"),
            ("Pleides", "M 45"),
        ] {
            let found = found(slip, 3);
            assert!(found.iter().any(|target| target.names().any(|name| name == meant)), "{slip}");
        }
        let long = "nebula ".repeat(20_000);
        for nothing in ["", "ab", "Nowhere Nebula of All", "xyzzyx", &long] {
            assert!(found(nothing, 3).is_empty());
        }
        // Many are just as much alike: as many as asked for, the most prominent first.
        let five: Vec<String> = found("nebulla", 5).iter().map(|t| t.name.clone()).collect();
        let all = found("nebulla", usize::MAX);
        assert_eq!(five.len(), 5);
        let place = |name: &str| {
            let mut places = catalogue.by_prominence().filter(|(_, target)| target.name == name);
            places.next().map(|(place, _)| place)
        };
        assert!(five.windows(2).all(|pair| place(&pair[0]) < place(&pair[1])), "{five:?}");
        assert!(all.len() > 50, "{}", all.len());
    }
}
