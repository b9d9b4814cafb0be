//! Tables to a file or the clipboard, and the wish list from a file and to one.

use std::path::{Path, PathBuf};

use fieldstop::kit::Wish;

use super::App;
use crate::files::{replace_file, wish_export};
use crate::nights::date;
use crate::panel::file_window::{FileWanted, FileWindow};
use crate::panel::status_line::Notice;
use crate::panel::tables_window::{TablesAnswer, TablesWindow};
use crate::panel::wish_file_window::{WishFileAnswer, WishFileWindow};
use crate::tables::{TableName, TableQuestion};
use crate::words::counted;

/// Endings of the files that are lists of targets, not kits.
const LISTS: [&str; 6] = ["csv", "tsv", "txt", "xml", "vot", "votable"];

/// Whether a file is a list of targets by its name.
pub(super) fn is_list(path: &Path) -> bool {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    ending.is_some_and(|ending| LISTS.contains(&ending.as_str()))
}

impl App {
    pub(super) fn ask_table(&mut self) {
        if self.dialogs.tables.is_none() {
            self.dialogs.tables = Some(TablesWindow::new(TableName::Rigs));
        }
    }

    /// What the table in the window is about: what is chosen elsewhere in the window.
    fn table_question(&self, table: TableName) -> TableQuestion {
        let (evening, season) = self.year_view.asked();
        let rig = self.document.kit.rigs.get(self.workspace.rig);
        TableQuestion {
            target: self.workspace.target.clone().filter(|_| table.heeds_target()),
            rig: rig.map(|rig| rig.name.clone()).filter(|_| table.heeds_rig()),
            year: evening.year(),
            season: table.needs_month().then_some(season),
            evening: table.needs_evening().then_some(evening),
            ..TableQuestion::new(table, self.document.kit.clone())
        }
    }

    pub(super) fn show_tables(&mut self, ctx: &egui::Context) {
        let Some(chosen) = self.dialogs.tables.as_ref().map(TablesWindow::chosen) else { return };
        let question = self.table_question(chosen);
        let about = about(&question);
        let Some(window) = &mut self.dialogs.tables else { return };
        window.update(question, &self.sky, ctx);
        match window.show(ctx, &about) {
            TablesAnswer::Asking => {}
            TablesAnswer::Closed => self.dialogs.tables = None,
            TablesAnswer::Copy => {
                if let Some(Ok(text)) = window.table().map(crate::tables::Table::to_csv) {
                    ctx.copy_text(text);
                    self.notice = Notice::done(format!("Copied the table {}", chosen.title()));
                }
            }
            TablesAnswer::Save => {
                let name = format!("{} {}.csv", self.document.kit.name, chosen.title());
                self.dialogs.file =
                    Some(FileWindow::new(FileWanted::Table, &self.beside_kit(&name)));
            }
        }
    }

    pub(super) fn save_table(&mut self, path: &Path) {
        let Some(table) = self.dialogs.tables.as_ref().and_then(TablesWindow::table) else {
            self.notice = Notice::failed("The table is not worked out; nothing was written.");
            return;
        };
        let written = table.to_csv().map_err(|error| error.to_string()).and_then(|text| {
            replace_file::replace(path, text.as_bytes()).map_err(|error| error.to_string())
        });
        self.written(FileWanted::Table, path, written);
    }

    pub(super) fn save_wishes(&mut self, path: &Path) {
        let written = wish_export::write(path, &self.document.kit, &self.sky.catalogue);
        self.written(FileWanted::SaveWishes, path, written.map_err(|error| error.to_string()));
    }

    /// Says that a file was written, or asks again with the reason why not.
    fn written(&mut self, wanted: FileWanted, path: &Path, written: Result<(), String>) {
        match written {
            Ok(()) => self.notice = Notice::done(format!("Saved {}", path.display())),
            Err(why) => self.dialogs.file = Some(FileWindow::again(wanted, path, why)),
        }
    }

    pub(super) fn ask_save_wishes(&mut self) {
        let name = format!("{} wish list.csv", self.document.kit.name);
        self.dialogs.file = Some(FileWindow::new(FileWanted::SaveWishes, &self.beside_kit(&name)));
    }

    pub(super) fn ask_read_wishes(&mut self) {
        self.dialogs.file = Some(FileWindow::new(FileWanted::OpenWishes, &PathBuf::new()));
    }

    pub(super) fn read_wishes(&mut self, path: &Path, ctx: &egui::Context) {
        self.dialogs.wishes = Some(WishFileWindow::new(path, &self.document.kit, &self.sky, ctx));
    }

    pub(super) fn show_wish_file(&mut self, ctx: &egui::Context) {
        let Some(window) = &mut self.dialogs.wishes else { return };
        match window.show(ctx) {
            WishFileAnswer::Asking => return,
            WishFileAnswer::Cancelled => {}
            WishFileAnswer::Add(wishes) => self.add_wishes(wishes),
        }
        self.dialogs.wishes = None;
    }

    /// Puts targets on the wish list, all of them as one step.
    fn add_wishes(&mut self, wishes: Vec<Wish>) {
        self.document.end_step();
        let count = wishes.len();
        let had_none = self.document.kit.wish_list.is_empty();
        self.document.kit.wish_list.extend(wishes);
        self.document.end_step();
        if had_none {
            self.choose_something();
        }
        self.notice = Notice::done(format!(
            "{} {} added to the wish list; undo takes {} off",
            counted(count, "target"),
            if count == 1 { "was" } else { "were" },
            if count == 1 { "it" } else { "all of them" }
        ));
    }
}

/// What a table is about, in words.
fn about(question: &TableQuestion) -> String {
    let TableQuestion { table, target, rig, year, season, evening, .. } = question;
    let mut parts = Vec::new();
    if let Some(target) = target {
        parts.push(format!("for {target}"));
    }
    if let Some(rig) = rig {
        parts.push(format!("with {rig}"));
    }
    if let Some(evening) = evening {
        parts.push(format!("in the night of {evening}"));
    }
    if table.needs_year() {
        let month = season.map(|season| format!("{} ", date::month_name(season.month)));
        parts.push(format!("in {}{year}", month.unwrap_or_default()));
    }
    if parts.is_empty() {
        return String::new();
    }
    let mut text = parts.join(", ");
    if let Some(first) = text.get(..1).map(str::to_uppercase) {
        text.replace_range(..1, &first);
    }
    text + ", as chosen in the window."
}
