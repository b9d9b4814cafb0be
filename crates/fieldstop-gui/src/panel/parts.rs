//! The parts of one rig: which OTA, corrector, camera and mount, and the figures of each.

use egui::{ComboBox, RichText, Ui};
use fieldstop::kit::{
    Camera, Corrector, Kit, Mount, MountKind, Ota, OtaClass, PartList, Rig, Scope, free_name,
};
use fieldstop::range::{self, Range};

use crate::starting_points::{self, StartingPoint};
use crate::widget::{NumberField, name_field, named, unique_name};

/// Shows the four parts of a rig; a shared part is copied for this rig unless the person says not.
pub fn ui(ui: &mut Ui, rig: usize, kit: &mut Kit, change_for_all: &mut bool) {
    ui.checkbox(change_for_all, "Change shared parts for all rigs").on_hover_text(
        "Otherwise a part that other rigs use too is first copied under a new name, so that only this rig changes",
    );
    let scope = if *change_for_all { Scope::AllRigs } else { Scope::ThisRig };
    ota(ui, rig, kit, scope);
    corrector(ui, rig, kit, scope);
    camera(ui, rig, kit, scope);
    mount(ui, rig, kit, scope);
    let Some(entry) = kit.rigs.get_mut(rig) else { return };
    ui.add_space(6.0);
    let extra = NumberField::new("Guider, rings, cables", "kg", range::NOT_NEGATIVE)
        .tip("Mass of everything else that rides on the mount");
    if let Some(kg) = extra.show(ui, entry.extra_mass_kg) {
        entry.extra_mass_kg = kg;
    }
}

/// A part that can be picked from the kit, or begun from a typical one.
trait Part: Clone + 'static {
    const TITLE: &'static str;
    const LIST: PartList;
    fn name(&self) -> &str;
    fn set_name(&mut self, name: String);
    fn list(kit: &mut Kit) -> &mut Vec<Self>;
    fn typical() -> Vec<StartingPoint<Self>>;
    fn use_in(rig: &mut Rig, name: &str);
    fn rename(kit: &mut Kit, old: &str, new: &str) -> bool;
}

macro_rules! part {
    ($part:ty, $title:literal, $list:ident, $field:ident, $rename:ident, $typical:ident, $in_rig:expr) => {
        impl Part for $part {
            const TITLE: &'static str = $title;
            const LIST: PartList = PartList::$list;
            fn name(&self) -> &str {
                &self.name
            }
            fn set_name(&mut self, name: String) {
                self.name = name;
            }
            fn list(kit: &mut Kit) -> &mut Vec<Self> {
                &mut kit.$field
            }
            fn typical() -> Vec<StartingPoint<Self>> {
                starting_points::$typical()
            }
            fn use_in(rig: &mut Rig, name: &str) {
                let put: fn(&mut Rig, String) = $in_rig;
                put(rig, name.to_owned());
            }
            fn rename(kit: &mut Kit, old: &str, new: &str) -> bool {
                kit.$rename(old, new)
            }
        }
    };
}

part!(Ota, "OTA", Otas, otas, rename_ota, otas, |rig, name| rig.ota = name);
part!(Corrector, "Corrector", Correctors, correctors, rename_corrector, correctors, |rig, name| {
    rig.corrector = Some(name);
});
part!(Camera, "Camera", Cameras, cameras, rename_camera, cameras, |rig, name| rig.camera = name);
part!(Mount, "Mount", Mounts, mounts, rename_mount, mounts, |rig, name| rig.mount = name);

/// The box that picks a part, and the field that renames it.
fn pick<P: Part>(ui: &mut Ui, rig: usize, kit: &mut Kit, current: Option<&str>, optional: bool) {
    ui.add_space(6.0);
    ui.strong(P::TITLE);
    let mut picked: Option<Option<P>> = None;
    let combo = ComboBox::from_id_salt(P::TITLE)
        .width(ui.available_width() - 8.0)
        .selected_text(current.unwrap_or("none"))
        .show_ui(ui, |ui| {
            if optional && ui.selectable_label(current.is_none(), "none").clicked() {
                picked = Some(None);
            }
            for part in P::list(kit).iter() {
                if ui.selectable_label(current == Some(part.name()), part.name()).clicked() {
                    picked = Some(Some(part.clone()));
                }
            }
            ui.separator();
            ui.label(RichText::new("Typical, to start from").weak());
            for point in P::typical() {
                if ui.selectable_label(false, point.label).clicked() {
                    picked = Some(Some(with_free_name(kit, point.part)));
                }
            }
        });
    named(combo.response, P::TITLE);
    match picked {
        Some(Some(part)) => use_part(kit, rig, part),
        Some(None) => {
            if let Some(entry) = kit.rigs.get_mut(rig) {
                entry.corrector = None;
            }
        }
        None => {}
    }
    if let Some(current) = current {
        rename::<P>(ui, kit, current);
    }
}

fn with_free_name<P: Part>(kit: &Kit, mut part: P) -> P {
    let name = free_name(part.name(), &kit.names(P::LIST));
    part.set_name(name);
    part
}

/// Gives a rig a part, which joins the kit if it is not there yet.
fn use_part<P: Part>(kit: &mut Kit, rig: usize, part: P) {
    let name = part.name().to_owned();
    if !P::list(kit).iter().any(|known| known.name() == name) {
        P::list(kit).push(part);
    }
    if let Some(entry) = kit.rigs.get_mut(rig) {
        P::use_in(entry, &name);
    }
}

fn rename<P: Part>(ui: &mut Ui, kit: &mut Kit, current: &str) {
    let taken: Vec<&str> = kit.names(P::LIST).into_iter().filter(|name| *name != current).collect();
    let label = format!("{} name", P::TITLE);
    if let Some(new) = name_field(ui, &label, current, |new| unique_name(new, &taken)) {
        P::rename(kit, current, &new);
    }
}

/// One number of a part: shown, and written through `change` once accepted.
macro_rules! number {
    ($ui:expr, $kit:expr, $rig:expr, $scope:expr, $of_mut:ident, $part:expr, $field:ident, $number:expr) => {
        if let Some(value) = $number.show($ui, $part.$field) {
            if let Some(part) = $kit.$of_mut($rig, $scope) {
                part.$field = value;
            }
        }
    };
    (optional: $ui:expr, $kit:expr, $rig:expr, $scope:expr, $of_mut:ident, $part:expr, $field:ident, $number:expr) => {
        if let Some(value) = $number.show_optional($ui, $part.$field) {
            if let Some(part) = $kit.$of_mut($rig, $scope) {
                part.$field = value;
            }
        }
    };
    (whole: $ui:expr, $kit:expr, $rig:expr, $scope:expr, $of_mut:ident, $part:expr, $field:ident, $number:expr) => {
        if let Some(value) = $number.whole().show($ui, f64::from($part.$field)) {
            if let Some(part) = $kit.$of_mut($rig, $scope) {
                // OK because the field accepts whole numbers from 1 to a million only.
                part.$field = value as u32;
            }
        }
    };
}

/// The check box that leaves a part's price out of what is still to pay.
macro_rules! owned {
    ($ui:expr, $kit:expr, $rig:expr, $scope:expr, $of_mut:ident, $part:expr, $title:literal) => {
        let mut owned = $part.owned;
        let response = $ui.checkbox(&mut owned, "Already owned");
        if named(response, concat!($title, " already owned")).changed()
            && let Some(part) = $kit.$of_mut($rig, $scope)
        {
            part.owned = owned;
        }
    };
}

fn ota(ui: &mut Ui, rig: usize, kit: &mut Kit, scope: Scope) {
    let Some(part) = kit.resolve(rig).map(|resolved| resolved.ota.clone()) else { return };
    pick::<Ota>(ui, rig, kit, Some(&part.name), false);
    class_box(ui, rig, kit, scope, part.class);
    let field = |label, unit, range| NumberField::new(label, unit, range).of("OTA");
    let aperture_range = Range {
        least: (part.obstruction_mm / 0.99).max(range::POSITIVE.least),
        expected: "a number above 0 and above the central obstruction",
        ..range::POSITIVE
    };
    let obstruction_range = Range {
        least: 0.0,
        most: part.aperture_mm * 0.99,
        expected: "0 for none, or less than the aperture",
    };
    number!(
        ui,
        kit,
        rig,
        scope,
        ota_of_mut,
        part,
        aperture_mm,
        field("Aperture", "mm", aperture_range)
            .tip("Diameter of the lens or mirror that light enters through")
    );
    number!(
        ui,
        kit,
        rig,
        scope,
        ota_of_mut,
        part,
        focal_length_mm,
        field("Focal length", "mm", range::POSITIVE)
            .tip("Native, as the maker states it, before any corrector")
    );
    number!(
        ui,
        kit,
        rig,
        scope,
        ota_of_mut,
        part,
        obstruction_mm,
        field("Central obstruction", "mm", obstruction_range)
            .tip("Diameter of the secondary mirror's shadow")
    );
    number!(
        ui,
        kit,
        rig,
        scope,
        ota_of_mut,
        part,
        transmission,
        field("Transmission", "", range::SHARE)
            .tip("Share of the light that gets through glass and mirrors, usually 0.8 to 0.95")
    );
    number!(optional: ui, kit, rig, scope, ota_of_mut, part, image_circle_mm, field("Image circle", "mm", range::POSITIVE)
        .tip("Diameter that is well lit and sharp; leave empty if unknown"));
    number!(optional: ui, kit, rig, scope, ota_of_mut, part, length_mm, field("Tube length", "mm", range::POSITIVE));
    number!(
        ui,
        kit,
        rig,
        scope,
        ota_of_mut,
        part,
        mass_kg,
        field("Mass", "kg", range::NOT_NEGATIVE)
    );
    number!(optional: ui, kit, rig, scope, ota_of_mut, part, price, field("Price", &kit.limits.currency.clone(), range::NOT_NEGATIVE));
    owned!(ui, kit, rig, scope, ota_of_mut, part, "OTA");
}

fn class_box(ui: &mut Ui, rig: usize, kit: &mut Kit, scope: Scope, class: OtaClass) {
    let mut picked = class;
    let combo = ComboBox::from_id_salt("class")
        .width(ui.available_width() - 8.0)
        .selected_text(starting_points::class_label(class))
        .show_ui(ui, |ui| {
            for class in OtaClass::ALL {
                ui.selectable_value(&mut picked, class, starting_points::class_label(class));
            }
        });
    named(combo.response, "Class");
    if picked != class
        && let Some(part) = kit.ota_of_mut(rig, scope)
    {
        part.class = picked;
    }
}

fn corrector(ui: &mut Ui, rig: usize, kit: &mut Kit, scope: Scope) {
    let Some(resolved) = kit.resolve(rig) else { return };
    let part = resolved.corrector.cloned();
    pick::<Corrector>(ui, rig, kit, part.as_ref().map(|part| part.name.as_str()), true);
    let Some(part) = part else { return };
    let field = |label, unit, range| NumberField::new(label, unit, range).of("Corrector");
    number!(ui, kit, rig, scope, corrector_of_mut, part, factor, field("Factor", "×", range::POSITIVE)
        .tip("What it multiplies the focal length by: below 1 for a reducer, 1 for a flattener, above 1 for a Barlow"));
    number!(optional: ui, kit, rig, scope, corrector_of_mut, part, image_circle_mm, field("Image circle", "mm", range::POSITIVE));
    number!(optional: ui, kit, rig, scope, corrector_of_mut, part, back_focus_mm, field("Back focus", "mm", range::POSITIVE)
        .tip("Distance it wants from its rear shoulder to the sensor"));
    number!(
        ui,
        kit,
        rig,
        scope,
        corrector_of_mut,
        part,
        mass_kg,
        field("Mass", "kg", range::NOT_NEGATIVE)
    );
    number!(optional: ui, kit, rig, scope, corrector_of_mut, part, price, field("Price", &kit.limits.currency.clone(), range::NOT_NEGATIVE));
    owned!(ui, kit, rig, scope, corrector_of_mut, part, "Corrector");
}

fn camera(ui: &mut Ui, rig: usize, kit: &mut Kit, scope: Scope) {
    let Some(part) = kit.resolve(rig).map(|resolved| resolved.camera.clone()) else { return };
    pick::<Camera>(ui, rig, kit, Some(&part.name), false);
    let sensor_mm = |pixels: u32| f64::from(pixels) * part.pixel_um / 1000.0;
    ui.weak(format!(
        "Sensor {:.1} × {:.1} mm",
        sensor_mm(part.width_px),
        sensor_mm(part.height_px)
    ));
    let field = |label, unit, range| NumberField::new(label, unit, range).of("Camera");
    number!(whole: ui, kit, rig, scope, camera_of_mut, part, width_px, field("Width", "px", range::PIXELS));
    number!(whole: ui, kit, rig, scope, camera_of_mut, part, height_px, field("Height", "px", range::PIXELS));
    number!(
        ui,
        kit,
        rig,
        scope,
        camera_of_mut,
        part,
        pixel_um,
        field("Pixel", "µm", range::POSITIVE)
    );
    number!(
        ui,
        kit,
        rig,
        scope,
        camera_of_mut,
        part,
        read_noise_e,
        field("Read noise", "e−", range::NOT_NEGATIVE)
    );
    number!(
        ui,
        kit,
        rig,
        scope,
        camera_of_mut,
        part,
        dark_e_per_s,
        field("Dark current", "e−/s", range::NOT_NEGATIVE)
    );
    number!(
        ui,
        kit,
        rig,
        scope,
        camera_of_mut,
        part,
        quantum_efficiency,
        field("Quantum efficiency", "", range::SHARE)
            .tip("Share of the light that is turned into signal")
    );
    number!(
        ui,
        kit,
        rig,
        scope,
        camera_of_mut,
        part,
        passband_nm,
        field("Passband", "nm", range::POSITIVE)
            .tip("Width of the colours it sees, filter included")
    );
    number!(
        ui,
        kit,
        rig,
        scope,
        camera_of_mut,
        part,
        full_well_e,
        field("Full well", "e−", range::POSITIVE)
    );
    number!(whole: ui, kit, rig, scope, camera_of_mut, part, bit_depth, field("Converter", "bit", range::BITS));
    number!(
        ui,
        kit,
        rig,
        scope,
        camera_of_mut,
        part,
        mass_kg,
        field("Mass", "kg", range::NOT_NEGATIVE)
    );
    number!(optional: ui, kit, rig, scope, camera_of_mut, part, price, field("Price", &kit.limits.currency.clone(), range::NOT_NEGATIVE));
    owned!(ui, kit, rig, scope, camera_of_mut, part, "Camera");
}

fn mount(ui: &mut Ui, rig: usize, kit: &mut Kit, scope: Scope) {
    let Some(part) = kit.resolve(rig).map(|resolved| resolved.mount.clone()) else { return };
    pick::<Mount>(ui, rig, kit, Some(&part.name), false);
    kind_box(ui, rig, kit, scope, part.kind);
    let field = |label, unit, range| NumberField::new(label, unit, range).of("Mount");
    number!(
        ui,
        kit,
        rig,
        scope,
        mount_of_mut,
        part,
        payload_kg,
        field("Rated payload", "kg", range::POSITIVE).tip(
            "As its maker rates it; imaging usually gets about half. A maker's limit comes first"
        )
    );
    number!(
        ui,
        kit,
        rig,
        scope,
        mount_of_mut,
        part,
        periodic_error_arcsec,
        field("Periodic error", "arcsec", range::NOT_NEGATIVE)
            .tip("Peak to peak, unguided; 0 if it has none")
    );
    number!(
        ui,
        kit,
        rig,
        scope,
        mount_of_mut,
        part,
        period_s,
        field("Its period", "s", range::NOT_NEGATIVE)
    );
    number!(optional: ui, kit, rig, scope, mount_of_mut, part, guided_rms_arcsec, field("Guided RMS", "arcsec", range::NOT_NEGATIVE)
        .tip("Total of both axes while guiding; leave empty if it cannot be guided"));
    number!(
        ui,
        kit,
        rig,
        scope,
        mount_of_mut,
        part,
        polar_error_arcmin,
        field("Polar alignment", "arcmin", range::NOT_NEGATIVE)
            .tip("How far its axis is off the celestial pole")
    );
    number!(
        ui,
        kit,
        rig,
        scope,
        mount_of_mut,
        part,
        mass_kg,
        field("Mass", "kg", range::NOT_NEGATIVE)
    );
    number!(optional: ui, kit, rig, scope, mount_of_mut, part, price, field("Price", &kit.limits.currency.clone(), range::NOT_NEGATIVE));
    owned!(ui, kit, rig, scope, mount_of_mut, part, "Mount");
}

fn mount_label(kind: MountKind) -> &'static str {
    match kind {
        MountKind::Equatorial => "Equatorial",
        MountKind::Altazimuth => "Altazimuth: the field rotates",
        MountKind::Fixed => "Fixed: does not follow the sky",
    }
}

fn kind_box(ui: &mut Ui, rig: usize, kit: &mut Kit, scope: Scope, kind: MountKind) {
    let mut picked = kind;
    let combo = ComboBox::from_id_salt("kind")
        .width(ui.available_width() - 8.0)
        .selected_text(mount_label(kind))
        .show_ui(ui, |ui| {
            for kind in MountKind::ALL {
                ui.selectable_value(&mut picked, kind, mount_label(kind));
            }
        });
    named(combo.response, "Kind of mount");
    if picked != kind
        && let Some(part) = kit.mount_of_mut(rig, scope)
    {
        part.kind = picked;
    }
}
