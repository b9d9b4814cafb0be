//! A scene as a PNG picture, without a screen.
//!
//! Lines and areas are tiny-skia's, letters the outlines of the bundled font, stars small discs
//! of our own, since there are so many. A picture is painted in bands of rows, so its memory does
//! not grow with its height, and someone who waits can be told how far it is.

use std::io::Write;

use ab_glyph::{Font, Glyph, PxScale, point};
use png::{BitDepth, ColorType, Compression, Encoder, PixelDimensions, Unit};
use thiserror::Error;
use tiny_skia::{
    FillRule, LineCap, LineJoin, Mask, Paint, Path, PathBuilder, Pixmap, PixmapMut, Rect, Transform,
};

use super::dash::marks;
use super::picture;
use crate::font;
use crate::scene::picture::Picture;
use crate::scene::primitive::{Bounds, Disc, Ink, Point, Primitive, Scene, Stroke, TextMark};

/// Why a picture could not be made.
#[derive(Debug, Error)]
pub enum PngError {
    /// There is no room for its pixels.
    #[error("a picture of {width} x {height} pixels does not fit into memory")]
    TooLarge {
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
    },
    /// The one who waited for it said stop.
    #[error("stopped before the picture was done")]
    Stopped,
    /// The encoder or its output failed.
    #[error("the picture could not be written as PNG: {source}")]
    Encoding {
        /// What it said.
        #[from]
        source: png::EncodingError,
    },
}

/// What a PNG says about itself beside its pixels.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PngInfo {
    /// Physical resolution, in pixels an inch.
    pub px_per_inch: f64,
    /// Keyword and text of each text field.
    pub texts: Vec<(&'static str, String)>,
}

/// Pixels of one band; 8 million take 32 MB, and 8 more for what hides the edges of an inset.
const BAND_PX: u64 = 8_000_000;

/// Paints a whole scene.
///
/// # Errors
/// If the pixels find no room.
pub fn render(scene: &Scene, px_per_pt: f64) -> Result<Pixmap, PngError> {
    let (width, height) = size_px(scene, px_per_pt);
    let mut pixmap = Pixmap::new(width, height).ok_or(PngError::TooLarge { width, height })?;
    Band { top: 0, px_per_pt }.paint(scene, &mut pixmap.as_mut());
    Ok(pixmap)
}

/// Paints a whole scene band by band into one picture: its size, and four bytes a pixel, opaque.
///
/// `progress` is told the share done, 0 to 1, and answers whether to go on.
///
/// # Errors
/// If it was stopped, or the pixels find no room.
pub fn pixels(
    scene: &Scene,
    px_per_pt: f64,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<([u32; 2], Vec<u8>), PngError> {
    let (width, height) = size_px(scene, px_per_pt);
    let too_large = || PngError::TooLarge { width, height };
    let row = usize::try_from(width).ok().and_then(|width| width.checked_mul(4));
    let row = row.ok_or_else(too_large)?;
    let bytes = usize::try_from(height).ok().and_then(|height| height.checked_mul(row));
    let bytes = bytes.ok_or_else(too_large)?;
    let mut rgba = Vec::new();
    rgba.try_reserve_exact(bytes).map_err(|_| too_large())?;
    rgba.resize(bytes, 0);
    let rows = u32::try_from(BAND_PX / u64::from(width)).unwrap_or(u32::MAX).clamp(1, height);
    let mut top = 0;
    for band in rgba.chunks_mut(row.saturating_mul(rows as usize)) {
        if !progress(top as f32 / height as f32) {
            return Err(PngError::Stopped);
        }
        let here = rows.min(height - top);
        let mut pixmap = PixmapMut::from_bytes(band, width, here).ok_or_else(too_large)?;
        Band { top, px_per_pt }.paint(scene, &mut pixmap);
        top += here;
    }
    progress(1.0);
    Ok(([width, height], rgba))
}

/// Size of a scene in whole pixels, at least one each way.
pub fn size_px(scene: &Scene, px_per_pt: f64) -> (u32, u32) {
    // OK because a float is cast to the nearest value that fits.
    let whole = |length_pt: f64| (length_pt * px_per_pt).round().max(1.0) as u32;
    (whole(scene.width_pt), whole(scene.height_pt))
}

/// Paints a scene and writes it as PNG, band by band.
///
/// `progress` is told the share done, 0 to 1, and answers whether to go on.
///
/// # Errors
/// If it was stopped, there is no room for a band, or the output fails.
pub fn encode(
    scene: &Scene,
    px_per_pt: f64,
    info: &PngInfo,
    out: impl Write,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<(), PngError> {
    let (width, height) = size_px(scene, px_per_pt);
    let rows = u32::try_from(BAND_PX / u64::from(width)).unwrap_or(u32::MAX).clamp(1, height);
    let mut pixmap = Pixmap::new(width, rows).ok_or(PngError::TooLarge { width, height: rows })?;
    let mut writer = encoder(out, width, height, info)?.write_header()?;
    let mut stream = writer.stream_writer()?;
    let mut rgb = Vec::new();
    let mut top = 0;
    while top < height {
        if !progress(top as f32 / height as f32) {
            return Err(PngError::Stopped);
        }
        Band { top, px_per_pt }.paint(scene, &mut pixmap.as_mut());
        let here = rows.min(height - top);
        opaque_rgb(&pixmap, here, &mut rgb);
        stream.write_all(&rgb).map_err(png::EncodingError::IoError)?;
        top += here;
    }
    stream.finish()?;
    progress(1.0);
    Ok(())
}

fn encoder<W: Write>(
    out: W,
    width: u32,
    height: u32,
    info: &PngInfo,
) -> Result<Encoder<'static, W>, png::EncodingError> {
    let mut encoder = Encoder::new(out, width, height);
    encoder.set_color(ColorType::Rgb);
    encoder.set_depth(BitDepth::Eight);
    encoder.set_compression(Compression::Fast);
    // OK because a float is cast to the nearest value that fits.
    let per_metre = (info.px_per_inch / 0.0254).round() as u32;
    encoder.set_pixel_dims(Some(PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: Unit::Meter,
    }));
    for (keyword, text) in &info.texts {
        encoder.add_itxt_chunk((*keyword).to_owned(), text.clone())?;
    }
    Ok(encoder)
}

/// The first rows of a pixmap without the opacity, which is whole everywhere.
fn opaque_rgb(pixmap: &Pixmap, rows: u32, rgb: &mut Vec<u8>) {
    let bytes = pixmap.width() as usize * rows as usize * 4;
    rgb.clear();
    rgb.extend(
        pixmap.data().iter().take(bytes).enumerate().filter(|(at, _)| at % 4 != 3).map(|(_, b)| *b),
    );
}

/// Some rows of the picture, the first of which is `top`.
#[derive(Clone, Copy)]
struct Band {
    top: u32,
    px_per_pt: f64,
}

/// Where a scene lies on the band, and how much of it may be seen.
struct Place<'m> {
    origin_px: Point,
    clip_px: Bounds,
    mask: Option<&'m Mask>,
}

impl Band {
    fn paint(self, scene: &Scene, pixmap: &mut PixmapMut<'_>) {
        let clip_px = Bounds::at(0.0, 0.0, f64::from(pixmap.width()), f64::from(pixmap.height()));
        let place = Place { origin_px: [0.0, -f64::from(self.top)], clip_px, mask: None };
        let [red, green, blue, _] = scene.background.0;
        pixmap.fill(tiny_skia::Color::from_rgba8(red, green, blue, 255));
        self.items(scene, &place, pixmap);
    }

    fn items(self, scene: &Scene, place: &Place<'_>, pixmap: &mut PixmapMut<'_>) {
        for item in &scene.items {
            match item {
                Primitive::Line { points, closed, stroke } => {
                    self.line(points, *closed, stroke, place, pixmap);
                }
                Primitive::Polygon { points, fill } => {
                    if let Some(path) = self.path(points, true, place) {
                        let fill = paint_of(*fill);
                        let winding = FillRule::Winding;
                        pixmap.fill_path(&path, &fill, winding, Transform::identity(), place.mask);
                    }
                }
                Primitive::Discs(discs) => {
                    for disc in discs {
                        self.disc(disc, place, pixmap);
                    }
                }
                Primitive::Text(mark) => self.text(mark, place, pixmap),
                Primitive::Picture(picture) => self.picture(picture, place, pixmap),
                Primitive::Inset { origin, scene } => self.inset(*origin, scene, place, pixmap),
            }
        }
    }

    fn point(self, [x, y]: Point, place: &Place<'_>) -> Point {
        [place.origin_px[0] + x * self.px_per_pt, place.origin_px[1] + y * self.px_per_pt]
    }

    fn path(self, points: &[Point], closed: bool, place: &Place<'_>) -> Option<Path> {
        let mut builder = PathBuilder::new();
        let mut points = points.iter().map(|point| self.point(*point, place));
        let [x, y] = points.next()?;
        builder.move_to(x as f32, y as f32);
        points.for_each(|[x, y]| builder.line_to(x as f32, y as f32));
        if closed {
            builder.close();
        }
        builder.finish()
    }

    fn line(
        self,
        points: &[Point],
        closed: bool,
        stroke: &Stroke,
        place: &Place<'_>,
        pixmap: &mut PixmapMut<'_>,
    ) {
        let drawn = tiny_skia::Stroke {
            width: (stroke.width_pt * self.px_per_pt) as f32,
            line_cap: LineCap::Butt,
            line_join: LineJoin::Miter,
            ..tiny_skia::Stroke::default()
        };
        let ink = paint_of(stroke.ink);
        let mut path = |points: &[Point], closed| {
            if let Some(path) = self.path(points, closed, place) {
                pixmap.stroke_path(&path, &ink, &drawn, Transform::identity(), place.mask);
            }
        };
        if stroke.dash.is_empty() {
            path(points, closed);
        } else {
            for mark in marks(points, closed, stroke.dash, stroke.dash_offset_pt) {
                path(&mark, false);
            }
        }
    }

    /// A scene within the scene: its background, then its items, neither beyond its edges.
    fn inset(self, origin: Point, scene: &Scene, place: &Place<'_>, pixmap: &mut PixmapMut<'_>) {
        let [left, top] = self.point(origin, place);
        let [right, bottom] =
            self.point([origin[0] + scene.width_pt, origin[1] + scene.height_pt], place);
        let clip_px = Bounds {
            left: left.max(place.clip_px.left),
            top: top.max(place.clip_px.top),
            right: right.min(place.clip_px.right),
            bottom: bottom.min(place.clip_px.bottom),
        };
        let edges = [clip_px.left, clip_px.top, clip_px.right, clip_px.bottom].map(|v| v as f32);
        let Some(rect) = Rect::from_ltrb(edges[0], edges[1], edges[2], edges[3]) else {
            return;
        };
        let ground = paint_of(scene.background);
        pixmap.fill_rect(rect, &ground, Transform::identity(), place.mask);
        let mut mask = Mask::new(pixmap.width(), pixmap.height());
        if let Some(mask) = &mut mask {
            mask.fill_path(
                &PathBuilder::from_rect(rect),
                FillRule::Winding,
                false,
                Transform::identity(),
            );
        }
        let inside = Place { origin_px: [left, top], clip_px, mask: mask.as_ref() };
        self.items(scene, &inside, pixmap);
    }

    /// A small disc, its edge softened over one pixel. One thinner than a pixel keeps its light
    /// and not its size.
    fn disc(self, disc: &Disc, place: &Place<'_>, pixmap: &mut PixmapMut<'_>) {
        let [x, y] = self.point([f64::from(disc.x), f64::from(disc.y)], place);
        let (x, y) = (x as f32, y as f32);
        let wanted = disc.radius * self.px_per_pt as f32;
        let radius = wanted.max(0.7);
        let faded = (wanted / radius).powi(2);
        let reach = radius + 0.5;
        let clip = &place.clip_px;
        let (Some(columns), Some(rows)) = (
            whole(x - reach, x + reach, clip.left, clip.right),
            whole(y - reach, y + reach, clip.top, clip.bottom),
        ) else {
            return;
        };
        for row in rows {
            let down = row as f32 + 0.5 - y;
            for column in columns.clone() {
                let across = column as f32 + 0.5 - x;
                let cover = (reach - across.hypot(down)).clamp(0.0, 1.0) * faded;
                blend(pixmap, column, row, disc.ink, cover);
            }
        }
    }

    fn picture(self, picture: &Picture, place: &Place<'_>, pixmap: &mut PixmapMut<'_>) {
        let (origin_px, clip_px) = (place.origin_px, place.clip_px);
        let grid = picture::Grid { px_per_pt: self.px_per_pt, origin_px, clip_px };
        picture::fill(picture, &grid, &mut |column, row, [red, green, blue], share| {
            blend(pixmap, column, row, Ink::rgb(red, green, blue), share);
        });
    }

    fn text(self, mark: &TextMark, place: &Place<'_>, pixmap: &mut PixmapMut<'_>) {
        let reach_px = TextMark::HALO_PT * self.px_per_pt;
        let [x, y] = self.point([mark.left(), mark.at[1]], place);
        let bounds = mark.bounds();
        let (above, below) = (mark.at[1] - bounds.top, bounds.bottom - mark.at[1]);
        // Accents stand above the capitals.
        if y - (above + mark.size_pt) * self.px_per_pt - reach_px > place.clip_px.bottom
            || y + (below + mark.size_pt) * self.px_per_pt + reach_px < place.clip_px.top
        {
            return;
        }
        if let Some(halo) = mark.halo {
            let reach = reach_px * std::f64::consts::FRAC_1_SQRT_2;
            for (dx, dy) in [(-reach, -reach), (reach, -reach), (-reach, reach), (reach, reach)] {
                self.letters(mark, [x + dx, y + dy], halo, place, pixmap);
            }
        }
        self.letters(mark, [x, y], mark.ink, place, pixmap);
    }

    fn letters(
        self,
        mark: &TextMark,
        [x, y]: Point,
        ink: Ink,
        place: &Place<'_>,
        pixmap: &mut PixmapMut<'_>,
    ) {
        let outlines = font::outlines(mark.weight);
        let size_px = (mark.size_pt * self.px_per_pt) as f32;
        let per_em = outlines.units_per_em().unwrap_or(1000.0);
        // ab_glyph's scale is the height of a line, not the em.
        let scale = PxScale::from(size_px * outlines.height_unscaled() / per_em);
        let mut pen = x as f32;
        for character in mark.text.chars() {
            let glyph =
                Glyph { id: outlines.glyph_id(character), scale, position: point(pen, y as f32) };
            pen += font::advance(character, size_px, mark.weight);
            let Some(outline) = outlines.outline_glyph(glyph) else {
                continue;
            };
            let corner = outline.px_bounds().min;
            outline.draw(|column, row, cover| {
                let (column, row) = (column as f32 + corner.x, row as f32 + corner.y);
                let clip = &place.clip_px;
                let middle = [f64::from(column) + 0.5, f64::from(row) + 0.5];
                if clip.contains(middle) {
                    // OK because the place lies inside the clip, which lies inside the pixmap.
                    blend(pixmap, column as u32, row as u32, ink, cover.min(1.0));
                }
            });
        }
    }
}

/// The pixels that a stretch touches, inside a clip; none if it lies outside.
fn whole(from: f32, to: f32, least: f64, most: f64) -> Option<std::ops::Range<u32>> {
    let (from, to) = (f64::from(from).floor().max(least), f64::from(to).ceil().min(most));
    // OK because both are at least 0 here and at most the pixmap's side.
    (from < to).then(|| from.round() as u32..to.round() as u32)
}

fn paint_of(ink: Ink) -> Paint<'static> {
    let [red, green, blue, alpha] = ink.0;
    let mut paint = Paint::default();
    paint.set_color_rgba8(red, green, blue, alpha);
    paint.anti_alias = true;
    paint
}

/// Lays a colour over an opaque pixel.
fn blend(pixmap: &mut PixmapMut<'_>, column: u32, row: u32, ink: Ink, cover: f32) {
    let [red, green, blue, alpha] = ink.0;
    let share = cover * f32::from(alpha) / 255.0;
    let at = (row as usize * pixmap.width() as usize + column as usize) * 4;
    let Some(pixel) = pixmap.data_mut().get_mut(at..at + 3) else {
        return;
    };
    for (channel, new) in pixel.iter_mut().zip([red, green, blue]) {
        let old = f32::from(*channel);
        // OK because the value lies between two bytes.
        *channel = (old + (f32::from(new) - old) * share + 0.5) as u8;
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::*;
    use crate::font::Weight;
    use crate::scene::primitive::Anchor;

    const RED: Ink = Ink::rgb(255, 0, 0);

    fn page() -> Scene {
        let mut inset = Scene::new(40.0, 40.0, Ink::rgb(0, 0, 60));
        inset.line(vec![[-20.0, 20.0], [60.0, 21.0]], Stroke::solid(RED, 3.0));
        let disc = Disc { x: 40.0, y: 5.0, radius: 9.0, ink: RED };
        inset.items.push(Primitive::Discs(vec![disc]));
        let mut scene = Scene::new(100.0, 80.0, Ink::rgb(0, 0, 0));
        scene.items.push(Primitive::Inset { origin: [30.0, 20.0], scene: inset });
        scene.outline(
            vec![[5.0, 5.0], [95.0, 8.0], [90.0, 75.0]],
            Stroke::dashed(Ink::rgb(0, 255, 0), 1.5, &[6.0, 3.0]),
        );
        scene.items.push(Primitive::Text(TextMark {
            at: [50.0, 41.0],
            anchor: Anchor::Middle,
            text: "Ågh 12°".to_owned(),
            size_pt: 12.0,
            weight: Weight::Heavy,
            ink: Ink::rgb(255, 255, 255),
            halo: Some(Ink::rgb(0, 0, 0)),
        }));
        scene
    }

    #[test]
    fn an_inset_is_cut_off_at_its_edges() {
        let pixmap = render(&page(), 1.0).unwrap();
        for (row, pixels) in pixmap.data().chunks(400).enumerate() {
            for (column, pixel) in pixels.chunks(4).enumerate() {
                let inside = (30..70).contains(&column) && (20..60).contains(&row);
                assert!(inside || pixel[0] == pixel[2], "red at {column}, {row}");
            }
        }
    }

    #[test]
    fn bands_fit_together() {
        let whole = render(&page(), 2.0).unwrap();
        for (top, rows) in [(0, 33), (33, 60), (93, 67)] {
            let mut band = Pixmap::new(200, rows).unwrap();
            Band { top, px_per_pt: 2.0 }.paint(&page(), &mut band.as_mut());
            let same = &whole.data()[top as usize * 800..];
            let worst = band.data().iter().zip(same).map(|(a, b)| a.abs_diff(*b)).max();
            // tiny-skia knows 16 steps of cover, and a coordinate may be rounded to the next.
            assert!(worst.unwrap() <= 16, "{worst:?} in the band from row {top}");
        }
    }

    #[test]
    fn a_disc_keeps_its_light_when_it_is_thinner_than_a_pixel() {
        let light = |radius: f32| {
            let mut scene = Scene::new(20.0, 20.0, Ink::rgb(0, 0, 0));
            let disc = Disc { x: 10.3, y: 9.6, radius, ink: Ink::rgb(255, 255, 255) };
            scene.items.push(Primitive::Discs(vec![disc]));
            let pixmap = render(&scene, 1.0).unwrap();
            pixmap.data().chunks(4).map(|pixel| f64::from(pixel[0]) / 255.0).sum::<f64>()
        };
        for radius in [0.2f32, 0.4, 1.5, 3.0, 6.0] {
            let area = std::f64::consts::PI * f64::from(radius).powi(2);
            // A soft edge and whole pixels: within a third for specks, close for discs.
            let within = if radius < 1.0 { 0.35 } else { 0.06 };
            let found = light(radius);
            assert!((found / area - 1.0).abs() < within, "{radius}: {found} for {area}");
        }
    }
}
