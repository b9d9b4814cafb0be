//! The plots beside an explanation, and under each what its lines are.

use egui::{Color32, RichText, Role, Sense, TextStyle, Ui, Vec2, Vec2b, WidgetInfo, pos2};
use egui_plot::{GridMark, Line, LineStyle, MarkerShape, Plot, PlotPoints, PlotUi, Points};

use crate::demand_words::plain;
use crate::paint::screen;
use crate::scene::palette::Palette;
use crate::scene::primitive::DashPattern;
use crate::scene::style::rig_style;
use crate::state::charts::{Chart, Curve, Look, Scale};
use crate::widget::rig_line;

const HEIGHT: f32 = 158.0;

/// Dashes of the parts of a whole, by number.
const PART_DASHES: [DashPattern; 4] = [&[9.0, 4.0], &[2.0, 3.0], &[2.0, 3.0], &[9.0, 4.0]];

/// Shows plots one under the other.
pub(super) fn ui(ui: &mut Ui, charts: &[Chart], palette: &Palette) {
    for chart in charts {
        ui.strong(&chart.title);
        plot(ui, chart, palette);
        legend(ui, chart, palette);
    }
}

fn plot(ui: &mut Ui, chart: &Chart, palette: &Palette) {
    let lines: Vec<Curve> = chart.curves.clone();
    let shown = Plot::new(&chart.title)
        .height(HEIGHT)
        .width(ui.available_width())
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_axis_zoom_drag(false)
        .allow_double_click_reset(false)
        .sense(Sense::hover())
        .show_background(false)
        .set_margin_fraction(Vec2::new(0.02, 0.06))
        .x_axis_label(RichText::new(chart.x_label).small())
        .y_axis_label(RichText::new(chart.y_label).small())
        .x_grid_spacer(move |input| marks(chart.x_scale, input))
        .y_grid_spacer(move |input| marks(chart.y_scale, input))
        .x_axis_formatter(move |mark, _| mark_text(chart.x_scale, mark))
        .y_axis_formatter(move |mark, _| mark_text(chart.y_scale, mark))
        .label_formatter(|_| None)
        .show_crosshair(false)
        .grid_color(screen::colour(palette.rule))
        .grid_fade(0.0)
        .auto_bounds(Vec2b::TRUE)
        .show(ui, move |plot| {
            for curve in lines {
                draw(plot, curve, palette);
            }
        });
    shown.response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &chart.told));
    shown.response.on_hover_text(&chart.told);
}

fn draw(plot: &mut PlotUi<'_>, curve: Curve, palette: &Palette) {
    let (colour, dash, width) = look(curve.look, palette);
    let finite: Vec<[f64; 2]> =
        curve.points.into_iter().filter(|point| point.iter().all(|v| v.is_finite())).collect();
    if finite.len() == 1 {
        let dot = Points::new(curve.name, PlotPoints::from(finite))
            .radius(4.0)
            .shape(MarkerShape::Circle)
            .color(colour)
            .allow_hover(false);
        plot.points(dot);
        return;
    }
    let style = match dash.first() {
        Some(&length) if length < 2.5 => LineStyle::Dotted { spacing: 5.0 },
        Some(&length) => LineStyle::Dashed { length: length as f32 },
        None => LineStyle::Solid,
    };
    let line = Line::new(curve.name, PlotPoints::from(finite))
        .color(colour)
        .width(width)
        .style(style)
        .allow_hover(false);
    plot.line(line);
}

fn look(look: Look, palette: &Palette) -> (Color32, DashPattern, f32) {
    match look {
        Look::Main => (screen::colour(palette.text), &[], 2.4),
        Look::Bound => (screen::colour(palette.text_quiet), &[], 1.0),
        Look::Rig(mark) => (screen::colour(palette.rig(mark)), rig_style(mark).dash, 1.8),
        Look::Part(part) => {
            let dash = PART_DASHES.get(usize::from(part)).copied().unwrap_or(&[]);
            // Two tones and two dashes; not a rig's colour, which would mean that rig.
            let ink = if part.is_multiple_of(2) { palette.text } else { palette.text_quiet };
            (screen::colour(ink), dash, 1.4)
        }
    }
}

fn legend(ui: &mut Ui, chart: &Chart, palette: &Palette) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = Vec2::new(2.0, 2.0);
        for curve in &chart.curves {
            legend_entry(ui, curve, palette);
        }
    });
}

/// A line's sample with its name, which stay together where the legend wraps.
fn legend_entry(ui: &mut Ui, curve: &Curve, palette: &Palette) {
    const SAMPLE: Vec2 = Vec2::new(20.0, 13.0);
    const GAPS: f32 = 14.0;
    let (colour, dash, width) = look(curve.look, palette);
    let font = TextStyle::Small.resolve(ui.style());
    let ink = ui.visuals().text_color();
    let text = ui.painter().layout(curve.name.clone(), font, ink, ui.max_rect().width() - 40.0);
    let size = Vec2::new(SAMPLE.x + GAPS + text.size().x, text.size().y.max(SAMPLE.y));
    let (place, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &curve.name));
    let y = place.min.y + SAMPLE.y / 2.0 + 1.0;
    let (left, right) = (pos2(place.min.x, y), pos2(place.min.x + SAMPLE.x, y));
    if curve.points.len() == 1 {
        ui.painter().circle_filled(left + (right - left) / 2.0, 4.0, colour);
    } else {
        rig_line(ui.painter(), left, right, colour, dash, width);
    }
    ui.painter().galley(pos2(right.x + 4.0, place.min.y), text, ink);
}

/// Round numbers along an axis, as many as have room.
fn marks(scale: Scale, input: egui_plot::GridInput) -> Vec<GridMark> {
    let (from, to) = input.bounds;
    match scale {
        Scale::Even => {
            let wanted = (to - from) / 5.0;
            let step = round_step(wanted);
            if !(step.is_finite() && step > 0.0) {
                return Vec::new();
            }
            let first = (from / step).ceil() as i64;
            let last = (to / step).floor() as i64;
            (first..=last.min(first + 40))
                .map(|place| GridMark { value: place as f64 * step, step_size: step })
                .collect()
        }
        Scale::Decades => {
            let whole = from.floor().max(-30.0) as i32..=to.ceil().min(30.0) as i32;
            let steps: &[f64] = if to - from < 2.5 { &[1.0, 2.0, 5.0] } else { &[1.0] };
            whole
                .flat_map(|decade| steps.iter().map(move |step| f64::from(decade) + step.log10()))
                .filter(|value| (from..=to).contains(value))
                .map(|value| GridMark { value, step_size: 1.0 })
                .collect()
        }
    }
}

/// 1, 2 or 5 times a power of ten, at least as large as asked for.
fn round_step(least: f64) -> f64 {
    let decade = 10f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .map(|step| step * decade)
        .into_iter()
        .find(|step| *step >= least)
        .unwrap_or(decade)
}

fn mark_text(scale: Scale, mark: GridMark) -> String {
    let value = match scale {
        Scale::Even => mark.value,
        Scale::Decades => 10f64.powf(mark.value),
    };
    let rounded = (value * 1e4).round() / 1e4;
    if rounded.abs() >= 1000.0 || rounded.fract() == 0.0 {
        format!("{rounded:.0}")
    } else {
        plain(rounded)
    }
}
