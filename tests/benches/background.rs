//! The person waits for their own picture: reading, painting in another look, laying it under the
//! frames.
//!
//! `BACKGROUND_SIDE` is the side of the square picture in pixels, 10,000 if it is not set.

#![allow(clippy::unwrap_used, reason = "a bench fails by panicking")]

#[path = "common/photograph.rs"]
mod photograph;

use std::fs::File;
use std::io::BufWriter;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};
use fieldstop::Angle;
use fieldstop::fits_header::fits_header;
use fieldstop_gui::avm::{Words, packet};
use fieldstop_gui::own_picture::open;
use fieldstop_gui::paint::png::render;
use fieldstop_gui::scene::picture::RowOrder;
use fieldstop_gui::scene::{Layers, Palette, SkyInput, SkyView, sky_scene};
use fieldstop_gui::sky::Sky;
use image::ExtendedColorType;
use image::codecs::jpeg::JpegEncoder;
use photograph::{fits, map, value};

fn side() -> u32 {
    std::env::var("BACKGROUND_SIDE").ok().and_then(|side| side.parse().ok()).unwrap_or(10_000)
}

fn pixels(side: u32) -> Vec<u8> {
    let pixel = |x, y| {
        let value = (value(x, y) / 10) as u8;
        [value, value / 2, 40]
    };
    (0..side).flat_map(|y| (0..side).flat_map(move |x| pixel(x, y))).collect()
}

fn png(path: &Path, side: u32, pixels: &[u8]) {
    let words = Words {
        title: "",
        description: "",
        creator: "",
        credit: "",
        rights: "",
        spatial_notes: "",
    };
    let mut encoder = png::Encoder::new(BufWriter::new(File::create(path).unwrap()), side, side);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Fastest);
    let text = packet(&map(side), &words);
    encoder.add_itxt_chunk("XML:com.adobe.xmp".to_owned(), text).unwrap();
    encoder.write_header().unwrap().write_image_data(pixels).unwrap();
}

fn jpeg(path: &Path, side: u32, pixels: &[u8]) {
    let out = BufWriter::new(File::create(path).unwrap());
    JpegEncoder::new_with_quality(out, 90)
        .encode(pixels, side, side, ExtendedColorType::Rgb8)
        .unwrap();
    let header = fits_header(&map(side), "bench", &[]);
    std::fs::write(path.with_extension("hdr"), header).unwrap();
}

fn background(c: &mut Criterion) {
    let side = side();
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("background");
    std::fs::create_dir_all(&folder).unwrap();
    let file = |name: &str| folder.join(format!("{name}_{side}")).with_extension(name);
    fits(&file("fits"), side).unwrap();
    let pixels = pixels(side);
    png(&file("png"), side, &pixels);
    jpeg(&file("jpg"), side, &pixels);
    drop(pixels);

    let mut group = c.benchmark_group(format!("background/{side} x {side}"));
    group.sample_size(10).warm_up_time(Duration::from_millis(1));
    for kind in ["fits", "png", "jpg"] {
        let path = file(kind);
        group.bench_function(format!("read {kind}"), |b| {
            b.iter(|| {
                let picture = open(&path, RowOrder::FromBottom, &mut |_| true).unwrap();
                assert_eq!(picture.map.width_px, side);
            });
        });
    }
    let picture = open(&file("fits"), RowOrder::FromBottom, &mut |_| true).unwrap();
    group.bench_function("paint in a look", |b| b.iter(|| picture.raster(picture.first_look())));
    let placed = picture.placed(Arc::new(picture.raster(picture.first_look())), 1.0);
    let sky = Sky::embedded().unwrap();
    let view = SkyView::new(placed.map.reference, Angle::from_deg(5.0), 1200.0, 800.0);
    let palette = Palette::dark();
    let scene = || {
        sky_scene(&SkyInput {
            view,
            palette: &palette,
            catalogue: &sky.catalogue,
            star_list: &sky.stars,
            stars: &[],
            chosen: None,
            wishes: &[],
            frames: &[],
            picture: Some(&placed),
            layers: Layers::nothing(),
        })
    };
    group.bench_function("mesh under a view", |b| b.iter(scene));
    let scene = scene();
    group.bench_function("paint 3000 x 2000", |b| b.iter(|| render(&scene, 2.5).unwrap()));
    group.finish();
    for kind in ["fits", "png", "jpg", "hdr"] {
        drop(std::fs::remove_file(file("jpg").with_extension(kind)));
        drop(std::fs::remove_file(file(kind)));
    }
}

criterion_group!(benches, background);
criterion_main!(benches);
