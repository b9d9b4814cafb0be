//! The demand figures of every rig, recomputed when kit, target or what is tried out changes.

use std::collections::{HashMap, HashSet};

use fieldstop::cost::{self, PricedPart};
use fieldstop::demands::{
    Conditions, Demands, Figure, Graded, Sensitivity, demands, detail_of, sensitivity,
};
use fieldstop::kit::{ChecklistItem, Kit};
use fieldstop::{Angle, ResolvedRig};

use super::charts::{Chart, charts};
use super::demand_target::{Standing, demand_target};
use super::figures::WishFigures;
use super::here::here;
use super::mending::{Trouble, troubles};
use super::what_if::WhatIf;
use crate::sky::catalogue::Target;

/// What one rig demands.
pub struct RigDemands {
    /// Its name.
    pub name: String,
    /// Its line style.
    pub mark: u8,
    /// Every figure.
    pub demands: Demands,
    /// How far the figures move with the sky.
    pub sensitivity: Sensitivity,
    /// What it costs, part by part.
    pub bill: Vec<PricedPart>,
    grades: HashMap<Figure, Graded>,
}

impl RigDemands {
    /// The grade of a figure, if it has one.
    pub fn grade(&self, figure: Figure) -> Option<Graded> {
        self.grades.get(&figure).copied()
    }
}

/// Resolution elements across one target of the wish list.
pub struct WishDetail {
    /// The target.
    pub name: String,
    /// One a rig; none where the size is unknown or the target never rises.
    pub elements: Vec<Option<f64>>,
}

/// What a row shows once it is opened.
pub struct Opened {
    /// What the figure says of the chosen rig, in a sentence or two.
    pub here: Option<String>,
    /// What is doubtful or bad, and what would mend it.
    pub troubles: Vec<Trouble>,
    /// Plots that explain it.
    pub charts: Vec<Chart>,
}

/// What was computed from.
#[derive(Clone, PartialEq)]
struct Inputs {
    kit: Kit,
    target: Option<String>,
    what_if: WhatIf,
}

/// What was computed, and from what.
#[derive(Default)]
pub struct DemandFigures {
    inputs: Option<Inputs>,
    chosen: usize,
    standing: Option<Standing>,
    conditions: Option<Conditions>,
    /// One a rig.
    pub rigs: Vec<RigDemands>,
    /// One a wish.
    pub details: Vec<WishDetail>,
    /// What a first rig still lacks.
    pub checklist: Vec<ChecklistItem>,
    opened: HashMap<Figure, Opened>,
}

/// What the figures are asked for.
pub struct DemandInput<'a> {
    /// Rigs, site and limits.
    pub kit: &'a Kit,
    /// The chosen target.
    pub target: Option<&'a Target>,
    /// The wish list.
    pub wishes: &'a [WishFigures],
    /// What is tried out.
    pub what_if: WhatIf,
    /// The chosen rig.
    pub chosen: usize,
    /// The rows that are open.
    pub open: &'a HashSet<Figure>,
}

impl DemandFigures {
    /// Brings the figures up to date; does nothing while all it is asked for is the same.
    pub fn update(&mut self, input: &DemandInput<'_>) {
        let is_current = self.inputs.as_ref().is_some_and(|known| {
            known.what_if == input.what_if
                && known.target.as_deref() == input.target.map(|target| target.name.as_str())
                && known.kit == *input.kit
        });
        if !is_current {
            self.compute(input);
        }
        if !is_current || self.chosen != input.chosen {
            self.opened.clear();
            self.chosen = input.chosen;
        }
        self.open(input);
    }

    /// Where in the sky the figures are for.
    pub fn standing(&self) -> Standing {
        self.standing.unwrap_or(Standing::Zenith)
    }

    /// The conditions that the figures are for, once there are any.
    pub fn conditions(&self) -> Option<&Conditions> {
        self.conditions.as_ref()
    }

    /// What an open row shows.
    pub fn opened(&self, figure: Figure) -> Option<&Opened> {
        self.opened.get(&figure)
    }

    fn compute(&mut self, input: &DemandInput<'_>) {
        let (kit, site) = (input.kit, &input.kit.site);
        let standing = input
            .target
            .map_or(Standing::Zenith, |target| Standing::of(Angle::from_deg(target.dec_deg), site));
        let conditions = input.what_if.conditions(site, standing);
        self.rigs = (0..kit.rigs.len())
            .filter_map(|rig| Some((rig, kit.resolve(rig)?)))
            .map(|(place, rig)| rig_demands(kit, place, &rig, input.target, standing, &conditions))
            .collect();
        self.details = input
            .wishes
            .iter()
            .zip(&kit.wish_list)
            .map(|(wish, entry)| WishDetail {
                name: entry.name().to_owned(),
                elements: details(input, wish.target.as_ref()),
            })
            .collect();
        self.checklist = cost::checklist(&kit.limits);
        self.standing = Some(standing);
        self.conditions = Some(conditions);
        self.inputs = Some(Inputs {
            kit: kit.clone(),
            target: input.target.map(|target| target.name.clone()),
            what_if: input.what_if,
        });
    }

    /// Computes what open rows show and was not computed yet.
    fn open(&mut self, input: &DemandInput<'_>) {
        self.opened.retain(|figure, _| input.open.contains(figure));
        let Some(conditions) = self.conditions else { return };
        for &figure in input.open {
            if self.opened.contains_key(&figure) {
                continue;
            }
            let opened = Opened {
                here: here(figure, input.kit, &self.rigs, input.chosen),
                troubles: troubles(figure, input.kit, &self.rigs),
                charts: charts(figure, input.kit, &self.rigs, input.chosen, &conditions),
            };
            self.opened.insert(figure, opened);
        }
    }
}

fn rig_demands(
    kit: &Kit,
    place: usize,
    rig: &ResolvedRig<'_>,
    target: Option<&Target>,
    standing: Standing,
    conditions: &Conditions,
) -> RigDemands {
    let target = target.filter(|_| standing != Standing::NeverRises).map(demand_target);
    let (site, limits) = (&kit.site, &kit.limits);
    let figures = demands(rig, site, limits, target.as_ref(), conditions);
    let grades = Figure::ALL
        .iter()
        .filter_map(|&figure| Some((figure, figures.grade(figure, limits)?)))
        .collect();
    RigDemands {
        name: rig.rig.name.clone(),
        mark: kit.mark_of(place),
        sensitivity: sensitivity(rig, site, limits, target.as_ref(), conditions),
        demands: figures,
        bill: cost::bill(rig),
        grades,
    }
}

/// Resolution elements across a target in every rig, each as high in the sky as it gets.
fn details(input: &DemandInput<'_>, target: Option<&Target>) -> Vec<Option<f64>> {
    let (kit, site) = (input.kit, &input.kit.site);
    let rigs = (0..kit.rigs.len()).filter_map(|rig| kit.resolve(rig));
    let Some(target) = target.map(demand_target) else {
        return rigs.map(|_| None).collect();
    };
    let standing = Standing::of(target.declination, site);
    if standing == Standing::NeverRises {
        return rigs.map(|_| None).collect();
    }
    let conditions = input.what_if.conditions(site, standing);
    rigs.map(|rig| detail_of(&rig, Some(&target), &conditions).ok()).collect()
}
