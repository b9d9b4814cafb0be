//! Asks for a file: by the system's own dialog where there is one, and always by a typed path.

use std::path::{Path, PathBuf};

use egui::{Key, RichText, TextEdit};

use crate::sheet::SheetFormat;
use crate::sketch::Format;
use crate::widget::{named, select_all};
use crate::worker::{Job, JobState};

/// What a file is wanted for.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum FileWanted {
    /// A kit to open.
    OpenKit,
    /// Where to save the kit.
    SaveKit,
    /// Where to save the picture, and the kind of file if its name does not say.
    Picture(Format),
    /// Where to save the mosaic panels.
    Panels,
    /// Where to save a table.
    Table,
    /// A list of targets to read.
    OpenWishes,
    /// Where to save the wish list.
    SaveWishes,
    /// A picture to stand under the frames.
    OwnPicture,
    /// Where to save the comparison sheet.
    Sheet(SheetFormat),
}

impl FileWanted {
    fn title(self) -> &'static str {
        match self {
            Self::OpenKit => "Open kit",
            Self::SaveKit => "Save kit as",
            Self::Picture(_) => "Save picture as",
            Self::Panels => "Save panels as",
            Self::Table => "Save table as",
            Self::OpenWishes => "Wish list from a file",
            Self::SaveWishes => "Wish list to a file",
            Self::OwnPicture => "Own picture under the frames",
            Self::Sheet(_) => "Save comparison sheet as",
        }
    }

    /// Whether a file that exists is wanted.
    fn opens(self) -> bool {
        matches!(self, Self::OpenKit | Self::OpenWishes | Self::OwnPicture)
    }

    fn button(self) -> &'static str {
        if self.opens() { "Open" } else { "Save" }
    }

    /// What a sentence beside the field says; empty for nothing.
    fn hint(self) -> &'static str {
        match self {
            Self::OpenWishes => {
                "CSV with a column of names, and perhaps coordinates and sizes; or a VOTable"
            }
            Self::SaveWishes => "A name in .csv gives a table, one in .xml or .vot a VOTable",
            _ => "",
        }
    }

    /// What the system's dialog calls such files, and their endings, the usual one first.
    fn extensions(self) -> (&'static str, &'static [&'static str]) {
        match self {
            Self::OpenKit | Self::SaveKit => ("Fieldstop kit", &["ron"]),
            Self::Picture(Format::Png) => ("PNG picture", &["png"]),
            Self::Picture(Format::Svg) => ("SVG picture", &["svg"]),
            Self::Panels | Self::Table => ("CSV table", &["csv"]),
            Self::OpenWishes => {
                ("List of targets", &["csv", "tsv", "txt", "xml", "vot", "votable"])
            }
            Self::SaveWishes => ("List of targets", &["csv", "xml", "vot"]),
            Self::Sheet(SheetFormat::Pdf) => ("PDF document", &["pdf"]),
            Self::Sheet(SheetFormat::Html) => ("HTML page", &["html"]),
            Self::OwnPicture => ("Picture with world coordinates", PICTURES),
        }
    }

    /// The ending that a name without one gets.
    fn extension(self) -> &'static str {
        self.extensions().1.first().copied().unwrap_or_default()
    }
}

/// Endings of pictures' names.
const PICTURES: &[&str] =
    &["fits", "fit", "fts", "png", "jpg", "jpeg", "tif", "tiff", "FITS", "FIT", "JPG", "TIF"];

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

    /// Puts another path into the field, for the person to accept.
    pub fn propose(&mut self, path: &Path) {
        self.text = path.to_string_lossy().into_owned();
        (self.fresh, self.problem, self.replacing) = (3, None, None);
    }

    /// Shows the window.
    pub fn show(&mut self, ctx: &egui::Context) -> FileAnswer {
        self.collect_browsed();
        let mut answer = FileAnswer::Asking;
        let modal = egui::Modal::new(egui::Id::unique("file window")).show(ctx, |ui| {
            ui.set_width(460.0);
            ui.strong(self.wanted.title());
            if !self.wanted.hint().is_empty() {
                ui.weak(self.wanted.hint());
            }
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
        if !self.wanted.opens() && path.extension().is_none() {
            path.set_extension(self.wanted.extension());
        }
        if let FileWanted::Picture(_) = self.wanted
            && let Err(error) = Format::of(&path)
        {
            self.problem = Some(error.to_string());
            return FileAnswer::Asking;
        }
        let replaces = !self.wanted.opens() && path.exists();
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
                let (label, extensions) = wanted.extensions();
                let mut dialog =
                    rfd::FileDialog::new().set_title(wanted.title()).add_filter(label, extensions);
                if let Some(folder) = start.parent().filter(|folder| folder.is_dir()) {
                    dialog = dialog.set_directory(folder);
                }
                if let Some(name) = start.file_name() {
                    dialog = dialog.set_file_name(name.to_string_lossy());
                }
                if wanted.opens() { dialog.pick_file() } else { dialog.save_file() }
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
