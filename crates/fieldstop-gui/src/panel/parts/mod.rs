//! The parts of one rig: which OTA, corrector, camera and mount, and the figures of each.

mod filter;
mod part;
mod rows;

use egui::{ComboBox, RichText, Ui};
use fieldstop::kit::{Camera, Corrector, Kit, Mount, MountKind, Ota, OtaClass, Scope, free_name};
use fieldstop::range;

use crate::starting_points::class_label;
use crate::widget::{NumberField, name_field, named, unique_name};
use part::Part;
use rows::{Change, Row, Value};

/// The rig whose parts are shown, and whom a change concerns.
#[derive(Clone, Copy)]
struct Edited {
    rig: usize,
    scope: Scope,
}

/// Shows the four parts of a rig; a shared part is copied for this rig unless the person says not.
pub fn ui(ui: &mut Ui, rig: usize, kit: &mut Kit, change_for_all: &mut bool) {
    ui.checkbox(change_for_all, "Change shared parts for all rigs").on_hover_text(
        "Otherwise a part that other rigs use too is first copied under a new name, so that only this rig changes",
    );
    let scope = if *change_for_all { Scope::AllRigs } else { Scope::ThisRig };
    let edited = Edited { rig, scope };
    ota_ui(ui, kit, edited);
    corrector_ui(ui, kit, edited);
    camera_ui(ui, kit, edited);
    mount_ui(ui, kit, edited);
    let Some(entry) = kit.rigs.get_mut(rig) else { return };
    ui.add_space(6.0);
    let extra = NumberField::new("Guider, rings, cables", "kg", range::MASS_KG)
        .tip("Mass of everything else that rides on the mount");
    if let Some(kg) = extra.show(ui, entry.extra_mass_kg) {
        entry.extra_mass_kg = kg;
    }
    let adapters = NumberField::new("Adapters", "mm", range::THICKNESS_MM)
        .tip("Thickness of everything between corrector and camera, a filter wheel included");
    if let Some(mm) = adapters.show_optional(ui, entry.adapters_mm) {
        entry.adapters_mm = mm;
    }
    filter::ui(ui, &mut entry.filter, &kit.limits.currency);
}

fn ota_ui(ui: &mut Ui, kit: &mut Kit, edited: Edited) {
    let Some(part) = pick::<Ota>(ui, kit, edited) else { return };
    let classes = OtaClass::ALL.map(|class| (class, class_label(class)));
    if let Some(class) = choice(ui, "Class", &classes, part.class)
        && let Some(part) = Ota::of_mut(kit, edited.rig, edited.scope)
    {
        part.class = class;
    }
    fields(ui, kit, edited, &part, rows::OTA);
}

fn corrector_ui(ui: &mut Ui, kit: &mut Kit, edited: Edited) {
    if let Some(part) = pick::<Corrector>(ui, kit, edited) {
        fields(ui, kit, edited, &part, rows::CORRECTOR);
    }
}

fn camera_ui(ui: &mut Ui, kit: &mut Kit, edited: Edited) {
    let Some(part) = pick::<Camera>(ui, kit, edited) else { return };
    let mm = |pixels: u32| f64::from(pixels) * part.pixel_um / 1000.0;
    ui.weak(format!("Sensor {:.1} × {:.1} mm", mm(part.width_px), mm(part.height_px)));
    let mut colour = part.colour;
    let mosaic = ui.checkbox(&mut colour, "Colour").on_hover_text(
        "Its pixels lie under a mosaic of red, green and blue filters; a mono camera takes one colour at a time",
    );
    if named(mosaic, "Camera takes colour").changed()
        && let Some(part) = Camera::of_mut(kit, edited.rig, edited.scope)
    {
        part.colour = colour;
    }
    fields(ui, kit, edited, &part, rows::CAMERA);
}

fn mount_ui(ui: &mut Ui, kit: &mut Kit, edited: Edited) {
    let Some(part) = pick::<Mount>(ui, kit, edited) else { return };
    let kinds = MountKind::ALL.map(|kind| (kind, mount_label(kind)));
    if let Some(kind) = choice(ui, "Kind of mount", &kinds, part.kind)
        && let Some(part) = Mount::of_mut(kit, edited.rig, edited.scope)
    {
        part.kind = kind;
    }
    fields(ui, kit, edited, &part, rows::MOUNT);
}

fn mount_label(kind: MountKind) -> &'static str {
    match kind {
        MountKind::Equatorial => "Equatorial",
        MountKind::Altazimuth => "Altazimuth: the field rotates",
        MountKind::Fixed => "Fixed: does not follow the sky",
    }
}

/// The box that picks a part, and the field that renames it; gives the part that the rig has.
fn pick<P: Part>(ui: &mut Ui, kit: &mut Kit, edited: Edited) -> Option<P> {
    ui.add_space(6.0);
    ui.strong(P::TITLE);
    let current = P::of(kit, edited.rig);
    let name = current.as_ref().map(|part| part.name().to_owned());
    let mut picked: Option<Option<P>> = None;
    let combo = ComboBox::from_id_salt(P::TITLE)
        .width(ui.available_width() - 8.0)
        .selected_text(name.as_deref().unwrap_or("none"))
        .show_ui(ui, |ui| {
            if P::OPTIONAL && ui.selectable_label(name.is_none(), "none").clicked() {
                picked = Some(None);
            }
            for part in P::list(kit).iter() {
                let is_current = name.as_deref() == Some(part.name());
                if ui.selectable_label(is_current, part.name()).clicked() {
                    picked = Some(Some(part.clone()));
                }
            }
            ui.separator();
            ui.label(RichText::new("Typical, to start from").weak());
            for point in P::typical() {
                if ui.selectable_label(false, point.label).clicked() {
                    let mut part = point.part;
                    part.set_name(free_name(part.name(), &kit.names(P::LIST)));
                    picked = Some(Some(part));
                }
            }
        });
    named(combo.response, P::TITLE);
    if let Some(part) = picked {
        put(kit, edited.rig, part);
    }
    if let Some(name) = name {
        rename::<P>(ui, kit, &name);
    }
    P::of(kit, edited.rig)
}

/// Gives a rig a part, which joins the kit if it is not there yet.
fn put<P: Part>(kit: &mut Kit, rig: usize, part: Option<P>) {
    let name = part.as_ref().map(|part| part.name().to_owned());
    if let Some(part) = part
        && !P::list(kit).iter().any(|known| known.name() == part.name())
    {
        P::list(kit).push(part);
    }
    if let Some(entry) = kit.rigs.get_mut(rig) {
        P::put_in(entry, name);
    }
}

fn rename<P: Part>(ui: &mut Ui, kit: &mut Kit, current: &str) {
    let names = kit.names(P::LIST);
    let taken: Vec<&str> = names.into_iter().filter(|name| *name != current).collect();
    let label = format!("{} name", P::TITLE);
    if let Some(new) = name_field(ui, &label, current, |new| unique_name(new, &taken)) {
        P::rename(kit, current, &new);
    }
}

/// A box of named values; gives the one picked if it is another.
fn choice<T: Copy + PartialEq>(
    ui: &mut Ui,
    name: &str,
    values: &[(T, &str)],
    current: T,
) -> Option<T> {
    let mut picked = current;
    let shown = values.iter().find(|(value, _)| *value == current).map_or("", |(_, text)| text);
    let combo = ComboBox::from_id_salt(name)
        .width(ui.available_width() - 8.0)
        .selected_text(shown)
        .show_ui(ui, |ui| {
            for (value, text) in values {
                ui.selectable_value(&mut picked, *value, *text);
            }
        });
    named(combo.response, name);
    (picked != current).then_some(picked)
}

/// The numbers of a part, each written back once it is accepted.
fn fields<P: Part>(ui: &mut Ui, kit: &mut Kit, edited: Edited, part: &P, rows: &[Row<P>]) {
    let currency = kit.limits.currency.clone();
    for row in rows {
        let unit = row.unit.unwrap_or(&currency);
        let field = NumberField::new(row.label, unit, (row.range)(part)).of(P::TITLE).tip(row.tip);
        // A copy, since a value is reached through the same function for reading and writing.
        let mut shown = part.clone();
        let change = match row.value {
            Value::Number(reach) => {
                field.show(ui, *reach(&mut shown)).map(|new| Change::Number(reach, new))
            }
            Value::Optional(reach) => {
                field.show_optional(ui, *reach(&mut shown)).map(|new| Change::Optional(reach, new))
            }
            // OK because the field accepts whole numbers of its range only.
            Value::Whole(reach) => field
                .whole()
                .show(ui, f64::from(*reach(&mut shown)))
                .map(|new| Change::Whole(reach, new as u32)),
        };
        if let Some(change) = change
            && let Some(part) = P::of_mut(kit, edited.rig, edited.scope)
        {
            change.apply(part);
        }
    }
    owned(ui, kit, edited, part);
}

/// The check box that leaves a part's price out of what is still to pay.
fn owned<P: Part>(ui: &mut Ui, kit: &mut Kit, edited: Edited, part: &P) {
    let mut owned = *part.clone().owned_mut();
    let response = ui.checkbox(&mut owned, "Already owned");
    if named(response, format!("{} already owned", P::TITLE)).changed()
        && let Some(part) = P::of_mut(kit, edited.rig, edited.scope)
    {
        *part.owned_mut() = owned;
    }
}
