//! One night hour by hour: how high the targets and the Moon stand, from noon to noon.

use egui::{EventFilter, Key, Rangef, Role, Sense, Ui, WidgetInfo};
use egui_plot::{
    AxisHints, GridMark, HLine, Line, LineStyle, Plot, PlotBounds, PlotPoint, PlotUi, Span as Band,
    Text, VLine,
};
use fieldstop::night::SunDepth;
use jiff::ToSpan;

use super::{YearInput, YearView, night_words, shade};
use crate::paint::screen;
use crate::state::NightFigures;

/// A drag of this many points is a night.
const DRAG_PT: f32 = 24.0;
/// Labels this near to each other are still told apart.
pub(super) const LABELS_PT: Rangef = Rangef { min: 30.0, max: 40.0 };
const HOURS_A_MARK: i32 = 2;

/// Which other curves are drawn as thin lines.
#[derive(Clone, Copy, Default)]
pub(super) struct Others {
    wishes: bool,
    planets: bool,
}

/// What the pointer and the keys asked of the plot.
struct Asked {
    nights: i64,
    hours: Option<f64>,
    pointed: Option<f64>,
}

/// Shows the plot with its words.
pub(super) fn ui(ui: &mut Ui, view: &mut YearView, input: &YearInput<'_>) {
    let Some(night) = &view.night else { return };
    night_words::facts(ui, night, input);
    let height = (ui.available_height() - 92.0).max(200.0);
    let moment = view.moment;
    let asked = plot(ui, night, input, height, view.others, moment, &mut view.dragged);
    let shown = asked.pointed.map(|hours| night.instant(hours)).or(moment);
    night_words::readout(ui, night, shown, input);
    ui.horizontal(|ui| {
        ui.weak("Also, as thin lines");
        ui.checkbox(&mut view.others.wishes, "the wish list");
        ui.checkbox(&mut view.others.planets, "the planets");
    });
    if let Some(hours) = asked.hours {
        view.moment = Some(night.instant(hours));
    }
    if asked.nights != 0
        && let Ok(evening) = view.evening.checked_add(asked.nights.days())
    {
        view.go_to(evening);
    }
}

fn plot(
    ui: &mut Ui,
    night: &NightFigures,
    input: &YearInput<'_>,
    height: f32,
    others: Others,
    moment: Option<fieldstop::Instant>,
    dragged: &mut f32,
) -> Asked {
    let clock = night.clock.clone();
    let start = night.night.window().start;
    let length = night.night.window().hours();
    let response = Plot::new("night plot")
        .height(height)
        .allow_zoom(false)
        .allow_drag(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .sense(Sense::click_and_drag())
        .show_grid(false)
        .cursor_color(ui.visuals().weak_text_color())
        .label_formatter(|_| None)
        .x_grid_spacer(|input| {
            let (first, last) = input.bounds;
            // OK because a night is a day or two long.
            (0..=(last.min(100.0) as i32) / HOURS_A_MARK)
                .map(|mark| f64::from(mark * HOURS_A_MARK))
                .filter(|hours| (first..last).contains(hours))
                .map(|value| GridMark { value, step_size: f64::from(HOURS_A_MARK) })
                .collect()
        })
        .custom_x_axes(vec![
            AxisHints::new_x()
                .label_spacing(LABELS_PT)
                .formatter(move |mark, _| clock.time(start.after_hours(mark.value))),
        ])
        .y_grid_spacer(|_| {
            [0.0, 30.0, 60.0, 90.0].map(|value| GridMark { value, step_size: 30.0 }).to_vec()
        })
        .y_axis_formatter(|mark, _| format!("{:.0}°", mark.value))
        .show(ui, |plot| {
            plot.set_plot_bounds(PlotBounds::from_min_max([0.0, -5.0], [length, 98.0]));
            draw(plot, night, input, others, moment);
            plot.pointer_coordinate()
        });
    let plot = response.response;
    let words = night_words::describe(night, input);
    plot.widget_info(|| WidgetInfo::labeled(Role::Figure, true, &words));
    let inside = response.inner.map(|at| at.x).filter(|x| (0.0..=length).contains(x));
    let mut nights = 0;
    if plot.dragged() {
        *dragged -= plot.drag_delta().x;
        let whole = (*dragged / DRAG_PT).trunc();
        *dragged -= whole * DRAG_PT;
        nights += whole as i64;
    } else {
        *dragged = 0.0;
    }
    let (by_keys, minutes) = keys(ui, &plot);
    let shown = moment.map_or(length / 2.0, |moment| night.hours(moment));
    let by_keys_hours = (minutes != 0).then(|| (shown + minutes as f64 / 60.0).clamp(0.0, length));
    if plot.clicked() {
        plot.request_focus();
    }
    Asked {
        nights: nights + by_keys,
        hours: inside.filter(|_| plot.clicked()).or(by_keys_hours),
        pointed: inside.filter(|_| plot.hovered() && !plot.dragged()),
    }
}

/// Nights and minutes that arrow keys ask for while the plot has the keyboard.
fn keys(ui: &Ui, plot: &egui::Response) -> (i64, i64) {
    if !plot.has_focus() {
        return (0, 0);
    }
    let filter =
        EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(plot.id, filter));
    ui.painter().rect_stroke(
        plot.rect,
        0.0,
        ui.visuals().selection.stroke,
        egui::StrokeKind::Inside,
    );
    ui.input(|input| {
        let step = if input.modifiers.shift { 7 } else { 1 };
        let pressed = |key: Key| i64::from(input.key_pressed(key));
        (
            step * (pressed(Key::ArrowRight) - pressed(Key::ArrowLeft)),
            10 * step * (pressed(Key::ArrowUp) - pressed(Key::ArrowDown)),
        )
    })
}

fn draw(
    plot: &mut PlotUi<'_>,
    night: &NightFigures,
    input: &YearInput<'_>,
    others: Others,
    moment: Option<fieldstop::Instant>,
) {
    let visuals = plot.ctx().global_style().visuals.clone();
    let (ink, weak) = (visuals.text_color(), visuals.weak_text_color());
    draw_depths(plot, night, &visuals);
    for altitude in [30.0, 60.0] {
        plot.hline(
            HLine::new("", altitude).color(weak.gamma_multiply(0.4)).width(0.5).allow_hover(false),
        );
    }
    plot.hline(HLine::new("horizon", 0.0).color(ink).width(1.0).allow_hover(false));
    let lowest = HLine::new("lowest altitude", night.horizon.lowest().deg());
    plot.hline(lowest.color(weak).style(LineStyle::dotted_dense()).allow_hover(false));
    let wishes = night.wishes.iter().filter(|_| others.wishes);
    for curve in wishes.chain(night.planets.iter().filter(|_| others.planets)) {
        let line = Line::new(curve.name.clone(), curve.points.clone());
        plot.line(line.color(weak).width(0.8).allow_hover(false));
        name(plot, &curve.name, &curve.points, weak);
    }
    let moon = Line::new("Moon", night.moon.clone());
    plot.line(moon.color(ink).width(1.5).style(LineStyle::dashed_dense()).allow_hover(false));
    name(plot, "Moon", &night.moon, ink);
    if let (Some(chosen), Some(target)) = (&night.chosen, &input.workspace.target) {
        let colour = screen::colour(input.palette.chosen);
        if !night.horizon.is_flat() {
            let limit = Line::new("horizon there", chosen.limit.clone());
            plot.line(limit.color(weak).width(1.0).fill(-5.0).fill_alpha(0.15).allow_hover(false));
        }
        let line = Line::new(target.clone(), chosen.curve.clone());
        plot.line(line.color(colour).width(2.0).allow_hover(false));
        for span in chosen.hours.dark.iter() {
            let usable = chosen
                .curve
                .iter()
                .copied()
                .filter(|at| (night.hours(span.start)..=night.hours(span.end)).contains(&at[0]))
                .collect::<Vec<_>>();
            plot.line(Line::new("usable", usable).color(colour).width(5.0).allow_hover(false));
        }
        name(plot, target, &chosen.curve, colour);
    }
    if let Some(moment) = moment {
        let line = VLine::new("moment", night.hours(moment));
        plot.vline(line.color(visuals.warn_fg_color).width(1.0).allow_hover(false));
    }
}

/// Day, the three twilights and darkness as bands, one over the other.
fn draw_depths(plot: &mut PlotUi<'_>, night: &NightFigures, visuals: &egui::Visuals) {
    let window = night.night.window();
    let [day, depths @ ..] = shade::depths(visuals);
    plot.span(Band::new("", 0.0..=window.hours()).fill(day));
    for (depth, fill) in SunDepth::ALL.into_iter().zip(depths) {
        for span in night.night.below(depth).spans(window).iter() {
            plot.span(Band::new("", night.hours(span.start)..=night.hours(span.end)).fill(fill));
        }
    }
}

/// A curve's name, above its highest point on the plot.
fn name(plot: &mut PlotUi<'_>, name: &str, points: &[[f64; 2]], colour: egui::Color32) {
    let Some(&[hours, altitude]) = points.iter().max_by(|a, b| a[1].total_cmp(&b[1])) else {
        return;
    };
    if altitude < 0.0 {
        return;
    }
    let length = points.last().map_or(24.0, |last| last[0]);
    let anchor = if hours < length * 0.1 {
        egui::Align2::LEFT_BOTTOM
    } else if hours > length * 0.9 {
        egui::Align2::RIGHT_BOTTOM
    } else {
        egui::Align2::CENTER_BOTTOM
    };
    let at = PlotPoint::new(hours, altitude + 0.5);
    plot.text(Text::new(name.to_owned(), at, name.to_owned()).anchor(anchor).color(colour));
}
