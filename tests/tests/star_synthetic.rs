//! Synthetic stars are the same whoever looks: in any cone, at any depth, at poles and across 0h.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

use fieldstop::stars::{LISTED_LIMIT, SYNTHETIC_LIMIT, synthetic_stars};
use fieldstop::{Angle, Direction, Icrs, Star};
use proptest::prelude::*;

fn place(ra_deg: f64, dec_deg: f64) -> Direction<Icrs> {
    Direction::from_ra_dec(Angle::from_deg(ra_deg), Angle::from_deg(dec_deg))
}

fn look(centre: Direction<Icrs>, radius_deg: f64, brightest: f64, faintest: f64) -> Vec<Star> {
    let mut stars = Vec::new();
    synthetic_stars(centre, Angle::from_deg(radius_deg), brightest, faintest, &mut stars);
    stars
}

/// Ready to be compared bit by bit, in an order that does not hang on cells.
fn sorted(stars: impl IntoIterator<Item = Star>) -> Vec<[u64; 5]> {
    let bits = |star: Star| {
        let [x, y, z] = star.place.xyz().map(f64::to_bits);
        [x, y, z, u64::from(star.v_mag.to_bits()), u64::from(star.b_v.to_bits())]
    };
    let mut all: Vec<_> = stars.into_iter().map(bits).collect();
    all.sort_unstable();
    all
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// What two cones share is the same in both, bit by bit, also when one looks deeper.
    #[test]
    fn cones_that_overlap_agree(
        ra in 0.0..360.0, sin_dec in -1.0..1.0f64, towards in 0.0..360.0,
        apart in 0.0..1.5, radius in 0.05..1.0, other_radius in 0.05..1.0,
        faintest in 12.0..16.0f64, deeper in 0.0..1.5,
    ) {
        let here = place(ra, sin_dec.asin().to_degrees());
        let there = here.offset(Angle::from_deg(towards), Angle::from_deg(apart));
        let mine = look(here, radius, LISTED_LIMIT, faintest);
        let theirs = look(there, other_radius, LISTED_LIMIT, faintest + deeper);
        let cos = |deg: f64| Angle::from_deg(deg).cos();
        let shared_mine = mine.iter().filter(|s| s.place.dot(there) >= cos(other_radius)).copied();
        let shared_theirs = theirs
            .iter()
            .filter(|s| s.place.dot(here) >= cos(radius) && f64::from(s.v_mag) <= faintest)
            .copied();
        // A star within half a unit of the last digit of the limit may fall on either side when
        // its magnitude is rounded.
        let at_limit = |s: &Star| (f64::from(s.v_mag) - faintest).abs() < 1e-6;
        prop_assert_eq!(
            sorted(shared_mine.filter(|s| !at_limit(s))),
            sorted(shared_theirs.filter(|s| !at_limit(s)))
        );
    }

    /// A cone holds only what was asked for, and looking in two halves of magnitude misses nothing.
    #[test]
    fn only_what_was_asked_for_comes(
        ra in 0.0..360.0, sin_dec in -1.0..1.0f64, radius in 0.05..1.5,
        brightest in 9.0..14.0f64, height in 0.0..2.0f64, cut in 0.0..1.0f64,
    ) {
        let centre = place(ra, sin_dec.asin().to_degrees());
        let (faintest, middle) = (brightest + height, brightest + height * cut);
        let all = look(centre, radius, brightest, faintest);
        for star in &all {
            let v_mag = f64::from(star.v_mag);
            prop_assert!(star.place.separation(centre).deg() <= radius + 1e-9);
            prop_assert!((brightest - 1e-6..=faintest + 1e-6).contains(&v_mag));
            prop_assert!((LISTED_LIMIT..=SYNTHETIC_LIMIT).contains(&v_mag));
            prop_assert!((-0.1..=1.7).contains(&star.b_v));
        }
        let mut halves = look(centre, radius, brightest, middle);
        halves.extend(look(centre, radius, middle, faintest));
        prop_assert_eq!(sorted(halves), sorted(all));
    }
}

#[test]
fn poles_and_0h_are_places_like_any_other() {
    for (ra, dec) in
        [(0.0, 90.0), (123.0, 90.0), (0.0, -90.0), (0.0, 0.0), (360.0, 41.8), (0.0, -41.8)]
    {
        let centre = place(ra, dec);
        let wide = look(place(ra + 0.7, (dec - 0.5_f64).max(-89.6)), 3.0, LISTED_LIMIT, 13.0);
        let inside =
            wide.iter().filter(|s| s.place.dot(centre) >= Angle::from_deg(1.5).cos()).copied();
        let near = look(centre, 1.5, LISTED_LIMIT, 13.0);
        assert!(near.len() > 100, "{ra} {dec}: {}", near.len());
        assert_eq!(sorted(near.clone()), sorted(inside), "{ra} {dec}");
        // On all sides: each quarter around the centre has its share (five sigma).
        let mut quarters = [0_u32; 4];
        for star in &near {
            quarters[(centre.position_angle(star.place).deg() / 90.0) as usize % 4] += 1;
        }
        let share = near.len() as f64 / 4.0;
        assert!(
            quarters.iter().all(|&n| (f64::from(n) - share).abs() < 5.0 * share.sqrt()),
            "{quarters:?}"
        );
    }
}

/// The whole sky is the sum of what cones see: nothing hangs on the cone, large or small.
#[test]
fn a_very_wide_look_holds_the_narrow_one() {
    let whole = look(place(0.0, 90.0), 180.0, LISTED_LIMIT, 10.0);
    for (ra, dec, radius) in [(10.0, 20.0, 60.0), (200.0, -70.0, 95.0), (83.0, 0.0, 20.0)] {
        let inside =
            whole.iter().filter(|s| s.place.dot(place(ra, dec)) >= Angle::from_deg(radius).cos());
        assert_eq!(
            sorted(look(place(ra, dec), radius, LISTED_LIMIT, 10.0)),
            sorted(inside.copied())
        );
    }
}

/// Even over a cell: no outside check but the definition of even. Stars are counted in strips of equal
/// area (equal steps of the sine of declination), which cut across cells in every way; the
/// galaxy's shape cancels by taking a strip against the mean of its neighbours.
#[test]
fn stars_are_even_over_their_cells() {
    let stars = look(place(0.0, 90.0), 180.0, LISTED_LIMIT, 10.5);
    let mut strips = vec![0.0_f64; 500];
    for star in &stars {
        strips[(((star.place.xyz()[2] + 1.0) * 250.0) as usize).min(499)] += 1.0;
    }
    let scatter: f64 = strips
        .windows(3)
        .map(|w| (w[1] - (w[0] + w[2]) / 2.0).powi(2) / (w[1] + (w[0] + w[2]) / 4.0))
        .sum();
    // A sum of 498 squares, each 1 on the average, of correlated neighbours: within 25 %.
    assert!((scatter / 498.0 - 1.0).abs() < 0.25, "{}", scatter / 498.0);
}

#[test]
fn nonsense_shows_nothing() {
    let centre = place(10.0, 10.0);
    for (radius, brightest, faintest) in [
        (f64::NAN, 9.5, 16.0),
        (-1.0, 9.5, 16.0),
        (1.0, f64::NAN, 16.0),
        (1.0, 9.5, f64::NAN),
        (1.0, 14.0, 13.0),
        (1.0, 0.0, 9.5),
        (1.0, 20.0, 25.0),
    ] {
        assert!(
            look(centre, radius, brightest, faintest).is_empty(),
            "{radius} {brightest} {faintest}"
        );
    }
    assert!(look(centre, 0.0, 9.5, 17.0).is_empty());
    let all = look(place(0.0, 90.0), 500.0, 9.5, 9.6);
    assert_eq!(all.len(), look(place(0.0, -90.0), f64::INFINITY, 9.5, 9.6).len());
}

/// The sky of this version. No outside check: it is here so that nobody changes the sky unawares,
/// since every sketch made before would then show another.
#[test]
fn the_sky_has_not_changed() {
    let stars = look(place(83.8, -5.4), 1.0, LISTED_LIMIT, 14.0);
    let mean = |part: fn(&Star) -> f64| stars.iter().map(part).sum::<f64>() / stars.len() as f64;
    let found = (stars.len(), mean(|s| s.place.ra().deg()), mean(|s| f64::from(s.v_mag)));
    println!("{found:?}");
    let expected = (854, 83.790_302_659_499_1, 12.804_225_551_998_309);
    assert_eq!(found.0, expected.0);
    assert!((found.1 - expected.1).abs() < 1e-9 && (found.2 - expected.2).abs() < 1e-6);
}
