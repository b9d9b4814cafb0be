//! How many panels stand in a row: the number that leaves the pictures the most room.

use crate::scene::primitive::{Bounds, Point};

/// Between two columns.
const ACROSS_PT: f64 = 16.0;
/// Between the words of one row and the pictures of the next.
const DOWN_PT: f64 = 14.0;
/// Smaller pictures are stamps.
const LEAST_PT: (f64, f64) = (84.0, 40.0);
/// Of use are this many times a picture's shorter side.
const LONGEST: f64 = 1.6;

/// Equal places for panels, row by row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Grid {
    columns: usize,
    origin: Point,
    /// Room for a picture, without its words.
    pub(super) picture: (f64, f64),
    words_pt: f64,
}

impl Grid {
    /// The best grid for so many panels in an area.
    ///
    /// Below each picture stand words of a height, which want a width. `aspects` are the pictures'
    /// own, width over height; empty if a picture may have any. `None` where there is no room.
    pub(super) fn best(
        count: usize,
        area: &Bounds,
        (words_width, words_pt): (f64, f64),
        aspects: &[f64],
    ) -> Option<Self> {
        let grids = (1..=count).map(|columns| {
            let rows = count.div_ceil(columns);
            let (across, down) = (columns as f64, rows as f64);
            let width = (area.width() - ACROSS_PT * (across - 1.0)) / across;
            let height = (area.height() - DOWN_PT * (down - 1.0)) / down - words_pt;
            Self { columns, origin: [area.left, area.top], picture: (width, height), words_pt }
        });
        grids
            .filter(|grid| {
                let (width, height) = grid.drawn(aspects);
                grid.picture.0 >= words_width.min(area.width())
                    && width >= LEAST_PT.0
                    && height >= LEAST_PT.1
            })
            .max_by(|one, other| {
                // Of grids with equal pictures, the one with the fewest empty places.
                let filled = |grid: &Self| {
                    count as f64 / (grid.columns * count.div_ceil(grid.columns)) as f64
                };
                let worth = |grid: &Self| grid.worth(aspects) * (1.0 + 0.02 * filled(grid));
                worth(one).total_cmp(&worth(other))
            })
            .map(|grid| grid.closed_up(aspects))
    }

    /// With rows no farther apart than their tallest picture needs.
    fn closed_up(mut self, aspects: &[f64]) -> Self {
        let width = self.common_width(aspects);
        if let Some(tallest) = aspects.iter().map(|aspect| width / aspect).reduce(f64::max) {
            self.picture.1 = tallest;
        }
        self
    }

    /// Size of the smallest picture. Those with an aspect are all as wide as the widest that fits.
    fn drawn(&self, aspects: &[f64]) -> (f64, f64) {
        let width = self.common_width(aspects);
        let flattest = aspects.iter().copied().fold(0.0, f64::max);
        if flattest > 0.0 { (width, width / flattest) } else { self.picture }
    }

    fn worth(&self, aspects: &[f64]) -> f64 {
        let (width, height) = self.drawn(aspects);
        width.min(LONGEST * height) * height.min(LONGEST * width)
    }

    /// The width at which pictures of all these aspects fit.
    pub(super) fn common_width(&self, aspects: &[f64]) -> f64 {
        let (width, height) = self.picture;
        aspects.iter().map(|aspect| height * aspect).fold(width, f64::min)
    }

    /// Where a panel's picture may stand.
    pub(super) fn place(&self, panel: usize) -> Bounds {
        let (row, column) = (panel / self.columns, panel % self.columns);
        let (width, height) = self.picture;
        let left = self.origin[0] + column as f64 * (width + ACROSS_PT);
        let top = self.origin[1] + row as f64 * (height + self.words_pt + DOWN_PT);
        Bounds::at(left, top, width, height)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::*;

    const AREA: Bounds = Bounds::at(20.0, 60.0, 640.0, 330.0);

    #[test]
    fn places_lie_in_the_area_and_apart() {
        for count in 1..=12 {
            for aspects in [&[][..], &[1.5], &[1.5, 1.0, 1.33]] {
                let grid = Grid::best(count, &AREA, (90.0, 40.0), aspects).unwrap();
                let places: Vec<Bounds> = (0..count)
                    .map(|panel| grid.place(panel))
                    .map(|place| Bounds { bottom: place.bottom + 40.0, ..place })
                    .collect();
                for (panel, place) in places.iter().enumerate() {
                    assert!(AREA.expanded(1e-6).encloses(place), "{panel} of {count}: {place:?}");
                    assert!(!places[..panel].iter().any(|other| other.overlaps(place)));
                }
            }
        }
    }

    #[test]
    fn no_room_is_no_grid() {
        let stamp = Bounds::at(0.0, 0.0, 200.0, 120.0);
        assert_eq!(Grid::best(12, &stamp, (90.0, 40.0), &[]), None);
    }

    #[test]
    fn pictures_of_one_size_are_equally_wide() {
        let grid = Grid::best(2, &AREA, (90.0, 40.0), &[1.5, 1.0]).unwrap();
        let width = grid.common_width(&[1.5, 1.0]);
        assert!(width <= grid.picture.0 && width / 1.0 <= grid.picture.1 + 1e-9);
    }
}
