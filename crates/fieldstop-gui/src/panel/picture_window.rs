//! The person's own picture under the frames: what was understood of it, and how it is shown.

use egui::{Grid, ProgressBar, Response, RichText, Slider, Ui};
use fieldstop::kit::Background;
use fieldstop::range::{DARK_LEVEL, OPACITY, STRETCH};
use fieldstop::sexagesimal::{dec_text, ra_text};
use fieldstop::world_coordinates::Parity;

use crate::own_picture::OwnPicture;
use crate::own_picture::stretch::Look;
use crate::state::PictureFigures;
use crate::widget::{beside_sky, finite_number};
use crate::words;

/// What was asked for in the window.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum PictureAnswer {
    /// Nothing yet.
    None,
    /// Another file.
    Choose,
    /// No picture.
    Remove,
    /// The view turned to it.
    LookThere,
    /// Reading the kit's file once more.
    TryAgain,
    /// No more reading.
    Stop,
}

const WIDTH_PT: f32 = 340.0;

/// Shows the window, which takes the keyboard if that is asked for.
pub fn window(
    ctx: &egui::Context,
    open: &mut bool,
    takes_keys: bool,
    background: &mut Option<Background>,
    figures: &PictureFigures,
) -> PictureAnswer {
    let mut answer = PictureAnswer::None;
    egui::Window::new("Own picture")
        .open(open)
        .default_pos(beside_sky(ctx, WIDTH_PT))
        .default_size([WIDTH_PT, 360.0])
        .resizable(false)
        .show(ctx, |ui| {
            ui.set_width(WIDTH_PT);
            if let Some((words, share)) = figures.progress() {
                ui.label(words);
                ui.add(ProgressBar::new(share).show_percentage());
                if ui.button("Cancel").clicked() {
                    answer = PictureAnswer::Stop;
                }
                ui.separator();
            }
            match background {
                None => invite(ui),
                Some(background) => {
                    shown(ui, background, figures, &mut answer);
                }
            }
            let choose =
                buttons(ui, background.is_some(), figures.picture().is_some(), &mut answer);
            if takes_keys {
                choose.request_focus();
            }
        });
    answer
}

fn invite(ui: &mut Ui) {
    ui.label(
        "A photograph of your own can stand under the frames, where it lies on the sky, in place of \
         the drawn stars.",
    );
    ui.weak(
        "FITS, PNG, JPEG or TIFF with world coordinates: in the FITS header, in the metadata (AVM), \
         or in a FITS header of the same name beside it, ending in .wcs or .hdr. Plate solving, which \
         finds a picture's place by its stars, writes such headers.",
    );
}

fn shown(
    ui: &mut Ui,
    background: &mut Background,
    figures: &PictureFigures,
    answer: &mut PictureAnswer,
) {
    ui.strong(file_name(&background.path)).on_hover_text(&background.path);
    if let Some(picture) = figures.picture() {
        facts(ui, picture);
        ui.add_space(6.0);
        look(ui, background, picture);
    } else if let Some(problem) = figures.problem() {
        let words = format!("Not shown: {problem}.");
        ui.label(RichText::new(words).color(ui.visuals().warn_fg_color));
        ui.weak("The drawn sky stands in its place. The kit still names the picture.");
        if ui.button("Try again").clicked() {
            *answer = PictureAnswer::TryAgain;
        }
    }
}

fn file_name(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path)
}

/// What was understood, a line a fact.
fn facts(ui: &mut Ui, picture: &OwnPicture) {
    let map = &picture.map;
    let (kept_across, kept_down) = picture.kept_px();
    let size = format!("{} × {} pixels", map.width_px, map.height_px);
    let kept = format!("{kept_across} × {kept_down} pixels");
    let centre = map.centre().unwrap_or(map.reference);
    let place = format!("{}  {}", ra_text(centre.ra(), 0), dec_text(centre.dec(), 0));
    let parity = match map.parity() {
        Parity::AsSeen => "as the sky is seen",
        Parity::Mirrored => "as in a mirror; shown as the sky is seen",
    };
    Grid::new("own picture facts").num_columns(2).spacing([12.0, 3.0]).show(ui, |ui| {
        for (name, fact) in [
            ("Size", size),
            ("Kept", kept),
            ("Pixel scale", words::pixel_scale(map.scale())),
            ("Centre", place),
            ("Up is at", format!("position angle {}", words::rotation(map.rotation()))),
            ("Sides", parity.to_owned()),
            ("Placed by", picture.form.clone()),
        ] {
            ui.weak(name);
            // A width from the first frame on, or the window would begin too high and stay there.
            ui.vertical(|ui| {
                ui.set_width(246.0);
                ui.add(egui::Label::new(fact).wrap());
            });
            ui.end_row();
        }
    });
}

/// How it is shown. Every change is one of the kit, so it is undone like any other.
fn look(ui: &mut Ui, background: &mut Background, picture: &OwnPicture) {
    ui.spacing_mut().slider_width = 150.0;
    let opacity = &mut background.opacity;
    let range = OPACITY.least..=OPACITY.most;
    let slider = Slider::new(opacity, range).text("Opacity").custom_parser(finite_number);
    ui.add(slider.fixed_decimals(2)).on_hover_text(
        "1 hides the drawn sky, 0 the picture; between them stars fade as the picture gains",
    );
    let range = DARK_LEVEL.least..=DARK_LEVEL.most;
    ui.add(
        Slider::new(&mut background.dark_level, range)
            .text("Dark level")
            .custom_parser(finite_number)
            .suffix(" %")
            .fixed_decimals(0),
    )
    .on_hover_text("Share of the picture's pixels that turn black: raise it until the sky is dark");
    let range = STRETCH.least..=STRETCH.most;
    let stretch = Slider::new(&mut background.stretch, range)
        .text("Stretch")
        .custom_parser(finite_number)
        .fixed_decimals(0);
    ui.add(stretch.logarithmic(true).smallest_positive(1.0)).on_hover_text(
        "How far faint parts are lifted: 0 leaves them as they are, more lifts them more, and \
         bright parts less (an inverse hyperbolic sine)",
    );
    if picture.is_beside_bitmap {
        ui.checkbox(&mut background.rows_from_top, "The header counts rows from the top")
            .on_hover_text(
                "FITS counts from the bottom. Some programs count a PNG's or JPEG's rows from the \
                 top: then the picture stands mirrored here until this is ticked",
            );
    }
    let Look { dark_level, stretch } = picture.first_look();
    let is_first = background.dark_level == dark_level && background.stretch == stretch;
    if ui.add_enabled(!is_first, egui::Button::new("Look as at first")).clicked() {
        (background.dark_level, background.stretch) = (dark_level, stretch);
    }
}

/// Gives the first of them.
fn buttons(ui: &mut Ui, has_picture: bool, is_shown: bool, answer: &mut PictureAnswer) -> Response {
    ui.add_space(6.0);
    ui.horizontal(|ui| {
        let choose =
            ui.button(if has_picture { "Another picture…" } else { "Choose a picture…" });
        if choose.clicked() {
            *answer = PictureAnswer::Choose;
        }
        if is_shown
            && ui.button("Look there").on_hover_text("Turns the view to the picture").clicked()
        {
            *answer = PictureAnswer::LookThere;
        }
        if has_picture
            && ui.button("Remove").on_hover_text("Undo brings it back; its file stays").clicked()
        {
            *answer = PictureAnswer::Remove;
        }
        choose
    })
    .inner
}
