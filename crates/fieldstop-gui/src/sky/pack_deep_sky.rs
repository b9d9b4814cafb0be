//! From the source tables to the rows that the program embeds.
//!
//! Three tables lie on each other: OpenNGC, large nebulae that it lacks or gives a wrong extent,
//! and a small overlay that mends what is known to be wrong in either. A row may name the rows it
//! replaces; their designations then lead to it. `assets/README.md` describes the columns.

use std::collections::HashMap;

use serde::Deserialize;
use serde::de::DeserializeOwned;

use super::catalogue::SkyError;
use super::kind::Kind;
use super::row::Row;

const DEEP_SKY: &str = "deep_sky.csv";
const LARGE_NEBULAE: &str = "large_nebulae.csv";
const OVERLAY: &str = "deep_sky_overlay.csv";

/// In the overlay's list of common names: there is none, whatever the other tables say.
const NONE: &str = "-";

/// B - V of a typical galaxy or cluster, where the catalogue has none. Common practice, no source.
const ASSUMED_B_V: f64 = 0.8;
/// No star system is bluer or redder; beyond it one of the two magnitudes is wrong.
const SANE_B_V: std::ops::RangeInclusive<f64> = -0.7..=2.5;

/// The texts of the three source tables.
#[derive(Clone, Copy, Debug)]
pub struct Sources<'a> {
    /// OpenNGC's objects.
    pub deep_sky: &'a str,
    /// Large nebulae laid over them.
    pub large_nebulae: &'a str,
    /// What mends both.
    pub overlay: &'a str,
}

/// Lays the tables over each other.
///
/// # Errors
/// [`SkyError::Csv`] where a table does not parse, [`SkyError::Source`] where a row names another
/// that does not exist, has an unknown kind, or lacks a place.
pub fn rows(sources: Sources<'_>) -> Result<Vec<Row>, SkyError> {
    let mut table = Table::default();
    for record in records::<Record>(sources.deep_sky, DEEP_SKY)? {
        let draft = Draft::new(record, DEEP_SKY)?;
        table.add(draft);
    }
    for record in records::<Record>(sources.large_nebulae, LARGE_NEBULAE)? {
        let replaced = list(&record.overrides);
        let mut draft = Draft::new(record, LARGE_NEBULAE)?;
        draft.size_uncertain = true;
        table.replace(&mut draft, &replaced, LARGE_NEBULAE)?;
        table.add(draft);
    }
    for record in records::<Patch>(sources.overlay, OVERLAY)? {
        table.patch(record)?;
    }
    table.drafts.into_iter().flatten().map(Draft::into_row).collect()
}

fn records<R: DeserializeOwned>(text: &str, table: &'static str) -> Result<Vec<R>, SkyError> {
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .collect::<Result<_, _>>()
        .map_err(|source| SkyError::Csv { table, source })
}

fn list(text: &str) -> Vec<String> {
    text.split(';').map(str::trim).filter(|part| !part.is_empty()).map(str::to_owned).collect()
}

/// A row of `deep_sky.csv` or `large_nebulae.csv`; what one of them lacks is empty.
#[derive(Deserialize)]
struct Record {
    name: String,
    kind: String,
    ra_deg: f64,
    dec_deg: f64,
    major_arcmin: Option<f64>,
    minor_arcmin: Option<f64>,
    pa_deg: Option<f64>,
    #[serde(default)]
    b_mag: Option<f64>,
    #[serde(default)]
    v_mag: Option<f64>,
    #[serde(default)]
    surface_brightness_mag_arcsec2: Option<f64>,
    constellation: String,
    #[serde(default)]
    messier: String,
    common_names: String,
    other_ids: String,
    #[serde(default)]
    overrides: String,
}

/// A row of the overlay; what is empty stays as it was.
#[derive(Deserialize)]
struct Patch {
    name: String,
    kind: String,
    ra_deg: Option<f64>,
    dec_deg: Option<f64>,
    major_arcmin: Option<f64>,
    minor_arcmin: Option<f64>,
    pa_deg: Option<f64>,
    size_uncertain: Option<u8>,
    v_mag: Option<f64>,
    surface_brightness_mag_arcsec2: Option<f64>,
    constellation: String,
    common_names: String,
    other_ids: String,
    overrides: String,
    note: String,
}

/// A row in the making.
#[derive(Clone)]
struct Draft {
    name: String,
    messier: String,
    kind: Kind,
    ra_deg: f64,
    dec_deg: f64,
    major_arcmin: Option<f64>,
    minor_arcmin: Option<f64>,
    pa_deg: Option<f64>,
    size_uncertain: bool,
    b_mag: Option<f64>,
    v_mag: Option<f64>,
    surface_brightness: Option<SurfaceBrightness>,
    constellation: String,
    common_names: Vec<String>,
    other_ids: Vec<String>,
    note: String,
}

#[derive(Clone, Copy)]
enum SurfaceBrightness {
    B(f64),
    V(f64),
}

impl Draft {
    fn new(record: Record, table: &'static str) -> Result<Self, SkyError> {
        let kind = kind(&record.kind, &record.name, table)?;
        Ok(Self {
            kind,
            size_uncertain: kind.is_cluster() && record.major_arcmin.is_some(),
            name: record.name,
            messier: record.messier,
            ra_deg: record.ra_deg,
            dec_deg: record.dec_deg,
            major_arcmin: record.major_arcmin,
            minor_arcmin: record.minor_arcmin,
            pa_deg: record.pa_deg,
            b_mag: record.b_mag,
            v_mag: record.v_mag,
            surface_brightness: record.surface_brightness_mag_arcsec2.map(SurfaceBrightness::B),
            constellation: record.constellation,
            common_names: list(&record.common_names),
            other_ids: list(&record.other_ids),
            note: String::new(),
        })
    }

    fn into_row(self) -> Result<Row, SkyError> {
        let (magnitude, magnitude_assumed) = self.magnitude();
        let surface_brightness_mag_arcsec2 = self.surface_brightness.map(|mean| match mean {
            SurfaceBrightness::V(mean) => mean,
            SurfaceBrightness::B(mean) => hundredths(mean - self.b_v().unwrap_or(ASSUMED_B_V)),
        });
        let name = if self.messier.is_empty() { &self.name } else { &self.messier }.clone();
        let mut other_names = vec![self.name];
        other_names.extend(self.other_ids);
        let mut seen = vec![name.clone()];
        other_names.retain(|other| {
            let new = !seen.contains(other);
            seen.push(other.clone());
            new
        });
        Ok(Row {
            name,
            kind: self.kind,
            ra_deg: self.ra_deg,
            dec_deg: self.dec_deg,
            major_arcmin: self.major_arcmin,
            minor_arcmin: self.minor_arcmin,
            pa_deg: self.pa_deg,
            size_uncertain: self.size_uncertain,
            magnitude,
            magnitude_assumed,
            surface_brightness_mag_arcsec2,
            constellation: self.constellation,
            common_names: self.common_names,
            other_names,
            note: self.note,
        })
    }

    /// B - V, if both are there and make sense together.
    fn b_v(&self) -> Option<f64> {
        let b_v = self.b_mag? - self.v_mag?;
        SANE_B_V.contains(&b_v).then_some(b_v)
    }

    /// V, and whether it was made from B.
    ///
    /// Where the two contradict each other, a galaxy's B is the one to trust (most come from one
    /// survey), and anything else's V.
    fn magnitude(&self) -> (Option<f64>, bool) {
        let from_b = self.b_mag.map(|b| hundredths(b - ASSUMED_B_V));
        match (from_b, self.v_mag) {
            (Some(v), Some(_)) if self.kind.is_galaxies() && self.b_v().is_none() => {
                (Some(v), true)
            }
            (_, Some(v)) => (Some(v), false),
            (Some(v), None) if self.kind.is_starlight() => (Some(v), true),
            _ => (None, false),
        }
    }
}

fn hundredths(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

fn kind(code: &str, row: &str, table: &'static str) -> Result<Kind, SkyError> {
    Kind::from_code(code).ok_or_else(|| SkyError::Source {
        table,
        row: row.to_owned(),
        column: "kind",
        found: code.to_owned(),
        expected: "one of OpenNGC's codes",
    })
}

/// The rows so far, in order; a replaced row leaves an empty place.
#[derive(Default)]
struct Table {
    drafts: Vec<Option<Draft>>,
    places: HashMap<String, usize>,
}

impl Table {
    fn add(&mut self, draft: Draft) {
        let place = self.drafts.len();
        for name in [&draft.name, &draft.messier] {
            if !name.is_empty() {
                self.places.insert(name.clone(), place);
            }
        }
        self.drafts.push(Some(draft));
    }

    /// Takes the named row out of the table.
    fn take(&mut self, name: &str) -> Option<Draft> {
        self.drafts.get_mut(*self.places.get(name)?)?.take()
    }

    /// Takes out the rows that `draft` replaces, so that their designations lead to it.
    fn replace(
        &mut self,
        draft: &mut Draft,
        replaced: &[String],
        table: &'static str,
    ) -> Result<(), SkyError> {
        for name in replaced {
            let old = self.take(name).ok_or_else(|| SkyError::Source {
                table,
                row: draft.name.clone(),
                column: "overrides",
                found: name.clone(),
                expected: "the name of an earlier row",
            })?;
            if draft.messier.is_empty() {
                draft.messier = old.messier;
            }
            draft.other_ids.push(old.name);
            draft.other_ids.extend(old.other_ids);
        }
        Ok(())
    }

    /// Lays a row of the overlay over the row of that name, over the first row that it replaces,
    /// or adds it as a new one.
    fn patch(&mut self, patch: Patch) -> Result<(), SkyError> {
        let replaced = list(&patch.overrides);
        let known = self.places.get(&patch.name).copied();
        let base =
            match (known.and_then(|place| self.drafts.get_mut(place)?.take()), replaced.first()) {
                (Some(draft), _) => Some(draft),
                (None, Some(first)) => {
                    self.places.get(first).and_then(|place| self.drafts.get(*place)?.clone())
                }
                (None, None) => None,
            };
        let mut draft = match base {
            Some(base) => base,
            None => blank(&patch)?,
        };
        if known.is_none() {
            draft.name.clone_from(&patch.name);
        }
        self.replace(&mut draft, &replaced, OVERLAY)?;
        patch.lay_over(&mut draft)?;
        match known.and_then(|place| self.drafts.get_mut(place)) {
            Some(slot) => *slot = Some(draft),
            None => self.add(draft),
        }
        Ok(())
    }
}

/// A new row of the overlay before its figures are laid over: it must have kind and place.
fn blank(patch: &Patch) -> Result<Draft, SkyError> {
    let missing = |column| SkyError::Source {
        table: OVERLAY,
        row: patch.name.clone(),
        column,
        found: String::new(),
        expected: "a value, since no other table has this row",
    };
    Ok(Draft {
        name: patch.name.clone(),
        messier: if patch.name.starts_with("M ") { patch.name.clone() } else { String::new() },
        kind: kind(&patch.kind, &patch.name, OVERLAY)?,
        ra_deg: patch.ra_deg.ok_or_else(|| missing("ra_deg"))?,
        dec_deg: patch.dec_deg.ok_or_else(|| missing("dec_deg"))?,
        major_arcmin: None,
        minor_arcmin: None,
        pa_deg: None,
        size_uncertain: false,
        b_mag: None,
        v_mag: None,
        surface_brightness: None,
        constellation: patch.constellation.clone(),
        common_names: Vec::new(),
        other_ids: Vec::new(),
        note: String::new(),
    })
}

impl Patch {
    fn lay_over(self, draft: &mut Draft) -> Result<(), SkyError> {
        if !self.kind.is_empty() {
            draft.kind = kind(&self.kind, &self.name, OVERLAY)?;
        }
        draft.ra_deg = self.ra_deg.unwrap_or(draft.ra_deg);
        draft.dec_deg = self.dec_deg.unwrap_or(draft.dec_deg);
        // A row that gives a major axis gives the whole ellipse.
        if self.major_arcmin.is_some() {
            draft.major_arcmin = self.major_arcmin;
            draft.minor_arcmin = self.minor_arcmin;
            draft.pa_deg = self.pa_deg;
            draft.size_uncertain = false;
        }
        if let Some(uncertain) = self.size_uncertain {
            draft.size_uncertain = uncertain != 0;
        }
        if self.v_mag.is_some() {
            draft.v_mag = self.v_mag;
            draft.b_mag = None;
        }
        if let Some(mean) = self.surface_brightness_mag_arcsec2 {
            draft.surface_brightness = Some(SurfaceBrightness::V(mean));
        }
        if !self.constellation.is_empty() {
            draft.constellation = self.constellation;
        }
        if self.common_names == NONE {
            draft.common_names.clear();
        } else if !self.common_names.is_empty() {
            draft.common_names = list(&self.common_names);
        }
        draft.other_ids.splice(0..0, list(&self.other_ids));
        if !self.note.is_empty() {
            draft.note = self.note;
        }
        Ok(())
    }
}
