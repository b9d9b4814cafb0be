//! What a person waits for when the sky is moved: the stars in view, listed and synthetic.
//!
//! Two knobs. Turned by the first, the catalogue grows ten thousandfold, from 10^4 to 10^8 stars, while
//! the field shrinks so that 5,000 stay in view: the time must stay too. Turned by the second, the
//! stars in view grow: the time must grow with them.
#![allow(clippy::expect_used, clippy::panic, reason = "a bench fails by panicking")]
#![allow(missing_docs, reason = "criterion's macros write public functions without a word")]

#[path = "common/star_field.rs"]
mod star_field;

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use fieldstop_gui::sky::star_list::StarList;
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

criterion_group!(benches, catalogue_grows, view_grows);
criterion_main!(benches);
