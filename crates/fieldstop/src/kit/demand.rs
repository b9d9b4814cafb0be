//! What only the demand figures need, every bit of it optional: thresholds, filters, a checklist.

use serde::{Deserialize, Serialize};

use crate::range::{
    load_kg, magnitude, money, passband_nm, pixels_per_fwhm, share, thickness_mm, throughput,
    wavelength_nm,
};

/// Where a figure turns from good to doubtful. All of it is common practice, so all of it can be
/// changed; what a kit leaves out has the usual value.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct Thresholds {
    /// Pixels per delivered FWHM below which a rig is under-sampled; usually 2.
    #[serde(deserialize_with = "pixels_per_fwhm")]
    pub under_sampled: f64,
    /// Pixels per delivered FWHM above which a rig is over-sampled; usually 3.
    #[serde(deserialize_with = "pixels_per_fwhm")]
    pub over_sampled: f64,
    /// Share by which read noise may add to the noise of one exposure; usually 0.05.
    #[serde(deserialize_with = "share")]
    pub read_noise: f64,
    /// Share by which guiding may widen the FWHM; usually 0.1.
    #[serde(deserialize_with = "share")]
    pub guiding_loss: f64,
    /// V magnitude of the star that should not fill a pixel's well; usually 10.
    #[serde(deserialize_with = "magnitude")]
    pub well_star_mag: f64,
    /// Mass of a single piece from which lifting alone deserves a thought.
    #[serde(deserialize_with = "load_kg")]
    pub lift_kg: f64,
}

impl Default for Thresholds {
    fn default() -> Self {
        Self {
            under_sampled: 2.0,
            over_sampled: 3.0,
            read_noise: 0.05,
            guiding_loss: 0.1,
            well_star_mag: 10.0,
            lift_kg: 16.0,
        }
    }
}

impl Thresholds {
    pub(super) fn are_usual(&self) -> bool {
        *self == Self::default()
    }
}

/// A filter in front of a rig's camera.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Filter {
    /// What it is called.
    pub name: String,
    /// Middle of its passband.
    #[serde(deserialize_with = "wavelength_nm")]
    pub centre_nm: f64,
    /// Width of its passband.
    #[serde(deserialize_with = "passband_nm")]
    pub width_nm: f64,
    /// Share of the light that it passes within its passband.
    #[serde(deserialize_with = "throughput")]
    pub transmission: f64,
    /// Of the glass; it moves the focus back by a third of this.
    #[serde(default, deserialize_with = "thickness_mm", skip_serializing_if = "Option::is_none")]
    pub thickness_mm: Option<f64>,
    /// In the kit's currency.
    #[serde(default, deserialize_with = "money", skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
    /// Already there, so it costs nothing more.
    pub owned: bool,
}

/// Something that a first rig needs beside its parts.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct ChecklistItem {
    /// What it is.
    pub name: String,
    /// In the kit's currency.
    #[serde(default, deserialize_with = "money")]
    pub price: Option<f64>,
    /// Already there, or not needed.
    pub owned: bool,
}
