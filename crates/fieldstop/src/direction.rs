//! A place on the sky as a unit vector: no pole, no wrap at 0h.

use std::marker::PhantomData;

use crate::Angle;

/// The International Celestial Reference System: catalogue places, J2000 to 0.02 arcsec.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Icrs;

/// A place on the sky, a unit vector in the reference frame `F`.
///
/// x points at longitude 0, y at longitude 90 degrees on the equator, z at the north pole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Direction<F> {
    xyz: [f64; 3],
    frame: PhantomData<F>,
}

impl<F: Copy> Direction<F> {
    /// From right ascension and declination, or any longitude and latitude of the frame.
    ///
    /// # Units
    /// - `ra`: any angle; whole turns do not matter
    /// - `dec`: -90 to 90 degrees; beyond a pole the direction goes on down the other side
    pub fn from_ra_dec(ra: Angle, dec: Angle) -> Self {
        let (sin_ra, cos_ra) = ra.sin_cos();
        let (sin_dec, cos_dec) = dec.sin_cos();
        Self::from_unit([cos_dec * cos_ra, cos_dec * sin_ra, sin_dec])
    }

    /// From a vector of any length but zero; a zero or non-finite vector gives `None`.
    pub fn from_vector(xyz: [f64; 3]) -> Option<Self> {
        let length = xyz.iter().map(|v| v * v).sum::<f64>().sqrt();
        (length > 0.0 && length.is_finite()).then(|| Self::from_unit(xyz.map(|v| v / length)))
    }

    pub(crate) const fn from_unit(xyz: [f64; 3]) -> Self {
        Self { xyz, frame: PhantomData }
    }

    /// The unit vector.
    pub const fn xyz(self) -> [f64; 3] {
        self.xyz
    }

    /// Right ascension (longitude), 0 to 360 degrees; 0 at a pole.
    pub fn ra(self) -> Angle {
        let [x, y, _] = self.xyz;
        if x == 0.0 && y == 0.0 { Angle::ZERO } else { Angle::from_rad(y.atan2(x)).wrapped() }
    }

    /// Declination (latitude), -90 to 90 degrees.
    pub fn dec(self) -> Angle {
        let [x, y, z] = self.xyz;
        Angle::from_rad(z.atan2(x.hypot(y)))
    }

    /// Cosine of the separation.
    pub fn dot(self, other: Self) -> f64 {
        dot(self.xyz, other.xyz)
    }

    /// Great-circle separation, good to the last digits from coincident to antipodal places.
    ///
    /// # Source
    /// Vincenty 1975 in vector form, `atan2(|a x b|, a . b)`, as in IAU SOFA `sepp`.
    ///
    /// # Example
    /// ```
    /// # use fieldstop::{Angle, Direction, Icrs};
    /// let pole = Direction::<Icrs>::from_ra_dec(Angle::ZERO, Angle::from_deg(90.0));
    /// let equator = Direction::from_ra_dec(Angle::from_deg(123.0), Angle::ZERO);
    /// assert!((pole.separation(equator).deg() - 90.0).abs() < 1e-12);
    /// ```
    pub fn separation(self, other: Self) -> Angle {
        let [x, y, z] = cross(self.xyz, other.xyz);
        Angle::from_rad(x.hypot(y).hypot(z).atan2(self.dot(other)))
    }

    /// Position angle of `other` seen from here, from north through east, 0 to 360 degrees.
    ///
    /// Zero for the same or the opposite place. At a pole, north is the direction of longitude
    /// 180 degrees at the north pole, and of longitude 0 at the south pole.
    ///
    /// # Source
    /// IAU SOFA `pap`.
    pub fn position_angle(self, other: Self) -> Angle {
        let (east, north) = self.east_and_north();
        let (x, y) = (dot(other.xyz, east), dot(other.xyz, north));
        if x == 0.0 && y == 0.0 { Angle::ZERO } else { Angle::from_rad(x.atan2(y)).wrapped() }
    }

    /// The place at a distance from here along a great circle that sets out at a position angle.
    pub fn offset(self, position_angle: Angle, distance: Angle) -> Self {
        let (east, north) = self.east_and_north();
        let (sin_pa, cos_pa) = position_angle.sin_cos();
        let (sin_d, cos_d) = distance.sin_cos();
        let along = |k: usize| cos_d * self.xyz[k] + sin_d * (sin_pa * east[k] + cos_pa * north[k]);
        Self::from_unit([along(0), along(1), along(2)])
    }

    /// Unit vectors towards east and north, tangent to the sphere here.
    ///
    /// At the north pole east is longitude 90 degrees and north is longitude 180 degrees, the
    /// limit along the meridian of longitude 0.
    pub fn east_and_north(self) -> ([f64; 3], [f64; 3]) {
        let [x, y, z] = self.xyz;
        let across = x.hypot(y);
        let (sin_ra, cos_ra) = if across > 0.0 { (y / across, x / across) } else { (0.0, 1.0) };
        ([-sin_ra, cos_ra, 0.0], [-z * cos_ra, -z * sin_ra, across])
    }
}

pub(crate) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
        Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
    }

    #[test]
    fn right_ascension_and_declination_come_back() {
        for (ra, dec) in [(0.0, 0.0), (359.999, -45.0), (180.0, 89.999), (12.5, -89.0)] {
            assert!((place(ra, dec).ra().deg() - ra).abs() < 1e-10);
            assert!((place(ra, dec).dec().deg() - dec).abs() < 1e-10);
        }
        assert!(place(77.0, 90.0).dec().deg() > 89.999_999);
    }

    #[test]
    fn an_offset_lies_where_it_was_sent() {
        let start = place(359.9, 60.0);
        let end = start.offset(Angle::from_deg(77.0), Angle::from_deg(3.0));
        assert!((start.separation(end).deg() - 3.0).abs() < 1e-12);
        assert!((start.position_angle(end).deg() - 77.0).abs() < 1e-11);
    }

    #[test]
    fn separations_are_good_where_the_arccosine_fails() {
        let start = place(50.0, 30.0);
        let arcsec = |a: Direction<Icrs>, b| a.separation(b).arcsec();
        assert!((arcsec(start, place(50.0, 30.0 + 1e-9)) - 3.6e-6).abs() < 1e-10);
        assert!((arcsec(start, place(230.0, -30.0 + 1e-9)) - (648_000.0 - 3.6e-6)).abs() < 1e-9);
        assert_eq!(start.separation(start), Angle::ZERO);
    }

    #[test]
    fn north_at_a_pole_is_as_documented() {
        let pole = Direction::<Icrs>::from_unit([0.0, 0.0, 1.0]);
        assert_eq!(pole.ra(), Angle::ZERO);
        assert!((pole.position_angle(place(180.0, 45.0)).wrapped_signed().deg()).abs() < 1e-12);
        assert!((pole.position_angle(place(90.0, 45.0)).deg() - 90.0).abs() < 1e-12);
        let south = Direction::<Icrs>::from_unit([0.0, 0.0, -1.0]);
        assert!((south.position_angle(place(0.0, -45.0)).wrapped_signed().deg()).abs() < 1e-12);
    }

    #[test]
    fn position_angles_run_from_north_through_east() {
        let start = place(0.0, 10.0);
        assert!(start.position_angle(place(0.0, 11.0)).wrapped_signed().deg().abs() < 1e-12);
        // A little north of east sets out the great circle to the same declination.
        assert!((start.position_angle(place(0.01, 10.0)).deg() - 90.0).abs() < 0.01);
        assert!((start.position_angle(place(359.99, 10.0)).deg() - 270.0).abs() < 0.01);
        assert_eq!(start.position_angle(start), Angle::ZERO);
    }

    #[test]
    fn a_vector_without_direction_is_refused() {
        assert!(Direction::<Icrs>::from_vector([0.0; 3]).is_none());
        assert!(Direction::<Icrs>::from_vector([f64::NAN, 0.0, 1.0]).is_none());
        assert!(Direction::<Icrs>::from_vector([0.0, 0.0, 5.0]).is_some());
    }
}
