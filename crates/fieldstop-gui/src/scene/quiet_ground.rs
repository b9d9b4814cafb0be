//! A quiet ground behind words that stand on a photograph of the person's own: their rim keeps them
//! clear of a drawn sky, but not of a picture that is bright on one side of a letter and dark on the other.

use super::SkyInput;
use super::primitive::{Bounds, Primitive, Scene};
use super::view::Projection;

/// How much of the sky's colour lies over a picture that hides the drawn sky.
const OPACITY: f64 = 0.78;
/// Beside the letters.
const BESIDE_PT: f64 = 3.0;
/// Above and below them; lines of one label just meet.
const ABOVE_PT: f64 = 1.4;

/// Lays it behind every word that the picture reaches.
pub(super) fn lay(input: &SkyInput<'_>, projection: &Projection, scene: &mut Scene) {
    let Some(picture) = input.picture.filter(|picture| picture.opacity > 0.0) else {
        return;
    };
    let ink = input.palette.sky.with_opacity(OPACITY * picture.opacity.min(1.0));
    let items = std::mem::take(&mut scene.items);
    for item in items {
        if let Primitive::Text(text) = &item {
            let letters = text.bounds();
            let ground = Bounds {
                left: letters.left - BESIDE_PT,
                right: letters.right + BESIDE_PT,
                ..letters.expanded(ABOVE_PT)
            };
            let corners = ground.corners();
            let middle = [text.left() + text.width_pt() / 2.0, text.at[1]];
            let covers = |point| picture.covers(projection.sky(point));
            if corners.into_iter().chain([middle]).any(covers) {
                scene.polygon(corners.to_vec(), ink);
            }
        }
        scene.items.push(item);
    }
}
