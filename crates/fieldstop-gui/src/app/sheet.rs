//! The comparison sheet: its window, and the job that writes it.

use std::path::PathBuf;

use super::App;
use crate::files::replace_file;
use crate::panel::file_window::{FileWanted, FileWindow};
use crate::panel::sheet_window::{SheetAnswer, SheetWindow};
use crate::panel::status_line::Notice;
use crate::sheet::{self, SheetFormat, SheetOptions};
use crate::theme;
use crate::worker::{Job, JobState};

/// A sheet being asked about or written.
#[derive(Default)]
pub(super) struct SheetExport {
    window: Option<SheetWindow>,
    /// As decided in the window, until the file is written.
    options: SheetOptions,
    job: Option<(SheetFormat, SheetJob)>,
}

/// Gives the path that was written, or with it why it was not.
type SheetJob = Job<Result<PathBuf, (PathBuf, String)>>;

impl SheetExport {
    /// What is being written and how far it is.
    pub(super) fn progress(&self) -> Option<(&str, f32)> {
        let (_, job) = self.job.as_ref()?;
        Some((job.label.as_str(), job.progress.share()))
    }

    /// Stops what is being written.
    pub(super) fn stop(&self) {
        if let Some((_, job)) = &self.job {
            job.progress.cancel();
        }
    }
}

impl App {
    /// Opens the window on what is chosen.
    pub(super) fn ask_sheet(&mut self) {
        let target = self.figures.target.as_ref().map(|chosen| chosen.target.name.clone());
        // The wish list's own name for it, where it has one.
        let target = self.workspace.target.clone().filter(|_| target.is_some()).or(target);
        let year = self.year.nights().map_or(sheet::USUAL_YEAR, |nights| nights.year);
        self.sheet.window = Some(SheetWindow::new(target, year, self.workspace.rig));
    }

    pub(super) fn show_sheet(&mut self, ctx: &egui::Context) {
        let palette = theme::palette(self.workspace.theme);
        let Some(window) = &mut self.sheet.window else { return };
        match window.show(ctx, &self.document.kit, &self.sky, &palette) {
            SheetAnswer::Asking => return,
            SheetAnswer::Cancelled => {}
            SheetAnswer::Export(format) => {
                self.sheet.options = window.options().clone();
                let name = format!("{} comparison.{}", self.document.kit.name, format.suffix());
                let path = self.beside_kit(&name);
                self.dialogs.file = Some(FileWindow::new(FileWanted::Sheet(format), &path));
            }
        }
        self.sheet.window = None;
    }

    /// Writes the sheet on a worker; the window goes on meanwhile.
    pub(super) fn export_sheet(&mut self, format: SheetFormat, path: PathBuf, ctx: &egui::Context) {
        let (kit, options) = (self.document.kit.clone(), self.sheet.options.clone());
        let (sky, ctx) = (self.sky.clone(), ctx.clone());
        let repaint = ctx.clone();
        let job = Job::start(
            "Writing the comparison sheet",
            move |progress| {
                let mut told = |share| {
                    repaint.request_repaint();
                    progress.report(share)
                };
                let failed = |why: String| (path.clone(), why);
                let file = sheet::sheet(&kit, &sky, &options, format, &mut told)
                    .map_err(|error| failed(error.to_string()))?;
                replace_file::replace(&path, &file).map_err(|error| failed(error.to_string()))?;
                Ok(path)
            },
            move || ctx.request_repaint(),
        );
        self.sheet.job = Some((format, job));
    }

    pub(super) fn collect_sheet(&mut self) {
        let Some((format, job)) = &self.sheet.job else { return };
        self.notice = match job.poll() {
            JobState::Running => return,
            JobState::Done(Ok(path)) => Notice::done(format!("Saved {}", path.display())),
            JobState::Done(Err((path, why))) => {
                let wanted = FileWanted::Sheet(*format);
                self.dialogs.file = Some(FileWindow::again(wanted, &path, why));
                Notice::default()
            }
            JobState::Lost => Notice::failed("The sheet was not finished; nothing was written."),
        };
        self.sheet.job = None;
    }
}
