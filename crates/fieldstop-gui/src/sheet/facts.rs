//! Everything a sheet says, worked out once: the window's own figures, the year, the choice.

use std::collections::HashSet;

use fieldstop::choice::{Choice, Wanted, choice};
use fieldstop::demands::Conditions;
use fieldstop::kit::{ChecklistItem, Kit};

use super::{SheetError, SheetOptions};
use crate::nights::{MONTHS, MonthHours, SiteYear, TargetYear};
use crate::panel_count::{self, PanelCount};
use crate::sky::Sky;
use crate::sky::catalogue::Target;
use crate::state::demand_target::Standing;
use crate::state::demands::RigDemands;
use crate::state::figures::{RigFigures, TargetFigures, WishFigures};
use crate::state::wanted::wanted;
use crate::state::{DemandFigures, DemandInput, Figures, WhatIf};

/// A target of the wish list through the year.
pub struct Wished {
    /// As the wish list has it.
    pub name: String,
    /// The same with what else it is called behind it.
    pub title: String,
    /// The same with one such name only, the one that people say.
    pub short_title: String,
    /// Its hours.
    pub year: TargetYear,
}

/// What a sheet says, before any of it is written or drawn.
pub struct Facts {
    /// The kit that it is about.
    pub kit: Kit,
    /// The year that nights were worked out for.
    pub year: i16,
    /// The rig whose camera and aperture the ladder stands for.
    pub chosen: usize,
    /// One a rig of the shortlist.
    pub rigs: Vec<RigFigures>,
    /// The target that is framed.
    pub framed: TargetFigures,
    /// One a rig: how many panels the framed target takes.
    pub panels: Vec<PanelCount>,
    /// The targets of the wish list, as places on the sky.
    pub wishes: Vec<Target>,
    /// The same through the year, in the wish list's order.
    pub wished: Vec<Wished>,
    /// Dark hours of the site, month by month.
    pub dark: [MonthHours; MONTHS],
    /// Why there is no astronomical night at times, where that is so.
    pub no_dark: Option<String>,
    /// Ranges, verdicts, findings.
    pub choice: Choice,
    /// One a rig, for the framed target.
    pub demands: Vec<RigDemands>,
    /// Where in the sky those figures are for.
    pub standing: Standing,
    /// What a first rig still lacks.
    pub checklist: Vec<ChecklistItem>,
}

impl Facts {
    /// Works everything out. `progress` is told the share done and answers whether to go on.
    pub(super) fn work_out(
        kit: &Kit,
        sky: &Sky,
        options: &SheetOptions,
        progress: &mut dyn FnMut(f32) -> bool,
    ) -> Result<Self, SheetError> {
        let name = framed_name(kit, options)?;
        let mut figures = Figures::default();
        figures.update(kit, Some(name), &sky.catalogue);
        let Figures { rigs, wishes, target, .. } = figures;
        let framed = target.ok_or_else(|| SheetError::Target { found: name.to_owned() })?;
        let mut share = |done: f32| progress(0.6 * done);
        let nights = match SiteYear::work_out(&kit.site, options.year, &mut share) {
            Some(nights) => nights,
            None if progress(0.6) => return Err(SheetError::Year { year: options.year }),
            None => return Err(SheetError::Stopped),
        };
        if !progress(0.6) {
            return Err(SheetError::Stopped);
        }
        let overlap = kit.limits.overlap;
        let fits = rigs.iter().zip(&framed.fits);
        let panels = fits
            .map(|(rig, fit)| panel_count::searched(fit, &framed.target, &rig.field, overlap))
            .collect();
        let (wishes, wished, wanted) = wish_list(kit, wishes, &nights);
        let conditions = Conditions::at_zenith(&kit.site);
        let choice = choice(kit, options.chosen, &wanted, &kit.criteria(), &conditions);
        if !progress(0.8) {
            return Err(SheetError::Stopped);
        }
        let mut asked = DemandFigures::default();
        asked.update(&DemandInput {
            kit,
            target: Some(&framed.target),
            wishes: &[],
            what_if: WhatIf::default(),
            chosen: options.chosen,
            open: &HashSet::new(),
        });
        let standing = asked.standing();
        let DemandFigures { rigs: demands, checklist, .. } = asked;
        Ok(Self {
            kit: kit.clone(),
            year: options.year,
            chosen: options.chosen,
            rigs,
            framed,
            panels,
            wishes,
            wished,
            dark: nights.dark_months(),
            no_dark: nights.no_dark_words(),
            choice,
            demands,
            standing,
            checklist,
        })
    }
}

/// The target to frame: the one asked for, else the first of the wish list.
fn framed_name<'a>(kit: &'a Kit, options: &'a SheetOptions) -> Result<&'a str, SheetError> {
    let first = kit.wish_list.first().map(fieldstop::kit::Wish::name);
    let wanted = options.target.as_deref().or(first);
    match (kit.rigs.is_empty(), wanted) {
        (true, None) => Err(SheetError::Empty),
        (true, Some(_)) => Err(SheetError::NoRigs),
        (false, None) => Err(SheetError::NoTargets),
        (false, Some(name)) => Ok(name),
    }
}

/// The wish list's targets: on the sky, through the year, and as the choice wants them.
fn wish_list(
    kit: &Kit,
    figures: Vec<WishFigures>,
    nights: &SiteYear,
) -> (Vec<Target>, Vec<Wished>, Vec<Wanted>) {
    let (mut places, mut years, mut list) = (Vec::new(), Vec::new(), Vec::new());
    for (wish, known) in kit.wish_list.iter().zip(figures) {
        let Some(target) = known.target else { continue };
        let name = wish.name().to_owned();
        let year = TargetYear::of(nights, &name, target.place);
        list.push(wanted(kit, &name, &target, year.total.dark));
        let (title, short_title) = (target.title(), target.short_title());
        years.push(Wished { name, title, short_title, year });
        places.push(target);
    }
    (places, years, list)
}
