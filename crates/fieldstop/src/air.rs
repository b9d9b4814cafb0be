//! What the air does to a ray: how far it is bent, and how much air it crosses.

use crate::Angle;

/// Pressure and temperature at the telescope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// At the telescope, not reduced to sea level.
    pub pressure_hpa: f64,
    /// In degrees Celsius.
    pub temperature_c: f64,
}

impl Air {
    /// The standard atmosphere at a height: what a planner may expect of the weather.
    ///
    /// # Units
    /// - `elevation_m`: above the sea, -500 to 11,000 m; held at the nearer end beyond
    ///
    /// # Source
    /// ICAO standard atmosphere (ISO 2533), troposphere: 6.5 K per km, exponent 5.25588.
    ///
    /// # Example
    /// ```
    /// # use fieldstop::air::Air;
    /// let sea = Air::standard(0.0);
    /// assert_eq!((sea.pressure_hpa, sea.temperature_c), (1013.25, 15.0));
    /// assert_eq!(Air::standard(2000.0).temperature_c, 2.0);
    /// ```
    pub fn standard(elevation_m: f64) -> Self {
        let elevation_m = elevation_m.clamp(-500.0, 11_000.0);
        Self {
            pressure_hpa: 1013.25 * (1.0 - 2.255_77e-5 * elevation_m).powf(5.255_88),
            temperature_c: 15.0 - 0.0065 * elevation_m,
        }
    }

    /// How much higher a body appears than it stands without air.
    ///
    /// Add it to an altitude that is shown to a person; hours in the dark are counted without it.
    ///
    /// # Units
    /// - `true_altitude`: -90 to 90 degrees, without refraction
    /// - returns: 0 to about 0.6 degree. Below -1 degree nothing can be seen, and the refraction
    ///   fades to nothing at -3 degrees, so that a body's path has no jump
    ///
    /// # Source
    /// Saemundsson 1986, Sky & Telescope 72, 70: `R' = 1.02 cot(h + 10.3 / (h + 5.11))`, degrees
    /// in, arcminutes out, at 1010 hPa and 10 C; the scale is Meeus 1998, chapter 16.
    ///
    /// # Example
    /// At the horizon, 1010 hPa and 10 C, 29 arcminutes.
    /// ```
    /// # use fieldstop::{Angle, air::Air};
    /// let air = Air { pressure_hpa: 1010.0, temperature_c: 10.0 };
    /// assert!((air.refraction(Angle::ZERO).arcmin() - 29.0).abs() < 0.1);
    /// ```
    pub fn refraction(self, true_altitude: Angle) -> Angle {
        const LOWEST_SEEN_DEG: f64 = -1.0;
        const FADED_DEG: f64 = -3.0;
        let altitude_deg = true_altitude.deg();
        let h = altitude_deg.max(LOWEST_SEEN_DEG);
        let arcmin = 1.02 / Angle::from_deg(h + 10.3 / (h + 5.11)).tan();
        let scale = self.pressure_hpa / 1010.0 * 283.0 / (273.0 + self.temperature_c);
        let fade = (altitude_deg - FADED_DEG) / (LOWEST_SEEN_DEG - FADED_DEG);
        // The formula falls below zero by 0.1 arcsec at the zenith.
        Angle::from_arcmin(arcmin.max(0.0) * scale * fade.clamp(0.0, 1.0))
    }

    /// The altitude at which a body appears.
    pub fn apparent_altitude(self, true_altitude: Angle) -> Angle {
        true_altitude + self.refraction(true_altitude)
    }
}

/// How much air a ray crosses, in units of the air above; `None` below the horizon.
///
/// # Units
/// - `apparent_altitude`: 0 to 90 degrees, with refraction
/// - returns: 1 at the zenith (0.9997 by the fit), 38 at the horizon
///
/// # Source
/// Kasten & Young 1989, Appl. Opt. 28, 4735.
///
/// # Example
/// At 30 degrees a ray crosses nearly twice the air: `1 / sin 30`.
/// ```
/// # use fieldstop::{Angle, air::airmass};
/// let x = airmass(Angle::from_deg(30.0)).unwrap();
/// assert!((x - 2.0).abs() < 0.01);
/// ```
pub fn airmass(apparent_altitude: Angle) -> Option<f64> {
    let gamma = apparent_altitude.deg();
    (0.0..=90.0)
        .contains(&gamma)
        .then(|| 1.0 / (apparent_altitude.sin() + 0.50572 * (gamma + 6.07995).powf(-1.6364)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rising_body_never_sinks_nor_jumps_by_refraction() {
        let air = Air::standard(0.0);
        let mut before = air.apparent_altitude(Angle::from_deg(-10.0)).deg();
        for step in 1..=10_000 {
            let seen = air.apparent_altitude(Angle::from_deg(-10.0 + 0.01 * f64::from(step))).deg();
            assert!(seen > before && seen < before + 0.02, "{seen}");
            before = seen;
        }
    }

    #[test]
    fn thin_air_bends_less() {
        let low = Air::standard(0.0).refraction(Angle::from_deg(10.0));
        let high = Air::standard(3000.0).refraction(Angle::from_deg(10.0));
        assert!(high < low && high > low * 0.6);
    }

    #[test]
    fn no_air_is_crossed_below_the_horizon() {
        assert!(airmass(Angle::from_deg(-0.1)).is_none());
        assert!(airmass(Angle::from_rad(f64::NAN)).is_none());
    }
}
