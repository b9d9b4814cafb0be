//! From a wish in the kit to the target it means.

use std::borrow::Cow;

use fieldstop::kit::{Kit, Wish};
use fieldstop::{Angle, Direction};

use super::catalogue::{Catalogue, Target, outline};
use super::kind::Kind;

/// The target that a wish means; `None` for a name that the catalogue does not know.
///
/// A custom wish becomes a target of its own, with just what the person said of it.
pub fn target_of<'a>(wish: &Wish, catalogue: &'a Catalogue) -> Option<Cow<'a, Target>> {
    match wish {
        Wish::Named(name) => catalogue.named(name).map(Cow::Borrowed),
        Wish::Custom {
            name,
            ra_deg,
            dec_deg,
            major_arcmin,
            minor_arcmin,
            pa_deg,
            surface_brightness_mag_arcsec2,
        } => Some(Cow::Owned(Target {
            name: name.clone(),
            kind: Kind::Custom,
            place: Direction::from_ra_dec(Angle::from_deg(*ra_deg), Angle::from_deg(*dec_deg)),
            ra_deg: *ra_deg,
            dec_deg: *dec_deg,
            outline: outline(*major_arcmin, *minor_arcmin, *pa_deg),
            major_arcmin: *major_arcmin,
            minor_arcmin: *minor_arcmin,
            pa_deg: *pa_deg,
            size_uncertain: false,
            magnitude: None,
            magnitude_assumed: false,
            surface_brightness_mag_arcsec2: *surface_brightness_mag_arcsec2,
            constellation: String::new(),
            common_names: Vec::new(),
            other_names: Vec::new(),
            note: String::new(),
        })),
    }
}

/// Whether a target is on the wish list, under this or another of its names.
pub fn is_wished(kit: &Kit, catalogue: &Catalogue, name: &str) -> bool {
    kit.wish_list.iter().any(|wish| {
        wish.name() == name
            || matches!(wish, Wish::Named(other)
                if catalogue.named(other).is_some_and(|target| target.name == name))
    })
}
