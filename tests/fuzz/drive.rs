//! Runs a target: what is kept first, then cases without end until there were enough.

use std::env;
use std::fmt::Debug;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use crate::random::Random;

/// Makes a case from its number and its random numbers. What is dear to make may be shared by
/// neighbours, if it follows from the number alone.
pub(crate) type Make<'a, Case> = &'a (dyn Fn(u64, &mut Random) -> Case + Sync);

/// One reader or one piece of mathematics.
pub(crate) struct Target<'a, Case> {
    pub(crate) name: &'static str,
    /// Cases of the short form, a second or so.
    pub(crate) short: u64,
    /// Cases that are always tried.
    pub(crate) first: &'a [Case],
    pub(crate) make: Make<'a, Case>,
    /// Panics where something is wrong.
    pub(crate) judge: &'a (dyn Fn(&Case) + Sync),
}

/// Neighbours that one thread takes at a time.
const CHUNK: u64 = 256;

fn number(name: &str) -> Option<u64> {
    env::var(name)
        .ok()
        .map(|text| text.parse().unwrap_or_else(|_| panic!("{name}: expected a whole number")))
}

/// How long a run is, and how wide.
struct Run {
    seed: u64,
    /// Numbers of the cases.
    numbers: std::ops::Range<u64>,
    until: Option<Instant>,
    threads: usize,
}

impl Run {
    fn of(short: u64) -> Self {
        let (from, cases, seconds) =
            (number("FROM").unwrap_or(0), number("CASES"), number("SECONDS"));
        let endless = if seconds.is_some() { u64::MAX } else { short };
        // The short form is one test among many, which fill the cores already.
        let is_long = cases.is_some() || seconds.is_some();
        let usual =
            if is_long { thread::available_parallelism().map_or(1, usize::from) } else { 1 };
        Self {
            seed: number("SEED").unwrap_or(1),
            numbers: from..from.saturating_add(cases.unwrap_or(endless)),
            until: seconds.map(|seconds| Instant::now() + Duration::from_secs(seconds)),
            threads: number("THREADS").map_or(usual, |threads| threads.clamp(1, 64) as usize),
        }
    }

    fn is_over(&self) -> bool {
        self.until.is_some_and(|until| Instant::now() >= until)
    }
}

/// Runs a target and says how far it came. `CASES`, `SECONDS`, `SEED` and `THREADS` make it longer,
/// another one, and wider. A case that panics is printed with its seed and number: with these as
/// `SEED` and `FROM`, and `CASES=1`, it alone is made again.
pub(crate) fn drive<Case: Debug + Send + Sync>(target: &Target<'_, Case>) {
    let run = Run::of(target.short);
    let start = Instant::now();
    for case in target.first {
        if let Err(why) = judged(target, case) {
            fail(target.name, "kept", &why, case);
        }
    }
    let (next, done, stop) =
        (AtomicU64::new(run.numbers.start), AtomicU64::new(0), AtomicBool::new(false));
    let found: Mutex<Option<(u64, String, Case)>> = Mutex::new(None);
    thread::scope(|scope| {
        for _ in 0..run.threads {
            scope.spawn(|| {
                while !stop.load(Ordering::Relaxed) && !run.is_over() {
                    let first = next.fetch_add(CHUNK, Ordering::Relaxed);
                    if first >= run.numbers.end {
                        return;
                    }
                    for number in first..run.numbers.end.min(first.saturating_add(CHUNK)) {
                        // Every case has a seed of its own, so that it is made again without those before it.
                        let own = run.seed.wrapping_mul(0x1_0000_0001).wrapping_add(number);
                        let case = (target.make)(number, &mut Random::new(own));
                        let verdict = judged(target, &case);
                        done.fetch_add(1, Ordering::Relaxed);
                        if let Err(why) = verdict {
                            stop.store(true, Ordering::Relaxed);
                            let mut found = found.lock().unwrap_or_else(PoisonError::into_inner);
                            if found.as_ref().is_none_or(|(before, ..)| number < *before) {
                                *found = Some((number, why, case));
                            }
                            return;
                        }
                    }
                }
            });
        }
    });
    if let Some((number, why, case)) = found.into_inner().unwrap_or_else(PoisonError::into_inner) {
        fail(target.name, &format!("SEED={}, case {number}", run.seed), &why, &case);
    }
    let (done, seconds) = (done.into_inner(), start.elapsed().as_secs_f64());
    println!("fuzz|{}|{done} cases|{seconds:.1} s|seed {}", target.name, run.seed);
    assert!(done > 0, "no case was tried");
}

fn judged<Case>(target: &Target<'_, Case>, case: &Case) -> Result<(), String> {
    catch_unwind(AssertUnwindSafe(|| (target.judge)(case))).map_err(|panic| {
        let why = panic
            .downcast_ref::<String>()
            .map(String::as_str)
            .or(panic.downcast_ref::<&str>().copied());
        why.unwrap_or("a panic without words").to_owned()
    })
}

fn fail(name: &str, which: &str, why: &str, case: &impl Debug) {
    if let Ok(folder) = env::var("FOUND") {
        drop(std::fs::write(format!("{folder}/{name}"), format!("{which}\n{why}\n{case:?}\n")));
    }
    let shown: String = format!("{case:?}").chars().take(2000).collect();
    panic!("{name} ({which}): {why}\n{shown}");
}
