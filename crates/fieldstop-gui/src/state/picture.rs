//! The person's own picture: read on a worker, then painted anew whenever its look changes.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use fieldstop::kit::Background;

use super::worked::Worked;
use crate::own_picture::stretch::Look;
use crate::own_picture::{OwnPicture, PictureError, open, path};
use crate::scene::PlacedPicture;
use crate::scene::picture::RowOrder;
use crate::scene::raster::Raster;
use crate::worker::{Job, JobState};

/// A file that is being read.
struct Reading {
    path: PathBuf,
    rows: RowOrder,
    /// Whether the person has just chosen it, so that it is not in the kit yet.
    is_new: bool,
    job: Job<Result<OwnPicture, PictureError>>,
}

/// What came of reading a file.
#[derive(Debug, PartialEq)]
pub enum PictureNews {
    /// One that the person chose can stand under the frames, and looks best so at first.
    Opened(PathBuf, Look),
    /// One that the person chose cannot, and why.
    Refused(PathBuf, String),
    /// The kit's own cannot be shown, and why.
    Missing(String),
}

/// The picture as far as it is known.
#[derive(Default)]
pub struct PictureFigures {
    reading: Option<Reading>,
    read: Option<(PathBuf, RowOrder, Arc<OwnPicture>)>,
    /// Of the kit's picture, why it is not there.
    problem: Option<(PathBuf, String)>,
    painted: Worked<(PathBuf, Look), Raster>,
    placed: Option<PlacedPicture>,
}

impl PictureFigures {
    /// Reads a file that the person chose; what stands under the frames stays until it is there.
    pub fn choose(&mut self, path: PathBuf, ctx: &egui::Context) {
        // Named as the kit will name it, or it would be read a second time for the kit.
        self.start(path::whole(&path), RowOrder::FromBottom, true, ctx);
    }

    fn start(&mut self, path: PathBuf, rows: RowOrder, is_new: bool, ctx: &egui::Context) {
        self.stop();
        let (wake, repaint, file) = (ctx.clone(), ctx.clone(), path.clone());
        let job = Job::start(
            "Reading the picture",
            move |progress| {
                open(&file, rows, &mut |share| {
                    repaint.request_repaint();
                    progress.report(share)
                })
            },
            move || wake.request_repaint(),
        );
        self.reading = Some(Reading { path, rows, is_new, job });
    }

    /// Brings it up to date with the kit.
    pub fn update(
        &mut self,
        background: Option<&Background>,
        kit_folder: Option<&Path>,
        ctx: &egui::Context,
    ) -> Option<PictureNews> {
        let news = self.collect();
        if matches!(news, Some(PictureNews::Opened(..))) {
            // The kit is told first.
            return news;
        }
        let Some(background) = background else {
            self.placed = None;
            return news;
        };
        let path = path::whole(&path::resolved(&background.path, kit_folder));
        let rows = RowOrder::of(background);
        let is_it = |known: &Path, known_rows| known == path && known_rows == rows;
        if self.read.as_ref().is_some_and(|(known, rows, _)| is_it(known, *rows)) {
            self.paint(background, ctx);
        } else {
            self.placed = None;
            self.painted.forget();
            let is_known = self.problem.as_ref().is_some_and(|(known, _)| *known == path);
            let is_under_way =
                self.reading.as_ref().is_some_and(|r| r.is_new || is_it(&r.path, r.rows));
            if !is_known && !is_under_way {
                self.start(path, rows, false, ctx);
            }
        }
        news
    }

    fn collect(&mut self) -> Option<PictureNews> {
        let reading = self.reading.as_ref()?;
        let outcome = match reading.job.poll() {
            JobState::Running => return None,
            JobState::Done(outcome) => outcome,
            JobState::Lost => Err(PictureError::Lost),
        };
        let Reading { path, rows, is_new, .. } = self.reading.take()?;
        match outcome {
            Ok(picture) => {
                let look = picture.first_look();
                self.read = Some((path.clone(), rows, Arc::new(picture)));
                self.painted.forget();
                self.problem = None;
                is_new.then_some(PictureNews::Opened(path, look))
            }
            Err(PictureError::Stopped) if is_new => None,
            Err(error) if is_new => Some(PictureNews::Refused(path, error.to_string())),
            Err(error) => {
                let words = error.to_string();
                self.problem = Some((path, words.clone()));
                Some(PictureNews::Missing(words))
            }
        }
    }

    /// Paints it in the wanted look, one job at a time; the last look stays until the next is done.
    fn paint(&mut self, background: &Background, ctx: &egui::Context) {
        let Some((path, _, picture)) = &self.read else { return };
        self.painted.collect();
        let look = Look { dark_level: background.dark_level, stretch: background.stretch };
        let question = (path.clone(), look);
        if !self.painted.is_asked(&question) && self.painted.progress().is_none() {
            let picture = picture.clone();
            self.painted
                .ask(question, "Painting the picture", ctx, move |_| Some(picture.raster(look)));
        }
        self.placed =
            self.painted.answer().map(|raster| picture.placed(raster.clone(), background.opacity));
    }

    /// The picture as the scene takes it, once it can be shown.
    pub fn placed(&self) -> Option<&PlacedPicture> {
        self.placed.as_ref()
    }

    /// The kit's picture, if it has been read.
    pub fn picture(&self) -> Option<&OwnPicture> {
        self.placed.as_ref()?;
        self.read.as_ref().map(|(_, _, picture)| picture.as_ref())
    }

    /// Why the kit's picture is not shown.
    pub fn problem(&self) -> Option<&str> {
        self.problem.as_ref().map(|(_, words)| words.as_str())
    }

    /// What is being read and how far it is.
    pub fn progress(&self) -> Option<(String, f32)> {
        let reading = self.reading.as_ref()?;
        let name = reading.path.file_name().unwrap_or(reading.path.as_os_str()).to_string_lossy();
        Some((format!("Reading {name}"), reading.job.progress.share()))
    }

    /// Stops reading at the next row.
    pub fn stop(&self) {
        if let Some(reading) = &self.reading {
            reading.job.progress.cancel();
        }
    }

    /// Tries again to read the kit's picture.
    pub fn try_again(&mut self) {
        self.problem = None;
    }
}

impl Drop for PictureFigures {
    /// Nobody waits for the picture any more.
    fn drop(&mut self) {
        self.stop();
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::panic, reason = "a test fails by panicking, and one panics on purpose")]
    use std::thread;
    use std::time::Duration;

    use super::*;

    /// Brings it up to date until there is news.
    fn news(figures: &mut PictureFigures, background: Option<&Background>) -> PictureNews {
        let ctx = egui::Context::default();
        loop {
            if let Some(news) = figures.update(background, None, &ctx) {
                return news;
            }
            thread::sleep(Duration::from_millis(1));
        }
    }

    fn lost(is_new: bool) -> PictureFigures {
        let job = Job::start("reading", |_| panic!("a library that gives up"), || ());
        let mut figures = PictureFigures::default();
        figures.reading = Some(Reading {
            path: path::whole("a.fits".as_ref()),
            rows: RowOrder::FromBottom,
            is_new,
            job,
        });
        figures
    }

    #[test]
    fn a_reader_that_panics_is_told_of_and_changes_nothing() {
        let words = PictureError::Lost.to_string();
        let refused = PictureNews::Refused(path::whole("a.fits".as_ref()), words.clone());
        assert_eq!(news(&mut lost(true), None), refused);

        let path = "a.fits".to_owned();
        let kits =
            Background { path, opacity: 1.0, dark_level: 0.0, stretch: 0.0, rows_from_top: false };
        let mut figures = lost(false);
        assert_eq!(news(&mut figures, Some(&kits)), PictureNews::Missing(words.clone()));
        assert_eq!(figures.problem(), Some(words.as_str()));
        // It is not tried over and over.
        figures.update(Some(&kits), None, &egui::Context::default());
        assert!(figures.progress().is_none());
    }

    /// A name may be one from where the program was started, and so may the kit's folder. Read a
    /// second time for the kit, its progress would begin anew.
    #[test]
    fn a_picture_that_was_chosen_is_read_once() {
        let file = PathBuf::from("../../tests/reference/pictures/unsigned16.fits");
        for folder in [None, Some(Path::new("")), Some(Path::new("../../tests"))] {
            for file in [file.clone(), path::whole(&file)] {
                let ctx = egui::Context::default();
                let mut figures = PictureFigures::default();
                figures.choose(file, &ctx);
                let PictureNews::Opened(path, _) = news(&mut figures, None) else {
                    panic!("expected it to be read");
                };
                let path = path::for_kit(&path, folder).unwrap_or_default();
                let (opacity, dark_level, stretch) = (1.0, 0.0, 0.0);
                let kits = Background { path, opacity, dark_level, stretch, rows_from_top: false };
                while figures.placed().is_none() {
                    assert_eq!(figures.update(Some(&kits), folder, &ctx), None, "{folder:?}");
                    assert_eq!(figures.progress(), None, "read again, in {folder:?}");
                    thread::sleep(Duration::from_millis(1));
                }
            }
        }
    }

    #[test]
    fn a_file_that_is_gone_is_told_of_once() {
        let path = "no such picture.fits".to_owned();
        let kits =
            Background { path, opacity: 1.0, dark_level: 0.0, stretch: 0.0, rows_from_top: false };
        let mut figures = PictureFigures::default();
        let PictureNews::Missing(why) = news(&mut figures, Some(&kits)) else {
            panic!("expected to be told that it is gone");
        };
        assert!(why.contains("there is no such file"), "{why}");
        assert!(figures.update(Some(&kits), None, &egui::Context::default()).is_none());
        assert!(figures.progress().is_none() && figures.placed().is_none());
        figures.try_again();
        assert!(matches!(news(&mut figures, Some(&kits)), PictureNews::Missing(_)));
    }
}
