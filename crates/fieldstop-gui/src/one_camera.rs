//! Changes of a kit for someone who begins: one camera and one mount for every candidate, and a
//! candidate a class.
//!
//! Where no mount is there yet, each candidate stands on the mount that is usual for its class, or on
//! the next heavier one if that would be overloaded. Parts that were taken from the [starting points](crate::starting_points), were not touched since
//! and are no longer used go out of the kit again. What the person owns or changed stays.

use fieldstop::ResolvedRig;
use fieldstop::kit::{Camera, Corrector, Kit, Mount, MountKind, Ota, OtaClass};
use fieldstop::load::load;

use crate::starting_points::{self, StartingPoint};

/// The camera that the candidates have: the first rig's, or without rigs the kit's first.
pub fn camera_of(kit: &Kit) -> Option<&Camera> {
    match kit.rigs.first() {
        Some(rig) => kit.camera(&rig.camera),
        None => kit.cameras.first(),
    }
}

/// Gives every candidate the starting point's camera of that name.
pub fn choose_camera(kit: &mut Kit, label: &str) {
    if kit.camera(label).is_none() {
        let point = starting_points::cameras().into_iter().find(|point| point.label == label);
        let Some(mut camera) = point.map(|point| point.part) else { return };
        // Owning goes with the person, not with the format picked first.
        camera.owned = camera_of(kit).is_some_and(|old| old.owned);
        kit.cameras.push(camera);
    }
    for rig in &mut kit.rigs {
        label.clone_into(&mut rig.camera);
    }
    let used: Vec<&str> = kit.rigs.iter().map(|rig| rig.camera.as_str()).collect();
    let points = starting_points::cameras();
    kit.cameras.retain(|camera| {
        let mut plain = camera.clone();
        plain.owned = false;
        camera.name == label
            || used.contains(&camera.name.as_str())
            || !points.iter().any(|point| point.part == plain)
    });
    // Without rigs the first is the one.
    if let Some(place) = kit.cameras.iter().position(|camera| camera.name == label) {
        kit.cameras[..=place].rotate_right(1);
    }
    settle_mounts(kit);
}

/// The mount that is already there.
pub fn owned_mount(kit: &Kit) -> Option<&Mount> {
    kit.mounts.iter().find(|mount| mount.owned)
}

/// Says which mount is already there, by the name of a starting point; none if there is none. Every
/// candidate stands on it, or else on what is usual for its class.
pub fn own_mount(kit: &mut Kit, label: Option<&str>) {
    for mount in &mut kit.mounts {
        mount.owned = Some(mount.name.as_str()) == label;
    }
    if let Some(label) = label
        && kit.mount(label).is_none()
    {
        let point = starting_points::mounts().into_iter().find(|point| point.label == label);
        kit.mounts.extend(point.map(|point| Mount { owned: true, ..point.part }));
    }
    for rig in 0..kit.rigs.len() {
        let mount = match label {
            Some(label) => label.to_owned(),
            None => usual_mount(kit, rig),
        };
        if let Some(rig) = kit.rigs.get_mut(rig) {
            rig.mount = mount;
        }
    }
    drop_unused_parts(kit);
}

/// The mount that is usual for a rig's class, or the next heavier one that may carry it. It is in the
/// kit afterwards.
fn usual_mount(kit: &mut Kit, rig: usize) -> String {
    let Some(resolved) = kit.resolve(rig) else { return String::new() };
    let on_mount_kg = load(&resolved).on_mount_kg;
    let usual = starting_points::usual_mount(resolved.ota.class);
    let points = starting_points::mounts();
    let from = points.iter().position(|point| point.label == usual).unwrap_or(0);
    let bears = |mount: &Mount| mount.payload_kg * kit.limits.payload_share >= on_mount_kg;
    let equatorial = |mount: &Mount| mount.kind == MountKind::Equatorial;
    let heavier = points.iter().skip(from).filter(|point| equatorial(&point.part));
    let label = heavier.clone().find(|point| bears(&point.part)).map_or(usual, |point| point.label);
    if kit.mount(label).is_none() {
        kit.mounts.extend(heavier.filter(|point| point.label == label).map(|p| p.part.clone()));
    }
    label.to_owned()
}

/// Puts every rig that stands on a typical mount on the one that its load asks for now, unless a
/// mount is already there.
fn settle_mounts(kit: &mut Kit) {
    if owned_mount(kit).is_some() {
        return;
    }
    let points = starting_points::mounts();
    for rig in 0..kit.rigs.len() {
        let typical = |rig: ResolvedRig<'_>| points.iter().any(|point| point.part == *rig.mount);
        if !kit.resolve(rig).is_some_and(typical) {
            continue;
        }
        let mount = usual_mount(kit, rig);
        if let Some(rig) = kit.rigs.get_mut(rig) {
            rig.mount = mount;
        }
    }
    drop_unused_parts(kit);
}

/// Whether a candidate of a class is on the shortlist.
pub fn has_class(kit: &Kit, class: OtaClass) -> bool {
    (0..kit.rigs.len()).any(|rig| kit.resolve(rig).is_some_and(|rig| rig.ota.class == class))
}

/// Puts a typical rig of a class on the shortlist, on the mount that is already there if there is
/// one.
pub fn add_candidate(kit: &mut Kit, class: OtaClass) {
    let place = starting_points::add_rig_of_class(kit, class);
    let owned = owned_mount(kit).map(|mount| mount.name.clone());
    if let (Some(owned), Some(rig)) = (owned, kit.rigs.get_mut(place)) {
        rig.mount = owned;
        drop_unused_parts(kit);
    }
    settle_mounts(kit);
}

/// Takes every rig of a class off the shortlist.
pub fn remove_candidates(kit: &mut Kit, class: OtaClass) {
    // The last rig takes its camera with it otherwise.
    let camera = camera_of(kit).map(|camera| camera.name.clone());
    for rig in (0..kit.rigs.len()).rev() {
        if kit.resolve(rig).is_some_and(|rig| rig.ota.class == class) {
            kit.remove_rig(rig);
        }
    }
    if let Some(place) = kit.cameras.iter().position(|other| Some(&other.name) == camera.as_ref()) {
        kit.cameras[..=place].rotate_right(1);
    }
    drop_unused_parts(kit);
}

/// Takes out the typical OTAs, correctors and mounts that no rig has and nobody changed.
fn drop_unused_parts(kit: &mut Kit) {
    let rigs = &kit.rigs;
    let (otas, correctors, mounts) =
        (starting_points::otas(), starting_points::correctors(), starting_points::mounts());
    // A second one of its kind has a number behind its name.
    kit.otas.retain(|ota| {
        let is_plain = |point: &StartingPoint<Ota>| {
            let name = ota.name.clone();
            ota.name.starts_with(point.label) && Ota { name, ..point.part.clone() } == *ota
        };
        rigs.iter().any(|rig| rig.ota == ota.name) || !otas.iter().any(is_plain)
    });
    kit.correctors.retain(|corrector| {
        let is_plain = |point: &StartingPoint<Corrector>| {
            let name = corrector.name.clone();
            corrector.name.starts_with(point.label)
                && Corrector { name, ..point.part.clone() } == *corrector
        };
        rigs.iter().any(|rig| rig.corrector.as_ref() == Some(&corrector.name))
            || !correctors.iter().any(is_plain)
    });
    kit.mounts.retain(|mount| {
        mount.owned
            || rigs.iter().any(|rig| rig.mount == mount.name)
            || !mounts.iter().any(|point| point.part == *mount)
    });
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::*;
    use crate::starting_points::new_kit;

    #[test]
    fn ticking_and_unticking_every_class_leaves_the_kit_as_it_was() {
        let mut kit = new_kit("Mine");
        choose_camera(&mut kit, "Four Thirds");
        let before = kit.clone();
        for class in OtaClass::ALL {
            add_candidate(&mut kit, class);
            assert!(has_class(&kit, class));
        }
        kit.check().unwrap();
        assert!(kit.rigs.iter().all(|rig| rig.camera == "Four Thirds"));
        for class in OtaClass::ALL {
            remove_candidates(&mut kit, class);
        }
        assert_eq!(kit, before);
    }

    #[test]
    fn a_mount_that_is_there_carries_every_candidate() {
        let mut kit = new_kit("Mine");
        add_candidate(&mut kit, OtaClass::ShortRefractor);
        own_mount(&mut kit, Some("star tracker"));
        add_candidate(&mut kit, OtaClass::Newtonian);
        assert!(kit.rigs.iter().all(|rig| rig.mount == "star tracker"));
        assert_eq!(kit.mounts.len(), 1);
        own_mount(&mut kit, Some("heavy equatorial"));
        assert_eq!(owned_mount(&kit).unwrap().name, "heavy equatorial");
        assert_eq!(kit.mounts.len(), 1);
        own_mount(&mut kit, None);
        kit.check().unwrap();
        assert_eq!(kit.rigs[0].mount, "light equatorial");
        assert_eq!(kit.rigs[1].mount, "medium equatorial");
        assert!(owned_mount(&kit).is_none());
    }

    #[test]
    fn no_typical_candidate_overloads_its_mount() {
        let mut kit = new_kit("Mine");
        for class in OtaClass::ALL {
            add_candidate(&mut kit, class);
        }
        for camera in starting_points::cameras() {
            choose_camera(&mut kit, camera.label);
            for rig in 0..kit.rigs.len() {
                let rig = kit.resolve(rig).unwrap();
                let used = load(&rig).payload_used;
                assert!(used <= kit.limits.payload_share, "{} with {}", rig.rig.name, camera.label);
            }
        }
        kit.check().unwrap();
    }

    #[test]
    fn another_camera_takes_the_place_of_the_first_unless_it_was_changed() {
        let mut kit = new_kit("Mine");
        choose_camera(&mut kit, "APS-C");
        kit.cameras[0].owned = true;
        choose_camera(&mut kit, "full frame");
        assert_eq!(kit.cameras.len(), 1);
        assert!(camera_of(&kit).unwrap().owned, "whose it is goes with the choice");
        kit.cameras[0].pixel_um = 5.0;
        choose_camera(&mut kit, "1-inch");
        assert_eq!(camera_of(&kit).unwrap().name, "1-inch");
        assert_eq!(kit.cameras.len(), 2, "a camera of the person's own stays");
    }
}
