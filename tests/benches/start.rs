//! What a person waits for first: the sky unpacked, and the window's first frame, from nothing to
//! triangles, without a GPU.
//!
//! At the end, in the same run, a catalogue of the same size read by an astronomy library from FITS
//! tables (`start_peer.py`, if python3 has astropy); it makes no index of names and places.
//!
//! `.ci/costs` has the same by the clock on the wall, from the start of the process on.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a bench fails by panicking")]

#[path = "common/median.rs"]
mod median;
#[path = "common/peer.rs"]
mod peer;

use criterion::Criterion;
use egui::Vec2;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use fieldstop_gui::app::App;
use fieldstop_gui::sky::Sky;
use median::median_seconds;

/// The window on the demo kit with its first frame.
fn first_frame() -> Harness<'static, App> {
    let window = Harness::builder()
        .with_size(Vec2::new(1280.0, 800.0))
        .with_max_steps(1)
        .build_eframe(|cc| App::new(cc, None).expect("the embedded sky opens"));
    let shapes = window.output().shapes.clone();
    std::hint::black_box(window.ctx.tessellate(shapes, 1.0));
    window
}

fn start(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("start");
    group.sample_size(20);
    group.bench_function("the sky unpacked", |bench| bench.iter(|| Sky::embedded().unwrap()));
    // Measured on a right answer: the chosen target's name stands in it.
    assert!(first_frame().query_all_by_label_contains("M 31").next().is_some());
    group.bench_function("the window's first frame", |bench| {
        bench.iter_with_large_drop(first_frame);
    });
    group.finish();
}

fn beside_the_peer() {
    let sky = Sky::embedded().unwrap();
    let numbers =
        [sky.stars.len(), sky.catalogue.targets().len(), 21].map(|number| number.to_string());
    peer::beside("start_peer.py", "astropy", &numbers, |peer| {
        let ours = median_seconds(21, || drop(std::hint::black_box(Sky::embedded().unwrap())));
        let theirs = peer::number(peer, "seconds");
        println!(
            "{} stars and {} objects: {:.1} ms; astropy {:.1} ms, {:.2} times ours",
            numbers[0],
            numbers[1],
            ours * 1e3,
            theirs * 1e3,
            theirs / ours,
        );
    });
}

fn main() {
    let mut criterion = Criterion::default().configure_from_args();
    start(&mut criterion);
    criterion.final_summary();
    beside_the_peer();
}
