//! Whether the light reaches the corners, and whether the sensor sits where the corrector wants it.

use crate::why::{Known, Why};
use crate::{Angle, ResolvedRig, Sensor};

/// The sensor against the image circle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coverage {
    /// From corner to corner of the sensor.
    pub sensor_diagonal_mm: f64,
    /// Diameter that is lit and sharp at the sensor.
    pub image_circle_mm: f64,
}

impl Coverage {
    /// Whether the circle holds the whole sensor.
    pub fn is_whole(self) -> bool {
        self.sensor_diagonal_mm <= self.image_circle_mm
    }

    /// How much of each half diagonal lies outside the circle, millimetres; 0 if none.
    pub fn corner_cut_mm(self) -> f64 {
        ((self.sensor_diagonal_mm - self.image_circle_mm) / 2.0).max(0.0)
    }
}

/// Diameter that is lit and sharp at the sensor.
///
/// The OTA's own circle grows or shrinks with the corrector's factor, and a corrector may have a
/// smaller one of its own; the smaller counts.
///
/// # Errors
/// [`Why::NoImageCircle`] if neither states one.
///
/// # Source
/// Geometric optics.
pub fn image_circle_mm(rig: &ResolvedRig<'_>) -> Known<f64> {
    let factor = rig.corrector.map_or(1.0, |corrector| corrector.factor);
    let ota = rig.ota.image_circle_mm.map(|circle| circle * factor);
    let corrector = rig.corrector.and_then(|corrector| corrector.image_circle_mm);
    match (ota, corrector) {
        (Some(a), Some(b)) => Ok(a.min(b)),
        (Some(circle), None) | (None, Some(circle)) => Ok(circle),
        (None, None) => Err(Why::NoImageCircle),
    }
}

/// Share of the sensor's area within a circle about its middle: what is left of the picture.
///
/// # Units
/// - `image_circle_mm`: diameter, > 0
/// - returns: 0 to 1
///
/// # Source
/// Plane geometry: of a quarter, the rectangle under the sensor's upper edge until the circle
/// comes below it, then the circle, `r^2 / 2 (angle + sin cos)`.
///
/// # Example
/// A circle that touches all sides of a square leaves `pi / 4` of it.
/// ```
/// # use fieldstop::{Sensor, coverage::lit_share};
/// let square = Sensor { width_mm: 10.0, height_mm: 10.0 };
/// assert!((lit_share(square, 10.0) - std::f64::consts::FRAC_PI_4).abs() < 1e-12);
/// assert_eq!(lit_share(square, 15.0), 1.0);
/// ```
pub fn lit_share(sensor: Sensor, image_circle_mm: f64) -> f64 {
    let radius = image_circle_mm / 2.0;
    let (half_width, half_height) = (sensor.width_mm / 2.0, sensor.height_mm / 2.0);
    if sensor.diagonal_mm() <= image_circle_mm {
        return 1.0;
    }
    // Angles from the upward direction: where the circle crosses the upper edge, and the side.
    let start = (half_height / radius).min(1.0).acos();
    let end = (half_width / radius).min(1.0).asin();
    let under_circle = |angle: f64| radius * radius / 2.0 * (angle + angle.sin() * angle.cos());
    let quarter = half_height * radius * start.sin() + under_circle(end) - under_circle(start);
    quarter / (half_width * half_height)
}

/// Half the angle that the sensor's diagonal spans: how far off the axis its corners look.
pub fn corner_off_axis(rig: &ResolvedRig<'_>) -> Angle {
    rig.field().diagonal() / 2.0
}

/// The way from a corrector to the sensor: what it asks for, and what the parts add up to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BackFocus {
    /// What the corrector asks for, longer by a third of the filter's thickness.
    pub wanted_mm: f64,
    /// Camera and adapters together.
    pub found_mm: f64,
}

impl BackFocus {
    /// What spacers still have to add, millimetres; below 0 the parts are too long already.
    pub fn spacer_mm(self) -> f64 {
        self.wanted_mm - self.found_mm
    }
}

/// The back-focus budget of a rig.
///
/// # Errors
/// [`Why::NoBackFocus`] or [`Why::NoFlange`] where a length is not stated.
///
/// # Source
/// Refraction: glass of index 1.5 moves the focus back by `1 - 1/1.5`, a third, of its thickness.
pub fn back_focus(rig: &ResolvedRig<'_>) -> Known<BackFocus> {
    let asked = rig.corrector.and_then(|corrector| corrector.back_focus_mm);
    let asked = asked.ok_or(Why::NoBackFocus)?;
    let flange = rig.camera.flange_mm.ok_or(Why::NoFlange)?;
    let filter = rig.rig.filter.as_ref().and_then(|filter| filter.thickness_mm).unwrap_or(0.0);
    Ok(BackFocus {
        wanted_mm: asked + filter / 3.0,
        found_mm: flange + rig.rig.adapters_mm.unwrap_or(0.0),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lit_share_is_that_of_counted_points() {
        let sensor = Sensor { width_mm: 36.0, height_mm: 24.0 };
        for circle_mm in [10.0, 24.0, 30.0, 36.0, 40.0, 43.0, 44.0] {
            let (across, up) = (720, 480);
            let lit = (0..across * up)
                .filter(|index| {
                    let x = (f64::from(index % across) + 0.5) / f64::from(across) - 0.5;
                    let y = (f64::from(index / across) + 0.5) / f64::from(up) - 0.5;
                    (36.0 * x).hypot(24.0 * y) <= circle_mm / 2.0
                })
                .count();
            let counted = lit as f64 / f64::from(across * up);
            assert!((lit_share(sensor, circle_mm) - counted).abs() < 3e-4, "{circle_mm}");
        }
    }

    #[test]
    fn a_corner_is_cut_only_by_a_circle_that_is_too_small() {
        let short = Coverage { sensor_diagonal_mm: 43.0, image_circle_mm: 40.0 };
        assert!(!short.is_whole());
        assert!((short.corner_cut_mm() - 1.5).abs() < 1e-12);
        let enough = Coverage { image_circle_mm: 43.0, ..short };
        assert!(enough.is_whole());
        assert_eq!(enough.corner_cut_mm(), 0.0);
    }
}
