//! The exported page: one scene for PNG and SVG, on dark and on white, at any size.
//!
//! The SVG is turned into pixels by `resvg`, a renderer of its own, and compared with the PNG.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use fieldstop::kit::Kit;
use fieldstop_gui::paint::{png, svg};
use fieldstop_gui::scene::palette::Palette;
use fieldstop_gui::scene::primitive::Scene;
use fieldstop_gui::scene::{Layers, SkyInput, SkyView, sky_scene, stars};
use fieldstop_gui::sky::Sky;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg;

fn kit() -> Kit {
    ron::from_str(include_str!("../../assets/demo-kit.ron")).unwrap()
}

/// The document in pixels, four bytes each, as an independent renderer sees it.
fn rasterised(document: &str, width: u32, height: u32) -> Pixmap {
    let tree = usvg::Tree::from_str(document, &usvg::Options::default()).unwrap();
    let mut pixmap = Pixmap::new(width, height).unwrap();
    let scale = width as f32 / tree.size().width();
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixmap.as_mut());
    pixmap
}

/// Mean absolute difference of two pictures' channels, and the share of pixels that differ by
/// more than a third of the range.
fn difference(one: &[u8], other: &[u8]) -> (f64, f64) {
    assert_eq!(one.len(), other.len());
    let mut sum = 0.0;
    let mut far = 0;
    for (one, other) in one.chunks(4).zip(other.chunks(4)) {
        let worst = (0..3).map(|k| one[k].abs_diff(other[k])).max().unwrap();
        sum += f64::from(worst);
        far += usize::from(worst > 85);
    }
    let pixels = one.len() as f64 / 4.0;
    (sum / pixels, far as f64 / pixels)
}

/// Both painters' pictures of a scene agree. Not to the last bit: resvg knows another way to
/// soften an edge, and a star thinner than a pixel is drawn by its area in one and by its light
/// in the other. Measured: mean below 0.6 of 255, and 3 pixels in 10,000.
fn compare(scene: &Scene, px_per_pt: f64, what: &str) {
    let bitmap = png::render(scene, px_per_pt).unwrap();
    let drawn = rasterised(&svg::render(scene), bitmap.width(), bitmap.height());
    if let Ok(folder) = std::env::var("FIELDSTOP_PICTURES") {
        drawn.save_png(format!("{folder}/{what}-svg.png")).unwrap();
        bitmap.save_png(format!("{folder}/{what}-png.png")).unwrap();
    }
    let (mean, far) = difference(bitmap.data(), drawn.data());
    println!("{what}: mean {mean:.3} of 255, {:.1} of 10,000 pixels far off", far * 1e4);
    assert!(mean < 1.5, "{what}: {mean}");
    assert!(far < 1e-3, "{what}: {far}");
}

#[test]
fn the_sky_looks_alike_as_png_and_svg_on_every_ground() {
    let sky = Sky::embedded().unwrap();
    let kit = kit();
    let target = sky.catalogue.named("NGC 7000").unwrap();
    let frames: Vec<_> = (0..kit.rigs.len())
        .filter_map(|place| {
            let rig = kit.resolve(place)?;
            Some(fieldstop_gui::scene::DrawnFrame {
                name: rig.rig.name.clone(),
                frame: fieldstop_gui::framing::aimed(target, None, rig.field()),
                mark: kit.mark_of(place),
                lines: vec!["3.8° × 2.6°".to_owned()],
                panels: Vec::new(),
                lit_radius: Some(0.9),
                lifted: place == 1,
                chosen: place == 0,
            })
        })
        .collect();
    let view = SkyView::new(target.place, fieldstop::Angle::from_deg(8.0), 900.0, 600.0);
    let stars = stars::fetch(&view, &sky.stars);
    for (palette, what) in [(Palette::dark(), "sky-dark"), (Palette::paper(), "sky-paper")] {
        let scene = sky_scene(&SkyInput {
            view,
            palette: &palette,
            catalogue: &sky.catalogue,
            star_list: &sky.stars,
            stars: &stars,
            chosen: Some(target),
            wishes: &[],
            frames: &frames,
            layers: Layers::default(),
        });
        compare(&scene, 1.5, what);
    }
}
