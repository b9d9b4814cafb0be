//! The window as a whole: take input, show, do what was asked for, note the history.

mod dialogs;
mod lists;
mod picture;
mod recovery;
mod run;
mod saving;
mod sheet;
mod steps;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{CentralPanel, Panel};
use fieldstop::kit::Kit;

use crate::action::{Action, Queue};
use crate::clipboard::PictureClipboard;
use crate::files;
use crate::panel::finder::Finder;
use crate::panel::first_start::FirstStart;
use crate::panel::status_line::{self, Notice};
use crate::panel::wish_list::{self, WishListInput, WishRow};
use crate::panel::{ladder, shortlist, top_bar};
use crate::scene::palette::Palette;
use crate::sky::{Catalogue, Sky};
use crate::starting_points;
use crate::state::{
    ChoiceFigures, ChoiceInput, DemandFigures, DemandInput, Document, Figures, FirstFigures,
    Origin, PictureFigures, ThemeChoice, ViewChoice, Workspace, YearFigures,
};
use crate::tables::TableName;
use crate::theme;
use crate::view::choose::{ChooseInput, ChooseView};
use crate::view::demands::{DemandsInput, DemandsView};
use crate::view::frame::{FrameInput, FrameView};
use crate::view::year::{YearInput, YearView};
use crate::widget;
use crate::worker::Job;
use dialogs::Dialogs;
use recovery::Recovery;
use saving::Savings;

/// Under which name the workspace is kept between runs.
const WORKSPACE_KEY: &str = "workspace";

/// What the view is to be made wide enough for.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
enum FitView {
    /// The target and the chosen rig's frame.
    ChosenFrame,
    /// The target and every shown rig's frame.
    AllFrames,
}

/// The program's window.
pub struct App {
    sky: Arc<Sky>,
    document: Document,
    workspace: Workspace,
    figures: Figures,
    demand_figures: DemandFigures,
    choice: ChoiceFigures,
    queue: Queue,
    dialogs: Dialogs,
    finder: Finder,
    frame_view: FrameView,
    picture: PictureFigures,
    year: YearFigures,
    year_view: YearView,
    demands_view: DemandsView,
    choose_view: ChooseView,
    steps: Option<FirstStart>,
    first: FirstFigures,
    lifted: Option<usize>,
    notice: Notice,
    /// The notice last shown, and since when.
    noticed: (Notice, f64),
    savings: Savings,
    clipboard: PictureClipboard,
    copying_table: Option<(TableName, Job<Result<String, String>>)>,
    fit_view: Option<FitView>,
    may_close: bool,
    recovery: Recovery,
    shown_theme: Option<ThemeChoice>,
    /// What was chosen before the target that is chosen now.
    target_before: Option<String>,
    /// The row of the wish list that something was done to.
    wish_row: WishRow,
    shown_title: String,
    /// Where a file was asked for last; for another kit, nowhere yet.
    last_folder: Option<PathBuf>,
    /// The control that had the keyboard in the frame before.
    focused: Option<egui::Id>,
}

impl App {
    /// The window on a kit, or on the demo kit.
    ///
    /// # Errors
    /// When the sky data that the program embeds cannot be read.
    pub fn new(
        cc: &eframe::CreationContext<'_>,
        kit: Option<PathBuf>,
    ) -> Result<Self, crate::sky::SkyError> {
        cc.egui_ctx.set_fonts(crate::font::egui_fonts());
        cc.egui_ctx.add_plugin(widget::ClosingClick::default());
        cc.egui_ctx.add_plugin(widget::FiniteNumbers);
        let stored = cc.storage.and_then(|storage| eframe::get_value(storage, WORKSPACE_KEY));
        let first_run = stored.is_none();
        let sky = Sky::embedded()?;
        let mut app = Self {
            document: Document::new(demo_kit(&sky.catalogue), Origin::Demo, None),
            sky: Arc::new(sky),
            workspace: stored.unwrap_or_default(),
            figures: Figures::default(),
            demand_figures: DemandFigures::default(),
            choice: ChoiceFigures::default(),
            queue: Queue::default(),
            dialogs: Dialogs::default(),
            finder: Finder::default(),
            frame_view: FrameView::default(),
            picture: PictureFigures::default(),
            year: YearFigures::default(),
            year_view: YearView::default(),
            demands_view: DemandsView::default(),
            choose_view: ChooseView::default(),
            steps: None,
            first: FirstFigures::default(),
            lifted: None,
            notice: Notice::default(),
            noticed: (Notice::default(), 0.0),
            savings: Savings::default(),
            clipboard: PictureClipboard::of_system(),
            copying_table: None,
            fit_view: first_run.then_some(FitView::ChosenFrame),
            may_close: false,
            recovery: Recovery::default(),
            shown_theme: None,
            target_before: None,
            wish_row: WishRow::default(),
            shown_title: String::new(),
            last_folder: None,
            focused: None,
        };
        // Where they left off, if it is still there.
        let last = app.workspace.last.clone().filter(|path| path.is_file());
        if let Some(path) = kit.or(last) {
            app.open(&path);
        }
        app.choose_something();
        // Before the first frame, which would otherwise be drawn in egui's own colours.
        app.show_theme(&cc.egui_ctx);
        Ok(app)
    }

    /// Puts copied pictures into another place than the system's clipboard.
    pub fn copying_pictures_to(mut self, clipboard: PictureClipboard) -> Self {
        self.clipboard = clipboard;
        self
    }

    /// The kit as it stands.
    pub fn document(&self) -> &Document {
        &self.document
    }

    /// Gives the window its theme, if that is another than before; seen from the next frame on.
    fn show_theme(&mut self, ctx: &egui::Context) {
        if self.shown_theme != Some(self.workspace.theme) {
            theme::apply(ctx, self.workspace.theme);
            self.shown_theme = Some(self.workspace.theme);
            ctx.request_repaint();
        }
    }

    /// Tells the system what the window is about, where that has changed.
    fn show_title(&mut self, ctx: &egui::Context) {
        let state = if self.document.is_changed() { " (not saved)" } else { "" };
        let title = format!("{}{state} – Fieldstop", self.document.kit.name);
        if title != self.shown_title {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.shown_title = title;
        }
    }

    /// Where the person looks, and how.
    pub fn workspace(&self) -> &Workspace {
        &self.workspace
    }

    fn take_input(&mut self, ctx: &egui::Context) {
        self.part_steps(ctx);
        if !self.wants_answer() {
            self.queue.listen(ctx);
            // At once: what was typed after the keys may have come with them.
            if self.queue.take_out(&Action::FindTarget) {
                self.find_target();
            }
        }
        let dropped = ctx.input(|input| input.raw.dropped_files.clone());
        if let Some(file) = dropped.first() {
            self.take_dropped(file.path());
        }
        if ctx.input(|input| input.viewport().close_requested()) && !self.may_close {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.queue.push(Action::Quit);
        }
        self.collect_savings(ctx);
        self.collect_copied_table(ctx);
    }

    fn take_dropped(&mut self, path: &Path) {
        if let Some(window) = &mut self.dialogs.file {
            window.propose(path);
            return;
        }
        if self.wants_answer() {
            self.notice = Notice::failed(format!(
                "{} was not read, because a question is open. Answer it first.",
                path.display()
            ));
            return;
        }
        let path = path.to_owned();
        self.queue.push(if lists::is_list(&path) {
            Action::ReadWishes(path)
        } else if path.extension().is_none_or(|ending| ending.eq_ignore_ascii_case("ron")) {
            Action::Open(path)
        } else {
            Action::OpenPicture(path)
        });
    }

    fn update_figures(&mut self) {
        self.figures.update(
            &self.document.kit,
            self.workspace.target.as_deref(),
            &self.sky.catalogue,
        );
        self.workspace.rig = self.workspace.rig.min(self.document.kit.rigs.len().saturating_sub(1));
        if self.workspace.view == ViewChoice::Demands {
            self.demand_figures.update(&DemandInput {
                kit: &self.document.kit,
                target: self.figures.target.as_ref().map(|chosen| &chosen.target),
                wishes: &self.figures.wishes,
                what_if: self.demands_view.what_if,
                chosen: self.workspace.rig,
                open: &self.demands_view.open,
            });
        }
    }

    fn show(&mut self, ui: &mut egui::Ui) {
        let palette = theme::palette(self.workspace.theme);
        let lifted_before = self.lifted.take();
        Panel::top("top bar").show(ui, |ui| {
            let shown = (!self.shows_steps()).then_some(self.workspace.view);
            top_bar::ui(ui, &self.document, &self.workspace, shown, &mut self.queue);
        });
        if self.document.origin == Origin::Demo {
            Panel::top("demo line").show(ui, |ui| self.demo_line(ui));
        }
        Panel::bottom("status line").show(ui, |ui| self.status_line(ui));
        if self.shows_steps() {
            self.show_steps(ui);
            return;
        }
        self.unfinished_line(ui);
        Panel::left("shortlist").default_size(292.0).size_range(240.0..=460.0).show(ui, |ui| {
            shortlist::ui(
                ui,
                &mut shortlist::ShortlistInput {
                    kit: &mut self.document.kit,
                    workspace: &mut self.workspace,
                    figures: &self.figures,
                    queue: &mut self.queue,
                    lifted: &mut self.lifted,
                    palette: &palette,
                },
            );
        });
        Panel::right("wish list").default_size(276.0).size_range(220.0..=420.0).show(ui, |ui| {
            self.wish_list(ui, &palette);
        });
        // Year has no use for it, and Choose a larger one of its own.
        if !matches!(self.workspace.view, ViewChoice::Year | ViewChoice::Choose) {
            self.ladder(ui, &palette);
        }
        let ground = egui::Frame::new().fill(ui.visuals().panel_fill);
        CentralPanel::default().frame(ground).show(ui, |ui| {
            if let Some(fit) = self.fit_view.take() {
                self.fit_view(fit);
            }
            // What the panels lifted this frame, or else what the sky itself lifted in the last.
            let mut lifted =
                self.lifted.or(lifted_before.filter(|_| self.frame_view.pointed.is_some()));
            if self.workspace.view != ViewChoice::Frame {
                // Nothing on the sky is pointed at while it is not there.
                self.frame_view.pointed = None;
            }
            match self.workspace.view {
                ViewChoice::Frame => self.frame_view.ui(
                    ui,
                    &mut FrameInput {
                        kit: &mut self.document.kit,
                        workspace: &mut self.workspace,
                        figures: &self.figures,
                        sky: &self.sky,
                        picture: self.picture.placed(),
                        palette: &palette,
                        queue: &mut self.queue,
                        lifted: &mut lifted,
                    },
                ),
                ViewChoice::Year => self.show_year(ui, &palette),
                ViewChoice::Choose => self.show_choose(ui, &palette, &mut lifted),
                ViewChoice::Demands => self.demands_view.ui(
                    ui,
                    &mut DemandsInput {
                        kit: &mut self.document.kit,
                        workspace: &self.workspace,
                        figures: &self.demand_figures,
                        target: self.figures.target.as_ref().map(|chosen| &chosen.target),
                        palette: &palette,
                        queue: &mut self.queue,
                        lifted: &mut lifted,
                    },
                ),
            }
            self.lifted = lifted;
        });
    }

    fn ladder(&mut self, ui: &mut egui::Ui, palette: &Palette) {
        Panel::bottom("focal ladder").exact_size(widget::LADDER_HEIGHT_PT).show(ui, |ui| {
            ladder::ui(
                ui,
                &mut self.document.kit,
                &self.figures,
                &self.workspace,
                &mut self.queue,
                &mut self.lifted,
                palette,
            );
        });
    }

    fn show_year(&mut self, ui: &mut egui::Ui, palette: &Palette) {
        self.frame_view.pointed = None;
        self.year_view.ui(
            ui,
            &mut YearInput {
                kit: &self.document.kit,
                workspace: &self.workspace,
                figures: &self.figures,
                year: &self.year,
                sky: &self.sky,
                palette,
                queue: &mut self.queue,
            },
        );
    }

    fn show_choose(&mut self, ui: &mut egui::Ui, palette: &Palette, lifted: &mut Option<usize>) {
        self.frame_view.pointed = None;
        self.choose_view.ui(
            ui,
            &mut ChooseInput {
                kit: &mut self.document.kit,
                workspace: &self.workspace,
                figures: &self.figures,
                choice: &self.choice,
                year: &self.year,
                palette,
                queue: &mut self.queue,
                lifted,
            },
        );
    }

    /// Keeps the choice up to date while it is looked at.
    fn update_choice(&mut self, ctx: &egui::Context) {
        if self.workspace.view != ViewChoice::Choose {
            return;
        }
        let tried = self.choose_view.tried_kit(&self.document.kit, self.workspace.rig);
        let input = ChoiceInput {
            kit: &self.document.kit,
            tried,
            figures: &self.figures,
            year: &self.year,
            chosen: self.workspace.rig,
            catalogue: self.choose_view.catalogue(),
            sky: &self.sky,
        };
        self.choice.update(input, ctx);
    }

    /// Keeps the year up to date, whatever view is shown: the wish list shows it too.
    fn update_year(&mut self, ctx: &egui::Context) {
        let kit = &self.document.kit;
        let (year, season) = self.year_view.update(kit, &self.figures);
        self.year.update(kit, &self.figures, year, season, &self.sky, ctx);
    }

    fn demo_line(&mut self, ui: &mut egui::Ui) {
        ui.horizontal(|ui| {
            ui.weak("This is a demo kit of an invented club. Change anything: it is only kept if you save it.");
            let tip = Action::StartSteps.tip();
            if ui.button("Start with my own").on_hover_text(tip).clicked() {
                self.queue.push(Action::StartSteps);
            }
        });
    }

    fn wish_list(&mut self, ui: &mut egui::Ui, palette: &Palette) {
        ui.horizontal(|ui| {
            ui.strong("Wish list");
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let menu = ui.menu_button("…", |ui| {
                    self.queue.menu_item(ui, Action::AskReadWishes, true);
                    let some = !self.document.kit.wish_list.is_empty();
                    self.queue.menu_item(ui, Action::AskSaveWishes, some);
                });
                widget::named(menu.response, "More for the wish list");
                self.queue.button(ui, Action::AskOwnTarget, true);
            });
        });
        self.finder.ui(ui, &self.document.kit, &self.sky.catalogue, &mut self.queue);
        let input = WishListInput {
            kit: &self.document.kit,
            figures: &self.figures,
            year: &self.year,
            workspace: &self.workspace,
            palette,
            is_idle: self.focused.is_none() && !self.wants_answer(),
        };
        widget::scrolled(ui, |ui| {
            wish_list::ui(ui, &input, &mut self.wish_row, &mut self.queue);
        });
    }

    /// Takes a notice away once there was time to read it.
    fn age_notice(&mut self, ctx: &egui::Context) {
        const READ_S: f64 = 15.0;
        let now = ctx.input(|input| input.time);
        if self.notice != self.noticed.0 {
            self.noticed = (self.notice.clone(), now);
            ctx.request_repaint_after(std::time::Duration::from_secs_f64(READ_S));
        } else if now - self.noticed.1 >= READ_S && !self.notice.text.is_empty() {
            self.notice = Notice::default();
        }
    }

    fn status_line(&mut self, ui: &mut egui::Ui) {
        self.age_notice(ui.ctx());
        let job = self.savings.progress();
        let pointed = status_line::Pointed {
            place: self.frame_view.pointed,
            reach: fieldstop::Angle::from_deg(self.workspace.span_deg / 80.0),
            hint: if self.shows_steps() { "" } else { self.workspace.view.pointer_hint() },
        };
        let target = self.figures.target.as_ref().map(|chosen| &chosen.target);
        let sky = (&self.document.kit, &self.sky.catalogue);
        let stop = status_line::ui(ui, pointed, target, sky, &self.notice, job);
        if stop {
            self.savings.stop();
        }
    }

    /// Ends a step of the history where a person takes up something else: with a press of the
    /// pointer, or with the keyboard on another control. The kit is still as they left it.
    fn part_steps(&mut self, ctx: &egui::Context) {
        let (pressed, held) =
            ctx.input(|input| (input.pointer.any_pressed(), input.pointer.any_down()));
        let focused = ctx.memory(|memory| memory.focused());
        let moved = std::mem::replace(&mut self.focused, focused) != focused;
        // What is dragged may take the keyboard as well, and is one step all the same.
        if pressed || (moved && !held) {
            self.document.end_step();
        }
    }

    fn note_history(&mut self, ctx: &egui::Context) {
        if ctx.input(|input| input.pointer.any_down()) {
            // However slow a drag is, it is one step; it is looked at once it is over.
            return;
        }
        self.document.observe(ctx.input(|input| input.time));
        if self.document.is_in_flux() {
            // The step ends by itself once nothing moves; look again then.
            ctx.request_repaint_after(std::time::Duration::from_millis(400));
        }
    }
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        self.show_theme(&ctx);
        self.take_input(&ctx);
        self.figures.panels.collect();
        self.update_figures();
        self.update_picture(&ctx);
        self.update_year(&ctx);
        self.update_choice(&ctx);
        self.update_steps(&ctx);
        let list_open = egui::Popup::is_any_open(&ctx);
        self.show(ui);
        self.show_dialogs(&ctx);
        widget::close_list_by_key(&ctx, list_open);
        widget::go_on_from_list(&ctx);
        widget::lift_what_opened(&ctx);
        self.figures.panels.work_out(&ctx);
        for action in self.queue.take() {
            self.run(action, &ctx);
            ctx.request_repaint();
        }
        self.note_history(&ctx);
        self.show_title(&ctx);
        self.keep_work(&ctx);
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.forget_work();
    }

    fn save(&mut self, storage: &mut dyn eframe::Storage) {
        self.workspace.last = self.document.path().map(Path::to_owned);
        eframe::set_value(storage, WORKSPACE_KEY, &self.workspace);
    }
}

/// The demo kit, or an empty one if the program was built from a demo kit that does not open.
fn demo_kit(catalogue: &Catalogue) -> Kit {
    files::demo_kit(&|name| catalogue.named(name).is_some())
        .unwrap_or_else(|_| starting_points::new_kit("My kit"))
}

/// The program's name for the system, and of its own folder.
const APP_ID: &str = "fieldstop";

/// What the system shows for the window.
const ICON: &[u8] = include_bytes!("../../../assets/desktop/fieldstop.png");

/// Opens the window and stays until it is closed.
///
/// # Errors
/// When there is no display, or no way to draw on it.
pub fn run(kit: Option<PathBuf>) -> eframe::Result {
    // A window without its icon is better than none.
    let icon = eframe::icon_data::from_png_bytes(ICON).unwrap_or_default();
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Fieldstop")
            .with_app_id(APP_ID)
            .with_icon(icon)
            .with_inner_size([1280.0, 800.0])
            .with_min_inner_size([1024.0, 680.0])
            .with_drag_and_drop(true),
        ..Default::default()
    };
    let create = |cc: &eframe::CreationContext<'_>| -> Result<Box<dyn eframe::App>, _> {
        let app = App::new(cc, kit)?;
        Ok(Box::new(match eframe::storage_dir(APP_ID) {
            Some(folder) => app.keeping_work_in(&folder),
            None => app,
        }))
    };
    eframe::run_native("Fieldstop", options, Box::new(create))
}
