//! A picture of the person's own under the frames: its pixels put where they lie on the sky.
//!
//! The picture is a grid of points, each projected exactly, with triangles between them that
//! painters fill. The grid is as fine as it takes for the middle of every cell to be right within
//! [`TOLERANCE_PT`].

use std::sync::Arc;

use fieldstop::kit::Background;
use fieldstop::world_coordinates::WorldCoordinates;
use fieldstop::{Direction, Icrs};

use super::palette::Palette;
use super::primitive::{Bounds, Ink, Point, Primitive, Scene};
use super::raster::Raster;
use super::view::{Projection, SkyView};

/// Which row of a picture's pixels comes first.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum RowOrder {
    /// The bottom one, as in FITS.
    FromBottom,
    /// The top one, as in everything else.
    FromTop,
}

impl RowOrder {
    /// From which row a header beside the kit's picture counts.
    pub fn of(background: &Background) -> Self {
        if background.rows_from_top { Self::FromTop } else { Self::FromBottom }
    }
}

/// A picture with its place on the sky.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedPicture {
    /// Name of its file.
    pub name: String,
    /// Its pixels, each standing for a square of the file's.
    pub raster: Arc<Raster>,
    /// Where the file's pixels lie.
    pub map: Arc<WorldCoordinates>,
    /// Which of the raster's rows comes first.
    pub rows: RowOrder,
    /// Side of the square of the file's pixels that one of the raster's stands for.
    pub factor: u32,
    /// How much of the drawn sky it hides, 0 to 1.
    pub opacity: f64,
}

/// A picture on the page.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Its pixels.
    pub raster: Arc<Raster>,
    /// 0 to 1.
    pub opacity: f64,
    /// The one colour that its light is shown in; none for its own colours.
    pub hue: Option<Ink>,
    /// Points of the page with the place of the raster that belongs there.
    pub vertices: Vec<Vertex>,
    /// Three vertices each.
    pub triangles: Vec<[u32; 3]>,
}

impl Picture {
    /// A colour of the raster as it is shown.
    pub fn shown([red, green, blue]: [u8; 3], hue: Option<Ink>) -> [u8; 3] {
        let Some(Ink([most_red, most_green, most_blue, _])) = hue else {
            return [red, green, blue];
        };
        // ITU-R BT.709, item 3.2, to 1/256: how light a coded colour looks.
        let light = (54 * u32::from(red) + 183 * u32::from(green) + 19 * u32::from(blue)) >> 8;
        // OK because the light is at most 255.
        [most_red, most_green, most_blue].map(|most| ((light * u32::from(most) + 127) / 255) as u8)
    }

    /// The number of the raster's smallest size that still has a pixel for every pixel of a page that
    /// has so many to a point.
    pub fn size_for(&self, px_per_pt: f64) -> usize {
        let (width, height) = self.raster.size();
        let vertex = |index: u32| self.vertices.get(index as usize);
        let (mut on_page, mut on_raster) = (0.0, 0.0);
        for &[a, b, c] in &self.triangles {
            if let (Some(a), Some(b), Some(c)) = (vertex(a), vertex(b), vertex(c)) {
                on_page += twice_area([a.at, b.at, c.at]);
                on_raster += twice_area([a.uv, b.uv, c.uv]) * width as f64 * height as f64;
            }
        }
        let per_px = (on_raster / on_page).sqrt() / px_per_pt;
        // OK because a float is cast to the nearest whole number from 0 on, a NaN to 0.
        per_px.log2().floor() as usize
    }
}

fn twice_area([a, b, c]: [Point; 3]) -> f64 {
    ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])).abs()
}

/// A point of a picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vertex {
    /// On the page.
    pub at: Point,
    /// On the raster, from its top left, in shares of its sides.
    pub uv: [f64; 2],
}

/// How far the picture may be off between the grid's points: a fifth of a pixel on the largest
/// sketch, far less on the screen.
pub const TOLERANCE_PT: f64 = 0.02;
/// Cells along a side of the coarsest and of the finest grid.
const CELLS: [usize; 2] = [8, 128];
/// Points farther off the page than so many of its diagonals are left out: near the view's horizon
/// they go to infinity.
const FARTHEST: f64 = 50.0;

impl PlacedPicture {
    /// Whether the picture has a pixel there, so that the drawn sky has no say.
    pub fn covers(&self, place: Direction<Icrs>) -> bool {
        self.opacity > 0.0
            && self.map.pixel(place).is_some_and(|pixel| {
                self.map.contains(pixel) && self.raster.is_opaque(self.uv(pixel))
            })
    }

    /// Whether it hides the whole page.
    pub fn fills(&self, view: &SkyView) -> bool {
        const PROBES: usize = 16;
        let projection = view.projection();
        let share = |step: usize| step as f64 / PROBES as f64;
        (0..=PROBES).all(|row| {
            (0..=PROBES).all(|column| {
                let at = [share(column) * view.width_pt, share(row) * view.height_pt];
                self.covers(projection.sky(at))
            })
        })
    }

    /// The place on the raster of a pixel of the file, as FITS counts them.
    fn uv(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let (width, height) = self.raster.size();
        let down = match self.rows {
            RowOrder::FromBottom => y - 0.5,
            RowOrder::FromTop => f64::from(self.map.height_px) + 0.5 - y,
        };
        let square = f64::from(self.factor);
        [(x - 0.5) / square / width as f64, down / square / height as f64]
    }

    /// The part of the file's pixels that the page may show: from and to, for x and y.
    fn shown(&self, projection: &Projection) -> Option<[[f64; 2]; 2]> {
        const PROBES: usize = 8;
        let whole =
            [self.map.width_px, self.map.height_px].map(|side| [0.5, f64::from(side) + 0.5]);
        let page = projection.bounds();
        let share = |step: usize| step as f64 / PROBES as f64;
        let mut shown = [[f64::INFINITY, f64::NEG_INFINITY]; 2];
        for (row, column) in (0..=PROBES).flat_map(|row| (0..=PROBES).map(move |c| (row, c))) {
            let at =
                [page.left + share(column) * page.width(), page.top + share(row) * page.height()];
            // A page that reaches behind the picture's own plane may show any of it.
            let Some(pixel) = self.map.pixel(projection.sky(at)) else { return Some(whole) };
            for (range, along) in shown.iter_mut().zip(pixel) {
                *range = [range[0].min(along), range[1].max(along)];
            }
        }
        let mut part = whole;
        for (part, [from, to]) in part.iter_mut().zip(shown) {
            // A distortion may bend what lies between the probes.
            let margin = 2.0 + (to - from) * 0.05;
            *part = [part[0].max(from - margin), part[1].min(to + margin)];
            if part[0] >= part[1] {
                return None;
            }
        }
        Some(part)
    }

    fn vertex(&self, projection: &Projection, pixel: [f64; 2]) -> Option<Vertex> {
        let at = projection.point(self.map.sky(pixel)?)?;
        let page = projection.bounds();
        let reach = FARTHEST * page.width().hypot(page.height());
        (at[0].hypot(at[1]) < reach).then(|| Vertex { at, uv: self.uv(pixel) })
    }
}

/// Puts a picture on the page, if any of it is there.
pub(super) fn draw(
    picture: &PlacedPicture,
    palette: &Palette,
    projection: &Projection,
    scene: &mut Scene,
) {
    if picture.opacity <= 0.0 {
        return;
    }
    let Some(part) = picture.shown(projection) else { return };
    let mut cells = CELLS[0];
    let mut grid = Grid::of(picture, projection, part, cells);
    while grid.worst_pt > TOLERANCE_PT && cells < CELLS[1] {
        cells *= 2;
        grid = Grid::of(picture, projection, part, cells);
    }
    if !grid.triangles.is_empty() {
        scene.items.push(Primitive::Picture(Picture {
            raster: picture.raster.clone(),
            opacity: picture.opacity.min(1.0),
            hue: palette.photograph(),
            vertices: grid.vertices,
            triangles: grid.triangles,
        }));
    }
}

/// A grid over a part of a picture.
struct Grid {
    vertices: Vec<Vertex>,
    triangles: Vec<[u32; 3]>,
    /// How far the middle of a cell on the page is off.
    worst_pt: f64,
}

impl Grid {
    fn of(
        picture: &PlacedPicture,
        projection: &Projection,
        [across, up]: [[f64; 2]; 2],
        cells: usize,
    ) -> Self {
        let along = |[from, to]: [f64; 2], step: f64| from + (to - from) * step / cells as f64;
        let at = |column: f64, row: f64| {
            picture.vertex(projection, [along(across, column), along(up, row)])
        };
        let mut grid = Self { vertices: Vec::new(), triangles: Vec::new(), worst_pt: 0.0 };
        let mut below: Vec<Option<u32>> = Vec::new();
        for row in 0..=cells {
            let line: Vec<Option<u32>> = (0..=cells)
                .map(|column| at(column as f64, row as f64).map(|vertex| grid.add(vertex)))
                .collect();
            for (column, corners) in below.windows(2).zip(line.windows(2)).enumerate() {
                if let ([Some(a), Some(b)], [Some(c), Some(d)]) = corners {
                    let middle = at(column as f64 + 0.5, row as f64 - 0.5);
                    grid.cell([*a, *b, *c, *d], middle, projection.bounds());
                }
            }
            below = line;
        }
        grid
    }

    fn add(&mut self, vertex: Vertex) -> u32 {
        let index = u32::try_from(self.vertices.len()).unwrap_or(u32::MAX);
        self.vertices.push(vertex);
        index
    }

    /// Adds a cell by its corners, two below and two above, unless it is off the page.
    fn cell(&mut self, [a, b, c, d]: [u32; 4], middle: Option<Vertex>, page: Bounds) {
        let point = |index: u32| self.vertices.get(index as usize).map(|vertex| vertex.at);
        let corners: Vec<Point> = [a, b, c, d].into_iter().filter_map(point).collect();
        let [Some(left), Some(right), Some(top), Some(bottom)] = [
            corners.iter().map(|p| p[0]).min_by(f64::total_cmp),
            corners.iter().map(|p| p[0]).max_by(f64::total_cmp),
            corners.iter().map(|p| p[1]).min_by(f64::total_cmp),
            corners.iter().map(|p| p[1]).max_by(f64::total_cmp),
        ] else {
            return;
        };
        if !page.overlaps(&(Bounds { left, top, right, bottom }).expanded(0.01)) {
            return;
        }
        if let (Some(middle), Some(b), Some(c)) = (middle, point(b), point(c)) {
            // The triangles meet along the diagonal from b to c.
            let off = [(b[0] + c[0]) / 2.0 - middle.at[0], (b[1] + c[1]) / 2.0 - middle.at[1]];
            self.worst_pt = self.worst_pt.max(off[0].hypot(off[1]));
        }
        self.triangles.extend([[a, b, c], [b, d, c]]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_size_for_a_page_has_a_pixel_for_each_of_its_pixels() {
        let raster = Arc::new(Raster::new(64, 32, vec![255; 64 * 32 * 4]));
        let shown = |width_pt: f64| {
            let corner =
                |u: f64, v: f64| Vertex { at: [u * width_pt, v * width_pt / 2.0], uv: [u, v] };
            let vertices =
                vec![corner(0.0, 0.0), corner(1.0, 0.0), corner(0.0, 1.0), corner(1.0, 1.0)];
            let triangles = vec![[0, 1, 2], [1, 3, 2]];
            Picture { raster: raster.clone(), opacity: 1.0, hue: None, vertices, triangles }
        };
        for (width_pt, px_per_pt, size) in [
            (64.0, 1.0, 0),
            (33.0, 1.0, 0),
            (31.0, 1.0, 1),
            (31.0, 2.0, 0),
            (7.0, 1.0, 3),
            (500.0, 1.0, 0),
        ] {
            assert_eq!(shown(width_pt).size_for(px_per_pt), size, "{width_pt} {px_per_pt}");
        }
        assert_eq!(Picture { triangles: Vec::new(), ..shown(9.0) }.size_for(1.0), 0);
    }
}
