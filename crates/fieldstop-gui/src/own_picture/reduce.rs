//! A picture made smaller while it is read: the average over squares of pixels, row by row.

/// Most pixels that are kept of a picture.
pub const MOST_KEPT: u64 = 4_000_000;
/// Most kept pixels along a side, so that a graphics card takes them.
const LONGEST_SIDE: u64 = 4096;

/// One colour of a picture, reduced.
#[derive(Clone, Debug, PartialEq)]
pub struct Plane {
    /// Kept pixels across.
    pub width: usize,
    /// Kept pixels down.
    pub height: usize,
    /// Row by row in the file's order; NaN where every pixel is blank.
    pub values: Vec<f32>,
}

/// The side of the squares that a picture's pixels are averaged over, so that what is kept is
/// small enough.
///
/// # Example
/// ```
/// # use fieldstop_gui::own_picture::reduce::factor;
/// assert_eq!(factor(2000, 2000), 1);
/// assert_eq!(factor(10_000, 10_000), 5);
/// ```
pub fn factor(width: u32, height: u32) -> u32 {
    let fits = |factor: &u32| {
        let kept = |side: u32| u64::from(side.div_ceil(*factor));
        kept(width) * kept(height) <= MOST_KEPT && kept(width.max(height)) <= LONGEST_SIDE
    };
    (1..=width.max(height).max(1)).find(fits).unwrap_or(1)
}

/// Averages one colour's rows as they come.
pub struct Reducer {
    factor: usize,
    width: usize,
    kept_width: usize,
    /// Of the squares that the last rows lie in: their sums and how many pixels are in them.
    sums: Vec<(f32, u32)>,
    rows: usize,
    values: Vec<f32>,
}

impl Reducer {
    /// For rows of so many pixels.
    pub fn new(width: u32, factor: u32) -> Self {
        let kept_width = width.div_ceil(factor.max(1)) as usize;
        Self {
            factor: factor.max(1) as usize,
            width: width as usize,
            kept_width,
            sums: vec![(0.0, 0); kept_width],
            rows: 0,
            values: Vec::new(),
        }
    }

    /// Takes the next row. Pixels that are no finite number are blank.
    pub fn row(&mut self, row: &[f32]) {
        let row = row.get(..self.width).unwrap_or(row);
        for (square, (sum, count)) in row.chunks(self.factor).zip(&mut self.sums) {
            for &value in square {
                let finite = value.is_finite();
                *sum += if finite { value } else { 0.0 };
                *count += u32::from(finite);
            }
        }
        self.rows += 1;
        if self.rows.is_multiple_of(self.factor) {
            self.end_squares();
        }
    }

    fn end_squares(&mut self) {
        let mean = |(sum, count): &(f32, u32)| {
            if *count == 0 { f32::NAN } else { sum / *count as f32 }
        };
        self.values.extend(self.sums.iter().map(mean));
        self.sums.fill((0.0, 0));
    }

    /// The reduced colour. Squares that the picture ends in are averaged over what there is.
    pub fn finish(mut self) -> Plane {
        if !self.rows.is_multiple_of(self.factor) {
            self.end_squares();
        }
        let height = self.values.len() / self.kept_width.max(1);
        Plane { width: self.kept_width, height, values: self.values }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn squares_are_averaged_and_blanks_left_out() {
        let mut reducer = Reducer::new(5, 2);
        reducer.row(&[1.0, 3.0, f32::NAN, f32::NAN, 7.0]);
        reducer.row(&[5.0, 7.0, f32::NAN, f32::NAN, 9.0]);
        reducer.row(&[1.0, 2.0, 3.0, f32::INFINITY, 5.0]);
        let plane = reducer.finish();
        assert_eq!((plane.width, plane.height), (3, 2));
        assert_eq!(plane.values[0], 4.0);
        assert!(plane.values[1].is_nan());
        assert_eq!(plane.values[2..], [8.0, 1.5, 3.0, 5.0]);
    }

    #[test]
    fn what_is_kept_is_small_enough_for_every_shape() {
        for (width, height) in [(1, 1), (65_535, 3), (3, 99_999), (20_000, 20_000), (4097, 900)] {
            let factor = factor(width, height);
            let kept = |side: u32| u64::from(side.div_ceil(factor));
            assert!(kept(width) * kept(height) <= MOST_KEPT);
            assert!(kept(width.max(height)) <= LONGEST_SIDE);
        }
    }
}
