//! What a sketch says of each rig: its frame on the target, and its figures in words.

use fieldstop::fit::fit;
use fieldstop::kit::Kit;
use fieldstop::mosaic;
use fieldstop::{Fit, Verdict};

use super::SketchError;
use crate::framing::{aimed, lit_radius};
use crate::scene::DrawnFrame;
use crate::sky::catalogue::Target;
use crate::words;

/// More panels than this are not drawn one by one.
const MOST_DRAWN_PANELS: u32 = 400;

/// A rig as the sketch shows it.
pub(crate) struct SketchedRig {
    pub(crate) drawn: DrawnFrame,
    pub(crate) focal_length: String,
    pub(crate) focal_ratio: String,
    pub(crate) field: String,
    pub(crate) pixel_scale: String,
    pub(crate) fill: String,
    pub(crate) verdict: String,
    /// Whether the target has a size, so that there is a fill.
    pub(crate) has_size: bool,
}

/// The rigs that were asked for, in the shortlist's order; every shown one if none is named.
pub(crate) fn rigs(
    kit: &Kit,
    target: &Target,
    asked_as: &str,
    named: &[String],
) -> Result<Vec<SketchedRig>, SketchError> {
    let wanted = wanted(kit, named)?;
    // Panels of several rigs over each other could not be told apart.
    let with_panels = wanted.len() == 1;
    let names = [asked_as, target.name.as_str()];
    Ok(wanted.into_iter().filter_map(|place| rig(kit, place, target, names, with_panels)).collect())
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

/// A rig on a target that is known by one of two names.
pub(crate) fn rig(
    kit: &Kit,
    place: usize,
    target: &Target,
    names: [&str; 2],
    with_panels: bool,
) -> Option<SketchedRig> {
    let resolved = kit.resolve(place)?;
    let field = resolved.field();
    let outline = target.outline.as_ref();
    let fit = fit(outline, &field, kit.limits.whole_fill, kit.limits.overlap);
    let name = &resolved.rig.name;
    let aim = names.into_iter().find_map(|target| kit.aim(name, target));
    let panels = match (aim, fit.panels) {
        (None, Some((across, down)))
            if with_panels
                && fit.verdict == Verdict::Spills
                && across.saturating_mul(down) <= MOST_DRAWN_PANELS =>
        {
            let overlap = kit.limits.overlap;
            mosaic::panels(target.place, outline, &field, overlap).unwrap_or_default()
        }
        _ => Vec::new(),
    };
    let mut frame = aimed(target, aim, field);
    // One of the mosaic's frames, so that it lies parallel to its neighbours.
    if let Some(plan) = outline.filter(|_| !panels.is_empty()) {
        let plan = mosaic::plan(plan, &field, kit.limits.overlap);
        frame.rotation = plan.map_or(frame.rotation, |plan| plan.rotation);
    }
    let drawn = DrawnFrame {
        name: name.clone(),
        frame,
        mark: kit.mark_of(place),
        lines: Vec::new(),
        panels,
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
        verdict: verdict_text(&fit),
        has_size: fit.fill.is_some(),
    })
}

fn verdict_text(fit: &Fit) -> String {
    match fit.panels {
        Some((across, down)) if fit.verdict == Verdict::Spills => {
            format!("{}: {across} × {down} panels", fit.verdict.word())
        }
        _ => fit.verdict.word().to_owned(),
    }
}
