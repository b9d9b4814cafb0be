//! The focal ladder under the sky: the shortlist's rigs, and how far the chosen target stays whole.

use egui::Ui;
use fieldstop::kit::{Kit, Scope};

use crate::action::{Action, Queue};
use crate::paint::screen;
use crate::scene::palette::Palette;
use crate::scene::style::rig_style;
use crate::state::{Figures, Workspace};
use crate::widget::{LadderBar, LadderHandle, focal_ladder};

/// Shows the ladder and does what is done to it.
pub fn ui(
    ui: &mut Ui,
    kit: &mut Kit,
    figures: &Figures,
    workspace: &Workspace,
    queue: &mut Queue,
    lifted: &mut Option<usize>,
    palette: &Palette,
) {
    let shown: Vec<usize> =
        (0..figures.rigs.len().min(kit.rigs.len())).filter(|&rig| kit.rigs[rig].shown).collect();
    let handles: Vec<LadderHandle> = shown
        .iter()
        .map(|&rig| {
            let mark = kit.mark_of(rig);
            LadderHandle {
                name: kit.rigs[rig].name.clone(),
                focal_length_mm: figures.rigs[rig].focal_length_mm,
                colour: screen::colour(palette.rig(mark)),
                dash: rig_style(mark).dash,
                chosen: workspace.rig == rig,
            }
        })
        .collect();
    let bar = bar(kit, figures, workspace);
    let response = focal_ladder(ui, &handles, bar.as_ref());
    let rig_of = |handle: usize| shown.get(handle).copied();
    if let Some((rig, mm)) = response.moved_mm.and_then(|(handle, mm)| Some((rig_of(handle)?, mm)))
    {
        let scope = if workspace.change_for_all { Scope::AllRigs } else { Scope::ThisRig };
        kit.set_focal_length(rig, mm, scope);
    }
    if let Some(rig) = response.chosen.and_then(rig_of) {
        queue.push(Action::ChooseRig(rig));
    }
    if let Some(rig) = response.hovered.and_then(rig_of) {
        *lifted = Some(rig);
    }
}

/// How far the chosen target stays whole with the chosen rig's camera: fill grows with the length.
fn bar(kit: &Kit, figures: &Figures, workspace: &Workspace) -> Option<LadderBar> {
    let chosen = figures.target.as_ref()?;
    let fill = chosen.fits.get(workspace.rig)?.fill?;
    let focal_length_mm = figures.rigs.get(workspace.rig)?.focal_length_mm;
    let touches_mm = focal_length_mm / fill;
    Some(LadderBar {
        name: chosen.target.name.clone(),
        whole_to_mm: touches_mm * kit.limits.whole_fill,
        fits_to_mm: touches_mm,
    })
}
