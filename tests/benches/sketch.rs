//! What someone waits for who exports a picture of 3000 x 2000 pixels: 50,000 stars, every mark of
//! a sketch, from the scene to the file, as PNG and as SVG; then a whole sketch and a whole strip.
//!
//! At the end, in the same run, as many discs by a plotting library (`sketch_peer.py`, if python3 has
//! matplotlib), which draws them alone, without frames, targets and words.

#![allow(clippy::unwrap_used, reason = "a bench fails by panicking")]

#[path = "common/drawn_stars.rs"]
mod drawn_stars;
#[path = "common/median.rs"]
mod median;
#[path = "common/peer.rs"]
mod peer;

use criterion::Criterion;
use drawn_stars::{discs, stars};
use fieldstop::Angle;
use fieldstop::kit::Kit;
use fieldstop_gui::paint::png::{self, PngInfo};
use fieldstop_gui::paint::svg;
use fieldstop_gui::scene::primitive::Scene;
use fieldstop_gui::scene::view::SkyView;
use fieldstop_gui::scene::{Layers, Palette, SkyInput, sky_scene};
use fieldstop_gui::sketch::{Format, PageSize, SketchOptions, sketch};
use fieldstop_gui::sky::Sky;
use fieldstop_gui::strip::{Over, Same, StripOptions, strip};
use median::median_seconds;

const STARS: usize = 50_000;
const SIZE: PageSize = PageSize::Pixels { width: 3000, height: 2000 };

fn crowded(sky: &Sky, palette: &Palette) -> Scene {
    let target = sky.catalogue.named("NGC 7000").unwrap();
    let view = SkyView::new(target.place, Angle::from_deg(5.0), 1200.0, 800.0);
    sky_scene(&SkyInput {
        picture: None,
        view,
        palette,
        catalogue: &sky.catalogue,
        star_list: &sky.stars,
        stars: &stars(&view, STARS),
        chosen: Some(target),
        wishes: &[],
        frames: &[],
        layers: Layers::default(),
    })
}

/// How large the file is, if that bench was run.
fn said(name: &str, format: &str, bytes: &mut usize) {
    if *bytes > 0 {
        println!("{name}, {format}: {bytes} bytes");
    }
    *bytes = 0;
}

fn crowded_picture(criterion: &mut Criterion) {
    let sky = Sky::embedded().unwrap();
    let mut group = criterion.benchmark_group("50,000 stars, 3000 x 2000");
    group.sample_size(10);
    for (name, palette) in [("dark", Palette::dark()), ("paper", Palette::paper())] {
        let scene = crowded(&sky, &palette);
        // A few lie behind the words of a page for paper.
        assert!(discs(&scene) > STARS * 9 / 10, "{}", discs(&scene));
        let px_per_pt = 2.5;
        let size = png::size_px(&scene, px_per_pt);
        assert_eq!(size, (3000, 2000));
        let mut bytes = 0;
        group.bench_function(format!("{name}, scene"), |b| b.iter(|| crowded(&sky, &palette)));
        group.bench_function(format!("{name}, PNG"), |b| {
            b.iter(|| {
                let mut out = Vec::new();
                png::encode(&scene, px_per_pt, &PngInfo::default(), &mut out, &mut |_| true)
                    .unwrap();
                bytes = out.len();
            });
        });
        said(name, "PNG", &mut bytes);
        group.bench_function(format!("{name}, SVG"), |b| {
            b.iter(|| bytes = svg::render(&scene).len());
        });
        said(name, "SVG", &mut bytes);
    }
    group.finish();
}

fn whole(criterion: &mut Criterion) {
    let sky = Sky::embedded().unwrap();
    let kit: Kit = ron::from_str(include_str!("../../assets/demo-kit.ron")).unwrap();
    let one = SketchOptions::new("NGC 7000", SIZE);
    let over = Over::Rigs { target: "NGC 7000".to_owned() };
    let side_by_side = StripOptions { over, same: Same::Size, style: one.style.clone() };
    let mut group = criterion.benchmark_group("demo kit, 3000 x 2000");
    group.sample_size(10);
    for format in [Format::Png, Format::Svg] {
        group.bench_function(format!("sketch, {format:?}"), |b| {
            b.iter(|| sketch(&kit, &sky, &one, format, &mut |_| true).unwrap());
        });
        group.bench_function(format!("strip, {format:?}"), |b| {
            b.iter(|| strip(&kit, &sky, &side_by_side, format, &mut |_| true).unwrap());
        });
    }
    group.finish();
}

fn beside_the_peer() {
    let numbers = [STARS, 3000, 2000, 5].map(|number| number.to_string());
    peer::beside("sketch_peer.py", "matplotlib", &numbers, |peer| {
        let sky = Sky::embedded().unwrap();
        let palette = Palette::dark();
        let ours = [
            median_seconds(5, || {
                let (scene, mut out) = (crowded(&sky, &palette), Vec::new());
                png::encode(&scene, 2.5, &PngInfo::default(), &mut out, &mut |_| true).unwrap();
            }),
            median_seconds(5, || drop(svg::render(&crowded(&sky, &palette)))),
        ];
        for (form, ours) in ["png", "svg"].into_iter().zip(ours) {
            let theirs = peer::number(peer, form);
            println!(
                "{STARS} discs as {form}: {ours:.3} s; matplotlib {theirs:.3} s, {:.1} times ours",
                theirs / ours,
            );
        }
    });
}

fn main() {
    let mut criterion = Criterion::default().configure_from_args();
    crowded_picture(&mut criterion);
    whole(&mut criterion);
    criterion.final_summary();
    beside_the_peer();
}
