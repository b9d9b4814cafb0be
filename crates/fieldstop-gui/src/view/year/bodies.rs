//! Moon and planets as targets: how many pixels each rig gives them on this evening.

use egui::{Color32, Pos2, RichText, Sense, Ui, Vec2};
use fieldstop::Body;

use super::{YearInput, caution};
use crate::nights::BodyNight;
use crate::paint::screen;
use crate::state::NightFigures;
use crate::words;

/// Room for a disc, drawn at one point a pixel.
const DISC_PT: Vec2 = Vec2::new(58.0, 44.0);

/// Shows the table.
pub(super) fn ui(ui: &mut Ui, night: &NightFigures, input: &YearInput<'_>) {
    ui.label(
        RichText::new(
            "Discs are drawn at one point a pixel, as large as your picture would show them before \
             any enlargement. A corrector counts: a Barlow makes them larger.",
        )
        .weak(),
    );
    egui::ScrollArea::horizontal().show(ui, |ui| {
        egui::Grid::new("bodies").striped(true).spacing([14.0, 3.0]).show(ui, |ui| {
            headings(ui, input);
            for body in &night.bodies {
                row(ui, night, body, input);
            }
        });
    });
    if night.bodies.iter().any(|body| body.caution.is_some()) {
        ui.add_space(4.0);
        caution::ui(ui, night.bodies.iter().find_map(|body| body.caution));
    }
}

fn headings(ui: &mut Ui, input: &YearInput<'_>) {
    for text in ["", "Diameter", "Lit", "Up after sunset"] {
        ui.label(RichText::new(text).weak());
    }
    for (rig, entry) in input.kit.rigs.iter().enumerate() {
        let corrector = input.kit.resolve(rig).and_then(|rig| rig.corrector);
        let scale =
            input.figures.rigs.get(rig).map(|figures| words::pixel_scale(figures.pixel_scale));
        let tip = match corrector {
            Some(part) => format!("{}\nwith {} (×{})", entry.name, part.name, part.factor),
            None => entry.name.clone(),
        };
        ui.vertical(|ui| {
            ui.set_width(DISC_PT.x + 30.0);
            ui.add(egui::Label::new(RichText::new(&entry.name).small()).truncate())
                .on_hover_text(tip);
            ui.label(RichText::new(scale.unwrap_or_default()).weak().small());
            if let Some(part) = corrector {
                let text = format!("× {}", words::three_digits(part.factor));
                ui.label(RichText::new(text).weak().small());
            }
        });
    }
    ui.end_row();
}

fn row(ui: &mut Ui, night: &NightFigures, body: &BodyNight, input: &YearInput<'_>) {
    let mut name = RichText::new(body.body.name());
    if body.caution.is_some() {
        name = RichText::new(format!("{} (caution)", body.body.name()))
            .color(ui.visuals().warn_fg_color);
    }
    let label = ui.label(name);
    if let Some(why) = body.caution {
        label.on_hover_text(words::sun_caution(why));
    }
    ui.label(words::span(body.diameter));
    ui.label(format!("{:.0} %", body.phase.lit_fraction * 100.0));
    ui.label(up_words(night, body));
    for (rig, entry) in input.kit.rigs.iter().enumerate() {
        let Some(figures) = input.figures.rigs.get(rig) else { continue };
        let pixels = body.diameter.rad() / figures.pixel_scale.rad();
        let whole = body.diameter <= figures.field.height().min(figures.field.width());
        let colour = screen::colour(input.palette.rig(input.kit.mark_of(rig)));
        ui.horizontal(|ui| {
            disc(ui, pixels, colour);
            let text = pixel_words(pixels, whole);
            let spoken = format!("{} with {}: {text}", body.body.name(), entry.name);
            let label = ui.label(RichText::new(text).small());
            crate::widget::named(label, spoken);
        });
    }
    ui.end_row();
}

fn up_words(night: &NightFigures, body: &BodyNight) -> String {
    if body.body == Body::Sun {
        return "by day only".to_owned();
    }
    match (body.up.start(), body.up.end(), body.highest) {
        (Some(start), Some(end), Some((_, altitude))) => format!(
            "{} to {}, {:.0}° high",
            night.clock.time(start),
            night.clock.time(end),
            night.air.apparent_altitude(altitude).deg()
        ),
        _ => "not above your limit".to_owned(),
    }
}

/// Pixels across a disc, in words that say what it amounts to.
fn pixel_words(pixels: f64, whole: bool) -> String {
    let count = words::three_digits(pixels);
    if !whole {
        format!("{count} px, spills")
    } else if pixels < 3.0 {
        format!("{count} px, a point")
    } else {
        format!("{count} px")
    }
}

/// A disc of that many points across, cut where it is larger than its room.
fn disc(ui: &mut Ui, pixels: f64, colour: Color32) {
    let (rect, _) = ui.allocate_exact_size(DISC_PT, Sense::hover());
    let painter = ui.painter_at(rect);
    let radius = (pixels / 2.0) as f32;
    if radius * 2.0 <= DISC_PT.y {
        painter.circle_filled(rect.center(), radius.max(0.5), colour);
        return;
    }
    // Too large for its room: its lower edge as it would stand there, at the same scale.
    let centre = Pos2::new(rect.center().x, rect.bottom() - 4.0 - radius.min(4000.0));
    painter.circle_filled(centre, radius.min(4000.0), colour);
    painter.rect_stroke(
        rect,
        0.0,
        egui::Stroke::new(1.0, ui.visuals().weak_text_color()),
        egui::StrokeKind::Inside,
    );
}
