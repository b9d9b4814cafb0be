//! A stretch that scrolls, and goes to what the keyboard reaches.

use egui::scroll_area::ScrollAreaOutput;
use egui::{Id, ScrollArea, Ui, UiBuilder};

/// Shows contents that may be higher than there is room. Whatever in them gains the keyboard's focus
/// is scrolled into sight.
pub fn scrolled<R>(ui: &mut Ui, contents: impl FnOnce(&mut Ui) -> R) -> R {
    scrolled_in(ui, "scrolled", ScrollArea::vertical().auto_shrink(false), contents).inner
}

/// The same in an area of one's own, which may scroll sideways. Areas within areas each see to theirs.
///
/// `name` differs from those of other areas in the same stretch. Controls keep their ids by it, and so
/// the focus and a click half made, whatever comes or goes above the area.
pub fn scrolled_in<R>(
    ui: &mut Ui,
    name: &str,
    area: ScrollArea,
    contents: impl FnOnce(&mut Ui) -> R,
) -> ScrollAreaOutput<R> {
    let id = ui.make_persistent_id((name, "contents"));
    area.id_salt(name).show(ui, |ui| {
        let shown = ui.scope_builder(UiBuilder::new().scope_id(id), |ui| {
            let before = LaidOut::so_far(ui);
            let shown = contents(ui);
            keep_focus_in_sight(ui, before);
            shown
        });
        shown.inner
    })
}

fn keep_focus_in_sight(ui: &Ui, before: LaidOut) {
    let key = ui.unique_id().with("focus before");
    let focused = ui.memory(|memory| memory.focused());
    // Compared here, as the library says only of the tab key that it brought the focus, not of arrows.
    let last = ui.data_mut(|data| {
        std::mem::replace(data.get_temp_mut_or_default::<Option<Id>>(key), focused)
    });
    // Another's focus is none of its business.
    let moved = focused.filter(|id| focused != last && before.is_followed_by(ui, *id));
    let Some(response) = moved.and_then(|id| ui.ctx().read_response(id)) else { return };
    if !ui.clip_rect().contains_rect(response.rect) {
        ui.scroll_to_rect(response.rect, None);
    }
}

/// How many controls a layer has at some point of a frame: those of a stretch are the ones after it.
/// Places do not tell, as hidden rows would cover what stands above and below their list.
#[derive(Clone, Copy)]
pub(super) struct LaidOut(usize);

impl LaidOut {
    pub(super) fn so_far(ui: &Ui) -> Self {
        let layer = ui.layer_id();
        Self(ui.ctx().viewport(|viewport| viewport.this_pass.widgets.get_layer(layer).count()))
    }

    /// Whether a control was laid out since, in the same layer.
    pub(super) fn is_followed_by(self, ui: &Ui, id: Id) -> bool {
        let order = ui.ctx().viewport(|viewport| viewport.this_pass.widgets.order(id));
        order.is_some_and(|(layer, at)| layer == ui.layer_id() && at >= self.0)
    }
}

#[cfg(test)]
mod tests {
    use egui::{Pos2, RawInput, Rect, Vec2};

    use super::*;

    /// The ids of two buttons, in areas side by side, with so many lines above.
    fn ids(ctx: &egui::Context, lines: usize) -> [Id; 2] {
        let mut ids = [Id::NULL; 2];
        let screen = Rect::from_min_size(Pos2::ZERO, Vec2::new(400.0, 300.0));
        let input = RawInput { screen_rect: Some(screen), ..Default::default() };
        let mut output = ctx.run_ui(input, |ui| {
            for _ in 0..lines {
                ui.label("A word about what follows");
            }
            ids[0] = scrolled_in(ui, "first", ScrollArea::vertical().max_height(50.0), |ui| {
                ui.button("one").id
            })
            .inner;
            ids[1] = scrolled(ui, |ui| ui.button("two").id);
        });
        // Nobody draws them.
        output.textures_delta.clear();
        ids
    }

    #[test]
    fn controls_keep_their_ids_whatever_comes_above() {
        let ctx = egui::Context::default();
        let alone = ids(&ctx, 0);
        assert_ne!(alone[0], alone[1]);
        assert_eq!(ids(&ctx, 1), alone);
        assert_eq!(ids(&ctx, 7), alone);
    }
}
