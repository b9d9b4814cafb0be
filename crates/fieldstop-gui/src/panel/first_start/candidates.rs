//! Step 5: the classes that come into question, and a first recommendation with its reasons.

use egui::{RichText, Ui};
use fieldstop::choice::{Choice, RigChoice};
use fieldstop::findings::{FigureValue, Finding};
use fieldstop::kit::OtaClass;

use super::{FirstStartInput, columns};
use crate::demand_words::{digits, money, plain};
use crate::one_camera;
use crate::starting_points;
use crate::state::first_start::{broken_limits, recommendation};
use crate::words;

const CLASSES_PT: f32 = 420.0;

pub(super) fn ui(ui: &mut Ui, input: &mut FirstStartInput<'_>) {
    columns(ui, input, CLASSES_PT, classes, advice);
}

fn classes(ui: &mut Ui, input: &mut FirstStartInput<'_>) {
    ui.label("One typical rig of every class is proposed. Untick what is out of the question.");
    ui.add_space(4.0);
    for class in OtaClass::ALL {
        let mut ticked = one_camera::has_class(input.kit, class);
        if ui.checkbox(&mut ticked, starting_points::class_label(class)).changed() {
            if ticked {
                one_camera::add_candidate(input.kit, class);
            } else {
                one_camera::remove_candidates(input.kit, class);
            }
        }
        let words = match input.first.class(class) {
            Some(rig) => class_words(rig, input),
            None => "…".to_owned(),
        };
        ui.indent(starting_points::class_label(class), |ui| {
            ui.label(RichText::new(words).weak().small())
        });
    }
}

/// What a typical rig of a class is, in figures.
fn class_words(rig: &RigChoice, input: &FirstStartInput<'_>) -> String {
    let demands = &rig.demands;
    let price = match demands.price {
        Ok(price) => format!("{} to pay", money(price, &input.kit.limits.currency)),
        Err(why) => format!("no price, because {why}"),
    };
    let broken = broken_limits(input.kit, rig);
    let limit =
        if broken.is_empty() { String::new() } else { format!(" It {}.", broken.join(" and ")) };
    format!(
        "{} at {}; {} of {} targets whole; {} kg on its mount, {} kg to carry; {price}.{limit}",
        words::focal_length(demands.focal_length_mm),
        words::focal_ratio(demands.focal_ratio),
        rig.whole,
        rig.cells.len(),
        digits(demands.load.on_mount_kg),
        digits(demands.load.carry_kg),
    )
}

fn advice(ui: &mut Ui, input: &mut FirstStartInput<'_>) {
    ui.strong("First recommendation");
    if input.kit.rigs.is_empty() {
        ui.label("Tick at least one class on the left.");
        return;
    }
    if input.kit.wish_list.is_empty() {
        ui.label(
            "Nothing is on your wish list, so there is nothing to recommend by. Step 3 fills it.",
        );
        return;
    }
    if let Some((label, share)) = input.year.progress().or(input.first.progress()) {
        ui.weak(format!("{label}: {:.0} %", share * 100.0));
    }
    let Some(choice) = input.first.candidates() else { return };
    let Some(advice) = recommendation(input.kit, choice) else { return };
    let Some(rig) = choice.rigs.iter().find(|rig| rig.rig == advice.rig) else { return };
    ui.label(RichText::new(&rig.name).strong());
    ui.label(&advice.sentence).on_hover_text(
        "Whole: the outline fits the frame with some room, turned as it fits best. Resolution elements: \
         how many stars, as wide as air, guiding, optics and pixels make them, stand side by side \
         across the target; the more, the more detail",
    );
    ui.add_space(6.0);
    ui.strong("Reasons")
        .on_hover_text("Rest the pointer on a sentence for the figures it is made from");
    for finding in reasons(choice, &rig.name) {
        ui.label(&finding.text).on_hover_text(figures_text(finding));
    }
    ui.add_space(6.0);
    ui.weak(
        "Planning figures of typical instruments, not of any one you can buy. Opened as a kit, each candidate can be changed to the one you have in mind.",
    );
}

/// What was found, first of all what is about the recommended rig.
fn reasons<'a>(choice: &'a Choice, rig: &str) -> Vec<&'a Finding> {
    let about = |finding: &&Finding| {
        let key = format!("rigs/{rig}/");
        let named = |value: &FigureValue| matches!(value, FigureValue::Word(word) if word == rig);
        !finding.figures.iter().any(|(other, value)| other.contains(&key) || named(value))
    };
    let mut reasons: Vec<&Finding> = choice.findings.iter().collect();
    // Stable, so that the rest keeps the order of what tells most.
    reasons.sort_by_key(about);
    reasons
}

/// The figures that a sentence rests on, a line each.
fn figures_text(finding: &Finding) -> String {
    let line = |(key, value): &(String, FigureValue)| match value {
        FigureValue::Number(number) => format!("{key} = {}", plain(*number)),
        FigureValue::Word(word) => format!("{key} = {word}"),
    };
    finding.figures.iter().map(line).collect::<Vec<_>>().join("\n")
}
