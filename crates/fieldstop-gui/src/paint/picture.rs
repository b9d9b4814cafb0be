//! Fills a picture's triangles with its pixels, without a graphics card.
//!
//! Between the corners of a triangle the place on the raster is linear. A pixel belongs to the one
//! triangle that holds its middle, so nothing is laid over twice and no seam shows. Where the
//! raster is finer than the pixels, a smaller version of it is taken.

use crate::scene::picture::{Picture, Vertex};
use crate::scene::primitive::{Bounds, Point};
use crate::scene::raster::{Level, Raster};

/// Where a picture's points are in pixels, and which pixels may be touched.
#[derive(Clone, Copy, Debug)]
pub struct Grid {
    /// Pixels to a point of the page.
    pub px_per_pt: f64,
    /// Where the page's top left corner lies, in pixels.
    pub origin_px: Point,
    /// Pixels that may be touched; its sides are at least 0.
    pub clip_px: Bounds,
}

/// Hands out every pixel of a picture: column, row, colour (0 to 255) and opacity (0 to 1).
pub fn fill(picture: &Picture, grid: &Grid, put: &mut dyn FnMut(u32, u32, [u8; 3], f32)) {
    let corner = |index: u32| picture.vertices.get(index as usize).map(|v| Corner::of(v, grid));
    let mut triangles: Vec<[Corner; 3]> = Vec::with_capacity(picture.triangles.len());
    for &[a, b, c] in &picture.triangles {
        if let (Some(a), Some(b), Some(c)) = (corner(a), corner(b), corner(c)) {
            triangles.push([a, b, c]);
        }
    }
    for triangle in &triangles {
        if let Some(sampler) = Sampler::of(triangle, &picture.raster) {
            one(triangle, &sampler, grid, &mut |column, row, [red, green, blue, alpha]| {
                if alpha > 0.0 {
                    let share = alpha * picture.opacity as f32;
                    // OK because the colours lie between 0 and 255.
                    let colour = [red, green, blue].map(|v| (v + 0.5) as u8);
                    put(column, row, Picture::shown(colour, picture.hue), share);
                }
            });
        }
    }
}

/// A picture as upright pixels, for papers that take no mesh.
#[derive(Clone, Debug, PartialEq)]
pub struct Upright {
    /// Where it lies on the page, in points.
    pub bounds: Bounds,
    /// Pixels across.
    pub width_px: u32,
    /// Pixels down.
    pub height_px: u32,
    /// Four bytes a pixel, not premultiplied; see-through outside the picture.
    pub rgba: Vec<u8>,
}

/// Lays a picture out as upright pixels, as far as it is on a page of this size.
///
/// `None` if nothing of it is there, or if it would have more than `most_px` pixels.
pub fn upright(picture: &Picture, page: Bounds, px_per_pt: f64, most_px: u64) -> Option<Upright> {
    let points = picture.triangles.iter().flatten();
    let points = points.filter_map(|index| picture.vertices.get(*index as usize)).map(|v| v.at);
    let mut shown = Bounds { left: f64::MAX, top: f64::MAX, right: f64::MIN, bottom: f64::MIN };
    for [x, y] in points {
        shown = Bounds {
            left: shown.left.min(x),
            top: shown.top.min(y),
            right: shown.right.max(x),
            bottom: shown.bottom.max(y),
        };
    }
    let step = |edge: f64| edge * px_per_pt;
    let left = step(shown.left.max(page.left)).floor();
    let top = step(shown.top.max(page.top)).floor();
    let width = step(shown.right.min(page.right)).ceil() - left;
    let height = step(shown.bottom.min(page.bottom)).ceil() - top;
    if !(width >= 1.0 && height >= 1.0 && width * height <= most_px as f64) {
        return None;
    }
    // OK because both are whole numbers whose product is bounded.
    let (width_px, height_px) = (width as u32, height as u32);
    let mut rgba = vec![0u8; width_px as usize * height_px as usize * 4];
    let grid =
        Grid { px_per_pt, origin_px: [-left, -top], clip_px: Bounds::at(0.0, 0.0, width, height) };
    fill(picture, &grid, &mut |column, row, [red, green, blue], share| {
        let at = (row as usize * width_px as usize + column as usize) * 4;
        if let Some(pixel) = rgba.get_mut(at..at + 4) {
            // OK because the share lies between 0 and 1.
            pixel.copy_from_slice(&[red, green, blue, (share * 255.0 + 0.5) as u8]);
        }
    });
    let bounds =
        Bounds::at(left / px_per_pt, top / px_per_pt, width / px_per_pt, height / px_per_pt);
    Some(Upright { bounds, width_px, height_px, rgba })
}

/// A corner of a triangle: pixels of the page, and place on the raster.
#[derive(Clone, Copy)]
struct Corner {
    x: f64,
    y: f64,
    uv: [f64; 2],
}

impl Corner {
    fn of(vertex: &Vertex, grid: &Grid) -> Self {
        let [x, y] = vertex.at;
        Self {
            x: grid.origin_px[0] + x * grid.px_per_pt,
            y: grid.origin_px[1] + y * grid.px_per_pt,
            uv: vertex.uv,
        }
    }
}

/// The linear map from pixels of the page to pixels of one of the raster's sizes.
struct Sampler<'r> {
    level: &'r Level,
    at_zero: [f64; 2],
    per_x: [f64; 2],
    per_y: [f64; 2],
}

impl<'r> Sampler<'r> {
    fn of([a, b, c]: &[Corner; 3], raster: &'r Raster) -> Option<Self> {
        let (width, height) = raster.size();
        let sides = [width as f64, height as f64];
        let (bx, by, cx, cy) = (b.x - a.x, b.y - a.y, c.x - a.x, c.y - a.y);
        let twice_area = bx * cy - by * cx;
        if twice_area == 0.0 || !twice_area.is_finite() {
            return None;
        }
        let mut map = [[0.0; 2]; 3];
        for (axis, side) in sides.into_iter().enumerate() {
            // OK because a place on the raster has two parts.
            let (p, q, r) = (a.uv[axis] * side, b.uv[axis] * side, c.uv[axis] * side);
            let per_x = ((q - p) * cy - (r - p) * by) / twice_area;
            let per_y = ((r - p) * bx - (q - p) * cx) / twice_area;
            map[0][axis] = p - per_x * a.x - per_y * a.y;
            map[1][axis] = per_x;
            map[2][axis] = per_y;
        }
        let texels = map[1][0].hypot(map[1][1]).max(map[2][0].hypot(map[2][1]));
        // OK because a float is cast to the nearest whole number from 0 on.
        let wanted = texels.max(1.0).log2().round() as usize;
        let number = wanted.min(raster.levels().len().saturating_sub(1));
        let level = raster.levels().get(number)?;
        let smaller = 0.5f64.powi(i32::try_from(number).unwrap_or(i32::MAX));
        let [at_zero, per_x, per_y] = map.map(|part| part.map(|value| value * smaller));
        Some(Self { level, at_zero, per_x, per_y })
    }

    fn colour(&self, x: f64, y: f64) -> [f32; 4] {
        let on = |axis: usize| self.at_zero[axis] + x * self.per_x[axis] + y * self.per_y[axis];
        self.level.between(on(0) as f32, on(1) as f32)
    }
}

/// Goes through the pixels whose middles lie in a triangle.
fn one(
    corners: &[Corner; 3],
    sampler: &Sampler<'_>,
    grid: &Grid,
    put: &mut dyn FnMut(u32, u32, [f32; 4]),
) {
    let clip = &grid.clip_px;
    let [a, b, c] = corners;
    let from = a.y.min(b.y).min(c.y).max(clip.top);
    let to = a.y.max(b.y).max(c.y).min(clip.bottom);
    // The first row whose middle is not above, the first whose middle is not above the end.
    for row in first(from)..first(to) {
        let y = f64::from(row) + 0.5;
        let mut ends = [(a, b), (b, c), (c, a)].into_iter().filter_map(|(p, q)| crossing(p, q, y));
        let (Some(one), Some(other)) = (ends.next(), ends.next()) else { continue };
        let (left, right) = (one.min(other).max(clip.left), one.max(other).min(clip.right));
        for column in first(left)..first(right) {
            put(column, row, sampler.colour(f64::from(column) + 0.5, y));
        }
    }
}

/// The first pixel whose middle is at this edge or beyond it.
fn first(edge: f64) -> u32 {
    // OK because a float is cast to the nearest whole number from 0 on.
    (edge - 0.5).ceil() as u32
}

/// Where an edge crosses a line of middles. Two triangles that share it get the very same number.
fn crossing(p: &Corner, q: &Corner, y: f64) -> Option<f64> {
    let (above, below) = if (p.y, p.x) <= (q.y, q.x) { (p, q) } else { (q, p) };
    (above.y <= y && y < below.y)
        .then(|| above.x + (below.x - above.x) * ((y - above.y) / (below.y - above.y)))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use std::sync::Arc;

    use super::*;

    /// A square that is turned and cut into four by its middle.
    fn turned(raster: Raster, opacity: f64) -> Picture {
        let vertex = |x: f64, y: f64, u: f64, v: f64| Vertex { at: [x, y], uv: [u, v] };
        Picture {
            raster: Arc::new(raster),
            opacity,
            hue: None,
            vertices: vec![
                vertex(20.3, 2.7, 0.0, 0.0),
                vertex(37.9, 20.1, 1.0, 0.0),
                vertex(20.7, 38.2, 1.0, 1.0),
                vertex(3.1, 19.4, 0.0, 1.0),
                vertex(20.5, 20.1, 0.5, 0.5),
            ],
            triangles: vec![[0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4]],
        }
    }

    fn grid() -> Grid {
        let clip_px = Bounds::at(0.0, 0.0, 80.0, 80.0);
        Grid { px_per_pt: 2.0, origin_px: [0.0, 0.0], clip_px }
    }

    #[test]
    fn every_pixel_is_touched_once() {
        let picture = turned(Raster::new(4, 4, vec![255; 64]), 0.5);
        let mut touched = vec![0; 80 * 80];
        fill(&picture, &grid(), &mut |column, row, colour, share| {
            touched[row as usize * 80 + column as usize] += 1;
            assert_eq!(colour, [255; 3]);
            assert!((share - 0.5).abs() < 1e-6);
        });
        assert!(touched.iter().all(|count| *count <= 1));
        let pixels = touched.iter().sum::<i32>();
        // Its area in pixels, by the cross product of its diagonals.
        let area = 4.0 * 0.5 * ((20.7 - 20.3) * (19.4 - 20.1) - (38.2 - 2.7) * (3.1 - 37.9f64));
        assert!((f64::from(pixels) - area).abs() < 12.0, "{pixels} for {area}");
        // No hole: in every row the touched pixels hang together.
        for row in touched.chunks(80) {
            let runs = row.windows(2).filter(|pair| pair[0] != pair[1]).count();
            assert!(runs <= 2, "{row:?}");
        }
    }

    #[test]
    fn colours_lie_where_the_mesh_puts_them() {
        let mut rgba = Vec::new();
        for y in 0..64u8 {
            rgba.extend((0..64u8).flat_map(|x| [x * 4, y * 4, 0, 255]));
        }
        let picture = turned(Raster::new(64, 64, rgba), 1.0);
        let mut worst = 0f64;
        fill(&picture, &grid(), &mut |column, row, [red, green, _], _| {
            let (x, y) = (f64::from(column) / 2.0 + 0.25, f64::from(row) / 2.0 + 0.25);
            // Solved from the corners: the square is very nearly a parallelogram.
            let (dx, dy) = (x - 20.3, y - 2.7);
            let u = (dx * 16.7 + dy * 17.2) / (17.6 * 16.7 + 17.4 * 17.2);
            let v = (dy * 17.6 - dx * 17.4) / (17.6 * 16.7 + 17.4 * 17.2);
            let wanted = [u, v].map(|share| (share * 64.0 - 0.5) * 4.0);
            if (8.0..240.0).contains(&wanted[0]) && (8.0..240.0).contains(&wanted[1]) {
                worst = worst.max((f64::from(red) - wanted[0]).abs());
                worst = worst.max((f64::from(green) - wanted[1]).abs());
            }
        });
        assert!(worst > 0.0 && worst < 12.0, "{worst}");
    }

    #[test]
    fn upright_pixels_are_cut_at_the_page() {
        let picture = turned(Raster::new(4, 4, vec![255; 64]), 1.0);
        let page = Bounds::at(10.0, 0.0, 100.0, 100.0);
        let found = upright(&picture, page, 2.0, 1_000_000).unwrap();
        assert_eq!(found.bounds.left, 10.0);
        assert!((found.bounds.right - 37.9).abs() <= 0.5);
        assert_eq!(found.rgba.len(), (found.width_px * found.height_px * 4) as usize);
        assert!(found.rgba.chunks(4).any(|pixel| pixel == [255; 4]));
        assert!(upright(&picture, page, 2.0, 100).is_none());
        let elsewhere = Bounds::at(200.0, 0.0, 10.0, 10.0);
        assert!(upright(&picture, elsewhere, 2.0, 1_000_000).is_none());
    }
}
