//! Does what was asked for: one arm an action, each one call.

use std::path::{Path, PathBuf};

use fieldstop::kit::{Kit, OtaClass, Wish};
use fieldstop::{Angle, Direction, Frame};

use super::picture::saved_from;
use super::saving::{Go, NewFile};
use super::{App, FitView, demo_kit};
use crate::action::Action;
use crate::files::kit_file;
use crate::page_order::PageOrder;
use crate::panel::file_window::{FileWanted, FileWindow};
use crate::panel::own_target::OwnTarget;
use crate::panel::sketch_window::SketchWindow;
use crate::panel::status_line::Notice;
use crate::panel::wish_list::WishRow;
use crate::scene::view::SkyView;
use crate::sketch::Format;
use crate::sky::wish::{drawn_for, target_named};
use crate::starting_points;
use crate::state::{Document, Origin, ViewChoice};
use crate::view::frame::view_of;

impl App {
    pub(super) fn run(&mut self, action: Action, ctx: &egui::Context) {
        if action.changes_kit() {
            self.document.end_step();
        }
        match action {
            Action::NewKit
            | Action::StartSteps
            | Action::OpenDemo
            | Action::Open(_)
            | Action::Quit
                if self.document.is_changed() =>
            {
                self.dialogs.unsaved = Some(action);
            }
            Action::NewKit
            | Action::StartSteps
            | Action::OpenDemo
            | Action::Open(_)
            | Action::Quit => self.go_on(action, ctx),
            Action::ResumeSteps => self.resume_steps(),
            Action::LeaveSteps => self.leave_steps(),
            Action::FinishSteps => self.finish_steps(),
            Action::AskOpen => self.ask_file(FileWanted::OpenKit, ""),
            Action::Save => self.save(),
            Action::AskSaveAs => self.ask_save_as(),
            // The window that names a file asks before one is replaced.
            Action::SaveAs(path) => self.write_kit(path),
            Action::AskSketch => self.dialogs.sketch = Some(SketchWindow::default()),
            Action::AskTable => self.ask_table(),
            Action::AskSheet => self.ask_sheet(),
            Action::ShowPanels => self.dialogs.panels = true,
            Action::ShowPicture => {
                self.dialogs.picture = !self.dialogs.picture;
                self.dialogs.picture_takes_keys = self.dialogs.picture;
            }
            Action::OpenPicture(path) => self.open_picture(path, ctx),
            Action::RemovePicture => self.remove_picture(),
            Action::ShowSite => self.dialogs.site = !self.dialogs.site,
            Action::ShowAbout => self.dialogs.about = !self.dialogs.about,
            Action::Undo => {
                self.step_in_history(Document::undo);
                // What was said of the step may no longer hold.
                self.notice = Notice::default();
            }
            Action::Redo => self.step_in_history(Document::redo),
            Action::ShowView(view) => self.show_view(view),
            Action::WorkOutYear => self.year.start_again(),
            Action::SetTheme(theme) => self.workspace.theme = theme,
            Action::FindTarget => self.find_target(),
            Action::ChooseTarget(name) => self.choose_target(name),
            Action::AddWish(wish) => self.add_wish(wish),
            Action::AskOwnTarget => self.ask_own_target(),
            Action::EditOwnTarget(place) => self.edit_own_target(place),
            Action::AskReadWishes => self.ask_read_wishes(),
            Action::ReadWishes(path) => self.read_wishes(&path, ctx),
            Action::AskSaveWishes => self.ask_save_wishes(),
            Action::RemoveWish(place) => self.remove_wish(place),
            Action::MoveWish(from, to) => self.move_wish(from, to),
            Action::ChooseRig(rig) => self.workspace.rig = rig,
            Action::AddRig(class) => self.add_rig(class),
            Action::DuplicateRig(rig) => self.duplicate_rig(rig),
            Action::RemoveRig(rig) => self.document.kit.remove_rig(rig),
            Action::MoveRig(from, to) => self.move_rig(from, to),
            Action::KeepTried(kit) => self.keep_tried(*kit),
            Action::BestFraming => self.best_framing(),
            Action::DrawOutline => self.draw_outline(),
            Action::PutOutline(outline) => self.document.kit.set_outline(outline),
            Action::RemoveOutline => self.remove_outline(),
            Action::ZoomIn => self.zoom(1.5),
            Action::ZoomOut => self.zoom(1.0 / 1.5),
            Action::ZoomToFrames => self.fit_view = Some(FitView::AllFrames),
        }
    }

    fn step_in_history(&mut self, step: impl FnOnce(&mut Document)) {
        let before = self.document.kit.wish_list.clone();
        step(&mut self.document);
        let wishes = &self.document.kit.wish_list;
        if *wishes != before {
            let same = wishes.iter().zip(&before).take_while(|(now, then)| now == then).count();
            self.wish_row = WishRow::changed(same, wishes.len());
            // What was chosen may be gone with the step.
            let chosen = self.workspace.target.clone();
            self.choose_something();
            if self.workspace.target != chosen {
                self.mark_chosen_row();
            }
        }
    }

    /// Does what replaces the open kit or leaves, once nothing unsaved stands in the way.
    pub(super) fn go_on(&mut self, action: Action, ctx: &egui::Context) {
        match action {
            Action::NewKit => {
                let kit = starting_points::new_kit("My kit");
                self.show_document(Document::new(kit, Origin::New, None));
                self.dialogs.site = true;
                self.notice = Notice::done(
                    "An empty kit: say where you are, then add a candidate and a target.",
                );
            }
            Action::StartSteps => self.start_steps(),
            Action::OpenDemo => {
                let kit = demo_kit(&self.sky.catalogue);
                self.show_document(Document::new(kit, Origin::Demo, None));
            }
            Action::Open(path) => self.open(&path),
            Action::Quit if self.waits_for_savings() => {}
            Action::Quit => {
                self.may_close = true;
                ctx.send_viewport_cmd(egui::ViewportCommand::Close);
            }
            _ => {}
        }
    }

    pub(super) fn show_document(&mut self, document: Document) {
        self.document = document;
        (self.last_folder, self.target_before) = (None, None);
        self.wish_row = WishRow::default();
        self.steps = None;
        self.choose_view.forget_kit();
        self.workspace.target = None;
        self.workspace.rig = 0;
        self.choose_something();
        self.fit_view = Some(FitView::ChosenFrame);
    }

    /// Chooses what was chosen before, or else the first wish, unless something that exists is chosen
    /// already.
    pub(super) fn choose_something(&mut self) {
        self.update_figures();
        if self.figures.target.is_some() {
            return;
        }
        let wishes = &self.document.kit.wish_list;
        let is_before = |wish: &&Wish| self.target_before.as_deref() == Some(wish.name());
        let wish = wishes.iter().find(is_before).or(wishes.first());
        self.workspace.target = wish.map(|wish| wish.name().to_owned());
        self.update_figures();
        self.fit_view = Some(FitView::ChosenFrame);
    }

    pub(super) fn open(&mut self, path: &Path) {
        match kit_file::open(path, &|name| self.sky.catalogue.named(name).is_some()) {
            Ok((kit, on_disk)) => {
                let document = Document::new(kit, Origin::File, Some(path.to_owned()));
                self.show_document(document.last_seen(Some(on_disk)));
                self.workspace.remember(path);
                self.notice = Notice::done(format!("Opened {}", path.display()));
            }
            Err(error) => {
                self.notice = Notice::failed(format!(
                    "{}. Your open kit is unchanged.",
                    error.to_string().trim_end_matches('.')
                ));
                self.dialogs.failure = Some(self.notice.text.clone());
            }
        }
    }

    pub(super) fn ask_file(&mut self, wanted: FileWanted, name: &str) {
        let proposal = self.proposed_path(wanted, name);
        self.dialogs.file = Some(FileWindow::new(wanted, &proposal));
    }

    fn save(&mut self) {
        match self.document.path() {
            Some(path) if self.is_changed_on_disk(path) => {
                self.dialogs.changed_on_disk = Some(path.to_owned());
            }
            Some(path) => self.write_kit(path.to_owned()),
            None => self.ask_save_as(),
        }
    }

    fn ask_save_as(&mut self) {
        let name = format!("{}.ron", self.document.kit.name);
        self.ask_file(FileWanted::SaveKit, &name);
    }

    /// Whether a file holds something else than when the person last saw it. One that is gone
    /// holds nothing that could be lost.
    fn is_changed_on_disk(&self, path: &Path) -> bool {
        let seen = self.document.on_disk();
        seen.is_some() && kit_file::fingerprint(path).is_some_and(|now| Some(now) != seen)
    }

    pub(super) fn write_kit(&mut self, path: PathBuf) {
        let (old, new) = (self.document.path().and_then(Path::parent), path.parent());
        let written = saved_from(&self.document.kit, old, new)
            .map_err(|error| error.to_string())
            .and_then(|kit| {
                let on_disk = kit_file::write(&path, &kit).map_err(|e| e.to_string())?;
                Ok((kit, on_disk))
            });
        match written {
            Ok((kit, on_disk)) => {
                self.document.kit = kit;
                self.notice = Notice::done(format!("Saved {}", path.display()));
                self.workspace.remember(&path);
                self.document.mark_saved(path, on_disk);
                if let Some(waiting) = self.dialogs.after_save.take() {
                    self.queue.push(waiting);
                }
            }
            Err(error) => {
                self.dialogs.file = Some(FileWindow::again(FileWanted::SaveKit, &path, error));
            }
        }
    }

    /// The table of panels as a file.
    pub(super) fn ask_panels_file(&mut self, name: &str, table: Result<String, String>) {
        let write = move |_: &Path, _: &mut Go<'_>| table.clone().map(String::into_bytes);
        self.ask_where(name, NewFile::new(FileWanted::Panels, "Writing the panels", write));
    }

    /// A picture as a file.
    pub(super) fn ask_picture_file(&mut self, name: &str, order: PageOrder, format: Format) {
        let (kit, sky) = (self.document.kit.clone(), self.sky.clone());
        let draw = move |path: &Path, go: &mut Go<'_>| {
            // The window has refused names of neither kind.
            order.file(&kit, &sky, Format::of(path).unwrap_or(format), go)
        };
        let wanted = FileWanted::Picture(format);
        self.ask_where(name, NewFile::new(wanted, "Drawing the picture", draw));
    }

    /// Whatever name it was found by, what is on the wish list is chosen there.
    fn choose_target(&mut self, name: String) {
        let target = target_named(&self.document.kit, &name, &self.sky.catalogue);
        let name = target.map_or(name, |target| target.name.clone());
        if self.workspace.target.as_ref() != Some(&name) {
            self.target_before = self.workspace.target.replace(name);
            self.update_figures();
            self.fit_view = Some(FitView::ChosenFrame);
        }
        self.mark_chosen_row();
    }

    fn mark_chosen_row(&mut self) {
        let is_chosen = |wish: &Wish| self.workspace.target.as_deref() == Some(wish.name());
        let place = self.document.kit.wish_list.iter().position(is_chosen);
        self.wish_row = place.map_or_else(WishRow::default, WishRow::found);
    }

    fn add_wish(&mut self, wish: Wish) {
        let kit = &mut self.document.kit;
        if kit.wish_list.iter().any(|known| known.name() == wish.name()) {
            return;
        }
        let name = wish.name().to_owned();
        kit.wish_list.push(wish);
        self.notice = Notice::done(format!("{name} is on the wish list"));
        self.choose_target(name);
    }

    fn ask_own_target(&mut self) {
        let (ra_deg, dec_deg) = self.workspace.centre_deg;
        let at = Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg));
        self.dialogs.own_target = Some(OwnTarget::new(at));
    }

    fn edit_own_target(&mut self, place: usize) {
        self.dialogs.own_target =
            self.document.kit.wish_list.get(place).and_then(|wish| OwnTarget::edit(place, wish));
    }

    /// Puts a target of the person's own on the wish list, or in place of the one there.
    pub(super) fn put_wish(&mut self, place: Option<usize>, wish: Wish) {
        self.document.end_step();
        let kit = &mut self.document.kit;
        match place.and_then(|place| kit.wish_list.get_mut(place)) {
            Some(old) => {
                let (old_name, name) = (old.name().to_owned(), wish.name().to_owned());
                *old = wish;
                for outline in kit.outlines.iter_mut().filter(|o| o.target == old_name) {
                    name.clone_into(&mut outline.target);
                }
                for aim in kit.aims.iter_mut().filter(|aim| aim.target == old_name) {
                    name.clone_into(&mut aim.target);
                }
                self.workspace.target = Some(name);
                self.fit_view = Some(FitView::ChosenFrame);
            }
            None => self.add_wish(wish),
        }
    }

    fn remove_wish(&mut self, place: usize) {
        let kit = &mut self.document.kit;
        if place < kit.wish_list.len() {
            let removed = kit.wish_list.remove(place);
            self.wish_row = WishRow::changed(place, kit.wish_list.len());
            self.notice = Notice::done(format!(
                "{} is off the wish list; undo brings it back",
                removed.name()
            ));
            self.choose_something();
        }
    }

    fn move_wish(&mut self, from: usize, to: usize) {
        let wishes = &mut self.document.kit.wish_list;
        if from < wishes.len() && to < wishes.len() {
            let wish = wishes.remove(from);
            wishes.insert(to, wish);
            self.wish_row = WishRow::found(to);
        }
    }

    fn add_rig(&mut self, class: OtaClass) {
        self.workspace.rig = starting_points::add_rig_of_class(&mut self.document.kit, class);
        self.update_figures();
        self.fit_view = Some(FitView::ChosenFrame);
    }

    fn duplicate_rig(&mut self, rig: usize) {
        if let Some(copy) = self.document.kit.duplicate_rig(rig) {
            self.workspace.rig = copy;
        }
    }

    fn move_rig(&mut self, from: usize, to: usize) {
        self.document.kit.move_rig(from, to);
        if self.workspace.rig == from {
            self.workspace.rig = to;
        } else if self.workspace.rig == to {
            self.workspace.rig = from;
        }
    }

    fn keep_tried(&mut self, kit: Kit) {
        self.document.kit = kit;
        self.document.end_step();
        self.choose_view.drop_swap();
        self.notice = Notice::done("The change is in your kit; undo takes it back");
    }

    /// Forgets how the frame was aimed; every frame's aim, if they are kept together.
    fn best_framing(&mut self) {
        let Some(chosen) = &self.figures.target else { return };
        let names = [chosen.target.name.as_str(), chosen.target.catalogue_name()];
        let together = self.workspace.together;
        let rig = self.document.kit.rigs.get(self.workspace.rig).map(|rig| rig.name.clone());
        self.document.kit.aims.retain(|aim| {
            !names.contains(&aim.target.as_str()) || (!together && Some(&aim.rig) != rig.as_ref())
        });
    }

    /// Begins or ends drawing the chosen target's outline.
    fn draw_outline(&mut self) {
        if self.shows_steps() {
            return;
        }
        let Some(chosen) = &self.figures.target else {
            self.notice = Notice::failed("No target is chosen, so there is no outline to draw.");
            return;
        };
        let name = self.workspace.target.as_deref().unwrap_or(&chosen.target.name);
        self.frame_view.draw_outline(&self.document.kit, name, &chosen.target);
        if self.workspace.view != ViewChoice::Frame {
            self.show_view(ViewChoice::Frame);
        }
    }

    fn remove_outline(&mut self) {
        let Some(chosen) = &self.figures.target else { return };
        let name = self.workspace.target.as_deref().unwrap_or(&chosen.target.name);
        let kit = &mut self.document.kit;
        if let Some(drawn) = drawn_for(kit, name, &chosen.target) {
            let key = drawn.target.clone();
            kit.remove_outline(&key);
            self.notice =
                Notice::done(format!("The drawn outline of {name} is gone; undo brings it back"));
        }
    }

    fn zoom(&mut self, factor: f64) {
        let size = egui::vec2(2.0, 2.0);
        let view = view_of(&self.workspace, size).zoomed(factor, [1.0, 1.0]);
        self.workspace.span_deg = view.span.deg();
    }

    /// Turns the view to the chosen target, wide enough for the frames that are asked for.
    pub(super) fn fit_view(&mut self, fit: FitView) {
        let Some(chosen) = &self.figures.target else { return };
        let middle = chosen.target.middle();
        let rigs = self.document.kit.rigs.iter().enumerate();
        let shown = rigs.map(|(rig, entry)| match fit {
            FitView::ChosenFrame => rig == self.workspace.rig,
            FitView::AllFrames => entry.shown,
        });
        let reach = |frame: &Frame| {
            let corners = frame.corners();
            corners.iter().map(|corner| corner.separation(middle)).fold(Angle::ZERO, Angle::max)
        };
        let frames = chosen
            .frames
            .iter()
            .zip(shown)
            .filter(|(_, shown)| *shown)
            .map(|(frame, _)| reach(frame))
            .fold(Angle::ZERO, Angle::max);
        let outline = chosen.target.shape().map_or(Angle::ZERO, |shape| shape.major() / 2.0);
        let span = frames.max(outline).max(Angle::from_arcmin(4.0)) * 3.2;
        self.workspace.centre_deg = (middle.ra().deg(), middle.dec().deg());
        self.workspace.span_deg = span.min(SkyView::SPAN_MAX).max(SkyView::SPAN_MIN).deg();
    }
}
