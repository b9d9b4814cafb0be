//! Lists and menus that a key closes as a click of the mouse does.

use egui::{Context, Id, Key, Popup};

fn id() -> Id {
    Id::unique("the key opened a further menu")
}

/// Keeps the menu open this once, because what was chosen opens a further one beside it.
pub fn keep_menu_open(ctx: &Context) {
    ctx.data_mut(|data| data.insert_temp(id(), true));
}

/// Closes a list or menu once Return has chosen from it: egui itself does so at a click of the mouse
/// only. To be called after everything was shown; `was_open` is from before, because the same key
/// opens a list too.
pub fn close_list_by_key(ctx: &Context, was_open: bool) {
    let keep = ctx.data_mut(|data| data.remove_temp::<bool>(id())).unwrap_or(false);
    if was_open && !keep && ctx.input(|input| input.key_pressed(Key::Enter)) {
        Popup::close_all(ctx);
    }
}
