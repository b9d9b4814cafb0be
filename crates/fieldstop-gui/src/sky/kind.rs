//! What sort of thing a target is.

/// What sort of thing a target is, as OpenNGC sorts them, with a few that it has no code for.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub enum Kind {
    /// A galaxy.
    Galaxy,
    /// Two galaxies.
    GalaxyPair,
    /// Three galaxies.
    GalaxyTriplet,
    /// More galaxies.
    GalaxyGroup,
    /// An open cluster.
    OpenCluster,
    /// A globular cluster.
    GlobularCluster,
    /// A cluster in the nebula that it lights.
    ClusterWithNebula,
    /// An association of stars, or a star cloud.
    Association,
    /// A nebula of unstated or mixed sort.
    Nebula,
    /// Gas that hot stars ionise.
    HiiRegion,
    /// Other glowing gas.
    EmissionNebula,
    /// Dust that scatters starlight.
    ReflectionNebula,
    /// Dust that hides what is behind it.
    DarkNebula,
    /// The shell of a dying star.
    PlanetaryNebula,
    /// What an exploded star left.
    SupernovaRemnant,
    /// Two nebulae that are photographed together.
    NebulaPair,
    /// A nova.
    Nova,
    /// Two stars.
    DoubleStar,
    /// What the catalogue puts in no class.
    Other,
    /// A place of the person's own.
    Custom,
}

/// Every kind that a catalogue row can have, with its code there and its words.
const KINDS: [(Kind, &str, &str); 19] = [
    (Kind::Galaxy, "G", "galaxy"),
    (Kind::GalaxyPair, "GPair", "pair of galaxies"),
    (Kind::GalaxyTriplet, "GTrpl", "triplet of galaxies"),
    (Kind::GalaxyGroup, "GGroup", "group of galaxies"),
    (Kind::OpenCluster, "OCl", "open cluster"),
    (Kind::GlobularCluster, "GCl", "globular cluster"),
    (Kind::ClusterWithNebula, "Cl+N", "cluster with nebula"),
    (Kind::Association, "*Ass", "star association"),
    (Kind::Nebula, "Neb", "nebula"),
    (Kind::HiiRegion, "HII", "HII region"),
    (Kind::EmissionNebula, "EmN", "emission nebula"),
    (Kind::ReflectionNebula, "RfN", "reflection nebula"),
    (Kind::DarkNebula, "DrkN", "dark nebula"),
    (Kind::PlanetaryNebula, "PN", "planetary nebula"),
    (Kind::SupernovaRemnant, "SNR", "supernova remnant"),
    (Kind::NebulaPair, "NebPair", "pair of nebulae"),
    (Kind::Nova, "Nova", "nova"),
    (Kind::DoubleStar, "**", "double star"),
    (Kind::Other, "Other", "unclassified object"),
];

impl Kind {
    /// In plain words, lower case.
    pub fn label(self) -> &'static str {
        KINDS.iter().find(|(kind, ..)| *kind == self).map_or("custom target", |(.., words)| words)
    }

    /// From the code that the source tables use; `None` if it is not one of theirs.
    pub fn from_code(code: &str) -> Option<Self> {
        KINDS.iter().find(|(_, known, _)| *known == code).map(|(kind, ..)| *kind)
    }

    /// Its number in the packed file; a custom target is never packed.
    pub(super) fn number(self) -> Option<u8> {
        let place = KINDS.iter().position(|(kind, ..)| *kind == self)?;
        u8::try_from(place).ok()
    }

    /// From its number in the packed file.
    pub(super) fn from_number(number: u8) -> Option<Self> {
        KINDS.get(usize::from(number)).map(|(kind, ..)| *kind)
    }

    /// Whether the light comes from many galaxies' or clusters' stars, so that B - V is a star's.
    pub(crate) fn is_starlight(self) -> bool {
        self.is_galaxies()
            || matches!(self, Self::OpenCluster | Self::GlobularCluster | Self::Association)
    }

    /// A galaxy, or several.
    pub(crate) fn is_galaxies(self) -> bool {
        matches!(self, Self::Galaxy | Self::GalaxyPair | Self::GalaxyTriplet | Self::GalaxyGroup)
    }

    /// A cluster of stars, whose catalogue size is that of its dense part.
    pub(crate) fn is_cluster(self) -> bool {
        matches!(
            self,
            Self::OpenCluster | Self::GlobularCluster | Self::ClusterWithNebula | Self::Association
        )
    }
}
