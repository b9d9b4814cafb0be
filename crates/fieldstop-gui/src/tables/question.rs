//! What a table is asked for, and the one function that works it out.

use fieldstop::kit::Kit;
use fieldstop::mosaic::MosaicError;
use fieldstop::rig::ResolvedRig;
use jiff::civil::Date;
use thiserror::Error;

use super::{
    Cell, Table, TableName, USUAL_YEAR, bodies, checklist, choose, comparison, costs, coverage,
    demands, findings, fits, frames, grades, night, nights, panels, ranges, rigs, season, wishes,
    year,
};
use crate::nights::{SeasonQuestion, SiteClock, SiteYear};
use crate::sky::catalogue::{Catalogue, Target};
use crate::state::figures::find_target;

/// What a table is to be about. Each table heeds what it is about and nothing else.
#[derive(Clone, Debug, PartialEq)]
pub struct TableQuestion {
    /// Which.
    pub table: TableName,
    /// Of what.
    pub kit: Kit,
    /// Name of a target of the wish list or the catalogue.
    pub target: Option<String>,
    /// Name of a rig; the first one where focal lengths are for one rig's camera and none is named.
    pub rig: Option<String>,
    /// The year in which nights begin.
    pub year: i16,
    /// The month, and what is looked for in the catalogue.
    pub season: Option<SeasonQuestion>,
    /// The date on which a night begins.
    pub evening: Option<Date>,
}

impl TableQuestion {
    /// A table of a kit, with nothing else said.
    pub fn new(table: TableName, kit: Kit) -> Self {
        Self { table, kit, target: None, rig: None, year: USUAL_YEAR, season: None, evening: None }
    }
}

/// Why there is no table.
#[derive(Debug, Error)]
pub enum TableError {
    /// It is about a target, and none was named.
    #[error("the table {table} is about one target, and none was named")]
    NoTarget {
        /// Which table.
        table: &'static str,
    },
    /// Neither wish list nor catalogue has it.
    #[error("no target is called {name:?}, neither in the wish list nor in the catalogue")]
    UnknownTarget {
        /// As named.
        name: String,
    },
    /// It is about a rig, and none was named.
    #[error("the table {table} is about one rig, and none was named")]
    NoRig {
        /// Which table.
        table: &'static str,
    },
    /// The shortlist does not have it.
    #[error("no rig is called {name:?}")]
    UnknownRig {
        /// As named.
        name: String,
    },
    /// It is about a night, and none was named.
    #[error("the table {table} is about one night, and no date was given")]
    NoEvening {
        /// Which table.
        table: &'static str,
    },
    /// It is about a month, and none was named.
    #[error("the table {table} is about one month, and none was given")]
    NoMonth {
        /// Which table.
        table: &'static str,
    },
    /// The calendar has no such nights.
    #[error("the nights of {year} cannot be worked out; expected a year from 1950 to 2100")]
    NoNights {
        /// As asked.
        year: i16,
    },
    /// The mosaic is out of all reason.
    #[error(transparent)]
    Panels(#[from] MosaicError),
    /// It was told to stop.
    #[error("it was stopped")]
    Stopped,
}

/// Works a table out; `go_on` is told now and then how far it is, and says whether to go on.
///
/// # Errors
/// [`TableError`]: what is missing, or that it was stopped.
pub fn work_out(
    question: &TableQuestion,
    catalogue: &Catalogue,
    go_on: &mut dyn FnMut(f32) -> bool,
) -> Result<Table, TableError> {
    use TableName as T;
    let asked = Asked { question, catalogue };
    let kit = &question.kit;
    let rows = match question.table {
        T::Rigs => rigs::rows(kit),
        T::Fits => fits::rows(kit, catalogue),
        T::Frames => {
            let (name, target) = asked.target()?;
            frames::rows(kit, name, &target)
        }
        T::Panels => {
            let (name, target) = asked.target()?;
            panels::rows(kit, &asked.rig()?, name, &target)?
        }
        T::Year => year::rows(kit, catalogue, &asked.year(go_on)?),
        T::Nights => {
            let (name, target) = asked.target()?;
            nights::rows(&asked.year(go_on)?, name, &target)
        }
        T::Night => {
            let (clock, night, evening) = asked.night()?;
            night::rows(kit, catalogue, &clock, &night, evening)
        }
        T::Season => asked.season(go_on)?,
        T::Bodies => {
            let (_, night, evening) = asked.night()?;
            bodies::rows(kit, &night, evening)
        }
        T::Demands | T::Grades => {
            let target = asked.target_if_named()?;
            let target = target.as_ref().map(|(name, target)| (*name, target));
            match question.table {
                T::Demands => demands::rows(kit, target),
                _ => grades::rows(kit, target),
            }
        }
        T::Comparison | T::Ranges | T::Coverage | T::Findings => asked.choice(go_on)?,
        T::Wishes => wishes::rows(kit, catalogue),
        T::Costs => costs::rows(kit),
        T::Checklist => checklist::rows(kit),
    };
    if !go_on(1.0) {
        return Err(TableError::Stopped);
    }
    Ok(Table { name: question.table, columns: question.table.columns(), rows })
}

/// A question with the catalogue at hand.
struct Asked<'a> {
    question: &'a TableQuestion,
    catalogue: &'a Catalogue,
}

impl<'a> Asked<'a> {
    fn table(&self) -> &'static str {
        self.question.table.key()
    }

    fn target_if_named(&self) -> Result<Option<(&'a str, Target)>, TableError> {
        let Some(name) = self.question.target.as_deref() else { return Ok(None) };
        find_target(&self.question.kit, name, self.catalogue)
            .map(|target| Some((name, target)))
            .ok_or_else(|| TableError::UnknownTarget { name: name.to_owned() })
    }

    fn target(&self) -> Result<(&'a str, Target), TableError> {
        self.target_if_named()?.ok_or(TableError::NoTarget { table: self.table() })
    }

    /// The place of the named rig; the first where none is named.
    fn rig_place(&self) -> Result<usize, TableError> {
        let Some(name) = self.question.rig.as_deref() else { return Ok(0) };
        let place = self.question.kit.rigs.iter().position(|rig| rig.name == name);
        place.ok_or_else(|| TableError::UnknownRig { name: name.to_owned() })
    }

    fn rig(&self) -> Result<ResolvedRig<'a>, TableError> {
        if self.question.rig.is_none() {
            return Err(TableError::NoRig { table: self.table() });
        }
        let place = self.rig_place()?;
        self.question.kit.resolve(place).ok_or(TableError::NoRig { table: self.table() })
    }

    fn night(&self) -> Result<(SiteClock, fieldstop::Night, Date), TableError> {
        let evening = self.question.evening.ok_or(TableError::NoEvening { table: self.table() })?;
        let clock = SiteClock::of(&self.question.kit.site);
        let night = clock.night(evening).ok_or(TableError::NoNights { year: evening.year() })?;
        Ok((clock, night, evening))
    }

    /// The nights of the year: nine tenths of the work, as far as anybody is told.
    fn year(&self, go_on: &mut dyn FnMut(f32) -> bool) -> Result<SiteYear, TableError> {
        let year = self.question.year;
        let mut stopped = false;
        let nights = SiteYear::work_out(&self.question.kit.site, year, &mut |share| {
            let goes_on = go_on(0.9 * share);
            stopped = !goes_on;
            goes_on
        });
        nights.ok_or(if stopped { TableError::Stopped } else { TableError::NoNights { year } })
    }

    fn season(&self, go_on: &mut dyn FnMut(f32) -> bool) -> Result<Vec<Vec<Cell>>, TableError> {
        let rig = self.rig()?;
        let asked = self.question.season.ok_or(TableError::NoMonth { table: self.table() })?;
        let nights = self.year(go_on)?;
        let kit = &self.question.kit;
        let mut late = |share: f32| go_on(0.9 + 0.1 * share);
        let rows = season::season_rows(&nights, self.catalogue, kit, &rig, asked, &mut late)
            .ok_or(TableError::Stopped)?;
        let (name, year) = (rig.rig.name.as_str(), self.question.year);
        Ok(rows.iter().map(|row| season::cells(row, name, year, asked.month)).collect())
    }

    fn choice(&self, go_on: &mut dyn FnMut(f32) -> bool) -> Result<Vec<Vec<Cell>>, TableError> {
        let chosen = self.rig_place()?;
        let kit = &self.question.kit;
        let choice = choose::choice_of(kit, self.catalogue, chosen, &self.year(go_on)?);
        let rig = kit.rigs.get(chosen).map(|rig| rig.name.as_str());
        Ok(match self.question.table {
            TableName::Comparison => comparison::rows(&choice, &kit.limits.currency),
            TableName::Ranges => ranges::rows(&choice, rig),
            TableName::Coverage => coverage::rows(&choice, rig),
            _ => findings::rows(&choice),
        })
    }
}
