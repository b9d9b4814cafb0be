//! What a file of targets would add to the wish list, before it does.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{RichText, ScrollArea, Ui};
use fieldstop::Angle;
use fieldstop::kit::{Kit, Wish};
use fieldstop::sexagesimal::{dec_text, ra_text};

use crate::files::wish_import::{self, Left, Sorted, Taken};
use crate::files::wish_row::At;
use crate::sky::Sky;
use crate::widget::scrolled_in;
use crate::words::{self, counted};
use crate::worker::{Job, JobState};

/// Rows of a group that are shown; a file can have 20,000.
const SHOWN: usize = 200;

/// What came of the window.
pub enum WishFileAnswer {
    /// Nothing yet.
    Asking,
    /// Put these on the list.
    Add(Vec<Wish>),
    /// Nothing was wanted after all.
    Cancelled,
}

enum Stage {
    Reading(Job<Result<Sorted, String>>),
    Read(Box<Sorted>),
    Refused(String),
}

/// The window.
pub struct WishFileWindow {
    path: PathBuf,
    stage: Stage,
}

impl WishFileWindow {
    /// Reads a file beside the window and sorts its rows by what a kit has.
    pub fn new(path: &Path, kit: &Kit, sky: &Arc<Sky>, ctx: &egui::Context) -> Self {
        let (file, kit, sky, ctx) = (path.to_owned(), kit.clone(), sky.clone(), ctx.clone());
        let read = move |_: &crate::worker::Progress| {
            let list = wish_import::read(&file).map_err(|error| error.to_string())?;
            Ok(wish_import::sort_out(&list, &kit, &sky.catalogue))
        };
        let job = Job::start("Reading the list", read, move || ctx.request_repaint());
        Self { path: path.to_owned(), stage: Stage::Reading(job) }
    }

    /// Shows the window.
    pub fn show(&mut self, ctx: &egui::Context) -> WishFileAnswer {
        self.collect();
        let mut answer = WishFileAnswer::Asking;
        let name = self.path.file_name().unwrap_or(self.path.as_os_str()).to_string_lossy();
        let modal = egui::Modal::new(egui::Id::unique("wish file window")).show(ctx, |ui| {
            ui.set_width(620.0);
            ui.strong(format!("Targets from {name}"));
            match &self.stage {
                Stage::Reading(_) => {
                    ui.horizontal(|ui| {
                        ui.spinner();
                        ui.label("Reading the list");
                    });
                    if ui.button("Cancel").clicked() {
                        answer = WishFileAnswer::Cancelled;
                    }
                }
                Stage::Refused(why) => {
                    ui.label(
                        RichText::new(format!("{name}: {why}.")).color(ui.visuals().warn_fg_color),
                    );
                    ui.label("Your wish list is unchanged.");
                    if ui.button("Close").clicked() {
                        answer = WishFileAnswer::Cancelled;
                    }
                }
                Stage::Read(sorted) => answer = sorted_ui(ui, sorted),
            }
        });
        if modal.should_close() && matches!(answer, WishFileAnswer::Asking) {
            answer = WishFileAnswer::Cancelled;
        }
        answer
    }

    fn collect(&mut self) {
        let Stage::Reading(job) = &self.stage else { return };
        self.stage = match job.poll() {
            JobState::Running => return,
            JobState::Done(Ok(sorted)) => Stage::Read(Box::new(sorted)),
            JobState::Done(Err(why)) => Stage::Refused(why),
            JobState::Lost => Stage::Refused("it could not be read to its end".to_owned()),
        };
    }
}

fn sorted_ui(ui: &mut Ui, sorted: &Sorted) -> WishFileAnswer {
    let mut answer = WishFileAnswer::Asking;
    let Sorted { taken, present, unresolved, remarks } = sorted;
    for remark in remarks {
        ui.label(RichText::new(remark).color(ui.visuals().warn_fg_color));
    }
    let area = ScrollArea::vertical().max_height(430.0).auto_shrink([false, true]);
    scrolled_in(ui, "read", area, |ui| {
        group(ui, "Will be added", taken.len(), taken.iter().map(added_row));
        group(ui, "Not understood, and left", unresolved.len(), unresolved.iter().map(left_row));
        group(ui, "There already", present.len(), present.iter().map(left_row));
        if taken.is_empty() && present.is_empty() && unresolved.is_empty() {
            ui.label("The file has headings, but no targets below them.");
        }
    });
    ui.add_space(6.0);
    ui.horizontal(|ui| {
        let text = match taken.len() {
            0 => "Nothing to add".to_owned(),
            count => format!("Add {}", counted(count, "target")),
        };
        let add = ui.add_enabled(!taken.is_empty(), egui::Button::new(text));
        if ui.memory(|memory| memory.focused().is_none()) {
            add.request_focus();
        }
        if add.clicked() {
            answer = WishFileAnswer::Add(taken.iter().map(|taken| taken.wish.clone()).collect());
        }
        if ui.button("Cancel").clicked() {
            answer = WishFileAnswer::Cancelled;
        }
    });
    answer
}

/// Place, name, and what is to be said of it.
type Row<'a> = (At, &'a str, String);

fn added_row(taken: &Taken) -> Row<'_> {
    let name = taken.wish.name();
    let mut words = match &taken.wish {
        Wish::Named(_) if name == taken.name => "from the catalogue".to_owned(),
        Wish::Named(_) => format!("{name} of the catalogue"),
        Wish::Custom { ra_deg, dec_deg, major_arcmin, .. } => {
            let (ra, dec) = (Angle::from_deg(*ra_deg), Angle::from_deg(*dec_deg));
            let size = words::target_size(*major_arcmin, None, false);
            format!("a target of your own: {} {}, {size}", ra_text(ra, 0), dec_text(dec, 0))
        }
    };
    if let Some(remark) = &taken.remark {
        words += &format!("; {remark}");
    }
    (taken.at, &taken.name, words)
}

fn left_row(left: &Left) -> Row<'_> {
    (left.at, &left.name, left.why.clone())
}

fn group<'a>(ui: &mut Ui, title: &str, count: usize, rows: impl Iterator<Item = Row<'a>>) {
    if count == 0 {
        return;
    }
    ui.add_space(6.0);
    ui.strong(format!("{title}: {count}"));
    for (at, name, words) in rows.take(SHOWN) {
        ui.horizontal_top(|ui| {
            cell(ui, 62.0, RichText::new(at.to_string()).weak());
            cell(ui, 170.0, RichText::new(if name.is_empty() { "–" } else { name }));
            ui.add(egui::Label::new(words).wrap());
        });
    }
    if count > SHOWN {
        ui.weak(format!("and {} more", count - SHOWN));
    }
}

/// A text in a column; what does not fit is told to whom rests on it.
fn cell(ui: &mut Ui, width: f32, text: RichText) {
    let size = egui::vec2(width, ui.spacing().interact_size.y);
    let layout = egui::Layout::left_to_right(egui::Align::Min);
    ui.allocate_ui_with_layout(size, layout, |ui| {
        ui.set_min_width(width);
        ui.add(egui::Label::new(text).truncate());
    });
}
