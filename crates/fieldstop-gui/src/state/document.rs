//! The open kit: its value, where it lives, what of it is saved, and how it came to be.

use std::path::{Path, PathBuf};

use egui::util::undoer::{Settings, Undoer};
use fieldstop::kit::Kit;

use crate::files::fingerprint::Fingerprint;

/// How a document came to be open.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Origin {
    /// The demo kit that the program brings.
    Demo,
    /// Begun empty.
    New,
    /// Read from a file.
    File,
}

/// The open kit with its history.
pub struct Document {
    /// The kit as it stands; panels change it in place.
    pub kit: Kit,
    /// Where it came from.
    pub origin: Origin,
    path: Option<PathBuf>,
    saved: Kit,
    on_disk: Option<Fingerprint>,
    history: Undoer<Kit>,
    before_joined: Option<Undoer<Kit>>,
    observed_s: f64,
}

impl Document {
    /// A kit just opened or begun, with nothing to save or undo.
    pub fn new(kit: Kit, origin: Origin, path: Option<PathBuf>) -> Self {
        // A step ends when nothing has changed for a third of a second.
        let settings = Settings { stable_time: 0.35, ..Settings::default() };
        let mut history = Undoer::with_settings(settings);
        history.add_undo(&kit);
        Self {
            saved: kit.clone(),
            kit,
            origin,
            path,
            on_disk: None,
            history,
            before_joined: None,
            observed_s: 0.0,
        }
    }

    /// With what its file held when the person last saw it.
    pub fn last_seen(self, on_disk: Option<Fingerprint>) -> Self {
        Self { on_disk, ..self }
    }

    /// What its file held when it was opened from there or saved there.
    pub fn on_disk(&self) -> Option<Fingerprint> {
        self.on_disk
    }

    /// The file it is saved in, if any.
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// Whether there is something that no file holds.
    pub fn is_changed(&self) -> bool {
        self.kit != self.saved
    }

    /// Notes that the kit as it stands is now in a file.
    pub fn mark_saved(&mut self, path: PathBuf, on_disk: Fingerprint) {
        self.saved = self.kit.clone();
        self.on_disk = Some(on_disk);
        self.path = Some(path);
        self.origin = Origin::File;
    }

    /// Ends a step of the history here, so that what follows is undone by itself.
    pub fn end_step(&mut self) {
        // Told first: a change leaves nothing to redo, which a step alone does not see to.
        self.history.feed_state(self.observed_s, &self.kit);
        self.history.add_undo(&self.kit);
    }

    /// Tells the history how the kit stands; once a frame.
    pub fn observe(&mut self, time_s: f64) {
        self.observed_s = time_s;
        self.history.feed_state(time_s, &self.kit);
    }

    /// Whether a change is still being made, so that the history wants another look.
    pub fn is_in_flux(&self) -> bool {
        self.history.is_in_flux()
    }

    /// Begins a stretch of work that will be one step of the history once it is over.
    pub fn begin_joined(&mut self) {
        self.end_step();
        self.before_joined = Some(self.history.clone());
    }

    /// Ends such a stretch: whatever was changed in it is one step now.
    pub fn end_joined(&mut self) {
        if let Some(before) = self.before_joined.take() {
            self.history = before;
        }
        self.end_step();
    }

    /// Whether there is a step to take back.
    pub fn can_undo(&self) -> bool {
        self.history.has_undo(&self.kit)
    }

    /// Whether there is a step to take again.
    pub fn can_redo(&self) -> bool {
        self.history.has_redo(&self.kit)
    }

    /// Takes the last step back.
    pub fn undo(&mut self) {
        if let Some(kit) = self.history.undo(&self.kit) {
            self.kit = kit.clone();
        }
    }

    /// Takes a step that was taken back again.
    pub fn redo(&mut self) {
        if let Some(kit) = self.history.redo(&self.kit) {
            self.kit = kit.clone();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn document() -> Document {
        Document::new(crate::starting_points::new_kit("Test"), Origin::New, None)
    }

    #[test]
    fn every_step_is_undone_by_itself() {
        let mut document = document();
        document.kit.limits.detail = 50.0;
        document.end_step();
        document.kit.limits.detail = 60.0;
        assert!(document.is_changed());
        document.undo();
        assert_eq!(document.kit.limits.detail, 50.0);
        document.undo();
        assert!(!document.is_changed() && !document.can_undo());
        document.redo();
        document.redo();
        assert_eq!(document.kit.limits.detail, 60.0);
        assert!(!document.can_redo());
    }

    #[test]
    fn a_change_after_an_undo_leaves_nothing_to_redo() {
        let mut document = document();
        document.kit.limits.detail = 50.0;
        document.end_step();
        document.undo();
        // Ended at once, as by an action in the midst of a drag, which is not observed.
        document.kit.limits.detail = 60.0;
        document.end_step();
        assert!(!document.can_redo());
        document.undo();
        document.redo();
        assert_eq!(document.kit.limits.detail, 60.0);
        assert!(!document.can_redo());
    }

    #[test]
    fn a_joined_stretch_is_one_step() {
        let mut document = document();
        document.kit.limits.detail = 30.0;
        document.begin_joined();
        for detail in [50.0, 60.0, 70.0] {
            document.kit.limits.detail = detail;
            document.end_step();
        }
        document.undo();
        assert_eq!(document.kit.limits.detail, 60.0, "within it, steps are undone one by one");
        document.end_joined();
        document.undo();
        assert_eq!(document.kit.limits.detail, 30.0);
        document.undo();
        assert!(!document.is_changed() && !document.can_undo());
        document.redo();
        document.redo();
        assert_eq!(document.kit.limits.detail, 60.0);
    }

    #[test]
    fn saving_settles_the_document() {
        let mut document = document();
        document.kit.name = "Renamed".to_owned();
        document.mark_saved("club.ron".into(), Fingerprint::of(b"club"));
        assert!(!document.is_changed());
        assert_eq!(document.origin, Origin::File);
        document.undo();
        assert!(document.is_changed(), "an undo after saving is a change again");
    }
}
