//! The click that closes a list or a menu closes it, and does nothing to what lies beneath.

use std::collections::HashSet;

use egui::{Context, Event, LayerId, Order, Plugin, PointerButton, Popup, Pos2, RawInput};

/// Takes such a click away before anything sees it. egui itself closes the list and passes the
/// click on.
#[derive(Default)]
pub struct ClosingClick {
    /// What floated before the list opened: a dialog, which the list may stand upon.
    beneath: HashSet<LayerId>,
    /// Buttons whose release is still to be taken away.
    held: Vec<PointerButton>,
}

impl ClosingClick {
    /// Whether a place is on none of the lists and menus that are open.
    fn is_outside(&self, ctx: &Context, at: Pos2) -> bool {
        ctx.layer_id_at(at).is_none_or(|layer| {
            layer.order != Order::Foreground
                || (self.beneath.contains(&layer) && !Popup::is_id_open(ctx, layer.id))
        })
    }
}

impl Plugin for ClosingClick {
    fn debug_name(&self) -> &'static str {
        "closing click"
    }

    fn input_hook(&mut self, ctx: &Context, input: &mut RawInput) {
        let mut is_open = Popup::is_any_open(ctx);
        if !is_open {
            self.beneath = floating(ctx);
        }
        input.events.retain(|event| {
            let Event::PointerButton { pos, button, pressed, .. } = event else { return true };
            if *pressed && is_open && self.is_outside(ctx, *pos) {
                Popup::close_all(ctx);
                is_open = false;
                self.held.push(*button);
                return false;
            }
            let is_held = self.held.contains(button);
            self.held.retain(|held| held != button);
            *pressed || !is_held
        });
    }
}

/// What stands above the rest: dialogs, lists, menus.
pub(super) fn floating(ctx: &Context) -> HashSet<LayerId> {
    let layers = ctx.memory(|memory| memory.areas().visible_layer_ids());
    layers.into_iter().filter(|layer| layer.order == Order::Foreground).collect()
}
