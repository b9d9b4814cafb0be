//! What a person waits for first: the sky unpacked, and the window's first frame, from nothing to
//! triangles, without a GPU.
//!
//! `.ci/costs` has the same by the clock on the wall, from the start of the process on.

#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a bench fails by panicking")]

use criterion::{Criterion, criterion_group, criterion_main};
use egui::Vec2;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use fieldstop_gui::app::App;
use fieldstop_gui::sky::Sky;

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

criterion_group!(benches, start);
criterion_main!(benches);
