//! The year in one line: how long it is dark, how long the chosen target is up in it, and the Moon.

use egui::{Color32, Role, Sense, Ui, WidgetInfo};
use egui_plot::{
    AxisHints, Bar, BarChart, GridMark, Line, LineStyle, Plot, PlotPoint, Text, VLine,
};

use super::night_plot::LABELS_PT;
use super::shade::shade;
use super::{YearInput, YearView};
use crate::nights::date::{day_and_month, month_index, month_short};
use crate::nights::target_year::hours_text;
use crate::nights::{SiteYear, TargetYear};
use crate::paint::screen;

/// Height of the Moon's band below the axis, hours.
const BAND_HOURS: f64 = 1.2;

/// Shows the plot; a click on it goes to that night.
pub(super) fn ui(ui: &mut Ui, year: &SiteYear, view: &mut YearView, input: &YearInput<'_>) {
    let target = input.workspace.target.as_deref().and_then(|name| input.year.target(name));
    let longest = year.nights.iter().map(|night| night.dark_hours).fold(4.0, f64::max) + 1.0;
    let firsts: Vec<(usize, usize)> = year
        .nights
        .iter()
        .enumerate()
        .filter(|(_, night)| night.evening.day() == 1)
        .map(|(index, night)| (index, month_index(night.evening)))
        .collect();
    let marks = firsts.clone();
    let shown = year.index_of(view.evening);
    let visuals = ui.visuals().clone();
    let colour = screen::colour(input.palette.chosen);
    let response = Plot::new("year plot")
        .height(150.0)
        .allow_zoom(false)
        .allow_drag(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .sense(Sense::click())
        .show_grid([false, true])
        .cursor_color(visuals.weak_text_color())
        .label_formatter(|_| None)
        .x_grid_spacer(move |_| {
            marks
                .iter()
                .map(|&(index, _)| GridMark { value: index as f64, step_size: 30.0 })
                .collect()
        })
        .custom_x_axes(vec![AxisHints::new_x().label_spacing(LABELS_PT).formatter(
            move |mark, _| {
                let month = firsts.iter().find(|(index, _)| *index as f64 == mark.value);
                month.map_or_else(String::new, |&(_, month)| month_short(month).to_owned())
            },
        )])
        .y_axis_formatter(|mark, _| {
            if mark.value < 0.0 { String::new() } else { format!("{:.0} h", mark.value) }
        })
        .show(ui, |plot| {
            let nights = year.nights.len() as f64;
            plot.set_plot_bounds(egui_plot::PlotBounds::from_min_max(
                [0.0, -BAND_HOURS * 1.5],
                [nights, longest],
            ));
            plot.bar_chart(moon_band(year, &visuals));
            plot.line(dark_line(year, visuals.text_color()));
            if let Some(target) = target {
                plot.line(target_line(target, colour));
            }
            plot.text(
                Text::new("moon", PlotPoint::new(2.0, -BAND_HOURS * 0.75), "Moon")
                    .anchor(egui::Align2::LEFT_CENTER)
                    .color(visuals.strong_text_color()),
            );
            if let Some(index) = shown {
                let line = VLine::new("evening", index as f64 + 0.5);
                plot.vline(line.color(visuals.warn_fg_color).width(1.5).allow_hover(false));
            }
            plot.pointer_coordinate()
        });
    let words = describe(year, target);
    response.response.widget_info(|| WidgetInfo::labeled(Role::Figure, true, &words));
    let inside = response.inner.filter(|at| at.x >= 0.0 && response.response.hovered());
    let pointed = inside.and_then(|at| {
        // OK because a place right of the axis' origin is no negative number.
        let index = at.x as usize;
        Some((index, year.nights.get(index)?))
    });
    match pointed {
        Some((index, night)) => {
            if response.response.clicked() {
                view.go_to(night.evening);
            }
            readout(ui, index, night, target);
        }
        None => {
            ui.weak("Line: dark hours at the site. Filled: usable hours of the chosen target. Click a night to see it below.");
        }
    }
}

/// What one night of the plot says.
fn readout(
    ui: &mut Ui,
    index: usize,
    night: &crate::nights::YearNight,
    target: Option<&TargetYear>,
) {
    let dark = if night.night.dark().is_empty() {
        "no astronomical night".to_owned()
    } else {
        format!("dark for {}", hours_text(night.dark_hours))
    };
    let mut text = format!(
        "{}: {dark}, Moon {:.0} % lit",
        day_and_month(night.evening),
        night.moon_lit * 100.0
    );
    if let Some(target) = target
        && let Some(usable) = target.hours.get(index)
    {
        text += &format!(
            "; {} usable for {}, {} without the Moon",
            target.name,
            hours_text(f64::from(usable.dark)),
            hours_text(f64::from(usable.moonless))
        );
    }
    ui.label(text);
}

fn dark_line(year: &SiteYear, colour: Color32) -> Line<'static> {
    let points: Vec<[f64; 2]> = year
        .nights
        .iter()
        .enumerate()
        .map(|(index, night)| [index as f64 + 0.5, night.dark_hours])
        .collect();
    Line::new("dark hours at the site", points)
        .color(colour)
        .width(1.5)
        .style(LineStyle::Solid)
        .allow_hover(false)
}

fn target_line(target: &TargetYear, colour: Color32) -> Line<'static> {
    let points: Vec<[f64; 2]> = target
        .hours
        .iter()
        .enumerate()
        .map(|(index, usable)| [index as f64 + 0.5, f64::from(usable.dark)])
        .collect();
    Line::new("usable hours", points)
        .color(colour)
        .width(1.5)
        .fill(0.0)
        .fill_alpha(0.25)
        .allow_hover(false)
}

/// The Moon as a band: the brighter, the more of it is lit.
fn moon_band(year: &SiteYear, visuals: &egui::Visuals) -> BarChart {
    let bars = year.nights.iter().enumerate().map(|(index, night)| {
        let fill = shade(visuals, visuals.text_color(), night.moon_lit as f32 * 0.6);
        Bar::new(index as f64 + 0.5, BAND_HOURS)
            .base_offset(-BAND_HOURS * 1.25)
            .width(1.0)
            .fill(fill)
            .stroke(egui::Stroke::NONE)
    });
    BarChart::new("Moon", bars.collect()).allow_hover(false)
}

/// The plot in a sentence, for those who cannot see it.
fn describe(year: &SiteYear, target: Option<&TargetYear>) -> String {
    let site = year.no_dark_words().unwrap_or_else(|| {
        let least = year.nights.iter().map(|night| night.dark_hours).fold(24.0, f64::min);
        let most = year.nights.iter().map(|night| night.dark_hours).fold(0.0, f64::max);
        format!("Dark for {} to {} a night", hours_text(least), hours_text(most))
    });
    match target {
        Some(target) => format!("Year plot. {site}. {}", target.words()),
        None => format!("Year plot. {site}."),
    }
}
