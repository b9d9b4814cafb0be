//! Single controls: each draws itself, takes its keys and names itself, given plain values.

mod closing_click;
mod coordinate_field;
mod date_field;
mod finding;
mod finite_numbers;
mod focal_ladder;
mod grade_mark;
mod ladder_names;
mod log_axis;
mod long_list;
mod month_marks;
mod name_field;
mod number_field;
mod open_list;
mod outline_thumb;
mod scrolled;
mod star_rating;

pub use closing_click::ClosingClick;
pub use coordinate_field::coordinate_field;
pub use date_field::date_field;
pub use finding::finding_ui;
pub use finite_numbers::{FiniteNumbers, finite_number};
pub use focal_ladder::{
    LADDER_HEIGHT_PT, LadderBar, LadderHandle, LadderResponse, focal_ladder, focal_ladder_on,
};
pub use grade_mark::{grade_colour, grade_mark};
pub use log_axis::LogAxis;
pub use long_list::{LongList, long_list};
pub use month_marks::month_marks;
pub(crate) use name_field::unique_name;
pub use name_field::{name_field, steady_name_field};
pub use number_field::NumberField;
pub use open_list::{close_list_by_key, go_on_from_list, keep_menu_open, lift_what_opened};
pub use outline_thumb::{Thumb, outline_thumb};
pub use scrolled::{scrolled, scrolled_in};
pub(crate) use star_rating::STAR_RATING_PT;
pub use star_rating::star_rating;

use egui::text::{CCursor, CCursorRange};
use egui::{Color32, Painter, Pos2, Response, Stroke};

use crate::scene::primitive::DashPattern;

/// Names a control for assistive technology where its own text does not say enough.
pub(crate) fn named(response: Response, name: impl Into<String>) -> Response {
    let name = name.into();
    response.ctx.accesskit_node_builder(response.id, |node| node.set_label(name));
    response
}

/// Where a window of some width opens first: over the wish list, so that the sky stays in sight.
pub(crate) fn beside_sky(ctx: &egui::Context, width_pt: f32) -> Pos2 {
    Pos2::new((ctx.content_rect().right() - width_pt - 16.0).max(0.0), 64.0)
}

/// Marks all of a field's text, so that typing replaces it.
pub(crate) fn select_all(ctx: &egui::Context, field: egui::Id, text: &str) {
    if let Some(mut state) = egui::TextEdit::load_state(ctx, field) {
        let end = CCursor::new(text.chars().count());
        state.cursor.set_char_range(Some(CCursorRange::two(CCursor::new(0), end)));
        egui::TextEdit::store_state(ctx, field, state);
    }
}

/// A rig's line: its colour and its dash pattern, the same as on the sky.
pub(crate) fn rig_line(
    painter: &Painter,
    from: Pos2,
    to: Pos2,
    colour: Color32,
    dash: DashPattern,
    width: f32,
) {
    let stroke = Stroke::new(width, colour);
    if dash.len() < 2 {
        painter.line_segment([from, to], stroke);
        return;
    }
    let (dashes, gaps): (Vec<f32>, Vec<f32>) =
        dash.chunks_exact(2).map(|pair| (pair[0] as f32, pair[1] as f32)).unzip();
    painter.extend(egui::Shape::dashed_line_with_offset(&[from, to], stroke, &dashes, &gaps, 0.0));
}
