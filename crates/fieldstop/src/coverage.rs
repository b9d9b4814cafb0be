//! Whether the light reaches the corners, and whether the sensor sits where the corrector wants it.

use crate::quadrature::integral;
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
/// Plane geometry, the circle's chords across the sensor summed up.
///
/// # Example
/// A circle that touches all sides of a square leaves `pi / 4` of it.
/// ```
/// # use fieldstop::{Sensor, coverage::lit_share};
/// let square = Sensor { width_mm: 10.0, height_mm: 10.0 };
/// assert!((lit_share(square, 10.0) - std::f64::consts::FRAC_PI_4).abs() < 1e-4);
/// assert_eq!(lit_share(square, 15.0), 1.0);
/// ```
pub fn lit_share(sensor: Sensor, image_circle_mm: f64) -> f64 {
    let radius = image_circle_mm / 2.0;
    let (half_width, half_height) = (sensor.width_mm / 2.0, sensor.height_mm / 2.0);
    if sensor.diagonal_mm() <= image_circle_mm {
        return 1.0;
    }
    // By the angle along the circle, so that the chord's end has no vertical tangent.
    let end = (half_width / radius).min(1.0).asin();
    let chord = |angle: f64| (radius * angle.cos()).min(half_height) * radius * angle.cos();
    integral(0.0, end, 8, chord) / (half_width * half_height)
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
