//! The focal lengths at which the mount cannot guide, or a longer one gains nothing: hatched, and
//! explained in words.

use egui::{Painter, Pos2, Rect, RichText, Sense, Stroke, Ui, Vec2};
use fieldstop::range::LADDER_MM;

use crate::state::ChoiceAnswer;
use crate::state::choice::NOTHING_GAINED;
use crate::widget::LogAxis;
use crate::words;

/// Which way the lines of a hatching lean.
#[derive(Clone, Copy)]
enum Hatch {
    Rising,
    Falling,
}

const SPACING: f32 = 9.0;

/// Hatches what of a place lies in the regions.
pub(super) fn paint(ui: &Ui, place: Rect, axis: LogAxis, answer: &ChoiceAnswer) {
    for (from_mm, hatch) in [
        (answer.guiding_fails_from_mm, Hatch::Rising),
        (answer.nothing_gained_from_mm, Hatch::Falling),
    ] {
        let Some(from_mm) = from_mm.filter(|&mm| mm < LADDER_MM.most) else { continue };
        let left = axis.x(from_mm);
        let region =
            Rect::from_min_max(Pos2::new(left, place.min.y), Pos2::new(axis.right, place.max.y));
        let painter = ui.painter_at(region.intersect(ui.clip_rect()));
        hatched(&painter, region, hatch, ui.visuals().weak_text_color().gamma_multiply(0.28));
        let edge = Stroke::new(1.0, ui.visuals().weak_text_color().gamma_multiply(0.7));
        ui.painter_at(place.intersect(ui.clip_rect())).vline(left, place.y_range(), edge);
    }
}

fn hatched(painter: &Painter, region: Rect, hatch: Hatch, ink: egui::Color32) {
    let height = region.height();
    let stroke = Stroke::new(1.0, ink);
    // Lines start at whole steps of the page, so that one region's go on in the next one's below.
    let first = ((region.min.x - height) / SPACING).floor() as i32;
    let last = (region.max.x / SPACING).ceil() as i32;
    for step in first..=last {
        let x = step as f32 * SPACING;
        let (top, bottom) = match hatch {
            Hatch::Rising => (x + height, x),
            Hatch::Falling => (x, x + height),
        };
        painter
            .line_segment([Pos2::new(top, region.min.y), Pos2::new(bottom, region.max.y)], stroke);
    }
}

/// A share in whole per cent.
fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

/// Says what the hatchings mean here.
pub(super) fn words_ui(ui: &mut Ui, answer: &ChoiceAnswer) {
    line(ui, Some(Hatch::Rising), guiding_words(answer));
    line(ui, Some(Hatch::Falling), seeing_words(answer));
    line(ui, None, aperture_words(answer));
}

fn line(ui: &mut Ui, hatch: Option<Hatch>, words: String) {
    ui.horizontal_top(|ui| {
        let (sample, _) = ui.allocate_exact_size(Vec2::new(22.0, 12.0), Sense::hover());
        if let Some(hatch) = hatch {
            let ink = ui.visuals().weak_text_color();
            hatched(&ui.painter_at(sample), sample, hatch, ink);
            let edge = Stroke::new(1.0, ink);
            ui.painter().rect_stroke(sample, 0.0, edge, egui::StrokeKind::Inside);
        }
        ui.add(egui::Label::new(RichText::new(words).small()).wrap());
    });
}

fn guiding_words(answer: &ChoiceAnswer) -> String {
    let Some(rig) = answer.kit.rigs.get(answer.chosen) else { return String::new() };
    let mount = answer.kit.mount(&rig.mount);
    let Some(own) = mount.and_then(|mount| mount.guided_rms_arcsec) else {
        return format!("{} is not guided: no focal length is barred for guiding.", rig.mount);
    };
    let loss = percent(answer.kit.limits.thresholds.guiding_loss);
    match answer.guiding_fails_from_mm.filter(|&mm| mm < LADDER_MM.most) {
        Some(mm) => format!(
            "Guiding shows from {} on: the {own:.2}″ RMS of {} widens stars there by more than {loss}.",
            words::focal_length(mm.round()),
            rig.mount,
        ),
        None => format!(
            "Guiding is good enough at any length here: the {own:.2}″ RMS of {} never widens stars by {loss}.",
            rig.mount
        ),
    }
}

fn seeing_words(answer: &ChoiceAnswer) -> String {
    let Some(setting) = &answer.choice.setting else { return String::new() };
    match answer.nothing_gained_from_mm.filter(|&mm| mm < LADDER_MM.most) {
        Some(mm) => format!(
            "Little more detail from {} on: stars are within {} of {:.1}″, the least that {:.1}″ seeing, \
             guiding and aperture leave.",
            words::focal_length(mm.round()),
            percent(NOTHING_GAINED),
            setting.least_fwhm_arcsec(),
            answer.kit.site.seeing_fwhm_arcsec,
        ),
        None => format!(
            "Up to {} a longer focal length still resolves more.",
            words::focal_length(LADDER_MM.most)
        ),
    }
}

fn aperture_words(answer: &ChoiceAnswer) -> String {
    let Some((setting, rig)) =
        answer.choice.setting.as_ref().zip(answer.kit.rigs.get(answer.chosen))
    else {
        return String::new();
    };
    let full_from = setting.aperture_mm * fieldstop::focal_range::FASTEST_RATIO;
    format!(
        "For the camera {} and the {:.0} mm aperture of {}; below {} only what f/2 allows, half the \
         focal length. Choose another rig to see its own.",
        rig.camera,
        setting.aperture_mm,
        rig.name,
        words::focal_length(full_from.round())
    )
}
