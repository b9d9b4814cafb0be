//! What a person waits for when the sky is moved: the stars in view, listed and synthetic.
//!
//! Two knobs. Turned by the first, the catalogue grows ten thousandfold, from 10^4 to 10^8 stars, while
//! the field shrinks so that 5,000 stay in view: the time must stay too. Turned by the second, the
//! stars in view grow: the time must grow with them.
#![allow(clippy::expect_used, clippy::panic, reason = "a bench fails by panicking")]
#![allow(missing_docs, reason = "criterion's macros write public functions without a word")]

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use fieldstop::stars::{LISTED_LIMIT, stars_per_deg2, synthetic_stars};
use fieldstop::{Angle, Direction, Icrs, Star};
use fieldstop_gui::sky::star_list::StarList;

const IN_VIEW: usize = 5000;

fn query(list: &StarList, radius: Angle, faintest_mag: f64, stars: &mut Vec<Star>) {
    stars.clear();
    list.visit(centre(), radius, faintest_mag, &mut |star| stars.push(star));
    synthetic_stars(centre(), radius, LISTED_LIMIT, faintest_mag, stars);
}

/// A middle latitude: galactic 24 degrees.
fn centre() -> Direction<Icrs> {
    Direction::from_ra_dec(Angle::from_deg(270.0), Angle::from_deg(30.0))
}

/// Stars of the whole catalogue brighter than a magnitude, by the model.
fn catalogue_size(v_mag: f64) -> f64 {
    let rows = (0..90).map(|row| {
        let latitude = Angle::from_deg(2.0 * f64::from(row) - 89.0);
        let ring: f64 = (0..36)
            .map(|tens| stars_per_deg2(Angle::from_deg(10.0 * f64::from(tens)), latitude, v_mag))
            .sum();
        // Cells of 2 by 10 degrees.
        ring * 20.0 * latitude.cos()
    });
    rows.sum()
}

fn bisect(mut low: f64, mut high: f64, mut is_below: impl FnMut(f64) -> bool) -> f64 {
    for _ in 0..20 {
        let middle = (low + high) / 2.0;
        if is_below(middle) { low = middle } else { high = middle }
    }
    high
}

fn magnitude_of_catalogue(size: f64) -> f64 {
    bisect(3.0, 18.0, |v_mag| catalogue_size(v_mag) < size)
}

fn radius_that_shows(list: &StarList, count: usize, faintest_mag: f64) -> Angle {
    let mut stars = Vec::new();
    let mut shows_fewer = |deg: f64| {
        query(list, Angle::from_deg(deg), faintest_mag, &mut stars);
        stars.len() < count
    };
    // Doubled until it is enough, so that no field is tried that would take the whole sky.
    let mut enough_deg = 0.05;
    while shows_fewer(enough_deg) && enough_deg < 90.0 {
        enough_deg *= 2.0;
    }
    Angle::from_deg(bisect(enough_deg / 2.0, enough_deg, shows_fewer))
}

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
