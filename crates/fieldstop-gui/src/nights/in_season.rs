//! What the whole catalogue offers in one month.

use fieldstop::Season;
use fieldstop::fit::Fit;

use super::date::month_index;
use super::month::MonthHours;
use super::site_year::SiteYear;
use crate::sky::catalogue::{Catalogue, Target};

/// What is looked for in the catalogue.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeasonQuestion {
    /// Counted from 0.
    pub month: usize,
    /// Smaller ones are left out, and those of unknown size.
    pub least_arcmin: f64,
    /// Fainter ones are left out.
    pub faintest_mag: f64,
    /// Whether those without a magnitude, most nebulae among them, are kept.
    pub without_magnitude: bool,
}

impl SeasonQuestion {
    /// A size and a magnitude that leave some hundred objects.
    pub const fn of_month(month: usize) -> Self {
        Self { month, least_arcmin: 10.0, faintest_mag: 10.0, without_magnitude: true }
    }

    fn admits(&self, target: &Target) -> bool {
        let size = target.major_arcmin.is_some_and(|arcmin| arcmin >= self.least_arcmin);
        size && target.magnitude.map_or(self.without_magnitude, |mag| mag <= self.faintest_mag)
    }
}

/// An object that is up in the dark in the month asked for.
#[derive(Clone, Copy, Debug)]
pub struct InSeason {
    /// Its place in the catalogue.
    pub index: usize,
    /// Of the month.
    pub hours: MonthHours,
}

/// The objects that are up in the dark in a month, in the catalogue's order; `None` if it was told
/// to stop.
pub fn in_season(
    year: &SiteYear,
    catalogue: &Catalogue,
    question: SeasonQuestion,
    go_on: &mut dyn FnMut(f32) -> bool,
) -> Option<Vec<InSeason>> {
    let nights = year
        .nights
        .iter()
        .filter(|night| month_index(night.evening) == question.month)
        .map(|night| &night.night);
    let season = Season::new(nights, year.horizon.clone());
    let targets = catalogue.targets();
    let mut found = Vec::new();
    for (index, target) in targets.iter().enumerate() {
        if index % 64 == 0 && !go_on(index as f32 / targets.len() as f32) {
            return None;
        }
        if !question.admits(target) {
            continue;
        }
        let mut hours = MonthHours::default();
        season.hours(target.place).for_each(|usable| hours.add(usable));
        if hours.dark > 0.0 {
            found.push(InSeason { index, hours });
        }
    }
    Some(found)
}

/// How well a fit uses the time under the sky: 1 from the whole fill to the frame's edge, less for a
/// target that is lost in the frame; a spilling one shares its time among the panels of a plain grid.
pub fn frame_use(fit: &Fit, whole_fill: f64) -> f64 {
    match (fit.fill, fit.panels) {
        (Some(fill), Some((across, down))) if fill > 1.0 => {
            1.0 / (f64::from(across) * f64::from(down)).max(1.0)
        }
        (Some(fill), _) => (fill / whole_fill).min(1.0),
        (None, _) => 0.0,
    }
}

/// The rank of an object: usable hours of an average night, times how well it uses them. The
/// project's own rule.
pub fn rank(hours: &MonthHours, fit: &Fit, whole_fill: f64) -> f64 {
    hours.a_night() * frame_use(fit, whole_fill)
}

#[cfg(test)]
mod tests {
    use fieldstop::fit::fit;
    use fieldstop::{Angle, Field, Outline, Sensor};

    use super::*;

    #[test]
    fn a_target_that_uses_the_frame_comes_before_one_lost_in_it_or_spilling() {
        let field = Field::new(Sensor { width_mm: 24.0, height_mm: 16.0 }, 500.0);
        let of = |arcmin: f64| {
            let major = Angle::from_arcmin(arcmin);
            let outline = Outline { major, minor: None, position_angle: None };
            frame_use(&fit(Some(&outline), &field, 0.9, 0.15), 0.9)
        };
        // The frame's shorter side is 110 arcminutes.
        assert_eq!(of(105.0), 1.0);
        assert!((of(10.0) - 0.101).abs() < 0.001);
        assert_eq!(of(150.0), 0.5);
        assert_eq!(frame_use(&fit(None, &field, 0.9, 0.15), 0.9), 0.0);
    }
}
