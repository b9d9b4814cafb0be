//! Which targets of the wish list have a panel on a page, where it has no room for all.

use egui::{Checkbox, ScrollArea, Ui};
use fieldstop::kit::{Kit, Wish};

use crate::strip::MOST_PANELS;

/// The list of them is no higher than this.
const MOST_PT: f32 = 112.0;

/// Targets of the wish list that were picked; as many of its first as a page takes until then.
#[derive(Default)]
pub(super) struct PickedWishes {
    names: Option<Vec<String>>,
}

impl PickedWishes {
    /// Those that were picked and are still wished for, in the wish list's order. None means the
    /// first ones.
    pub(super) fn of(&self, kit: &Kit) -> Vec<String> {
        let Some(names) = &self.names else { return Vec::new() };
        let wished = kit.wish_list.iter().map(Wish::name);
        wished.filter(|name| names.iter().any(|own| own == name)).map(str::to_owned).collect()
    }

    /// A box a target, where there are more than a page takes. At least one stays picked.
    pub(super) fn ui(&mut self, ui: &mut Ui, kit: &Kit) {
        if kit.wish_list.len() <= MOST_PANELS {
            return;
        }
        let mut picked = self.of(kit);
        if picked.is_empty() {
            picked = kit.wish_list.iter().take(MOST_PANELS).map(|w| w.name().to_owned()).collect();
        }
        ui.label(format!("Targets: {} of at most {MOST_PANELS}", picked.len()));
        ScrollArea::vertical().id_salt("picked").max_height(MOST_PT).show(ui, |ui| {
            ui.set_width(ui.available_width());
            for name in kit.wish_list.iter().map(Wish::name) {
                let mut is_picked = picked.iter().any(|own| own == name);
                let possible =
                    if is_picked { picked.len() > 1 } else { picked.len() < MOST_PANELS };
                let response = ui.add_enabled(possible, Checkbox::new(&mut is_picked, name));
                if response.gained_focus() {
                    response.scroll_to_me(None);
                }
                let why = if is_picked {
                    "At least one has a panel".to_owned()
                } else {
                    format!("A page has {MOST_PANELS} panels; take another one off it first")
                };
                if response.on_disabled_hover_text(why).changed() {
                    if is_picked {
                        picked.push(name.to_owned());
                    } else {
                        picked.retain(|own| own != name);
                    }
                    self.names = Some(picked.clone());
                }
            }
        });
    }
}
