//! The sensor's outline on the sky: how large it is, where its corners lie, what is in it.
//!
//! A distortion-free lens throws the sky on the sensor by the [gnomonic projection](crate::tangent),
//! so a sensor is a rectangle on the plane that touches the sky at the middle of the picture, and
//! its half sides there are simply `side / 2f`. A [`Field`] is that rectangle without a place; a
//! [`Frame`] is a field put somewhere on the sky and turned.

use crate::{Angle, Direction, Icrs, TangentPlane, TangentPoint};

/// The light-sensitive rectangle of a camera.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sensor {
    /// The side that is across the picture, millimetres.
    pub width_mm: f64,
    /// The side that is up the picture, millimetres.
    pub height_mm: f64,
}

impl Sensor {
    /// From corner to opposite corner, millimetres: what an image circle has to hold.
    ///
    /// # Example
    /// ```
    /// # use fieldstop::Sensor;
    /// assert_eq!(Sensor { width_mm: 4.8, height_mm: 3.6 }.diagonal_mm(), 6.0);
    /// ```
    pub fn diagonal_mm(self) -> f64 {
        self.width_mm.hypot(self.height_mm)
    }
}

/// Angle that one side of a sensor spans on the sky, through the centre of the field.
///
/// Exact for a distortion-free lens. The small-angle form `side / focal length` is 0.06 % too
/// large at 5 degrees and 27 % at 90.
///
/// # Units
/// - `side_mm`: the sensor's side, millimetres, > 0
/// - `focal_length_mm`: of the whole train, corrector included, millimetres, > 0
/// - returns: 0 to 180 degrees, exclusive. NaN in, NaN out
///
/// # Source
/// Geometric optics: `2 atan(d / 2f)`.
///
/// # Example
/// A side twice the focal length spans a right angle.
/// ```
/// # use fieldstop::field_of_view;
/// assert!((field_of_view(48.0, 24.0).deg() - 90.0).abs() < 1e-12);
/// ```
pub fn field_of_view(side_mm: f64, focal_length_mm: f64) -> Angle {
    spanned(side_mm / (2.0 * focal_length_mm))
}

/// Angle on the sky that one pixel spans, at the centre of the field.
///
/// Away from the centre a pixel of a wide field spans less, by the square of the cosine of the
/// distance along the radius.
///
/// # Units
/// - `pixel_um`: side of a square pixel, micrometres, > 0
/// - `focal_length_mm`: of the whole train, corrector included, millimetres, > 0
///
/// # Source
/// Geometric optics: `p / f`, that is 206.265 arcsec times micrometres over millimetres.
///
/// # Example
/// ```
/// # use fieldstop::pixel_scale;
/// assert!((pixel_scale(1.0, 206.265).arcsec() - 1.0).abs() < 1e-6);
/// ```
pub fn pixel_scale(pixel_um: f64, focal_length_mm: f64) -> Angle {
    Angle::from_rad(pixel_um / 1000.0 / focal_length_mm)
}

/// The angle between two places of the tangent plane at `tangent` to either side of its centre.
fn spanned(tangent: f64) -> Angle {
    Angle::from_rad(2.0 * tangent.atan())
}

/// What a sensor spans behind a focal length: a rectangle on the tangent plane.
///
/// # Units
/// Half sides in radians at the centre, as on every [tangent plane](crate::tangent), > 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Field {
    /// Tangent of half the angle across the picture.
    pub half_width: f64,
    /// Tangent of half the angle up the picture.
    pub half_height: f64,
}

impl Field {
    /// What a sensor spans behind a focal length.
    ///
    /// # Units
    /// - `focal_length_mm`: of the whole train, corrector included, millimetres, > 0
    ///
    /// # Example
    /// ```
    /// # use fieldstop::{Field, Sensor};
    /// let field = Field::new(Sensor { width_mm: 36.0, height_mm: 24.0 }, 50.0);
    /// assert!((field.width().deg() - 39.5978).abs() < 1e-4);
    /// assert!((field.half_height - 0.24).abs() < 1e-15);
    /// ```
    pub fn new(sensor: Sensor, focal_length_mm: f64) -> Self {
        let half = |side_mm: f64| side_mm / (2.0 * focal_length_mm);
        Self { half_width: half(sensor.width_mm), half_height: half(sensor.height_mm) }
    }

    /// Angle across the picture, through its centre.
    pub fn width(self) -> Angle {
        spanned(self.half_width)
    }

    /// Angle up the picture, through its centre.
    pub fn height(self) -> Angle {
        spanned(self.half_height)
    }

    /// Angle from corner to opposite corner, through the centre.
    pub fn diagonal(self) -> Angle {
        spanned(self.half_width.hypot(self.half_height))
    }

    /// How much of the sky is in the picture, steradians.
    ///
    /// # Source
    /// Spherical geometry: `4 asin(sin(w/2) sin(h/2))`, written with the half sides' tangents as
    /// `4 atan(a b / sqrt(1 + a^2 + b^2))`, the same value without the arcsine's loss of digits
    /// near half the sky.
    ///
    /// # Example
    /// One face of a cube around the eye is a sixth of the sky.
    /// ```
    /// # use fieldstop::{Field, Sensor};
    /// let face = Field::new(Sensor { width_mm: 2.0, height_mm: 2.0 }, 1.0);
    /// assert!((face.solid_angle_sr() - 4.0 * std::f64::consts::PI / 6.0).abs() < 1e-14);
    /// ```
    pub fn solid_angle_sr(self) -> f64 {
        let (a, b) = (self.half_width, self.half_height);
        4.0 * (a * b / 1f64.hypot(a.hypot(b))).atan()
    }

    /// How much of the sky is in the picture, square degrees.
    pub fn area_deg2(self) -> f64 {
        let deg_per_rad = Angle::from_rad(1.0).deg();
        self.solid_angle_sr() * deg_per_rad * deg_per_rad
    }
}

/// A field at a place on the sky: what one picture takes.
///
/// Picture coordinates are in half sides: x from -1 at the left edge to 1 at the right, y from -1
/// at the top edge to 1 at the bottom. A frame that is not turned has north up and east left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Where the middle of the picture points.
    pub centre: Direction<Icrs>,
    /// Position angle of the picture's up direction at its centre, from north through east.
    pub rotation: Angle,
    /// What the sensor spans.
    pub field: Field,
}

impl Frame {
    /// The place on the sky at a point of the picture; the reverse of [`Self::picture_point`].
    ///
    /// # Units
    /// - `x`, `y`: half sides, x right and y **down**; beyond -1 to 1 it is outside the picture
    ///
    /// # Example
    /// The top edge of an unturned frame on the equator lies half a field to the north.
    /// ```
    /// # use fieldstop::{Angle, Direction, Field, Frame};
    /// let centre = Direction::from_ra_dec(Angle::ZERO, Angle::ZERO);
    /// let field = Field { half_width: 1.0, half_height: 1.0 };
    /// let frame = Frame { centre, rotation: Angle::ZERO, field };
    /// assert!((frame.point(0.0, -1.0).dec().deg() - 45.0).abs() < 1e-12);
    /// // The right edge is to the west.
    /// assert!((frame.point(1.0, 0.0).ra().deg() - 315.0).abs() < 1e-12);
    /// ```
    pub fn point(&self, x: f64, y: f64) -> Direction<Icrs> {
        TangentPlane::new(self.centre).direction(self.tangent_point(x, y))
    }

    /// Where a place on the sky falls in the picture, in half sides; it may be outside it.
    ///
    /// `None` from 90 degrees off the centre on, where a lens does not look.
    pub fn picture_point(&self, place: Direction<Icrs>) -> Option<(f64, f64)> {
        let TangentPoint { xi, eta } = TangentPlane::new(self.centre).project(place)?;
        let (sin, cos) = self.rotation.sin_cos();
        let right = eta * sin - xi * cos;
        let up = eta * cos + xi * sin;
        Some((right / self.field.half_width, -up / self.field.half_height))
    }

    /// Whether a place is in the picture, its edge included.
    pub fn contains(&self, place: Direction<Icrs>) -> bool {
        self.picture_point(place).is_some_and(|(x, y)| x.abs() <= 1.0 && y.abs() <= 1.0)
    }

    /// The corners: top-left, top-right, bottom-right, bottom-left of the picture.
    ///
    /// Between two of them the edge is a great circle.
    pub fn corners(&self) -> [Direction<Icrs>; 4] {
        let plane = TangentPlane::new(self.centre);
        [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
            .map(|(x, y)| plane.direction(self.tangent_point(x, y)))
    }

    /// A point of the picture on the tangent plane of its centre.
    pub(crate) fn tangent_point(&self, x: f64, y: f64) -> TangentPoint {
        let (sin, cos) = self.rotation.sin_cos();
        let (right, up) = (x * self.field.half_width, -y * self.field.half_height);
        TangentPoint { xi: up * sin - right * cos, eta: up * cos + right * sin }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use super::*;

    fn frame(ra_deg: f64, dec_deg: f64, rotation_deg: f64) -> Frame {
        Frame {
            centre: Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg)),
            rotation: Angle::from_deg(rotation_deg),
            field: Field::new(Sensor { width_mm: 36.0, height_mm: 24.0 }, 400.0),
        }
    }

    #[test]
    fn corners_come_from_the_top_left_clockwise() {
        let [top_left, top_right, bottom_right, bottom_left] = frame(100.0, 10.0, 0.0).corners();
        // As the sky is seen: north up, east left.
        assert!(top_left.ra() > top_right.ra() && top_left.dec() > bottom_left.dec());
        assert!(bottom_left.ra() > bottom_right.ra() && top_right.dec() > bottom_right.dec());
    }

    #[test]
    fn a_quarter_turn_points_the_top_to_the_east() {
        let turned = frame(100.0, 0.0, 90.0);
        let top = turned.point(0.0, -1.0);
        assert!((top.dec().deg()).abs() < 1e-12);
        assert!((top.ra().deg() - 100.0 - turned.field.height().deg() / 2.0).abs() < 1e-12);
    }

    #[test]
    fn corners_near_the_pole_are_exact() {
        let at_the_pole = frame(33.0, 90.0, 12.0);
        for corner in at_the_pole.corners() {
            let from_pole = 90.0 - corner.dec().deg();
            assert!((from_pole - at_the_pole.field.diagonal().deg() / 2.0).abs() < 1e-12);
        }
    }

    #[test]
    fn the_edge_is_inside_and_what_is_behind_is_not() {
        let frame = frame(0.0, 45.0, 30.0);
        assert!(frame.contains(frame.centre));
        assert!(frame.contains(frame.point(0.999_999_999, -0.999_999_999)));
        assert!(!frame.contains(frame.point(1.000_000_001, 0.0)));
        let [x, y, z] = frame.centre.xyz();
        let behind = Direction::from_vector([-x, -y, -z]).unwrap();
        assert!(!frame.contains(behind) && frame.picture_point(behind).is_none());
    }

    #[test]
    fn a_field_of_no_size_stays_finite() {
        let point = Field { half_width: 0.0, half_height: 0.0 };
        assert_eq!((point.width(), point.solid_angle_sr()), (Angle::ZERO, 0.0));
    }
}
