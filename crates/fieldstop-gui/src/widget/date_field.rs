//! A date being typed: a draft until it is one that exists.

use egui::{Key, RichText, TextEdit, Ui};
use jiff::civil::Date;

use super::named;
use crate::nights::date;

/// What is being typed, and why the last text was not taken, with the date that stood then.
#[derive(Clone, Default)]
struct Draft {
    text: String,
    refusal: Option<(String, Date)>,
}

/// Shows a date to be changed; gives the new one when the field is left and the date exists.
pub fn date_field(ui: &mut Ui, label: &str, shown: Date) -> Option<Date> {
    let id = ui.make_persistent_id(("date", label));
    let mut draft: Draft = ui.data_mut(|data| data.get_temp(id)).unwrap_or_default();
    let as_shown = shown.to_string();
    if !ui.memory(|memory| memory.has_focus(id)) {
        draft.text.clone_from(&as_shown);
    }
    ui.label(label);
    let field = TextEdit::singleline(&mut draft.text).id(id).desired_width(84.0);
    let response = named(ui.add(field), label).on_hover_text("Year-month-day, such as 2026-03-14");
    if response.gained_focus() {
        draft.refusal = None;
    }
    let mut accepted = None;
    // A text that was put back meanwhile is nothing new.
    if response.lost_focus() && draft.text != as_shown {
        let given_up = ui.input(|input| input.key_pressed(Key::Escape));
        match date::parse(&draft.text) {
            _ if given_up => {}
            Ok(date) => accepted = Some(date),
            Err(why) => draft.refusal = Some((format!("{why} Still {shown}."), shown)),
        }
    }
    if let Some((refusal, _)) = draft.refusal.as_ref().filter(|(_, date)| *date == shown) {
        ui.label(RichText::new(refusal).color(ui.visuals().warn_fg_color));
    }
    ui.data_mut(|data| data.insert_temp(id, draft));
    accepted
}
