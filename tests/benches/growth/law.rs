//! Time against n: the median at several sizes, and the exponent of n that fits them.

use std::fmt::Write as _;
use std::hint::black_box;
use std::time::{Duration, Instant};

/// What is timed.
pub(crate) type Job = Box<dyn FnMut()>;

/// Makes what a size needs, looks whether the answer is right, and gives what is timed.
pub(crate) type Prepare = Box<dyn Fn(u32) -> Job>;

/// Time for one size: at least so many runs, and no more runs after so long.
const LEAST_RUNS: usize = 5;
const MOST_RUNS: usize = 201;
const ENOUGH: Duration = Duration::from_millis(400);
/// A run is as many times the job as take this long, so that the clock is not what is measured.
const LEAST_RUN: Duration = Duration::from_micros(100);
/// By how much an exponent may be larger than expected: caches that become too small, and noise.
const TOLERANCE: f64 = 0.2;

/// How time is expected to grow.
#[derive(Clone, Copy)]
pub(crate) struct Expected {
    words: &'static str,
    exponent: f64,
}

pub(crate) const CONSTANT: Expected = Expected { words: "0, not at all", exponent: 0.0 };
/// What is laid out grows until a screen is full, and no further.
pub(crate) const A_SCREEN: Expected = Expected { words: "0.3, up to a screen", exponent: 0.3 };
pub(crate) const LINEAR: Expected = Expected { words: "1, linear", exponent: 1.0 };
/// The logarithm adds 1 / ln n to the exponent: 0.14 at n = 1,000.
pub(crate) const SORTED: Expected = Expected { words: "1.1, n log n", exponent: 1.1 };
pub(crate) const PAIRS: Expected = Expected { words: "at most 2, pairs", exponent: 2.0 };

/// One thing that grows.
pub(crate) struct Law {
    /// What it is that there are n of, and what is done with them.
    pub(crate) what: String,
    pub(crate) expected: Expected,
    pub(crate) sizes: Vec<u32>,
    pub(crate) prepare: Prepare,
}

impl Law {
    pub(crate) fn new(
        what: &str,
        expected: Expected,
        sizes: Vec<u32>,
        prepare: impl Fn(u32) -> Job + 'static,
    ) -> Self {
        Self { what: what.to_owned(), expected, sizes, prepare: Box::new(prepare) }
    }

    /// The time at each size.
    pub(crate) fn measured(&self) -> Measured {
        let point = |&size: &u32| (f64::from(size), median_seconds(&mut (self.prepare)(size)));
        Measured {
            what: self.what.clone(),
            expected: self.expected,
            points: self.sizes.iter().map(point).collect(),
        }
    }
}

/// Sizes from the one to the other, about three to a decade.
pub(crate) fn decades(from: u32, to: u32) -> Vec<u32> {
    let steps = (3.0 * (f64::from(to) / f64::from(from)).log10()).round().max(1.0);
    (0..=steps as u32)
        .map(|step| {
            let share = f64::from(step) / steps;
            (f64::from(from) * (f64::from(to) / f64::from(from)).powf(share)).round() as u32
        })
        .collect()
}

/// One run that does not count, then the median of several.
pub(crate) fn median_seconds(job: &mut Job) -> f64 {
    let mut run = |times: u32| {
        let start = Instant::now();
        for _ in 0..times {
            black_box(&mut *job)();
        }
        start.elapsed()
    };
    run(1);
    let once = run(1).max(Duration::from_nanos(1));
    let times = LEAST_RUN.div_duration_f64(once).ceil().max(1.0) as u32;
    let mut runs = Vec::new();
    let begun = Instant::now();
    while runs.len() < LEAST_RUNS || (runs.len() < MOST_RUNS && begun.elapsed() < ENOUGH) {
        runs.push(run(times).as_secs_f64() / f64::from(times));
    }
    runs.sort_by(f64::total_cmp);
    runs[runs.len() / 2]
}

/// Least squares of the logarithm of time on the logarithm of n: the slope.
pub(crate) fn exponent(points: &[(f64, f64)]) -> f64 {
    let logs = || points.iter().map(|(n, seconds)| (n.ln(), seconds.ln()));
    let count = points.len() as f64;
    let (mean_n, mean_time) =
        logs().fold((0.0, 0.0), |(n, time), (x, y)| (n + x / count, time + y / count));
    let (along, square) = logs().fold((0.0, 0.0), |(along, square), (x, y)| {
        (along + (x - mean_n) * (y - mean_time), square + (x - mean_n).powi(2))
    });
    along / square
}

/// A law with its times.
pub(crate) struct Measured {
    pub(crate) what: String,
    expected: Expected,
    /// n and seconds, n growing.
    pub(crate) points: Vec<(f64, f64)>,
}

impl Measured {
    /// Of the last tenfold alone, where what does not grow with n weighs least.
    fn last_exponent(&self) -> f64 {
        let most = self.points.last().map_or(0.0, |(n, _)| *n);
        let last: Vec<_> =
            self.points.iter().copied().filter(|(n, _)| *n >= 0.0999 * most).collect();
        exponent(&last)
    }

    pub(crate) fn grows_as_expected(&self) -> bool {
        let most = self.expected.exponent + TOLERANCE;
        exponent(&self.points) <= most && self.last_exponent() <= most
    }

    pub(crate) fn row(&self) -> String {
        let mut row = String::new();
        if let [(least, shortest), .., (most, longest)] = *self.points {
            let _ = write!(
                row,
                "| {} | {} to {} | {} | {} | {:.2} | {:.2} | {} |",
                self.what,
                thousands(least),
                thousands(most),
                time(shortest),
                time(longest),
                exponent(&self.points),
                self.last_exponent(),
                self.expected.words,
            );
        }
        row
    }
}

/// Two digits, with the unit that makes them readable.
pub(crate) fn time(seconds: f64) -> String {
    let (number, unit) = match seconds {
        s if s < 1e-6 => (s * 1e9, "ns"),
        s if s < 1e-3 => (s * 1e6, "µs"),
        s if s < 1.0 => (s * 1e3, "ms"),
        s => (s, "s"),
    };
    let decimals = if number < 10.0 { 1 } else { 0 };
    format!("{number:.decimals$} {unit}")
}

fn thousands(number: f64) -> String {
    let digits = format!("{number:.0}");
    let mut text = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place) % 3 == 0 {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// The fit finds exponents that are known.
pub(crate) fn assert_the_fit() {
    for known in [0.0, 1.0, 1.5, 2.0] {
        let points: Vec<_> = decades(10, 10_000)
            .into_iter()
            .map(|n| (f64::from(n), 3e-7 * f64::from(n).powf(known)))
            .collect();
        assert!((exponent(&points) - known).abs() < 1e-12, "{known}");
        let measured =
            |expected| Measured { what: String::new(), expected, points: points.clone() };
        assert_eq!(measured(LINEAR).grows_as_expected(), known <= 1.0, "{known}");
        assert!((measured(LINEAR).last_exponent() - known).abs() < 1e-12, "{known}");
    }
    assert_eq!(decades(10, 10_000), [10, 22, 46, 100, 215, 464, 1000, 2154, 4642, 10_000]);
}
