//! What the Choose view waits for: the curves over the whole catalogue, the panels of a mosaic,
//! and the whole choice of a kit.
//!
//! At the end, in the same run, the curve with the best length and the best two by an array library
//! (`coverage_peer.py`, if python3 has numpy), over focal lengths one per cent apart.

#![allow(clippy::expect_used, reason = "a bench without its kit measures nothing")]

#[path = "common/median.rs"]
mod median;
#[path = "common/peer.rs"]
mod peer;
#[path = "common/wanted.rs"]
mod wanted;

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion as Bencher};
use fieldstop::choice::{Criterion, choice};
use fieldstop::demands::Conditions;
use fieldstop::focal_coverage::FocalCoverage;
use fieldstop::focal_range::Setting;
use median::median_seconds;
use wanted::{best_lengths, ellipse_of_panels, interests, kit, outlines, panels_of, wanted};

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

/// What every target of a catalogue needs, made before the clock starts on either side.
fn beside_the_peer() {
    if !peer::is_measured() {
        return;
    }
    let kit = kit();
    let rig = kit.resolve(1).expect("a rig");
    let setting = Setting::of(&rig, &Conditions::at_zenith(&kit.site));
    let interests = interests(setting, &outlines(13_000));
    let path = std::path::PathBuf::from(env!("CARGO_TARGET_TMPDIR"))
        .join(format!("coverage_{}", std::process::id()));
    let numbers = interests.iter().flat_map(|interest| {
        // One without a useful focal length has none for the peer either.
        let shortest_mm = interest.range.shortest_mm.unwrap_or(f64::INFINITY);
        [shortest_mm, interest.range.longest_mm, interest.weight]
    });
    let bytes: Vec<u8> = numbers.flat_map(f64::to_le_bytes).collect();
    std::fs::write(&path, bytes).expect("a file for the peer");
    let arguments = [path.display().to_string(), "5".to_owned()];
    peer::beside("coverage_peer.py", "numpy", &arguments, |peer| {
        drop(std::fs::remove_file(&path));
        let found = || {
            let coverage = FocalCoverage::new(black_box(&interests));
            let best = coverage.best().expect("something is served");
            let pair = coverage.best_pair().expect("and by two");
            (coverage.at(best.focal_length_mm).weighted, pair.served.weighted)
        };
        let ours = median_seconds(51, || {
            black_box(found());
        });
        let theirs = peer::number(peer, "seconds");
        println!(
            "best length and best two for 13,000 targets: {:.2} ms; numpy at 533 lengths {:.0} ms, {:.0} times ours",
            ours * 1e3,
            theirs * 1e3,
            theirs / ours,
        );
        // It looks at some lengths only: near to the best, never above it.
        let (one, two) = found();
        for (key, most) in [("one", one), ("two", two)] {
            let share = peer::number(peer, key) / most;
            println!("its best {key}: {share:.5} of ours");
            assert!((0.97..1.0 + 1e-9).contains(&share), "{key}: {share}");
        }
    });
}

fn main() {
    let mut criterion = Bencher::default().configure_from_args();
    coverage(&mut criterion);
    panels(&mut criterion);
    whole_choice(&mut criterion);
    criterion.final_summary();
    beside_the_peer();
}
