//! How fast stored places on the sky are projected, beside general-purpose libraries.
//!
//! ```text
//! cargo bench -p fieldstop-tests --bench projection
//! ```
//! measures `TangentPlane::project_many` with criterion, then, in the same run and on one thread
//! each, once more beside `peers.py` in this folder: wcslib's TAN projection and two forms of it
//! in numpy. That part needs `python3` with numpy and astropy, and is left out with a word where
//! they are missing. Both sides project 100,000 and 1,000,000 places within 5 degrees of (83.8,
//! -5.4), and both report the median of several runs; the best run stands beside it, for a machine
//! with other work to do.
//!
//! Wanted: at least 20 times the points a second of wcslib, and 1.5 times those of the fastest
//! numpy form, for 1,000,000 places.

#![allow(clippy::expect_used, reason = "a bench fails by panicking")]

#[path = "common/peer.rs"]
mod peer;
#[path = "common/tangent_field.rs"]
mod tangent_field;

use std::hint::black_box;
use std::time::Instant;

use criterion::{BenchmarkId, Criterion, Throughput};
use serde_json::Value;
use tangent_field::{assert_projected, no_points, places, plane};

const COUNTS: [u32; 2] = [100_000, 1_000_000];

fn stored_places_on_the_plane(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("stored_places_on_the_plane");
    for count in COUNTS {
        let (places, mut points) = (places(count), no_points(count));
        group.throughput(Throughput::Elements(count.into()));
        group.bench_function(BenchmarkId::new("fieldstop", count), |bencher| {
            bencher.iter(|| plane().project_many(black_box(&places), black_box(&mut points)));
        });
        assert_projected(&places, &points);
    }
    group.finish();
}

/// Points a second.
struct Rate {
    median: f64,
    best: f64,
}

/// Measured as the peers are: one run that does not count, then several that do.
fn rate(count: u32) -> Rate {
    let (places, mut points) = (places(count), no_points(count));
    let mut run = || {
        let start = Instant::now();
        plane().project_many(black_box(&places), black_box(&mut points));
        start.elapsed().as_secs_f64()
    };
    run();
    let mut seconds: Vec<f64> = (0..15).map(|_| run()).collect();
    seconds.sort_by(f64::total_cmp);
    assert_projected(&places, &points);
    Rate { median: f64::from(count) / seconds[7], best: f64::from(count) / seconds[0] }
}

fn print_beside(peers: &Value) {
    println!("numpy {}, astropy {}", peers["numpy"], peers["astropy"]);
    println!("million places a second on one thread: median (best), and how many times ours is");
    for count in COUNTS {
        let ours = rate(count);
        let print = |form: &str, theirs: &Rate| {
            println!(
                "  {count:>8}  {form:<28} {:>7.1} ({:>7.1})   {:>6.1} ({:>6.1})",
                theirs.median / 1e6,
                theirs.best / 1e6,
                ours.median / theirs.median,
                ours.best / theirs.best,
            );
        };
        print("fieldstop project_many", &ours);
        for form in [
            "wcslib_tan_world2pix",
            "wcslib_tan_pix2world",
            "numpy_tan_from_angles",
            "numpy_tan_from_unit_vectors",
        ] {
            let found = &peers["results"][format!("{form}_{count}")];
            let rate = |key: &str| peer::number(found, key);
            print(form, &Rate { median: rate("rate_per_s"), best: rate("best_per_s") });
        }
    }
}

fn main() {
    let mut criterion = Criterion::default().configure_from_args();
    stored_places_on_the_plane(&mut criterion);
    criterion.final_summary();
    peer::beside("peers.py", "numpy and astropy", &[], print_beside);
}
