//! The tables of the program: which one, its first rows, and the way to a file or another program.

use std::sync::Arc;

use egui::{Align, Layout, RichText, ScrollArea, Ui};

use crate::sky::Sky;
use crate::state::worked::Worked;
use crate::tables::{Cell, Column, Table, TableError, TableName, TableQuestion, work_out};
use crate::widget::{named, scrolled, scrolled_in};
use crate::words::counted;

/// Rows that are shown before the file is written.
const PREVIEW: usize = 40;
/// Letters of a cell that are shown.
const CELL_LETTERS: usize = 44;

/// What was asked for in the window.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum TablesAnswer {
    /// Nothing yet.
    Asking,
    /// The table as text for another program.
    Copy,
    /// The table as a file.
    Save,
    /// Enough of it.
    Closed,
}

/// The window, and the table that it shows.
pub struct TablesWindow {
    chosen: TableName,
    worked: Worked<TableQuestion, Result<Arc<Table>, TableError>>,
    stopped: bool,
}

impl TablesWindow {
    /// The window on a table.
    pub fn new(chosen: TableName) -> Self {
        Self { chosen, worked: Worked::default(), stopped: false }
    }

    /// The table that is looked at.
    pub fn chosen(&self) -> TableName {
        self.chosen
    }

    /// Works the table out beside the window, unless it is known. One question at a time: while a
    /// handle is dragged the last one is answered before the next is asked.
    pub fn update(&mut self, question: TableQuestion, sky: &Arc<Sky>, ctx: &egui::Context) {
        self.worked.collect();
        let same_table =
            self.worked.answer().is_none_or(|answer| name_of(answer) == Some(question.table));
        let busy = self.worked.progress().is_some() && same_table;
        if self.worked.is_asked(&question) || busy || self.stopped {
            return;
        }
        if !same_table {
            // Rows of one table under the name of another would be wrong.
            self.worked.forget();
        }
        let (sky, asked) = (sky.clone(), question.clone());
        self.worked.ask(question, "Working out the table", ctx, move |progress| {
            let mut go_on = |share| progress.report(share);
            match work_out(&asked, &sky.catalogue, &mut go_on) {
                Err(TableError::Stopped) => None,
                answer => Some(answer.map(Arc::new)),
            }
        });
    }

    /// The table, once it is the one that was asked for.
    pub fn table(&self) -> Option<Arc<Table>> {
        if self.worked.progress().is_some() {
            return None;
        }
        self.worked.answer()?.as_ref().as_ref().ok().cloned()
    }

    /// Shows the window; `about` says what the table stands for.
    pub fn show(&mut self, ctx: &egui::Context, about: &str) -> TablesAnswer {
        let mut answer = TablesAnswer::Asking;
        let mut open = true;
        egui::Window::new("Export a table")
            .open(&mut open)
            .default_pos([150.0, 84.0])
            .default_size([980.0, 600.0])
            .show(ctx, |ui| {
                egui::Panel::left("list of tables").exact_size(176.0).resizable(false).show(
                    ui,
                    |ui| {
                        scrolled(ui, |ui| self.list(ui));
                    },
                );
                egui::CentralPanel::default().show(ui, |ui| answer = self.chosen_ui(ui, about));
            });
        if open { answer } else { TablesAnswer::Closed }
    }

    fn list(&mut self, ui: &mut Ui) {
        ui.with_layout(Layout::top_down_justified(Align::Min), |ui| {
            for &table in TableName::ALL {
                let button = egui::Button::selectable(self.chosen == table, table.title());
                if ui.add(button).on_hover_text(table.rows()).clicked() {
                    self.chosen = table;
                    self.stopped = false;
                }
            }
        });
    }

    fn chosen_ui(&mut self, ui: &mut Ui, about: &str) -> TablesAnswer {
        let mut answer = TablesAnswer::Asking;
        ui.horizontal(|ui| {
            ui.strong(self.chosen.title());
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let ready = self.table().is_some();
                let copy = ui.add_enabled(ready, egui::Button::new("Copy"));
                if copy.on_hover_text("The table as CSV, to paste elsewhere").clicked() {
                    answer = TablesAnswer::Copy;
                }
                let save = ui.add_enabled(ready, egui::Button::new("Save as CSV…"));
                if named(save, "Save the table as CSV").clicked() {
                    answer = TablesAnswer::Save;
                }
            });
        });
        ui.label(format!("Each row: {}", lower_first(self.chosen.rows())));
        if !about.is_empty() {
            ui.weak(about);
        }
        ui.add_space(4.0);
        if let Some((label, share)) = self.worked.progress() {
            let mut stop = false;
            ui.horizontal(|ui| {
                ui.add(egui::ProgressBar::new(share).desired_width(320.0).text(label));
                stop = ui.button("Stop").clicked();
            });
            if stop {
                self.worked.stop();
                self.stopped = true;
            }
            return answer;
        }
        match self.worked.answer().map(AsRef::as_ref) {
            Some(Ok(table)) if table.name == self.chosen => preview(ui, table),
            Some(Err(error)) => {
                ui.label(sentence(&error.to_string()));
            }
            _ => {
                ui.label("This was stopped before it was worked out.");
                if ui.button("Work it out").clicked() {
                    self.worked.forget();
                    self.stopped = false;
                }
            }
        }
        answer
    }
}

fn name_of(answer: &Result<Arc<Table>, TableError>) -> Option<TableName> {
    answer.as_ref().ok().map(|table| table.name)
}

/// The first rows, under headings that say what stands below them.
fn preview(ui: &mut Ui, table: &Table) {
    let (rows, columns) = (table.rows.len(), table.columns.len());
    if rows == 0 {
        ui.label("There is nothing for it to list yet.");
        return;
    }
    let shown =
        if rows > PREVIEW { format!("; the first {PREVIEW} stand here") } else { String::new() };
    let size = format!("{} of {}", counted(rows, "row"), counted(columns, "column"));
    ui.weak(format!("{size}{shown}. The file has every digit."));
    scrolled_in(ui, "table", ScrollArea::both().auto_shrink(false), |ui| {
        let grid = egui::Grid::new(("table preview", table.name.key()))
            .num_columns(columns)
            .striped(true)
            .spacing([16.0, 3.0]);
        grid.show(ui, |ui| {
            for column in &table.columns {
                ui.label(RichText::new(column.name).weak()).on_hover_text(explained(column));
            }
            ui.end_row();
            for row in table.rows.iter().take(PREVIEW) {
                for cell in row {
                    cell_ui(ui, cell);
                }
                ui.end_row();
            }
        });
    });
}

fn explained(column: &Column) -> String {
    match column.unit {
        "" => sentence(column.what),
        unit => format!("{} In {unit}.", sentence(column.what)),
    }
}

fn cell_ui(ui: &mut Ui, cell: &Cell) {
    let text = match cell {
        Cell::Empty => String::new(),
        Cell::Text(text) => text.clone(),
        Cell::Number(number) => shown_number(*number),
        Cell::Whole(count) => count.to_string(),
        Cell::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
    };
    let mut letters = text.chars();
    let mut short: String = letters.by_ref().take(CELL_LETTERS).collect();
    if letters.next().is_some() {
        short.push('…');
        ui.label(short).on_hover_text(text);
    } else {
        ui.label(short);
    }
}

/// Six digits that count, which tell places on the sky apart.
fn shown_number(number: f64) -> String {
    // OK because the magnitude of a finite number fits; 0 has none and becomes the least.
    let magnitude = number.abs().log10().floor().clamp(-9.0, 9.0) as i32;
    // OK because it is clamped to what a text can have.
    let decimals = (5 - magnitude).clamp(0, 9) as usize;
    let text = format!("{number:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().collect::<String>() + letters.as_str()
    })
}

/// With a capital and a full stop.
fn sentence(text: &str) -> String {
    let mut letters = text.trim_end_matches('.').chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str() + "."
    })
}

#[cfg(test)]
mod tests {
    use super::shown_number;

    #[test]
    fn six_digits_are_shown_and_no_idle_noughts() {
        for (number, text) in [
            (3.722_915_260_933_458, "3.72292"),
            (314.821_25, "314.821"),
            (2030.0, "2030"),
            (0.0, "0"),
            (-0.001_234_567_8, "-0.00123457"),
            (24_807.601_413, "24807.6"),
            (1e12, "1000000000000"),
        ] {
            assert_eq!(shown_number(number), text);
        }
    }
}
