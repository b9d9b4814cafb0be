//! A scene as egui shapes.

use std::collections::BTreeMap;
use std::sync::Arc;

use egui::epaint::{PathShape, Vertex};
use egui::{
    Color32, ColorImage, FontId, Mesh, Painter, Pos2, Rect, Shape, TextureHandle, TextureOptions,
    Vec2, pos2,
};

use super::dash::marks;
use crate::font;
use crate::scene::picture::Picture;
use crate::scene::primitive::{Anchor, Disc, Ink, Point, Primitive, Scene, Stroke, TextMark};
use crate::scene::raster::{Level, Raster};

/// Paints a scene with its top left corner at `origin`. A point of the scene is a point of egui.
pub fn paint(scene: &Scene, painter: &Painter, origin: Pos2) {
    let page =
        Rect::from_min_size(origin, Vec2::new(scene.width_pt as f32, scene.height_pt as f32));
    let painter = painter.with_clip_rect(painter.clip_rect().intersect(page));
    painter.rect_filled(page, 0.0, colour(scene.background));
    for item in &scene.items {
        match item {
            Primitive::Line { points, closed, stroke } => {
                line(&painter, origin, points, *closed, stroke);
            }
            Primitive::Polygon { points, fill } => {
                let points = points.iter().map(|point| at(origin, *point)).collect();
                painter.add(Shape::convex_polygon(points, colour(*fill), egui::Stroke::NONE));
            }
            Primitive::Discs(discs) => {
                painter.extend(discs.iter().map(|disc| disc_shape(origin, disc)));
            }
            Primitive::Text(mark) => text(&painter, origin, mark),
            Primitive::Picture(picture) => textured(&painter, origin, picture),
            Primitive::Inset { origin: inset, scene } => paint(scene, &painter, at(origin, *inset)),
        }
    }
}

/// egui's form of a colour.
pub fn colour(ink: Ink) -> Color32 {
    let [red, green, blue, alpha] = ink.0;
    Color32::from_rgba_unmultiplied(red, green, blue, alpha)
}

fn at(origin: Pos2, [x, y]: Point) -> Pos2 {
    pos2(origin.x + x as f32, origin.y + y as f32)
}

fn disc_shape(origin: Pos2, disc: &Disc) -> Shape {
    let centre = pos2(origin.x + disc.x, origin.y + disc.y);
    Shape::circle_filled(centre, disc.radius, colour(disc.ink))
}

/// The textures that hold a picture's pixels, and those pixels.
#[derive(Clone)]
struct Loaded {
    raster: Arc<Raster>,
    /// The one colour they are shown in, if it is not their own.
    hue: Option<Ink>,
    /// By the number of the raster's size.
    sizes: BTreeMap<usize, TextureHandle>,
}

/// A mesh of triangles, each filled with its part of the picture by the graphics card.
fn textured(painter: &Painter, origin: Pos2, picture: &Picture) {
    let Some((texture, scale)) = loaded(painter.ctx(), picture) else { return };
    let mut mesh = Mesh::with_texture(texture.id());
    // OK because a float is cast to the nearest byte.
    let faded = (picture.opacity * 255.0).round() as u8;
    let color = Color32::from_rgba_premultiplied(faded, faded, faded, faded);
    mesh.vertices.extend(picture.vertices.iter().map(|vertex| {
        let [u, v] = vertex.uv.map(|share| share as f32);
        Vertex { pos: at(origin, vertex.at), uv: pos2(u * scale[0], v * scale[1]), color }
    }));
    mesh.indices.extend(picture.triangles.iter().flatten());
    painter.add(mesh);
}

/// The pixels on the graphics card, in the size that the view has a use for: those of the last picture
/// stay there until another comes. Shares of the raster's sides become shares of the texture's by what
/// comes with it.
///
/// The raster's own smaller sizes are loaded when they are wanted. If the card's driver made them, as
/// it can, all of the picture would have to be loaded and halved within one frame: where that is done
/// without a graphics card, 4 megapixels take 16 ms to load and 24 ms more to halve, 140 ms the first
/// time.
fn loaded(ctx: &egui::Context, picture: &Picture) -> Option<(TextureHandle, [f32; 2])> {
    let key = egui::Id::unique("own picture on the graphics card");
    let (raster, hue) = (&picture.raster, picture.hue);
    let known: Option<Loaded> = ctx.data(|data| data.get_temp(key));
    let known = known.filter(|known| Arc::ptr_eq(&known.raster, raster) && known.hue == hue);
    let mut loaded =
        known.unwrap_or_else(|| Loaded { raster: raster.clone(), hue, sizes: BTreeMap::new() });

    let most = ctx.input(|input| input.max_texture_side);
    let wanted = picture.size_for(f64::from(ctx.pixels_per_point()));
    let fits = |(number, level): &(usize, &Level)| {
        let is_last = number + 1 == raster.levels().len();
        (*number >= wanted || is_last) && level.width.max(level.height) <= most
    };
    let (number, level) = raster.levels().iter().enumerate().find(fits)?;
    let texture = loaded.sizes.entry(number).or_insert_with(|| {
        let size = [level.width, level.height];
        // Its pixels are opaque or black, so they are premultiplied already.
        let image = match hue {
            None => ColorImage::from_rgba_premultiplied(size, &level.rgba),
            Some(hue) => ColorImage::from_rgba_premultiplied(size, &in_one_hue(&level.rgba, hue)),
        };
        ctx.load_texture("own picture", image, TextureOptions::LINEAR)
    });
    let texture = texture.clone();
    ctx.data_mut(|data| data.insert_temp(key, loaded));
    let (width, height) = raster.size();
    let smaller = 2f32.powi(i32::try_from(number).unwrap_or(i32::MAX));
    let scale = [(width, level.width), (height, level.height)]
        .map(|(whole, here)| whole as f32 / smaller / here as f32);
    Some((texture, scale))
}

/// Pixels whose light is shown in one colour.
fn in_one_hue(rgba: &[u8], hue: Ink) -> Vec<u8> {
    let (pixels, _) = rgba.as_chunks::<4>();
    let shown = pixels.iter().map(|&[red, green, blue, alpha]| {
        let [red, green, blue] = Picture::shown([red, green, blue], Some(hue));
        [red, green, blue, alpha]
    });
    shown.collect::<Vec<_>>().into_flattened()
}

fn line(painter: &Painter, origin: Pos2, points: &[Point], closed: bool, stroke: &Stroke) {
    let drawn = egui::Stroke::new(stroke.width_pt as f32, colour(stroke.ink));
    if stroke.dash.is_empty() && closed {
        let points = points.iter().map(|point| at(origin, *point)).collect();
        painter.add(PathShape::closed_line(points, drawn));
        return;
    }
    let marks = marks(points, closed, stroke.dash, stroke.dash_offset_pt);
    painter.extend(marks.into_iter().map(|mark| {
        let points = mark.into_iter().map(|point| at(origin, point)).collect();
        Shape::Path(PathShape::line(points, drawn))
    }));
}

fn text(painter: &Painter, origin: Pos2, mark: &TextMark) {
    let font = FontId::new(mark.size_pt as f32, font::family(mark.weight));
    let ink = colour(mark.ink);
    let galley = painter.layout_no_wrap(mark.text.clone(), font, ink);
    let rise = galley
        .rows
        .first()
        .map_or(0.0, |row| row.pos.y + row.glyphs.first().map_or(0.0, |glyph| glyph.pos.y));
    let place = at(origin, mark.at);
    let left = match mark.anchor {
        Anchor::Start => place.x,
        Anchor::Middle => place.x - galley.size().x / 2.0,
        Anchor::End => place.x - galley.size().x,
    };
    let corner = pos2(left, place.y - rise);
    if let Some(halo) = mark.halo {
        let reach = TextMark::HALO_PT as f32 * std::f32::consts::FRAC_1_SQRT_2;
        for (x, y) in [(-reach, -reach), (reach, -reach), (-reach, reach), (reach, reach)] {
            painter.galley_with_override_text_color(
                corner + Vec2::new(x, y),
                galley.clone(),
                colour(halo),
            );
        }
    }
    painter.galley(corner, galley, ink);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pixels_in_one_hue_keep_their_light_and_what_is_see_through() {
        let pixels = [255, 255, 255, 255, 0, 255, 0, 255, 0, 0, 0, 255, 0, 0, 0, 0];
        let shown = in_one_hue(&pixels, Ink::rgb(84, 0, 0));
        // A bright green is 183/256 as light as white (ITU-R BT.709, item 3.2).
        assert_eq!(shown, [84, 0, 0, 255, 60, 0, 0, 255, 0, 0, 0, 255, 0, 0, 0, 0]);
    }
}
