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
