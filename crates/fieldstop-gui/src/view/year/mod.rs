//! The Year view: when each target is up in the dark from here, and for how long.

mod answer;
mod bodies;
mod calendar;
mod caution;
mod date_bar;
mod months_by_rig;
mod night_plot;
mod night_words;
mod season_table;
mod shade;
mod year_plot;

use egui::{Margin, Ui};
use fieldstop::Instant;
use fieldstop::kit::Kit;
use jiff::civil::Date;

use crate::action::{Action, Queue};
use crate::nights::{SeasonQuestion, SiteClock, date};
use crate::scene::palette::Palette;
use crate::sky::Sky;
use crate::state::{Figures, NightFigures, Workspace, YearFigures};
use crate::widget::{NumberField, scrolled};

/// What the Year view is given to show.
pub struct YearInput<'a> {
    /// Site, shortlist, wish list.
    pub kit: &'a Kit,
    /// The chosen target and rig.
    pub workspace: &'a Workspace,
    /// How the wish list fits the rigs.
    pub figures: &'a Figures,
    /// The year as far as it is worked out.
    pub year: &'a YearFigures,
    /// The catalogue.
    pub sky: &'a Sky,
    /// The theme's colours.
    pub palette: &'a Palette,
    /// What is asked for.
    pub queue: &'a mut Queue,
}

/// The pages of the view.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
enum Page {
    #[default]
    Calendar,
    Night,
    Season,
    Bodies,
}

impl Page {
    const ALL: [Self; 4] = [Self::Calendar, Self::Night, Self::Season, Self::Bodies];

    const fn label(self) -> &'static str {
        match self {
            Self::Calendar => "Calendar",
            Self::Night => "Night by night",
            Self::Season => "In season",
            Self::Bodies => "Moon and planets",
        }
    }

    const fn tip(self) -> &'static str {
        match self {
            Self::Calendar => {
                "The wish list through the year, and what each rig can do in each month"
            }
            Self::Night => "The dark hours of every night, and one night hour by hour",
            Self::Season => "The whole catalogue in one month",
            Self::Bodies => "How large Moon and planets look in each rig on one evening",
        }
    }
}

/// The order of the calendar's rows.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
enum Order {
    #[default]
    BestMonth,
    Name,
    Hours,
}

/// What the Year view remembers between frames and nobody saves.
pub struct YearView {
    page: Page,
    order: Order,
    evening: Date,
    tonight: Option<Date>,
    /// A moment of the night that the person clicked on.
    moment: Option<Instant>,
    /// How far the pointer was dragged since the date last changed, points.
    dragged: f32,
    others: night_plot::Others,
    season: SeasonQuestion,
    ranking: season_table::Ranking,
    night: Option<NightFigures>,
}

impl Default for YearView {
    fn default() -> Self {
        Self {
            page: Page::default(),
            order: Order::default(),
            evening: Date::constant(2000, 1, 1),
            tonight: None,
            moment: None,
            dragged: 0.0,
            others: night_plot::Others::default(),
            season: SeasonQuestion::of_month(0),
            ranking: season_table::Ranking::default(),
            night: None,
        }
    }
}

impl YearView {
    /// Brings what the view itself works out up to date; says which year and which season it wants.
    pub fn update(&mut self, kit: &Kit, figures: &Figures) -> (i16, Option<SeasonQuestion>) {
        if self.tonight.is_none() {
            self.tonight =
                SiteClock::of(&kit.site).tonight().filter(|&date| date::is_in_reach(date));
            self.evening = self.tonight.unwrap_or(self.evening);
            self.season.month = date::month_index(self.evening);
        }
        if matches!(self.page, Page::Night | Page::Bodies) {
            NightFigures::update(&mut self.night, kit, figures, self.evening);
        }
        (self.evening.year(), (self.page == Page::Season).then_some(self.season))
    }

    /// The evening and the season that it was last asked about.
    pub fn asked(&self) -> (Date, SeasonQuestion) {
        (self.evening, self.season)
    }

    /// The evening whose night is shown.
    pub fn evening(&self) -> Date {
        self.evening
    }

    /// Goes to the night of another evening, if it lies within reach.
    fn go_to(&mut self, evening: Date) {
        if date::is_in_reach(evening) && evening != self.evening {
            self.evening = evening;
            self.moment = None;
        }
    }

    /// Shows the view over all the room there is.
    pub fn ui(&mut self, ui: &mut Ui, input: &mut YearInput<'_>) {
        let frame =
            egui::Frame::new().fill(ui.visuals().panel_fill).inner_margin(Margin::symmetric(10, 6));
        frame.show(ui, |ui| {
            ui.set_min_size(ui.available_size());
            self.head(ui, input);
            ui.add_space(4.0);
            let Some(nights) = input.year.nights() else {
                work_in_progress(ui, input);
                return;
            };
            match self.page {
                Page::Calendar => scrolled(ui, |ui| {
                    ui.horizontal_wrapped(|ui| self.order_buttons(ui));
                    calendar::ui(ui, nights, self.order, self.tonight, input);
                    months_by_rig::ui(ui, nights, input);
                }),
                Page::Night => scrolled(ui, |ui| {
                    year_plot::ui(ui, nights, self, input);
                    date_bar::ui(ui, self);
                    night_plot::ui(ui, self, input);
                }),
                // Its table scrolls both ways, below the question.
                Page::Season => season_table::ui(ui, self, input),
                Page::Bodies => scrolled(ui, |ui| {
                    date_bar::ui(ui, self);
                    if let Some(night) = &self.night {
                        bodies::ui(ui, night, input);
                    }
                }),
            }
        });
    }

    /// The year and the pages, then the answer that every page is about.
    fn head(&mut self, ui: &mut Ui, input: &mut YearInput<'_>) {
        ui.horizontal_wrapped(|ui| {
            for page in Page::ALL {
                let button = egui::Button::selectable(self.page == page, page.label());
                if ui.add(button).on_hover_text(page.tip()).clicked() {
                    self.page = page;
                }
            }
            ui.separator();
            self.year_field(ui);
        });
        answer::ui(ui, input);
    }

    fn year_field(&mut self, ui: &mut Ui) {
        let field = NumberField::new("Year", "", date::YEARS).whole().compact();
        if let Some(year) = field.show(ui, f64::from(self.evening.year())) {
            // OK because the field takes whole numbers from 1950 to 2100 only.
            let year = year as i16;
            // 29 February of a year without one becomes the 28th.
            let day = (1..=self.evening.day()).rev();
            let month = self.evening.month();
            if let Some(evening) = day.filter_map(|day| Date::new(year, month, day).ok()).next() {
                self.go_to(evening);
            }
        }
    }

    fn order_buttons(&mut self, ui: &mut Ui) {
        ui.weak("Sorted by");
        for (order, text) in
            [(Order::BestMonth, "best month"), (Order::Name, "name"), (Order::Hours, "hours")]
        {
            if ui.selectable_label(self.order == order, text).clicked() {
                self.order = order;
            }
        }
    }
}

/// What is shown while there is nothing to show yet.
fn work_in_progress(ui: &mut Ui, input: &mut YearInput<'_>) {
    ui.add_space(20.0);
    match input.year.progress() {
        Some((label, share)) => {
            ui.horizontal(|ui| {
                ui.add(egui::ProgressBar::new(share).desired_width(320.0).text(label));
                if ui.button("Stop").clicked() {
                    input.year.stop();
                }
            });
        }
        None => {
            ui.label("This was stopped before it was worked out.");
            input.queue.button(ui, Action::WorkOutYear, true);
        }
    }
}
