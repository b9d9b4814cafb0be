//! One deep-sky object as the embedded file holds it: the sources with the overlay laid over.

use super::kind::Kind;

/// A row of the deep-sky table. An empty list or `None` is unknown.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What it goes by: its Messier number if it has one, else its name in the source.
    pub name: String,
    /// What sort of thing it is.
    pub kind: Kind,
    /// Right ascension, ICRS, 0 to 360.
    pub ra_deg: f64,
    /// Declination, ICRS.
    pub dec_deg: f64,
    /// Full major axis.
    pub major_arcmin: Option<f64>,
    /// Full minor axis.
    pub minor_arcmin: Option<f64>,
    /// Of the major axis, from north through east, 0 to 180.
    pub pa_deg: Option<f64>,
    /// The size is a guess, or that of a part.
    pub size_uncertain: bool,
    /// Integrated V.
    pub magnitude: Option<f64>,
    /// V was made from B.
    pub magnitude_assumed: bool,
    /// Mean, in V.
    pub surface_brightness_mag_arcsec2: Option<f64>,
    /// IAU abbreviation.
    pub constellation: String,
    /// What people call it.
    pub common_names: Vec<String>,
    /// Every other designation.
    pub other_names: Vec<String>,
    /// What a person should know before trusting the row.
    pub note: String,
}
