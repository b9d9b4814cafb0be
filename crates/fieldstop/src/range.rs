//! The ranges that numbers of a kit must lie in: one statement of each for files and for fields.

use std::fmt;

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

/// One range a line, with the reader of a kit file's field where there is one, and the list of all.
macro_rules! ranges {
    ($($(#[$doc:meta])* $name:ident $(read by $reader:ident)?: $least:literal to $most:literal, $expected:literal;)*) => {
        $($(#[$doc])* pub const $name: Range =
            Range { least: $least, most: $most, expected: $expected };)*

        /// Every range with its name, for checks of them all.
        pub const ALL: &[(&str, Range)] = &[$((stringify!($name), $name),)*];

        $($(pub(crate) fn $reader<'de, D: Deserializer<'de>, T: Numeric + Deserialize<'de>>(
            input: D,
        ) -> Result<T, D::Error> {
            within(input, $name)
        })?)*
    };
}

// Where a line names no reason, its ends are common practice, no source: some powers of ten beyond
// whatever is built or sold, so that no real thing is refused, and close enough that the squares and
// quotients of any of them stay numbers. What is absurd within them is remarked upon, not refused.
ranges! {
    /// Clear aperture. The largest telescope being built has 39 m, from memory.
    APERTURE_MM read by aperture_mm: 1.0 to 1e5, "a number from 1 to 100,000 mm";
    /// Native focal length.
    FOCAL_LENGTH_MM read by focal_length_mm: 1.0 to 1e6, "a number from 1 to 1,000,000 mm";
    /// Diameter of the central obstruction.
    OBSTRUCTION_MM read by obstruction_mm: 0.0 to 1e5, "a number from 0 to 100,000 mm";
    /// Diameter that is lit and sharp.
    IMAGE_CIRCLE_MM read by image_circle_mm: 0.1 to 1e4, "a number from 0.1 to 10,000 mm";
    /// Length of a tube.
    TUBE_MM read by tube_mm: 1.0 to 1e5, "a number from 1 to 100,000 mm";
    /// What a corrector multiplies the focal length by. Any focal length of [`LADDER_MM`] over any
    /// of these is one of [`FOCAL_LENGTH_MM`], so that the ladder never leaves it.
    FACTOR read by factor: 0.05 to 20.0, "a number from 0.05 to 20";
    /// From a corrector to the sensor.
    BACK_FOCUS_MM read by back_focus_mm: 0.1 to 1e4, "a number from 0.1 to 10,000 mm";
    /// Thickness of glass, adapters, a camera's front.
    THICKNESS_MM read by thickness_mm: 0.0 to 1e4, "a number from 0 to 10,000 mm";
    /// Share of the light that gets through, or is turned into signal. A filter for the Sun passes
    /// a hundred-thousandth.
    THROUGHPUT read by throughput: 1e-6 to 1.0, "a number from 0.000001 to 1";
    /// A share of a whole that cannot be nothing.
    SHARE read by share: 1e-3 to 1.0, "a number from 0.001 to 1";
    /// A count of pixels along a side.
    PIXELS read by pixels: 1.0 to 1e6, "a whole number from 1 to 1,000,000";
    /// Side of a pixel.
    PIXEL_UM read by pixel_um: 0.1 to 1e3, "a number from 0.1 to 1,000 µm";
    /// Noise of one reading, electrons.
    READ_NOISE_E read by read_noise_e: 0.0 to 1e4, "a number from 0 to 10,000 electrons";
    /// Dark current. A warm detector for infrared light has a hundred thousand.
    DARK_E_PER_S read by dark_e_per_s: 0.0 to 1e6, "a number from 0 to 1,000,000 electrons a second";
    /// Width of a passband: from a filter that splits a line to all that a camera sees.
    PASSBAND_NM read by passband_nm: 1e-3 to 2e3, "a number from 0.001 to 2,000 nm";
    /// A wavelength that a camera can see.
    WAVELENGTH_NM read by wavelength_nm: 200.0 to 2e3, "nanometres from 200 to 2000";
    /// What a pixel holds, electrons.
    FULL_WELL_E read by full_well_e: 1.0 to 1e9, "a number from 1 to 1,000,000,000 electrons";
    /// Bits of an analogue-to-digital converter.
    BITS read by bits: 1.0 to 32.0, "a whole number from 1 to 32";
    /// Mass of a thing, or of all that can be carried.
    MASS_KG read by mass_kg: 0.0 to 1e4, "a number from 0 to 10,000 kg";
    /// Mass that a mount bears or a person lifts.
    LOAD_KG read by load_kg: 0.01 to 1e4, "a number from 0.01 to 10,000 kg";
    /// Periodic error, peak to peak. A mount built at home may have some arcminutes.
    PERIODIC_ERROR_ARCSEC read by periodic_error_arcsec: 0.0 to 1e4, "a number from 0 to 10,000 arcsec";
    /// Period of that error; a turn of the axis takes 86,164 s.
    PERIOD_S read by period_s: 0.0 to 1e6, "a number from 0 to 1,000,000 s";
    /// RMS of the guiding, total of both axes.
    GUIDED_RMS_ARCSEC read by guided_rms_arcsec: 0.0 to 1e3, "a number from 0 to 1,000 arcsec";
    /// How far an axis is off the pole; one of the two poles is never more than 90 degrees away.
    POLAR_ERROR_ARCMIN read by polar_error_arcmin: 0.0 to 5400.0, "a number from 0 to 5,400 arcmin";
    /// An amount of money. The smallest currencies count a telescope in hundreds of millions.
    MONEY read by money: 0.0 to 1e12, "a number from 0 to 1,000,000,000,000";
    /// Seeing: from what is as good as none to what hides every star.
    SEEING_ARCSEC read by seeing_arcsec: 1e-3 to 100.0, "a number from 0.001 to 100 arcsec";
    /// Extinction; smoke and dust take a magnitude or two an airmass.
    EXTINCTION_MAG read by extinction_mag: 0.0 to 5.0, "a number from 0 to 5 magnitudes";
    /// Resolution elements across a target.
    DETAIL read by detail: 0.1 to 1e6, "a number from 0.1 to 1,000,000";
    /// Signal-to-noise ratio.
    SNR read by snr: 0.01 to 1e6, "a number from 0.01 to 1,000,000";
    /// Pixels per delivered FWHM.
    PIXELS_PER_FWHM read by pixels_per_fwhm: 0.01 to 1e3, "a number from 0.01 to 1,000";
    /// Size of a target: from a star's disc to nearly half round the sky. Of 180 degrees, 10,800
    /// arcminutes, no flat picture can be taken, and the fill would be infinite.
    SIZE_ARCMIN read by size_arcmin: 1e-4 to 1e4, "a number from 0.0001 to 10,000 arcmin";
    /// The least size of a target that is listed; 0 lists all.
    LEAST_SIZE_ARCMIN: 0.0 to 1e4, "a number from 0 to 10,000 arcmin";
    /// Share of a month's nights that are clear.
    CLEAR_FRACTION: 0.0 to 1.0, "a number from 0 to 1";
    /// Overlap between mosaic panels, of a panel's side.
    OVERLAP read by overlap: 0.0 to 0.9, "a number from 0 to 0.9";
    /// Latitude or declination.
    LATITUDE read by latitude: -90.0 to 90.0, "degrees from -90 to 90";
    /// Longitude, east positive.
    LONGITUDE read by longitude: -180.0 to 180.0, "degrees from -180 to 180, east positive";
    /// Right ascension or azimuth.
    WHOLE_CIRCLE read by whole_circle: 0.0 to 360.0, "degrees from 0 to 360";
    /// A position angle.
    POSITION_ANGLE read by position_angle: -360.0 to 360.0, "degrees from -360 to 360";
    /// Height above the sea, metres: below the lowest shore, above the highest summit.
    ELEVATION_M read by elevation_m: -500.0 to 9e3, "metres from -500 to 9000";
    /// Surface brightness, magnitudes per square arcsecond.
    SURFACE_BRIGHTNESS read by surface_brightness: 0.0 to 35.0, "magnitudes per square arcsecond from 0 to 35";
    /// The lowest altitude worth photographing at.
    LOWEST_ALTITUDE read by lowest_altitude: 0.0 to 89.0, "degrees from 0 to 89";
    /// An altitude of the skyline.
    SKYLINE_ALTITUDE: -90.0 to 90.0, "degrees from -90 to 90";
    /// How much a person wants a target.
    STARS read by stars: 1.0 to 5.0, "a whole number from 1 to 5";
    /// Magnitude of a star.
    MAGNITUDE read by magnitude: -5.0 to 30.0, "a magnitude from -5 to 30";
    /// The faintest magnitude that is listed; the Sun has -27.
    LISTED_MAGNITUDE: -30.0 to 30.0, "a magnitude from -30 to 30";
    /// How much a picture hides of what lies behind it.
    OPACITY read by opacity: 0.0 to 1.0, "a number from 0 to 1";
    /// Share of a picture's pixels that turn black.
    DARK_LEVEL read by dark_level: 0.0 to 99.0, "per cent from 0 to 99";
    /// How much a picture's faint parts are lifted.
    STRETCH read by stretch: 0.0 to 1e3, "a number from 0 to 1000";
    /// Effective focal lengths on the slider and the focal ladder, millimetres.
    LADDER_MM: 20.0 to 4e3, "millimetres from 20 to 4000";
}

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

/// A number as it is told in a message: hundreds of digits tell nobody anything.
struct Short(f64);

impl fmt::Display for Short {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(number) = self;
        let is_plain = *number == 0.0 || (1e-6..1e15).contains(&number.abs());
        if is_plain || !number.is_finite() {
            write!(f, "{number}")
        } else {
            write!(f, "{number:e}")
        }
    }
}

/// Reads a field and refuses it outside its range, so that the reader still knows the line.
fn within<'de, D: Deserializer<'de>, T: Numeric + Deserialize<'de>>(
    input: D,
    range: Range,
) -> Result<T, D::Error> {
    let value = T::deserialize(input)?;
    match value.number() {
        Some(number) if !range.contains(number) => Err(D::Error::custom(format_args!(
            "found {}; expected {}",
            Short(number),
            range.expected
        ))),
        _ => Ok(value),
    }
}

#[cfg(test)]
mod tests {
    use serde::de::IntoDeserializer;

    use super::*;

    #[test]
    fn the_ends_of_a_range_are_in_it_and_what_is_beyond_is_not() {
        for (name, range) in ALL {
            assert!(range.least < range.most, "{name}");
            assert!(range.contains(range.least) && range.contains(range.most), "{name}");
            let wide = range.most - range.least;
            assert!(!range.contains(range.least - 1e-9 * wide), "{name}");
            assert!(!range.contains(range.most + 1e-9 * wide), "{name}");
            for number in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
                assert!(!range.contains(number), "{name}");
            }
        }
    }

    /// The numbers of a text, with commas between thousands.
    fn numbers_in(text: &str) -> Vec<f64> {
        let bare = text.replace(',', "");
        bare.split(' ').filter_map(|word| word.parse().ok()).collect()
    }

    #[test]
    fn the_words_tell_the_ends() {
        for (name, range) in ALL {
            assert_eq!(numbers_in(range.expected), [range.least, range.most], "{name}");
        }
    }

    /// What the ladder sets stands in a file afterwards.
    #[test]
    fn the_ladder_stays_within_the_focal_lengths() {
        assert!(FOCAL_LENGTH_MM.contains(LADDER_MM.least / FACTOR.most));
        assert!(FOCAL_LENGTH_MM.contains(LADDER_MM.most / FACTOR.least));
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
