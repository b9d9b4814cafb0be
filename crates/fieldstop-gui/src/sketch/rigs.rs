//! What a sketch says of each rig: its frame on the target, and its figures in words.

use fieldstop::kit::Kit;
use fieldstop::panel_search::PanelPlan;
use fieldstop::shape::fit_shape;
use fieldstop::{Field, Fit, Frame};

use super::SketchError;
use crate::framing::{aim_on, aimed, lit_radius};
use crate::panel_count::{self, PanelCount, can_be_listed};
use crate::scene::DrawnFrame;
use crate::sky::catalogue::Target;
use crate::words;

/// A rig as the sketch shows it.
pub(crate) struct SketchedRig {
    pub(crate) drawn: DrawnFrame,
    pub(crate) focal_length: String,
    pub(crate) focal_ratio: String,
    pub(crate) field: String,
    pub(crate) pixel_scale: String,
    pub(crate) fill: String,
    pub(crate) verdict: String,
    /// Fill, where the target has a size, and verdict: `fill 0.74, whole`.
    pub(crate) fit: String,
}

/// The rigs that were asked for, in the shortlist's order; every shown one if none is named.
pub(crate) fn rigs(
    kit: &Kit,
    target: &Target,
    named: &[String],
) -> Result<Vec<SketchedRig>, SketchError> {
    let wanted = wanted(kit, named)?;
    // Panels of several rigs over each other could not be told apart.
    let with_panels = wanted.len() == 1;
    Ok(wanted.into_iter().filter_map(|place| rig(kit, place, target, with_panels)).collect())
}

/// The places in the shortlist of the rigs named, or of the shown ones.
pub(crate) fn wanted(kit: &Kit, named: &[String]) -> Result<Vec<usize>, SketchError> {
    if let Some(found) = named.iter().find(|name| kit.rigs.iter().all(|rig| rig.name != **name)) {
        let known = kit.rigs.iter().map(|rig| rig.name.clone()).collect();
        return Err(SketchError::Rig { found: found.clone(), known });
    }
    let is_wanted = |rig: &fieldstop::kit::Rig| {
        if named.is_empty() { rig.shown } else { named.contains(&rig.name) }
    };
    let places = kit.rigs.iter().enumerate();
    Ok(places.filter(|(_, rig)| is_wanted(rig)).map(|(place, _)| place).collect())
}

/// A rig on a target.
pub(crate) fn rig(
    kit: &Kit,
    place: usize,
    target: &Target,
    with_panels: bool,
) -> Option<SketchedRig> {
    let resolved = kit.resolve(place)?;
    let field = resolved.field();
    let shape = target.shape();
    let limits = &kit.limits;
    let fit = fit_shape(shape.as_ref(), &field, limits.whole_fill, limits.overlap);
    let name = &resolved.rig.name;
    let aim = aim_on(kit, name, target);
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
        fill: fit.fill.map_or_else(|| "–".to_owned(), words::fill),
        verdict: words::verdict(fit.verdict, count),
        fit: words::fit(&fit, count),
    })
}

/// The fewest panels of a target that spills; none where they are too many to be looked for.
fn panel_plan(target: &Target, fit: &Fit, field: &Field, overlap: f64) -> Option<PanelPlan> {
    let plan = can_be_listed(fit).then(|| panel_count::fewest(target, field, overlap).ok());
    plan.flatten()
}
