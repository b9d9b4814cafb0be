//! From a wish in the kit to the target it means.

use std::borrow::Cow;
use std::sync::Arc;

use fieldstop::kit::{DrawnOutline, Kit, Wish};
use fieldstop::{Angle, Direction};

use super::catalogue::{Catalogue, Target, outline};
use super::kind::Kind;

/// The target that a wish means, under the name that the person wished it by; `None` for a name that the catalogue does not know.
///
/// A custom wish becomes a target of its own, with just what the person said of it.
pub fn target_of<'a>(wish: &Wish, catalogue: &'a Catalogue) -> Option<Cow<'a, Target>> {
    match wish {
        Wish::Named(name) => catalogue.named(name).map(|target| target.called(name)),
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
            listed_as: None,
            kind: Kind::Custom,
            place: Direction::from_ra_dec(Angle::from_deg(*ra_deg), Angle::from_deg(*dec_deg)),
            ra_deg: *ra_deg,
            dec_deg: *dec_deg,
            outline: outline(*major_arcmin, *minor_arcmin, *pa_deg),
            drawn: None,
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

/// The wish list's targets, with the shapes that the person drew; without those that the catalogue
/// does not know.
pub fn wished_targets<'kit, 'a>(
    kit: &'kit Kit,
    catalogue: &'a Catalogue,
) -> impl Iterator<Item = Cow<'a, Target>> + use<'kit, 'a> {
    kit.wish_list.iter().filter_map(|wish| target_named(kit, wish.name(), catalogue))
}

/// The targets of the person's own whose name is meant, with the shapes that the person drew.
pub fn own_targets<'kit, 'a>(
    kit: &'kit Kit,
    catalogue: &'a Catalogue,
    is_meant: impl Fn(&str) -> bool + 'kit,
) -> impl Iterator<Item = Cow<'a, Target>> {
    let own = kit.wish_list.iter().filter(|wish| matches!(wish, Wish::Custom { .. }));
    own.filter(move |wish| is_meant(wish.name()))
        .filter_map(|wish| Some(as_drawn(kit, wish.name(), target_of(wish, catalogue)?)))
}

/// The target of a name, with the shape that the person drew for it: the wish of just that name,
/// else the wish that is the same thing on the sky, else the catalogue's by the name asked for.
pub fn target_named<'a>(
    kit: &Kit,
    name: &str,
    catalogue: &'a Catalogue,
) -> Option<Cow<'a, Target>> {
    let wish = kit.wish_list.iter().find(|wish| wish.name() == name);
    let target = wish.and_then(|wish| target_of(wish, catalogue)).or_else(|| {
        let target = catalogue.named(name)?;
        let wished = WishNames::of(kit, catalogue).wished(target);
        Some(target.called(wished.or_else(|| target.spelled(name))?))
    })?;
    let name = target.name.clone();
    Some(as_drawn(kit, &name, target))
}

/// A target that goes by a name, with the shape that the person drew for it, if there is one.
pub fn as_drawn<'a>(kit: &Kit, name: &str, target: Cow<'a, Target>) -> Cow<'a, Target> {
    let Some(shape) = drawn_for(kit, name, &target).and_then(|drawn| drawn.shape().ok()) else {
        return target;
    };
    let mut target = target.into_owned();
    target.drawn = Some(Arc::new(shape));
    Cow::Owned(target)
}

/// What the person drew for a target, under the name it was asked for by or its own.
pub fn drawn_for<'kit>(kit: &'kit Kit, name: &str, target: &Target) -> Option<&'kit DrawnOutline> {
    kit.drawn_outline(name).or_else(|| kit.drawn_outline(target.catalogue_name()))
}

/// Which things on the sky are on the wish list, and under which names.
pub struct WishNames<'kit> {
    /// What the catalogue has it under, and what the person calls it.
    names: Vec<(String, &'kit str)>,
}

impl<'kit> WishNames<'kit> {
    /// Those of a kit.
    pub fn of(kit: &'kit Kit, catalogue: &Catalogue) -> Self {
        let pair = |wish: &'kit Wish| {
            let listed = match wish {
                Wish::Named(name) => catalogue.named(name)?.catalogue_name(),
                Wish::Custom { name, .. } => name,
            };
            Some((listed.to_owned(), wish.name()))
        };
        Self { names: kit.wish_list.iter().filter_map(pair).collect() }
    }

    /// The name by which a target is on the wish list, which may be another than its own.
    pub fn wished(&self, target: &Target) -> Option<&'kit str> {
        let found = self.names.iter().find(|(listed, _)| listed == target.catalogue_name());
        found.map(|(_, wished)| *wished)
    }

    /// A target under the name by which it is on the wish list; its own if it is not.
    pub fn led<'a>(&self, target: &'a Target) -> Cow<'a, Target> {
        target.called(self.wished(target).unwrap_or(&target.name))
    }
}

/// Whether a target is on the wish list, under this or another of its names.
pub fn is_wished(kit: &Kit, catalogue: &Catalogue, target: &Target) -> bool {
    WishNames::of(kit, catalogue).wished(target).is_some()
}
