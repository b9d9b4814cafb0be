//! A list of rows of one height, of which only those near the ones in sight are laid out, so that a
//! thousand rows cost a frame no more than a hundred.

use egui::{Pos2, Rangef, Rect, Ui, UiBuilder, Vec2};

use super::scrolled::LaidOut;

/// Where the rows of a list lie.
pub struct LongList {
    first: Rect,
    step_pt: f32,
}

impl LongList {
    /// The place of a row, laid out or not.
    pub fn row(&self, place: usize) -> Rect {
        self.first.translate(Vec2::new(0.0, self.step_pt * place as f32))
    }

    /// Rows within a stretch of the screen.
    fn places(&self, stretch: Rangef, count: usize) -> std::ops::Range<usize> {
        self.place(stretch.min)..self.place(stretch.max).saturating_add(1).min(count)
    }

    /// The row at a height of the screen, if there are so many.
    fn place(&self, y: f32) -> usize {
        // OK because a cast takes what is below 0 to 0, and what is endless to the largest.
        ((y - self.first.top()) / self.step_pt).floor() as usize
    }
}

/// Shows the rows in sight, and twice as many before and behind them, so that there always is a next
/// one for the keyboard and for assistive technology, and a usual list is there whole. The row that
/// has the keyboard's focus stays as well, with the rows beside it, wherever the list is scrolled to.
///
/// All rows are as high as the first. A row keeps its controls' ids by its key, wherever it stands;
/// keys differ within the stretch that holds the list. `None` if there are no rows.
pub fn long_list<Key: egui::AsIdSalt>(
    ui: &mut Ui,
    count: usize,
    key: impl Fn(usize) -> Key,
    mut row: impl FnMut(&mut Ui, usize),
) -> Option<LongList> {
    if count == 0 {
        return None;
    }
    let before = LaidOut::so_far(ui);
    let room = ui.available_rect_before_wrap();
    let mut widest = room.width();
    let mut lay_out = |ui: &mut Ui, place: usize, room: Rect| {
        // Explicit, as other ids would change with the number of rows that are laid out before.
        let id = ui.scope_id().with(("row", key(place)));
        let mut inner = ui.new_child(UiBuilder::new().scope_id(id).max_rect(room));
        row(&mut inner, place);
        widest = widest.max(inner.min_rect().width());
        inner.min_rect().height()
    };
    let height = lay_out(ui, 0, room);
    let list = LongList {
        first: Rect::from_min_size(room.min, Vec2::new(room.width(), height)),
        step_pt: height + ui.spacing().item_spacing.y,
    };
    let sight = ui.clip_rect().y_range();
    let near = list.places(sight.expand(2.0 * sight.span()), count);
    let remembered = ui.unique_id().with("row of the focus");
    let focus: Option<usize> = ui.data(|data| data.get_temp(remembered)).flatten();
    let beside = |place: usize| place.saturating_sub(1)..place.saturating_add(2).min(count);
    let apart = focus.map(beside).into_iter().flatten().filter(|place| !near.contains(place));
    for place in near.clone().chain(apart).filter(|place| *place > 0) {
        lay_out(ui, place, list.row(place));
    }
    let focused = ui.memory(|memory| memory.focused());
    let end = list.row(count - 1).bottom();
    let all = Rect::from_min_max(room.min, Pos2::new(room.left() + widest, end));
    ui.advance_cursor_after_rect(all);
    let own = focused.filter(|id| before.is_followed_by(ui, *id));
    let response = own.and_then(|id| ui.ctx().read_response(id));
    let focus = response.map(|response| list.place(response.rect.center().y));
    let focus = focus.filter(|place| *place < count);
    ui.data_mut(|data| data.insert_temp(remembered, focus));
    Some(list)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rows laid out of a thousand, and how long the whole list is.
    fn laid_out(offset_pt: f32, count: usize) -> (Vec<usize>, f32) {
        let (mut places, mut length_pt) = (Vec::new(), 0.0);
        let ctx = egui::Context::default();
        let input = egui::RawInput {
            screen_rect: Some(Rect::from_min_size(egui::Pos2::ZERO, Vec2::new(200.0, 100.0))),
            ..Default::default()
        };
        for _ in 0..2 {
            places.clear();
            let mut output = ctx.run_ui(input.clone(), |ui| {
                ui.spacing_mut().item_spacing.y = 2.0;
                let area = egui::ScrollArea::vertical().vertical_scroll_offset(offset_pt);
                let shown = area.auto_shrink(false).show(ui, |ui| {
                    long_list(
                        ui,
                        count,
                        |place| place,
                        |ui, place| {
                            ui.allocate_space(Vec2::new(10.0, 18.0));
                            places.push(place);
                        },
                    );
                });
                length_pt = shown.content_size.y;
            });
            // Nobody draws them.
            output.textures_delta.clear();
        }
        (places, length_pt)
    }

    #[test]
    fn only_what_is_near_is_laid_out_and_the_list_has_its_whole_length() {
        let (places, length_pt) = laid_out(0.0, 1000);
        assert!(places.iter().copied().eq(0..places.len()) && (10..20).contains(&places.len()));
        assert!((length_pt - 19_998.0).abs() < 1.0, "{length_pt}");
        // The first, and those round 10,000 points.
        let (places, _) = laid_out(10_000.0, 1000);
        assert!(places.len() < 32 && places.contains(&500) && places.contains(&491), "{places:?}");
        assert!(places.contains(&513) && !places.contains(&520), "{places:?}");
        let (places, _) = laid_out(19_898.0, 1000);
        assert_eq!(places.last(), Some(&999));
        assert_eq!(laid_out(0.0, 3).0, [0, 1, 2]);
        assert!(laid_out(0.0, 0).0.is_empty());
    }
}
