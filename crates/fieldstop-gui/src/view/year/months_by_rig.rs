//! In which months each rig of the shortlist has something to do.

use egui::{Align2, Color32, Pos2, Role, Sense, Ui, WidgetInfo};
use fieldstop::Verdict;

use super::YearInput;
use super::calendar::{Columns, label, month_names, row};
use crate::nights::date::{month_index, month_name, month_short};
use crate::nights::{MONTHS, SiteYear};

/// Names that a tip lists before it counts the rest.
const MOST_NAMES: usize = 12;

/// Shows the table, its months under those of the calendar.
pub(super) fn ui(ui: &mut Ui, year: &SiteYear, input: &mut YearInput<'_>) {
    ui.add_space(8.0);
    ui.strong("Targets that each rig takes whole").on_hover_text(
        "Targets of the wish list that fit one picture and are up in the dark for an hour or more \
         in an average night of the month",
    );
    if input.kit.rigs.is_empty() {
        ui.label("No rig yet: add a candidate to the shortlist.");
        return;
    }
    let columns = Columns::of(ui, year.nights.len());
    month_names(ui, &columns, year, "");
    for rig in 0..input.kit.rigs.len() {
        rig_row(ui, &columns, year, rig, input);
    }
}

fn rig_row(ui: &mut Ui, columns: &Columns, year: &SiteYear, rig: usize, input: &mut YearInput<'_>) {
    let Some(entry) = input.kit.rigs.get(rig) else { return };
    let (rect, response) = row(ui, Sense::click());
    let chosen = rig == input.workspace.rig;
    let targets = targets(rig, input);
    response.widget_info(|| {
        WidgetInfo::selected(Role::Button, true, chosen, row_words(&entry.name, &targets))
    });
    if chosen || response.hovered() || response.has_focus() {
        let visuals = ui.visuals();
        let fill = if chosen { visuals.selection.bg_fill } else { visuals.widgets.hovered.bg_fill };
        ui.painter().rect_filled(rect, 3.0, fill);
    }
    label(ui, rect, &entry.name, ui.visuals().text_color());
    let font = egui::TextStyle::Small.resolve(ui.style());
    let mut pointed = None;
    for (month, names) in targets.iter().enumerate() {
        let Some((left, right)) = room_of(month, columns, year) else { continue };
        let (text, ink): (String, Color32) = if names.is_empty() {
            ("–".to_owned(), ui.visuals().weak_text_color())
        } else {
            (names.len().to_string(), ui.visuals().text_color())
        };
        let middle = Pos2::new((left + right) / 2.0, rect.center().y);
        ui.painter().text(middle, Align2::CENTER_CENTER, text, font.clone(), ink);
        if response.hover_pos().is_some_and(|at| (left..right).contains(&at.x)) {
            pointed = Some(month);
        }
    }
    if response.clicked() {
        input.queue.push(crate::action::Action::ChooseRig(rig));
    }
    if let Some(month) = pointed
        && let Some(names) = targets.get(month)
    {
        response.on_hover_text(format!(
            "{} in {}\n{}",
            entry.name,
            month_name(month),
            listed(names)
        ));
    }
}

/// Where a month lies on the page.
fn room_of(month: usize, columns: &Columns, year: &SiteYear) -> Option<(f32, f32)> {
    let inside = |night: &crate::nights::YearNight| month_index(night.evening) == month;
    let first = year.nights.iter().position(inside)?;
    let last = year.nights.iter().rposition(inside)?;
    Some((columns.x(first), columns.x(last + 1)))
}

/// The targets that a rig can take whole, month by month.
fn targets<'a>(rig: usize, input: &YearInput<'a>) -> [Vec<&'a str>; MONTHS] {
    let mut targets: [Vec<&str>; MONTHS] = Default::default();
    for (wish, row) in input.kit.wish_list.iter().zip(&input.figures.wishes) {
        let whole = row.fits.get(rig).is_some_and(|fit| fit.verdict == Verdict::Whole);
        let Some(target) = input.year.target(wish.name()).filter(|_| whole) else { continue };
        for (month, names) in targets.iter_mut().enumerate() {
            if target.is_worth(month) {
                names.push(wish.name());
            }
        }
    }
    targets
}

fn listed(names: &[&str]) -> String {
    match names.len() {
        0 => "nothing of the wish list".to_owned(),
        count if count > MOST_NAMES => {
            let shown = names.get(..MOST_NAMES).unwrap_or_default().join(", ");
            format!("{shown} and {} more", count - MOST_NAMES)
        }
        _ => names.join(", "),
    }
}

/// A row in words, for those who cannot see it.
fn row_words(name: &str, targets: &[Vec<&str>; MONTHS]) -> String {
    let months: Vec<String> = targets
        .iter()
        .enumerate()
        .map(|(month, names)| format!("{} {}", month_short(month), names.len()))
        .collect();
    format!("Choose {name}: targets it takes whole, {}", months.join(", "))
}
