//! Keeps unsaved work outside the window, and offers what an earlier window left behind.

use std::collections::VecDeque;
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use fieldstop::kit::Kit;

use super::App;
use crate::files::kit_file;
use crate::files::recovery::{self, Found, LeftBehind, Slot, Unsaved};
use crate::panel::recovered::{self, RecoveredAnswer};
use crate::panel::status_line::Notice;
use crate::starting_points;
use crate::state::{Document, Origin};
use crate::worker::{Job, JobState};

/// Work is kept this long after it changed: often enough to lose little, seldom enough that a drag is
/// not a hundred files.
const KEEP_AFTER_S: f64 = 1.0;

/// What a window keeps, and what it has to offer.
#[derive(Default)]
pub(super) struct Recovery {
    /// Where it keeps work; none if it has no folder to write to.
    slot: Option<Slot>,
    /// The kit that the file holds, or that could not be kept.
    kept: Option<Kit>,
    /// Since when the kit has differed from that.
    changed_at: Option<f64>,
    /// Keeping it on a worker: the kit, and why it could not be kept.
    job: Option<Job<(Kit, Option<String>)>>,
    /// The words of the last failure, so that it is told once.
    failure: Option<String>,
    offered: VecDeque<LeftBehind>,
}

impl App {
    /// Keeps unsaved work in a folder from now on, and offers what was left there.
    pub fn keeping_work_in(mut self, folder: &Path) -> Self {
        let catalogue = &self.sky.catalogue;
        let Found { work, unreadable } =
            recovery::left_behind(folder, &|name| catalogue.named(name).is_some());
        self.recovery.offered = work.into();
        match Slot::take(folder) {
            Ok(slot) => self.recovery.slot = Some(slot),
            Err(error) => {
                self.notice = Notice::failed(format!(
                    "Unsaved work cannot be kept in {}: {error}. Save often.",
                    folder.display()
                ));
            }
        }
        if let Some(why) = unreadable.first() {
            self.notice =
                Notice::failed(format!("Work of an earlier run could not be read: {why}"));
        }
        self
    }

    /// Keeps the kit a moment after it changed, and forgets what was kept once a file holds it.
    pub(super) fn keep_work(&mut self, ctx: &egui::Context) {
        let now = ctx.input(|input| input.time);
        self.collect_kept();
        let recovery = &mut self.recovery;
        let Some(slot) = recovery.slot.as_ref().filter(|_| recovery.job.is_none()) else { return };
        if !self.document.is_changed() {
            recovery.changed_at = None;
            if recovery.kept.take().is_some() {
                // A file that cannot be removed is offered at the next start; nothing is lost by it.
                let _removed = slot.clear();
            }
            return;
        }
        if recovery.kept.as_ref() == Some(&self.document.kit) {
            recovery.changed_at = None;
            return;
        }
        let since = *recovery.changed_at.get_or_insert(now);
        if now - since < KEEP_AFTER_S {
            ctx.request_repaint_after(Duration::from_secs_f64(KEEP_AFTER_S - (now - since)));
            return;
        }
        recovery.changed_at = None;
        let unsaved = Unsaved {
            kit: self.document.kit.clone(),
            path: self.document.path().map(Path::to_owned),
            on_disk: self.document.on_disk(),
        };
        let (file, ctx) = (slot.file().to_owned(), ctx.clone());
        recovery.job = Some(Job::start(
            "Keeping unsaved work",
            move |_| {
                let failure = recovery::keep(&file, &unsaved).err();
                (unsaved.kit, failure.map(|error| error.to_string()))
            },
            move || ctx.request_repaint(),
        ));
    }

    fn collect_kept(&mut self) {
        let recovery = &mut self.recovery;
        let Some(job) = &recovery.job else { return };
        match job.poll() {
            JobState::Running => return,
            JobState::Done((kit, failure)) => {
                // What could not be kept is tried again with the next change.
                recovery.kept = Some(kit);
                if let Some(why) = failure.as_ref().filter(|_| failure != recovery.failure) {
                    self.notice =
                        Notice::failed(format!("Unsaved work was not kept: {why}. Save it soon."));
                }
                recovery.failure = failure;
            }
            JobState::Lost => {}
        }
        recovery.job = None;
    }

    /// Forgets the kept work when the window closes as its person wished: saved, or given up.
    pub(super) fn forget_work(&mut self) {
        // A file being written would come back after it was removed. The disk may be slow, but a
        // person who closes a window does not wait for ever.
        let until = Instant::now() + Duration::from_secs(3);
        while self.recovery.job.is_some() && Instant::now() < until {
            self.collect_kept();
            thread::sleep(Duration::from_millis(2));
        }
        if let Some(slot) = self.recovery.slot.as_ref().filter(|_| self.may_close) {
            let _removed = slot.clear();
        }
    }

    /// Whether there is unsaved work that the folder does not hold yet.
    pub fn has_work_to_keep(&self) -> bool {
        self.recovery.slot.is_some()
            && self.document.is_changed()
            && self.recovery.kept.as_ref() != Some(&self.document.kit)
    }

    /// Whether work of an earlier run waits for its answer.
    pub(super) fn offers_work(&self) -> bool {
        !self.recovery.offered.is_empty()
    }

    pub(super) fn show_recovered(&mut self, ctx: &egui::Context) {
        let Some(first) = self.recovery.offered.front() else { return };
        let Unsaved { kit, path, .. } = &first.unsaved;
        match recovered::window(ctx, &kit.name, path.as_deref(), first.kept_at) {
            RecoveredAnswer::Asking => {}
            RecoveredAnswer::Restore => {
                if let Some(left) = self.recovery.offered.pop_front() {
                    self.restore(left);
                }
                // The others are offered at the next start, or in the next window.
                self.recovery.offered.clear();
            }
            RecoveredAnswer::Discard => {
                if let Some(left) = self.recovery.offered.pop_front()
                    && let Err(error) = left.slot.clear()
                {
                    self.notice = Notice::failed(format!(
                        "{} could not be removed: {error}",
                        left.slot.file().display()
                    ));
                }
            }
            RecoveredAnswer::Later => self.recovery.offered.clear(),
        }
    }

    /// Opens work that was left behind: as a change of its file, or of an empty kit.
    fn restore(&mut self, left: LeftBehind) {
        let Unsaved { kit, path, on_disk } = left.unsaved;
        let knows = |name: &str| self.sky.catalogue.named(name).is_some();
        let of_file = path.and_then(|path| Some((kit_file::read(&path, &knows).ok()?, path)));
        let document = match of_file {
            Some((saved, path)) => {
                Document::new(saved, Origin::File, Some(path)).last_seen(on_disk)
            }
            None => Document::new(starting_points::new_kit("My kit"), Origin::New, None),
        };
        self.show_document(document);
        self.document.kit = kit.clone();
        self.document.end_step();
        self.choose_something();
        // Its place is this window's now, and still holds it.
        self.recovery.slot = Some(left.slot);
        self.recovery.kept = Some(kit);
        self.notice = Notice::done("Your unsaved work is back. Save it to keep it.");
    }
}
