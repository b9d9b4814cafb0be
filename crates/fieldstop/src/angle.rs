//! The one quantity that is always confused: angles, in degrees, minutes, seconds, hours, radians.

use std::f64::consts::{PI, TAU};
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// An angle of any size and sign. Held in radians.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Angle(f64);

impl Angle {
    /// No angle at all.
    pub const ZERO: Self = Self(0.0);
    /// A quarter of a turn.
    pub const RIGHT: Self = Self(PI / 2.0);
    /// Half a turn.
    pub const HALF_TURN: Self = Self(PI);
    /// A whole turn.
    pub const TURN: Self = Self(TAU);

    /// From radians.
    pub const fn from_rad(rad: f64) -> Self {
        Self(rad)
    }

    /// From degrees.
    pub const fn from_deg(deg: f64) -> Self {
        Self(deg * (PI / 180.0))
    }

    /// From minutes of arc, 60 to the degree.
    pub const fn from_arcmin(arcmin: f64) -> Self {
        Self(arcmin * (PI / 10_800.0))
    }

    /// From seconds of arc, 3600 to the degree.
    pub const fn from_arcsec(arcsec: f64) -> Self {
        Self(arcsec * (PI / 648_000.0))
    }

    /// From hours of right ascension, 24 to the turn.
    pub const fn from_hours(hours: f64) -> Self {
        Self(hours * (PI / 12.0))
    }

    /// In radians.
    pub const fn rad(self) -> f64 {
        self.0
    }

    /// In degrees.
    pub const fn deg(self) -> f64 {
        self.0 * (180.0 / PI)
    }

    /// In minutes of arc.
    pub const fn arcmin(self) -> f64 {
        self.0 * (10_800.0 / PI)
    }

    /// In seconds of arc.
    pub const fn arcsec(self) -> f64 {
        self.0 * (648_000.0 / PI)
    }

    /// In hours of right ascension.
    pub const fn hours(self) -> f64 {
        self.0 * (12.0 / PI)
    }

    /// Sine.
    pub fn sin(self) -> f64 {
        self.0.sin()
    }

    /// Cosine.
    pub fn cos(self) -> f64 {
        self.0.cos()
    }

    /// Tangent.
    pub fn tan(self) -> f64 {
        self.0.tan()
    }

    /// Sine and cosine at once.
    pub fn sin_cos(self) -> (f64, f64) {
        self.0.sin_cos()
    }

    /// The same direction as an angle in [0, one turn).
    ///
    /// # Example
    /// ```
    /// # use fieldstop::Angle;
    /// assert!((Angle::from_deg(-30.0).wrapped().deg() - 330.0).abs() < 1e-12);
    /// // The smallest negative angle does not become a whole turn.
    /// assert!(Angle::from_rad(-1e-30).wrapped() < Angle::TURN);
    /// ```
    pub fn wrapped(self) -> Self {
        let turned = self.0.rem_euclid(TAU);
        // OK because `rem_euclid` rounds a tiny negative angle up to exactly one turn.
        Self(if turned >= TAU { 0.0 } else { turned })
    }

    /// The same direction as an angle in [-half a turn, half a turn).
    pub fn wrapped_signed(self) -> Self {
        Self((self + Self::HALF_TURN).wrapped().0 - PI)
    }

    /// The same *line* as an angle in [0, half a turn): an axis has no head or tail.
    pub fn wrapped_axis(self) -> Self {
        let turned = self.0.rem_euclid(PI);
        Self(if turned >= PI { 0.0 } else { turned })
    }

    /// Without the sign.
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// The larger of two; a NaN loses.
    pub const fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }

    /// The smaller of two; a NaN loses.
    pub const fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }
}

impl Add for Angle {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Angle {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Angle {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl SubAssign for Angle {
    fn sub_assign(&mut self, other: Self) {
        self.0 -= other.0;
    }
}

impl Neg for Angle {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<f64> for Angle {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Div<f64> for Angle {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self(self.0 / divisor)
    }
}

impl Div for Angle {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}

impl Sum for Angle {
    fn sum<I: Iterator<Item = Self>>(angles: I) -> Self {
        angles.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_agree_with_each_other() {
        let angle = Angle::from_deg(15.0);
        assert!((angle.hours() - 1.0).abs() < 1e-15);
        assert!((angle.arcmin() - 900.0).abs() < 1e-11);
        assert!((angle.arcsec() - 54_000.0).abs() < 1e-9);
        assert!((Angle::from_arcmin(900.0) - angle).abs().rad() < 1e-15);
        assert!((Angle::from_arcsec(54_000.0) - angle).abs().rad() < 1e-15);
    }

    #[test]
    fn wrapping_stays_in_its_interval() {
        for deg in [-1e6, -720.0, -360.0, -180.0, -1e-20, 0.0, 179.999, 180.0, 360.0, 1e6] {
            let angle = Angle::from_deg(deg);
            assert!((0.0..360.0).contains(&angle.wrapped().deg()), "{deg}");
            assert!((-180.0..180.0).contains(&angle.wrapped_signed().deg()), "{deg}");
            assert!((0.0..180.0).contains(&angle.wrapped_axis().deg()), "{deg}");
        }
    }
}
