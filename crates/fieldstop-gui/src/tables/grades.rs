//! How every figure of every rig is marked, and why it is missing where it is.

use fieldstop::demands::Figure;
use fieldstop::kit::Kit;

use super::demands::{rig_demands, standing, value};
use super::{Cell, Column, column};
use crate::demand_words;
use crate::sky::catalogue::Target;
use crate::view::demands::groups::GROUPS;

pub(super) fn columns() -> Vec<Column> {
    vec![
        column("rig", "", "name of the rig"),
        column("target", "", "that the figures are for; empty for the zenith"),
        column("group", "", "heading in the Demands view"),
        column("figure", "", "heading in the table of demands"),
        column("label", "", "what the view calls it"),
        column("reads", "", "figure with its unit, rounded as the view shows it"),
        column("mark", "", "good, doubtful or bad; empty where the figure is neither"),
        column("why_unknown", "", "why there is no figure"),
        column("rule", "", "what the figure rests on"),
    ]
}

pub(super) fn rows(kit: &Kit, target: Option<(&str, &Target)>) -> Vec<Vec<Cell>> {
    let standing = standing(kit, target.map(|(_, target)| target));
    let mut rows = Vec::new();
    for rig in rig_demands(kit, target.map(|(_, target)| target), standing) {
        for (group, &figure) in
            GROUPS.iter().flat_map(|group| group.figures.iter().map(move |figure| (group, figure)))
        {
            let known = value(&rig, figure, standing)
                .and_then(|_| demand_words::cell(&rig.demands, figure, &kit.limits.currency));
            let mark = known.is_ok().then(|| rig.demands.grade(figure, &kit.limits)).flatten();
            rows.push(row(rig.name, target.map(|(name, _)| name), group.name, figure, known, mark));
        }
    }
    rows
}

fn row(
    rig: &str,
    target: Option<&str>,
    group: &str,
    figure: Figure,
    known: Result<String, String>,
    mark: Option<fieldstop::demands::Graded>,
) -> Vec<Cell> {
    let (reads, why) = match known {
        Ok(text) => (text.into(), Cell::Empty),
        Err(why) => (Cell::Empty, why.into()),
    };
    vec![
        rig.into(),
        target.into(),
        group.into(),
        figure.key().into(),
        figure.label().into(),
        reads,
        mark.map(|mark| mark.grade.label()).into(),
        why,
        figure.rule().source.into(),
    ]
}
