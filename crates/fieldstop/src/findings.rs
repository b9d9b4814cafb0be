//! What the figures say, in plain sentences with the numbers in them.
use crate::choice::{Choice, Criterion, Wanted};
use crate::kit::Kit;

/// A figure that a sentence rests on.
#[derive(Clone, Debug, PartialEq)]
pub enum FigureValue {
    /// In the unit that the key names.
    Number(f64),
    /// A name or a word.
    Word(String),
}

/// A sentence with the figures that it was made from.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The sentence.
    pub text: String,
    /// Key and value of every figure in it, in the order of the sentence.
    pub figures: Vec<(String, FigureValue)>,
}

/// All that can be said of a choice.
pub fn findings(
    _kit: &Kit,
    _chosen: usize,
    _wanted: &[Wanted],
    _criteria: &[Criterion],
    _choice: &Choice,
) -> Vec<Finding> {
    Vec::new()
}
