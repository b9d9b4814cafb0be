//! Moon and planets as targets: how many pixels each rig gives them on this evening.

use egui::{Color32, RichText, Role, Sense, Ui, Vec2, WidgetInfo};
use fieldstop::Body;

use super::YearInput;
use crate::nights::BodyNight;
use crate::paint::screen;
use crate::state::NightFigures;
use crate::widget::scrolled_in;
use crate::words;

/// Room for a disc, drawn at one point a pixel.
const DISC_PT: Vec2 = Vec2::new(64.0, 34.0);
const NAME_PT: f32 = 148.0;
const DIAMETER_PT: f32 = 62.0;
const GAP_PT: f32 = 8.0;

/// Shows the table.
pub(super) fn ui(ui: &mut Ui, night: &NightFigures, input: &YearInput<'_>) {
    ui.label(
        RichText::new(
            "Discs at one point a pixel, as large as a picture shows them before any enlargement; a ring where that is more than its room. A \
             corrector counts: a Barlow makes them larger.",
        )
        .weak(),
    );
    sun_caution(ui, &night.bodies);
    if input.kit.rigs.is_empty() {
        ui.label("No rig yet: add a candidate to the shortlist to see discs in its pixels.");
    }
    let left = ui.available_width() - NAME_PT - DIAMETER_PT - 2.0 * GAP_PT;
    let column_pt = (left / input.kit.rigs.len().max(1) as f32 - GAP_PT).clamp(DISC_PT.x, 120.0);
    scrolled_in(ui, "bodies", egui::ScrollArea::horizontal(), |ui| {
        egui::Grid::new("bodies").striped(true).spacing([GAP_PT, 2.0]).show(ui, |ui| {
            headings(ui, column_pt, input);
            for body in &night.bodies {
                row(ui, night, body, input);
            }
        });
    });
}

/// The warning, with the names of those it is about.
fn sun_caution(ui: &mut Ui, bodies: &[BodyNight]) {
    let near: Vec<&BodyNight> = bodies.iter().filter(|body| body.caution.is_some()).collect();
    let Some(caution) = near.first().and_then(|body| body.caution) else { return };
    let names: Vec<&str> = near.iter().map(|body| body.body.name()).collect();
    let text = format!("Caution, {}: {}", names.join(", "), words::sun_caution(caution));
    ui.label(RichText::new(text).color(ui.visuals().warn_fg_color));
}

/// A cell of two lines, the second quiet.
fn two_lines(ui: &mut Ui, width: f32, first: RichText, second: String) -> egui::Response {
    ui.vertical(|ui| {
        ui.set_width(width);
        ui.spacing_mut().item_spacing.y = 1.0;
        let label = ui.add(egui::Label::new(first).truncate());
        ui.label(RichText::new(second).weak().small());
        label
    })
    .inner
}

fn headings(ui: &mut Ui, column_pt: f32, input: &YearInput<'_>) {
    ui.label("");
    ui.label(RichText::new("Diameter").weak());
    for (rig, entry) in input.kit.rigs.iter().enumerate() {
        let scale = input.figures.rigs.get(rig).map(|figures| figures.pixel_scale);
        let factor = input.kit.resolve(rig).and_then(|rig| rig.corrector);
        let enlarged = factor
            .filter(|part| part.factor > 1.0)
            .map(|part| format!(", ×{}", words::three_digits(part.factor)))
            .unwrap_or_default();
        let second = scale.map(words::pixel_scale).unwrap_or_default() + &enlarged;
        let tip = match factor {
            Some(part) => format!("{}\nwith {}", entry.name, part.name),
            None => entry.name.clone(),
        };
        two_lines(ui, column_pt, RichText::new(&entry.name).small(), second).on_hover_text(tip);
    }
    ui.end_row();
}

fn row(ui: &mut Ui, night: &NightFigures, body: &BodyNight, input: &YearInput<'_>) {
    let mut name = RichText::new(body.body.name());
    if body.caution.is_some() {
        name = name.color(ui.visuals().warn_fg_color);
    }
    let label = two_lines(ui, NAME_PT, name, up_words(night, body));
    if let Some(why) = body.caution {
        label.on_hover_text(words::sun_caution(why));
    }
    let lit = format!("{:.0} % lit", body.phase.lit_fraction * 100.0);
    two_lines(ui, DIAMETER_PT, RichText::new(words::span(body.diameter)), lit);
    for (rig, entry) in input.kit.rigs.iter().enumerate() {
        let Some(figures) = input.figures.rigs.get(rig) else { continue };
        let pixels = body.diameter.rad() / figures.pixel_scale.rad();
        let whole = body.diameter <= figures.field.height().min(figures.field.width());
        let colour = screen::colour(input.palette.rig(input.kit.mark_of(rig)));
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            disc(ui, pixels, colour);
            let text = pixel_words(pixels, whole);
            let spoken = format!("{} with {}: {text}", body.body.name(), entry.name);
            let label = ui.label(RichText::new(text).small());
            label.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
        });
    }
    ui.end_row();
}

fn up_words(night: &NightFigures, body: &BodyNight) -> String {
    if body.body == Body::Sun {
        return "up by day only".to_owned();
    }
    match (body.up.start(), body.up.end(), body.highest) {
        (Some(start), Some(end), Some(altitude)) => format!(
            "{} to {}, {:.0}° high",
            night.clock.time(start),
            night.clock.time(end),
            night.air.apparent_altitude(altitude).deg()
        ),
        _ => "not above your limit".to_owned(),
    }
}

/// Pixels across a disc, and whether the frame is too small for it.
fn pixel_words(pixels: f64, whole: bool) -> String {
    let count = words::three_digits(pixels);
    if whole { format!("{count} px") } else { format!("{count} px, spills") }
}

/// A disc of that many points across; a ring where it is larger than its room.
fn disc(ui: &mut Ui, pixels: f64, colour: Color32) {
    let (rect, _) = ui.allocate_exact_size(DISC_PT, Sense::hover());
    let painter = ui.painter_at(rect);
    let radius = (pixels / 2.0) as f32;
    if radius * 2.0 <= DISC_PT.y {
        painter.circle_filled(rect.center(), radius.max(0.5), colour);
        return;
    }
    let ring = DISC_PT.y / 2.0 - 1.5;
    painter.circle_stroke(rect.center(), ring, egui::Stroke::new(1.5, colour));
}
