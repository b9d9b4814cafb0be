//! The year at the site: its nights, the wish list's hours in them, and what else is in season.
//!
//! Each is worked out on a thread of its own when its question changes, and kept: nights by site
//! and year, hours by nights and targets, the season by nights and what is looked for.

use std::collections::HashMap;
use std::sync::Arc;

use fieldstop::kit::{Kit, Site};
use fieldstop::{Direction, Icrs};

use super::figures::Figures;
use super::worked::Worked;
use crate::nights::in_season::InSeason;
use crate::nights::{SeasonQuestion, SiteYear, TargetYear, in_season};
use crate::sky::Sky;

/// What the nights depend on: the year, and of a site its place, its clock and its skyline.
#[derive(Clone, Debug, PartialEq)]
struct NightsQuestion {
    year: i16,
    place: (f64, f64, f64),
    time_zone: String,
    lowest_altitude_deg: f64,
    horizon: Vec<(f64, f64)>,
}

impl NightsQuestion {
    fn of(site: &Site, year: i16) -> Self {
        Self {
            year,
            place: (site.latitude_deg, site.longitude_deg, site.elevation_m),
            time_zone: site.time_zone.clone(),
            lowest_altitude_deg: site.lowest_altitude_deg,
            horizon: site.horizon.clone(),
        }
    }
}

/// The targets asked about, by name and place.
type Wanted = Vec<(String, Direction<Icrs>)>;

/// The year as far as it is known.
#[derive(Default)]
pub struct YearFigures {
    nights: Worked<NightsQuestion, SiteYear>,
    /// By name, since every row of a long list asks in every frame.
    targets: Worked<Wanted, HashMap<String, TargetYear>>,
    season: Worked<SeasonQuestion, Vec<InSeason>>,
}

impl YearFigures {
    /// Brings it up to date; starts work where a question has changed.
    pub fn update(
        &mut self,
        kit: &Kit,
        figures: &Figures,
        year: i16,
        season: Option<SeasonQuestion>,
        sky: &Arc<Sky>,
        ctx: &egui::Context,
    ) {
        self.ask_nights(&kit.site, year, ctx);
        self.nights.collect();
        self.targets.collect();
        self.season.collect();
        let Some(nights) = self.nights.answer().cloned() else { return };
        self.ask_targets(wanted(kit, figures), &nights, ctx);
        if let Some(question) = season {
            self.ask_season(question, &nights, sky, ctx);
        }
        if self.progress().is_some() {
            ctx.request_repaint_after(std::time::Duration::from_millis(100));
        }
    }

    fn ask_nights(&mut self, site: &Site, year: i16, ctx: &egui::Context) {
        let question = NightsQuestion::of(site, year);
        if self.nights.is_asked(&question) {
            return;
        }
        // Hours of other nights are wrong here, so nothing of them is shown meanwhile.
        self.nights.forget();
        self.targets.forget();
        self.season.forget();
        let site = site.clone();
        self.nights.ask(question, "Working out the nights of the year", ctx, move |progress| {
            SiteYear::work_out(&site, year, &mut |share| progress.report(share))
        });
    }

    fn ask_targets(&mut self, wanted: Wanted, nights: &Arc<SiteYear>, ctx: &egui::Context) {
        if self.targets.is_asked(&wanted) {
            return;
        }
        let (nights, asked) = (nights.clone(), wanted.clone());
        self.targets.ask(wanted, "Working out the hours of the targets", ctx, move |progress| {
            let mut found = HashMap::with_capacity(asked.len());
            for (name, place) in &asked {
                if !progress.report(found.len() as f32 / asked.len() as f32) {
                    return None;
                }
                found.insert(name.clone(), TargetYear::of(&nights, name, *place));
            }
            Some(found)
        });
    }

    fn ask_season(
        &mut self,
        question: SeasonQuestion,
        nights: &Arc<SiteYear>,
        sky: &Arc<Sky>,
        ctx: &egui::Context,
    ) {
        if self.season.is_asked(&question) {
            return;
        }
        // Another month's objects under this month's name would be wrong.
        self.season.forget();
        let (nights, sky) = (nights.clone(), sky.clone());
        self.season.ask(question, "Looking through the catalogue", ctx, move |progress| {
            let mut go_on = |share| progress.report(share);
            in_season(&nights, &sky.catalogue, question, &mut go_on)
        });
    }

    /// The nights of the year.
    pub fn nights(&self) -> Option<&SiteYear> {
        self.nights.answer().map(Arc::as_ref)
    }

    /// The same, to be kept or handed to a thread.
    pub fn shared_nights(&self) -> Option<&Arc<SiteYear>> {
        self.nights.answer()
    }

    /// A target's year, by name.
    pub fn target(&self, name: &str) -> Option<&TargetYear> {
        self.targets.answer()?.get(name)
    }

    /// What is in season, in the catalogue's order.
    pub fn season(&self) -> Option<&Arc<Vec<InSeason>>> {
        self.season.answer()
    }

    /// What is being worked out and how far it is.
    pub fn progress(&self) -> Option<(&str, f32)> {
        self.nights.progress().or(self.targets.progress()).or(self.season.progress())
    }

    /// Stops what is being worked out.
    pub fn stop(&self) {
        self.nights.stop();
        self.targets.stop();
        self.season.stop();
    }

    /// Forgets everything, so that it is worked out again.
    pub fn start_again(&mut self) {
        self.nights.forget();
        self.targets.forget();
        self.season.forget();
    }
}

/// The wish list's targets, and the chosen one if it is none of them.
fn wanted(kit: &Kit, figures: &Figures) -> Wanted {
    let chosen = figures.target.as_ref().map(|chosen| &chosen.target);
    let mut wanted: Wanted = kit
        .wish_list
        .iter()
        .zip(&figures.wishes)
        .filter_map(|(wish, row)| Some((wish.name().to_owned(), row.target.as_ref()?.place)))
        .collect();
    if let Some(chosen) = chosen
        && !wanted.iter().any(|(name, _)| *name == chosen.name)
    {
        wanted.push((chosen.name.clone(), chosen.place));
    }
    wanted
}
