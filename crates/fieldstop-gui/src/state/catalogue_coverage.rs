//! How much of the whole catalogue each focal length serves, by kind and size.

use fieldstop::choice::Choice;
use fieldstop::focal_coverage::{BestFocalLength, BestPair, FocalCoverage, Interest};
use fieldstop::focal_range::{Ranges, Setting};
use fieldstop::kit::Limits;

use crate::sky::catalogue::Catalogue;
use crate::sky::kind::Kind;

/// A group of kinds of object.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum KindGroup {
    /// All there is.
    Everything,
    /// Galaxies alone, in pairs and in groups.
    Galaxies,
    /// Open and globular clusters, and associations.
    Clusters,
    /// Glowing, reflecting and dark, with a cluster in them or not.
    Nebulae,
}

impl KindGroup {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Everything, Self::Galaxies, Self::Clusters, Self::Nebulae];

    /// In plain words.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Everything => "objects of every kind",
            Self::Galaxies => "galaxies",
            Self::Clusters => "clusters",
            Self::Nebulae => "nebulae",
        }
    }

    fn holds(self, kind: Kind) -> bool {
        match self {
            Self::Everything => true,
            Self::Galaxies => kind.is_galaxies(),
            Self::Clusters => kind.is_cluster(),
            Self::Nebulae => {
                let others = matches!(kind, Kind::Nova | Kind::DoubleStar | Kind::Other);
                !kind.is_starlight() && !others
            }
        }
    }
}

/// Which objects of the catalogue are asked about; those of unknown size never are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CatalogueQuestion {
    /// Of which kinds.
    pub kinds: KindGroup,
    /// Smaller ones are left out.
    pub least_arcmin: f64,
    /// Larger ones are left out.
    pub most_arcmin: f64,
}

impl Default for CatalogueQuestion {
    fn default() -> Self {
        Self { kinds: KindGroup::Everything, least_arcmin: 2.0, most_arcmin: 240.0 }
    }
}

/// Objects served over focal length, every object counting alike.
pub struct CatalogueCoverage {
    /// What was asked.
    pub question: CatalogueQuestion,
    /// How many objects that are.
    pub count: usize,
    /// Served over focal length.
    pub coverage: FocalCoverage,
    /// The length that serves most.
    pub best: Option<BestFocalLength>,
    /// The two that together serve most, where one does not do.
    pub best_pair: Option<BestPair>,
}

impl CatalogueCoverage {
    /// Works it out for a camera and its air.
    pub fn of(
        question: CatalogueQuestion,
        setting: Setting,
        limits: &Limits,
        catalogue: &Catalogue,
    ) -> Self {
        let ranges = Ranges::new(setting);
        let sizes = question.least_arcmin..=question.most_arcmin;
        let interests: Vec<Interest> = catalogue
            .targets()
            .iter()
            .filter(|target| question.kinds.holds(target.kind))
            .filter_map(|target| target.outline.as_ref())
            .filter(|outline| sizes.contains(&outline.major.arcmin()))
            .map(|outline| Interest {
                range: ranges.of(outline, limits.whole_fill, limits.detail),
                weight: 1.0,
            })
            .collect();
        let coverage = FocalCoverage::new(&interests);
        Self {
            question,
            count: interests.len(),
            best: coverage.best(),
            best_pair: coverage.best_pair(),
            coverage,
        }
    }
}

/// What a curve over focal length is drawn from: the wish list, or the catalogue.
#[derive(Clone, Copy)]
pub struct Curve<'a> {
    /// Served over focal length.
    pub coverage: &'a FocalCoverage,
    /// The length that serves most.
    pub best: Option<BestFocalLength>,
    /// The two that together serve most.
    pub best_pair: Option<BestPair>,
    /// How many there are.
    pub count: usize,
    /// What they are worth together.
    pub weight: f64,
}

impl<'a> Curve<'a> {
    /// Of the wish list.
    pub fn of_list(choice: &'a Choice, count: usize, weight: f64) -> Self {
        let Choice { coverage, best, best_pair, .. } = choice;
        Self { coverage, best: *best, best_pair: *best_pair, count, weight }
    }

    /// Of the catalogue.
    pub fn of_catalogue(found: &'a CatalogueCoverage) -> Self {
        let CatalogueCoverage { coverage, best, best_pair, count, .. } = found;
        let (best, best_pair) = (*best, *best_pair);
        Self { coverage, best, best_pair, count: *count, weight: *count as f64 }
    }
}
