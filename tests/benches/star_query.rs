//! What a person waits for when the sky is moved: the stars in view, listed and synthetic.
//!
//! Two knobs. Turned by the first, the catalogue grows ten thousandfold, from 10^4 to 10^8 stars, while
//! the field shrinks so that 5,000 stay in view: the time must stay too. Turned by the second, the
//! stars in view grow: the time must grow with them.
//!
//! At the end, in the same run, as many stars out of 10^6 by a k-d tree that holds them all in memory
//! (`star_query_peer.py`, if python3 has numpy and scipy).

#![allow(clippy::expect_used, clippy::panic, reason = "a bench fails by panicking")]

#[path = "common/median.rs"]
mod median;
#[path = "common/peer.rs"]
mod peer;
#[path = "common/star_field.rs"]
mod star_field;

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput};
use fieldstop_gui::sky::star_list::StarList;
use median::median_seconds;
use star_field::{magnitude_of_catalogue, query, radius_that_shows};

const IN_VIEW: usize = 5000;

fn catalogue_grows(criterion: &mut Criterion) {
    let list = StarList::embedded().expect("the embedded list is whole");
    let mut group = criterion.benchmark_group("stars/5000 in view, catalogue of");
    for power in 4..=8 {
        let faintest_mag = magnitude_of_catalogue(10f64.powi(power));
        let radius = radius_that_shows(&list, IN_VIEW, faintest_mag);
        let mut stars = Vec::new();
        query(&list, radius, faintest_mag, &mut stars);
        println!(
            "10^{power}: V {faintest_mag:.2}, radius {:.3} deg, {} in view",
            radius.deg(),
            stars.len()
        );
        assert!(stars.len().abs_diff(IN_VIEW) < IN_VIEW / 20, "{} in view", stars.len());
        group.throughput(Throughput::Elements(stars.len() as u64));
        group.bench_function(BenchmarkId::from_parameter(format!("10^{power}")), |bencher| {
            bencher.iter(|| query(&list, black_box(radius), faintest_mag, &mut stars));
        });
    }
    group.finish();
}

fn view_grows(criterion: &mut Criterion) {
    let list = StarList::embedded().expect("the embedded list is whole");
    let mut group = criterion.benchmark_group("stars/V 16, in view");
    for count in [100, 1000, 5000, 20_000] {
        let radius = radius_that_shows(&list, count, 16.0);
        let mut stars = Vec::new();
        query(&list, radius, 16.0, &mut stars);
        group.throughput(Throughput::Elements(stars.len() as u64));
        group.bench_function(BenchmarkId::from_parameter(count), |bencher| {
            bencher.iter(|| query(&list, black_box(radius), 16.0, &mut stars));
        });
    }
    group.finish();
}

fn beside_the_peer() {
    const OF_ALL: u32 = 1_000_000;
    let list = StarList::embedded().expect("the embedded list is whole");
    let faintest_mag = magnitude_of_catalogue(f64::from(OF_ALL));
    let radius = radius_that_shows(&list, IN_VIEW, faintest_mag);
    let numbers = [OF_ALL, IN_VIEW as u32, 51].map(|number| number.to_string());
    peer::beside("star_query_peer.py", "numpy and scipy", &numbers, |peer| {
        let mut stars = Vec::new();
        let ours = median_seconds(51, || query(&list, black_box(radius), faintest_mag, &mut stars));
        let [found, tree, scan] = ["found", "tree", "scan"].map(|key| peer::number(peer, key));
        println!(
            "{} of {OF_ALL} stars: {:.2} ms; k-d tree {found} stars {:.2} ms, {:.2} times ours; scan {:.2} ms, {:.1} times",
            stars.len(),
            ours * 1e3,
            tree * 1e3,
            tree / ours,
            scan * 1e3,
            scan / ours,
        );
        assert!((found / stars.len() as f64 - 1.0).abs() < 0.1, "not the same job");
    });
}

fn main() {
    let mut criterion = Criterion::default().configure_from_args();
    catalogue_grows(&mut criterion);
    view_grows(&mut criterion);
    criterion.final_summary();
    beside_the_peer();
}
