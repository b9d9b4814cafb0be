//! Two rigs on the same target: at one scale, at one printed size, and all that differs.

use egui::{ComboBox, Pos2, Rect, Role, Sense, Stroke, TextStyle, Ui, Vec2, WidgetInfo};
use fieldstop::Field;
use fieldstop::choice::{RigChoice, Wanted};
use fieldstop::findings::{Finding, face_to_face};
use fieldstop::kit::Kit;
use fieldstop::shape::{Shape, fit_shape};

use super::cells::panels_of;
use super::{ChooseInput, ChooseView};
use crate::action::Action;
use crate::paint::screen;
use crate::scene::style::rig_style;
use crate::state::ChoiceAnswer;
use crate::widget::{Thumb, finding_ui, named, rig_line};
use crate::words;

/// Of a picture, and of the rig's name above it.
const HEIGHT: f32 = 158.0;
const CAPTION: f32 = 18.0;

/// Shows the page.
pub(super) fn ui(
    ui: &mut Ui,
    view: &mut ChooseView,
    answer: &ChoiceAnswer,
    input: &mut ChooseInput<'_>,
) {
    let rigs = &answer.choice.rigs;
    let Some(a) = rigs.iter().position(|rig| rig.rig == input.workspace.rig) else { return };
    if rigs.len() < 2 {
        ui.label("Two rigs are needed: add another candidate to the shortlist.");
        return;
    }
    let known = view.against.as_ref().and_then(|n| rigs.iter().position(|rig| rig.name == *n));
    let b = known.filter(|&b| b != a).unwrap_or_else(|| other_than(a, answer));
    choose_two(ui, view, answer, a, b, input);
    let (Some(first), Some(second)) = (rigs.get(a), rigs.get(b)) else { return };
    pictures(ui, [first, second], answer, input);
    ui.add_space(6.0);
    ui.strong("What differs");
    differences(ui, answer, first, second);
    ui.add_space(6.0);
    ui.strong("Count by count");
    let findings: Vec<Finding> = face_to_face(&answer.choice, &answer.criteria, a, b);
    for finding in &findings {
        finding_ui(ui, finding, &mut view.open);
    }
}

/// The rig that serves most, or else the first of the others.
fn other_than(a: usize, answer: &ChoiceAnswer) -> usize {
    answer.choice.best_rig.filter(|&best| best != a).unwrap_or(usize::from(a == 0))
}

fn choose_two(
    ui: &mut Ui,
    view: &mut ChooseView,
    answer: &ChoiceAnswer,
    a: usize,
    b: usize,
    input: &mut ChooseInput<'_>,
) {
    let rigs = &answer.choice.rigs;
    let name = |place: usize| rigs.get(place).map_or("", |rig| rig.name.as_str());
    ui.horizontal_wrapped(|ui| {
        let combo = ComboBox::from_id_salt("first rig").width(190.0).selected_text(name(a));
        let combo = combo.show_ui(ui, |ui| {
            for (place, rig) in rigs.iter().enumerate() {
                if ui.selectable_label(place == a, &rig.name).clicked() {
                    input.queue.push(Action::ChooseRig(rig.rig));
                    if place == b {
                        view.against = Some(name(a).to_owned());
                    }
                }
            }
        });
        named(combo.response, "First rig");
        ui.weak("against");
        let combo = ComboBox::from_id_salt("second rig").width(190.0).selected_text(name(b));
        let combo = combo.show_ui(ui, |ui| {
            for (_, rig) in rigs.iter().enumerate().filter(|&(place, _)| place != a) {
                ui.selectable_value(&mut view.against, Some(rig.name.clone()), &rig.name);
            }
        });
        named(combo.response, "Second rig");
        match &input.figures.target {
            Some(target) => ui.weak(format!("on {}", target.target.name)),
            None => ui.weak("choose a target on the right to see it in both"),
        };
    });
}

/// Both frames at one scale above, both printed equally wide below.
fn pictures(ui: &mut Ui, rigs: [&RigChoice; 2], answer: &ChoiceAnswer, input: &ChooseInput<'_>) {
    let Some(target) = input.figures.target.as_ref().map(|chosen| &chosen.target) else { return };
    let Some(outline) = target.shape() else {
        ui.label(format!("The catalogue gives no size for {}.", target.name));
        return;
    };
    let fields = rigs.map(|rig| answer.kit.resolve(rig.rig).map(|rig| rig.field()));
    let [Some(one), Some(other)] = fields else { return };
    let fields = [one, other];
    let room = Vec2::new((ui.available_width() - 12.0) / 2.0, HEIGHT - CAPTION);
    let thumbs = [0, 1].map(|k| picture(rigs[k], &fields[k], &outline, answer, input));
    let one_scale = thumbs.iter().map(|thumb| thumb.scale_in(room)).fold(f64::INFINITY, f64::min);
    ui.weak("At the same scale: how much sky each takes");
    row(ui, room, rigs, thumbs, [one_scale; 2], answer, &target.name);
    ui.weak("Printed to the same width: how large the target comes out in each");
    let widest =
        thumbs.iter().map(|thumb| width_of_print(thumb, room)).fold(f64::INFINITY, f64::min);
    let scales = thumbs.map(|thumb| widest / (2.0 * thumb.field.half_width));
    row(ui, room, rigs, thumbs, scales, answer, &target.name);
}

/// How wide a frame can be printed, so that it and the target have room.
fn width_of_print(thumb: &Thumb<'_>, room: Vec2) -> f64 {
    let sides = thumb.field.half_height / thumb.field.half_width;
    let most = f64::from(room.x - 8.0).min(f64::from(room.y - 8.0) / sides);
    most.max(1.0)
}

fn picture<'a>(
    rig: &RigChoice,
    field: &'a Field,
    outline: &'a Shape,
    answer: &ChoiceAnswer,
    input: &ChooseInput<'_>,
) -> Thumb<'a> {
    let limits = &answer.kit.limits;
    let rotation = fit_shape(Some(outline), field, limits.whole_fill, limits.overlap).best_rotation;
    let mark = answer.kit.mark_of(rig.rig);
    let frame_colour = screen::colour(input.palette.rig(mark));
    Thumb { field, outline, rotation, frame_colour }
}

fn row(
    ui: &mut Ui,
    room: Vec2,
    rigs: [&RigChoice; 2],
    thumbs: [Thumb<'_>; 2],
    scales: [f64; 2],
    answer: &ChoiceAnswer,
    target: &str,
) {
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), HEIGHT), Sense::hover());
    for (k, (rig, (thumb, scale))) in rigs.iter().zip(thumbs.iter().zip(scales)).enumerate() {
        let left = rect.left() + (room.x + 12.0) * k as f32;
        let place = Rect::from_min_size(Pos2::new(left, rect.top()), Vec2::new(room.x, HEIGHT));
        let id = ui.make_persistent_id(("picture", k, rect.top().to_bits()));
        let response = ui.interact(place, id, Sense::hover());
        let beyond = thumb.outline_is_beyond();
        let told = format!(
            "{target} in {}: frame {} points wide, target {} points long{}",
            rig.name,
            (2.0 * thumb.field.half_width * scale).round(),
            (2.0 * (thumb.outline.major() / 2.0).rad().tan() * scale).round(),
            if beyond { "; it is larger than the frame all round" } else { "" }
        );
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &told));
        ui.painter().rect_filled(place, 3.0, ui.visuals().extreme_bg_color);
        let below = Rect::from_min_max(place.min + Vec2::new(0.0, CAPTION), place.max);
        thumb.paint(ui, below, scale);
        if beyond {
            let frame_pt = (2.0 * thumb.field.half_width * scale) as f32;
            larger_ui(ui, below, frame_pt.min(below.width()));
        }
        let mark = answer.kit.mark_of(rig.rig);
        let at = place.min + Vec2::new(6.0, 9.0);
        let dash = rig_style(mark).dash;
        rig_line(ui.painter(), at, at + Vec2::new(26.0, 0.0), thumb.frame_colour, dash, 2.0);
        let font = TextStyle::Small.resolve(ui.style());
        let ink = ui.visuals().text_color();
        let beside = at + Vec2::new(31.0, 0.0);
        ui.painter().text(beside, egui::Align2::LEFT_CENTER, &rig.name, font, ink);
        let edge = Stroke::new(1.0, ui.visuals().faint_bg_color);
        ui.painter().rect_stroke(place, 3.0, edge, egui::StrokeKind::Inside);
    }
}

/// Says in an empty frame why it is empty.
fn larger_ui(ui: &Ui, place: Rect, width: f32) {
    let font = TextStyle::Small.resolve(ui.style());
    let words = "the target is larger than the frame".to_owned();
    let galley = ui.painter().layout(words, font, ui.visuals().text_color(), width - 8.0);
    let at = place.center() - galley.size() / 2.0;
    let ground = Rect::from_min_size(at, galley.size()).expand(2.0);
    ui.painter().rect_filled(ground, 2.0, ui.visuals().extreme_bg_color);
    ui.painter().galley(at, galley, ui.visuals().text_color());
}

/// Parts and figures of two rigs, those that differ only.
fn differences(ui: &mut Ui, answer: &ChoiceAnswer, first: &RigChoice, second: &RigChoice) {
    let rows = facts(answer, first).into_iter().zip(facts(answer, second));
    egui::Grid::new("differences").num_columns(3).spacing([16.0, 3.0]).striped(true).show(
        ui,
        |ui| {
            ui.label("");
            ui.strong(&first.name);
            ui.strong(&second.name);
            ui.end_row();
            for ((label, one), (_, other)) in rows.filter(|((_, one), (_, other))| one != other) {
                ui.label(label);
                ui.label(one);
                ui.label(other);
                ui.end_row();
            }
        },
    );
}

/// What can be said of a rig, line by line.
fn facts(answer: &ChoiceAnswer, rig: &RigChoice) -> Vec<(&'static str, String)> {
    let Some(resolved) = answer.kit.resolve(rig.rig) else { return Vec::new() };
    let field = resolved.field();
    let tally = |count: u32| format!("{count} of {}", answer.wanted.len());
    vec![
        ("OTA", resolved.ota.name.clone()),
        ("Corrector", resolved.corrector.map_or("none".to_owned(), |part| part.name.clone())),
        ("Camera", resolved.camera.name.clone()),
        ("Mount", resolved.mount.name.clone()),
        ("Focal length", words::focal_length(resolved.focal_length_mm())),
        ("Focal ratio", words::focal_ratio(resolved.focal_ratio())),
        ("Field of view", words::field(field.width(), field.height())),
        ("Pixel scale", words::pixel_scale(resolved.pixel_scale())),
        ("Whole", tally(rig.whole)),
        ("Tight", tally(rig.tight)),
        ("Spills", tally(rig.spills)),
        ("Small", tally(rig.small)),
        ("Served", tally(rig.served.count)),
    ]
}

/// How a target sits in a rig, in words.
pub(super) fn cell_words(
    input: &ChooseInput<'_>,
    kit: &Kit,
    wanted: &Wanted,
    rig: &RigChoice,
    place: usize,
) -> String {
    rig.cells.get(place).map_or_else(String::new, |cell| {
        let small = if cell.small { ", small" } else { "" };
        let panels = panels_of(input, kit, wanted, rig.rig, &cell.fit);
        format!("{}{small}", words::fit(&cell.fit, panels))
    })
}
