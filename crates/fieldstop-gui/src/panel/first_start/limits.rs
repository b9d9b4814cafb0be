//! Step 4: what can be spent and carried, and whether a mount is already there.

use egui::{RichText, Ui};
use fieldstop::kit::{Kit, Limits, Mount, MountKind};
use fieldstop::range;

use super::{FIELDS_PT, FirstStartInput, columns};
use crate::demand_words::{digits, percent, plain};
use crate::one_camera;
use crate::starting_points;
use crate::widget::{NumberField, name_field};
use crate::words::money;

pub(super) fn ui(ui: &mut Ui, input: &mut FirstStartInput<'_>) {
    columns(
        ui,
        input,
        FIELDS_PT,
        |ui, input| {
            purse_and_back(ui, &mut input.kit.limits);
            ui.add_space(8.0);
            ui.label(meaning(&input.kit.limits));
            ui.add_space(8.0);
            ui.weak("What counts as whole, wanted detail and overlap of panels have usual values; see Site and limits.");
        },
        |ui, input| mounts(ui, input.kit),
    );
}

fn purse_and_back(ui: &mut Ui, limits: &mut Limits) {
    ui.strong("Limits");
    let not_empty = |name: &str| {
        if name.is_empty() { Err("is empty; expected a name.".to_owned()) } else { Ok(()) }
    };
    if let Some(currency) = name_field(ui, "Currency", &limits.currency, not_empty) {
        limits.currency = currency;
    }
    let currency = limits.currency.clone();
    let budget = NumberField::new("Budget", &currency, range::MONEY).tip(
        "For telescope, corrector, camera and mount, as far as you do not own them. Empty for none",
    );
    if let Some(new) = budget.show_optional(ui, limits.budget) {
        limits.budget = new;
    }
    let carry = NumberField::new("Can be carried", "kg", range::MASS_KG)
        .tip("In all, to where you photograph. Follow local guidance on lifting for any single piece. Empty for no limit");
    if let Some(new) = carry.show_optional(ui, limits.carry_kg) {
        limits.carry_kg = new;
    }
}

/// What the limits say so far.
fn meaning(limits: &Limits) -> String {
    let budget = match limits.budget {
        Some(budget) => format!("up to {}", money(budget, &limits.currency)),
        None => "at any price".to_owned(),
    };
    let carry = match limits.carry_kg {
        Some(carry) => format!("up to {} kg to carry", plain(carry)),
        None => "of any mass".to_owned(),
    };
    format!("Candidates {budget} and {carry} keep within your limits.")
}

fn mounts(ui: &mut Ui, kit: &mut Kit) {
    ui.strong("Mount");
    let owned = one_camera::owned_mount(kit).map(|mount| mount.name.clone());
    let mut wanted = None;
    if ui
        .radio(owned.is_none(), "None yet: each candidate stands on a usual one that carries it")
        .clicked()
    {
        wanted = Some(None);
    }
    let points = starting_points::mounts();
    for point in &points {
        let chosen = owned.as_deref() == Some(point.label);
        if ui.radio(chosen, format!("I have one like this: {}", point.label)).clicked() {
            wanted = Some(Some(point.label));
        }
        let words = mount_words(&point.part, kit.limits.payload_share);
        ui.indent(point.label, |ui| ui.label(RichText::new(words).weak().small()));
    }
    // A mount of the person's own making, from the kit's parts.
    if let Some(name) = owned.as_deref()
        && !points.iter().any(|point| point.label == name)
    {
        let _already = ui.radio(true, format!("I have {name}"));
    }
    if let Some(label) = wanted {
        one_camera::own_mount(kit, label);
    }
    payload(ui, kit);
}

/// The rated payload of the mount that is there, which differs most between mounts of a class.
fn payload(ui: &mut Ui, kit: &mut Kit) {
    let Some(mount) = kit.mounts.iter_mut().find(|mount| mount.owned) else { return };
    ui.add_space(4.0);
    ui.scope(|ui| {
        ui.set_max_width(FIELDS_PT);
        let field = NumberField::new("Its rated payload", "kg", range::LOAD_KG)
            .tip("As its maker states it; a maker's own limits come first");
        if let Some(new) = field.show(ui, mount.payload_kg) {
            mount.payload_kg = new;
        }
    });
}

fn mount_words(mount: &Mount, share: f64) -> String {
    let kind = match (mount.kind, mount.guided_rms_arcsec) {
        (MountKind::Fixed, _) => "does not follow the sky".to_owned(),
        (MountKind::Altazimuth, _) => "follows, but the field rotates".to_owned(),
        (MountKind::Equatorial, None) => "follows, unguided".to_owned(),
        (MountKind::Equatorial, Some(rms)) => format!("follows, guided to {} arcsec", digits(rms)),
    };
    format!(
        "Rated for {} kg, of which imaging may use {}; weighs {} kg; {kind}.",
        plain(mount.payload_kg),
        percent(share),
        plain(mount.mass_kg)
    )
}
