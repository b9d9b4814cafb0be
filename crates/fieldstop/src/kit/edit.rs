//! Changes of a kit that touch more than one place: shared parts, renamed parts, removed rigs.

use super::{Aim, Kit, Ota, Rig};
use crate::range::LADDER_MM;

/// Whom a change of a shared part concerns.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Scope {
    /// Only the rig being edited: a part it shares is first copied under a new name.
    ThisRig,
    /// Every rig with the part.
    AllRigs,
}

/// A name not yet taken: the wanted one, or the wanted one with the first free number behind it.
///
/// # Example
/// ```
/// # use fieldstop::kit::free_name;
/// assert_eq!(free_name("Camera", &["Camera", "Camera 2"]), "Camera 3");
/// ```
pub fn free_name(wanted: &str, taken: &[&str]) -> String {
    if !taken.contains(&wanted) {
        return wanted.to_owned();
    }
    // A copy of "Camera 2" is "Camera 3" beside "Camera"; but the 80 of "Refractor 80" is no count.
    let stem = match wanted.rsplit_once(' ') {
        Some((stem, count)) if count.parse::<u32>().is_ok() && taken.contains(&stem) => stem,
        _ => wanted,
    };
    (2..)
        .map(|number| format!("{stem} {number}"))
        .find(|name| !taken.contains(&name.as_str()))
        .unwrap_or_else(|| wanted.to_owned())
}

/// One kind of part: where its list is, and where a rig says its name.
macro_rules! own_part {
    ($(#[$doc:meta])* $own:ident, $rename:ident, $list:ident, $field:ident, $part:ty) => {
        $(#[$doc])*
        ///
        /// `None` if the rig does not exist or has no such part.
        pub fn $own(&mut self, rig: usize, scope: Scope) -> Option<&mut $part> {
            let name = part_name(&self.rigs.get(rig)?.$field)?.to_owned();
            let place = self.$list.iter().position(|part| part.name == name)?;
            let users = self.rigs.iter().filter(|r| part_name(&r.$field) == Some(&name)).count();
            if scope == Scope::AllRigs || users < 2 {
                return self.$list.get_mut(place);
            }
            let mut copy = self.$list.get(place)?.clone();
            let taken: Vec<&str> = self.$list.iter().map(|part| part.name.as_str()).collect();
            copy.name = free_name(&name, &taken);
            set_part_name(&mut self.rigs.get_mut(rig)?.$field, &copy.name);
            self.$list.insert(place + 1, copy);
            self.$list.get_mut(place + 1)
        }

        /// Gives a part of that kind a new name, in every rig that has it; `false` if the name is
        /// taken or empty.
        pub fn $rename(&mut self, old: &str, new: &str) -> bool {
            let new = new.trim();
            if new.is_empty() || self.$list.iter().any(|part| part.name == new) {
                return false;
            }
            let Some(part) = self.$list.iter_mut().find(|part| part.name == old) else {
                return false;
            };
            part.name = new.to_owned();
            for rig in &mut self.rigs {
                if part_name(&rig.$field) == Some(old) {
                    set_part_name(&mut rig.$field, new);
                }
            }
            true
        }
    };
}

/// A rig's field that holds the name of a part: `String`, or `Option<String>`.
trait PartName {
    fn get(&self) -> Option<&str>;
    fn set(&mut self, name: &str);
}

impl PartName for String {
    fn get(&self) -> Option<&str> {
        Some(self)
    }
    fn set(&mut self, name: &str) {
        name.clone_into(self);
    }
}

impl PartName for Option<String> {
    fn get(&self) -> Option<&str> {
        self.as_deref()
    }
    fn set(&mut self, name: &str) {
        *self = Some(name.to_owned());
    }
}

fn part_name(field: &impl PartName) -> Option<&str> {
    field.get()
}

fn set_part_name(field: &mut impl PartName, name: &str) {
    field.set(name);
}

impl Kit {
    own_part! {
        /// A rig's OTA, to be changed.
        ota_of_mut, rename_ota, otas, ota, Ota
    }
    own_part! {
        /// A rig's corrector, to be changed.
        corrector_of_mut, rename_corrector, correctors, corrector, super::Corrector
    }
    own_part! {
        /// A rig's camera, to be changed.
        camera_of_mut, rename_camera, cameras, camera, super::Camera
    }
    own_part! {
        /// A rig's mount, to be changed.
        mount_of_mut, rename_mount, mounts, mount, super::Mount
    }

    /// Sets a rig's effective focal length by changing its OTA's own; the aperture stays.
    ///
    /// # Units
    /// - `effective_mm`: corrector included; clamped to the ladder's 20 to 4000
    pub fn set_focal_length(&mut self, rig: usize, effective_mm: f64, scope: Scope) {
        if !effective_mm.is_finite() {
            return;
        }
        let factor = self
            .rigs
            .get(rig)
            .and_then(|r| r.corrector.as_deref())
            .and_then(|name| self.corrector(name))
            .map_or(1.0, |corrector| corrector.factor);
        let effective_mm = effective_mm.clamp(LADDER_MM.least, LADDER_MM.most);
        if let Some(ota) = self.ota_of_mut(rig, scope) {
            ota.focal_length_mm = effective_mm / factor;
        }
    }

    /// Puts a copy of a rig behind it and returns its place; the copy shares the parts.
    pub fn duplicate_rig(&mut self, rig: usize) -> Option<usize> {
        let mut copy = self.rigs.get(rig)?.clone();
        self.pin_marks();
        copy.name = free_name(&copy.name, &self.names(super::PartList::Rigs));
        copy.mark = Some(self.free_mark());
        self.rigs.insert(rig + 1, copy);
        Some(rig + 1)
    }

    /// Takes a rig off the shortlist; its parts stay in the kit.
    pub fn remove_rig(&mut self, rig: usize) {
        if rig < self.rigs.len() {
            self.pin_marks();
            let removed = self.rigs.remove(rig);
            self.aims.retain(|aim| aim.rig != removed.name);
        }
    }

    /// Moves a rig to another place in the shortlist; its line style goes with it.
    pub fn move_rig(&mut self, from: usize, to: usize) {
        if from < self.rigs.len() && to < self.rigs.len() && from != to {
            self.pin_marks();
            let rig = self.rigs.remove(from);
            self.rigs.insert(to, rig);
        }
    }

    /// Gives a rig a new name, in its aims too; `false` if the name is taken or empty.
    pub fn rename_rig(&mut self, rig: usize, new: &str) -> bool {
        let new = new.trim();
        if new.is_empty() || self.rigs.iter().any(|r| r.name == new) {
            return false;
        }
        let Some(rig) = self.rigs.get_mut(rig) else {
            return false;
        };
        for aim in self.aims.iter_mut().filter(|aim| aim.rig == rig.name) {
            new.clone_into(&mut aim.rig);
        }
        new.clone_into(&mut rig.name);
        true
    }

    /// A rig's line style: its own, or that of its place.
    pub fn mark_of(&self, rig: usize) -> u8 {
        let by_place = u8::try_from(rig % 256).unwrap_or(0);
        self.rigs.get(rig).and_then(|r| r.mark).unwrap_or(by_place)
    }

    /// The least line style that no rig has.
    pub fn free_mark(&self) -> u8 {
        let taken: Vec<u8> = (0..self.rigs.len()).map(|rig| self.mark_of(rig)).collect();
        (0..=u8::MAX).find(|mark| !taken.contains(mark)).unwrap_or(0)
    }

    /// Writes down every rig's line style, so that it does not change with the order.
    fn pin_marks(&mut self) {
        for rig in 0..self.rigs.len() {
            let mark = self.mark_of(rig);
            if let Some(rig) = self.rigs.get_mut(rig) {
                rig.mark = Some(mark);
            }
        }
    }

    /// Puts a new rig at the end of the shortlist under a free name and returns its place.
    pub fn add_rig(&mut self, mut rig: Rig) -> usize {
        self.pin_marks();
        rig.name = free_name(&rig.name, &self.names(super::PartList::Rigs));
        rig.mark = Some(self.free_mark());
        self.rigs.push(rig);
        self.rigs.len() - 1
    }

    /// The aim of a rig on a target, to be changed; an untouched one is added.
    pub fn aim_mut(&mut self, rig: &str, target: &str) -> &mut Aim {
        let place = self.aims.iter().position(|aim| aim.rig == rig && aim.target == target);
        let place = place.unwrap_or_else(|| {
            self.aims.push(Aim {
                rig: rig.to_owned(),
                target: target.to_owned(),
                centre_deg: None,
                rotation_deg: None,
            });
            self.aims.len() - 1
        });
        // OK because `place` was found or has just been pushed.
        &mut self.aims[place]
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use super::*;
    use crate::kit::sample;

    fn rig_names(kit: &Kit) -> Vec<&str> {
        kit.rigs.iter().map(|rig| rig.name.as_str()).collect()
    }

    fn marks(kit: &Kit) -> Vec<u8> {
        (0..kit.rigs.len()).map(|rig| kit.mark_of(rig)).collect()
    }

    #[test]
    fn a_free_name_counts_on() {
        assert_eq!(free_name("Rig", &[]), "Rig");
        assert_eq!(free_name("Rig", &["Rig"]), "Rig 2");
        assert_eq!(free_name("Rig 2", &["Rig", "Rig 2"]), "Rig 3");
        // A number that is part of the name stays: "f/10" once became "f/ 2".
        assert_eq!(free_name("200 mm f/10", &["200 mm f/10"]), "200 mm f/10 2");
        assert_eq!(free_name("Refractor 80", &["Refractor 80"]), "Refractor 80 2");
        assert_eq!(free_name("42", &["42"]), "42 2");
    }

    #[test]
    fn a_shared_part_is_copied_for_one_rig() {
        let mut kit = sample::kit();
        kit.ota_of_mut(1, Scope::ThisRig).unwrap().aperture_mm = 250.0;
        let apertures: Vec<_> = kit.otas.iter().map(|ota| ota.aperture_mm).collect();
        assert_eq!(apertures, [200.0, 250.0]);
        assert_eq!(kit.rigs[0].ota, "200 mm f/10");
        assert_eq!(kit.rigs[1].ota, "200 mm f/10 2");
        assert_eq!(kit.check(), Ok(()));
    }

    #[test]
    fn a_part_of_one_rig_alone_is_changed_in_place() {
        let mut kit = sample::kit();
        kit.corrector_of_mut(1, Scope::ThisRig).unwrap().factor = 0.8;
        assert_eq!((kit.correctors.len(), kit.correctors[0].factor), (1, 0.8));
    }

    #[test]
    fn a_change_for_all_copies_nothing() {
        let mut kit = sample::kit();
        kit.camera_of_mut(0, Scope::AllRigs).unwrap().pixel_um = 2.0;
        kit.mount_of_mut(1, Scope::AllRigs).unwrap().payload_kg = 20.0;
        assert_eq!((kit.cameras.len(), kit.mounts.len()), (1, 1));
        assert_eq!(kit.rigs, sample::kit().rigs);
    }

    #[test]
    fn a_rig_without_the_part_has_none_to_change() {
        let mut kit = sample::kit();
        assert!(kit.corrector_of_mut(0, Scope::ThisRig).is_none());
        assert!(kit.ota_of_mut(7, Scope::ThisRig).is_none());
        assert_eq!(kit, sample::kit());
    }

    #[test]
    fn a_renamed_part_keeps_its_rigs() {
        let mut kit = sample::kit();
        assert!(kit.rename_ota("200 mm f/10", " Old faithful "));
        assert!(kit.rigs.iter().all(|rig| rig.ota == "Old faithful"));
        assert!(kit.rename_corrector("Reducer", "0.7x"));
        assert_eq!(kit.rigs[1].corrector.as_deref(), Some("0.7x"));
        assert!(kit.rename_camera("APS-C", "Camera") && kit.rename_mount("Mount", "Pier"));
        assert_eq!(kit.check(), Ok(()));
    }

    #[test]
    fn a_taken_or_empty_name_changes_nothing() {
        let mut kit = sample::kit();
        kit.otas.push(sample::ota("Other", 60.0, 350.0));
        let before = kit.clone();
        assert!(!kit.rename_ota("200 mm f/10", "Other"));
        assert!(!kit.rename_ota("200 mm f/10", "  "));
        assert!(!kit.rename_ota("nobody's", "New"));
        assert!(!kit.rename_rig(0, "Reduced"));
        assert!(!kit.rename_rig(0, ""));
        assert!(!kit.rename_rig(9, "New"));
        assert_eq!(kit, before);
    }

    #[test]
    fn the_effective_focal_length_is_reached_through_the_corrector() {
        let mut kit = sample::kit();
        kit.set_focal_length(1, 1050.0, Scope::ThisRig);
        let rig = kit.resolve(1).unwrap();
        assert!((rig.ota.focal_length_mm - 1500.0).abs() < 1e-9);
        assert!((rig.focal_length_mm() - 1050.0).abs() < 1e-9);
        assert_eq!(rig.ota.aperture_mm, 200.0);
        // The other rig keeps its own.
        assert_eq!(kit.resolve(0).unwrap().focal_length_mm(), 2000.0);
    }

    #[test]
    fn a_focal_length_stays_on_the_ladder() {
        let mut kit = sample::kit();
        for (asked, got) in [(1e9, 4000.0), (-5.0, 20.0), (f64::NAN, 20.0), (f64::INFINITY, 20.0)] {
            kit.set_focal_length(0, asked, Scope::AllRigs);
            assert_eq!(kit.otas[0].focal_length_mm, got, "{asked}");
        }
        kit.set_focal_length(9, 500.0, Scope::AllRigs);
        assert_eq!(kit.otas[0].focal_length_mm, 20.0);
    }

    #[test]
    fn marks_stay_with_their_rigs() {
        let mut kit = sample::kit();
        assert_eq!(marks(&kit), [0, 1]);
        assert_eq!(kit.duplicate_rig(0), Some(1));
        assert_eq!(rig_names(&kit), ["Long", "Long 2", "Reduced"]);
        assert_eq!(marks(&kit), [0, 2, 1]);
        kit.move_rig(2, 0);
        assert_eq!(rig_names(&kit), ["Reduced", "Long", "Long 2"]);
        assert_eq!(marks(&kit), [1, 0, 2]);
        kit.remove_rig(1);
        assert_eq!(marks(&kit), [1, 2]);
        // The mark that came free is the next one's.
        let place = kit.add_rig(sample::rig("Reduced", "200 mm f/10", None));
        assert_eq!((place, kit.rigs[place].name.as_str()), (2, "Reduced 2"));
        assert_eq!(marks(&kit), [1, 2, 0]);
        assert_eq!(kit.check(), Ok(()));
    }

    #[test]
    fn moving_to_nowhere_or_nothing_is_ignored() {
        let mut kit = sample::kit();
        kit.move_rig(0, 0);
        kit.move_rig(0, 2);
        kit.move_rig(5, 0);
        kit.remove_rig(2);
        assert_eq!(kit.duplicate_rig(2), None);
        assert_eq!(kit, sample::kit());
    }

    #[test]
    fn aims_follow_their_rig() {
        let mut kit = sample::kit();
        kit.aim_mut("Long", "M 31").rotation_deg = Some(12.0);
        kit.aim_mut("Reduced", "M 31").rotation_deg = Some(34.0);
        kit.aim_mut("Long", "M 31").centre_deg = Some((10.0, 41.0));
        assert_eq!(kit.aims.len(), 2);
        assert!(kit.rename_rig(0, "Longer"));
        let aim = kit.aim("Longer", "M 31").unwrap();
        assert_eq!((aim.rotation_deg, aim.centre_deg), (Some(12.0), Some((10.0, 41.0))));
        kit.remove_rig(0);
        assert_eq!(kit.aims.len(), 1);
        assert!(kit.aim("Reduced", "M 31").is_some());
    }
}
