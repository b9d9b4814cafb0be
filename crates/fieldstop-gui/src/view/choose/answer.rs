//! The answer that every page is about: which focal length, and which two, serve most.

use egui::{RichText, Ui};
use fieldstop::serving::serving_most;

use crate::state::ChoiceAnswer;
use crate::words;

/// Shows the answer in two lines; true when one was clicked, to see its figures.
pub(super) fn ui(ui: &mut Ui, answer: &ChoiceAnswer) -> bool {
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        ui.spacing_mut().button_padding = egui::vec2(0.0, 1.0);
        let lines = [RichText::new(one(answer)).strong(), RichText::new(rigs(answer)).weak()];
        lines.into_iter().fold(false, |clicked, line| {
            let button = egui::Button::new(line).frame_when_inactive(false).wrap();
            clicked | ui.add(button).on_hover_text("Shows the reasons and their figures").clicked()
        })
    })
    .inner
}

/// The sentences that the answer's figures stand under.
pub(super) fn reasons(answer: &ChoiceAnswer) -> impl Iterator<Item = String> {
    let about = |key: &str| key == "best/focal_length_mm" || key.starts_with("best_pair/");
    let found = answer.choice.findings.iter();
    let found = found.filter(move |finding| finding.figures.iter().any(|(key, _)| about(key)));
    found.map(|finding| finding.text.clone())
}

/// About focal lengths.
fn one(answer: &ChoiceAnswer) -> String {
    let (choice, all) = (&answer.choice, answer.wanted.len());
    let detail = answer.kit.limits.detail;
    let Some(best) = choice.best else {
        return format!(
            "No focal length takes a target of the list whole and shows {detail:.0} resolution \
             elements across it with this camera and air."
        );
    };
    let alone = choice.coverage.at(best.focal_length_mm).count;
    let single = words::focal_length(best.focal_length_mm.round());
    let pair = answer.choice.best_pair.map(|pair| {
        format!(
            " {} and {} together serve most of any two, {}.",
            words::focal_length(pair.short.focal_length_mm.round()),
            words::focal_length(pair.long.focal_length_mm.round()),
            pair.served.count
        )
    });
    let pair = pair.unwrap_or_else(|| " A second one would add nothing.".to_owned());
    let rig = answer.kit.rigs.get(answer.chosen).map_or("the chosen rig", |rig| rig.name.as_str());
    format!(
        "{single} alone serves most of the wish list with the camera and aperture of {rig}: {alone} of \
         {}.{pair}",
        words::counted(all, "target")
    )
}

/// About the rigs of the shortlist.
fn rigs(answer: &ChoiceAnswer) -> String {
    let (choice, all) = (&answer.choice, answer.wanted.len());
    let name = |place: usize| choice.rigs.get(place).map_or("", |rig| rig.name.as_str());
    let Some(best) = choice.best_rig.and_then(|place| choice.rigs.get(place)) else {
        return "No rig of the shortlist serves any target as it stands.".to_owned();
    };
    let level = serving_most(&choice.rigs).map_or(0, |most| most.level.len());
    let as_much = match level {
        0 => String::new(),
        1 => ", as does one other with less detail or a higher price".to_owned(),
        _ => format!(", as do {level} others with less detail or a higher price"),
    };
    let alone =
        format!("Of your rigs {} serves most, {} of {all}{as_much}", best.name, best.served.count);
    match choice.best_rigs {
        Some((a, b, served)) => {
            format!("{alone}; of two, {} and {}, {}.", name(a), name(b), served.count)
        }
        None => format!("{alone}; no second rig adds to it."),
    }
}
