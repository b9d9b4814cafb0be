//! A picture of the person's own that stands under the frames in place of the drawn sky.

use serde::{Deserialize, Serialize};

use super::is_false;
use crate::range::{dark_level, opacity, stretch};

/// Which picture, and how it is shown. Its pixels are in its file, not in the kit.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Background {
    /// The picture's file; if the path is relative, from the folder of the kit file.
    pub path: String,
    /// How much of the drawn sky it hides, 0 to 1.
    #[serde(default = "opaque", deserialize_with = "opacity")]
    pub opacity: f64,
    /// Share of its pixels that turn black, per cent.
    #[serde(default, deserialize_with = "dark_level")]
    pub dark_level: f64,
    /// How much its faint parts are lifted: 0 leaves them as they are.
    #[serde(default, deserialize_with = "stretch")]
    pub stretch: f64,
    /// Whether a header beside a PNG, JPEG or TIFF counts rows from the top, unlike FITS.
    #[serde(default, skip_serializing_if = "is_false")]
    pub rows_from_top: bool,
}

fn opaque() -> f64 {
    1.0
}
