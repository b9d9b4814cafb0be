//! Asks what a comparison sheet is to be like, and shows its pages, before asking where it goes.

use std::sync::Arc;

use egui::{Color32, ColorImage, RichText, TextureHandle, TextureOptions, Ui, Vec2};
use fieldstop::kit::Kit;

use crate::nights::date::YEARS;
use crate::paint::png::render;
use crate::paint::screen::colour;
use crate::scene::palette::{Ground, Palette};
use crate::sheet::{Paper, Sheet, SheetFormat, SheetOptions};
use crate::sky::Sky;
use crate::state::worked::Worked;
use crate::widget::NumberField;
use crate::worker::Progress;

/// Width of the page that is shown.
const PREVIEW_PT: f32 = 330.0;
/// Its pixels for each point of the window, so that letters are still letters.
const FINENESS: f64 = 2.0;

/// What was decided.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum SheetAnswer {
    /// Nothing yet.
    Asking,
    /// Go on and ask where.
    Export(SheetFormat),
    /// Nothing was wanted after all.
    Cancelled,
}

/// What the pages shown were made from.
#[derive(Clone, PartialEq)]
struct Question {
    kit: Kit,
    options: SheetOptions,
}

/// The pages as pictures, or why there are none.
type Pages = Result<Vec<ColorImage>, String>;

/// The window.
pub struct SheetWindow {
    options: SheetOptions,
    format: SheetFormat,
    pages: Worked<Question, Pages>,
    page: usize,
    /// The picture that is shown, of which page.
    shown: Option<(usize, TextureHandle)>,
    fresh: bool,
    /// What white paper looks like in the window's theme.
    light: Color32,
}

impl SheetWindow {
    /// Opens on the chosen target, year and rig.
    pub fn new(target: Option<String>, year: i16, chosen: usize) -> Self {
        Self {
            options: SheetOptions { target, year, chosen, ..SheetOptions::default() },
            format: SheetFormat::default(),
            pages: Worked::default(),
            page: 0,
            shown: None,
            fresh: true,
            light: Color32::WHITE,
        }
    }

    /// What the sheet is to show.
    pub fn options(&self) -> &SheetOptions {
        &self.options
    }

    /// Shows the window.
    pub fn show(
        &mut self,
        ctx: &egui::Context,
        kit: &Kit,
        sky: &Arc<Sky>,
        palette: &Palette,
    ) -> SheetAnswer {
        // White paper would end the night for eyes that are used to the dark.
        let is_red = palette.ground == Ground::Red;
        self.light = if is_red { colour(palette.text_quiet) } else { Color32::WHITE };
        self.update(ctx, kit, sky);
        let mut answer = SheetAnswer::Asking;
        let modal = egui::Modal::new(egui::Id::unique("sheet window")).show(ctx, |ui| {
            ui.set_width(640.0);
            ui.strong("Comparison sheet");
            ui.label(
                "One to three pages for a friend who has not got the program: the answer with its \
                 reasons, the frames, demands, calendar and focal ladder. Made for printing, in \
                 grey too.",
            );
            ui.add_space(4.0);
            ui.horizontal_top(|ui| {
                ui.vertical(|ui| {
                    ui.set_width(290.0);
                    self.choices(ui, kit);
                    ui.add_space(8.0);
                    answer = self.buttons(ui);
                });
                ui.vertical(|ui| self.preview(ui));
            });
        });
        if modal.should_close() && answer == SheetAnswer::Asking {
            answer = SheetAnswer::Cancelled;
        }
        answer
    }

    /// Makes the pages anew on a worker when what they show has changed.
    fn update(&mut self, ctx: &egui::Context, kit: &Kit, sky: &Arc<Sky>) {
        if self.pages.collect() {
            self.shown = None;
        }
        let question = Question { kit: kit.clone(), options: self.options.clone() };
        if self.pages.is_asked(&question) {
            return;
        }
        let (asked, sky) = (question.clone(), sky.clone());
        self.pages.ask(question, "Composing the sheet", ctx, move |progress| {
            pictures(&asked, &sky, progress)
        });
    }

    fn choices(&mut self, ui: &mut Ui, kit: &Kit) {
        ui.horizontal(|ui| {
            ui.label("Form");
            for format in SheetFormat::ALL {
                let (label, tip) = match format {
                    SheetFormat::Pdf => ("PDF", "Pages to print or to send"),
                    SheetFormat::Html => ("HTML", "One page for a browser, every table whole"),
                };
                ui.radio_value(&mut self.format, format, label).on_hover_text(tip);
            }
        });
        if self.format == SheetFormat::Html {
            ui.weak(
                "The HTML says the same on one long page, with every table whole. The pages shown \
                 here are the PDF's.",
            );
        }
        ui.add_enabled_ui(self.format == SheetFormat::Pdf, |ui| {
            ui.horizontal(|ui| {
                ui.label("Paper");
                for paper in Paper::ALL {
                    ui.radio_value(&mut self.options.paper, paper, paper.label());
                }
            });
        });
        self.target(ui, kit);
        let field = NumberField::new("Year", "", YEARS).whole().tip("Whose nights are counted");
        if let Some(year) = field.show(ui, f64::from(self.options.year)) {
            // OK because the field accepts whole numbers from 1950 to 2100 only.
            self.options.year = year as i16;
        }
        if let Some(rig) = kit.rigs.get(self.options.chosen) {
            let words = format!(
                "The focal ladder is for the camera and aperture of {}, the chosen rig.",
                rig.name
            );
            ui.weak(words);
        }
    }

    /// The targets of the wish list, and the one that the window opened on.
    fn target(&mut self, ui: &mut Ui, kit: &Kit) {
        let mut names: Vec<String> =
            kit.wish_list.iter().map(|wish| wish.name().to_owned()).collect();
        if let Some(own) = self.options.target.as_ref().filter(|name| !names.contains(name)) {
            names.insert(0, own.clone());
        }
        ui.horizontal(|ui| {
            ui.label("Framed target");
            let shown = self.options.target.clone().or(names.first().cloned());
            let combo = egui::ComboBox::from_id_salt("sheet target")
                .selected_text(shown.unwrap_or_else(|| "none".to_owned()))
                .show_ui(ui, |ui| {
                    for name in names {
                        let chosen = self.options.target.as_ref() == Some(&name);
                        if ui.selectable_label(chosen, &name).clicked() {
                            self.options.target = Some(name);
                        }
                    }
                });
            combo.response.widget_info(|| {
                let value = self.options.target.clone().unwrap_or_default();
                egui::WidgetInfo {
                    current_text_value: Some(value),
                    ..egui::WidgetInfo::labeled(egui::Role::ComboBox, true, "Framed target")
                }
            });
        });
    }

    fn buttons(&mut self, ui: &mut Ui) -> SheetAnswer {
        let mut answer = SheetAnswer::Asking;
        let refused = self.pages.answer().is_some_and(|pages| pages.is_err());
        ui.horizontal(|ui| {
            let save = ui.add_enabled(!refused, egui::Button::new("Save as…"));
            if self.fresh && ui.memory(|memory| memory.focused().is_none()) {
                save.request_focus();
            }
            self.fresh = false;
            if save.clicked() {
                answer = SheetAnswer::Export(self.format);
            }
            if ui.button("Cancel").clicked() {
                answer = SheetAnswer::Cancelled;
            }
        });
        answer
    }

    /// The page that is looked at, or in as much room what stands in its place.
    fn preview(&mut self, ui: &mut Ui) {
        let (width, height) = self.options.paper.size_pt();
        let size = Vec2::new(PREVIEW_PT, PREVIEW_PT * (height / width) as f32);
        let answer = self.pages.answer().cloned();
        let pages = answer.as_ref().and_then(|pages| pages.as_ref().as_ref().ok());
        let count = pages.map_or(0, Vec::len);
        self.page = self.page.min(count.saturating_sub(1));
        match answer.as_deref() {
            Some(Ok(pages)) => self.page(ui, size, pages),
            Some(Err(why)) => {
                let words = RichText::new(why).color(ui.visuals().warn_fg_color);
                ui.add_sized(size, egui::Label::new(words).wrap());
            }
            None => {
                let words = RichText::new("Composing the pages").weak();
                ui.add_sized(size, egui::Label::new(words));
            }
        }
        self.turn(ui, count);
    }

    fn page(&mut self, ui: &mut Ui, size: Vec2, pages: &[ColorImage]) {
        let Some(page) = pages.get(self.page) else { return };
        if self.shown.as_ref().is_none_or(|(shown, _)| *shown != self.page) {
            let texture = ui.ctx().load_texture("sheet page", page.clone(), TextureOptions::LINEAR);
            self.shown = Some((self.page, texture));
        }
        if let Some((_, texture)) = &self.shown {
            let told = format!("Comparison sheet, page {} of {}", self.page + 1, pages.len());
            let image = egui::Image::from_texture((texture.id(), size)).tint(self.light);
            ui.add(image.alt_text(told));
        }
    }

    /// Leads from page to page.
    fn turn(&mut self, ui: &mut Ui, count: usize) {
        ui.horizontal(|ui| {
            let back = ui.add_enabled(self.page > 0, egui::Button::new("Previous page"));
            if back.clicked() {
                self.page -= 1;
            }
            let on = ui.add_enabled(self.page + 1 < count, egui::Button::new("Next page"));
            if on.clicked() {
                self.page += 1;
            }
            if count > 0 {
                let of_pdf = if self.format == SheetFormat::Html { " of the PDF" } else { "" };
                ui.label(format!("Page {} of {count}{of_pdf}", self.page + 1));
            }
        });
    }
}

/// The pages as pictures; none if nobody waits for them any more.
fn pictures(question: &Question, sky: &Sky, progress: &Progress) -> Option<Pages> {
    let mut told = |share: f32| progress.report(0.8 * share);
    let sheet = match Sheet::new(&question.kit, sky, &question.options, &mut told) {
        Ok(sheet) => sheet,
        Err(why) => return progress.report(1.0).then(|| Err(why.to_string())),
    };
    let (width, _) = question.options.paper.size_pt();
    let px_per_pt = f64::from(PREVIEW_PT) / width * FINENESS;
    let mut pictures = Vec::new();
    for page in sheet.pages() {
        if !progress.report(0.9) {
            return None;
        }
        let Ok(pixels) = render(&page.scene, px_per_pt) else {
            return Some(Err("the pages are too large to be shown".to_owned()));
        };
        let size = [pixels.width() as usize, pixels.height() as usize];
        pictures.push(ColorImage::from_rgba_premultiplied(size, pixels.data()));
    }
    Some(Ok(pictures))
}
