//! From the names on the command line to the kit's rigs and the sky's targets. Never by guessing.

use std::borrow::Cow;
use std::path::Path;

use fieldstop::kit::{Kit, PartList};
use fieldstop::rig::ResolvedRig;

use super::error::CliError;
use super::is_same_file;
use crate::files::kit_file;
use crate::sky::catalogue::{Catalogue, Target};
use crate::sky::spelling::spelt_like;
use crate::sky::wish;

/// Similar names that a message offers.
const OFFERED: usize = 3;

/// Reads a kit, whose wanted targets the catalogue must know.
pub(super) fn kit(path: &Path, catalogue: &Catalogue) -> Result<Kit, CliError> {
    Ok(kit_file::read(path, &|name| catalogue.named(name).is_some())?)
}

/// The rig of that very name.
pub(super) fn rig<'kit>(kit: &'kit Kit, name: &str) -> Result<ResolvedRig<'kit>, CliError> {
    let place = kit.rigs.iter().position(|rig| rig.name == name);
    place.and_then(|place| kit.resolve(place)).ok_or_else(|| CliError::NoRig {
        name: name.to_owned(),
        rigs: kit.names(PartList::Rigs).into_iter().map(str::to_owned).collect(),
    })
}

/// The target of that very name in the wish list, or of that designation or common name in the
/// catalogue.
pub(super) fn target<'a>(
    kit: &Kit,
    catalogue: &'a Catalogue,
    name: &str,
) -> Result<Cow<'a, Target>, CliError> {
    wish::target_named(kit, name, catalogue).ok_or_else(|| CliError::NoTarget {
        name: name.to_owned(),
        similar: similar(Some(kit), catalogue, name),
    })
}

/// What a target may be meant by a name that nothing has, each with what people call it.
pub(super) fn similar(kit: Option<&Kit>, catalogue: &Catalogue, name: &str) -> Vec<String> {
    let told = |target: &Target| match target.common_names.first() {
        Some(common) if *common != target.name => format!("{:?} ({common})", target.name),
        _ => format!("{:?}", target.name),
    };
    let mut found = catalogue.search(name, OFFERED);
    if found.is_empty() {
        found = spelt_like(name, kit, catalogue, OFFERED);
    }
    found.iter().map(|target| told(target)).collect()
}

/// Refuses to write over the kit.
pub(super) fn not_over_kit(kit: &Path, out: &Path) -> Result<(), CliError> {
    if is_same_file(kit, out) { Err(CliError::OverKit { path: out.to_owned() }) } else { Ok(()) }
}
