//! The search field: finds a target as it is typed, shows it, adds it to the wish list.

use std::borrow::Cow;

use egui::{Key, RichText, TextEdit, Ui};
use fieldstop::kit::{Kit, Wish};

use crate::action::{Action, Queue};
use crate::sky::catalogue::{Catalogue, Target};
use crate::sky::spelling::spelt_like;
use crate::sky::wish::{is_wished, own_targets};
use crate::view::frame::facts;
use crate::widget::named;

/// How many results are shown.
const SHOWN: usize = 12;
/// How many where nothing is called so.
const GUESSES: usize = 4;

/// What is being typed, and which result the keys are on.
#[derive(Default)]
pub struct Finder {
    text: String,
    place: usize,
    wants_focus: bool,
    results: Vec<Target>,
    /// Whether the results are only spelt like what was typed.
    are_guesses: bool,
}

impl Finder {
    /// Puts the cursor into the field the next time it is shown.
    pub fn focus(&mut self) {
        self.wants_focus = true;
    }

    /// Shows the field, and the results below it.
    pub fn ui(&mut self, ui: &mut Ui, kit: &Kit, catalogue: &Catalogue, queue: &mut Queue) {
        let id = ui.make_persistent_id("find a target");
        // Before the field is shown, so that what is typed in this very frame lands in it.
        if std::mem::take(&mut self.wants_focus) {
            ui.memory_mut(|memory| memory.request_focus(id));
        }
        let field = TextEdit::singleline(&mut self.text)
            .id(id)
            .hint_text("Find: M 31, Veil, Cygnus…")
            .desired_width(f32::INFINITY);
        let response = named(ui.add(field), "Find a target");
        if response.changed() {
            self.place = 0;
            self.results = found(&self.text, kit, catalogue);
            self.are_guesses = self.results.is_empty();
            if self.are_guesses {
                let found = spelt_like(&self.text, Some(kit), catalogue, GUESSES);
                self.results = found.into_iter().map(Cow::into_owned).collect();
            }
        }
        if self.text.trim().is_empty() {
            return;
        }
        if response.has_focus() || response.lost_focus() {
            self.keys(ui, kit, catalogue, queue);
        }
        self.results_ui(ui, kit, catalogue, queue);
    }

    /// Down and up go through the results, Enter shows one, with the command key adds it.
    fn keys(&mut self, ui: &Ui, kit: &Kit, catalogue: &Catalogue, queue: &mut Queue) {
        let last = self.results.len().saturating_sub(1);
        ui.input(|input| {
            if input.key_pressed(Key::ArrowDown) {
                self.place = (self.place + 1).min(last);
            }
            if input.key_pressed(Key::ArrowUp) {
                self.place = self.place.saturating_sub(1);
            }
        });
        if ui.input(|input| input.key_pressed(Key::Escape)) {
            self.text.clear();
        } else if ui.input(|input| input.key_pressed(Key::Enter))
            && let Some(target) = self.results.get(self.place)
        {
            if ui.input(|input| input.modifiers.command) && !is_wished(kit, catalogue, target) {
                queue.push(Action::AddWish(Wish::Named(target.name.clone())));
            }
            queue.push(Action::ChooseTarget(target.name.clone()));
            self.text.clear();
        }
    }

    fn results_ui(&mut self, ui: &mut Ui, kit: &Kit, catalogue: &Catalogue, queue: &mut Queue) {
        let mut done = false;
        egui::Frame::group(ui.style()).show(ui, |ui| {
            if self.are_guesses && !self.text.trim().is_empty() {
                ui.label(format!("Nothing is called “{}”.", self.text.trim()));
                ui.weak(if self.results.is_empty() {
                    "Try a designation (NGC 7000, Sh2-155), a name, or a constellation."
                } else {
                    "Names spelt nearly so"
                });
            }
            for (place, target) in self.results.iter().enumerate() {
                done |= result_ui(ui, target, place == self.place, kit, catalogue, queue);
            }
        });
        if done {
            self.text.clear();
        }
    }
}

/// Targets of the person's own whose name has the words in it, then the catalogue's.
fn found(text: &str, kit: &Kit, catalogue: &Catalogue) -> Vec<Target> {
    let words = text.trim().to_lowercase();
    let is_meant = |name: &str| !words.is_empty() && name.to_lowercase().contains(&words);
    // At most half, so that the catalogue's are never pushed out.
    let own = own_targets(kit, catalogue, is_meant).take(SHOWN / 2);
    own.chain(catalogue.search(text, SHOWN)).take(SHOWN).map(Cow::into_owned).collect()
}

/// One result; true once it was taken.
fn result_ui(
    ui: &mut Ui,
    target: &Target,
    marked: bool,
    kit: &Kit,
    catalogue: &Catalogue,
    queue: &mut Queue,
) -> bool {
    let mut taken = false;
    ui.horizontal(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if is_wished(kit, catalogue, target) {
                ui.weak("listed");
            } else {
                let add = ui.button("Add").on_hover_text("Put it on the wish list");
                if named(add, format!("Add {} to the wish list", target.name)).clicked() {
                    queue.push(Action::AddWish(Wish::Named(target.name.clone())));
                    taken = true;
                }
            }
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                let button = egui::Button::selectable(marked, target.title()).truncate();
                if ui.add(button).clicked() {
                    queue.push(Action::ChooseTarget(target.name.clone()));
                    taken = true;
                }
            });
        });
    });
    ui.add(egui::Label::new(RichText::new(facts(target)).weak().small()).truncate());
    taken
}
