//! What is asked of figures: that they are numbers, and where one is promised, finite ones.

use std::fmt::Debug;

use fieldstop::Frame;
use fieldstop::fit::Fit;
use fieldstop::why::{Known, Why};

use crate::drive::{Make, Target, drive};

/// Runs a target that has no kept cases.
pub(crate) fn check<Case: Debug + Send + Sync>(
    name: &'static str,
    short: u64,
    make: Make<'_, Case>,
    judge: &(dyn Fn(&Case) + Sync),
) {
    drive(&Target { name, short, first: &[], make, judge });
}

pub(crate) fn is_number(what: &str, number: f64) {
    assert!(!number.is_nan(), "{what} is no number");
}

pub(crate) fn is_finite(what: &str, number: f64) {
    assert!(number.is_finite(), "{what} is {number}");
}

/// Neither NaN nor an infinity in anything that is printed with all its parts. Dear.
pub(crate) fn is_sound(what: &str, value: &impl Debug) {
    let words = format!("{value:?}");
    assert!(!words.contains("NaN") && !words.contains("inf"), "{what}: {words}");
}

pub(crate) fn is_frame(frame: &Frame) {
    let [x, y, z] = frame.centre.xyz();
    let numbers = [x, y, z, frame.rotation.rad(), frame.field.half_width, frame.field.half_height];
    assert!(numbers.iter().all(|number| number.is_finite()), "{frame:?}");
}

/// The fill is infinite for an outline of 180 degrees and more, as promised.
pub(crate) fn is_fit(fit: &Fit) {
    is_number("fill", fit.fill.unwrap_or(0.0));
    is_finite("best rotation", fit.best_rotation.rad());
}

pub(crate) fn is_known(what: &str, known: Known<f64>) {
    match known {
        Ok(number) => is_finite(what, number),
        Err(why) => assert_ne!(why, Why::OutOfReach, "{what}"),
    }
}
