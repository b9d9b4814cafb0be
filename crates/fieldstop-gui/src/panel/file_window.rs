//! Asks for a file: by the system's own dialog where there is one, and always by a typed path.

use std::path::{Path, PathBuf};

use egui::{Key, RichText, TextEdit};

use crate::sheet::SheetFormat;
use crate::widget::{named, select_all};
use crate::worker::{Job, JobState};

/// What a file is wanted for.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum FileWanted {
    /// A kit to open.
    OpenKit,
    /// Where to save the kit.
    SaveKit,
    /// Where to save the sketch.
    Sketch,
    /// Where to save the mosaic panels.
    Panels,
    /// Where to save the comparison sheet.
    Sheet(SheetFormat),
}

impl FileWanted {
    fn title(self) -> &'static str {
        match self {
            Self::OpenKit => "Open kit",
            Self::SaveKit => "Save kit as",
            Self::Sketch => "Save sketch as",
            Self::Panels => "Save panels as",
            Self::Sheet(_) => "Save comparison sheet as",
        }
    }

    fn button(self) -> &'static str {
        if self == Self::OpenKit { "Open" } else { "Save" }
    }

    fn extension(self) -> (&'static str, &'static str) {
        match self {
            Self::OpenKit | Self::SaveKit => ("Fieldstop kit", "ron"),
            Self::Sketch => ("PNG picture", "png"),
            Self::Panels => ("CSV table", "csv"),
            Self::Sheet(SheetFormat::Pdf) => ("PDF document", SheetFormat::Pdf.suffix()),
            Self::Sheet(SheetFormat::Html) => ("HTML page", SheetFormat::Html.suffix()),
        }
    }
}

/// The window that asks for a file.
pub struct FileWindow {
    wanted: FileWanted,
    text: String,
    browsing: Option<Job<Option<PathBuf>>>,
    /// Frames in which the cursor is still to be put into the field.
    fresh: u8,
    problem: Option<String>,
    replacing: Option<PathBuf>,
}

/// What came of asking.
pub enum FileAnswer {
    /// Still asking.
    Asking,
    /// A file was named.
    Chosen(FileWanted, PathBuf),
    /// Nothing was wanted after all.
    Cancelled,
}

impl FileWindow {
    /// Asks for a file, with a first proposal.
    pub fn new(wanted: FileWanted, proposal: &Path) -> Self {
        let text = proposal.to_string_lossy().into_owned();
        Self { wanted, text, browsing: None, fresh: 3, problem: None, replacing: None }
    }

    /// Asks again for a file that could not be written, and says why.
    pub fn again(wanted: FileWanted, path: &Path, problem: String) -> Self {
        Self { problem: Some(problem), ..Self::new(wanted, path) }
    }

    /// Shows the window.
    pub fn show(&mut self, ctx: &egui::Context) -> FileAnswer {
        self.collect_browsed();
        let mut answer = FileAnswer::Asking;
        let modal = egui::Modal::new(egui::Id::unique("file window")).show(ctx, |ui| {
            ui.set_width(460.0);
            ui.strong(self.wanted.title());
            let field = TextEdit::singleline(&mut self.text)
                .hint_text("Path of the file")
                .desired_width(f32::INFINITY);
            let response = named(ui.add(field), "Path of the file");
            if self.fresh > 0 {
                // Not only in the first frame, which may still belong to the window before.
                self.fresh -= 1;
                response.request_focus();
                select_all(ui.ctx(), response.id, &self.text);
            }
            if response.changed() {
                self.replacing = None;
                self.problem = None;
            }
            if let Some(problem) = &self.problem {
                ui.label(RichText::new(problem).color(ui.visuals().warn_fg_color));
            }
            if let Some(path) = &self.replacing {
                let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
                let text = format!("{name} is there already. Press Save again to replace it.");
                ui.label(RichText::new(text).color(ui.visuals().warn_fg_color));
            }
            let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
            ui.horizontal(|ui| {
                if ui
                    .button("Browse…")
                    .on_hover_text("Choose in the system's file dialog")
                    .clicked()
                {
                    self.browse(ctx);
                }
                let ready = !self.text.trim().is_empty();
                if ui.add_enabled(ready, egui::Button::new(self.wanted.button())).clicked()
                    || (entered && ready)
                {
                    answer = self.accept();
                }
                if ui.button("Cancel").clicked() {
                    answer = FileAnswer::Cancelled;
                }
            });
        });
        if modal.should_close() && matches!(answer, FileAnswer::Asking) {
            answer = FileAnswer::Cancelled;
        }
        answer
    }

    /// Takes the typed path; a file that would be replaced is asked about once.
    fn accept(&mut self) -> FileAnswer {
        let mut path = PathBuf::from(self.text.trim());
        if self.wanted != FileWanted::OpenKit && path.extension().is_none() {
            path.set_extension(self.wanted.extension().1);
        }
        let replaces = self.wanted != FileWanted::OpenKit && path.exists();
        if replaces && self.replacing.as_ref() != Some(&path) {
            self.replacing = Some(path);
            return FileAnswer::Asking;
        }
        FileAnswer::Chosen(self.wanted, path)
    }

    /// Opens the system's dialog on a thread of its own: it waits for the person.
    fn browse(&mut self, ctx: &egui::Context) {
        let (wanted, start) = (self.wanted, PathBuf::from(self.text.trim()));
        let ctx = ctx.clone();
        self.browsing = Some(Job::start(
            "file dialog",
            move |_| {
                let (label, extension) = wanted.extension();
                let mut dialog = rfd::FileDialog::new()
                    .set_title(wanted.title())
                    .add_filter(label, &[extension]);
                if let Some(folder) = start.parent().filter(|folder| folder.is_dir()) {
                    dialog = dialog.set_directory(folder);
                }
                if let Some(name) = start.file_name() {
                    dialog = dialog.set_file_name(name.to_string_lossy());
                }
                if wanted == FileWanted::OpenKit { dialog.pick_file() } else { dialog.save_file() }
            },
            move || ctx.request_repaint(),
        ));
    }

    fn collect_browsed(&mut self) {
        let Some(job) = &self.browsing else { return };
        match job.poll() {
            JobState::Running => {}
            JobState::Done(path) => {
                match path {
                    Some(path) => {
                        self.text = path.to_string_lossy().into_owned();
                        // The system's dialog has asked about replacing already.
                        self.replacing = Some(path);
                    }
                    None => {
                        self.problem = Some(
                            "The system's file dialog named no file. If none appeared, there is \
                             none here: type the path above."
                                .to_owned(),
                        );
                    }
                }
                self.fresh = 3;
                self.browsing = None;
            }
            JobState::Lost => self.browsing = None,
        }
    }
}
