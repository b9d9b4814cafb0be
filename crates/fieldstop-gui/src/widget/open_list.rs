//! Lists and menus: closed by a key as by a click of the mouse, and never behind what opened them.

use std::collections::HashSet;

use egui::{Context, Id, Key, LayerId, Order, Popup};

use super::closing_click::floating;

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

/// What was known of the keyboard's way through lists in the frame before.
#[derive(Clone, Default)]
struct Way {
    /// Dialogs, on which a list may have opened.
    beneath: HashSet<LayerId>,
    was_open: bool,
    was_within: bool,
    /// What had the keyboard when the list was opened.
    opener: Option<Id>,
}

/// Lets the keyboard go on from a list: closes one that it has left, for what stands behind it then;
/// gives it back to what opened the list, once that is closed by a key. To be called after everything
/// was shown.
pub fn go_on_from_list(ctx: &Context) {
    let id = Id::unique("keyboard in a list");
    let mut way: Way = ctx.data_mut(|data| data.remove_temp(id)).unwrap_or_default();
    let focused = ctx.memory(|memory| memory.focused());
    let at = focused.and_then(|id| ctx.read_response(id)).map(|response| response.layer_id);
    if Popup::is_any_open(ctx) {
        // Further menus beside the first are lists too.
        let is_list =
            |layer: &LayerId| layer.order == Order::Foreground && !way.beneath.contains(layer);
        let is_within = at.as_ref().is_some_and(is_list);
        if way.was_within && !is_within && at.is_some() {
            Popup::close_all(ctx);
        }
        // Past the last control nothing has the keyboard for a frame.
        if at.is_some() {
            way.was_within = is_within;
        }
        way.was_open = true;
    } else {
        let by_key =
            ctx.input(|input| input.key_pressed(Key::Escape) || input.key_pressed(Key::Enter));
        // What was chosen from the list may have the keyboard still, and is gone.
        let is_free = focused.is_none() || way.was_within;
        if let Some(opener) = way.opener.filter(|_| way.was_open && by_key && is_free) {
            ctx.memory_mut(|memory| memory.request_focus(opener));
        }
        let opener = ctx.memory(|memory| memory.focused());
        way = Way { beneath: floating(ctx), opener, ..Way::default() };
    }
    ctx.data_mut(|data| data.insert_temp(id, way));
}

/// What floated above the rest in the frame before, and what of it was new there.
#[derive(Clone, Default)]
struct Floating {
    shown: HashSet<LayerId>,
    new: HashSet<LayerId>,
}

/// Brings what has just opened above the dialog that it was opened from. egui does so too, but where
/// the press and the release of the mouse fall into one frame it raises both, and a list that was
/// open before stays behind. To be called after everything was shown.
pub fn lift_what_opened(ctx: &Context) {
    let id = Id::unique("floating layers");
    let before: Floating = ctx.data_mut(|data| data.remove_temp(id)).unwrap_or_default();
    for layer in &before.new {
        ctx.move_to_top(*layer);
    }
    let shown = floating(ctx);
    let new: HashSet<LayerId> = shown.difference(&before.shown).copied().collect();
    if !new.is_empty() {
        ctx.request_repaint();
    }
    ctx.data_mut(|data| data.insert_temp(id, Floating { shown, new }));
}
