//! From a picture's values to what is seen: where black begins, and how far faint parts are lifted.
//!
//! # Source
//! The inverse hyperbolic sine, applied to the mean of the colours so that they keep their ratios,
//! also where the brightest would be brighter than white: Lupton et al. 2004, PASP 116, 133,
//! section 2. Where black and white lie by default: common practice, no source.

use super::reduce::Plane;
use crate::scene::raster::Raster;

/// How a picture is shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// Share of the pixels that turn black, per cent.
    pub dark_level: f64,
    /// How much faint parts are lifted; 0 is not at all.
    pub stretch: f64,
}

impl Look {
    /// For a picture that was prepared to be looked at.
    pub const PREPARED: Self = Self { dark_level: 0.0, stretch: 0.0 };
    /// For what a camera counted: nearly all of it is sky, a little brighter than nothing.
    pub const MEASURED: Self = Self { dark_level: 30.0, stretch: 30.0 };
}

/// Of the pixels that are not blank this share is white, in a picture of measured values.
const WHITE: f64 = 0.999;
/// As many values are enough to tell where a hundredth lies.
const SAMPLES: usize = 200_000;

/// The values of each colour in order, as many as it takes.
#[derive(Clone, Debug, Default)]
pub struct Levels(Vec<Vec<f32>>);

impl Levels {
    /// Of a picture's colours.
    pub fn of(planes: &[Plane]) -> Self {
        let sorted = |plane: &Plane| {
            let step = plane.values.len().div_ceil(SAMPLES).max(1);
            let all = || plane.values.iter().copied().filter(|value| value.is_finite());
            let mut values: Vec<f32> = all().step_by(step).collect();
            // The brightest is not to be missed between two samples.
            values.extend(all().max_by(f32::total_cmp));
            values.sort_by(f32::total_cmp);
            values
        };
        Self(planes.iter().map(sorted).collect())
    }

    /// Whether any pixel has a value.
    pub fn is_empty(&self) -> bool {
        self.0.iter().all(Vec::is_empty)
    }

    /// The value that this share of a colour's pixels lie under.
    fn at(&self, colour: usize, share: f64) -> f32 {
        let Some(values) = self.0.get(colour) else { return 0.0 };
        // OK because the share lies between 0 and 1.
        let place = (share * values.len().saturating_sub(1) as f64).round() as usize;
        values.get(place).copied().unwrap_or_default()
    }
}

/// Paints a picture's values. Where they are blank it is see-through.
pub fn stretched(planes: &[Plane], levels: &Levels, is_measured: bool, look: Look) -> Raster {
    let (width, height) = planes.first().map_or((0, 0), |plane| (plane.width, plane.height));
    let curve = Curve::of(planes.len(), levels, is_measured, look);
    let mut rgba = Vec::with_capacity(width * height * 4);
    for place in 0..width * height {
        let value = |colour: usize| {
            let plane = planes.get(colour).or(planes.first());
            plane.and_then(|plane| plane.values.get(place)).copied().unwrap_or(f32::NAN)
        };
        rgba.extend(curve.colour([value(0), value(1), value(2)]));
    }
    Raster::new(width, height, rgba)
}

/// Steps that the curve is worked out for.
const STEPS: usize = 4096;

struct Curve {
    black: [f32; 3],
    /// One over what lies between black and white.
    per_span: f32,
    /// What a mean brightness is multiplied by.
    gain: Vec<f32>,
}

impl Curve {
    fn of(colours: usize, levels: &Levels, is_measured: bool, look: Look) -> Self {
        let colour = |index: usize| if index < colours { index } else { 0 };
        let share = (look.dark_level / 100.0).clamp(0.0, 1.0);
        let black = [0, 1, 2].map(|index| {
            if !is_measured && share == 0.0 { 0.0 } else { levels.at(colour(index), share) }
        });
        let above = |share: f64| {
            let one = |index: usize| levels.at(colour(index), share) - black[colour(index)];
            one(0).max(one(1)).max(one(2))
        };
        let span = if is_measured {
            // A few stars on an even sky are fewer than that share.
            if above(WHITE) > 0.0 { above(WHITE) } else { above(1.0) }
        } else {
            1.0 - black.into_iter().fold(f32::INFINITY, f32::min)
        };
        let stretch = look.stretch.max(0.0) as f32;
        let lifted =
            |x: f32| if stretch > 0.0 { (stretch * x).asinh() / stretch.asinh() } else { x };
        let gain = (0..=STEPS)
            .map(|step| {
                // The first step stands for the slope at black.
                let x = (step as f32).max(0.01) / STEPS as f32;
                lifted(x) / x
            })
            .collect();
        let per_span = if span > 0.0 && span.is_finite() { 1.0 / span } else { 0.0 };
        Self { black, per_span, gain }
    }

    fn colour(&self, values: [f32; 3]) -> [u8; 4] {
        if values.iter().any(|value| !value.is_finite()) {
            return [0; 4];
        }
        let mut above = [0.0f32; 3];
        for ((above, value), black) in above.iter_mut().zip(values).zip(self.black) {
            *above = ((value - black) * self.per_span).max(0.0);
        }
        let mean = (above[0] + above[1] + above[2]) / 3.0;
        // OK because the product lies between 0 and the number of steps.
        let step = (mean.min(1.0) * STEPS as f32) as usize;
        let gain = self.gain.get(step).copied().unwrap_or(1.0);
        let brightest = above.into_iter().fold(0.0, f32::max) * gain;
        // The brightest colour becomes white at most, and takes the others down with it.
        let gain = if brightest > 1.0 { gain / brightest } else { gain };
        // OK because a float is cast to the nearest byte.
        let byte = |above: f32| (above * gain * 255.0 + 0.5) as u8;
        [byte(above[0]), byte(above[1]), byte(above[2]), 255]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ramp() -> Vec<Plane> {
        let values = (0..1000).map(|step| step as f32 / 999.0).collect();
        vec![Plane { width: 1000, height: 1, values }]
    }

    fn grey(look: Look, is_measured: bool) -> Vec<u8> {
        let planes = ramp();
        let raster = stretched(&planes, &Levels::of(&planes), is_measured, look);
        raster.rgba().chunks(4).map(|pixel| pixel[0]).collect()
    }

    #[test]
    fn a_prepared_picture_is_shown_as_it_is() {
        for (step, shown) in grey(Look::PREPARED, false).into_iter().enumerate() {
            let wanted = (step as f32 / 999.0 * 255.0).round();
            assert!((f32::from(shown) - wanted).abs() <= 1.0, "{step}: {shown} for {wanted}");
        }
    }

    #[test]
    fn the_dark_level_is_the_share_that_turns_black() {
        let shown = grey(Look { dark_level: 40.0, stretch: 0.0 }, true);
        let black = shown.iter().filter(|value| **value == 0).count();
        assert!((395..=408).contains(&black), "{black}");
    }

    #[test]
    fn stretching_lifts_faint_parts_along_the_curve() {
        let shown = grey(Look { dark_level: 0.0, stretch: 50.0 }, false);
        for x in [0.01f32, 0.05, 0.2, 0.7, 1.0] {
            let found = f32::from(shown[(x * 999.0) as usize]) / 255.0;
            let x = (x * 999.0).floor() / 999.0;
            let wanted = (50.0 * x).asinh() / 50f32.asinh();
            assert!((found - wanted).abs() < 0.012, "{x}: {found} for {wanted}");
        }
    }

    /// The bright core of a red star stays red.
    #[test]
    fn colours_keep_their_ratios_above_white() {
        let plane = |values: [f32; 3]| Plane { width: 3, height: 1, values: values.to_vec() };
        // Black, a star twice and one eight times as bright as white in its brightest colour.
        let planes = [plane([0.0, 2.0, 8.0]), plane([0.0, 1.0, 4.0]), plane([0.0, 0.5, 2.0])];
        for stretch in [0.0, 40.0] {
            let look = Look { dark_level: 0.0, stretch };
            let raster = stretched(&planes, &Levels::of(&planes), false, look);
            assert_eq!(raster.rgba()[4..], [[255, 128, 64, 255]; 2].concat(), "{stretch}");
        }
    }

    #[test]
    fn blanks_are_see_through_and_an_even_picture_does_no_harm() {
        let planes = vec![Plane { width: 2, height: 1, values: vec![f32::NAN, 7.0] }];
        let raster = stretched(&planes, &Levels::of(&planes), true, Look::MEASURED);
        assert_eq!(raster.rgba()[3], 0);
        assert_eq!(raster.rgba()[4..], [0, 0, 0, 255]);
    }
}
