//! What the four kinds of part have in common, so that one form serves them all.

use fieldstop::kit::{Camera, Corrector, Kit, Mount, Ota, PartList, Rig, Scope};

use crate::starting_points::{self, StartingPoint};

/// A part that can be picked from the kit, or begun from a typical one.
pub(super) trait Part: Clone + 'static {
    const TITLE: &'static str;
    const LIST: PartList;
    /// Whether a rig can do without.
    const OPTIONAL: bool;

    fn name(&self) -> &str;
    fn set_name(&mut self, name: String);
    fn owned_mut(&mut self) -> &mut bool;
    fn typical() -> Vec<StartingPoint<Self>>;
    fn list(kit: &mut Kit) -> &mut Vec<Self>;
    fn of(kit: &Kit, rig: usize) -> Option<Self>;
    fn of_mut(kit: &mut Kit, rig: usize, scope: Scope) -> Option<&mut Self>;
    fn put_in(rig: &mut Rig, name: Option<String>);
    fn rename(kit: &mut Kit, old: &str, new: &str) -> bool;
}

macro_rules! part {
    ($part:ty, $title:literal, $list:ident, $optional:literal,
     field: $kit_field:ident,
     functions: $typical:ident, $of_mut:ident, $rename:ident,
     $of:expr, $put_in:expr) => {
        impl Part for $part {
            const TITLE: &'static str = $title;
            const LIST: PartList = PartList::$list;
            const OPTIONAL: bool = $optional;

            fn name(&self) -> &str {
                &self.name
            }
            fn set_name(&mut self, name: String) {
                self.name = name;
            }
            fn owned_mut(&mut self) -> &mut bool {
                &mut self.owned
            }
            fn typical() -> Vec<StartingPoint<Self>> {
                starting_points::$typical()
            }
            fn list(kit: &mut Kit) -> &mut Vec<Self> {
                &mut kit.$kit_field
            }
            fn of(kit: &Kit, rig: usize) -> Option<Self> {
                let of: fn(&Kit, &Rig) -> Option<Self> = $of;
                of(kit, kit.rigs.get(rig)?)
            }
            fn of_mut(kit: &mut Kit, rig: usize, scope: Scope) -> Option<&mut Self> {
                kit.$of_mut(rig, scope)
            }
            fn put_in(rig: &mut Rig, name: Option<String>) {
                let put_in: fn(&mut Rig, Option<String>) = $put_in;
                put_in(rig, name);
            }
            fn rename(kit: &mut Kit, old: &str, new: &str) -> bool {
                kit.$rename(old, new)
            }
        }
    };
}

part! {
    Ota, "OTA", Otas, false,
    field: otas,
    functions: otas, ota_of_mut, rename_ota,
    |kit, rig| kit.ota(&rig.ota).cloned(),
    |rig, name| rig.ota = name.unwrap_or_default()
}
part! {
    Corrector, "Corrector", Correctors, true,
    field: correctors,
    functions: correctors, corrector_of_mut, rename_corrector,
    |kit, rig| kit.corrector(rig.corrector.as_deref()?).cloned(),
    |rig, name| rig.corrector = name
}
part! {
    Camera, "Camera", Cameras, false,
    field: cameras,
    functions: cameras, camera_of_mut, rename_camera,
    |kit, rig| kit.camera(&rig.camera).cloned(),
    |rig, name| rig.camera = name.unwrap_or_default()
}
part! {
    Mount, "Mount", Mounts, false,
    field: mounts,
    functions: mounts, mount_of_mut, rename_mount,
    |kit, rig| kit.mount(&rig.mount).cloned(),
    |rig, name| rig.mount = name.unwrap_or_default()
}
