//! The kit: everything a person has said, and nothing that was computed from it.
//!
//! Plain data, cheap to clone and compare, written as RON with these very names. Numbers stay as
//! the person typed them (degrees, millimetres), so that a kit saved untouched does not change.
//! A field read from a file is checked against its [`range`](crate::range) on the way in; what
//! spans several fields is checked by [`Kit::check`].

mod background;
mod check;
mod compared;
mod demand;
mod edit;
#[cfg(test)]
pub(crate) mod sample;
mod wanted;

use serde::{Deserialize, Serialize};

use crate::choice::Criterion;
use crate::range::{
    aperture_mm, back_focus_mm, bits, dark_e_per_s, detail, elevation_m, extinction_mag, factor,
    focal_length_mm, full_well_e, guided_rms_arcsec, image_circle_mm, latitude, load_kg, longitude,
    lowest_altitude, mass_kg, money, obstruction_mm, overlap, passband_nm, period_s,
    periodic_error_arcsec, pixel_um, pixels, polar_error_arcmin, position_angle, read_noise_e,
    seeing_arcsec, share, size_arcmin, snr, surface_brightness, thickness_mm, throughput, tube_mm,
    wavelength_nm, whole_circle,
};

pub use background::Background;
pub use check::{KitFault, MOST_OBSTRUCTED, PartList};
pub use demand::{ChecklistItem, Filter, Thresholds};
pub use edit::{Scope, free_name};
pub use wanted::{DrawnOutline, Weight};

/// The kit file's format that this code reads and writes.
pub const FORMAT: u32 = 1;

/// One saved document: site, limits, parts, shortlist of rigs and wish list of targets.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Kit {
    /// Always [`FORMAT`].
    pub format: u32,
    /// Whose kit it is.
    pub name: String,
    /// Where the photographs are to be taken.
    pub site: Site,
    /// What the person can spend and carry, and what counts as good enough.
    pub limits: Limits,
    /// Optical tubes, in the order they were added.
    #[serde(default)]
    pub otas: Vec<Ota>,
    /// Reducers, flatteners, coma correctors, Barlows.
    #[serde(default)]
    pub correctors: Vec<Corrector>,
    /// Cameras.
    #[serde(default)]
    pub cameras: Vec<Camera>,
    /// Mounts.
    #[serde(default)]
    pub mounts: Vec<Mount>,
    /// The shortlist.
    #[serde(default)]
    pub rigs: Vec<Rig>,
    /// The targets wanted.
    #[serde(default)]
    pub wish_list: Vec<Wish>,
    /// Frames that were turned or moved off the middle of their target.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub aims: Vec<Aim>,
    /// How much the person wants a target; one star for those that are not listed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub weights: Vec<Weight>,
    /// Targets whose shape the person drew on the sky, in place of the catalogue's ellipse.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub outlines: Vec<DrawnOutline>,
    /// What rigs are compared on; every count if none is listed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub compared_on: Vec<Criterion>,
    /// A picture of the person's own under the frames.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub background: Option<Background>,
}

/// Where the photographs are to be taken.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Site {
    /// What the place is called.
    pub name: String,
    /// Geodetic latitude, north positive.
    #[serde(deserialize_with = "latitude")]
    pub latitude_deg: f64,
    /// Longitude, east positive.
    #[serde(deserialize_with = "longitude")]
    pub longitude_deg: f64,
    /// Height above the sea.
    #[serde(deserialize_with = "elevation_m")]
    pub elevation_m: f64,
    /// IANA name, such as `Europe/London`.
    pub time_zone: String,
    /// At the zenith, without the Moon.
    #[serde(deserialize_with = "surface_brightness")]
    pub sky_brightness_mag_arcsec2: f64,
    /// Long exposure, at the zenith, 550 nm.
    #[serde(deserialize_with = "seeing_arcsec")]
    pub seeing_fwhm_arcsec: f64,
    /// Magnitudes lost per airmass.
    #[serde(deserialize_with = "extinction_mag")]
    pub extinction_mag_airmass: f64,
    /// Nothing lower is photographed.
    #[serde(deserialize_with = "lowest_altitude")]
    pub lowest_altitude_deg: f64,
    /// Points (azimuth, altitude) in degrees, by azimuth, closed round through north; empty is flat.
    #[serde(default)]
    pub horizon: Vec<(f64, f64)>,
    /// Share of the nights that are clear, 0 to 1, one a month from January; empty is unknown.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub clear_fraction: Vec<f64>,
}

/// What the person can spend and carry, and what counts as good enough.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Limits {
    /// What may be spent, in `currency`.
    #[serde(default, deserialize_with = "money")]
    pub budget: Option<f64>,
    /// Of every price in the kit.
    pub currency: String,
    /// What can be carried to the site.
    #[serde(default, deserialize_with = "mass_kg")]
    pub carry_kg: Option<f64>,
    /// Share of a mount's rated payload that imaging may use.
    #[serde(deserialize_with = "share")]
    pub payload_share: f64,
    /// A target at or under this fill is whole.
    #[serde(deserialize_with = "share")]
    pub whole_fill: f64,
    /// Between mosaic panels, of a panel's side.
    #[serde(deserialize_with = "overlap")]
    pub overlap: f64,
    /// Resolution elements wanted across a target.
    #[serde(deserialize_with = "detail")]
    pub detail: f64,
    /// Signal-to-noise ratio wanted.
    #[serde(deserialize_with = "snr")]
    pub snr: f64,
    /// Where the demand figures turn from good to doubtful; the usual values if left out.
    #[serde(default, skip_serializing_if = "Thresholds::are_usual")]
    pub thresholds: Thresholds,
    /// What a first rig needs beside its parts; the usual list if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub checklist: Option<Vec<ChecklistItem>>,
}

/// The classes of telescope that a choice is made between.
#[derive(Clone, Copy, Debug, Deserialize, Eq, PartialEq, Serialize)]
pub enum OtaClass {
    /// A refractor light enough for any mount.
    ShortRefractor,
    /// A refractor of half a metre and more.
    LongRefractor,
    /// A paraboloid mirror and a flat diagonal.
    Newtonian,
    /// Mirror and lens together, folded and closed at the front.
    Compound,
    /// A photographic lens.
    CameraLens,
}

impl OtaClass {
    /// Every class.
    pub const ALL: [Self; 5] = [
        Self::ShortRefractor,
        Self::LongRefractor,
        Self::Newtonian,
        Self::Compound,
        Self::CameraLens,
    ];
}

/// An optical tube assembly.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Ota {
    /// Unique among the OTAs.
    pub name: String,
    /// Its class.
    pub class: OtaClass,
    /// Clear aperture.
    #[serde(deserialize_with = "aperture_mm")]
    pub aperture_mm: f64,
    /// Native, without a corrector.
    #[serde(deserialize_with = "focal_length_mm")]
    pub focal_length_mm: f64,
    /// Diameter of the central obstruction, 0 for none; at most [`MOST_OBSTRUCTED`] of the aperture.
    #[serde(deserialize_with = "obstruction_mm")]
    pub obstruction_mm: f64,
    /// Share of the light that gets through, obstruction aside.
    #[serde(deserialize_with = "throughput")]
    pub transmission: f64,
    /// Diameter that is lit and sharp.
    #[serde(default, deserialize_with = "image_circle_mm")]
    pub image_circle_mm: Option<f64>,
    /// Of the tube.
    #[serde(default, deserialize_with = "tube_mm")]
    pub length_mm: Option<f64>,
    /// With rings and rail.
    #[serde(deserialize_with = "mass_kg")]
    pub mass_kg: f64,
    /// In the kit's currency.
    #[serde(default, deserialize_with = "money")]
    pub price: Option<f64>,
    /// Already there, so it costs nothing more.
    pub owned: bool,
}

/// A reducer, flattener, coma corrector or Barlow.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Corrector {
    /// Unique among the correctors.
    pub name: String,
    /// What the focal length is multiplied by.
    #[serde(deserialize_with = "factor")]
    pub factor: f64,
    /// Diameter that is lit and sharp behind it.
    #[serde(default, deserialize_with = "image_circle_mm")]
    pub image_circle_mm: Option<f64>,
    /// From its rear shoulder to the sensor.
    #[serde(default, deserialize_with = "back_focus_mm")]
    pub back_focus_mm: Option<f64>,
    /// Its mass.
    #[serde(deserialize_with = "mass_kg")]
    pub mass_kg: f64,
    /// In the kit's currency.
    #[serde(default, deserialize_with = "money")]
    pub price: Option<f64>,
    /// Already there, so it costs nothing more.
    pub owned: bool,
}

/// A camera.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Camera {
    /// Unique among the cameras.
    pub name: String,
    /// Pixels along the width.
    #[serde(deserialize_with = "pixels")]
    pub width_px: u32,
    /// Pixels along the height.
    #[serde(deserialize_with = "pixels")]
    pub height_px: u32,
    /// Side of a square pixel.
    #[serde(deserialize_with = "pixel_um")]
    pub pixel_um: f64,
    /// Electrons, RMS.
    #[serde(deserialize_with = "read_noise_e")]
    pub read_noise_e: f64,
    /// Electrons a second and pixel.
    #[serde(deserialize_with = "dark_e_per_s")]
    pub dark_e_per_s: f64,
    /// Mean over the passband.
    #[serde(deserialize_with = "throughput")]
    pub quantum_efficiency: f64,
    /// Width of the passband.
    #[serde(deserialize_with = "passband_nm")]
    pub passband_nm: f64,
    /// Middle of the passband; 550 nm if left out.
    #[serde(default, deserialize_with = "wavelength_nm", skip_serializing_if = "Option::is_none")]
    pub wavelength_nm: Option<f64>,
    /// Whether its pixels lie under a mosaic of colour filters.
    #[serde(default, skip_serializing_if = "is_false")]
    pub colour: bool,
    /// From its front face to the sensor.
    #[serde(default, deserialize_with = "thickness_mm", skip_serializing_if = "Option::is_none")]
    pub flange_mm: Option<f64>,
    /// Electrons that a pixel holds.
    #[serde(deserialize_with = "full_well_e")]
    pub full_well_e: f64,
    /// Of the converter.
    #[serde(deserialize_with = "bits")]
    pub bit_depth: u32,
    /// Its mass.
    #[serde(deserialize_with = "mass_kg")]
    pub mass_kg: f64,
    /// In the kit's currency.
    #[serde(default, deserialize_with = "money")]
    pub price: Option<f64>,
    /// Already there, so it costs nothing more.
    pub owned: bool,
}

/// How a mount follows the sky.
#[derive(Clone, Copy, Debug, Deserialize, Eq, PartialEq, Serialize)]
pub enum MountKind {
    /// Turns about an axis parallel to the Earth's.
    Equatorial,
    /// Turns in altitude and azimuth, so the field rotates.
    Altazimuth,
    /// Does not follow at all.
    Fixed,
}

impl MountKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::Equatorial, Self::Altazimuth, Self::Fixed];
}

/// A mount or tripod.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Mount {
    /// Unique among the mounts.
    pub name: String,
    /// How it follows the sky.
    pub kind: MountKind,
    /// As rated by its maker.
    #[serde(deserialize_with = "load_kg")]
    pub payload_kg: f64,
    /// Peak to peak; 0 for none.
    #[serde(deserialize_with = "periodic_error_arcsec")]
    pub periodic_error_arcsec: f64,
    /// Of the periodic error; 0 where there is none.
    #[serde(deserialize_with = "period_s")]
    pub period_s: f64,
    /// Total of both axes when guided; none where it cannot be guided.
    #[serde(default, deserialize_with = "guided_rms_arcsec")]
    pub guided_rms_arcsec: Option<f64>,
    /// How far its axis is off the pole.
    #[serde(deserialize_with = "polar_error_arcmin")]
    pub polar_error_arcmin: f64,
    /// With its tripod.
    #[serde(deserialize_with = "mass_kg")]
    pub mass_kg: f64,
    /// In the kit's currency.
    #[serde(default, deserialize_with = "money")]
    pub price: Option<f64>,
    /// Already there, so it costs nothing more.
    pub owned: bool,
}

/// A candidate: parts by name, each of which the kit holds.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Rig {
    /// Unique among the rigs.
    pub name: String,
    /// Name of an OTA of the kit.
    pub ota: String,
    /// Name of a corrector of the kit.
    #[serde(default)]
    pub corrector: Option<String>,
    /// Name of a camera of the kit.
    pub camera: String,
    /// Name of a mount of the kit.
    pub mount: String,
    /// Guider, rings, cables: what else rides on the mount.
    #[serde(deserialize_with = "mass_kg")]
    pub extra_mass_kg: f64,
    /// In front of the camera; none if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub filter: Option<Filter>,
    /// Thickness of everything between corrector and camera: adapters, filter wheel.
    #[serde(default, deserialize_with = "thickness_mm", skip_serializing_if = "Option::is_none")]
    pub adapters_mm: Option<f64>,
    /// Whether its frame is drawn.
    #[serde(default = "shown", skip_serializing_if = "is_shown")]
    pub shown: bool,
    /// Which of the program's line styles it keeps when the shortlist is reordered; by its place
    /// where there is none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mark: Option<u8>,
}

fn shown() -> bool {
    true
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde calls it with a reference")]
fn is_shown(shown: &bool) -> bool {
    *shown
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde calls it with a reference")]
fn is_false(flag: &bool) -> bool {
    !*flag
}

/// A wanted target.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub enum Wish {
    /// An object of the catalogue by one of its names.
    Named(String),
    /// A place of the person's own, that no catalogue holds.
    Custom {
        /// Unique in the wish list.
        name: String,
        /// ICRS.
        #[serde(deserialize_with = "whole_circle")]
        ra_deg: f64,
        /// ICRS.
        #[serde(deserialize_with = "latitude")]
        dec_deg: f64,
        /// Full major axis; unknown if left out.
        #[serde(default, deserialize_with = "size_arcmin")]
        major_arcmin: Option<f64>,
        /// Full minor axis, at most the major one; a circle if left out.
        #[serde(default, deserialize_with = "size_arcmin")]
        minor_arcmin: Option<f64>,
        /// Of the major axis, from north through east.
        #[serde(default, deserialize_with = "position_angle")]
        pa_deg: Option<f64>,
        /// Mean, in V.
        #[serde(default, deserialize_with = "surface_brightness")]
        surface_brightness_mag_arcsec2: Option<f64>,
    },
}

/// Where a rig's frame was put on a target, if not on its middle at the best rotation.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Aim {
    /// Name of a rig of the kit.
    pub rig: String,
    /// Name of a target, as the wish list or the catalogue has it.
    pub target: String,
    /// Centre of the frame, ICRS; the target's middle if left out.
    #[serde(default)]
    pub centre_deg: Option<(f64, f64)>,
    /// Position angle of the frame's up direction; the best rotation if left out.
    #[serde(default, deserialize_with = "position_angle")]
    pub rotation_deg: Option<f64>,
}

impl Wish {
    /// The name it goes by in the wish list.
    pub fn name(&self) -> &str {
        match self {
            Self::Named(name) | Self::Custom { name, .. } => name,
        }
    }
}

impl Kit {
    /// The OTA of that name.
    pub fn ota(&self, name: &str) -> Option<&Ota> {
        self.otas.iter().find(|part| part.name == name)
    }

    /// The corrector of that name.
    pub fn corrector(&self, name: &str) -> Option<&Corrector> {
        self.correctors.iter().find(|part| part.name == name)
    }

    /// The camera of that name.
    pub fn camera(&self, name: &str) -> Option<&Camera> {
        self.cameras.iter().find(|part| part.name == name)
    }

    /// The mount of that name.
    pub fn mount(&self, name: &str) -> Option<&Mount> {
        self.mounts.iter().find(|part| part.name == name)
    }

    /// Where a rig's frame was put on a target, if it was touched.
    pub fn aim(&self, rig: &str, target: &str) -> Option<&Aim> {
        self.aims.iter().find(|aim| aim.rig == rig && aim.target == target)
    }
}
