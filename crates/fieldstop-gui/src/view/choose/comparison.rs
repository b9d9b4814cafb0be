//! Every rig on every count: who is beaten by whom, and what would have to change.

use egui::{Pos2, Rect, Role, Sense, Stroke, Ui, Vec2, WidgetInfo};
use fieldstop::choice::{Criterion, RigChoice};
use fieldstop::kit::Kit;
use fieldstop::pareto::{Better, gaps};

use super::cells::{HEAD_HEIGHT, column, column_width, rig_head, text_in};
use super::{ChooseInput, ChooseView};
use crate::state::ChoiceAnswer;
use crate::widget::{finding_ui, named, scrolled_in};
use crate::words::money;

const LABEL_WIDTH: f32 = 168.0;
const ROW_HEIGHT: f32 = 38.0;

/// A criterion's value with its unit.
pub(super) fn value_text(criterion: Criterion, value: f64, currency: &str) -> String {
    // A true minus sign, as wide as a figure.
    let sign = if value < 0.0 { "−" } else { "" };
    let value = value.abs();
    let number = match criterion {
        Criterion::Price => return format!("{sign}{}", money(value, currency)),
        Criterion::Whole => format!("{value:.0}"),
        Criterion::Detail | Criterion::GuidingMargin => format!("{value:.2}"),
        Criterion::Hours | Criterion::PayloadMargin | Criterion::Mass => format!("{value:.1}"),
    };
    let number = format!("{sign}{number}");
    let unit = match criterion {
        Criterion::Detail => "″",
        Criterion::GuidingMargin => " ×",
        other if other.unit().is_empty() => "",
        other => return format!("{number} {}", other.unit()),
    };
    number + unit
}

/// What a criterion means.
const fn meaning(criterion: Criterion) -> &'static str {
    match criterion {
        Criterion::Whole => "Targets of the wish list that fit one picture. More is better",
        Criterion::Detail => {
            "How wide a star comes out, from air, guiding, aperture and pixels. Less shows more detail"
        }
        Criterion::Hours => {
            "Hours to the wanted signal-to-noise in a square arcsecond, summed over the targets whose \
             surface brightness is known, one that spills once for each panel of the plain grid. Less is \
             better"
        }
        Criterion::GuidingMargin => {
            "The guiding error that would just do, over the mount's own: below 1 the mount cannot guide it"
        }
        Criterion::PayloadMargin => {
            "What the mount could still carry of the share that imaging may use: below 0 it is overloaded"
        }
        Criterion::Mass => "All that has to be carried. Less is better",
        Criterion::Price => "All that is still to be paid. Less is better",
    }
}

/// The first letter large.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}

/// Shows the page.
pub(super) fn ui(
    ui: &mut Ui,
    view: &mut ChooseView,
    answer: &ChoiceAnswer,
    input: &mut ChooseInput<'_>,
) {
    let columns = answer.choice.rigs.len();
    let base = answer.choice.rigs.iter().find(|rig| rig.rig == input.workspace.rig);
    ui.small(
        "A rig is beaten by another that is at least as good on every ticked count and better on \
         one. Under each value: by how much it would have to change to draw level with the chosen rig, \
         or how far it is ahead of it.",
    );
    if answer.criteria.len() < Criterion::ALL.len() {
        ui.small(format!(
            "{} of {} counts {} ticked: reasons and face to face go by {} alone, too.",
            answer.criteria.len(),
            Criterion::ALL.len(),
            if answer.criteria.len() == 1 { "is" } else { "are" },
            if answer.criteria.len() == 1 { "it" } else { "these" }
        ));
    }
    // A bar that is seen: nothing else tells of columns beyond the edge.
    ui.spacing_mut().scroll = egui::style::ScrollStyle::solid();
    let area = egui::ScrollArea::horizontal().auto_shrink([false, true]);
    scrolled_in(ui, "counts", area, |ui| {
        let width = column_width(ui, LABEL_WIDTH, columns);
        let all = LABEL_WIDTH + width * columns as f32;
        let (rect, _) = ui.allocate_exact_size(Vec2::new(all, HEAD_HEIGHT), Sense::hover());
        for place in 0..columns {
            let room = column(rect, LABEL_WIDTH, width, place);
            let told = beaten_words(answer, place);
            rig_head(ui, room, answer, place, &told, &told, input);
        }
        let rule = ui.visuals().widgets.noninteractive.bg_stroke;
        ui.painter().hline(rect.x_range(), rect.bottom(), rule);
        ui.spacing_mut().item_spacing.y = 0.0;
        for criterion in Criterion::ALL {
            row(ui, criterion, (width, all), base, answer, input.kit);
        }
    });
    ui.add_space(8.0);
    ui.strong("Who is beaten, and what would turn it");
    let about_order = |text: &str| text.contains("beaten") || text.contains("no price");
    let findings = answer.choice.findings.iter().filter(|finding| about_order(&finding.text));
    for finding in findings {
        finding_ui(ui, finding, &mut view.open);
    }
}

fn beaten_words(answer: &ChoiceAnswer, place: usize) -> String {
    let Some(rig) = answer.choice.rigs.get(place) else { return String::new() };
    let by: Vec<&str> = rig
        .dominated_by
        .iter()
        .filter_map(|&other| answer.choice.rigs.get(other))
        .map(|other| other.name.as_str())
        .collect();
    if by.is_empty() { "not beaten".to_owned() } else { format!("beaten by {}", by.join(", ")) }
}

fn row(
    ui: &mut Ui,
    criterion: Criterion,
    (width, all): (f32, f32),
    base: Option<&RigChoice>,
    answer: &ChoiceAnswer,
    kit: &mut Kit,
) {
    let (rect, _) = ui.allocate_exact_size(Vec2::new(all, ROW_HEIGHT), Sense::hover());
    let label = Rect::from_min_size(rect.min, Vec2::new(LABEL_WIDTH - 4.0, ROW_HEIGHT));
    ui.scope_builder(egui::UiBuilder::new().max_rect(label), |ui| {
        ui.horizontal_centered(|ui| {
            let mut ticked = kit.criteria().contains(&criterion);
            // Without any count there is nothing to compare.
            let is_last = ticked && kit.criteria().len() == 1;
            let box_ = egui::Checkbox::new(&mut ticked, capital(criterion.label()));
            let box_ =
                named(ui.add_enabled(!is_last, box_), format!("Compare on {}", criterion.label()));
            if box_.on_hover_text(meaning(criterion)).changed() {
                kit.compare_on(criterion, ticked);
            }
        });
    });
    let best = best_of(criterion, answer);
    for (place, rig) in answer.choice.rigs.iter().enumerate() {
        let room = column(rect, LABEL_WIDTH, width, place);
        value_ui(ui, room, criterion, rig, base, best, answer);
    }
    let faint = Stroke::new(1.0, ui.visuals().faint_bg_color);
    ui.painter().hline(rect.x_range(), rect.bottom(), faint);
}

fn best_of(criterion: Criterion, answer: &ChoiceAnswer) -> Option<f64> {
    let values = answer.choice.rigs.iter().filter_map(|rig| rig.count(criterion));
    match criterion.better() {
        Better::More => values.max_by(f64::total_cmp),
        Better::Less => values.min_by(f64::total_cmp),
    }
}

fn value_ui(
    ui: &mut Ui,
    room: Rect,
    criterion: Criterion,
    rig: &RigChoice,
    base: Option<&RigChoice>,
    best: Option<f64>,
    answer: &ChoiceAnswer,
) {
    let value = rig.count(criterion);
    let currency = &answer.kit.limits.currency;
    let text = value.map_or_else(|| "–".to_owned(), |v| value_text(criterion, v, currency));
    let is_best = value.is_some() && value == best;
    let (below, gap) = base.map_or_else(Default::default, |base| gap_words(criterion, rig, base));
    let response =
        ui.interact(room, ui.make_persistent_id(("count", criterion, &rig.name)), Sense::hover());
    let told = format!(
        "{}, {}: {text}{}{}",
        rig.name,
        criterion.label(),
        if is_best { ", best" } else { "" },
        if gap.is_empty() { String::new() } else { format!("; {gap}") }
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &told));
    let line = |top: f32| {
        Rect::from_min_max(
            Pos2::new(room.left() + 6.0, room.top() + top),
            Pos2::new(room.right() - 2.0, room.top() + top + 16.0),
        )
    };
    let visuals = ui.visuals();
    let ink = if is_best { visuals.strong_text_color() } else { visuals.text_color() };
    text_in(ui, line(3.0), &if is_best { format!("{text}  best") } else { text }, ink);
    text_in(ui, line(19.0), &below, visuals.weak_text_color());
    response.on_hover_text(told);
}

/// What a rig's value would have to change by to draw level with another's: in short, and in full.
fn gap_words(criterion: Criterion, rig: &RigChoice, base: &RigChoice) -> (String, String) {
    if rig.rig == base.rig {
        return Default::default();
    }
    let same = |words: &str| (words.to_owned(), words.to_owned());
    let of = gaps(&[base.count(criterion)], &[rig.count(criterion)], &[criterion.better()]);
    let Some(gap) = of.first() else { return ("–".to_owned(), "no comparison".to_owned()) };
    if gap.lead == 0.0 {
        return same("level");
    }
    let by = value_text(criterion, gap.change.abs(), "");
    let by = by.trim_end();
    let short = by.split(' ').next().unwrap_or(by);
    if gap.lead < 0.0 {
        return (format!("{short} ahead"), format!("ahead of {} by {by}", base.name));
    }
    let sign = if gap.change < 0.0 { "−" } else { "+" };
    (format!("needs {sign}{short}"), format!("needs {sign}{by} to draw level with {}", base.name))
}
