//! The deep-sky objects: all of them, by name, and by place.

use std::borrow::Cow;
use std::sync::Arc;

use fieldstop::shape::{DrawnShape, Shape};
use fieldstop::{Angle, Direction, Icrs, Outline};

use super::designation::key;
use super::kind::Kind;
use super::packed_deep_sky::unpack;
use super::row::Row;
use super::search::Index;

/// The compact file that [`pack_deep_sky`](super::pack_deep_sky) makes from the sources.
static PACKED: &[u8] = include_bytes!("../../../../assets/packed/deep_sky.bin");

/// Something to photograph.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// What it goes by: `M 31`, `NGC 7000`, `Sh2-190`; the name that the person uses, where it has
    /// several.
    pub name: String,
    /// What the catalogue has it under, where the person uses another of its names.
    pub listed_as: Option<String>,
    /// What sort of thing it is.
    pub kind: Kind,
    /// Its middle.
    pub place: Direction<Icrs>,
    /// Right ascension, ICRS, 0 to 360, just as the source has it.
    pub ra_deg: f64,
    /// Declination, ICRS, just as the source has it.
    pub dec_deg: f64,
    /// Its ellipse; `None` is "size unknown".
    pub outline: Option<Outline>,
    /// The shape that the person drew in place of it.
    pub drawn: Option<Arc<DrawnShape>>,
    /// Full major axis.
    pub major_arcmin: Option<f64>,
    /// Full minor axis.
    pub minor_arcmin: Option<f64>,
    /// Of the major axis, from north through east, 0 to 180.
    pub pa_deg: Option<f64>,
    /// The size is a guess, or that of a part only, such as a cluster's dense middle.
    pub size_uncertain: bool,
    /// Integrated, in V.
    pub magnitude: Option<f64>,
    /// V was made from B with a B - V of 0.8, since the catalogue has no V, or no sane one.
    pub magnitude_assumed: bool,
    /// In V: the mean of a galaxy, what is typical of the main parts of a nebula.
    pub surface_brightness_mag_arcsec2: Option<f64>,
    /// IAU abbreviation of its constellation, `And`; empty for a custom target.
    pub constellation: String,
    /// What people call it.
    pub common_names: Vec<String>,
    /// Its other designations.
    pub other_names: Vec<String>,
    /// What a person should know before trusting the figures; often empty.
    pub note: String,
}

impl Target {
    /// What frames are put on: the shape that the person drew, else the ellipse; `None` is "size
    /// unknown".
    pub fn shape(&self) -> Option<Shape> {
        let drawn = self.drawn.as_ref().map(|drawn| Shape::Drawn(drawn.clone()));
        drawn.or_else(|| self.outline.map(Shape::Ellipse))
    }

    /// Whose shape frames are put on, in a word: `catalogue`, `own` for an ellipse that the person
    /// typed, `drawn` for what the person drew; `None` without one.
    pub fn outline_word(&self) -> Option<&'static str> {
        match (&self.drawn, &self.outline) {
            (Some(_), _) => Some("drawn"),
            (None, Some(_)) if self.kind == Kind::Custom => Some("own"),
            (None, Some(_)) => Some("catalogue"),
            (None, None) => None,
        }
    }

    /// What a picture of it is centred on: its place, or the middle of the shape that the person
    /// drew.
    pub fn middle(&self) -> Direction<Icrs> {
        self.drawn.as_ref().map_or(self.place, |drawn| drawn.middle())
    }
}

/// What went wrong with the sky's data.
#[derive(Debug, thiserror::Error)]
pub enum SkyError {
    /// The embedded file is not what the packing step writes.
    #[error("the embedded deep-sky file is damaged at byte {at}; build the program again")]
    Damaged {
        /// Offset of the first byte that makes no sense.
        at: usize,
    },
    /// A value that the compact form cannot hold.
    #[error("row {name:?}: {field} does not fit the packed form")]
    Unpackable {
        /// Which row.
        name: String,
        /// Which column.
        field: &'static str,
    },
    /// A source table that does not read as it should.
    #[error("{table}, row {row:?}: {found:?} found in column {column}; expected {expected}")]
    Source {
        /// Which table.
        table: &'static str,
        /// The row's name.
        row: String,
        /// The column's heading.
        column: &'static str,
        /// What stands there.
        found: String,
        /// What should.
        expected: &'static str,
    },
    /// The bright stars are not what the packing step writes.
    #[error(transparent)]
    Stars(#[from] super::star_list::StarListError),
    /// A source table that is no CSV at all.
    #[error("{table} cannot be read as CSV")]
    Csv {
        /// Which table.
        table: &'static str,
        /// Why.
        source: csv::Error,
    },
}

/// Every deep-sky object that the program knows.
pub struct Catalogue {
    targets: Vec<Target>,
    pub(super) index: Index,
    reaches: Vec<Reach>,
}

/// A target's place and half size, for a quick look at whether it comes into a circle.
struct Reach {
    xyz: [f64; 3],
    half: Angle,
    sin_half: f64,
    cos_half: f64,
    target: usize,
}

impl Catalogue {
    /// The catalogue that the program carries within it.
    ///
    /// # Errors
    /// [`SkyError::Damaged`] if it was built from a damaged file.
    pub fn embedded() -> Result<Self, SkyError> {
        Ok(Self::new(unpack(PACKED)?))
    }

    /// A catalogue of these rows.
    pub fn new(rows: Vec<Row>) -> Self {
        let targets: Vec<Target> = rows.into_iter().map(Target::from).collect();
        let index = Index::new(&targets);
        let mut reaches: Vec<Reach> = targets.iter().enumerate().map(reach).collect();
        reaches.sort_by(|a, b| b.half.rad().total_cmp(&a.half.rad()));
        Self { targets, index, reaches }
    }

    /// All of them, in the sources' order.
    pub fn targets(&self) -> &[Target] {
        &self.targets
    }

    /// The target of that name, in any usual spelling, never a similar one.
    ///
    /// Looks among every designation and common name. Of several with one common name, the most
    /// prominent.
    pub fn named(&self, name: &str) -> Option<&Target> {
        self.targets.get(self.index.exact(&key(name))?)
    }

    /// Every target whose outline comes into a circle on the sky, the largest first.
    ///
    /// An outline counts as the circle about its major axis, a target of unknown size as a point.
    ///
    /// # Units
    /// - `radius`: 0 to 180 degrees
    pub fn near(&self, centre: Direction<Icrs>, radius: Angle) -> impl Iterator<Item = &Target> {
        let [x, y, z] = centre.xyz();
        let (sin_radius, cos_radius) = radius.sin_cos();
        self.reaches
            .iter()
            .filter(move |reach| {
                // OK because 180 degrees is farther than anything lies.
                radius + reach.half >= Angle::HALF_TURN
                    || reach.xyz[0] * x + reach.xyz[1] * y + reach.xyz[2] * z
                        >= cos_radius * reach.cos_half - sin_radius * reach.sin_half
            })
            .filter_map(|reach| self.targets.get(reach.target))
    }
}

fn reach((target, row): (usize, &Target)) -> Reach {
    let half = row.outline.map_or(Angle::ZERO, |outline| outline.major / 2.0);
    let (sin_half, cos_half) = half.sin_cos();
    Reach { xyz: row.place.xyz(), half, sin_half, cos_half, target }
}

impl From<Row> for Target {
    fn from(row: Row) -> Self {
        Self {
            place: Direction::from_ra_dec(
                Angle::from_deg(row.ra_deg),
                Angle::from_deg(row.dec_deg),
            ),
            outline: outline(row.major_arcmin, row.minor_arcmin, row.pa_deg),
            drawn: None,
            name: row.name,
            listed_as: None,
            kind: row.kind,
            ra_deg: row.ra_deg,
            dec_deg: row.dec_deg,
            major_arcmin: row.major_arcmin,
            minor_arcmin: row.minor_arcmin,
            pa_deg: row.pa_deg,
            size_uncertain: row.size_uncertain,
            magnitude: row.magnitude,
            magnitude_assumed: row.magnitude_assumed,
            surface_brightness_mag_arcsec2: row.surface_brightness_mag_arcsec2,
            constellation: row.constellation,
            common_names: row.common_names,
            other_names: row.other_names,
            note: row.note,
        }
    }
}

/// The ellipse that a row's figures describe; `None` without a major axis.
pub(super) fn outline(
    major_arcmin: Option<f64>,
    minor_arcmin: Option<f64>,
    pa_deg: Option<f64>,
) -> Option<Outline> {
    major_arcmin.map(|major| Outline {
        major: Angle::from_arcmin(major),
        minor: minor_arcmin.map(Angle::from_arcmin),
        position_angle: pa_deg.map(Angle::from_deg),
    })
}

impl Target {
    /// Full name of its constellation; by place for a target that states none.
    pub fn constellation_name(&self) -> &'static str {
        super::constellation::full_name(&self.constellation)
            .unwrap_or_else(|| super::constellation::name_at(self.place))
    }

    /// The same in three letters, `And`.
    pub fn constellation_abbreviation(&self) -> &str {
        if self.constellation.is_empty() {
            super::constellation::abbreviation_at(self.place)
        } else {
            &self.constellation
        }
    }

    /// Every name it has: the one it goes by, its other designations, what people call it.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        let others = self.other_names.iter().chain(&self.common_names);
        std::iter::once(&self.name).chain(others).map(String::as_str)
    }

    /// What the catalogue has it under, whatever the person calls it: by this it is told from others.
    pub fn catalogue_name(&self) -> &str {
        self.listed_as.as_deref().unwrap_or(&self.name)
    }

    /// Whether two are the same thing on the sky, whatever each goes by.
    pub fn is_same(&self, other: &Self) -> bool {
        self.catalogue_name() == other.catalogue_name() && self.place == other.place
    }

    /// It under the name that the person uses, which leads from then on; the catalogue's follows.
    pub fn called(&self, name: &str) -> Cow<'_, Self> {
        if self.name == name {
            return Cow::Borrowed(self);
        }
        let mut target = self.clone();
        let used = key(name);
        let before = std::mem::replace(&mut target.name, name.to_owned());
        target.other_names.retain(|other| key(other) != used);
        target.common_names.retain(|common| key(common) != used);
        if key(&before) != used {
            target.other_names.insert(0, before.clone());
        }
        target.listed_as.get_or_insert(before);
        Cow::Owned(target)
    }

    /// One of its names as the catalogue spells it; `None` for a name that it has not.
    pub fn spelled(&self, name: &str) -> Option<&str> {
        let wanted = key(name);
        self.names().find(|known| key(known) == wanted)
    }

    /// What stands behind its name where there is room: what people call it, and the catalogue's
    /// name where the person uses another. Empty if there is nothing to add.
    pub fn also_called(&self) -> String {
        self.other_names().collect::<Vec<_>>().join(", ")
    }

    /// The name that people say, then the one that the catalogue has it under.
    fn other_names(&self) -> impl Iterator<Item = &str> {
        let led = key(&self.name);
        let other = move |name: &&String| key(name) != led;
        let common = self.common_names.first().filter(&other);
        common.into_iter().chain(self.listed_as.as_ref().filter(&other)).map(String::as_str)
    }

    /// Its name and what stands behind it.
    pub fn title(&self) -> String {
        match self.also_called() {
            behind if behind.is_empty() => self.name.clone(),
            behind => format!("{}  {behind}", self.name),
        }
    }

    /// Its name and the first of what stands behind it, for where there is little room.
    pub fn short_title(&self) -> String {
        match self.other_names().next() {
            Some(behind) => format!("{}  {behind}", self.name),
            None => self.name.clone(),
        }
    }

    /// How much of a target it is: the integrated magnitude, turned round, and its size.
    ///
    /// Only for putting the big and bright first: five magnitudes weigh as much as ten times the
    /// size, and a name or a number that people know as much as three magnitudes. A pair of nebulae
    /// comes after its members.
    pub(super) fn prominence(&self) -> f64 {
        // A target of unknown size is taken as half an arcminute, of unknown brightness as a faint
        // nebula. Common practice, no source: the order has to begin somewhere.
        const SIZE_ARCMIN: f64 = 0.5;
        const SURFACE_BRIGHTNESS: f64 = 24.0;
        let major = self.major_arcmin.unwrap_or(SIZE_ARCMIN);
        let minor = self.minor_arcmin.unwrap_or(major);
        let area_arcsec2 = std::f64::consts::FRAC_PI_4 * major * minor * 3600.0;
        let magnitude = self.magnitude.unwrap_or_else(|| {
            let mean = self.surface_brightness_mag_arcsec2.unwrap_or(SURFACE_BRIGHTNESS);
            mean - 2.5 * area_arcsec2.log10()
        });
        let known = !self.common_names.is_empty() || self.name.starts_with("M ");
        let pair = self.kind == Kind::NebulaPair;
        5.0 * major.log10() - magnitude + if known { 3.0 } else { 0.0 }
            - if pair { 20.0 } else { 0.0 }
    }
}
