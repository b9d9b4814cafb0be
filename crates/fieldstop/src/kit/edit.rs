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
    // A copy of "Camera 2" is "Camera 3", not "Camera 2 2".
    let stem = wanted.trim_end_matches(|c: char| c.is_ascii_digit()).trim_end();
    let stem = if stem.is_empty() { wanted } else { stem };
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
