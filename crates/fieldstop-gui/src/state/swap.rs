//! A part tried out in place of another, before the kit is changed.

use fieldstop::kit::{Kit, PartList, free_name};

use crate::starting_points::{StartingPoint, cameras, correctors, mounts};

/// Which part of a rig another is tried out for.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub enum SwapPart {
    /// The corrector, which a rig may also be without.
    Corrector,
    /// The camera.
    Camera,
    /// The mount.
    Mount,
}

/// Where the part that is tried out comes from.
#[derive(Clone, Debug, Eq, PartialEq)]
pub enum SwapWith {
    /// No such part.
    Nothing,
    /// A part of the kit, by name.
    Kit(String),
    /// A starting point, by its label.
    StartingPoint(&'static str),
}

impl SwapWith {
    /// As shown.
    pub fn label(&self) -> &str {
        match self {
            Self::Nothing => "no corrector",
            Self::Kit(name) => name,
            Self::StartingPoint(label) => label,
        }
    }
}

/// A part that takes another's place in one rig.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Swap {
    /// The rig, by its place in the shortlist.
    pub rig: usize,
    /// Which part.
    pub part: SwapPart,
    /// By what.
    pub with: SwapWith,
}

impl SwapPart {
    /// All of them, in a rig's order.
    pub const ALL: [Self; 3] = [Self::Corrector, Self::Camera, Self::Mount];

    /// As shown.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Corrector => "Corrector",
            Self::Camera => "Camera",
            Self::Mount => "Mount",
        }
    }

    /// What a rig has now.
    pub fn of(self, kit: &Kit, rig: usize) -> Option<String> {
        let rig = kit.rigs.get(rig)?;
        match self {
            Self::Corrector => rig.corrector.clone(),
            Self::Camera => Some(rig.camera.clone()),
            Self::Mount => Some(rig.mount.clone()),
        }
    }

    /// What could take its place: the kit's other parts, then the starting points.
    pub fn choices(self, kit: &Kit, rig: usize) -> Vec<SwapWith> {
        let own = self.of(kit, rig);
        let (list, points): (PartList, Vec<&'static str>) = match self {
            Self::Corrector => (PartList::Correctors, labels(&correctors())),
            Self::Camera => (PartList::Cameras, labels(&cameras())),
            Self::Mount => (PartList::Mounts, labels(&mounts())),
        };
        let names = kit.names(list);
        let nothing = (self == Self::Corrector && own.is_some()).then_some(SwapWith::Nothing);
        let of_kit = names
            .iter()
            .filter(|name| own.as_deref() != Some(**name))
            .map(|name| SwapWith::Kit((*name).to_owned()));
        // A starting point that the kit took over already would stand in the list twice.
        let new =
            points.into_iter().filter(|label| !names.contains(label)).map(SwapWith::StartingPoint);
        nothing.into_iter().chain(of_kit).chain(new).collect()
    }
}

fn labels<T>(points: &[StartingPoint<T>]) -> Vec<&'static str> {
    points.iter().map(|point| point.label).collect()
}

macro_rules! take_over {
    ($kit:ident, $points:ident, $list:ident, $names:expr, $label:ident) => {{
        let mut part = $points().into_iter().find(|point| point.label == *$label)?.part;
        part.name = free_name(&part.name, &$kit.names($names));
        let name = part.name.clone();
        $kit.$list.push(part);
        name
    }};
}

impl Swap {
    /// The kit as it would be; `None` if rig or part are gone.
    pub fn applied(&self, kit: &Kit) -> Option<Kit> {
        let mut kit = kit.clone();
        let name = match &self.with {
            SwapWith::Nothing => None,
            SwapWith::Kit(name) => Some(name.clone()),
            SwapWith::StartingPoint(label) => Some(match self.part {
                SwapPart::Corrector => {
                    take_over!(kit, correctors, correctors, PartList::Correctors, label)
                }
                SwapPart::Camera => take_over!(kit, cameras, cameras, PartList::Cameras, label),
                SwapPart::Mount => take_over!(kit, mounts, mounts, PartList::Mounts, label),
            }),
        };
        let rig = kit.rigs.get_mut(self.rig)?;
        match self.part {
            SwapPart::Corrector => rig.corrector = name,
            SwapPart::Camera => rig.camera = name?,
            SwapPart::Mount => rig.mount = name?,
        }
        // A part of the kit may have been renamed or removed since it was chosen.
        kit.resolve(self.rig)?;
        Some(kit)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use fieldstop::kit::OtaClass;

    use super::*;
    use crate::starting_points::{add_rig_of_class, new_kit};

    fn two_rigs() -> Kit {
        let mut kit = new_kit("Test");
        add_rig_of_class(&mut kit, OtaClass::Compound);
        add_rig_of_class(&mut kit, OtaClass::ShortRefractor);
        kit
    }

    #[test]
    fn every_choice_leaves_a_whole_kit_and_the_other_rig_alone() {
        let kit = two_rigs();
        for part in SwapPart::ALL {
            for rig in 0..kit.rigs.len() {
                let choices = part.choices(&kit, rig);
                assert!(choices.len() > 3, "{part:?}");
                for with in choices {
                    let tried = Swap { rig, part, with: with.clone() }.applied(&kit).unwrap();
                    tried.check().unwrap();
                    assert_ne!(part.of(&tried, rig), part.of(&kit, rig), "{with:?}");
                    assert_eq!(tried.rigs[1 - rig], kit.rigs[1 - rig]);
                }
            }
        }
    }

    #[test]
    fn a_part_that_is_gone_cannot_be_tried() {
        let kit = two_rigs();
        let with = SwapWith::Kit("nobody's".to_owned());
        assert_eq!(Swap { rig: 0, part: SwapPart::Camera, with: with.clone() }.applied(&kit), None);
        assert_eq!(Swap { rig: 9, part: SwapPart::Mount, with }.applied(&kit), None);
        let nothing = Swap { rig: 0, part: SwapPart::Camera, with: SwapWith::Nothing };
        assert_eq!(nothing.applied(&kit), None, "no rig is without a camera");
    }
}
