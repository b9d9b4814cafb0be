//! The comparison sheet: its window, and the file that it asks for.

use std::path::Path;

use super::App;
use super::saving::{Go, NewFile};
use crate::panel::file_window::FileWanted;
use crate::panel::sheet_window::{SheetAnswer, SheetWindow};
use crate::sheet::{self, SheetFormat, SheetOptions};
use crate::theme;

impl App {
    /// Opens the window on what is chosen.
    pub(super) fn ask_sheet(&mut self) {
        let target = self.figures.target.as_ref().map(|chosen| chosen.target.name.clone());
        // The wish list's own name for it, where it has one.
        let target = self.workspace.target.clone().filter(|_| target.is_some()).or(target);
        let year = self.year.nights().map_or(sheet::USUAL_YEAR, |nights| nights.year);
        self.dialogs.sheet = Some(SheetWindow::new(target, year, self.workspace.rig));
    }

    pub(super) fn show_sheet(&mut self, ctx: &egui::Context) {
        let palette = theme::palette(self.workspace.theme);
        let Some(window) = &mut self.dialogs.sheet else { return };
        match window.show(ctx, &self.document.kit, &self.sky, &palette) {
            SheetAnswer::Asking => return,
            SheetAnswer::Cancelled => {}
            SheetAnswer::Export(format) => {
                let options = window.options().clone();
                self.ask_sheet_file(options, format);
            }
        }
        self.dialogs.sheet = None;
    }

    fn ask_sheet_file(&mut self, options: SheetOptions, format: SheetFormat) {
        let name = format!("{} comparison.{}", self.document.kit.name, format.suffix());
        let (kit, sky) = (self.document.kit.clone(), self.sky.clone());
        let compose = move |_: &Path, go: &mut Go<'_>| {
            sheet::sheet(&kit, &sky, &options, format, go).map_err(|error| error.to_string())
        };
        let wanted = FileWanted::Sheet(format);
        self.ask_where(&name, NewFile::new(wanted, "Writing the comparison sheet", compose));
    }
}
