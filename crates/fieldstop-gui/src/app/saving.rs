//! Files that the window writes: made and put on disk by a worker, since either can take a while.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::App;
use crate::action::Action;
use crate::files::replace_file;
use crate::panel::file_window::{FileWanted, FileWindow};
use crate::panel::status_line::Notice;
use crate::worker::{Job, JobState};

/// Share of the progress that making a file's contents takes; writing them takes the rest.
const MADE: f32 = 0.9;

/// Is told the share done, 0 to 1, and answers whether to go on.
pub(super) type Go<'a> = dyn FnMut(f32) -> bool + 'a;

/// Makes the contents of a file for the path that it goes to, or says in words why it cannot.
type Make = dyn Fn(&Path, &mut Go<'_>) -> Result<Vec<u8>, String> + Send + Sync;

/// A file that was asked for, wherever it is to go. It holds all that it is made from, so that the
/// same one can be written elsewhere after a failure.
#[derive(Clone)]
pub(super) struct NewFile {
    wanted: FileWanted,
    label: &'static str,
    make: Arc<Make>,
}

impl NewFile {
    /// A file of a kind; `label` says what is done while it is made and written.
    pub(super) fn new(
        wanted: FileWanted,
        label: &'static str,
        make: impl Fn(&Path, &mut Go<'_>) -> Result<Vec<u8>, String> + Send + Sync + 'static,
    ) -> Self {
        Self { wanted, label, make: Arc::new(make) }
    }

    /// Makes and writes it; what the file held before stays unless all went well.
    fn write(&self, path: &Path, go: &mut Go<'_>) -> Result<(), String> {
        // Refused before the work, not after it.
        replace_file::check(path).map_err(|error| error.to_string())?;
        let contents = (self.make)(path, &mut |share| go(MADE * share))?;
        let mut written = |share| go(MADE + (1.0 - MADE) * share);
        replace_file::replace_unless_stopped(path, &contents, &mut written)
            .map_err(|error| error.to_string())
    }
}

/// A file that is being written.
struct Saving {
    file: NewFile,
    path: PathBuf,
    job: Job<Result<(), String>>,
}

/// Files that are being written.
#[derive(Default)]
pub(super) struct Savings {
    under_way: Vec<Saving>,
    /// Whether the window closes once they are written.
    leaves: bool,
}

impl Savings {
    /// What is being written and how far it is: the file that was asked for first.
    pub(super) fn progress(&self) -> Option<(&str, f32)> {
        let job = &self.under_way.first()?.job;
        // What was done last is told in the same place, so it cannot be told there.
        let label = if self.leaves { "Closes once this is written" } else { job.label.as_str() };
        Some((label, job.progress.share()))
    }

    /// Stops the file whose progress is shown.
    pub(super) fn stop(&self) {
        if let Some(saving) = self.under_way.first() {
            saving.job.progress.cancel();
        }
    }

    /// The first that is at its end, with what came of it.
    fn ended(&mut self) -> Option<(Saving, JobState<Result<(), String>>)> {
        for place in 0..self.under_way.len() {
            let state = self.under_way.get(place).map(|saving| saving.job.poll());
            match state {
                None | Some(JobState::Running) => {}
                Some(state) => return Some((self.under_way.remove(place), state)),
            }
        }
        None
    }
}

impl App {
    /// Asks where a file is to go.
    pub(super) fn ask_where(&mut self, name: &str, file: NewFile) {
        self.ask_file(file.wanted, name);
        self.dialogs.new_file = Some(file);
    }

    /// Makes and writes the file that was asked for; the window goes on meanwhile.
    pub(super) fn write_new_file(&mut self, path: PathBuf, ctx: &egui::Context) {
        let Some(file) = self.dialogs.new_file.take() else { return };
        // The older of two files of one name must not be the one that stays.
        for saving in self.savings.under_way.iter().filter(|saving| saving.path == path) {
            saving.job.progress.cancel();
        }
        let (work, to) = (file.clone(), path.clone());
        let (wake, repaint) = (ctx.clone(), ctx.clone());
        let job = Job::start(
            file.label,
            move |progress| {
                work.write(&to, &mut |share| {
                    repaint.request_repaint();
                    progress.report(share)
                })
            },
            move || wake.request_repaint(),
        );
        self.savings.under_way.push(Saving { file, path, job });
    }

    /// Tells what became of files that are written or not.
    pub(super) fn collect_savings(&mut self, ctx: &egui::Context) {
        while let Some((Saving { file, path, job }, state)) = self.savings.ended() {
            match state {
                JobState::Running => {}
                JobState::Done(Ok(())) => {
                    self.notice = Notice::done(format!("Saved {}", path.display()));
                }
                JobState::Done(Err(_)) if job.progress.is_cancelled() => {
                    self.notice =
                        Notice::done(format!("Stopped: {} was not written", path.display()));
                }
                JobState::Done(Err(why)) => self.ask_where_else(file, &path, why),
                JobState::Lost => {
                    let why = format!("{} was not finished; nothing was written", path.display());
                    self.ask_where_else(file, &path, why);
                }
            }
        }
        if self.savings.leaves && self.savings.under_way.is_empty() {
            self.savings.leaves = false;
            self.go_on(Action::Quit, ctx);
        }
    }

    /// Asks again for a file that could not be written, unless another is being asked for.
    fn ask_where_else(&mut self, file: NewFile, path: &Path, why: String) {
        self.savings.leaves = false;
        self.notice = Notice::default();
        if self.dialogs.file.is_some() {
            self.dialogs.failure = Some(why);
        } else {
            self.dialogs.file = Some(FileWindow::again(file.wanted, path, why));
            self.dialogs.new_file = Some(file);
        }
    }

    /// Whether the window has to stay open for a file. Who closes it twice leaves without the file,
    /// which may be on a disk that no longer answers.
    pub(super) fn waits_for_savings(&mut self) -> bool {
        let waits = !self.savings.under_way.is_empty() && !self.savings.leaves;
        self.savings.leaves |= waits;
        waits
    }
}
