//! What the figures say, in plain sentences with the numbers in them.
//!
//! A sentence is put together from words and figures; it cannot hold a number that is not one of
//! its figures, and it is only made where the figures bear it out. A figure's key is the way to it:
//! `rigs/Short refractor/whole`, `ranges/M 31/longest_mm`; one that was worked out from others has
//! the sum as its key, `rigs/A/whole - rigs/B/whole`.

mod list;
mod recommended;
mod rigs;

use std::fmt::Write;

use crate::choice::{Choice, Criterion, Wanted};
use crate::kit::Kit;
use crate::wording;

pub(crate) use recommended::recommended;
pub use rigs::face_to_face;

/// A figure that a sentence rests on.
#[derive(Clone, Debug, PartialEq)]
pub enum FigureValue {
    /// In the unit that the key names, unrounded.
    Number(f64),
    /// A name or a word.
    Word(String),
}

/// A sentence with the figures that it was made from.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The sentence.
    pub text: String,
    /// Key and value of every figure it rests on, in the order of the sentence.
    pub figures: Vec<(String, FigureValue)>,
}

impl Finding {
    /// Whether one of its figures is that of a rig.
    pub fn concerns(&self, rig: &str) -> bool {
        let about = format!("rigs/{rig}/");
        self.figures.iter().any(|(key, _)| key.contains(&about))
    }
}

/// All that can be said of a choice, the most telling first.
pub(crate) fn findings(
    kit: &Kit,
    chosen: usize,
    wanted: &[Wanted],
    criteria: &[Criterion],
    choice: &Choice,
) -> Vec<Finding> {
    let mut all = list::best_focal_lengths(kit, chosen, wanted, choice);
    all.extend(rigs::best_rigs(wanted, choice));
    // What rules a rig out comes before what one does better than another.
    all.extend(rigs::what_each_asks(kit, choice));
    all.extend(rigs::spilled(choice));
    all.extend(rigs::against_the_best(kit, choice));
    all.extend(rigs::beaten(criteria, choice));
    all.extend(list::out_of_reach(kit, chosen, wanted, choice));
    all.extend(rigs::planets(kit, choice));
    all
}

/// A sentence in the making.
struct Sentence(Finding);

/// Starts a sentence.
fn say(words: &str) -> Sentence {
    Sentence(Finding { text: words.to_owned(), figures: Vec::new() })
}

impl Sentence {
    fn and(mut self, words: &str) -> Self {
        self.0.text.push_str(words);
        self
    }

    /// A figure, rounded to some decimals in the sentence only.
    fn number(mut self, key: impl Into<String>, value: f64, decimals: usize) -> Self {
        // OK because writing to a text cannot fail.
        let _written = write!(self.0.text, "{value:.decimals$}");
        self.because(key, value)
    }

    /// A figure as it reads elsewhere.
    fn told(mut self, key: impl Into<String>, value: f64, words: &str) -> Self {
        self.0.text.push_str(words);
        self.because(key, value)
    }

    /// A fill.
    fn fill(self, key: impl Into<String>, fill: f64) -> Self {
        self.told(key, fill, &wording::fill(fill))
    }

    /// An amount of money.
    fn money(self, key: impl Into<String>, amount: f64, currency: &str) -> Self {
        self.told(key, amount, &wording::money(amount, currency))
    }

    /// A share, in per cent in the sentence and as it is among the figures.
    fn per_cent(mut self, key: impl Into<String>, share: f64) -> Self {
        // OK because writing to a text cannot fail.
        let _written = write!(self.0.text, "{:.0} %", 100.0 * share);
        self.because(key, share)
    }

    /// A name or a word that is a figure.
    fn word(mut self, key: impl Into<String>, word: &str) -> Self {
        self.0.text.push_str(word);
        self.0.figures.push((key.into(), FigureValue::Word(word.to_owned())));
        self
    }

    /// A figure that the sentence rests on without naming it.
    fn because(mut self, key: impl Into<String>, value: f64) -> Self {
        self.0.figures.push((key.into(), FigureValue::Number(value)));
        self
    }

    fn end(mut self) -> Finding {
        self.0.text.push('.');
        self.0
    }
}

/// Adds items to a sentence with commas and an "and", each with what `with` says of it.
fn list_of<T>(
    mut sentence: Sentence,
    items: &[T],
    with: impl Fn(Sentence, &T) -> Sentence,
) -> Sentence {
    for (place, item) in items.iter().enumerate() {
        if place > 0 {
            sentence = sentence.and(if place + 1 == items.len() { " and " } else { ", " });
        }
        sentence = with(sentence, item);
    }
    sentence
}

/// `one` for 1, `many` for all else.
fn plural(count: u32, one: &'static str, many: &'static str) -> &'static str {
    if count == 1 { one } else { many }
}
