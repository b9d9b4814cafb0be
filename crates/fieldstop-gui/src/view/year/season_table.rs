//! What the whole catalogue offers in one month, ranked by hours and by fit with the chosen rig.

use std::borrow::Cow;
use std::sync::Arc;

use egui::{ComboBox, RichText, ScrollArea, Ui};
use fieldstop::Field;
use fieldstop::fit::Fit;
use fieldstop::kit::{DrawnOutline, Wish};
use fieldstop::range::{LEAST_SIZE_ARCMIN, LISTED_MAGNITUDE};
use fieldstop::shape::fit_shape;

use super::{YearInput, YearView, work_in_progress};
use crate::action::Action;
use crate::nights::date::month_name;
use crate::nights::in_season::{InSeason, rank};
use crate::nights::{MONTHS, MonthHours};
use crate::panel_count::PanelCount;
use crate::sky::catalogue::Target;
use crate::sky::wish::{WishNames, as_drawn};
use crate::widget::{NumberField, named, scrolled_in};
use crate::words;

/// What all columns but the names take.
const OTHER_COLUMNS_PT: f32 = 566.0;
/// More rows than this nobody reads.
const MOST_ROWS: usize = 60;

/// The objects in order, kept until what they are ranked by changes.
#[derive(Default)]
pub(super) struct Ranking {
    found: Option<Arc<Vec<InSeason>>>,
    field: Option<Field>,
    limits: (f64, f64),
    outlines: Vec<DrawnOutline>,
    rows: Vec<(usize, MonthHours, Fit)>,
}

impl Ranking {
    fn update(&mut self, input: &YearInput<'_>) {
        let Some(found) = input.year.season() else { return };
        let Some(field) = input.figures.rigs.get(input.workspace.rig).map(|rig| rig.field) else {
            return;
        };
        let limits = (input.kit.limits.whole_fill, input.kit.limits.overlap);
        let same = self.found.as_ref().is_some_and(|known| Arc::ptr_eq(known, found))
            && self.field == Some(field)
            && self.limits == limits
            && self.outlines == input.kit.outlines;
        if same {
            return;
        }
        let names = WishNames::of(input.kit, &input.sky.catalogue);
        self.rows = found
            .iter()
            .filter_map(|object| {
                let target = input.sky.catalogue.targets().get(object.index)?;
                let name = &names.led(target).name;
                let target = as_drawn(input.kit, name, Cow::Borrowed(target));
                let fit = fit_shape(target.shape().as_ref(), &field, limits.0, limits.1);
                Some((object.index, object.hours, fit))
            })
            .collect();
        let rank = |row: &(usize, MonthHours, Fit)| rank(&row.1, &row.2, limits.0);
        self.rows.sort_by(|a, b| rank(b).total_cmp(&rank(a)));
        (self.found, self.field, self.limits) = (Some(found.clone()), Some(field), limits);
        self.outlines.clone_from(&input.kit.outlines);
    }
}

/// Shows what is looked for, and what was found.
pub(super) fn ui(ui: &mut Ui, view: &mut YearView, input: &mut YearInput<'_>) {
    question(ui, view);
    let Some(rig) = input.kit.rigs.get(input.workspace.rig) else {
        ui.label("No rig yet: add a candidate to the shortlist, and its best targets stand here.");
        return;
    };
    view.ranking.update(input);
    let month = month_name(view.season.month);
    if input.year.season().is_none() {
        work_in_progress(ui, input);
        return;
    }
    let count = view.ranking.rows.len();
    if count == 0 {
        let dark = input
            .year
            .nights()
            .and_then(|nights| Some(nights.dark_months().get(view.season.month)?.dark));
        ui.label(if dark == Some(0.0) {
            format!(
                "It never gets dark in {month} from here: the Sun never sinks 18° below the horizon."
            )
        } else {
            format!("Nothing of that size and brightness is up in the dark in {month} from here.")
        });
        return;
    }
    let shown =
        if count > MOST_ROWS { format!(", the best {MOST_ROWS} shown") } else { String::new() };
    ui.label(format!(
        "{} {} up in the dark in {month}{shown}, best for {} first.",
        words::counted(count, "object"),
        if count == 1 { "is" } else { "are" },
        rig.name
    ));
    ui.weak(
        "Rank: hours of an average night, times how well it uses the frame. Brightness does not \
         count, known or unknown.",
    )
    .on_hover_text(
        "Ranked by usable hours of an average night, times how well the object uses the frame: \
             fully from the whole fill to the frame's edge, less where it is lost in the frame or \
             spills over it. This project's own rule.",
    );
    // A bar that is seen: nothing else tells of columns beyond the edge.
    ui.spacing_mut().scroll = egui::style::ScrollStyle::solid();
    let area = ScrollArea::both().auto_shrink(false);
    scrolled_in(ui, "season", area, |ui| table(ui, &view.ranking.rows, input));
}

fn question(ui: &mut Ui, view: &mut YearView) {
    ui.horizontal_wrapped(|ui| {
        ui.label("Month");
        let combo = ComboBox::from_id_salt("month")
            .width(90.0)
            .selected_text(month_name(view.season.month))
            .show_ui(ui, |ui| {
                for month in 0..MONTHS {
                    ui.selectable_value(&mut view.season.month, month, month_name(month));
                }
            });
        named(combo.response, "Month");
        let size =
            NumberField::new("At least", "′", LEAST_SIZE_ARCMIN).compact().tip("Its longer side");
        if let Some(arcmin) = size.show(ui, view.season.least_arcmin) {
            view.season.least_arcmin = arcmin;
        }
        let magnitude = NumberField::new("To magnitude", "", LISTED_MAGNITUDE).compact();
        if let Some(mag) = magnitude.show(ui, view.season.faintest_mag) {
            view.season.faintest_mag = mag;
        }
        ui.checkbox(&mut view.season.without_magnitude, "Also without a magnitude")
            .on_hover_text("Most nebulae have none in the catalogue");
    });
}

fn table(ui: &mut Ui, rows: &[(usize, MonthHours, Fit)], input: &mut YearInput<'_>) {
    let name_pt = (ui.available_width() - OTHER_COLUMNS_PT).clamp(100.0, 320.0);
    egui::Grid::new("in season").striped(true).spacing([10.0, 2.0]).show(ui, |ui| {
        for text in ["", "Object", "Hours a night", "Size", "Magnitude", "In the frame"] {
            ui.label(RichText::new(text).weak());
        }
        ui.end_row();
        let names = WishNames::of(input.kit, &input.sky.catalogue);
        for (index, hours, fit) in rows.iter().take(MOST_ROWS) {
            if let Some(target) = input.sky.catalogue.targets().get(*index) {
                let listed = names.wished(target).is_some();
                row(ui, name_pt, &names.led(target), listed, hours, fit, input);
            }
        }
    });
}

fn row(
    ui: &mut Ui,
    name_pt: f32,
    target: &Target,
    listed: bool,
    hours: &MonthHours,
    fit: &Fit,
    input: &mut YearInput<'_>,
) {
    if listed {
        ui.weak("on the list");
    } else {
        let button = ui.button("Add");
        if named(button, format!("Add {} to the wish list", target.name)).clicked() {
            input.queue.push(Action::AddWish(Wish::Named(target.name.clone())));
        }
    }
    let size = [name_pt, ui.spacing().interact_size.y];
    let name = egui::Label::new(target.title()).truncate().halign(egui::Align::LEFT);
    let tip = format!("{}\n{}", target.title(), target.kind.label());
    ui.allocate_ui_with_layout(
        size.into(),
        egui::Layout::left_to_right(egui::Align::Center),
        |ui| {
            ui.set_width(name_pt);
            ui.add(name).on_hover_text(tip);
        },
    );
    ui.label(format!("{:.1} h", hours.a_night()));
    ui.label(words::target_size(target.major_arcmin, target.minor_arcmin, target.size_uncertain));
    ui.label(match target.magnitude {
        Some(magnitude) if target.magnitude_assumed => format!("about {magnitude:.1}"),
        Some(magnitude) => format!("{magnitude:.1}"),
        None => "unknown".to_owned(),
    });
    let target = as_drawn(input.kit, &target.name, Cow::Borrowed(target));
    let field = input.figures.rigs.get(input.workspace.rig).map(|rig| &rig.field);
    let panels = field.map_or(PanelCount::Unknown, |field| {
        input.figures.panels.count(&target, field, input.kit.limits.overlap, fit)
    });
    ui.label(words::fit(fit, panels));
    ui.end_row();
}
