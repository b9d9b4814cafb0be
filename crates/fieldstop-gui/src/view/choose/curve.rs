//! How much of the wish list each focal length serves, with the best one and the best two.

use egui::{Align2, Pos2, Rect, Role, Sense, Stroke, TextStyle, Ui, UiBuilder, WidgetInfo};
use egui_plot::{GridMark, Line, LineStyle, Plot, PlotBounds};
use fieldstop::focal_coverage::{BestFocalLength, Served};
use fieldstop::range::LADDER_MM;

use super::regions;
use crate::paint::screen;
use crate::scene::palette::Palette;
use crate::state::{CatalogueCoverage, ChoiceAnswer, Curve};
use crate::widget::LogAxis;
use crate::words;

const HEIGHT: f32 = 146.0;
/// Of a mark's words with the beam below them.
const MARK_HEIGHT: f32 = 18.0;
/// Of all marks: the best one, and the best two.
pub(super) const MARKS_HEIGHT: f32 = 3.0 * MARK_HEIGHT;
/// Of the axis, so that marks have room above a curve that reaches all.
const MOST_SHARE: f64 = 1.62;

/// Shows the curve and returns its place; says what the pointer is on.
pub(super) fn ui(
    ui: &mut Ui,
    axis: LogAxis,
    answer: &ChoiceAnswer,
    catalogue: Option<&CatalogueCoverage>,
    palette: &Palette,
) -> Rect {
    let shown = match catalogue {
        Some(found) => Curve::of_catalogue(found),
        None => {
            let weight = answer.wanted.iter().map(|wanted| wanted.weight()).sum();
            Curve::of_list(&answer.choice, answer.wanted.len(), weight)
        }
    };
    let size = egui::vec2(ui.available_width(), HEIGHT);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let place = Rect::from_x_y_ranges(axis.left..=axis.right, rect.y_range());
    ui.painter().rect_filled(place, 0.0, ui.visuals().extreme_bg_color);
    regions::paint(ui, place, axis, answer);
    scale(ui, rect, place, answer);
    let told = describe(shown);
    let pointed = ui.scope_builder(UiBuilder::new().max_rect(place), |ui| {
        let drawn = plot(ui, place, shown, palette);
        drawn.response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &told));
        drawn.response
    });
    marks(ui, place, axis, shown);
    if let Some(at) = pointed.inner.hover_pos() {
        let mm = axis.mm(at.x);
        let words = match catalogue {
            Some(_) => at_words(shown, mm),
            None => pointed_words(answer, mm),
        };
        pointed.inner.on_hover_text(words);
    }
    place
}

/// Beside the curve: what it is of, the aperture it is for, and the share at each height.
fn scale(ui: &Ui, rect: Rect, place: Rect, answer: &ChoiceAnswer) {
    let (font, ink) = (TextStyle::Small.resolve(ui.style()), ui.visuals().weak_text_color());
    for (share, text) in [(0.0, "0"), (0.5, "50 %"), (1.0, "100 %")] {
        let y = place.bottom() - place.height() * (share / MOST_SHARE) as f32;
        let y = y.min(place.bottom() - 6.0);
        let at = Pos2::new(place.left() - 5.0, y);
        ui.painter().text(at, Align2::RIGHT_CENTER, text, font.clone(), ink);
    }
    let aperture = answer.choice.setting.as_ref().map_or(0.0, |setting| setting.aperture_mm);
    let lines = [
        ("served by one rig".to_owned(), ui.visuals().text_color()),
        (format!("{aperture:.0} mm aperture,"), ink),
        ("f/2 and slower".to_owned(), ink),
    ];
    for (row, (text, ink)) in lines.into_iter().enumerate() {
        let at = Pos2::new(rect.left(), rect.top() + 1.0 + 14.0 * row as f32);
        ui.painter().text(at, Align2::LEFT_TOP, text, font.clone(), ink);
    }
}

fn plot(
    ui: &mut Ui,
    place: Rect,
    shown: Curve<'_>,
    palette: &Palette,
) -> egui_plot::PlotResponse<()> {
    let (weight, count) = (shown.weight, shown.count.max(1) as f64);
    let by_weight = |served: Served| if weight > 0.0 { served.weighted / weight } else { 0.0 };
    let points = |share: &dyn Fn(Served) -> f64| -> Vec<[f64; 2]> {
        let corners = shown.coverage.corners();
        corners.into_iter().map(|(mm, served)| [mm.ln(), share(served)]).collect()
    };
    let weighted = Line::new("by hours and how much wanted", points(&by_weight))
        .color(screen::colour(palette.text))
        .width(1.8)
        .fill(0.0)
        .fill_alpha(0.16)
        .allow_band(false)
        .allow_hover(false);
    let counted = Line::new("by number", points(&|served| f64::from(served.count) / count))
        .color(screen::colour(palette.text_quiet))
        .width(1.2)
        .style(LineStyle::Dashed { length: 5.0 })
        .allow_band(false)
        .allow_hover(false);
    Plot::new("coverage")
        .width(place.width())
        .height(place.height())
        .show_axes(false)
        .show_grid([false, true])
        .show_background(false)
        .set_margin_fraction(egui::Vec2::ZERO)
        .grid_color(screen::colour(palette.rule))
        .grid_fade(0.0)
        .y_grid_spacer(|_| [0.5, 1.0].map(|value| GridMark { value, step_size: 0.5 }).to_vec())
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_axis_zoom_drag(false)
        .allow_double_click_reset(false)
        .sense(Sense::hover())
        .show_crosshair(false)
        .label_formatter(|_| None)
        .show(ui, |plot| {
            plot.set_plot_bounds(PlotBounds::from_min_max(
                [LADDER_MM.least.ln(), 0.0],
                [LADDER_MM.most.ln(), MOST_SHARE],
            ));
            plot.line(weighted);
            plot.line(counted);
        })
}

/// Marks the best one above, the best two below it.
fn marks(ui: &Ui, place: Rect, axis: LogAxis, shown: Curve<'_>) {
    let strong = ui.visuals().strong_text_color();
    let thin = Stroke::new(1.2, strong);
    let one = shown.best.map(|best| (best, 0, "best one", Stroke::new(2.0, strong)));
    let two = shown
        .best_pair
        .map(|pair| [(pair.short, 1, "best two", thin), (pair.long, 2, "and", thin)]);
    let marks: Vec<_> = one.into_iter().chain(two.into_iter().flatten()).collect();
    for &(best, row, _, stroke) in &marks {
        mark_lines(ui, place, axis, best, row, stroke);
    }
    // After all lines, so that none goes through a name.
    for (best, row, name, _) in marks {
        mark_name(ui, place, axis, best, row, name);
    }
}

/// A line at a focal length, and a beam over all those that do as well.
fn mark_lines(ui: &Ui, place: Rect, axis: LogAxis, best: BestFocalLength, row: u8, stroke: Stroke) {
    let painter = ui.painter_at(place.intersect(ui.clip_rect()));
    let top = place.top() + MARK_HEIGHT * f32::from(row);
    let beam = top + MARK_HEIGHT - 1.5;
    let x = axis.x(best.focal_length_mm);
    let (from, to) = (axis.x(best.from_mm), axis.x(best.to_mm));
    painter.hline(from..=to, beam, stroke);
    for end in [from, to] {
        painter.vline(end, beam - 3.0..=beam + 3.0, stroke);
    }
    if row == 0 {
        painter.vline(x, beam..=place.bottom(), stroke);
    } else {
        painter.extend(egui::Shape::dashed_line(
            &[Pos2::new(x, beam), Pos2::new(x, place.bottom())],
            stroke,
            4.0,
            3.0,
        ));
    }
}

/// A mark's words over its beam, on a ground of their own.
fn mark_name(ui: &Ui, place: Rect, axis: LogAxis, best: BestFocalLength, row: u8, name: &str) {
    let painter = ui.painter_at(place.intersect(ui.clip_rect()));
    let font = TextStyle::Small.resolve(ui.style());
    let ink = ui.visuals().strong_text_color();
    let (top, x) = (place.top() + MARK_HEIGHT * f32::from(row), axis.x(best.focal_length_mm));
    let text = format!("{name}: {}", words::focal_length(best.focal_length_mm.round()));
    let galley = painter.layout_no_wrap(text, font, ink);
    // A name wider than the plot begins at its left.
    let leftmost = place.left() + 2.0;
    let left = (x - galley.size().x / 2.0)
        .clamp(leftmost, (place.right() - galley.size().x - 2.0).max(leftmost));
    let spot = Rect::from_min_size(Pos2::new(left, top + 1.0), galley.size());
    let ground = spot.expand2(egui::vec2(2.0, 0.0));
    painter.rect_filled(ground, 0.0, ui.visuals().extreme_bg_color);
    painter.galley(spot.min, galley, ink);
}

fn at_words(shown: Curve<'_>, mm: f64) -> String {
    let served = shown.coverage.at(mm).count;
    format!("{} serves {served} of {}", words::focal_length(mm), shown.count)
}

fn pointed_words(answer: &ChoiceAnswer, mm: f64) -> String {
    let served = answer.choice.coverage.at(mm);
    let names: Vec<&str> = answer
        .choice
        .ranges
        .iter()
        .filter(|range| range.range.is_some_and(|range| range.contains(mm)))
        .map(|range| range.target.as_str())
        .collect();
    let names = if names.is_empty() { "nothing".to_owned() } else { names.join(", ") };
    format!(
        "{} serves {} of {}, worth {:.0} usable hours a year times stars: {names}",
        words::focal_length(mm),
        served.count,
        answer.wanted.len(),
        served.weighted
    )
}

/// The curve in words, for those who cannot see it.
fn describe(shown: Curve<'_>) -> String {
    let steps = [50.0, 100.0, 200.0, 400.0, 800.0, 1600.0, 3200.0]
        .map(|mm| format!("{} {}", words::focal_length(mm), shown.coverage.at(mm).count));
    format!("Coverage: targets served at {}", steps.join(", "))
}
