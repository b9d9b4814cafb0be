//! The thresholds behind a row's marks, each beside the figure that it decides.

use egui::{RichText, Ui};
use fieldstop::demands::Figure;
use fieldstop::kit::Limits;
use fieldstop::range::{self, Range};

use crate::widget::NumberField;

/// Shows the thresholds of a row; nothing where it has none.
pub(super) fn ui(ui: &mut Ui, figure: Figure, limits: &mut Limits) {
    let currency = limits.currency.clone();
    let thresholds = &mut limits.thresholds;
    let mut lines: Vec<(&str, &str, Range, &mut f64)> = Vec::new();
    match figure {
        Figure::PixelsPerFwhm | Figure::Sampling => {
            let (under, over) = (&mut thresholds.under_sampled, &mut thresholds.over_sampled);
            lines.push(("Under-sampled below", "px", range::PIXELS_PER_FWHM, under));
            lines.push(("Over-sampled above", "px", range::PIXELS_PER_FWHM, over));
        }
        Figure::GuidingLoss | Figure::GuideRmsNeeded => lines.push((
            "Guiding may widen stars by a share of",
            "",
            range::SHARE,
            &mut thresholds.guiding_loss,
        )),
        Figure::SubExposure => lines.push((
            "Read noise may add a share of",
            "",
            range::SHARE,
            &mut thresholds.read_noise,
        )),
        Figure::Saturation => {
            let star = &mut thresholds.well_star_mag;
            lines.push((
                "Brightest star that must not fill a pixel",
                "mag",
                range::MAGNITUDE,
                star,
            ));
        }
        Figure::HeaviestPiece => {
            lines.push(("One person lifts", "kg", range::LOAD_KG, &mut thresholds.lift_kg));
        }
        Figure::MassOnMount | Figure::PayloadUsed => {
            let share = &mut limits.payload_share;
            lines.push(("Share of the rated payload for imaging", "", range::SHARE, share));
        }
        Figure::Detail => {
            lines.push(("Wanted detail", "elements", range::DETAIL, &mut limits.detail));
        }
        Figure::HoursPerPixel | Figure::HoursPerArcsec2 => {
            lines.push(("Wanted signal to noise", "", range::SNR, &mut limits.snr));
        }
        Figure::Carry => {
            return optional(ui, "Can be carried", "kg", range::MASS_KG, &mut limits.carry_kg);
        }
        Figure::Price => {
            return optional(ui, "Budget", &currency, range::MONEY, &mut limits.budget);
        }
        _ => return,
    }
    title(ui);
    for (label, unit, range, value) in lines {
        if let Some(new) = field(label, unit, range).show(ui, *value) {
            *value = new;
        }
    }
}

fn title(ui: &mut Ui) {
    ui.add_space(6.0);
    ui.label(RichText::new("Where the line is drawn, kept in the kit").weak());
}

fn field<'a>(label: &'a str, unit: &'a str, range: Range) -> NumberField<'a> {
    NumberField::new(label, unit, range).compact().of("threshold")
}

fn optional(ui: &mut Ui, label: &str, unit: &str, range: Range, value: &mut Option<f64>) {
    title(ui);
    if let Some(new) = field(label, unit, range).show_optional(ui, *value) {
        *value = new;
    }
}
