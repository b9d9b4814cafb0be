//! How bright the Moon makes the sky where a target stands, and so what a night is worth.
//!
//! "Moon up" says little: a crescent far from the target costs nothing, a full Moon nearby costs
//! nearly everything. The model of Krisciunas & Schaefer takes the Moon's phase and altitude, its
//! distance from the target, the target's altitude and the air's extinction. Its authors give 8 to
//! 23 % as its accuracy (from memory); it knows no haze, no city and no distance of the Moon.

use crate::kit::Site;
use crate::night::{Night, When};
use crate::place::OfDate;
use crate::spans::Spans;
use crate::{Angle, Direction, Instant};

/// The sky of a site when there is no Moon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DarkSky {
    /// V magnitudes per square arcsecond at the zenith, 16 to 22.
    pub zenith_mag_arcsec2: f64,
    /// V magnitudes lost per airmass, 0.1 to 0.4.
    pub extinction_mag_airmass: f64,
}

/// The Moon as a lamp, for one target at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoonLamp {
    /// Of the Moon's centre; at or below 0 the Moon gives no light.
    pub altitude: Angle,
    /// Between Sun and Earth, seen from the Moon: 0 full, 180 degrees new. The sign is ignored.
    pub phase_angle: Angle,
    /// Between Moon and target.
    pub separation: Angle,
}

impl DarkSky {
    /// The sky of a site.
    pub const fn of(site: &Site) -> Self {
        Self {
            zenith_mag_arcsec2: site.sky_brightness_mag_arcsec2,
            extinction_mag_airmass: site.extinction_mag_airmass,
        }
    }

    /// The sky's brightness at an altitude, V magnitudes per square arcsecond.
    ///
    /// # Units
    /// - `altitude`: of the target, 0 to 90 degrees; below 0 it counts as 0
    /// - `moon`: the lamp, or `None` for a sky without it
    ///
    /// # Source
    /// Krisciunas & Schaefer 1991, PASP 103, 1033, equations 1 to 3, 15, 20 and 21 (their numbers
    /// from memory).
    ///
    /// # Example
    /// A full Moon half-way up lights the zenith of a dark site by more than three magnitudes.
    /// ```
    /// # use fieldstop::{Angle, moonlight::{DarkSky, MoonLamp}};
    /// let sky = DarkSky { zenith_mag_arcsec2: 21.6, extinction_mag_airmass: 0.172 };
    /// let full = MoonLamp {
    ///     altitude: Angle::from_deg(45.0),
    ///     phase_angle: Angle::ZERO,
    ///     separation: Angle::from_deg(45.0),
    /// };
    /// assert_eq!(sky.brightness_mag_arcsec2(Angle::RIGHT, None), 21.6);
    /// let lit = sky.brightness_mag_arcsec2(Angle::RIGHT, Some(full));
    /// assert!((21.6 - lit - 3.3).abs() < 0.05);
    /// ```
    pub fn brightness_mag_arcsec2(self, altitude: Angle, moon: Option<MoonLamp>) -> f64 {
        let moonlight = moon.map_or(0.0, |moon| self.moonlight_nl(altitude, moon));
        mag_from_nanolamberts(self.airglow_nl(altitude) + moonlight)
    }

    /// The lamp and the sky for a target at an instant of a night.
    pub fn brightness_at(self, night: &Night, place: Direction<OfDate>, instant: Instant) -> f64 {
        let target = night.star(place, instant);
        self.brightness_mag_arcsec2(target.altitude, Some(lamp(night, place, instant)))
    }

    /// What some stretches of a night are worth for a target, in hours without a Moon.
    ///
    /// Where the sky's light limits an exposure, the time needed for a wanted signal-to-noise grows
    /// as the sky's brightness. So an hour under a sky twice as bright counts as half an hour.
    ///
    /// # Units
    /// - returns: hours, above 0 and at most those of the stretches
    ///
    /// # Source
    /// The CCD equation's sky limit: signal-to-noise goes as `sqrt(time / sky)`.
    pub fn worth_hours(self, night: &Night, place: Direction<OfDate>, stretches: &Spans) -> f64 {
        // Ten minutes: the Moon moves 2.5 degrees over the sky.
        const STEP_H: f64 = 1.0 / 6.0;
        if *night.moon_up() == When::Never {
            return stretches.hours();
        }
        let worth_of = |start: Instant, hours: f64| {
            let steps = (hours / STEP_H).ceil().max(1.0);
            let step = hours / steps;
            // OK because a night has few steps.
            let middles = (0..steps as u32).map(|k| start.after_hours((f64::from(k) + 0.5) * step));
            middles.map(|instant| step * self.worth_at(night, place, instant)).sum::<f64>()
        };
        stretches.iter().map(|span| worth_of(span.start, span.hours())).sum()
    }

    /// Dark sky over lit sky.
    fn worth_at(self, night: &Night, place: Direction<OfDate>, instant: Instant) -> f64 {
        let altitude = night.star(place, instant).altitude;
        let dark = self.airglow_nl(altitude);
        dark / (dark + self.moonlight_nl(altitude, lamp(night, place, instant)))
    }

    /// The dark sky at an altitude: more air glows there, and more of it is lost on the way.
    fn airglow_nl(self, altitude: Angle) -> f64 {
        let x = scattering_airmass(altitude);
        nanolamberts_from_mag(self.zenith_mag_arcsec2) * self.left_after(x - 1.0) * x
    }

    fn moonlight_nl(self, altitude: Angle, moon: MoonLamp) -> f64 {
        if moon.altitude <= Angle::ZERO {
            return 0.0;
        }
        let alpha = moon.phase_angle.wrapped_signed().abs().deg();
        let illuminance = 10f64.powf(-0.4 * (3.84 + 0.026 * alpha + 4e-9 * alpha.powi(4)));
        scattering(moon.separation)
            * illuminance
            * self.left_after(scattering_airmass(moon.altitude))
            * (1.0 - self.left_after(scattering_airmass(altitude)))
    }

    /// The share of light that is left after some airmasses.
    fn left_after(self, airmass: f64) -> f64 {
        10f64.powf(-0.4 * self.extinction_mag_airmass * airmass)
    }
}

fn lamp(night: &Night, place: Direction<OfDate>, instant: Instant) -> MoonLamp {
    let moon = night.moon(instant);
    MoonLamp {
        altitude: moon.altitude,
        phase_angle: night.moon_phase_at(instant).phase_angle,
        separation: night.star(place, instant).separation(moon),
    }
}

/// How strongly the air sends moonlight on at an angle: Rayleigh's law for molecules and a steep
/// law for dust, with a steeper one within 10 degrees.
fn scattering(separation: Angle) -> f64 {
    let rho = separation.deg();
    let rayleigh = 10f64.powf(5.36) * (1.06 + separation.cos().powi(2));
    // The Moon's own disc is a quarter of a degree; nearer than that the law has no meaning.
    const MOON_EDGE_DEG: f64 = 0.25;
    let dust = if rho < 10.0 {
        6.2e7 / rho.max(MOON_EDGE_DEG).powi(2)
    } else {
        10f64.powf(6.15 - rho / 40.0)
    };
    rayleigh + dust
}

/// Airmass for light that is scattered on the way: 1 at the zenith, 5 at the horizon.
fn scattering_airmass(altitude: Angle) -> f64 {
    let cos_altitude = altitude.max(Angle::ZERO).cos();
    1.0 / (1.0 - 0.96 * cos_altitude.powi(2)).sqrt()
}

fn nanolamberts_from_mag(mag_arcsec2: f64) -> f64 {
    34.08 * (20.7233 - 0.92104 * mag_arcsec2).exp()
}

fn mag_from_nanolamberts(nanolamberts: f64) -> f64 {
    (20.7233 - (nanolamberts / 34.08).ln()) / 0.92104
}

#[cfg(test)]
mod tests {
    use super::*;

    const SKY: DarkSky = DarkSky { zenith_mag_arcsec2: 21.6, extinction_mag_airmass: 0.172 };

    fn lit(altitude_deg: f64, moon_altitude_deg: f64, phase_deg: f64, separation_deg: f64) -> f64 {
        let moon = MoonLamp {
            altitude: Angle::from_deg(moon_altitude_deg),
            phase_angle: Angle::from_deg(phase_deg),
            separation: Angle::from_deg(separation_deg),
        };
        SKY.brightness_mag_arcsec2(Angle::from_deg(altitude_deg), Some(moon))
    }

    /// No outside figure: worked by hand from the paper's equations. Z 30, Zm 60, rho 90, alpha 0 give f = 250,773,
    /// I = 0.02911, X(Zm) = 1.890, X(Z) = 1.147: 899 nL of moonlight over 87 nL of dark sky.
    #[test]
    fn the_worked_case_comes_out() {
        assert!((lit(60.0, 30.0, 0.0, 90.0) - 18.85).abs() < 0.01);
    }

    #[test]
    fn both_laws_of_dust_meet_at_ten_degrees() {
        let (inside, outside) =
            (scattering(Angle::from_deg(9.999)), scattering(Angle::from_deg(10.0)));
        assert!((inside / outside - 1.0).abs() < 0.25, "{inside} {outside}");
    }

    #[test]
    fn a_fuller_nearer_moon_is_brighter_and_one_that_is_down_is_dark() {
        assert!(lit(60.0, 30.0, 0.0, 60.0) < lit(60.0, 30.0, 40.0, 60.0));
        assert!(lit(60.0, 30.0, 40.0, 20.0) < lit(60.0, 30.0, 40.0, 60.0));
        let dark = SKY.brightness_mag_arcsec2(Angle::from_deg(60.0), None);
        assert_eq!(lit(60.0, -1.0, 0.0, 60.0), dark);
        // A crescent three days old: a twentieth of a magnitude.
        assert!(dark - lit(60.0, 10.0, 144.0, 80.0) < 0.06);
    }
}
