//! The shortlist's figures.

use fieldstop::kit::Kit;
use fieldstop::rig::ResolvedRig;
use serde::Serialize;

use super::{Cell, Column, column};

/// What one rig delivers, with the keys of the command line's JSON.
#[derive(Serialize)]
pub struct RigRow<'a> {
    /// As the kit has it.
    pub name: &'a str,
    /// Of the whole train.
    pub focal_length_mm: f64,
    /// Of the whole train.
    pub focal_ratio: f64,
    /// The sensor's width.
    pub sensor_width_mm: f64,
    /// The sensor's height.
    pub sensor_height_mm: f64,
    /// What its width spans at the centre.
    pub field_width_deg: f64,
    /// What its height spans at the centre.
    pub field_height_deg: f64,
    /// From corner to corner.
    pub field_diagonal_deg: f64,
    /// Solid angle.
    pub field_area_deg2: f64,
    /// At the axis.
    pub pixel_scale_arcsec: f64,
}

impl<'a> RigRow<'a> {
    /// Of a rig.
    pub fn of(rig: &ResolvedRig<'a>) -> Self {
        let (sensor, field) = (rig.sensor(), rig.field());
        Self {
            name: &rig.rig.name,
            focal_length_mm: rig.focal_length_mm(),
            focal_ratio: rig.focal_ratio(),
            sensor_width_mm: sensor.width_mm,
            sensor_height_mm: sensor.height_mm,
            field_width_deg: field.width().deg(),
            field_height_deg: field.height().deg(),
            field_diagonal_deg: field.diagonal().deg(),
            field_area_deg2: field.area_deg2(),
            pixel_scale_arcsec: rig.pixel_scale().arcsec(),
        }
    }
}

/// The kit's rigs that can be computed with, in its order.
pub fn resolved(kit: &Kit) -> Vec<ResolvedRig<'_>> {
    (0..kit.rigs.len()).filter_map(|rig| kit.resolve(rig)).collect()
}

pub(super) fn columns() -> Vec<Column> {
    vec![
        column("rig", "", "name of the rig"),
        column("focal_length_mm", "mm", "effective focal length, corrector included"),
        column("focal_ratio", "", "effective focal ratio"),
        column("sensor_width_mm", "mm", "width of the sensor"),
        column("sensor_height_mm", "mm", "height of the sensor"),
        column("field_width_deg", "deg", "field of view along the width"),
        column("field_height_deg", "deg", "field of view along the height"),
        column("field_diagonal_deg", "deg", "field of view along the diagonal"),
        column("field_area_deg2", "deg2", "solid angle of the frame"),
        column("pixel_scale_arcsec", "arcsec/px", "sky that a pixel spans at the axis"),
        column("ota", "", "name of the optical tube"),
        column("corrector", "", "name of the corrector; empty for none"),
        column("camera", "", "name of the camera"),
        column("mount", "", "name of the mount"),
    ]
}

pub(super) fn rows(kit: &Kit) -> Vec<Vec<Cell>> {
    let row = |rig: ResolvedRig<'_>| {
        let figures = RigRow::of(&rig);
        vec![
            figures.name.into(),
            figures.focal_length_mm.into(),
            figures.focal_ratio.into(),
            figures.sensor_width_mm.into(),
            figures.sensor_height_mm.into(),
            figures.field_width_deg.into(),
            figures.field_height_deg.into(),
            figures.field_diagonal_deg.into(),
            figures.field_area_deg2.into(),
            figures.pixel_scale_arcsec.into(),
            rig.ota.name.as_str().into(),
            rig.corrector.map(|corrector| corrector.name.as_str()).into(),
            rig.camera.name.as_str().into(),
            rig.mount.name.as_str().into(),
        ]
    };
    resolved(kit).into_iter().map(row).collect()
}
