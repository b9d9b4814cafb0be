//! The top line: the kit's name, the menus, undo and redo, export.

use egui::{Align, Label, Layout, RichText, TextStyle, TextWrapMode, Ui};

use crate::action::{Action, Queue};
use crate::state::{Document, Origin, ThemeChoice, ViewChoice, Workspace};
use crate::widget::keep_menu_open;

const NOT_SAVED: &str = "not saved";
/// Less of a kit's name says nothing.
const LEAST_NAME_PT: f32 = 40.0;
/// Width of the toolkit's separator.
const SEPARATOR_PT: f32 = 6.0;

/// Shows the line.
///
/// `shown` is the view in the middle, if there is one.
pub fn ui(
    ui: &mut Ui,
    document: &Document,
    workspace: &Workspace,
    shown: Option<ViewChoice>,
    queue: &mut Queue,
) {
    ui.horizontal(|ui| {
        kit_menu(ui, workspace, document, queue);
        look_menu(ui, workspace, queue);
        ui.separator();
        let room = ui.available_width() - room_for_the_rest(ui, document.is_changed());
        ui.scope(|ui| {
            ui.set_max_width(room.max(LEAST_NAME_PT));
            ui.add(Label::new(RichText::new(&document.kit.name).strong()).truncate());
        });
        views(ui, shown, queue);
        if document.is_changed() {
            ui.separator();
            ui.weak(NOT_SAVED).on_hover_text("This kit has changes that no file holds yet");
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            queue.button(ui, Action::AskSketch, true);
            queue.button(ui, Action::Redo, document.can_redo());
            queue.button(ui, Action::Undo, document.can_undo());
            ui.separator();
            queue.button(ui, Action::ShowSite, true);
        });
    });
}

/// What stands behind the kit's name, which gives way to it.
fn room_for_the_rest(ui: &Ui, changed: bool) -> f32 {
    let spacing = ui.spacing();
    let text = |text: &str| {
        let text = egui::WidgetText::from(text);
        let galley =
            text.into_galley(ui, Some(TextWrapMode::Extend), f32::INFINITY, TextStyle::Button);
        galley.size().x + spacing.item_spacing.x
    };
    let button = |label: &str| text(label) + 2.0 * spacing.button_padding.x;
    let separator = SEPARATOR_PT + spacing.item_spacing.x;
    let views: f32 = ViewChoice::ALL.iter().map(|view| button(view.label())).sum();
    let right = [Action::AskSketch, Action::Redo, Action::Undo, Action::ShowSite];
    let right: f32 = right.iter().map(|action| button(action.label())).sum();
    let saved = if changed { separator + text(NOT_SAVED) } else { 0.0 };
    views + right + saved + 2.0 * separator + 2.0 * spacing.item_spacing.x
}

/// One button a view, in the order of the questions.
fn views(ui: &mut Ui, shown: Option<ViewChoice>, queue: &mut Queue) {
    ui.separator();
    for view in ViewChoice::ALL {
        let button = egui::Button::selectable(shown == Some(view), view.label());
        if ui.add(button).on_hover_text(view.question()).clicked() {
            queue.push(Action::ShowView(view));
        }
    }
}

fn kit_menu(ui: &mut Ui, workspace: &Workspace, document: &Document, queue: &mut Queue) {
    let own = document.origin != Origin::Demo;
    ui.menu_button("Kit", |ui| {
        queue.menu_item(ui, Action::StartSteps, true);
        queue.menu_item(ui, Action::NewKit, true);
        queue.menu_item(ui, Action::AskOpen, true);
        let recent = ui.menu_button("Open recent", |ui| {
            if workspace.recent.is_empty() {
                ui.weak("Kits that you open or save are listed here.");
            }
            for path in &workspace.recent {
                let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
                if ui.button(name).on_hover_text(path.to_string_lossy()).clicked() {
                    queue.push(Action::Open(path.clone()));
                    ui.close();
                }
            }
        });
        if recent.response.clicked() {
            keep_menu_open(ui.ctx());
        }
        queue.menu_item(ui, Action::OpenDemo, true);
        queue.menu_item(ui, Action::ResumeSteps, own);
        ui.separator();
        queue.menu_item(ui, Action::Save, true);
        queue.menu_item(ui, Action::AskSaveAs, true);
        ui.separator();
        queue.menu_item(ui, Action::ShowPicture, true);
        queue.menu_item(ui, Action::AskSketch, true);
        queue.menu_item(ui, Action::AskSheet, true);
        queue.menu_item(ui, Action::AskTable, true);
        queue.menu_item(ui, Action::ShowPanels, true);
        queue.menu_item(ui, Action::DrawOutline, true);
        queue.menu_item(ui, Action::RemoveOutline, !document.kit.outlines.is_empty());
        ui.separator();
        queue.menu_item(ui, Action::Quit, true);
    });
}

fn look_menu(ui: &mut Ui, workspace: &Workspace, queue: &mut Queue) {
    ui.menu_button("Window", |ui| {
        for theme in [ThemeChoice::Dark, ThemeChoice::Light, ThemeChoice::Red] {
            let action = Action::SetTheme(theme);
            let label = action.label();
            if ui.radio(workspace.theme == theme, label).on_hover_text(action.tip()).clicked() {
                queue.push(action);
                ui.close();
            }
        }
        ui.separator();
        queue.menu_item(ui, Action::ZoomIn, true);
        queue.menu_item(ui, Action::ZoomOut, true);
        queue.menu_item(ui, Action::ZoomToFrames, true);
        ui.separator();
        queue.menu_item(ui, Action::ShowAbout, true);
    });
}
