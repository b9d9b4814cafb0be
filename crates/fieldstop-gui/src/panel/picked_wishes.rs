//! Which targets of the wish list have a panel on a page, where it has no room for all.

use egui::{Checkbox, ScrollArea, TextWrapMode, Ui};
use fieldstop::kit::{Kit, Wish};

use crate::sky::catalogue::{Catalogue, Target};
use crate::sky::wish::target_of;
use crate::strip::MOST_PANELS;
use crate::widget::{long_list, scrolled_in};

/// The list of them is no higher than this.
const MOST_PT: f32 = 150.0;

/// Those that were picked and are wished for in this kit, in the wish list's order. None means the
/// first ones, as where there is room for all and nothing to pick.
pub(super) fn picked(names: &[String], kit: &Kit) -> Vec<String> {
    if kit.wish_list.len() <= MOST_PANELS {
        return Vec::new();
    }
    let wished = kit.wish_list.iter().map(Wish::name);
    wished.filter(|name| names.iter().any(|own| own == name)).map(str::to_owned).collect()
}

/// A box a target, where there are more than a page takes.
pub(super) fn ui(ui: &mut Ui, names: &mut Vec<String>, kit: &Kit, catalogue: &Catalogue) {
    // One that the catalogue does not know has no place to show.
    let is_known = |wish: &&Wish| target_of(wish, catalogue).is_some();
    let known: Vec<&Wish> = kit.wish_list.iter().filter(is_known).collect();
    if known.len() <= MOST_PANELS {
        return;
    }
    let count = picked(names, kit).len();
    ui.label(match count {
        // Each in one line, or the window would move under the pointer.
        0 => format!("The first {MOST_PANELS} of {}, or those you tick", known.len()),
        count => format!("{count} ticked of at most {MOST_PANELS}"),
    });
    let area = ScrollArea::vertical().max_height(MOST_PT);
    scrolled_in(ui, "picked", area, |ui| {
        // Rows of one height.
        ui.style_mut().wrap_mode = Some(TextWrapMode::Truncate);
        let name_of = |place: usize| known.get(place).map(|wish| wish.name());
        long_list(ui, known.len(), name_of, |ui, place| {
            let Some(wish) = known.get(place) else { return };
            let name = wish.name();
            let mut is_picked = names.iter().any(|own| own == name);
            let title = target_of(wish, catalogue)
                .map_or_else(|| name.to_owned(), |target| Target::short_title(&target));
            let possible = is_picked || count < MOST_PANELS;
            let response = ui.add_enabled(possible, Checkbox::new(&mut is_picked, title));
            let why = "As many are ticked as a page takes; untick one first";
            if response.on_disabled_hover_text(why).changed() {
                // What another kit's list had, and this one has not, goes.
                *names = picked(names, kit);
                if is_picked {
                    names.push(name.to_owned());
                } else {
                    names.retain(|own| own != name);
                }
            }
        });
    });
}
