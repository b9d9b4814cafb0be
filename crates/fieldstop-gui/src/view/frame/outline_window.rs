//! The corners of the outline that is being drawn, as a table: all of it without the pointer.

use egui::{RichText, Ui};
use fieldstop::kit::Kit;
use fieldstop::sexagesimal::{dec_text, parse_dec, parse_ra, ra_text};
use fieldstop::shape::LEAST_CORNERS;

use super::outline_edit::OutlineEdit;
use crate::action::{Action, Queue};
use crate::scene::view::SkyView;
use crate::state::drawn_corners::{self, Corner};
use crate::widget::{coordinate_field, named, scrolled_in};

/// Shows the window.
pub(super) fn window(
    ui: &Ui,
    edit: &mut OutlineEdit,
    view: &SkyView,
    at: egui::Pos2,
    kit: &Kit,
    queue: &mut Queue,
) {
    let mut open = true;
    let title = format!("Outline of {}", edit.target());
    egui::Window::new(title)
        .id(egui::Id::unique("outline window"))
        .open(&mut open)
        .pivot(egui::Align2::LEFT_BOTTOM)
        .default_pos(at)
        .default_width(372.0)
        .resizable(false)
        .show(ui.ctx(), |ui| {
            ui.small(
                "Click on the sky to add a corner, drag one to move it. By keys: [ and ] choose \
                 one, arrows move it, with Shift in finer steps, Insert adds one after it, Delete \
                 takes it away.",
            );
            if let Some(why) = edit.refusal() {
                ui.label(RichText::new(why).color(ui.visuals().warn_fg_color));
            }
            let corners = edit.corners(kit);
            if corners.is_empty() {
                ui.label("No corner yet: click on the sky where the outline begins.");
            } else if corners.len() >= LEAST_CORNERS && !edit.is_kept(kit) {
                ui.label("The catalogue's ellipse stays in use until a corner is changed.");
            }
            buttons(ui, edit, &corners, view, kit, queue);
            // Closed at first, so that the window hides as little of the sky as it can.
            egui::CollapsingHeader::new("Corners in numbers").show(ui, |ui| {
                let area = egui::ScrollArea::vertical().max_height(250.0);
                scrolled_in(ui, "corners", area, |ui| {
                    table(ui, edit, &corners, kit, queue);
                });
            });
        });
    if !open {
        edit.finish();
    }
}

fn table(ui: &mut Ui, edit: &mut OutlineEdit, corners: &[Corner], kit: &Kit, queue: &mut Queue) {
    egui::Grid::new("corners").num_columns(5).striped(true).spacing([8.0, 3.0]).show(ui, |ui| {
        for heading in ["Corner", "Right ascension", "Declination", "", ""] {
            ui.label(RichText::new(heading).weak());
        }
        ui.end_row();
        for (index, &corner) in corners.iter().enumerate() {
            row(ui, edit, index, corner, kit, queue);
            ui.end_row();
        }
    });
}

fn row(
    ui: &mut Ui,
    edit: &mut OutlineEdit,
    index: usize,
    corner: Corner,
    kit: &Kit,
    queue: &mut Queue,
) {
    let number = index + 1;
    let chosen = edit.selected() == Some(index);
    let button = ui.add(egui::Button::selectable(chosen, format!("{number:>2}")));
    if named(button, format!("Corner {number}")).clicked() {
        edit.select(index);
    }
    let place = drawn_corners::place(corner);
    let name = format!("Right ascension of corner {number}");
    let ra = coordinate_field(ui, &name, &ra_text(place.ra(), 1), 116.0, parse_ra);
    let name = format!("Declination of corner {number}");
    let dec = coordinate_field(ui, &name, &dec_text(place.dec(), 0), 108.0, parse_dec);
    let typed = match (ra, dec) {
        (Some(ra), _) => Some(ra.map(|ra| (drawn_corners::tidy(ra) % 360.0, corner.1))),
        (None, Some(dec)) => Some(dec.map(|dec| (corner.0, drawn_corners::tidy(dec)))),
        (None, None) => None,
    };
    match typed {
        Some(Ok(to)) => edit.put(index, to, kit, queue),
        Some(Err(why)) => edit.refuse(why),
        None => {}
    }
    let add = ui.button("+").on_hover_text("Adds a corner in the middle of the side after this");
    if named(add, format!("Add a corner after corner {number}")).clicked() {
        edit.split(index, kit, queue);
    }
    let remove = ui.button("−").on_hover_text("Takes this corner away");
    if named(remove, format!("Remove corner {number}")).clicked() {
        edit.remove(index, kit, queue);
    }
}

fn buttons(
    ui: &mut Ui,
    edit: &mut OutlineEdit,
    corners: &[Corner],
    view: &SkyView,
    kit: &Kit,
    queue: &mut Queue,
) {
    ui.horizontal_wrapped(|ui| {
        if ui.button("Finish").on_hover_text("Ends drawing; the outline stays (Enter)").clicked() {
            edit.try_finish(kit);
        }
        // With fewer than three corners there is no side to split.
        if corners.len() < LEAST_CORNERS {
            let tip = "Adds a corner in the middle of the view, to be moved from there";
            if ui.button("Add a corner").on_hover_text(tip).clicked() {
                edit.add(view.centre, view, kit, queue);
            }
        } else {
            let tip = "Takes all corners away, to begin with the first one";
            if ui.button("Start empty").on_hover_text(tip).clicked() {
                edit.start_empty(queue);
            }
            queue.button(ui, Action::RemoveOutline, edit.is_kept(kit));
        }
    });
}
