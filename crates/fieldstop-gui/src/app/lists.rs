//! Tables to a file or the clipboard, and the wish list from a file and to one.

use std::path::Path;
use std::sync::Arc;

use fieldstop::kit::Wish;

use super::App;
use super::saving::{Go, NewFile};
use crate::files::wish_export;
use crate::nights::date;
use crate::panel::file_window::FileWanted;
use crate::panel::status_line::Notice;
use crate::panel::tables_window::{TablesAnswer, TablesWindow};
use crate::panel::wish_file_window::{WishFileAnswer, WishFileWindow};
use crate::tables::{Table, TableName, TableQuestion};
use crate::words::counted;
use crate::worker::{Job, JobState, Progress};

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
                if let Some(table) = window.table() {
                    self.copy_table(table, ctx);
                }
            }
            TablesAnswer::Save => {
                if let Some(table) = window.table() {
                    self.ask_table_file(table);
                }
            }
        }
    }

    fn ask_table_file(&mut self, table: Arc<Table>) {
        let name = format!("{} {}.csv", self.document.kit.name, table.name.title());
        let write = move |_: &Path, _: &mut Go<'_>| {
            let text = table.to_csv().map_err(|error| error.to_string())?;
            Ok(text.into_bytes())
        };
        self.ask_where(&name, NewFile::new(FileWanted::Table, "Writing the table", write));
    }

    /// Writes a table for the clipboard on a worker: the longest has 12,600 rows.
    fn copy_table(&mut self, table: Arc<Table>, ctx: &egui::Context) {
        let ctx = ctx.clone();
        let name = table.name;
        let write = move |_: &Progress| table.to_csv().map_err(|error| error.to_string());
        let job = Job::start("Copying the table", write, move || ctx.request_repaint());
        self.copying_table = Some((name, job));
    }

    pub(super) fn collect_copied_table(&mut self, ctx: &egui::Context) {
        let Some((name, job)) = &self.copying_table else { return };
        self.notice = match job.poll() {
            JobState::Running => return,
            JobState::Done(Ok(text)) => {
                ctx.copy_text(text);
                Notice::done(format!("Copied the table {}", name.title()))
            }
            JobState::Done(Err(why)) => Notice::failed(why),
            JobState::Lost => Notice::failed("The table was not finished; nothing was copied."),
        };
        self.copying_table = None;
    }

    pub(super) fn ask_save_wishes(&mut self) {
        let name = format!("{} wish list.csv", self.document.kit.name);
        let (kit, sky) = (self.document.kit.clone(), self.sky.clone());
        let write = move |path: &Path, _: &mut Go<'_>| {
            let text = wish_export::text(path, &kit, &sky.catalogue);
            Ok(text.map_err(|error| error.to_string())?.into_bytes())
        };
        let wanted = FileWanted::SaveWishes;
        self.ask_where(&name, NewFile::new(wanted, "Writing the wish list", write));
    }

    pub(super) fn ask_read_wishes(&mut self) {
        self.ask_file(FileWanted::OpenWishes, "");
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
