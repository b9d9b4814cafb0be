//! The wish list as the choice sees it.

use fieldstop::choice::Wanted;
use fieldstop::kit::Kit;

use super::demand_target::demand_target;
use super::figures::Figures;
use super::year::YearFigures;
use crate::sky::catalogue::Target;

/// A target that is wished for under a name, with the dark hours it has in the year.
pub fn wanted(kit: &Kit, name: &str, target: &Target, hours_in_year: f64) -> Wanted {
    Wanted {
        name: name.to_owned(),
        outline: target.shape(),
        demand: demand_target(target),
        hours_in_year,
        stars: kit.stars(name),
    }
}

/// The wish list's targets; `None` while the hours of one are still being worked out.
pub fn wanted_list(kit: &Kit, figures: &Figures, year: &YearFigures) -> Option<Vec<Wanted>> {
    let wishes = kit.wish_list.iter().zip(&figures.wishes);
    wishes
        .filter_map(|(wish, row)| Some((wish.name(), row.target.as_ref()?)))
        .map(|(name, target)| Some(wanted(kit, name, target, year.target(name)?.total.dark)))
        .collect()
}
