//! The calendar: a row a target, a column a night or a week, the shade its usable dark hours.

use egui::text::{LayoutJob, TextWrapping};
use egui::{Align2, Color32, Pos2, Rect, RichText, Role, Sense, Stroke, Ui, Vec2, WidgetInfo};
use fieldstop::season::UsableHours;
use jiff::civil::Date;

use super::shade::shade;
use super::{Order, YearInput};
use crate::action::Action;
use crate::nights::date::{day_and_month, month_index, month_name, month_short};
use crate::nights::target_year::hours_text;
use crate::nights::{SiteYear, TargetYear};
use crate::paint::screen;
use crate::sky::Target;
use crate::state::ViewChoice;
use crate::widget::long_list;

const NAME_PT: f32 = 150.0;
const TOTAL_PT: f32 = 62.0;
const ROW_PT: f32 = 17.0;
/// Months narrower than this say their first letter.
const SHORT_NAME_PT: f32 = 26.0;
/// A column a night from this width on; a column a week where there is less room.
const NARROWEST_PT: f32 = 2.0;
/// The full shade. Longer nights than this are rare where people live.
const FULL_HOURS: f32 = 10.0;

/// Where the year lies on the page, and the nights of each column.
pub(super) struct Columns {
    pub(super) left: f32,
    pub(super) right: f32,
    nights: usize,
    a_column: usize,
}

impl Columns {
    /// The columns for the room that a page has.
    pub(super) fn of(ui: &Ui, nights: usize) -> Self {
        let left = ui.min_rect().left() + NAME_PT;
        let right = (ui.min_rect().left() + ui.available_width() - TOTAL_PT).max(left + 100.0);
        let wide = (right - left) / nights.max(1) as f32 >= NARROWEST_PT;
        Self { left, right, nights, a_column: if wide { 1 } else { 7 } }
    }

    /// Where a night begins.
    pub(super) fn x(&self, night: usize) -> f32 {
        self.left + (self.right - self.left) * night as f32 / self.nights.max(1) as f32
    }

    /// The night under a place.
    fn night_at(&self, x: f32) -> Option<usize> {
        let share = (x - self.left) / (self.right - self.left);
        // OK because the share lies between 0 and 1.
        (0.0..1.0).contains(&share).then_some((share * self.nights as f32) as usize)
    }

    /// First night and end of each column.
    fn columns(&self) -> impl Iterator<Item = (usize, usize)> + '_ {
        (0..self.nights)
            .step_by(self.a_column)
            .map(|first| (first, (first + self.a_column).min(self.nights)))
    }

    /// First night and end of the column that a night is in.
    fn column_of(&self, night: usize) -> (usize, usize) {
        let first = night / self.a_column * self.a_column;
        (first, (first + self.a_column).min(self.nights))
    }
}

/// Shows the calendar.
pub(super) fn ui(
    ui: &mut Ui,
    year: &SiteYear,
    order: Order,
    tonight: Option<Date>,
    input: &mut YearInput<'_>,
) {
    let columns = Columns::of(ui, year.nights.len());
    let top = ui.cursor().top();
    month_names(ui, &columns, year, "in the year");
    site_row(ui, &columns, year);
    moon_row(ui, &columns, year);
    if input.kit.wish_list.is_empty() {
        ui.label("The wish list's targets stand here. Find a target on the right and add it.");
    }
    let wishes = input.kit.wish_list.iter().zip(&input.figures.wishes);
    let mut rows: Vec<Row<'_>> = wishes
        .filter_map(|(wish, known)| {
            Some(Row { year: input.year.target(wish.name())?, target: known.target.as_ref() })
        })
        .collect();
    sort(&mut rows, order);
    long_list(
        ui,
        rows.len(),
        |place| rows.get(place).map(|row| &row.year.name),
        |ui, place| {
            if let Some(row) = rows.get(place) {
                target_row(ui, &columns, year, row, input);
            }
        },
    );
    mark_tonight(ui, &columns, year, tonight, top);
    key(ui, &columns, input);
}

/// A target of the wish list and its year.
struct Row<'a> {
    year: &'a TargetYear,
    target: Option<&'a Target>,
}

fn sort(rows: &mut [Row<'_>], order: Order) {
    match order {
        // A target without any comes last.
        Order::BestMonth => rows.sort_by_key(|row| row.year.best_month().unwrap_or(usize::MAX)),
        Order::Name => rows.sort_by_cached_key(|row| natural_key(&row.year.name)),
        Order::Hours => rows.sort_by(|a, b| b.year.total.dark.total_cmp(&a.year.total.dark)),
    }
}

/// `M 8` before `M 51`, as people count.
fn natural_key(name: &str) -> (String, u64, String) {
    let digits = name.find(|c: char| c.is_ascii_digit()).unwrap_or(name.len());
    let (letters, rest) = name.split_at(digits);
    let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
    (letters.to_lowercase(), rest[..end].parse().unwrap_or(0), name.to_owned())
}

/// Rooms of a row: its name, its year, its total.
pub(super) fn row(ui: &mut Ui, sense: Sense) -> (Rect, egui::Response) {
    ui.spacing_mut().item_spacing.y = 1.0;
    ui.allocate_exact_size(Vec2::new(ui.available_width(), ROW_PT), sense)
}

pub(super) fn month_names(ui: &mut Ui, columns: &Columns, year: &SiteYear, total: &str) {
    let (rect, _) = row(ui, Sense::hover());
    let font = egui::TextStyle::Small.resolve(ui.style());
    let ink = ui.visuals().weak_text_color();
    let letters = if columns.x(28) - columns.x(0) < SHORT_NAME_PT { 1 } else { 3 };
    for (index, night) in year.nights.iter().enumerate() {
        if night.evening.day() == 1 {
            let x = columns.x(index);
            ui.painter().vline(x, rect.bottom() - 4.0..=rect.bottom(), Stroke::new(1.0, ink));
            let name = month_short(month_index(night.evening));
            let name = name.get(..letters).unwrap_or(name);
            let at = Pos2::new(x + 3.0, rect.bottom() - 2.0);
            ui.painter().text(at, Align2::LEFT_BOTTOM, name, font.clone(), ink);
        }
    }
    ui.painter().text(
        Pos2::new(rect.right() - 2.0, rect.bottom() - 2.0),
        Align2::RIGHT_BOTTOM,
        total,
        font,
        ink,
    );
}

/// The night under the pointer, if it is on a row.
fn pointed(response: &egui::Response, columns: &Columns) -> Option<usize> {
    response.hover_pos().and_then(|at| columns.night_at(at.x))
}

/// The dates of a column: one evening, or a week.
fn dates(columns: &Columns, year: &SiteYear, night: usize) -> String {
    let (first, end) = columns.column_of(night);
    let evening = |index: usize| year.nights.get(index).map(|night| day_and_month(night.evening));
    match (evening(first), evening(end.saturating_sub(1))) {
        (Some(first_date), Some(last_date)) if first + 1 < end => {
            format!("{first_date} to {last_date}")
        }
        (Some(date), _) => format!("evening of {date}"),
        _ => String::new(),
    }
}

pub(super) fn label(ui: &Ui, rect: Rect, text: &str, colour: Color32) {
    let font = egui::TextStyle::Small.resolve(ui.style());
    let mut job = LayoutJob::simple_singleline(text.to_owned(), font, colour);
    job.wrap = TextWrapping::truncate_at_width(NAME_PT - 12.0);
    let galley = ui.painter().layout_job(job);
    let at = Pos2::new(rect.left() + 4.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, colour);
}

fn total(ui: &Ui, rect: Rect, hours: f64) {
    ui.painter().text(
        Pos2::new(rect.right() - 4.0, rect.center().y),
        Align2::RIGHT_CENTER,
        format!("{hours:.0} h"),
        egui::TextStyle::Small.resolve(ui.style()),
        ui.visuals().text_color(),
    );
}

fn cell(columns: &Columns, rect: Rect, first: usize, end: usize) -> Rect {
    let (left, right) = (columns.x(first), columns.x(end));
    // A hair apart, so that weeks can be counted.
    let gap = if columns.a_column > 1 { 1.0 } else { 0.0 };
    Rect::from_min_max(Pos2::new(left, rect.top()), Pos2::new(right - gap, rect.bottom()))
}

/// The darkness that the site has at all; nights without any are crossed out.
fn site_row(ui: &mut Ui, columns: &Columns, year: &SiteYear) {
    let (rect, response) = row(ui, Sense::hover());
    let ink = ui.visuals().text_color();
    label(ui, rect, "Dark at the site", ink);
    let mut sum = 0.0;
    for (first, end) in columns.columns() {
        let nights = year.nights.get(first..end).unwrap_or_default();
        let hours: f64 = nights.iter().map(|night| night.dark_hours).sum();
        sum += hours;
        let cell = cell(columns, rect, first, end);
        let share = (hours / nights.len().max(1) as f64) as f32 / FULL_HOURS;
        ui.painter().rect_filled(cell, 0.0, shade(ui.visuals(), ink, share * 0.7));
        if nights.iter().all(|night| night.night.dark().is_empty()) {
            cross(ui, cell);
        }
    }
    total(ui, rect, sum);
    let text = format!("Dark at the site: {sum:.0} h in the year");
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &text));
    if let Some(night) = pointed(&response, columns)
        && let Some(known) = year.nights.get(night)
    {
        let words = if known.night.dark().is_empty() {
            "no astronomical night".to_owned()
        } else {
            format!("{} dark", hours_text(known.dark_hours))
        };
        response.on_hover_text(format!("{}\n{words}", dates(columns, year, night)));
    }
}

/// A mark that says "none", by shape and not by shade.
fn cross(ui: &Ui, cell: Rect) {
    let stroke = Stroke::new(1.0, ui.visuals().weak_text_color());
    ui.painter().line_segment([cell.left_bottom(), cell.right_top()], stroke);
}

fn moon_row(ui: &mut Ui, columns: &Columns, year: &SiteYear) {
    let (rect, response) = row(ui, Sense::hover());
    let ink = ui.visuals().text_color();
    label(ui, rect, "Moon, lit", ink);
    let room = rect.shrink2(Vec2::new(0.0, 4.0));
    for (first, end) in columns.columns() {
        let nights = year.nights.get(first..end).unwrap_or_default();
        let lit: f64 = nights.iter().map(|night| night.moon_lit).sum();
        let share = (lit / nights.len().max(1) as f64) as f32;
        let cell = cell(columns, room, first, end);
        ui.painter().rect_filled(cell, 0.0, shade(ui.visuals(), ink, share * 0.7));
    }
    let text = "How much of the Moon is lit, night by night";
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, text));
    if let Some(night) = pointed(&response, columns)
        && let Some(known) = year.nights.get(night)
    {
        let date = day_and_month(known.evening);
        response.on_hover_text(format!("{date}\nMoon {:.0} % lit", known.moon_lit * 100.0));
    }
}

fn target_row(
    ui: &mut Ui,
    columns: &Columns,
    year: &SiteYear,
    shown: &Row<'_>,
    input: &mut YearInput<'_>,
) {
    let target = shown.year;
    let (rect, response) = row(ui, Sense::click());
    let chosen = input.workspace.target.as_deref() == Some(target.name.as_str());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, row_words(target)));
    if ui.is_rect_visible(rect) {
        paint_target(ui, columns, shown, (rect, &response), chosen, input);
    }
    if response.clicked() {
        input.queue.push(Action::ChooseTarget(target.name.clone()));
        input.queue.push(Action::ShowView(ViewChoice::Frame));
    }
    // Only where it is read: a hundred rows are laid out in every frame.
    let pointer = pointed(&response, columns);
    response.on_hover_ui(|ui| {
        ui.label(row_tip(columns, year, target, pointer));
    });
}

/// What is told to whom rests on a row.
fn row_tip(
    columns: &Columns,
    year: &SiteYear,
    target: &TargetYear,
    pointed: Option<usize>,
) -> String {
    let tip = match pointed {
        Some(night) => {
            let (first, end) = columns.column_of(night);
            let hours = average(target.hours.get(first..end).unwrap_or_default());
            format!(
                "{}\n{}: {} usable{}",
                dates(columns, year, night),
                target.name,
                hours_text(f64::from(hours)),
                if end - first > 1 { " in an average night" } else { "" }
            )
        }
        None => target.words(),
    };
    format!("{tip}\nClick to see its frames")
}

/// The row's name, its year in shades, its total.
fn paint_target(
    ui: &Ui,
    columns: &Columns,
    shown: &Row<'_>,
    (rect, response): (Rect, &egui::Response),
    chosen: bool,
    input: &YearInput<'_>,
) {
    if chosen || response.hovered() || response.has_focus() {
        let fill = if chosen {
            ui.visuals().selection.bg_fill
        } else {
            ui.visuals().widgets.hovered.bg_fill
        };
        ui.painter().rect_filled(rect, 3.0, fill);
    }
    let target = shown.year;
    let text = shown.target.map_or_else(|| target.name.clone(), Target::title);
    let ink = if chosen { ui.visuals().strong_text_color() } else { ui.visuals().text_color() };
    label(ui, rect, &text, ink);
    total(ui, rect, target.total.dark);
    let colour = screen::colour(input.palette.chosen);
    let room = rect.shrink2(Vec2::new(0.0, 1.0));
    for (first, end) in columns.columns() {
        let hours = average(target.hours.get(first..end).unwrap_or_default());
        let fill = shade(ui.visuals(), colour, hours / FULL_HOURS);
        ui.painter().rect_filled(cell(columns, room, first, end), 0.0, fill);
    }
    if response.has_focus() {
        let stroke = ui.visuals().selection.stroke;
        ui.painter().rect_stroke(rect, 3.0, stroke, egui::StrokeKind::Inside);
    }
}

fn average(hours: &[UsableHours]) -> f32 {
    hours.iter().map(|usable| usable.dark).sum::<f32>() / hours.len().max(1) as f32
}

/// A row in words, for those who cannot see it.
fn row_words(target: &TargetYear) -> String {
    let name = &target.name;
    match target.best_month() {
        Some(month) => {
            let hours = target.months.get(month).map_or(0.0, |hours| hours.a_night());
            format!(
                "Show {name} in the Frame view: best in {}, {} a night, {:.0} h in the year",
                month_name(month),
                hours_text(hours),
                target.total.dark
            )
        }
        None => format!("Show {name} in the Frame view: never usable from here"),
    }
}

fn mark_tonight(ui: &Ui, columns: &Columns, year: &SiteYear, tonight: Option<Date>, top: f32) {
    let Some(index) = tonight.and_then(|evening| year.index_of(evening)) else { return };
    let x = (columns.x(index) + columns.x(index + 1)) / 2.0;
    let ink = ui.visuals().warn_fg_color;
    let bottom = ui.min_rect().bottom();
    ui.painter().vline(x, top + ROW_PT..=bottom, Stroke::new(1.5, ink));
    // A mark above the line; words would hide the months.
    let corners = [Vec2::new(-5.0, -7.0), Vec2::new(5.0, -7.0), Vec2::ZERO];
    let tip = Pos2::new(x, top + ROW_PT);
    let points = corners.map(|corner| tip + corner).to_vec();
    ui.painter().add(egui::Shape::convex_polygon(points, ink, Stroke::NONE));
}

/// What the shades mean.
fn key(ui: &mut Ui, columns: &Columns, input: &YearInput<'_>) {
    let colour = screen::colour(input.palette.chosen);
    ui.horizontal_wrapped(|ui| {
        for hours in [0.0, 2.0, 5.0, 8.0f32] {
            let (square, _) = ui.allocate_exact_size(Vec2::new(14.0, 10.0), Sense::hover());
            let fill = shade(ui.visuals(), colour, hours / FULL_HOURS);
            ui.painter().rect_filled(square, 0.0, fill);
            ui.label(RichText::new(format!("{hours:.0} h")).weak().small());
        }
        let each = if columns.a_column > 1 { "usable a night, by weeks" } else { "usable a night" };
        let text = format!("{each}; slash: no astronomical night; upright line: tonight");
        ui.label(RichText::new(text).weak().small());
    });
}
