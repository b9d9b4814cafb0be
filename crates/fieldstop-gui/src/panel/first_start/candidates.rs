//! Step 5: the classes that come into question, and a first recommendation with its reasons.

use std::collections::HashSet;

use egui::{RichText, Ui};
use fieldstop::choice::{Choice, RigChoice};
use fieldstop::findings::{FigureValue, Finding};
use fieldstop::kit::{Kit, OtaClass};
use fieldstop::limits_kept::{Broken, broken_limits};

use super::{FirstStartInput, columns};
use crate::demand_words::{digits, percent};
use crate::one_camera;
use crate::starting_points;
use crate::widget::finding_ui;
use crate::words;
use crate::words::money;

const CLASSES_PT: f32 = 420.0;

pub(super) fn ui(ui: &mut Ui, open: &mut HashSet<String>, input: &mut FirstStartInput<'_>) {
    columns(ui, input, CLASSES_PT, classes, |ui, input| advice(ui, open, input));
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
    let broken = broken_words(input.kit, rig);
    let limit =
        if broken.is_empty() { String::new() } else { format!(" It {}.", broken.join(" and ")) };
    format!(
        "{} at {}; {} of {} whole; {} kg on its mount, {} kg to carry; {price}.{limit}",
        words::focal_length(demands.focal_length_mm),
        words::focal_ratio(demands.focal_ratio),
        rig.whole,
        words::counted(rig.cells.len(), "target"),
        digits(demands.load.on_mount_kg),
        digits(demands.load.carry_kg),
    )
}

/// The limits that a rig breaks, in words that follow its name.
fn broken_words(kit: &Kit, rig: &RigChoice) -> Vec<String> {
    let limits = &kit.limits;
    let words = |broken| match broken {
        Broken::Budget(over) => {
            format!("costs {} more than your budget", money(over, &limits.currency))
        }
        Broken::Carry(over) => format!("is {} kg more than you can carry", digits(over)),
        Broken::Payload(share) => format!(
            "takes {} of its mount's payload, of which imaging may use {}",
            percent(share),
            percent(limits.payload_share)
        ),
    };
    broken_limits(rig, limits).into_iter().map(words).collect()
}

fn advice(ui: &mut Ui, open: &mut HashSet<String>, input: &mut FirstStartInput<'_>) {
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
    let Some(advice) = choice.recommendation.as_ref() else { return };
    let Some(rig) = choice.rigs.get(advice.place) else { return };
    ui.label(RichText::new(&rig.name).strong());
    ui.weak(
        "Whole: the outline fits the frame with some room, turned as it fits best. Resolution \
         elements: how many stars, as wide as air, guiding, optics and pixels make them, stand side \
         by side across the target. Open a sentence to see the figures it was made from.",
    );
    for finding in &advice.findings {
        finding_ui(ui, finding, open);
    }
    ui.add_space(6.0);
    ui.strong("Reasons");
    for finding in reasons(choice, &rig.name) {
        finding_ui(ui, finding, open);
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
