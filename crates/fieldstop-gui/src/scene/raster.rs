//! Pixels that a scene shows: an sRGB picture with smaller versions of itself.

use std::fmt;

/// A picture of 8 bits a colour. Its pixels are opaque or see-through, nothing between.
#[derive(Clone, PartialEq)]
pub struct Raster {
    /// The picture, then each half as large as the one before.
    levels: Vec<Level>,
}

/// One of a raster's sizes.
#[derive(Clone, PartialEq)]
pub struct Level {
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
    /// Four bytes a pixel, row by row; black where it is see-through.
    pub rgba: Vec<u8>,
}

impl fmt::Debug for Raster {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (width, height) = self.size();
        write!(f, "Raster({width} x {height})")
    }
}

impl Raster {
    /// From four bytes a pixel, row by row.
    pub fn new(width: usize, height: usize, rgba: Vec<u8>) -> Self {
        let mut levels = vec![Level { width, height, rgba }];
        while let Some(half) = levels.last().and_then(Level::halved) {
            levels.push(half);
        }
        Self { levels }
    }

    /// Pixels across and down.
    pub fn size(&self) -> (usize, usize) {
        self.levels.first().map_or((0, 0), |level| (level.width, level.height))
    }

    /// The picture at its full size, four bytes a pixel.
    pub fn rgba(&self) -> &[u8] {
        self.levels.first().map_or(&[], |level| &level.rgba)
    }

    /// Every size, the largest first.
    pub fn levels(&self) -> &[Level] {
        &self.levels
    }

    /// Whether there is a pixel at a place, measured from the top left in shares of the sides.
    pub fn is_opaque(&self, [u, v]: [f64; 2]) -> bool {
        let (width, height) = self.size();
        if !(0.0..1.0).contains(&u) || !(0.0..1.0).contains(&v) {
            return false;
        }
        // OK because both lie between 0 and the sides.
        let (x, y) = ((u * width as f64) as usize, (v * height as f64) as usize);
        self.rgba().get((y * width + x) * 4 + 3).is_some_and(|alpha| *alpha > 0)
    }
}

impl Level {
    /// The same at half the size; none once it is small.
    fn halved(&self) -> Option<Self> {
        let (width, height) = (self.width / 2, self.height / 2);
        if width < 2 || height < 2 {
            return None;
        }
        let mut rgba = Vec::with_capacity(width * height * 4);
        for y in 0..height {
            let row = |down: usize| {
                let begins = (2 * y + down) * self.width * 4;
                self.rgba.get(begins..begins + width * 8).unwrap_or_default()
            };
            for (above, below) in row(0).chunks_exact(8).zip(row(1).chunks_exact(8)) {
                rgba.extend(mean_of([above, below]));
            }
        }
        Some(Self { width, height, rgba })
    }

    /// The colour and opacity (0 to 1) between pixels, at a place measured in pixels.
    pub fn between(&self, x: f32, y: f32) -> [f32; 4] {
        let (left, top) = ((x - 0.5).floor(), (y - 0.5).floor());
        let (right, down) = (x - 0.5 - left, y - 0.5 - top);
        let mut sum = [0.0f32; 4];
        for (dx, dy, share) in [
            (0.0, 0.0, (1.0 - right) * (1.0 - down)),
            (1.0, 0.0, right * (1.0 - down)),
            (0.0, 1.0, (1.0 - right) * down),
            (1.0, 1.0, right * down),
        ] {
            // OK because a float is cast to the nearest whole number from 0 on.
            let column = ((left + dx) as usize).min(self.width.saturating_sub(1));
            let row = ((top + dy) as usize).min(self.height.saturating_sub(1));
            let at = (row * self.width + column) * 4;
            let Some(&[red, green, blue, alpha]) = self.rgba.get(at..at + 4) else { continue };
            for (sum, channel) in sum.iter_mut().zip([red, green, blue, alpha]) {
                *sum += share * f32::from(channel);
            }
        }
        // See-through pixels are black, so colours come weighed by opacity already.
        let opacity = sum[3] / 255.0;
        let colour = |sum: f32| if opacity > 0.0 { sum / opacity } else { 0.0 };
        [colour(sum[0]), colour(sum[1]), colour(sum[2]), opacity]
    }
}

/// The mean of two by two pixels, see-through ones left out.
fn mean_of(rows: [&[u8]; 2]) -> [u8; 4] {
    let (mut sums, mut count) = ([0u32; 3], 0u32);
    for pixel in rows.into_iter().flat_map(|row| row.chunks_exact(4)) {
        if pixel.last().is_some_and(|alpha| *alpha > 0) {
            for (sum, channel) in sums.iter_mut().zip(pixel) {
                *sum += u32::from(*channel);
            }
            count += 1;
        }
    }
    if count == 0 {
        return [0; 4];
    }
    // OK because the mean of bytes is a byte.
    let mean = |sum: u32| ((sum + count / 2) / count) as u8;
    [mean(sums[0]), mean(sums[1]), mean(sums[2]), 255]
}
