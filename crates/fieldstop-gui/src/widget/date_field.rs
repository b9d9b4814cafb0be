//! A date being typed: a draft until it is one that exists.

use egui::{Key, RichText, TextEdit, Ui};
use jiff::civil::Date;

use super::named;
use crate::nights::date;

/// Shows a date to be changed; gives the new one when the field is left and the date exists.
pub fn date_field(ui: &mut Ui, label: &str, shown: Date) -> Option<Date> {
    let id = ui.make_persistent_id(("date", label));
    let (mut text, mut refusal) =
        ui.data_mut(|data| data.get_temp::<(String, Option<String>)>(id)).unwrap_or_default();
    if !ui.memory(|memory| memory.has_focus(id)) {
        text = shown.to_string();
    }
    ui.label(label);
    let field = TextEdit::singleline(&mut text).id(id).desired_width(84.0);
    let response = named(ui.add(field), label).on_hover_text("Year-month-day, such as 2026-03-14");
    if response.gained_focus() {
        refusal = None;
    }
    let mut accepted = None;
    if response.lost_focus() {
        let given_up = ui.input(|input| input.key_pressed(Key::Escape));
        match date::parse(&text) {
            _ if given_up => refusal = None,
            Ok(date) => {
                refusal = None;
                accepted = Some(date).filter(|date| *date != shown);
            }
            Err(why) => refusal = Some(format!("{why} Still {shown}.")),
        }
    }
    if let Some(refusal) = &refusal {
        ui.label(RichText::new(refusal).color(ui.visuals().warn_fg_color));
    }
    ui.data_mut(|data| data.insert_temp(id, (text, refusal)));
    accepted
}
