//! A part swapped in one rig: what it would change, before it is kept.

use egui::{ComboBox, RichText, Ui};
use fieldstop::choice::{Criterion, RigChoice};
use fieldstop::findings::Finding;
use fieldstop::kit::Kit;
use fieldstop::pareto::Better;

use super::comparison::{capital, value_text};
use super::face_to_face::cell_words;
use super::{ChooseInput, ChooseView, reasons};
use crate::action::Action;
use crate::starting_points;
use crate::state::{ChoiceAnswer, Swap, SwapPart, SwapWith};
use crate::widget::{finding_ui, named};
use crate::words;

/// Shows the page.
pub(super) fn ui(
    ui: &mut Ui,
    view: &mut ChooseView,
    answer: &ChoiceAnswer,
    input: &mut ChooseInput<'_>,
) {
    let rig = input.workspace.rig;
    let Some(name) = input.kit.rigs.get(rig).map(|rig| rig.name.clone()) else { return };
    if view.swap.as_ref().is_some_and(|swap| swap.rig != rig) {
        view.swap = None;
    }
    ui.label(format!(
        "Try another part in {name}. Nothing changes in your kit until you keep it; choose another \
         rig on the left to try it there."
    ));
    for part in SwapPart::ALL {
        part_ui(ui, view, part, rig, input);
    }
    let Some(swap) = view.swap.clone() else {
        ui.add_space(8.0);
        ui.weak("Choose a part above to see what it would change.");
        return;
    };
    ui.add_space(6.0);
    let instead = swap.part.of(input.kit, rig).unwrap_or_else(|| "no corrector".to_owned());
    ui.strong(format!("{name} with {} instead of {instead}", swap.with.label()));
    if let Some(words) = corrector_words(&swap, input.kit) {
        ui.label(RichText::new(words).color(ui.visuals().warn_fg_color));
    }
    ui.horizontal(|ui| {
        if let Some(kit) = input.choice.tried_kit() {
            input.queue.button(ui, Action::KeepTried(Box::new(kit.clone())), true);
        }
        let drop = ui.button("Drop").on_hover_text("Forgets the try; your kit stays as it is");
        if drop.clicked() {
            view.swap = None;
        }
    });
    let choice = input.choice;
    match choice.tried() {
        Some(tried) => difference(ui, view, rig, answer, tried, input),
        None => {
            ui.weak("Working out the change …");
        }
    }
}

/// What no figure tells of a corrector: whether it was made for such an OTA.
fn corrector_words(swap: &Swap, kit: &Kit) -> Option<String> {
    if swap.part != SwapPart::Corrector || swap.with == SwapWith::Nothing {
        return None;
    }
    let class = starting_points::class_label(kit.resolve(swap.rig)?.ota.class);
    Some(format!(
        "A corrector is made for one sort of OTA, and the kit does not say for which: check that {} \
         suits this one, of the class {class}.",
        swap.with.label()
    ))
}

fn part_ui(
    ui: &mut Ui,
    view: &mut ChooseView,
    part: SwapPart,
    rig: usize,
    input: &ChooseInput<'_>,
) {
    let now = part.of(input.kit, rig).unwrap_or_else(|| "no corrector".to_owned());
    let tried = view.swap.as_ref().filter(|swap| swap.part == part).map(|swap| swap.with.clone());
    ui.horizontal(|ui| {
        let size = egui::vec2(76.0, ui.spacing().interact_size.y);
        ui.allocate_ui_with_layout(size, *ui.layout(), |ui| {
            ui.set_min_width(size.x);
            ui.label(part.label());
        });
        let text = tried.as_ref().map_or(now.as_str(), SwapWith::label);
        let combo = ComboBox::from_id_salt(part.label()).width(230.0).selected_text(text);
        let combo = combo.show_ui(ui, |ui| {
            if ui.selectable_label(tried.is_none(), format!("{now} (as it is)")).clicked() {
                view.swap = None;
            }
            for with in part.choices(input.kit, rig) {
                let of_kit = matches!(with, SwapWith::Kit(_));
                let note = if of_kit { "  in your kit" } else { "" };
                let text = format!("{}{note}", with.label());
                if ui.selectable_label(tried.as_ref() == Some(&with), text).clicked() {
                    view.swap = Some(Swap { rig, part, with });
                }
            }
        });
        named(combo.response, format!("Try another {}", part.label().to_lowercase()));
        if tried.is_some() {
            ui.weak(format!("instead of {now}"));
        }
    });
}

/// What differs between now and then.
fn difference(
    ui: &mut Ui,
    view: &mut ChooseView,
    rig: usize,
    answer: &ChoiceAnswer,
    tried: &ChoiceAnswer,
    input: &ChooseInput<'_>,
) {
    let of =
        |answer: &ChoiceAnswer| answer.choice.rigs.iter().find(|choice| choice.rig == rig).cloned();
    let (Some(now), Some(then)) = (of(answer), of(tried)) else { return };
    ui.add_space(4.0);
    counts(ui, &now, &then, answer, tried);
    ui.add_space(4.0);
    targets(ui, [&now, &then], [answer, tried], input);
    let lists = [
        ("What could then be said", told_only_by(tried, answer, &now.name)),
        ("What could no longer be said", told_only_by(answer, tried, &now.name)),
    ];
    for (heading, findings) in lists.iter().filter(|(_, findings)| !findings.is_empty()) {
        ui.add_space(6.0);
        ui.strong(*heading);
        for finding in findings {
            finding_ui(ui, finding, &mut view.open);
        }
    }
}

/// What one choice says of a rig and another does not.
fn told_only_by<'a>(one: &'a ChoiceAnswer, other: &ChoiceAnswer, rig: &str) -> Vec<&'a Finding> {
    let known = |finding: &Finding| other.choice.findings.iter().any(|f| f.text == finding.text);
    let findings = one.choice.findings.iter();
    findings.filter(|finding| reasons::is_about(finding, rig) && !known(finding)).collect()
}

/// What is said of a count that stays.
const SAME: &str = "the same";

/// Whether a change of a count is for the better.
fn turn(now: Option<f64>, then: Option<f64>, better: Better) -> &'static str {
    let Some((now, then)) = now.zip(then) else { return "changes" };
    let more = then > now;
    if more == matches!(better, Better::More) { "▲ better" } else { "▼ worse" }
}

fn counts(
    ui: &mut Ui,
    now: &RigChoice,
    then: &RigChoice,
    answer: &ChoiceAnswer,
    tried: &ChoiceAnswer,
) {
    let currency = &answer.kit.limits.currency;
    let mut rows: Vec<(String, String, String, &str)> = Vec::new();
    let mm = |rig: &RigChoice| words::focal_length(rig.demands.focal_length_mm);
    let field = |answer: &ChoiceAnswer| {
        answer.kit.resolve(now.rig).map_or_else(String::new, |rig| {
            let field = rig.field();
            words::field(field.width(), field.height())
        })
    };
    let mut add = |label: &str, one: String, other: String, turn: &'static str| {
        let turn = if one == other { SAME } else { turn };
        rows.push((label.to_owned(), one, other, turn));
    };
    add("Focal length", mm(now), mm(then), "changes");
    add("Field of view", field(answer), field(tried), "changes");
    let number = |count: u32| (count.to_string(), Some(f64::from(count)));
    for (label, one, other, better) in [
        ("Served", now.served.count, then.served.count, Better::More),
        ("Small", now.small, then.small, Better::Less),
    ] {
        let ((one, a), (other, b)) = (number(one), number(other));
        add(label, one, other, turn(a, b, better));
    }
    for criterion in Criterion::ALL {
        let text = |rig: &RigChoice| {
            rig.count(criterion)
                .map_or_else(|| "–".to_owned(), |value| value_text(criterion, value, currency))
        };
        let turn = turn(now.count(criterion), then.count(criterion), criterion.better());
        add(&capital(criterion.label()), text(now), text(then), turn);
    }
    egui::Grid::new("now and then").num_columns(4).spacing([18.0, 3.0]).striped(true).show(
        ui,
        |ui| {
            for heading in ["", "Now", "Then", ""] {
                ui.strong(heading);
            }
            ui.end_row();
            for (label, one, other, turn) in rows {
                ui.label(label);
                ui.label(one);
                let text = RichText::new(other);
                ui.label(if turn == SAME { text.weak() } else { text.strong() });
                ui.weak(turn);
                ui.end_row();
            }
        },
    );
}

/// The targets whose verdict would be another.
fn targets(
    ui: &mut Ui,
    [now, then]: [&RigChoice; 2],
    [answer, tried]: [&ChoiceAnswer; 2],
    input: &ChooseInput<'_>,
) {
    let verdict = |rig: &RigChoice, place: usize| {
        rig.cells.get(place).map(|cell| (cell.fit.verdict, cell.small))
    };
    let changed: Vec<usize> = (0..answer.wanted.len())
        .filter(|&place| verdict(now, place) != verdict(then, place))
        .collect();
    if changed.is_empty() {
        ui.label("No target of the wish list would get another verdict.");
        return;
    }
    ui.strong("Targets that would get another verdict");
    for place in changed {
        let Some(wanted) = answer.wanted.get(place) else { continue };
        ui.label(format!(
            "{}: {}, then {}",
            wanted.name,
            cell_words(input, &answer.kit, wanted, now, place),
            cell_words(input, &tried.kit, wanted, then, place)
        ));
    }
}
