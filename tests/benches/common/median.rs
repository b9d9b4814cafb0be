//! How long one job takes, for a ratio to a peer that was timed in the same way.

use std::time::Instant;

/// Median seconds of an odd number of runs, after one that does not count.
pub(crate) fn median_seconds(runs: usize, mut job: impl FnMut()) -> f64 {
    job();
    let mut seconds: Vec<f64> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            job();
            start.elapsed().as_secs_f64()
        })
        .collect();
    seconds.sort_by(f64::total_cmp);
    seconds[runs / 2]
}
