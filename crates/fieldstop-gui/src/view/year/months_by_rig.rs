//! In which months each rig of the shortlist has something to do.

use egui::{RichText, Ui};
use fieldstop::Verdict;

use super::YearInput;
use crate::nights::MONTHS;
use crate::nights::date::{month_name, month_short};

/// Shows the table.
pub(super) fn ui(ui: &mut Ui, input: &YearInput<'_>) {
    ui.add_space(8.0);
    ui.strong("What each rig can take whole");
    ui.label(
        RichText::new(
            "Targets of the wish list that fit one picture and are up in the dark for an hour or \
             more in an average night of the month",
        )
        .weak()
        .small(),
    );
    if input.kit.rigs.is_empty() {
        ui.label("No rig yet: add a candidate to the shortlist.");
        return;
    }
    egui::Grid::new("months by rig").striped(true).spacing([10.0, 2.0]).show(ui, |ui| {
        ui.label("");
        for month in 0..MONTHS {
            ui.label(RichText::new(month_short(month)).weak().small());
        }
        ui.end_row();
        for (rig, entry) in input.kit.rigs.iter().enumerate() {
            let chosen = rig == input.workspace.rig;
            let name = RichText::new(&entry.name).small();
            let name = if chosen { name.strong() } else { name };
            ui.add_sized(
                [150.0, 14.0],
                egui::Label::new(name).halign(egui::Align::LEFT).truncate(),
            );
            for (month, count) in counts(rig, input).into_iter().enumerate() {
                let text = if count == 0 { "–".to_owned() } else { count.to_string() };
                let text = RichText::new(text).small();
                let text = if count == 0 { text.weak() } else { text };
                ui.label(text).on_hover_text(format!("{} in {}", entry.name, month_name(month)));
            }
            ui.end_row();
        }
    });
}

/// How many targets a rig can take whole, month by month.
pub(super) fn counts(rig: usize, input: &YearInput<'_>) -> [usize; MONTHS] {
    let mut counts = [0; MONTHS];
    for (wish, row) in input.kit.wish_list.iter().zip(&input.figures.wishes) {
        let whole = row.fits.get(rig).is_some_and(|fit| fit.verdict == Verdict::Whole);
        let Some(target) = input.year.target(wish.name()).filter(|_| whole) else { continue };
        for (month, count) in counts.iter_mut().enumerate() {
            *count += usize::from(target.is_worth(month));
        }
    }
    counts
}
