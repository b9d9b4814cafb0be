//! What the Choose view waits for: the curves over the whole catalogue, the panels of a mosaic,
//! and the whole choice of a kit.

#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]
#![allow(clippy::expect_used, reason = "a bench without its kit measures nothing")]

#[path = "common/wanted.rs"]
mod wanted;

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion as Bencher, criterion_group, criterion_main};
use fieldstop::choice::{Criterion, choice};
use fieldstop::demands::Conditions;
use fieldstop::focal_range::Setting;
use wanted::{best_lengths, ellipse_of_panels, kit, outlines, panels_of, wanted};

fn coverage(bencher: &mut Bencher) {
    let kit = kit();
    let rig = kit.resolve(1).expect("a rig");
    let setting = Setting::of(&rig, &Conditions::at_zenith(&kit.site));
    let mut group = bencher.benchmark_group("coverage");
    group.sample_size(20);
    for count in [130, 1_300, 13_000] {
        let outlines = outlines(count);
        let curves = || best_lengths(setting, &outlines);
        // Measured on a right answer: two serve more than one.
        let (best, pair) = curves();
        assert!(best.is_some() && pair.is_some_and(|pair| pair.served.count > 0));
        group.bench_function(BenchmarkId::new("curve, best and best pair", count), |bencher| {
            bencher.iter(&curves);
        });
    }
    group.finish();
}

fn panels(bencher: &mut Bencher) {
    let mut group = bencher.benchmark_group("fewest panels");
    group.sample_size(20);
    for side in [2.0, 4.0, 6.0] {
        let outline = ellipse_of_panels(side);
        let search = || panels_of(black_box(&outline));
        let plan = search();
        let grid = format!("{side} x {side}, {} of {} panels", plan.panels.len(), plan.plain);
        group.bench_function(grid, |bencher| bencher.iter(search));
    }
    group.finish();
}

fn whole_choice(bencher: &mut Bencher) {
    let kit = kit();
    let wanted = wanted(30);
    let conditions = Conditions::at_zenith(&kit.site);
    let all = || choice(&kit, 0, black_box(&wanted), &Criterion::ALL, &conditions);
    assert!(all().findings.len() > 5);
    bencher.bench_function("5 rigs x 30 targets, with findings", |bencher| bencher.iter(all));
}

criterion_group!(benches, coverage, panels, whole_choice);
criterion_main!(benches);
