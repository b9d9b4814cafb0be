//! Which rig serves a wish list best, and which serve it as well.
//!
//! Served is yes or no for each target, so several rigs often serve just the same. Of these the one
//! that shows most detail is taken, and where stars are about as wide in all of them the cheapest:
//! otherwise the order of the shortlist would choose the telescope.

use std::cmp::Ordering;

use crate::choice::RigChoice;

/// Delivered widths closer than this share are told apart by nobody. Common practice, no source.
pub const SAME_WIDTH: f64 = 0.05;

/// Why the first of several that serve as much was taken.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Because {
    /// Its stars are the narrowest.
    MostDetail,
    /// It costs least of those that show about the same detail.
    LeastPrice,
    /// Nothing tells them apart, and it stands first in the shortlist.
    FirstOfEquals,
}

/// Those of some rigs that serve most.
#[derive(Clone, Debug, PartialEq)]
pub struct ServingMost<'a> {
    /// The one to take.
    pub first: &'a RigChoice,
    /// The others that serve as much, in the order of the shortlist.
    pub level: Vec<&'a RigChoice>,
    /// Why the first is taken of them.
    pub because: Because,
}

/// Those that serve most, by hours and stars and then by number; where none serves anything, those
/// that take most targets whole. `None` of no rigs.
///
/// # Example
/// See [`crate::choice::Choice::best_rig`], which is the first of all rigs.
pub fn serving_most<'a>(rigs: impl IntoIterator<Item = &'a RigChoice>) -> Option<ServingMost<'a>> {
    let rigs: Vec<&RigChoice> = rigs.into_iter().collect();
    let most = rigs.iter().copied().max_by(|a, b| more(a, b))?;
    let mut level: Vec<&RigChoice> =
        rigs.into_iter().filter(|rig| more(rig, most).is_eq()).collect();
    let (place, because) = choose(&level)?;
    let first = level.remove(place);
    Some(ServingMost { first, level, because })
}

/// Which of two serves more.
fn more(a: &RigChoice, b: &RigChoice) -> Ordering {
    a.served.by_weight(&b.served).then(match a.served.count {
        // Where nothing is served, being whole is at least something.
        0 => a.whole.cmp(&b.whole),
        _ => Ordering::Equal,
    })
}

/// The place of the one to take, of several that serve as much.
fn choose(level: &[&RigChoice]) -> Option<(usize, Because)> {
    let width = |rig: &RigChoice| rig.demands.delivered_fwhm_arcsec;
    let narrowest = level.iter().map(|rig| width(rig)).min_by(f64::total_cmp)?;
    let sharp = |rig: &RigChoice| width(rig) <= narrowest * (1.0 + SAME_WIDTH);
    let mut sharp = level.iter().enumerate().filter(|(_, rig)| sharp(rig));
    let (mut place, first) = sharp.next()?;
    let price = |rig: &RigChoice| rig.demands.price.ok();
    let mut rivals: Vec<Option<f64>> = Vec::new();
    let mut least = price(first);
    for (other, rig) in sharp {
        // An unknown price decides nothing.
        let cheaper = price(rig).zip(least).is_some_and(|(price, least)| price < least);
        if cheaper {
            rivals.push(least);
            (place, least) = (other, price(rig));
        } else {
            rivals.push(price(rig));
        }
    }
    let dearer = |rival: &Option<f64>| rival.zip(least).is_some_and(|(rival, least)| rival > least);
    let because = match rivals.as_slice() {
        [] => Because::MostDetail,
        rivals if rivals.iter().all(dearer) => Because::LeastPrice,
        _ => Because::FirstOfEquals,
    };
    Some((place, because))
}
