//! Stars asked for around a point of the sky, listed and synthetic, from catalogues of any size.

use fieldstop::stars::{LISTED_LIMIT, stars_per_deg2, synthetic_stars};
use fieldstop::{Angle, Direction, Icrs, Star};
use fieldstop_gui::sky::star_list::StarList;

pub(crate) fn query(list: &StarList, radius: Angle, faintest_mag: f64, stars: &mut Vec<Star>) {
    stars.clear();
    list.visit(centre(), radius, faintest_mag, &mut |star| stars.push(star));
    synthetic_stars(centre(), radius, LISTED_LIMIT, faintest_mag, stars);
}

/// A middle latitude: galactic 24 degrees.
fn centre() -> Direction<Icrs> {
    Direction::from_ra_dec(Angle::from_deg(270.0), Angle::from_deg(30.0))
}

/// Stars of the whole catalogue brighter than a magnitude, by the model.
fn catalogue_size(v_mag: f64) -> f64 {
    let rows = (0..90).map(|row| {
        let latitude = Angle::from_deg(2.0 * f64::from(row) - 89.0);
        let ring: f64 = (0..36)
            .map(|tens| stars_per_deg2(Angle::from_deg(10.0 * f64::from(tens)), latitude, v_mag))
            .sum();
        // Cells of 2 by 10 degrees.
        ring * 20.0 * latitude.cos()
    });
    rows.sum()
}

fn bisect(mut low: f64, mut high: f64, mut is_below: impl FnMut(f64) -> bool) -> f64 {
    for _ in 0..20 {
        let middle = (low + high) / 2.0;
        if is_below(middle) { low = middle } else { high = middle }
    }
    high
}

pub(crate) fn magnitude_of_catalogue(size: f64) -> f64 {
    bisect(3.0, 18.0, |v_mag| catalogue_size(v_mag) < size)
}

pub(crate) fn radius_that_shows(list: &StarList, count: usize, faintest_mag: f64) -> Angle {
    let mut stars = Vec::new();
    let mut shows_fewer = |deg: f64| {
        query(list, Angle::from_deg(deg), faintest_mag, &mut stars);
        stars.len() < count
    };
    // Doubled until it is enough, so that no field is tried that would take the whole sky.
    let mut enough_deg = 0.05;
    while shows_fewer(enough_deg) && enough_deg < 90.0 {
        enough_deg *= 2.0;
    }
    Angle::from_deg(bisect(enough_deg / 2.0, enough_deg, shows_fewer))
}
