//! Any number of stars spread evenly over a view.

use fieldstop::Star;
use fieldstop_gui::scene::primitive::{Primitive, Scene};
use fieldstop_gui::scene::stars::magnitude_limit;
use fieldstop_gui::scene::view::SkyView;

/// So many stars all over a view, spread evenly by a Halton sequence, each bright enough to be drawn.
pub(crate) fn stars(view: &SkyView, count: usize) -> Vec<Star> {
    let limit = magnitude_limit(view) as f32;
    let halton = |mut index: usize, base: usize| {
        let (mut share, mut value) = (1.0, 0.0);
        while index > 0 {
            share /= base as f64;
            value += share * (index % base) as f64;
            index /= base;
        }
        value
    };
    (1..=count)
        .map(|index| Star {
            place: view.sky([halton(index, 2) * view.width_pt, halton(index, 3) * view.height_pt]),
            v_mag: limit - 0.4 - 4.0 * (halton(index, 5) as f32).powi(4),
            b_v: 1.6 * halton(index, 7) as f32 - 0.2,
        })
        .collect()
}

/// Discs of a scene; a bright star has several.
pub(crate) fn discs(scene: &Scene) -> usize {
    let count = |item: &Primitive| match item {
        Primitive::Discs(discs) => discs.len(),
        _ => 0,
    };
    scene.items.iter().map(count).sum()
}
