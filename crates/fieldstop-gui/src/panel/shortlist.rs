//! The shortlist: a card a rig, with its line, its figures, its focal length and its parts.

use egui::{Color32, Margin, RichText, Slider, SliderClamping, Ui, Vec2};
use fieldstop::kit::{Kit, OtaClass, Scope};
use fieldstop::range::LADDER_MM;

use super::parts;
use crate::action::{Action, Queue};
use crate::paint::screen;
use crate::scene::palette::Palette;
use crate::scene::style::rig_style;
use crate::state::{Figures, Workspace, figures::RigFigures};
use crate::widget::{finite_number, name_field, named, rig_line, scrolled, unique_name};
use crate::words;

/// What the shortlist shows and changes.
pub struct ShortlistInput<'a> {
    /// The rigs and their parts.
    pub kit: &'a mut Kit,
    /// Chosen rig, scope of changes.
    pub workspace: &'a mut Workspace,
    /// For the kit as it stood at the start of this frame.
    pub figures: &'a Figures,
    /// What is asked for.
    pub queue: &'a mut Queue,
    /// The rig that the pointer is on.
    pub lifted: &'a mut Option<usize>,
    /// The theme's colours of the sky.
    pub palette: &'a Palette,
}

/// Shows the cards, and the way to a new one.
pub fn ui(ui: &mut Ui, input: &mut ShortlistInput<'_>) {
    ui.horizontal(|ui| {
        ui.strong("Shortlist");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            add_menu(ui, input.queue);
        });
    });
    scrolled(ui, |ui| {
        if input.kit.rigs.is_empty() {
            ui.label(
                "The telescopes you are deciding between stand here, each with camera and mount.",
            );
            ui.label("Add a candidate to begin.");
        }
        for rig in 0..input.kit.rigs.len() {
            card(ui, rig, input);
        }
    });
}

fn add_menu(ui: &mut Ui, queue: &mut Queue) {
    ui.menu_button("Add candidate", |ui| {
        for class in OtaClass::ALL {
            queue.menu_item(ui, Action::AddRig(class), true);
        }
    })
    .response
    .on_hover_text("A typical rig of a class, to be changed to the one you have in mind");
}

fn card(ui: &mut Ui, rig: usize, input: &mut ShortlistInput<'_>) {
    let Some(figures) = input.figures.rigs.get(rig).cloned() else { return };
    let Some(name) = input.kit.rigs.get(rig).map(|entry| entry.name.clone()) else { return };
    let chosen = input.workspace.rig == rig;
    let fill = if chosen { ui.visuals().faint_bg_color } else { Color32::TRANSPARENT };
    let response = egui::Frame::new()
        .fill(fill)
        .corner_radius(4.0)
        .inner_margin(Margin::symmetric(8, 6))
        .show(ui, |ui| {
            ui.push_id(&name, |ui| {
                header(ui, rig, &name, input);
                numbers(ui, rig, &figures, input);
                focal_slider(ui, rig, &name, &figures, input);
                let parts = egui::CollapsingHeader::new("Parts").id_salt("parts").show(ui, |ui| {
                    rename(ui, rig, &name, input);
                    parts::ui(ui, rig, input.kit, &mut input.workspace.change_for_all);
                });
                named(parts.header_response, format!("Parts of {name}"));
            });
        })
        .response;
    if ui.rect_contains_pointer(response.rect) {
        *input.lifted = Some(rig);
    }
}

fn header(ui: &mut Ui, rig: usize, name: &str, input: &mut ShortlistInput<'_>) {
    let mark = input.kit.mark_of(rig);
    let colour = screen::colour(input.palette.rig(mark));
    ui.horizontal(|ui| {
        let (line, _) = ui.allocate_exact_size(Vec2::new(34.0, 14.0), egui::Sense::hover());
        rig_line(
            ui.painter(),
            line.left_center(),
            line.right_center(),
            colour,
            rig_style(mark).dash,
            2.5,
        );
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            more_menu(ui, rig, name, input);
            if let Some(entry) = input.kit.rigs.get_mut(rig) {
                let shown = ui.checkbox(&mut entry.shown, "").on_hover_text("Draw its frame");
                named(shown, format!("Show the frame of {name}"));
            }
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                let label = egui::Button::selectable(
                    input.workspace.rig == rig,
                    RichText::new(name).strong(),
                );
                if ui.add(label.truncate()).clicked() {
                    input.queue.push(Action::ChooseRig(rig));
                }
            });
        });
    });
}

fn more_menu(ui: &mut Ui, rig: usize, name: &str, input: &mut ShortlistInput<'_>) {
    let last = input.kit.rigs.len().saturating_sub(1);
    let menu = ui.menu_button("…", |ui| {
        input.queue.menu_item(ui, Action::DuplicateRig(rig), true);
        for (text, to, possible) in
            [("Move up", rig.saturating_sub(1), rig > 0), ("Move down", rig + 1, rig < last)]
        {
            if ui.add_enabled(possible, egui::Button::new(text)).clicked() {
                input.queue.push(Action::MoveRig(rig, to));
                ui.close();
            }
        }
        ui.separator();
        input.queue.menu_item(ui, Action::RemoveRig(rig), true);
    });
    named(menu.response, format!("More for {name}"));
}

fn numbers(ui: &mut Ui, rig: usize, figures: &RigFigures, input: &ShortlistInput<'_>) {
    let field = &figures.field;
    ui.horizontal_wrapped(|ui| {
        ui.label(words::field(field.width(), field.height())).on_hover_text(
            "Field of view: the width and height of sky that the sensor sees",
        );
        ui.label(words::focal_ratio(figures.focal_ratio)).on_hover_text(
            "Focal ratio: focal length over aperture. The smaller it is, the shorter the exposures for faint nebulae",
        );
        ui.label(words::pixel_scale(figures.pixel_scale))
            .on_hover_text(scale_words(figures, input.kit.site.seeing_fwhm_arcsec));
    });
    if let Some(fit) = input.figures.target.as_ref().and_then(|chosen| chosen.fits.get(rig)) {
        let name = input.figures.target.as_ref().map_or("", |chosen| chosen.target.name.as_str());
        let words = words::fit(fit, input.figures.panel_count(input.kit, rig));
        ui.label(RichText::new(format!("{name}: {words}")).weak()).on_hover_text(
            "Fill: the target's outline against the frame at its best rotation, centred; 1 touches the edge",
        );
    }
    if figures.focal_ratio < 1.0 {
        ui.label(RichText::new("A focal ratio below f/1: check aperture and focal length.").weak());
    }
}

/// What a pixel scale is, what is usual, and what it means under this seeing.
fn scale_words(figures: &RigFigures, seeing_arcsec: f64) -> String {
    let scale = figures.pixel_scale.arcsec();
    let pixels = seeing_arcsec / scale;
    let verdict = if pixels < 2.0 {
        "coarse: the seeing would allow finer"
    } else if pixels <= 3.0 {
        "well matched"
    } else {
        "fine: more pixels than the seeing fills"
    };
    format!(
        "Pixel scale: the width of sky one pixel sees, {scale:.2} arcsec. Two to three pixels across \
         the seeing are usual; your seeing of {seeing_arcsec:.1} arcsec covers {pixels:.1} here, {verdict}."
    )
}

fn focal_slider(
    ui: &mut Ui,
    rig: usize,
    name: &str,
    figures: &RigFigures,
    input: &mut ShortlistInput<'_>,
) {
    let mut mm = figures.focal_length_mm;
    ui.spacing_mut().slider_width = (ui.available_width() - 92.0).max(60.0);
    let slider = Slider::new(&mut mm, LADDER_MM.least..=LADDER_MM.most)
        .logarithmic(true)
        .clamping(SliderClamping::Edits)
        .custom_parser(finite_number)
        .max_decimals(1)
        .update_while_editing(false)
        .custom_formatter(|mm, _| words::plain_length(mm))
        .suffix(" mm");
    let response = ui.add(slider).on_hover_text(
        "Effective focal length, corrector included. The aperture stays, so the focal ratio changes with it",
    );
    let response = named(response, format!("Focal length of {name}"));
    if response.changed() && (mm - figures.focal_length_mm).abs() > 1e-9 {
        input.kit.set_focal_length(rig, mm, scope(input.workspace));
    }
}

fn scope(workspace: &Workspace) -> Scope {
    if workspace.change_for_all { Scope::AllRigs } else { Scope::ThisRig }
}

fn rename(ui: &mut Ui, rig: usize, name: &str, input: &mut ShortlistInput<'_>) {
    let taken: Vec<&str> = input
        .kit
        .rigs
        .iter()
        .map(|entry| entry.name.as_str())
        .filter(|other| *other != name)
        .collect();
    if let Some(new) = name_field(ui, "Name", name, |new| unique_name(new, &taken)) {
        input.kit.rename_rig(rig, &new);
    }
}
