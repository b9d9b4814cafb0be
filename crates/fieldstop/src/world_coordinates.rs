//! World coordinates of a picture: which place on the sky lies behind which of its pixels.
//!
//! A picture with *world coordinates* carries a straight map from its pixels to the plane that
//! touches the sky at one place, as FITS writes it: the pixel's distance from a reference pixel,
//! times a matrix of two by two, gives degrees to the east and to the north on that plane, and the
//! [gnomonic projection](crate::tangent) leads from there to the sky. A picture that was fitted to
//! a star list may add small polynomials for what its lens distorts ([`Distortion`]).
//!
//! [`fits_header`](crate::fits_header) writes such a map down.
//!
//! # Pixels
//! As FITS counts them, unlike the rest of this crate: the middle of the first pixel is (1, 1), x
//! grows to the right and y **up**, from the bottom row.
//!
//! # Source
//! Greisen & Calabretta 2002, A&A 395, 1061 (the matrix); Calabretta & Greisen 2002, A&A 395, 1077
//! (the projection and the native pole).

use crate::{Angle, Direction, Frame, Icrs, TangentPlane, TangentPoint};

/// Whether a picture shows the sky as it is seen or as in a mirror.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Parity {
    /// With north up, east is on the left.
    AsSeen,
    /// With north up, east is on the right.
    Mirrored,
}

/// The map between the pixels of a picture and the sky.
#[derive(Clone, Debug, PartialEq)]
pub struct WorldCoordinates {
    /// Pixels across.
    pub width_px: u32,
    /// Pixels down.
    pub height_px: u32,
    /// The reference pixel, x and y as FITS counts them; it may lie outside the picture.
    pub reference_px: [f64; 2],
    /// The place behind the reference pixel, where the plane touches the sky.
    pub reference: Direction<Icrs>,
    /// Degrees on the plane for a pixel: east for x and y, then north for x and y.
    pub cd_deg: [[f64; 2]; 2],
    /// What the lens distorts, if that was measured.
    pub distortion: Option<Distortion>,
}

impl WorldCoordinates {
    /// Of a frame that is photographed with so many pixels.
    ///
    /// # Example
    /// The middle of a picture of two by two pixels lies between them.
    /// ```
    /// # use fieldstop::world_coordinates::WorldCoordinates;
    /// # use fieldstop::{Angle, Direction, Field, Frame};
    /// let centre = Direction::from_ra_dec(Angle::from_deg(10.0), Angle::from_deg(20.0));
    /// let field = Field { half_width: 0.01, half_height: 0.01 };
    /// let frame = Frame { centre, rotation: Angle::ZERO, field };
    /// let map = WorldCoordinates::of_frame(&frame, 2, 2);
    /// assert_eq!(map.reference_px, [1.5, 1.5]);
    /// // The pixel at the bottom left, whose middle is (1, 1), looks to the south-east.
    /// let place = map.sky([1.0, 1.0]).unwrap();
    /// assert!(place.ra() > centre.ra() && place.dec() < centre.dec());
    /// ```
    pub fn of_frame(frame: &Frame, width_px: u32, height_px: u32) -> Self {
        let (width, height) = (f64::from(width_px), f64::from(height_px));
        let per_px = [2.0 * frame.field.half_width / width, 2.0 * frame.field.half_height / height];
        let reference_px = [(width + 1.0) / 2.0, (height + 1.0) / 2.0];
        Self::turned(
            (width_px, height_px),
            (reference_px, frame.centre),
            per_px.map(Angle::from_rad),
            frame.rotation,
        )
    }

    /// Of a picture that shows the sky as it is seen.
    ///
    /// # Units
    /// - `size_px`: pixels across and down
    /// - `reference`: a pixel as FITS counts them, and the place behind it
    /// - `per_px`: what a pixel spans there, across and up
    /// - `rotation`: position angle of the picture's up direction there, from north through east
    pub fn turned(
        size_px: (u32, u32),
        (reference_px, reference): ([f64; 2], Direction<Icrs>),
        per_px: [Angle; 2],
        rotation: Angle,
    ) -> Self {
        let (sin, cos) = rotation.sin_cos();
        let [across, up] = per_px.map(Angle::deg);
        Self {
            width_px: size_px.0,
            height_px: size_px.1,
            reference_px,
            reference,
            cd_deg: [[-across * cos, up * sin], [across * sin, up * cos]],
            distortion: None,
        }
    }

    /// The same map with the native longitude of the celestial pole (LONPOLE) worked into its
    /// matrix, so that it is 180 degrees afterwards.
    ///
    /// # Source
    /// Calabretta & Greisen 2002, equations 2, 54 and 55, close to the reference place.
    #[must_use]
    pub fn with_native_pole(mut self, pole: Angle) -> Self {
        let (sin, cos) = pole.sin_cos();
        let [[east_x, east_y], [north_x, north_y]] = self.cd_deg;
        let east = |x: f64, y: f64| -(x * cos + y * sin);
        let north = |x: f64, y: f64| x * sin - y * cos;
        self.cd_deg = [
            [east(east_x, north_x), east(east_y, north_y)],
            [north(east_x, north_x), north(east_y, north_y)],
        ];
        self
    }

    /// The same map for a picture whose rows were counted from the top when it was made.
    ///
    /// # Example
    /// ```
    /// # use fieldstop::world_coordinates::{Parity, WorldCoordinates};
    /// # use fieldstop::{Angle, Direction, Field, Frame};
    /// let centre = Direction::from_ra_dec(Angle::from_deg(10.0), Angle::from_deg(20.0));
    /// let field = Field { half_width: 0.01, half_height: 0.01 };
    /// let frame = Frame { centre, rotation: Angle::ZERO, field };
    /// let map = WorldCoordinates::of_frame(&frame, 400, 300);
    /// let other = map.clone().with_rows_from_top();
    /// assert_eq!(other.parity(), Parity::Mirrored);
    /// let [one, same] = [map.sky([7.0, 1.0]), other.sky([7.0, 300.0])].map(Option::unwrap);
    /// assert!(one.separation(same).arcsec() < 1e-7);
    /// ```
    #[must_use]
    pub fn with_rows_from_top(mut self) -> Self {
        self.reference_px[1] = f64::from(self.height_px) + 1.0 - self.reference_px[1];
        for row in &mut self.cd_deg {
            row[1] = -row[1];
        }
        if let Some(distortion) = &mut self.distortion {
            let turn = |terms: &mut [Term], by: f64| {
                for (_, power, factor) in terms {
                    *factor *= if *power % 2 == 0 { by } else { -by };
                }
            };
            turn(&mut distortion.along_x, 1.0);
            turn(&mut distortion.along_y, -1.0);
        }
        self
    }

    /// The place behind a pixel; `None` where the numbers overflow.
    pub fn sky(&self, pixel: [f64; 2]) -> Option<Direction<Icrs>> {
        let off = [pixel[0] - self.reference_px[0], pixel[1] - self.reference_px[1]];
        let off = self.distortion.as_ref().map_or(off, |distortion| distortion.apply(off));
        let [east, north] = self.cd_deg.map(|row| row[0] * off[0] + row[1] * off[1]);
        let point = TangentPoint { xi: east.to_radians(), eta: north.to_radians() };
        let place = TangentPlane::new(self.reference).direction(point);
        place.xyz().iter().all(|part| part.is_finite()).then_some(place)
    }

    /// The pixel in front of a place, which may lie outside the picture; `None` from 90 degrees
    /// off the reference place on, where the matrix cannot be turned round, and where the
    /// distortion does not lead back.
    pub fn pixel(&self, place: Direction<Icrs>) -> Option<[f64; 2]> {
        let TangentPoint { xi, eta } = TangentPlane::new(self.reference).project(place)?;
        let [[a, b], [c, d]] = self.cd_deg;
        let determinant = a * d - b * c;
        let (east, north) = (xi.to_degrees(), eta.to_degrees());
        let off = [(d * east - b * north) / determinant, (a * north - c * east) / determinant];
        let off = match &self.distortion {
            None => off,
            Some(distortion) => distortion.undo(off)?,
        };
        let pixel = [off[0] + self.reference_px[0], off[1] + self.reference_px[1]];
        pixel.iter().all(|part| part.is_finite()).then_some(pixel)
    }

    /// Whether a pixel lies in the picture, edges included.
    pub fn contains(&self, [x, y]: [f64; 2]) -> bool {
        (0.5..=f64::from(self.width_px) + 0.5).contains(&x)
            && (0.5..=f64::from(self.height_px) + 0.5).contains(&y)
    }

    /// The place behind the middle of the picture.
    pub fn centre(&self) -> Option<Direction<Icrs>> {
        self.sky([f64::from(self.width_px), f64::from(self.height_px)].map(|n| (n + 1.0) / 2.0))
    }

    /// What a pixel spans at the reference place: the side of a square of its area.
    pub fn scale(&self) -> Angle {
        Angle::from_deg(self.determinant().abs().sqrt())
    }

    /// Position angle of the picture's up direction at the reference place.
    pub fn rotation(&self) -> Angle {
        Angle::from_rad(self.cd_deg[0][1].atan2(self.cd_deg[1][1])).wrapped()
    }

    /// Whether east is where it is seen.
    pub fn parity(&self) -> Parity {
        if self.determinant() < 0.0 { Parity::AsSeen } else { Parity::Mirrored }
    }

    /// Whether the map leads from pixels to the sky and back: finite, and not onto a line.
    pub fn is_sound(&self) -> bool {
        let [[a, b], [c, d]] = self.cd_deg;
        let size = a.hypot(c) * b.hypot(d);
        let numbers = [a, b, c, d, self.reference_px[0], self.reference_px[1], size];
        numbers.iter().all(|number| number.is_finite())
            && size > 0.0
            && self.determinant().abs() > 1e-6 * size
    }

    fn determinant(&self) -> f64 {
        let [[a, b], [c, d]] = self.cd_deg;
        a * d - b * c
    }
}

/// One term of a polynomial: its powers of x and of y, and its factor.
pub type Term = (u8, u8, f64);

/// What a lens distorts: polynomials that are added to a pixel's distance from the reference
/// pixel before the matrix is applied (the SIP convention).
///
/// # Source
/// Shupe et al. 2005, ASP Conf. Ser. 347, 491.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Distortion {
    /// Terms that are added to x, the A of the convention.
    pub along_x: Vec<Term>,
    /// Terms that are added to y, the B of the convention.
    pub along_y: Vec<Term>,
}

impl Distortion {
    /// The distance from the reference pixel without distortion.
    ///
    /// # Example
    /// ```
    /// # use fieldstop::world_coordinates::Distortion;
    /// let bent = Distortion { along_x: vec![(2, 0, 1e-4)], along_y: vec![] };
    /// assert_eq!(bent.apply([100.0, 7.0]), [101.0, 7.0]);
    /// ```
    pub fn apply(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let sum = |terms: &[Term]| {
            let term = |&(p, q, factor): &Term| factor * x.powi(p.into()) * y.powi(q.into());
            terms.iter().map(term).sum::<f64>()
        };
        [x + sum(&self.along_x), y + sum(&self.along_y)]
    }

    /// The distance whose undistorted form is the one given, to a millionth of a pixel; `None`
    /// where looking for it does not settle.
    fn undo(&self, wanted: [f64; 2]) -> Option<[f64; 2]> {
        const ROUNDS: usize = 60;
        let mut tried = wanted;
        for _ in 0..ROUNDS {
            let reached = self.apply(tried);
            let miss = [wanted[0] - reached[0], wanted[1] - reached[1]];
            tried = [tried[0] + miss[0], tried[1] + miss[1]];
            let off = miss[0].hypot(miss[1]);
            if off < 1e-6 {
                return Some(tried);
            }
            if !off.is_finite() {
                return None;
            }
        }
        None
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use super::*;
    use crate::Field;

    fn frame(rotation_deg: f64) -> Frame {
        Frame {
            centre: Direction::from_ra_dec(Angle::from_deg(83.8), Angle::from_deg(-5.4)),
            rotation: Angle::from_deg(rotation_deg),
            field: Field { half_width: 0.03, half_height: 0.02 },
        }
    }

    #[test]
    fn a_picture_point_and_its_pixel_are_the_same_place() {
        for rotation_deg in [0.0, 33.0, 180.0, 271.5] {
            let frame = frame(rotation_deg);
            let map = WorldCoordinates::of_frame(&frame, 600, 400);
            for (x, y) in [(-1.0, -1.0), (1.0, -1.0), (0.0, 0.0), (0.4, 0.9)] {
                let place = frame.point(x, y);
                // Half sides with y down, to pixels with y up whose first middle is 1.
                let wanted = [300.5 + 300.0 * x, 200.5 - 200.0 * y];
                let found = map.pixel(place).unwrap();
                assert!((found[0] - wanted[0]).hypot(found[1] - wanted[1]) < 1e-8, "{found:?}");
                assert!(map.sky(wanted).unwrap().separation(place).arcsec() < 1e-7);
            }
            let turned = (map.rotation() - Angle::from_deg(rotation_deg)).wrapped_signed();
            assert!(turned.deg().abs() < 1e-12);
            assert_eq!(map.parity(), Parity::AsSeen);
            assert!((map.scale().rad() - 1e-4).abs() < 1e-15);
        }
    }

    #[test]
    fn a_pole_of_zero_turns_the_picture_round() {
        let map = WorldCoordinates::of_frame(&frame(20.0), 600, 400);
        assert_eq!(
            map.clone().with_native_pole(Angle::HALF_TURN).cd_deg.map(|row| row.map(round)),
            map.cd_deg.map(|row| row.map(round))
        );
        let turned = map.with_native_pole(Angle::ZERO);
        assert!((turned.rotation().deg() - 200.0).abs() < 1e-12);
        assert_eq!(turned.parity(), Parity::AsSeen);
    }

    fn round(number: f64) -> i64 {
        (number * 1e15).round() as i64
    }

    #[test]
    fn a_distortion_is_undone() {
        let mut map = WorldCoordinates::of_frame(&frame(70.0), 3000, 2000);
        map.distortion = Some(Distortion {
            along_x: vec![(2, 0, 2e-6), (0, 2, -1e-6), (1, 2, 3e-10)],
            along_y: vec![(1, 1, 2e-6)],
        });
        for pixel in [[1.0, 1.0], [3000.0, 1.0], [1500.0, 1000.0], [200.0, 1900.0]] {
            let found = map.pixel(map.sky(pixel).unwrap()).unwrap();
            assert!((found[0] - pixel[0]).hypot(found[1] - pixel[1]) < 1e-4, "{found:?}");
        }
    }

    #[test]
    fn rows_from_the_top_are_the_same_places_with_a_distortion_too() {
        let mut map = WorldCoordinates::of_frame(&frame(70.0), 3000, 2000);
        map.distortion = Some(Distortion {
            along_x: vec![(2, 0, 2e-6), (0, 2, -1e-6), (1, 1, 3e-7)],
            along_y: vec![(1, 1, 2e-6), (0, 2, 1e-6), (0, 3, 2e-10)],
        });
        let other = map.clone().with_rows_from_top();
        for [x, y] in [[1.0, 1.0], [2900.0, 100.0], [700.0, 1900.0]] {
            let same = other.sky([x, 2001.0 - y]).unwrap();
            assert!(map.sky([x, y]).unwrap().separation(same).arcsec() < 1e-6);
        }
        assert_eq!(other.with_rows_from_top(), map);
    }

    #[test]
    fn a_map_onto_a_line_is_unsound() {
        let mut map = WorldCoordinates::of_frame(&frame(0.0), 600, 400);
        assert!(map.is_sound());
        map.cd_deg = [[1e-3, 1e-3], [1e-3, 1e-3]];
        assert!(!map.is_sound());
        map.cd_deg = [[f64::NAN, 0.0], [0.0, 1e-3]];
        assert!(!map.is_sound());
        map.cd_deg = [[0.0; 2]; 2];
        assert!(!map.is_sound());
    }
}
