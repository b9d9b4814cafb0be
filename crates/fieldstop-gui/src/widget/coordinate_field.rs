//! A right ascension or declination, typed: a draft until it is left.

use egui::{Key, TextEdit, Ui};
use fieldstop::Angle;
use fieldstop::sexagesimal::CoordinateError;

use super::{named, select_all};

/// Shows a coordinate as it reads; gives what was typed once the field is left, or what is wrong
/// with it.
pub fn coordinate_field(
    ui: &mut Ui,
    name: &str,
    shown: &str,
    width_pt: f32,
    parse: fn(&str) -> Result<Angle, CoordinateError>,
) -> Option<Result<Angle, String>> {
    let id = ui.make_persistent_id(("coordinate", name));
    let mut draft: String = ui.data_mut(|data| data.get_temp(id)).unwrap_or_default();
    if !ui.memory(|memory| memory.has_focus(id)) {
        shown.clone_into(&mut draft);
    }
    let edit = TextEdit::singleline(&mut draft).id(id);
    let size = [width_pt, ui.spacing().interact_size.y];
    let response = named(ui.add_sized(size, edit), name);
    if response.gained_focus() {
        select_all(ui.ctx(), id, &draft);
    }
    let left = response.lost_focus() && !ui.input(|input| input.key_pressed(Key::Escape));
    let typed = (left && draft != shown).then(|| parse(&draft).map_err(|error| error.to_string()));
    ui.data_mut(|data| data.insert_temp(id, draft));
    typed
}
