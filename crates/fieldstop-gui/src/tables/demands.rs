//! What every rig asks for, and the one place that says when a figure has no value.

use fieldstop::Angle;
use fieldstop::demands::{Demands, Figure, Value, demands};
use fieldstop::kit::Kit;

use super::rigs::resolved;
use super::{Cell, Column, column};
use crate::sky::catalogue::Target;
use crate::state::WhatIf;
use crate::state::demand_target::{Standing, demand_target};

/// Why there is no figure for a target that stays below the horizon.
const NEVER_RISES: &str = "the target never rises at this site";

/// A rig's name and figures.
pub struct RigDemands<'a> {
    /// As the kit has it.
    pub name: &'a str,
    /// Every figure.
    pub demands: Demands,
}

/// Where in the sky the figures are for: the target's highest place, or the zenith without one.
pub fn standing(kit: &Kit, target: Option<&Target>) -> Standing {
    target
        .map_or(Standing::Zenith, |target| Standing::of(Angle::from_deg(target.dec_deg), &kit.site))
}

/// The figures of every rig.
pub fn rig_demands<'a>(
    kit: &'a Kit,
    target: Option<&Target>,
    standing: Standing,
) -> Vec<RigDemands<'a>> {
    let conditions = WhatIf::default().conditions(&kit.site, standing);
    let target = target.map(demand_target);
    resolved(kit)
        .into_iter()
        .map(|rig| RigDemands {
            name: &rig.rig.name,
            demands: demands(&rig, &kit.site, &kit.limits, target.as_ref(), &conditions),
        })
        .collect()
}

/// Whether a figure depends on where the target stands in the sky.
fn needs_place(figure: Figure) -> bool {
    !matches!(
        figure,
        Figure::FocalLength
            | Figure::FocalRatio
            | Figure::ClearArea
            | Figure::TNumber
            | Figure::Rayleigh
            | Figure::Dawes
            | Figure::PlanetaryFocalRatio
            | Figure::BarlowFactor
            | Figure::Unguided
            | Figure::MassOnMount
            | Figure::PayloadUsed
            | Figure::TubeMoment
            | Figure::HeaviestPiece
            | Figure::Carry
            | Figure::ImageCircleOk
            | Figure::LitShare
            | Figure::Spacer
            | Figure::CornerComa
            | Figure::DepthOfFocus
            | Figure::Price
            | Figure::ChecklistPrice
    )
}

/// A figure of a rig.
///
/// # Errors
/// The reason why there is none.
pub fn value(rig: &RigDemands<'_>, figure: Figure, standing: Standing) -> Result<Value, String> {
    if standing == Standing::NeverRises && needs_place(figure) {
        return Err(NEVER_RISES.to_owned());
    }
    rig.demands.value(figure).map_err(|why| why.to_string())
}

/// A figure's unit as a table spells it, in plain letters.
fn unit(figure: Figure) -> &'static str {
    match figure.unit() {
        "cm²" => "cm2",
        "kg m²" => "kg m2",
        "µm" => "um",
        // Shares and counts are plain numbers.
        "of the FWHM" | "of the rated payload" | "of its area" | "elements" | "x" => "",
        _ if matches!(figure, Figure::Price | Figure::ChecklistPrice) => "of the currency",
        unit => unit,
    }
}

pub(super) fn columns() -> Vec<Column> {
    let mut columns = vec![
        column("rig", "", "name of the rig"),
        column("target", "", "that the figures are for; empty for the zenith"),
    ];
    let figures = Figure::ALL.iter();
    columns.extend(figures.map(|&figure| column(figure.key(), unit(figure), figure.label())));
    columns.push(column("currency", "", "of the prices"));
    columns
}

pub(super) fn rows(kit: &Kit, target: Option<(&str, &Target)>) -> Vec<Vec<Cell>> {
    let standing = standing(kit, target.map(|(_, target)| target));
    let row = |rig: RigDemands<'_>| {
        let mut row = vec![rig.name.into(), target.map(|(name, _)| name).into()];
        row.extend(Figure::ALL.iter().map(|&figure| match value(&rig, figure, standing) {
            Ok(Value::Number(number)) => number.into(),
            Ok(Value::Word(word)) => word.into(),
            Ok(Value::Flag(flag)) => flag.into(),
            Err(_) => Cell::Empty,
        }));
        row.push(kit.limits.currency.as_str().into());
        row
    };
    let rigs = rig_demands(kit, target.map(|(_, target)| target), standing);
    rigs.into_iter().map(row).collect()
}
