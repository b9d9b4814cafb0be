//! The windows over the window: which are open, and what becomes of their answers.

use std::path::{Path, PathBuf};

use fieldstop::kit::PartList;

use super::App;
use super::saving::NewFile;
use crate::action::Action;
use crate::page_order::PageOrder;
use crate::panel::changed_on_disk::{self, ChangedAnswer};
use crate::panel::file_window::{FileAnswer, FileWanted, FileWindow};
use crate::panel::own_target::{OwnTarget, OwnTargetAnswer};
use crate::panel::panels_window::{self, PanelsAnswer, PanelsInput};
use crate::panel::sheet_window::SheetWindow;
use crate::panel::sketch_window::{SketchAnswer, SketchInput, SketchWindow};
use crate::panel::status_line::Notice;
use crate::panel::tables_window::TablesWindow;
use crate::panel::unsaved::{self, UnsavedAnswer};
use crate::panel::wish_file_window::WishFileWindow;
use crate::panel::{about, site};
use crate::panel_count::can_be_listed;
use crate::state::mosaic_hours;
use crate::tables::panels as panel_table;
use crate::words::counted;

/// Which windows are open.
#[derive(Default)]
pub(super) struct Dialogs {
    pub(super) site: bool,
    pub(super) about: bool,
    pub(super) panels: bool,
    pub(super) picture: bool,
    /// Whether its first button takes the keyboard when next shown: it was opened by menu or keys, and
    /// not with a picture.
    pub(super) picture_takes_keys: bool,
    pub(super) sketch: Option<SketchWindow>,
    pub(super) sheet: Option<SheetWindow>,
    pub(super) file: Option<FileWindow>,
    /// What is to be written once it is known where.
    pub(super) new_file: Option<NewFile>,
    pub(super) own_target: Option<OwnTarget>,
    pub(super) tables: Option<TablesWindow>,
    pub(super) wishes: Option<WishFileWindow>,
    /// What could not be done, until the person has read it.
    pub(super) failure: Option<String>,
    /// What would lose unsaved changes, and waits for an answer.
    pub(super) unsaved: Option<Action>,
    /// Where the kit is to be saved although the file there has changed meanwhile.
    pub(super) changed_on_disk: Option<PathBuf>,
    /// What goes on once the kit has been saved.
    pub(super) after_save: Option<Action>,
}

impl Dialogs {
    /// Whether one of them wants an answer before anything else is done.
    fn wants_answer(&self) -> bool {
        self.sketch.is_some()
            || self.sheet.is_some()
            || self.file.is_some()
            || self.own_target.is_some()
            || self.wishes.is_some()
            || self.failure.is_some()
            || self.unsaved.is_some()
            || self.changed_on_disk.is_some()
    }
}

impl App {
    /// Whether an answer is waited for, and keys are for that alone.
    pub(super) fn wants_answer(&self) -> bool {
        self.dialogs.wants_answer() || self.offers_work()
    }

    pub(super) fn show_dialogs(&mut self, ctx: &egui::Context) {
        let busy = self.wants_answer() || ctx.memory(|memory| memory.focused().is_some());
        if !busy && ctx.input(|input| input.key_pressed(egui::Key::Escape)) {
            self.dialogs.site = false;
            self.dialogs.about = false;
            self.dialogs.panels = false;
            self.dialogs.tables = None;
            self.dialogs.picture = false;
        }
        if self.dialogs.site {
            site::window(ctx, &mut self.dialogs.site, &mut self.document.kit);
        }
        about::window(ctx, &mut self.dialogs.about);
        self.show_panels(ctx);
        self.show_tables(ctx);
        self.show_picture(ctx);
        self.show_sketch(ctx);
        self.show_sheet(ctx);
        self.show_file(ctx);
        self.show_own_target(ctx);
        self.show_wish_file(ctx);
        self.show_unsaved(ctx);
        self.show_changed_on_disk(ctx);
        self.show_recovered(ctx);
        self.show_failure(ctx);
    }

    fn show_own_target(&mut self, ctx: &egui::Context) {
        let Some(window) = &mut self.dialogs.own_target else { return };
        let place = window.place();
        let names = self.document.kit.names(PartList::WishList).into_iter().enumerate();
        let taken: Vec<&str> =
            names.filter(|(index, _)| Some(*index) != place).map(|(_, name)| name).collect();
        match window.show(ctx, &taken) {
            OwnTargetAnswer::Asking => return,
            OwnTargetAnswer::Cancelled => {}
            OwnTargetAnswer::Done(place, wish) => self.put_wish(place, wish),
        }
        self.dialogs.own_target = None;
    }

    fn show_failure(&mut self, ctx: &egui::Context) {
        let Some(text) = &self.dialogs.failure else { return };
        let mut read = false;
        let modal = egui::Modal::new(egui::Id::unique("failure window")).show(ctx, |ui| {
            ui.set_width(440.0);
            ui.strong("That could not be done");
            ui.label(text);
            read = ui.button("Close").clicked();
        });
        if read || modal.should_close() {
            self.dialogs.failure = None;
        }
    }

    fn show_panels(&mut self, ctx: &egui::Context) {
        let Some(chosen) = self.figures.target.as_ref().filter(|_| self.dialogs.panels) else {
            self.dialogs.panels = false;
            return;
        };
        let rig = self.workspace.rig;
        let Some(entry) = self.document.kit.rigs.get(rig) else { return };
        let kit = &self.document.kit;
        let found = self.figures.panel_answer(kit, rig);
        let panels = found.map_or(&[][..], |found| found.plan.panels.as_slice());
        let year = self.workspace.target.as_deref().and_then(|name| self.year.target(name));
        let input = PanelsInput {
            rig: &entry.name,
            target: &chosen.target.name,
            count: self.figures.panel_count(kit, rig),
            searched: chosen.fits.get(rig).is_some_and(can_be_listed),
            answer: found,
            overlap: kit.limits.overlap,
            hours: &|panels| mosaic_hours::words(kit, rig, &chosen.target, panels, year),
        };
        let answer = panels_window::window(ctx, &mut self.dialogs.panels, &input);
        let (target, rig) = (&chosen.target.name, &entry.name);
        let table = || panel_table::csv_of(target, rig, panels).map_err(|error| error.to_string());
        match answer {
            PanelsAnswer::None => {}
            PanelsAnswer::Copy => {
                if let Ok(text) = table() {
                    ctx.copy_text(text);
                    let count = counted(panels.len(), "panel");
                    self.notice = Notice::done(format!("The table of {count} is on the clipboard"));
                }
            }
            PanelsAnswer::SaveCsv => {
                let (name, table) = (format!("{target} {rig} panels.csv"), table());
                self.ask_panels_file(&name, table);
            }
        }
    }

    fn show_sketch(&mut self, ctx: &egui::Context) {
        // Another window asks where it goes.
        if self.dialogs.file.is_some() {
            return;
        }
        let Some(window) = &mut self.dialogs.sketch else { return };
        let rig = self.document.kit.rigs.get(self.workspace.rig).map(|rig| rig.name.as_str());
        let target = self.figures.target.as_ref().map(|chosen| chosen.target.name.as_str());
        let answer = window.show(
            ctx,
            &mut SketchInput {
                kit: &self.document.kit,
                sky: &self.sky,
                choice: &mut self.workspace.export,
                target,
                rig,
                clipboard: &self.clipboard,
                evening: self.year_view.evening(),
                picture: self.picture.placed(),
            },
        );
        match answer {
            SketchAnswer::Asking => return,
            SketchAnswer::Cancelled => {}
            SketchAnswer::Export(order, format) => {
                let (about, kind) = match &order {
                    PageOrder::Sketch(_) => (target, ""),
                    PageOrder::Strip(strip) if strip.is_over_targets() => (rig, " strip"),
                    PageOrder::Strip(_) => (target, " strip"),
                };
                let about = about.unwrap_or("picture");
                let name = format!("{about}{kind}.{}", format.extension());
                self.ask_picture_file(&name, order, format);
            }
        }
        self.dialogs.sketch = None;
    }

    fn show_file(&mut self, ctx: &egui::Context) {
        // Taken out, so that a failure can ask again with a window of its own.
        let Some(mut window) = self.dialogs.file.take() else { return };
        match window.show(ctx) {
            FileAnswer::Asking => self.dialogs.file = Some(window),
            FileAnswer::Cancelled => {
                self.dialogs.after_save = None;
                self.dialogs.new_file = None;
            }
            FileAnswer::Chosen(wanted, path) => {
                let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
                self.last_folder = folder.map(Path::to_owned).or(self.last_folder.take());
                self.use_file(wanted, path, ctx);
            }
        }
    }

    fn use_file(&mut self, wanted: FileWanted, path: PathBuf, ctx: &egui::Context) {
        match wanted {
            FileWanted::OpenKit => self.queue.push(Action::Open(path)),
            FileWanted::SaveKit => self.queue.push(Action::SaveAs(path)),
            FileWanted::OpenWishes => self.queue.push(Action::ReadWishes(path)),
            FileWanted::OwnPicture => self.open_picture(path, ctx),
            FileWanted::Picture(_)
            | FileWanted::Panels
            | FileWanted::Table
            | FileWanted::SaveWishes
            | FileWanted::Sheet(_) => self.write_new_file(path, ctx),
        }
    }

    fn show_unsaved(&mut self, ctx: &egui::Context) {
        let Some(waiting) = self.dialogs.unsaved.clone() else { return };
        match unsaved::window(ctx, &self.document.kit.name) {
            UnsavedAnswer::Asking => return,
            UnsavedAnswer::Stay => {}
            UnsavedAnswer::Discard => self.go_on(waiting, ctx),
            UnsavedAnswer::Save => {
                self.dialogs.after_save = Some(waiting);
                self.queue.push(Action::Save);
            }
        }
        self.dialogs.unsaved = None;
    }

    fn show_changed_on_disk(&mut self, ctx: &egui::Context) {
        let Some(path) = self.dialogs.changed_on_disk.clone() else { return };
        match changed_on_disk::window(ctx, &path) {
            ChangedAnswer::Asking => return,
            ChangedAnswer::Stay => self.dialogs.after_save = None,
            ChangedAnswer::SaveAs => self.queue.push(Action::AskSaveAs),
            ChangedAnswer::Replace => self.write_kit(path),
        }
        self.dialogs.changed_on_disk = None;
    }

    /// Where a file may be, under a name that any file system takes, or the folder alone for none: the
    /// kit where it was, anything else where a file was asked for last, or else beside the kit.
    pub(super) fn proposed_path(&self, wanted: FileWanted, name: &str) -> PathBuf {
        let plain: String = name
            .chars()
            .map(|c| if c.is_control() || "/\\:*?\"<>|".contains(c) { '-' } else { c })
            .collect();
        let kit = self.document.path().and_then(Path::parent);
        let last = self.last_folder.as_deref();
        let is_kit = wanted == FileWanted::SaveKit;
        let folder = match if is_kit { kit.or(last) } else { last.or(kit) } {
            Some(folder) => Some(folder.to_owned()),
            None => directories::UserDirs::new()
                .map(|dirs| dirs.document_dir().unwrap_or_else(|| dirs.home_dir()).to_owned()),
        };
        folder.map_or_else(|| PathBuf::from(&plain), |folder| folder.join(&plain))
    }
}
