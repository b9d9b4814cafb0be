//! How long a person waits for the whole catalogue over a whole year.
//!
//! `cargo bench --bench season` measures the stages, turns the knobs that cost (objects, nights,
//! skyline), and at the end runs the peer, the fastest array-library form of the same job
//! (`season_peer.py`, if python3 has numpy and erfa), in the same run. The peer takes a sample a
//! minute, which is what hours right to a minute need of it.

#![allow(clippy::expect_used, reason = "a bench fails by panicking")]

#[path = "common/peer.rs"]
mod peer;
#[path = "common/year.rs"]
mod year;

use std::hint::black_box;
use std::thread;
use std::time::{Duration, Instant as Clock};

use criterion::{BenchmarkId, Criterion, Throughput};
use fieldstop::season::target_night;
use fieldstop::{Direction, Horizon, Icrs, Season};
use year::{flat, hours, nights, targets};

const TARGETS: u32 = 13_000;
const NIGHTS: u32 = 365;

fn skyline() -> Horizon {
    Horizon::new(20.0, &[(0.0, 10.0), (60.0, 35.0), (100.0, 15.0), (200.0, 25.0), (300.0, 40.0)])
}

/// As the program does it: the nights too, all on two threads.
fn whole_job(targets: &[Direction<Icrs>]) -> f64 {
    let nights = thread::scope(|scope| {
        let other = scope.spawn(|| nights(NIGHTS / 2..NIGHTS));
        let mut year = nights(0..NIGHTS / 2);
        year.extend(other.join().expect("no panic"));
        year
    });
    let season = Season::new(&nights, flat());
    let (left, right) = targets.split_at(targets.len() / 2);
    thread::scope(|scope| {
        let other = scope.spawn(|| hours(&season, left));
        hours(&season, right) + other.join().expect("no panic")
    })
}

fn stages(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("season");
    group.sample_size(10).measurement_time(Duration::from_secs(4));
    group.bench_function("365 nights", |b| b.iter(|| nights(0..NIGHTS)));
    let year = nights(0..NIGHTS);
    for count in [TARGETS / 4, TARGETS / 2, TARGETS] {
        let places = targets(count);
        let season = Season::new(&year, flat());
        group.throughput(Throughput::Elements(u64::from(count * NIGHTS)));
        group.bench_with_input(BenchmarkId::new("targets", count), &places, |b, places| {
            b.iter(|| hours(&season, places));
        });
    }
    let places = targets(TARGETS);
    for count in [NIGHTS / 4, NIGHTS / 2, NIGHTS] {
        let season = Season::new(&nights(0..count), flat());
        group.throughput(Throughput::Elements(u64::from(TARGETS * count)));
        group.bench_function(BenchmarkId::new("nights", count), |b| {
            b.iter(|| hours(&season, &places))
        });
    }
    group.throughput(Throughput::Elements(u64::from(TARGETS * NIGHTS)));
    let season = Season::new(&year, skyline());
    group.bench_function("skyline", |b| b.iter(|| hours(&season, &places)));
    group.bench_function("whole job, two threads", |b| b.iter(|| whole_job(&places)));
    group.finish();
}

/// The quick way's answer is that of the full way, to a minute in every night.
fn check_the_answer() {
    let year = nights(0..NIGHTS);
    for horizon in [flat(), skyline()] {
        let season = Season::new(&year, horizon.clone());
        let mut worst = 0.0f64;
        for target in targets(50) {
            for (night, quick) in year.iter().zip(season.hours(target)) {
                let full = target_night(night, &horizon, target);
                worst = worst.max((full.dark.hours() - f64::from(quick.dark)).abs());
                worst = worst.max((full.moonless.hours() - f64::from(quick.moonless)).abs());
            }
        }
        println!("50 targets, {NIGHTS} nights: worst difference {:.3} s", worst * 3600.0);
        assert!(worst < 1.0 / 60.0);
    }
}

fn least_seconds(repeats: u32, mut job: impl FnMut()) -> f64 {
    (0..repeats)
        .map(|_| {
            let begun = Clock::now();
            job();
            begun.elapsed().as_secs_f64()
        })
        .fold(f64::INFINITY, f64::min)
}

fn against_the_peer() {
    let places = targets(TARGETS);
    let one = least_seconds(5, || {
        let season = Season::new(&nights(0..NIGHTS), flat());
        black_box(hours(&season, &places));
    });
    let two = least_seconds(5, || {
        black_box(whole_job(&places));
    });
    println!("{TARGETS} targets, {NIGHTS} nights: one thread {one:.3} s, two threads {two:.3} s");
    for (name, samples, repeats) in [("a sample an hour", 24, 3), ("a sample a minute", 1440, 1)] {
        let numbers = [TARGETS, NIGHTS, samples, repeats].map(|number| number.to_string());
        peer::beside("season_peer.py", "numpy and erfa", &numbers, |peer| {
            let seconds = peer::number(peer, "seconds");
            println!(
                "peer numpy_gmst_sinalt_split_year, {name}: {seconds:.3} s, {:.1} times ours on one thread",
                seconds / one
            );
        });
    }
}

fn main() {
    check_the_answer();
    let mut criterion = Criterion::default().configure_from_args();
    stages(&mut criterion);
    criterion.final_summary();
    // It takes minutes.
    if peer::is_measured() {
        against_the_peer();
    }
}
