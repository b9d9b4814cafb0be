//! What a sketch says of each rig: its frame on the target, and its figures in words.

use fieldstop::kit::Kit;
use fieldstop::panel_search::PanelPlan;
use fieldstop::shape::fit_shape;
use fieldstop::{Field, Fit, Frame};

use super::{SketchError, SketchOptions};
use crate::framing::{aimed, lit_radius};
use crate::panel_count::{self, PanelCount, can_be_listed};
use crate::scene::DrawnFrame;
use crate::sky::catalogue::Target;
use crate::words;

/// A rig as the sketch shows it.
pub(super) struct SketchedRig {
    pub(super) drawn: DrawnFrame,
    pub(super) focal_length: String,
    pub(super) focal_ratio: String,
    pub(super) field: String,
    pub(super) pixel_scale: String,
    pub(super) fill: String,
    pub(super) verdict: String,
    /// Whether the target has a size, so that there is a fill.
    pub(super) has_size: bool,
}

/// The rigs that were asked for, in the shortlist's order.
pub(super) fn rigs(
    kit: &Kit,
    target: &Target,
    options: &SketchOptions,
) -> Result<Vec<SketchedRig>, SketchError> {
    if let Some(found) =
        options.rigs.iter().find(|name| kit.rigs.iter().all(|rig| rig.name != **name))
    {
        let known = kit.rigs.iter().map(|rig| rig.name.clone()).collect();
        return Err(SketchError::Rig { found: found.clone(), known });
    }
    let wanted: Vec<usize> = (0..kit.rigs.len())
        .filter(|place| {
            kit.rigs.get(*place).is_some_and(|rig| {
                if options.rigs.is_empty() { rig.shown } else { options.rigs.contains(&rig.name) }
            })
        })
        .collect();
    // Panels of several rigs over each other could not be told apart.
    let with_panels = wanted.len() == 1;
    let names = [options.target.as_str(), target.name.as_str()];
    Ok(wanted.into_iter().filter_map(|place| rig(kit, place, target, names, with_panels)).collect())
}

fn rig(
    kit: &Kit,
    place: usize,
    target: &Target,
    names: [&str; 2],
    with_panels: bool,
) -> Option<SketchedRig> {
    let resolved = kit.resolve(place)?;
    let field = resolved.field();
    let shape = target.shape();
    let limits = &kit.limits;
    let fit = fit_shape(shape.as_ref(), &field, limits.whole_fill, limits.overlap);
    let name = &resolved.rig.name;
    let aim = names.into_iter().find_map(|target| kit.aim(name, target));
    let plan = panel_plan(target, &fit, &field, limits.overlap);
    let count =
        plan.as_ref().map_or_else(|| PanelCount::of_fit(&fit, shape.as_ref()), PanelCount::from);
    let panels = plan.filter(|_| with_panels && aim.is_none()).map(|plan| plan.panels);
    let mut frame = aimed(target, aim, field);
    // Parallel to the panel under it, so that the two do not cross.
    let under = panels.iter().flatten().min_by(|a, b| {
        let far = |panel: &Frame| panel.centre.separation(frame.centre).rad();
        far(a).total_cmp(&far(b))
    });
    frame.rotation = under.map_or(frame.rotation, |panel| panel.rotation);
    let drawn = DrawnFrame {
        name: name.clone(),
        frame,
        mark: kit.mark_of(place),
        lines: Vec::new(),
        panels: panels.unwrap_or_default(),
        lit_radius: lit_radius(&resolved),
        lifted: false,
        chosen: false,
    };
    Some(SketchedRig {
        drawn,
        focal_length: words::focal_length(resolved.focal_length_mm()),
        focal_ratio: words::focal_ratio(resolved.focal_ratio()),
        field: words::field(field.width(), field.height()),
        pixel_scale: words::pixel_scale(resolved.pixel_scale()),
        fill: fit.fill.map_or_else(|| "–".to_owned(), words::three_digits),
        verdict: verdict_text(&fit, count),
        has_size: fit.fill.is_some(),
    })
}

/// The fewest panels of a target that spills; none where they are too many to be looked for.
fn panel_plan(target: &Target, fit: &Fit, field: &Field, overlap: f64) -> Option<PanelPlan> {
    let plan = can_be_listed(fit).then(|| panel_count::fewest(target, field, overlap).ok());
    plan.flatten()
}

fn verdict_text(fit: &Fit, panels: PanelCount) -> String {
    let verdict = fit.verdict.word();
    panels.words().map_or_else(|| verdict.to_owned(), |panels| format!("{verdict}: {panels}"))
}
