//! How every target of the wish list fits every rig.

use fieldstop::Angle;
use fieldstop::demands::detail_of;
use fieldstop::fit::{Fit, Verdict};
use fieldstop::kit::{Kit, Wish};
use fieldstop::rig::ResolvedRig;
use fieldstop::shape::fit_shape;
use serde::Serialize;

use super::rigs::resolved;
use super::{Cell, Column, column};
use crate::sky::catalogue::{Catalogue, Target};
use crate::sky::wish::target_named;
use crate::state::WhatIf;
use crate::state::demand_target::{Standing, demand_target};

/// A target in a rig, with the keys of the command line's JSON.
#[derive(Serialize)]
pub struct FitRow<'a> {
    /// As the kit has it.
    pub rig: &'a str,
    /// As the kit has it.
    pub target: &'a str,
    /// 1 touches the frame's edge.
    pub fill: Option<f64>,
    /// Position angle of the frame's up direction.
    pub best_rotation_deg: Option<f64>,
    /// In a word.
    pub verdict: &'static str,
    /// Of a plain grid.
    pub panels_across: Option<u32>,
    /// Of a plain grid.
    pub panels_down: Option<u32>,
    /// What the figures above are taken from.
    #[serde(skip)]
    pub fit: Fit,
}

impl<'a> FitRow<'a> {
    /// Of a target in a rig.
    pub fn of(kit: &Kit, rig: &ResolvedRig<'a>, wish: &'a Wish, target: &Target) -> Self {
        let limits = &kit.limits;
        let fit: Fit =
            fit_shape(target.shape().as_ref(), &rig.field(), limits.whole_fill, limits.overlap);
        let size_known = fit.verdict != Verdict::SizeUnknown;
        Self {
            rig: &rig.rig.name,
            target: wish.name(),
            fill: fit.fill,
            best_rotation_deg: size_known.then(|| fit.best_rotation.deg()),
            verdict: fit.verdict.word(),
            panels_across: fit.panels.map(|(across, _)| across),
            panels_down: fit.panels.map(|(_, down)| down),
            fit,
        }
    }
}

pub(super) fn columns() -> Vec<Column> {
    vec![
        column("target", "", "name of the target"),
        column("rig", "", "name of the rig"),
        column(
            "fill",
            "",
            "size of the outline relative to the frame at its best rotation; 1 touches the edge",
        ),
        column("verdict", "", "whole, tight, spills or size unknown"),
        column(
            "best_rotation_deg",
            "deg",
            "position angle of the frame's up direction, north through east",
        ),
        column("panels_across", "", "panels of a plain grid, across"),
        column("panels_down", "", "panels of a plain grid, down"),
        column("detail", "", "delivered star widths across the target where it is highest"),
    ]
}

pub(super) fn rows(kit: &Kit, catalogue: &Catalogue) -> Vec<Vec<Cell>> {
    let rigs = resolved(kit);
    let mut rows = Vec::new();
    for wish in &kit.wish_list {
        let Some(target) = target_named(kit, wish.name(), catalogue) else { continue };
        for rig in &rigs {
            let row = FitRow::of(kit, rig, wish, &target);
            rows.push(vec![
                row.target.into(),
                row.rig.into(),
                row.fill.into(),
                row.verdict.into(),
                row.best_rotation_deg.into(),
                row.panels_across.into(),
                row.panels_down.into(),
                detail(kit, rig, &target).into(),
            ]);
        }
    }
    rows
}

/// Resolution elements across a target as high in the sky as it gets, as the Demands view has them.
fn detail(kit: &Kit, rig: &ResolvedRig<'_>, target: &Target) -> Option<f64> {
    let standing = Standing::of(Angle::from_deg(target.dec_deg), &kit.site);
    if standing == Standing::NeverRises {
        return None;
    }
    let conditions = WhatIf::default().conditions(&kit.site, standing);
    detail_of(rig, Some(&demand_target(target)), &conditions).ok()
}
