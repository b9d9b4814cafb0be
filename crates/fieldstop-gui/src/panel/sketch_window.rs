//! Asks what picture is wanted, shows it small while it is being decided, and copies it.

use std::sync::Arc;

use egui::{Button, ColorImage, ComboBox, RichText, Spinner, TextureHandle, TextureOptions, Ui};
use fieldstop::kit::Kit;
use fieldstop::range::Range;
use jiff::civil::Date;

use super::picked_wishes;
use crate::clipboard::PictureClipboard;
use crate::page_order::{PageOrder, Pixels};
use crate::scene::PlacedPicture;
use crate::sketch::size::{DPI, SIDE_MM};
use crate::sketch::{Format, PageGround, Part, SketchOptions};
use crate::sky::Sky;
use crate::state::{ExportChoice, ExportWhat};
use crate::strip::{Over, StripOptions};
use crate::widget::{NumberField, date_field, named, scrolled_in};
use crate::worker::{Job, JobState};

const SIDE_PX: Range = Range { least: 16.0, most: 20_000.0, expected: "pixels from 16 to 20,000" };
/// A picture of more pixels than this is saved, not copied: the clipboard keeps all of it in memory,
/// and so does every program that looks what it holds.
const MOST_COPIED_PX: u64 = 8_000_000;
/// Share of the progress of copying that drawing takes; the clipboard packs the picture in the rest.
const DRAWN: f32 = 0.8;
/// What is told where copying was stopped.
const NOT_COPIED: &str = "Stopped; nothing was copied.";
/// How long nothing must have changed before the preview is drawn again.
const SETTLED_S: f64 = 0.2;
/// The column of questions.
const QUESTIONS_PT: f32 = 290.0;
/// The preview is no larger than this, and smaller where the window is.
const PREVIEW_PT: (f32, f32) = (580.0, 500.0);

/// What was decided.
#[derive(Clone, Debug, PartialEq)]
pub enum SketchAnswer {
    /// Nothing yet.
    Asking,
    /// Go on and ask where.
    Export(PageOrder, Format),
    /// Nothing was wanted after all.
    Cancelled,
}

/// What the window is given.
pub struct SketchInput<'a> {
    /// The kit as it stands.
    pub kit: &'a Kit,
    /// Stars and targets.
    pub sky: &'a Arc<Sky>,
    /// What was chosen before.
    pub choice: &'a mut ExportChoice,
    /// Where a copied picture goes.
    pub clipboard: &'a PictureClipboard,
    /// The chosen target's name.
    pub target: Option<&'a str>,
    /// The chosen rig's name.
    pub rig: Option<&'a str>,
    /// The evening that the Year view shows.
    pub evening: Date,
    /// The person's own picture, which lies under the frames of a sketch.
    pub picture: Option<&'a PlacedPicture>,
}

/// What a preview is of.
#[derive(Clone, PartialEq)]
struct Wanted {
    kit: Kit,
    order: PageOrder,
    format: Format,
    longest_px: u32,
}

/// A preview, or why there is none.
struct Shown {
    of: Wanted,
    texture: Result<TextureHandle, String>,
}

/// The window that asks what picture is wanted.
#[derive(Default)]
pub struct SketchWindow {
    /// What is wanted now, and since when.
    wanted: Option<(Wanted, f64)>,
    drawing: Option<(Wanted, Job<Result<ColorImage, String>>)>,
    shown: Option<Shown>,
    /// Gives the pixels across and down that were copied.
    copying: Option<Job<Result<[u32; 2], String>>>,
    copied: Option<Result<String, String>>,
    is_opened: bool,
}

impl SketchWindow {
    /// Shows the window.
    pub fn show(&mut self, ctx: &egui::Context, input: &mut SketchInput<'_>) -> SketchAnswer {
        let mut answer = SketchAnswer::Asking;
        let modal = egui::Modal::new(egui::Id::unique("sketch window")).show(ctx, |ui| {
            let Some(target) = input.target else {
                ui.set_width(320.0);
                ui.strong("Export a picture");
                ui.label("Choose a target first: the picture shows the frames around it.");
                if ui.button("Close").clicked() {
                    answer = SketchAnswer::Cancelled;
                }
                return;
            };
            let room = ctx.content_rect().size();
            // What is above and below the questions and the preview takes the rest.
            let height = (room.y - 130.0).max(120.0);
            let preview = egui::vec2(
                PREVIEW_PT.0.min(room.x - QUESTIONS_PT - 90.0).max(120.0),
                PREVIEW_PT.1.min(height),
            );
            ui.set_width(QUESTIONS_PT + preview.x + 20.0);
            ui.strong("Export a picture");
            ui.horizontal_top(|ui| {
                ui.allocate_ui(egui::vec2(QUESTIONS_PT, height), |ui| {
                    ui.set_width(QUESTIONS_PT);
                    ui.vertical(|ui| {
                        let mut area = egui::ScrollArea::vertical()
                            .max_height(height)
                            .auto_shrink([false, true]);
                        // The first question is seen first, wherever it was left the last time.
                        if !std::mem::replace(&mut self.is_opened, true) {
                            area = area.vertical_scroll_offset(0.0);
                        }
                        scrolled_in(ui, "questions", area, |ui| questions(ui, input));
                    });
                });
                ui.add_space(10.0);
                let order = order(input, target);
                ui.vertical(|ui| self.preview(ui, &order, input, preview));
            });
            ui.add_space(4.0);
            let order = order(input, target);
            answer = self.buttons(ui, order, input);
        });
        self.collect_copy();
        if modal.should_close() && answer == SketchAnswer::Asking {
            answer = SketchAnswer::Cancelled;
        }
        answer
    }

    /// Save, copy, cancel, and what came of copying.
    fn buttons(&mut self, ui: &mut Ui, order: PageOrder, input: &SketchInput<'_>) -> SketchAnswer {
        let mut answer = SketchAnswer::Asking;
        let format = input.choice.format();
        let refused = self.shown.as_ref().is_some_and(|shown| {
            shown.texture.is_err() && shown.of.order == order && shown.of.format == format
        });
        ui.horizontal(|ui| {
            let save = ui.add_enabled(!refused, Button::new("Save as…"));
            if ui.memory(|memory| memory.focused().is_none()) {
                save.request_focus();
            }
            let (width, height) = order.style().size.pixels();
            let small = u64::from(width) * u64::from(height) <= MOST_COPIED_PX;
            let free = self.copying.is_none();
            let copy = ui
                .add_enabled(!refused && small && free, Button::new("Copy picture"))
                .on_hover_text("Puts the picture, in pixels, on the clipboard")
                .on_disabled_hover_text("At most 8 million pixels are copied; save larger ones");
            if copy.clicked() {
                self.start_copy(ui.ctx(), order.clone(), input);
            }
            if ui.button("Cancel").clicked() {
                answer = SketchAnswer::Cancelled;
            }
            if let Some(job) = &self.copying {
                ui.add(egui::ProgressBar::new(job.progress.share()).desired_width(120.0));
                if ui.button("Stop copying").clicked() {
                    job.progress.cancel();
                }
            }
            match &self.copied {
                Some(Ok(words)) => drop(ui.weak(words)),
                Some(Err(why)) => {
                    ui.label(RichText::new(why).color(ui.visuals().warn_fg_color));
                }
                None => {}
            }
            if save.clicked() {
                answer = SketchAnswer::Export(order, format);
            }
        });
        answer
    }

    fn start_copy(&mut self, ctx: &egui::Context, order: PageOrder, input: &SketchInput<'_>) {
        let (kit, sky, clipboard) = (input.kit.clone(), input.sky.clone(), input.clipboard.clone());
        let (wake, repaint) = (ctx.clone(), ctx.clone());
        self.copied = None;
        self.copying = Some(Job::start(
            "Copying the picture",
            move |progress| {
                let told = |share| {
                    repaint.request_repaint();
                    progress.report(share)
                };
                let mut drawn = |share| told(DRAWN * share);
                let pixels = order.pixels(&kit, &sky, Format::Png, None, &mut drawn)?;
                if !told(DRAWN) {
                    return Err(NOT_COPIED.to_owned());
                }
                let size = pixels.size;
                clipboard.put(pixels).map(|()| size)
            },
            move || wake.request_repaint(),
        ));
    }

    fn collect_copy(&mut self) {
        let Some(job) = &self.copying else { return };
        self.copied = match job.poll() {
            JobState::Running => return,
            JobState::Done(Ok([width, height])) => {
                Some(Ok(format!("Copied {width} x {height} pixels")))
            }
            JobState::Done(Err(_)) if job.progress.is_cancelled() => {
                Some(Err(NOT_COPIED.to_owned()))
            }
            JobState::Done(Err(why)) => Some(Err(why)),
            JobState::Lost => Some(Err("The picture was not finished; nothing was copied.".into())),
        };
        self.copying = None;
    }

    /// The page small, drawn on a worker once the questions have settled.
    fn preview(
        &mut self,
        ui: &mut Ui,
        order: &PageOrder,
        input: &SketchInput<'_>,
        room: egui::Vec2,
    ) {
        // OK because the room is some hundred points; a float is cast to the nearest that fits.
        let longest_px = (longest(order, room) * ui.pixels_per_point()) as u32;
        let wanted = Wanted {
            kit: input.kit.clone(),
            order: order.clone(),
            format: input.choice.format(),
            longest_px,
        };
        self.collect_preview(ui.ctx(), &wanted);
        self.start_preview(ui.ctx(), &wanted, input.sky);
        let (_, rect) = ui.allocate_space(room);
        let current = self.shown.as_ref().is_some_and(|shown| shown.of == wanted);
        match self.shown.as_ref().map(|shown| &shown.texture) {
            Some(Ok(texture)) => {
                let size = texture.size_vec2() / ui.pixels_per_point();
                let shown = size * (room / size).min_elem().min(1.0);
                let place = egui::Rect::from_center_size(rect.center(), shown);
                let tint =
                    if current { egui::Color32::WHITE } else { egui::Color32::from_gray(150) };
                let picture = egui::Image::new(texture).fit_to_exact_size(shown).tint(tint);
                let response = ui.put(place, picture.alt_text("Preview of the picture"));
                named(response, "Preview of the picture");
            }
            Some(Err(why)) if current => {
                let words = RichText::new(why).color(ui.visuals().warn_fg_color);
                ui.put(rect, egui::Label::new(words).wrap());
            }
            _ => {
                let place = egui::Rect::from_center_size(rect.center(), egui::vec2(24.0, 24.0));
                ui.put(place, Spinner::new());
            }
        }
    }

    fn collect_preview(&mut self, ctx: &egui::Context, wanted: &Wanted) {
        let Some((of, job)) = &self.drawing else { return };
        let texture = match job.poll() {
            JobState::Running => return,
            JobState::Done(Ok(image)) => {
                Ok(ctx.load_texture("preview", image, TextureOptions::LINEAR))
            }
            // Stopped, most likely; what was shown stays until the next is there.
            JobState::Done(Err(_)) if of != wanted => {
                self.drawing = None;
                return;
            }
            JobState::Done(Err(why)) => Err(why),
            JobState::Lost => Err("The preview could not be drawn.".to_owned()),
        };
        self.shown = Some(Shown { of: of.clone(), texture });
        self.drawing = None;
    }

    /// Starts to draw what is wanted, if that is not there yet and has not changed for a moment.
    fn start_preview(&mut self, ctx: &egui::Context, wanted: &Wanted, sky: &Arc<Sky>) {
        if self.shown.as_ref().is_some_and(|shown| shown.of == *wanted) {
            return;
        }
        if let Some((drawn, job)) = &self.drawing {
            // A preview of what nobody wants any more.
            if drawn != wanted {
                job.progress.cancel();
            }
            return;
        }
        let now = ctx.input(|input| input.time);
        let since = match &self.wanted {
            Some((known, since)) if known == wanted => *since,
            _ => {
                self.wanted = Some((wanted.clone(), now));
                now
            }
        };
        if now - since < SETTLED_S && self.shown.is_some() {
            ctx.request_repaint_after(std::time::Duration::from_secs_f64(SETTLED_S));
            return;
        }
        let (sky, ctx, work) = (sky.clone(), ctx.clone(), wanted.clone());
        let job = Job::start(
            "Drawing the preview",
            move |progress| {
                let Wanted { kit, order, format, longest_px } = &work;
                let longest = Some(f64::from(*longest_px));
                let told = &mut |share| progress.report(share);
                order.pixels(kit, &sky, *format, longest, told).map(|pixels| image(&pixels))
            },
            move || ctx.request_repaint(),
        );
        self.drawing = Some((wanted.clone(), job));
    }
}

impl Drop for SketchWindow {
    /// Who closed the window does not want the clipboard to change later.
    fn drop(&mut self) {
        if let Some(job) = &self.copying {
            job.progress.cancel();
        }
        if let Some((_, job)) = &self.drawing {
            job.progress.cancel();
        }
    }
}

/// What the choices ask for.
fn order(input: &SketchInput<'_>, target: &str) -> PageOrder {
    let SketchInput { choice, rig, picture, .. } = input;
    let style = choice.style();
    let target = target.to_owned();
    match choice.what {
        ExportWhat::Sketch => PageOrder::Sketch(SketchOptions {
            target,
            rigs: Vec::new(),
            span: None,
            picture: picture.cloned(),
            style,
        }),
        ExportWhat::EveryRig(same) => {
            PageOrder::Strip(StripOptions { over: Over::Rigs { target }, same, style })
        }
        ExportWhat::EveryTarget(same) => {
            let rig = rig.unwrap_or_default().to_owned();
            let over =
                Over::Targets { rig, targets: picked_wishes::picked(&choice.wishes, input.kit) };
            PageOrder::Strip(StripOptions { over, same, style })
        }
    }
}

/// The longer side of a page that is fitted into a room.
fn longest(order: &PageOrder, room: egui::Vec2) -> f32 {
    let (width, height) = order.style().size.pixels();
    let aspect = width.max(1) as f32 / height.max(1) as f32;
    let fitted = (room.y * aspect).min(room.x);
    fitted.max(fitted / aspect)
}

fn image(pixels: &Pixels) -> ColorImage {
    // OK because a u32 fits into a usize where there is a window.
    let size = pixels.size.map(|side| side as usize);
    ColorImage::from_rgba_premultiplied(size, &pixels.rgba)
}

/// Everything that can be chosen.
fn questions(ui: &mut Ui, input: &mut SketchInput<'_>) {
    let (choice, evening) = (&mut *input.choice, input.evening);
    ui.set_width(QUESTIONS_PT - 14.0);
    let what = ComboBox::from_id_salt("what to export")
        .selected_text(choice.what.label())
        .width(QUESTIONS_PT - 30.0)
        .show_ui(ui, |ui| {
            for what in ExportWhat::ALL {
                ui.selectable_value(&mut choice.what, what, what.label()).on_hover_text(what.tip());
            }
        });
    named(what.response, "What to export").on_hover_text(choice.what.tip());
    if matches!(choice.what, ExportWhat::EveryTarget(_)) {
        picked_wishes::ui(ui, &mut choice.wishes, input.kit, &input.sky.catalogue);
    }
    ui.horizontal(|ui| {
        for ground in [PageGround::Dark, PageGround::Light] {
            ui.radio_value(&mut choice.ground, ground, ground.label());
        }
    });
    ui.horizontal(|ui| {
        ui.label("File");
        ui.radio_value(&mut choice.svg, false, "PNG").on_hover_text("Pixels, for every program");
        ui.radio_value(&mut choice.svg, true, "SVG")
            .on_hover_text("Lines and letters, sharp at any size, for drawing programs");
    });
    ui.separator();
    size_questions(ui, choice);
    ui.separator();
    ui.label("Drawn");
    egui::Grid::new("drawn parts").num_columns(2).show(ui, |ui| {
        for (place, part) in Part::ALL.into_iter().enumerate() {
            part_box(ui, choice, part);
            if place % 2 == 1 {
                ui.end_row();
            }
        }
    });
    ui.weak("Sources stay on the page as long as their data are drawn.");
    ui.separator();
    night_questions(ui, choice, evening);
}

fn part_box(ui: &mut Ui, choice: &mut ExportChoice, part: Part) {
    // Panels have their words below them.
    let possible = part != Part::Legend || choice.what == ExportWhat::Sketch;
    let mut drawn = possible && !choice.without.contains(&part);
    let response = ui.add_enabled(possible, egui::Checkbox::new(&mut drawn, part.label()));
    if response.on_disabled_hover_text("Panels have their figures below them").changed() {
        if drawn {
            choice.without.remove(&part);
        } else {
            choice.without.insert(part);
        }
    }
}

fn size_questions(ui: &mut Ui, choice: &mut ExportChoice) {
    ui.horizontal(|ui| {
        ui.label("Size");
        ui.radio_value(&mut choice.on_paper, false, "in pixels");
        ui.radio_value(&mut choice.on_paper, true, "on paper");
    });
    if !choice.on_paper {
        let (width, height) = &mut choice.pixels;
        side_px(ui, "Width", width);
        side_px(ui, "Height", height);
        return;
    }
    let (width, height) = &mut choice.mm;
    for (label, mm) in [("Width", width), ("Height", height)] {
        if let Some(value) = NumberField::new(label, "mm", SIDE_MM).show(ui, *mm) {
            *mm = value;
        }
    }
    if let Some(value) = NumberField::new("Resolution", "dpi", DPI)
        .tip("Pixels to an inch of paper; an SVG has none")
        .show(ui, choice.dpi)
    {
        choice.dpi = value;
    }
}

fn side_px(ui: &mut Ui, label: &str, pixels: &mut u32) {
    let field = NumberField::new(label, "px", SIDE_PX).whole();
    if let Some(value) = field.show(ui, f64::from(*pixels)) {
        // OK because the field accepts whole numbers from 16 to 20,000 only.
        *pixels = value as u32;
    }
}

fn night_questions(ui: &mut Ui, choice: &mut ExportChoice, evening: Date) {
    ui.checkbox(&mut choice.with_night, "Print a night")
        .on_hover_text("Its dark hours, the Moon, and when the target is up");
    if !choice.with_night {
        return;
    }
    let shown = choice.evening().unwrap_or(evening);
    if choice.evening().is_none() {
        choice.evening = shown.to_string();
    }
    ui.horizontal(|ui| {
        if let Some(date) = date_field(ui, "Evening of", shown) {
            choice.evening = date.to_string();
        }
    });
}
