//! The series that the places of Sun, Moon and planets are computed from, as plain vectors.
//!
//! All vectors are in the ICRS, in astronomical units and days; times are Julian dates of
//! terrestrial time in two parts.

use sofars::consts::{DJ00, DJC};
use sofars::eph::{epv00, moon98, plan94};

/// Mass of the Earth and the Moon over that of the Moon (IAU 2009: 1 + 81.3006).
const EARTH_MOON_OVER_MOON: f64 = 82.3006;
/// The Earth-Moon barycentre's number in `plan94`.
const EARTH_MOON_BARYCENTRE: i32 = 3;

/// Where the Earth is, and how it moves.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Earth {
    /// From the Sun.
    pub(crate) from_sun_au: [f64; 3],
    /// Against the Sun.
    pub(crate) velocity_from_sun_au_per_day: [f64; 3],
    /// Against the solar system's barycentre: what aberration is measured by.
    pub(crate) velocity_au_per_day: [f64; 3],
}

impl Earth {
    /// By `epv00` within its 1900 to 2100 (0.01 arcsec), else by `plan94` (6 arcsec), so that the
    /// year 2100 does not stop at its first noon.
    pub(crate) fn at(tt1: f64, tt2: f64) -> Self {
        if ((tt1 - DJ00) + tt2).abs() < DJC
            && let Some((by_sun, by_barycentre)) = epv00(tt1, tt2)
        {
            let [from_sun_au, velocity_from_sun_au_per_day] = by_sun;
            let [_, velocity_au_per_day] = by_barycentre;
            return Self { from_sun_au, velocity_from_sun_au_per_day, velocity_au_per_day };
        }
        let barycentre = planet(EARTH_MOON_BARYCENTRE, tt1, tt2);
        let moon = moon98(tt1, tt2);
        let earth = |part: usize| {
            [0, 1, 2].map(|k| barycentre[part][k] - moon[part][k] / EARTH_MOON_OVER_MOON)
        };
        // The Sun's own motion round the barycentre, 13 m/s, is left out: 0.01 arcsec.
        let (place, velocity) = (earth(0), earth(1));
        Self {
            from_sun_au: place,
            velocity_from_sun_au_per_day: velocity,
            velocity_au_per_day: velocity,
        }
    }
}

/// A planet's place and velocity from the Sun, `plan94`, by its number there.
pub(crate) fn planet(number: i32, tt1: f64, tt2: f64) -> [[f64; 3]; 2] {
    // OK because the only fault is a number outside 1 to 8, and then there is no such planet.
    plan94(tt1, tt2, number).map_or([[f64::NAN; 3]; 2], |(place, _)| place)
}

/// The Moon's place and velocity from the Earth's centre, `moon98`.
pub(crate) fn moon(tt1: f64, tt2: f64) -> [[f64; 3]; 2] {
    moon98(tt1, tt2)
}

pub(crate) fn sub(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(crate) fn length([x, y, z]: [f64; 3]) -> f64 {
    x.hypot(y).hypot(z)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_earth_does_not_jump_where_one_series_takes_over_from_the_other() {
        let before = Earth::at(DJ00 + DJC, -1e-6);
        let after = Earth::at(DJ00 + DJC, 1e-6);
        let arcsec = |a, b| length(sub(a, b)) * 206_265.0;
        assert!(arcsec(before.from_sun_au, after.from_sun_au) < 6.0);
        // Aberration: 20.5 arcsec times the relative change of the velocity.
        let change = length(sub(before.velocity_au_per_day, after.velocity_au_per_day)) / 0.0172;
        assert!(change * 20.5 < 0.02, "{change}");
    }
}
