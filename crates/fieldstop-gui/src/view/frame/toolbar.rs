//! The two lines above the sky: what the target is, and what can be done with the frames.

use egui::{RichText, Ui};
use fieldstop::Angle;
use fieldstop::range::POSITION_ANGLE;

use super::{FrameInput, pointer};
use crate::action::{Action, Queue, with_tip};
use crate::sky::catalogue::Target;
use crate::widget::NumberField;
use crate::words;

/// Shows both lines.
///
/// `drawing` is whether the outline is being drawn.
pub(super) fn ui(ui: &mut Ui, input: &mut FrameInput<'_>, drawing: bool) {
    egui::Frame::new().inner_margin(egui::Margin::symmetric(8, 5)).show(ui, |ui| {
        target_line(ui, input, drawing);
        ui.horizontal_wrapped(|ui| {
            rotation_field(ui, input);
            let spills = input.figures.spills(input.workspace.rig);
            let aimed = input.figures.target.is_some() && !input.kit.rigs.is_empty();
            input.queue.button(ui, Action::BestFraming, aimed);
            ui.checkbox(&mut input.workspace.together, "Together")
                .on_hover_text("Turning or moving one frame does the same to every other frame");
            ui.separator();
            layers(ui, input);
            input.queue.button(ui, Action::ShowPanels, spills);
            ui.separator();
            zoom(ui, input);
        });
    });
}

fn zoom(ui: &mut Ui, input: &mut FrameInput<'_>) {
    for (text, action) in [("−", Action::ZoomOut), ("+", Action::ZoomIn)] {
        let response = ui.button(text).on_hover_text(action.label());
        if crate::widget::named(response, action.label()).clicked() {
            input.queue.push(action);
        }
    }
    let any = input.figures.target.is_some();
    input.queue.button(ui, Action::ZoomToFrames, any);
}

fn target_line(ui: &mut Ui, input: &mut FrameInput<'_>, drawing: bool) {
    let Some(chosen) = &input.figures.target else {
        ui.label("No target chosen. Pick one from the wish list, or find one there.");
        return;
    };
    let target = &chosen.target;
    ui.horizontal(|ui| {
        ui.strong(target.title());
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            outline_button(ui, input.queue, drawing);
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                ui.add(egui::Label::new(RichText::new(facts(target)).weak()).truncate())
                    .on_hover_text(caveats(target));
            });
        });
    });
}

/// Stays pressed while the outline is being drawn.
fn outline_button(ui: &mut Ui, queue: &mut Queue, drawing: bool) {
    let action = Action::DrawOutline;
    let button = egui::Button::new(action.label()).selected(drawing);
    if with_tip(ui.add(button), &action).clicked() {
        queue.push(action);
    }
}

/// What is known of a target, in one line.
pub(crate) fn facts(target: &Target) -> String {
    let mut facts = vec![target.kind.label().to_owned()];
    facts.push(words::target_size(target.major_arcmin, target.minor_arcmin, target.size_uncertain));
    if let Some(drawn) = &target.drawn {
        facts.push(words::drawn_outline(drawn));
    }
    if let Some(magnitude) = target.magnitude {
        let about = if target.magnitude_assumed { "about " } else { "" };
        facts.push(format!("{about}mag {magnitude:.1}"));
    }
    if let Some(brightness) = target.surface_brightness_mag_arcsec2 {
        facts.push(format!("{brightness:.1} mag/arcsec²"));
    }
    facts.push(target.constellation_abbreviation().to_owned());
    facts.join("  ·  ")
}

fn caveats(target: &Target) -> String {
    let mut lines = Vec::new();
    if target.shape().is_none() {
        lines.push("The catalogue gives no size, so nothing can be said about how it fits.");
    }
    if target.drawn.is_some() {
        lines.push("Fill, rotation and panels are for the outline that you drew.");
    }
    if target.size_uncertain {
        lines.push("Its size is uncertain: faint edges, or sources that disagree.");
    }
    if target.magnitude_assumed {
        lines.push("V was worked out from B with a usual colour.");
    }
    if !target.note.is_empty() {
        lines.push(&target.note);
    }
    if lines.is_empty() {
        lines.push("Size, magnitude and surface brightness as catalogued.");
    }
    lines.join("\n")
}

fn rotation_field(ui: &mut Ui, input: &mut FrameInput<'_>) {
    let rig = input.workspace.rig;
    let Some(frame) = input.figures.target.as_ref().and_then(|chosen| chosen.frames.get(rig))
    else {
        return;
    };
    let shown = (frame.rotation.wrapped().deg() * 10.0).round() / 10.0 % 360.0;
    let field = NumberField::new("Rotation", "°", POSITION_ANGLE).compact().tip(
        "Position angle of the frame's up direction, from north through east. \
         On the sky: drag the ring above the frame, or use the arrow keys.",
    );
    if let Some(deg) = field.show(ui, shown) {
        pointer::turn(input, rig, Angle::from_deg(deg));
    }
}

fn layers(ui: &mut Ui, input: &mut FrameInput<'_>) {
    ui.menu_button("Layers", |ui| {
        let layers = &mut input.workspace.layers;
        ui.checkbox(&mut layers.grid, "Grid of right ascension and declination");
        ui.checkbox(&mut layers.catalogue, "Other catalogue objects");
        ui.checkbox(&mut layers.panels, "Mosaic panels of the chosen rig");
        ui.separator();
        input.queue.menu_item(ui, Action::ShowPicture, true);
    });
}
