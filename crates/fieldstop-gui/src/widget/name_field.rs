//! A name being typed: a draft until it is accepted.

use egui::{Align, Key, Label, RichText, Sense, TextEdit, TextStyle, Ui, Vec2};

use super::{named, select_all};

/// Shows a name to be changed; gives the new one when the field is left and `check` accepts it.
///
/// `check` says why a name cannot be taken; the old one then stands.
pub fn name_field(
    ui: &mut Ui,
    label: &str,
    name: &str,
    check: impl Fn(&str) -> Result<(), String>,
) -> Option<String> {
    name_field_in(ui, label, name, check, false)
}

/// The same with constant room for a refusal, so that nothing below moves when there is one.
pub fn steady_name_field(
    ui: &mut Ui,
    label: &str,
    name: &str,
    check: impl Fn(&str) -> Result<(), String>,
) -> Option<String> {
    name_field_in(ui, label, name, check, true)
}

fn name_field_in(
    ui: &mut Ui,
    label: &str,
    name: &str,
    check: impl Fn(&str) -> Result<(), String>,
    steady: bool,
) -> Option<String> {
    let id = ui.make_persistent_id(("name", label, name));
    let (mut text, mut refusal) = ui
        .data_mut(|data| data.get_temp::<(String, Option<String>)>(id))
        .unwrap_or_else(|| (name.to_owned(), None));
    if !ui.memory(|memory| memory.has_focus(id)) {
        name.clone_into(&mut text);
    }
    let mut accepted = None;
    ui.horizontal(|ui| {
        ui.label(label);
        let field = TextEdit::singleline(&mut text).id(id).desired_width(f32::INFINITY);
        let response = named(ui.add(field), label);
        if response.gained_focus() {
            select_all(ui.ctx(), id, &text);
            refusal = None;
        }
        let left = response.lost_focus() && !ui.input(|input| input.key_pressed(Key::Escape));
        if left && text.trim() != name {
            match check(text.trim()) {
                Ok(()) => accepted = Some(text.trim().to_owned()),
                Err(why) => refusal = Some(format!("“{}” {why} Still “{name}”.", text.trim())),
            }
        }
    });
    refusal_ui(ui, refusal.as_deref(), steady);
    ui.data_mut(|data| data.insert_temp(id, (text, refusal)));
    accepted
}

/// Says why a text was not taken. Where the room is kept, on one small line that the pointer reads in
/// full.
pub(super) fn refusal_ui(ui: &mut Ui, refusal: Option<&str>, steady: bool) {
    let ink = ui.visuals().warn_fg_color;
    if !steady {
        if let Some(refusal) = refusal {
            ui.label(RichText::new(refusal).color(ink));
        }
        return;
    }
    // As a text is laid out, in whole points.
    let height = ui.text_style_height(&TextStyle::Small).ceil();
    let (room, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), height), Sense::hover());
    if let Some(refusal) = refusal {
        let text = RichText::new(refusal).small().color(ink);
        ui.put(room, Label::new(text).truncate().halign(Align::LEFT));
    }
}

/// What a name needs in a list: something in it, and nobody else's.
pub(crate) fn unique_name(name: &str, taken: &[&str]) -> Result<(), String> {
    if name.is_empty() {
        return Err("is empty; expected a name.".to_owned());
    }
    if taken.contains(&name) {
        return Err("is taken; expected a name that no other entry has.".to_owned());
    }
    Ok(())
}
