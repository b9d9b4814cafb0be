//! Runs a target: what is kept first, then cases without end until there were enough.

use std::env;
use std::fmt::Debug;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Duration, Instant};

use crate::random::Random;

/// One reader or one piece of mathematics.
pub(crate) struct Target<'a, Case> {
    pub(crate) name: &'static str,
    /// Cases of the short form, a second or so.
    pub(crate) short: u64,
    /// Cases that are always tried.
    pub(crate) first: &'a [Case],
    pub(crate) make: &'a dyn Fn(&mut Random) -> Case,
    /// Panics where something is wrong.
    pub(crate) judge: &'a dyn Fn(&Case),
}

fn number(name: &str) -> Option<u64> {
    env::var(name)
        .ok()
        .map(|text| text.parse().unwrap_or_else(|_| panic!("{name}: expected a whole number")))
}

/// Runs a target and says how far it came. `CASES`, `SECONDS` and `SEED` make it longer and another
/// one; a case that panics is printed with the seed that makes it again.
pub(crate) fn drive<Case: Debug>(target: &Target<'_, Case>) {
    let seed = number("SEED").unwrap_or(1);
    let most = number("CASES").unwrap_or(target.short);
    let until = number("SECONDS").map(|seconds| Instant::now() + Duration::from_secs(seconds));
    for case in target.first {
        judged(target, case, "kept");
    }
    let mut done = 0;
    while done < most && until.is_none_or(|until| Instant::now() < until) {
        // Every case has a seed of its own, so that it is made again without those before it.
        let own = seed.wrapping_mul(0x1_0000_0001).wrapping_add(done);
        let case = (target.make)(&mut Random::new(own));
        judged(target, &case, &format!("SEED={seed}, case {done}"));
        done += 1;
    }
    println!("fuzz|{}|{done} cases|seed {seed}", target.name);
    assert!(done > 0, "no case was tried");
}

fn judged<Case: Debug>(target: &Target<'_, Case>, case: &Case, which: &str) {
    if let Err(panic) = catch_unwind(AssertUnwindSafe(|| (target.judge)(case))) {
        let why = panic
            .downcast_ref::<String>()
            .map(String::as_str)
            .or(panic.downcast_ref::<&str>().copied())
            .unwrap_or("a panic without words");
        if let Ok(folder) = env::var("FOUND") {
            let file = format!("{folder}/{}", target.name);
            drop(std::fs::write(file, format!("{which}\n{why}\n{case:?}\n")));
        }
        let shown: String = format!("{case:?}").chars().take(2000).collect();
        panic!("{} ({which}): {why}\n{shown}", target.name);
    }
}
