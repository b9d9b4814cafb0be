//! Which targets are shown, and in which order.

use egui::{ComboBox, Ui};

use super::ChooseView;
use crate::nights::MONTHS;
use crate::nights::date::month_name;
use crate::state::{ChoiceAnswer, YearFigures};
use crate::widget::named;

/// The order of the targets.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
pub(super) enum Order {
    #[default]
    Size,
    Season,
    Hours,
    Stars,
    List,
}

impl Order {
    const ALL: [(Self, &'static str); 5] = [
        (Self::Size, "size"),
        (Self::Season, "best month"),
        (Self::Hours, "hours"),
        (Self::Stars, "stars"),
        (Self::List, "wish list"),
    ];
}

/// Shows the choices of order and season.
pub(super) fn ui(ui: &mut Ui, view: &mut ChooseView) {
    ui.weak("Sorted by");
    for (order, text) in Order::ALL {
        if ui.selectable_label(view.order == order, text).clicked() {
            view.order = order;
        }
    }
    let text = |month: Option<usize>| month.map_or("all year", month_name);
    let combo =
        ComboBox::from_id_salt("season").selected_text(text(view.month)).show_ui(ui, |ui| {
            for month in std::iter::once(None).chain((0..MONTHS).map(Some)) {
                ui.selectable_value(&mut view.month, month, text(month));
            }
        });
    named(combo.response, "Season").on_hover_text(
        "Shows only targets that are up in the dark for an hour or more in an average night of the month",
    );
    if view.month.is_some() {
        ui.weak("Counts and curve are of the whole list.");
    }
}

/// Places in the answer's list of targets, in the order they are shown.
pub(super) fn rows(view: &ChooseView, answer: &ChoiceAnswer, year: &YearFigures) -> Vec<usize> {
    let best_month = |place: usize| {
        let name = answer.wanted.get(place).map_or("", |wanted| wanted.name.as_str());
        year.target(name).and_then(|target| target.best_month()).unwrap_or(MONTHS)
    };
    let in_season = |place: &usize| match (view.month, answer.wanted.get(*place)) {
        (Some(month), Some(wanted)) => {
            year.target(&wanted.name).is_some_and(|target| target.is_worth(month))
        }
        _ => true,
    };
    let hours = |place: usize| answer.wanted.get(place).map_or(0.0, |wanted| wanted.hours_in_year);
    let stars = |place: usize| answer.wanted.get(place).map_or(0, |wanted| wanted.stars);
    let size = |place: usize| {
        let major = answer.choice.ranges.get(place).and_then(|range| range.major);
        major.map_or(-1.0, |major| major.rad())
    };
    let mut rows: Vec<usize> = (0..answer.wanted.len()).filter(in_season).collect();
    match view.order {
        Order::List => {}
        Order::Size => rows.sort_by(|&a, &b| size(b).total_cmp(&size(a))),
        Order::Season => rows.sort_by_key(|&place| best_month(place)),
        Order::Hours => rows.sort_by(|&a, &b| hours(b).total_cmp(&hours(a))),
        Order::Stars => rows.sort_by_key(|&place| std::cmp::Reverse(stars(place))),
    }
    rows
}
