//! The ranges that numbers of a kit must lie in: one statement of each for files and for fields.

use serde::{Deserialize, Deserializer, de::Error};

/// An interval of numbers, with the words that explain it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// The least number allowed.
    pub least: f64,
    /// The greatest number allowed.
    pub most: f64,
    /// The range in words, to follow "expected".
    pub expected: &'static str,
}

impl Range {
    /// Whether a number is finite and in the range.
    pub fn contains(self, number: f64) -> bool {
        number.is_finite() && (self.least..=self.most).contains(&number)
    }
}

const fn range(least: f64, most: f64, expected: &'static str) -> Range {
    Range { least, most, expected }
}

/// A size that cannot be zero. Any finite one: what is absurd is remarked upon, not refused.
pub const POSITIVE: Range = range(f64::MIN_POSITIVE, f64::MAX, "a number above 0");
/// A size that can be zero.
pub const NOT_NEGATIVE: Range = range(0.0, f64::MAX, "0 or more");
/// A share of a whole that cannot be nothing.
pub const SHARE: Range = range(f64::MIN_POSITIVE, 1.0, "a number above 0, at most 1");
/// Share of a month's nights that are clear.
pub const CLEAR_FRACTION: Range = range(0.0, 1.0, "a number from 0 to 1");
/// Overlap between mosaic panels, of a panel's side.
pub const OVERLAP: Range = range(0.0, 0.9, "a number from 0 to 0.9");
/// Latitude or declination.
pub const LATITUDE: Range = range(-90.0, 90.0, "degrees from -90 to 90");
/// Longitude, east positive.
pub const LONGITUDE: Range = range(-180.0, 180.0, "degrees from -180 to 180, east positive");
/// Right ascension or azimuth.
pub const WHOLE_CIRCLE: Range = range(0.0, 360.0, "degrees from 0 to 360");
/// A position angle.
pub const POSITION_ANGLE: Range = range(-360.0, 360.0, "degrees from -360 to 360");
/// Height above the sea, metres.
pub const ELEVATION_M: Range = range(-500.0, 9000.0, "metres from -500 to 9000");
/// Surface brightness, magnitudes per square arcsecond.
pub const SURFACE_BRIGHTNESS: Range =
    range(0.0, 35.0, "magnitudes per square arcsecond from 0 to 35");
/// The lowest altitude worth photographing at.
pub const LOWEST_ALTITUDE: Range = range(0.0, 89.0, "degrees from 0 to 89");
/// An altitude of the skyline.
pub const SKYLINE_ALTITUDE: Range = range(-90.0, 90.0, "degrees from -90 to 90");
/// A count of pixels along a side.
pub const PIXELS: Range = range(1.0, 1e6, "a whole number from 1 to 1,000,000");
/// Bits of an analogue-to-digital converter.
pub const BITS: Range = range(1.0, 32.0, "a whole number from 1 to 32");
/// How much a person wants a target.
pub const STARS: Range = range(1.0, 5.0, "a whole number from 1 to 5");
/// A wavelength that a camera can see.
pub const WAVELENGTH_NM: Range = range(200.0, 2000.0, "nanometres from 200 to 2000");
/// Magnitude of a star.
pub const MAGNITUDE: Range = range(-5.0, 30.0, "a magnitude from -5 to 30");
/// How much a picture hides of what lies behind it.
pub const OPACITY: Range = range(0.0, 1.0, "a number from 0 to 1");
/// Share of a picture's pixels that turn black.
pub const DARK_LEVEL: Range = range(0.0, 99.0, "per cent from 0 to 99");
/// How much a picture's faint parts are lifted.
pub const STRETCH: Range = range(0.0, 1000.0, "a number from 0 to 1000");
/// Effective focal lengths on the slider and the focal ladder, millimetres.
pub const LADDER_MM: Range = range(20.0, 4000.0, "millimetres from 20 to 4000");

/// A field's value that may hold a number to be checked.
pub(crate) trait Numeric: Copy {
    fn number(self) -> Option<f64>;
}

impl Numeric for f64 {
    fn number(self) -> Option<f64> {
        Some(self)
    }
}

impl Numeric for u32 {
    fn number(self) -> Option<f64> {
        Some(f64::from(self))
    }
}

impl Numeric for Option<f64> {
    fn number(self) -> Option<f64> {
        self
    }
}

/// Reads a field and refuses it outside its range, so that the reader still knows the line.
fn within<'de, D: Deserializer<'de>, T: Numeric + Deserialize<'de>>(
    input: D,
    range: Range,
) -> Result<T, D::Error> {
    let value = T::deserialize(input)?;
    match value.number() {
        Some(number) if !range.contains(number) => {
            Err(D::Error::custom(format_args!("found {number}; expected {}", range.expected)))
        }
        _ => Ok(value),
    }
}

macro_rules! readers {
    ($($reader:ident: $range:ident,)*) => {$(
        pub(crate) fn $reader<'de, D: Deserializer<'de>, T: Numeric + Deserialize<'de>>(
            input: D,
        ) -> Result<T, D::Error> {
            within(input, $range)
        }
    )*};
}

readers! {
    positive: POSITIVE,
    not_negative: NOT_NEGATIVE,
    share: SHARE,
    overlap: OVERLAP,
    latitude: LATITUDE,
    longitude: LONGITUDE,
    whole_circle: WHOLE_CIRCLE,
    position_angle: POSITION_ANGLE,
    elevation_m: ELEVATION_M,
    surface_brightness: SURFACE_BRIGHTNESS,
    lowest_altitude: LOWEST_ALTITUDE,
    pixels: PIXELS,
    bits: BITS,
    stars: STARS,
    wavelength_nm: WAVELENGTH_NM,
    magnitude: MAGNITUDE,
    opacity: OPACITY,
    dark_level: DARK_LEVEL,
    stretch: STRETCH,
}

#[cfg(test)]
mod tests {
    use serde::de::IntoDeserializer;

    use super::*;

    #[test]
    fn the_ends_of_a_range_are_in_it() {
        for range in [POSITIVE, SHARE, OVERLAP, LATITUDE, WHOLE_CIRCLE, PIXELS, LADDER_MM] {
            assert!(range.contains(range.least) && range.contains(range.most), "{range:?}");
            assert!(!range.contains(range.least - 1.0) && !range.contains(range.most * 1.001));
        }
    }

    #[test]
    fn what_is_no_number_is_in_no_range() {
        for number in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(!NOT_NEGATIVE.contains(number) && !LATITUDE.contains(number));
        }
    }

    #[test]
    fn a_size_that_must_be_positive_is_not_zero() {
        assert!(!POSITIVE.contains(0.0) && !SHARE.contains(0.0) && !PIXELS.contains(0.0));
        assert!(NOT_NEGATIVE.contains(0.0) && OVERLAP.contains(0.0));
    }

    #[test]
    fn a_field_out_of_range_is_refused_with_what_was_expected() {
        type Refusal = serde::de::value::Error;
        let read = |number: f64| {
            latitude::<_, f64>(IntoDeserializer::<Refusal>::into_deserializer(number))
        };
        assert_eq!(read(-90.0), Ok(-90.0));
        for number in [90.5, f64::NAN, f64::INFINITY] {
            let refusal = read(number).map_err(|error| error.to_string());
            let wanted = format!("found {number}; expected degrees from -90 to 90");
            assert_eq!(refusal, Err(wanted));
        }
        let pixels =
            |count: u32| pixels::<_, u32>(IntoDeserializer::<Refusal>::into_deserializer(count));
        assert!(pixels(0).is_err() && pixels(1_000_001).is_err());
        assert_eq!(pixels(6000), Ok(6000));
    }
}
