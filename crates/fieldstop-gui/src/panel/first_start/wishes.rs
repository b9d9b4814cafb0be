//! Step 3: the wish list, picked from outlines drawn to scale, by quarter of the year and by size.

use egui::{
    Color32, Painter, Pos2, Rect, RichText, Role, ScrollArea, Sense, Shape, Stroke, StrokeKind, Ui,
    Vec2, WidgetInfo,
};
use fieldstop::kit::Wish;
use fieldstop::{Angle, Outline};

use super::FirstStartInput;
use crate::action::{Action, Queue};
use crate::nights::TargetYear;
use crate::nights::date::month_name;
use crate::nights::target_year::hours_text;
use crate::panel::finder::Finder;
use crate::sky::catalogue::Target;
use crate::sky::wish::WishNames;
use crate::state::first_start::{KnownTarget, QUARTERS, quarter_label};
use crate::widget::{named, scrolled_in};
use crate::words;

/// Sizes that are drawn to one scale each: least major axis in arcminutes, and how it is called.
const SIZES: [(f64, &str, &str); 4] = [
    (120.0, "Very large", "over 2°"),
    (30.0, "Large", "half a degree to 2°"),
    (8.0, "Middling", "8′ to 30′"),
    (0.0, "Small", "under 8′"),
];

/// Lengths of the bar that tells the scale, in arcminutes.
const BARS: [(f64, &str); 8] = [
    (120.0, "2°"),
    (60.0, "1°"),
    (30.0, "30′"),
    (10.0, "10′"),
    (5.0, "5′"),
    (2.0, "2′"),
    (1.0, "1′"),
    (0.5, "30″"),
];

const TILE_PT: Vec2 = Vec2::new(122.0, 124.0);
/// Room for the outline on a tile.
const PICTURE_PT: f32 = 66.0;
const LIST_PT: f32 = 250.0;

pub(super) fn ui(
    ui: &mut Ui,
    finder: &mut Finder,
    quarter: &mut usize,
    input: &mut FirstStartInput<'_>,
) {
    egui::Panel::right("picked wishes")
        .exact_size(LIST_PT)
        .show(ui, |ui| picked(ui, finder, input));
    egui::CentralPanel::default().show(ui, |ui| {
        ui.label(
            "Well-known targets at their true shapes, north up, those of Messier's list first, then by surface brightness, unknown ones last. Pick big and small; five to fifteen make a fair choice.",
        );
        ui.horizontal_wrapped(|ui| {
            ui.label("Best from here in");
            for choice in 0..QUARTERS {
                let button = egui::Button::selectable(*quarter == choice, quarter_label(choice));
                if ui.add(button).clicked() {
                    *quarter = choice;
                }
            }
        });
        let area = ScrollArea::vertical().auto_shrink(false);
        scrolled_in(ui, "outlines", area, |ui| {
            outlines(ui, *quarter, input);
        });
    });
}

/// The search field, and what is on the list.
fn picked(ui: &mut Ui, finder: &mut Finder, input: &mut FirstStartInput<'_>) {
    ui.strong("Wish list");
    // The field asks for what the window would do; here to find something is to wish for it.
    let mut asked = Queue::default();
    finder.ui(ui, input.kit, input.catalogue, &mut asked);
    for action in asked.take() {
        match action {
            Action::AddWish(wish) => wish_for(input, wish),
            Action::ChooseTarget(name) => wish_for(input, Wish::Named(name)),
            _ => {}
        }
    }
    let area = ScrollArea::vertical().auto_shrink(false);
    scrolled_in(ui, "picked", area, |ui| {
        if input.kit.wish_list.is_empty() {
            ui.label("What you pick stands here. Anything else of the catalogue is found above.");
        }
        let mut removed = None;
        for (place, wish) in input.kit.wish_list.iter().enumerate() {
            ui.horizontal(|ui| {
                let remove = ui.small_button("×").on_hover_text("Take it off the list");
                if named(remove, format!("Take {} off the wish list", wish.name())).clicked() {
                    removed = Some(place);
                }
                let row = input.figures.wishes.get(place).and_then(|row| row.target.as_ref());
                ui.add(
                    egui::Label::new(row.map_or_else(|| wish.name().to_owned(), Target::title))
                        .truncate(),
                );
            });
            if let Some(target) = input.year.target(wish.name()) {
                ui.label(RichText::new(when(target)).weak().small()).on_hover_text(target.words());
            }
        }
        if let Some(place) = removed {
            input.kit.wish_list.remove(place);
        }
    });
}

/// When a target is best, in the fewest words.
fn when(target: &TargetYear) -> String {
    let best = target.best_month().and_then(|month| Some((month, target.months.get(month)?)));
    match best {
        Some((month, hours)) => {
            format!("best in {}, {} a night", month_name(month), hours_text(hours.a_night()))
        }
        None => target.words(),
    }
}

fn wish_for(input: &mut FirstStartInput<'_>, wish: Wish) {
    if !input.kit.wish_list.iter().any(|known| known.name() == wish.name()) {
        input.kit.wish_list.push(wish);
    }
}

fn outlines(ui: &mut Ui, quarter: usize, input: &mut FirstStartInput<'_>) {
    let first = input.first;
    let Some(known) = first.known() else {
        match input.year.progress().or(first.progress()) {
            Some((label, share)) => ui.label(format!("{label}: {:.0} %", share * 100.0)),
            None => ui.label("The hours of this site have not been worked out."),
        };
        return;
    };
    let catalogue = input.catalogue;
    let shown: Vec<(&KnownTarget, &Target)> = known
        .iter()
        .filter(|target| target.best_quarter() == Some(quarter))
        .filter_map(|target| Some((target, catalogue.targets().get(target.index)?)))
        .collect();
    if shown.is_empty() {
        ui.label("Nothing well known is at its best from here then: the nights are too short or too bright.");
    }
    let mut most = f64::INFINITY;
    for (least, word, range) in SIZES {
        let major = |target: &Target| target.outline.map_or(0.0, |outline| outline.major.arcmin());
        let mut group: Vec<(&KnownTarget, &Target)> = shown
            .iter()
            .copied()
            .filter(|(_, target)| (least..most).contains(&major(target)))
            .collect();
        // Unknown is faint: what is bright has been measured.
        let faintness =
            |target: &Target| target.surface_brightness_mag_arcsec2.unwrap_or(f64::INFINITY);
        let messier = |target: &Target| target.name.starts_with("M ");
        group.sort_by(|(_, a), (_, b)| {
            messier(b)
                .cmp(&messier(a))
                .then(faintness(a).total_cmp(&faintness(b)))
                .then(major(b).total_cmp(&major(a)))
        });
        let largest = group.iter().map(|(_, target)| major(target)).fold(0.0, f64::max);
        if largest > 0.0 {
            let pt_per_arcmin = PICTURE_PT / largest as f32;
            heading(ui, word, range, pt_per_arcmin);
            tiles(ui, &group, pt_per_arcmin, quarter, input);
        }
        most = least;
    }
}

/// What a group holds, and its scale.
fn heading(ui: &mut Ui, word: &str, range: &str, pt_per_arcmin: f32) {
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        ui.strong(word);
        ui.label(range);
        let fits = |(arcmin, _): &(f64, &str)| *arcmin as f32 * pt_per_arcmin <= 60.0;
        let Some((bar, text)) = BARS.into_iter().find(fits) else { return };
        ui.add_space(16.0);
        let width = bar as f32 * pt_per_arcmin;
        let (rect, _) = ui.allocate_exact_size(Vec2::new(width, 14.0), Sense::hover());
        let stroke = Stroke::new(1.5, ui.visuals().text_color());
        ui.painter().hline(rect.x_range(), rect.center().y, stroke);
        for x in [rect.left(), rect.right()] {
            ui.painter().vline(x, rect.center().y - 3.0..=rect.center().y + 3.0, stroke);
        }
        ui.weak(format!("{text}; the full Moon is half a degree"));
    });
}

fn tiles(
    ui: &mut Ui,
    group: &[(&KnownTarget, &Target)],
    pt_per_arcmin: f32,
    quarter: usize,
    input: &mut FirstStartInput<'_>,
) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = Vec2::splat(6.0);
        for (known, target) in group {
            let names = WishNames::of(input.kit, input.catalogue);
            let place = names
                .wished(target)
                .and_then(|name| input.kit.wish_list.iter().position(|wish| wish.name() == name));
            let hours = known.hours_a_night(quarter);
            if tile(ui, &names.led(target), hours, place.is_some(), pt_per_arcmin) {
                match place {
                    Some(place) => {
                        input.kit.wish_list.remove(place);
                    }
                    None => input.kit.wish_list.push(Wish::Named(target.name.clone())),
                }
            }
        }
    });
}

/// A tile to pick or to put back; true when it was clicked.
fn tile(ui: &mut Ui, target: &Target, hours: f64, picked: bool, pt_per_arcmin: f32) -> bool {
    let (rect, response) = ui.allocate_exact_size(TILE_PT, Sense::click());
    let size = words::target_size(target.major_arcmin, target.minor_arcmin, target.size_uncertain);
    let hours = format!("{} a night", hours_text(hours));
    let told = format!("{}, {}, {size}, {hours}", target.title(), target.kind.label());
    response.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, picked, &told));
    if ui.is_rect_visible(rect) {
        let visuals = ui.style().interact_selectable(&response, picked);
        let painter = ui.painter_at(rect);
        let stroke = visuals.bg_stroke;
        painter.rect(rect.shrink(1.0), 4.0, visuals.weak_bg_fill, stroke, StrokeKind::Inside);
        let middle = Pos2::new(rect.center().x, rect.top() + 4.0 + PICTURE_PT / 2.0);
        if let Some(outline) = &target.outline {
            draw_outline(&painter, middle, outline, pt_per_arcmin, visuals.text_color());
        }
        lines(ui, &painter, rect, [&target.title(), &size, &hours], visuals.text_color());
    }
    response.on_hover_text(told).clicked()
}

/// The tile's words, each cut to its width.
fn lines(ui: &Ui, painter: &Painter, rect: Rect, texts: [&str; 3], ink: Color32) {
    let small = egui::TextStyle::Small.resolve(ui.style());
    let mut y = rect.top() + PICTURE_PT + 7.0;
    for text in texts {
        let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), small.clone(), ink);
        job.wrap = egui::text::TextWrapping::truncate_at_width(rect.width() - 10.0);
        let galley = ui.fonts_mut(|fonts| fonts.layout_job(job));
        painter.galley(Pos2::new(rect.center().x - galley.size().x / 2.0, y), galley, ink);
        y += 14.0;
    }
}

/// An outline at its true shape, north up and east left, as it stands in the sky.
fn draw_outline(
    painter: &Painter,
    middle: Pos2,
    outline: &Outline,
    pt_per_arcmin: f32,
    ink: Color32,
) {
    const CORNERS: usize = 48;
    let half = |axis: Angle| axis.arcmin() as f32 / 2.0 * pt_per_arcmin;
    let (a, b) = (half(outline.major), half(outline.minor.unwrap_or(outline.major)));
    if a < 1.0 {
        painter.circle_filled(middle, 1.0, ink);
        return;
    }
    let (sin, cos) = outline.axis_pa().sin_cos();
    let (sin, cos) = (sin as f32, cos as f32);
    let points: Vec<Pos2> = (0..CORNERS)
        .map(|k| {
            let (s, c) = (std::f32::consts::TAU * k as f32 / CORNERS as f32).sin_cos();
            let (along, across) = (a * c, b * s);
            let (north, east) = (along * cos - across * sin, along * sin + across * cos);
            middle - Vec2::new(east, north)
        })
        .collect();
    painter.add(Shape::closed_line(points, Stroke::new(1.3, ink)));
}
