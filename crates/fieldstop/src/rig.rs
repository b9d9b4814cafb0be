//! A rig with its parts looked up: what the names in the kit stand for, and what they add up to.

use crate::kit::{Camera, Corrector, Kit, Mount, Ota, Rig};
use crate::{Angle, Field, Sensor, pixel_scale};

/// A rig of a kit with its parts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ResolvedRig<'kit> {
    /// The rig itself.
    pub rig: &'kit Rig,
    /// Its OTA.
    pub ota: &'kit Ota,
    /// Its corrector, if it has one.
    pub corrector: Option<&'kit Corrector>,
    /// Its camera.
    pub camera: &'kit Camera,
    /// Its mount.
    pub mount: &'kit Mount,
}

impl Kit {
    /// A rig with its parts; `None` if there is no such rig, or it names a part that is missing.
    ///
    /// The latter does not happen in a kit that [`Kit::check`] passed.
    pub fn resolve(&self, rig: usize) -> Option<ResolvedRig<'_>> {
        let rig = self.rigs.get(rig)?;
        let corrector = match &rig.corrector {
            Some(name) => Some(self.corrector(name)?),
            None => None,
        };
        Some(ResolvedRig {
            rig,
            ota: self.ota(&rig.ota)?,
            corrector,
            camera: self.camera(&rig.camera)?,
            mount: self.mount(&rig.mount)?,
        })
    }
}

impl ResolvedRig<'_> {
    /// Effective focal length, millimetres: the OTA's own times the corrector's factor.
    pub fn focal_length_mm(&self) -> f64 {
        self.ota.focal_length_mm * self.corrector.map_or(1.0, |corrector| corrector.factor)
    }

    /// Effective focal ratio: focal length over clear aperture. Below 1 it is rare, not wrong.
    pub fn focal_ratio(&self) -> f64 {
        self.focal_length_mm() / self.ota.aperture_mm
    }

    /// The camera's sensor: pixels times their side.
    pub fn sensor(&self) -> Sensor {
        let side_mm = |pixels: u32| f64::from(pixels) * self.camera.pixel_um / 1000.0;
        Sensor {
            width_mm: side_mm(self.camera.width_px),
            height_mm: side_mm(self.camera.height_px),
        }
    }

    /// What the sensor spans on the sky.
    pub fn field(&self) -> Field {
        Field::new(self.sensor(), self.focal_length_mm())
    }

    /// What a pixel spans at the centre of the field.
    pub fn pixel_scale(&self) -> Angle {
        pixel_scale(self.camera.pixel_um, self.focal_length_mm())
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use crate::kit::sample;

    #[test]
    fn a_rig_adds_up_its_parts() {
        let mut kit = sample::kit();
        let (long, reduced) = (kit.resolve(0).unwrap(), kit.resolve(1).unwrap());
        // Common practice, no source: a 200 mm OTA of 2000 mm is f/10, with a 0.7 reducer f/7.
        assert_eq!((long.focal_length_mm(), long.focal_ratio()), (2000.0, 10.0));
        assert!((reduced.focal_ratio() - 7.0).abs() < 1e-12);
        // The same: an 8-inch OTA at f/3.9 has about 800 mm.
        let (inch_mm, focal_ratio) = (25.4, 3.9);
        kit.otas[0] = sample::ota("200 mm f/10", 8.0 * inch_mm, 800.0);
        assert!((kit.resolve(0).unwrap().focal_ratio() - focal_ratio).abs() < 0.05);
    }

    #[test]
    fn the_field_is_as_many_pixels_wide_as_the_sensor() {
        let kit = sample::kit();
        let reduced = kit.resolve(1).unwrap();
        let sensor = reduced.sensor();
        assert!((sensor.width_mm - 23.4).abs() < 1e-12 && (sensor.height_mm - 15.6).abs() < 1e-12);
        // On the tangent plane it is exact.
        let pixels = 2.0 * reduced.field().half_width / reduced.pixel_scale().rad();
        assert!((pixels - 6000.0).abs() < 1e-9);
    }

    #[test]
    fn a_rig_that_is_not_there_or_lacks_a_part_is_none() {
        let mut kit = sample::kit();
        assert!(kit.resolve(2).is_none());
        kit.rigs[1].corrector = Some("gone".to_owned());
        assert!(kit.resolve(1).is_none());
        kit.cameras.clear();
        assert!(kit.resolve(0).is_none());
    }
}
