//! A stretch that scrolls, and goes to what the keyboard reaches.

use egui::scroll_area::ScrollAreaOutput;
use egui::{Id, ScrollArea, Ui};

/// Shows contents that may be higher than there is room. Whatever in them gains the keyboard's focus
/// is scrolled into sight.
pub fn scrolled<R>(ui: &mut Ui, contents: impl FnOnce(&mut Ui) -> R) -> R {
    scrolled_in(ui, ScrollArea::vertical().auto_shrink(false), contents).inner
}

/// The same in an area of one's own, which may scroll sideways. Areas within areas each see to theirs.
pub fn scrolled_in<R>(
    ui: &mut Ui,
    area: ScrollArea,
    contents: impl FnOnce(&mut Ui) -> R,
) -> ScrollAreaOutput<R> {
    area.show(ui, |ui| {
        let shown = contents(ui);
        keep_focus_in_sight(ui);
        shown
    })
}

fn keep_focus_in_sight(ui: &Ui) {
    let key = ui.unique_id().with("focus before");
    let focused = ui.memory(|memory| memory.focused());
    // Compared here, as the library says only of the tab key that it brought the focus, not of arrows.
    let before = ui.data_mut(|data| {
        std::mem::replace(data.get_temp_mut_or_default::<Option<Id>>(key), focused)
    });
    let moved = focused.filter(|_| focused != before);
    let Some(response) = moved.and_then(|id| ui.ctx().read_response(id)) else { return };
    // Another's focus is none of its business. A point more, as sums of widths are not exact.
    let all = ui.min_rect().expand(1.0);
    let is_within = response.layer_id == ui.layer_id() && all.contains_rect(response.rect);
    if is_within && !ui.clip_rect().contains_rect(response.rect) {
        ui.scroll_to_rect(response.rect, None);
    }
}
