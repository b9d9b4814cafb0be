//! What the machine itself can do: copy memory, and show so many pictures a second.

use std::hint::black_box;

use crate::law::{Job, Measured, median_seconds, time};
use crate::sky::PROJECTED;
use crate::window::FRAME;

/// Numbers copied: 256 MB, more than any cache holds.
const COPIED: usize = 32_000_000;

/// Bytes that a projected vector takes: three numbers read, two written.
const BYTES_A_VECTOR: f64 = 40.0;

/// A picture of a display of 144 Hz, seconds.
const PICTURE: f64 = 1.0 / 144.0;

/// Bytes read and written a second by the standard library's copy, on one thread.
fn copied_a_second() -> f64 {
    let from = vec![1.0f64; COPIED];
    let mut to = vec![0.0f64; COPIED];
    let mut job: Job = Box::new(move || black_box(&mut to).copy_from_slice(black_box(&from)));
    16.0 * COPIED as f64 / median_seconds(&mut job)
}

pub(crate) fn report(measured: &[Measured]) {
    // The slowest, where several begin so.
    let most = |what: &str| {
        let laws = measured.iter().filter(|law| law.what.starts_with(what));
        laws.filter_map(|law| law.points.last().copied()).max_by(|a, b| a.1.total_cmp(&b.1))
    };
    if let Some((count, seconds)) = most(PROJECTED) {
        let (copied, moved) = (copied_a_second(), BYTES_A_VECTOR * count / seconds);
        println!(
            "\nProjecting {count:.0} vectors moves {:.1} GB a second; a plain copy of memory moves \
             {:.1}: {:.0} % of what one thread of this machine can.",
            moved / 1e9,
            copied / 1e9,
            100.0 * moved / copied,
        );
    }
    if let Some((count, seconds)) = most(FRAME) {
        println!(
            "\nA frame with {count:.0} targets on the list takes at most {}: {:.0} % of the {} of a \
             picture at 144 Hz.",
            time(seconds),
            100.0 * seconds / PICTURE,
            time(PICTURE),
        );
    }
}
