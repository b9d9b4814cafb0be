//! Which constellation a place belongs to.
//!
//! The boundaries run along hour circles and parallels of the mean equator of 1875 (Delporte 1930).
//! Roman (1987, PASP 99, 695; CDS VI/42) turned them into a list of strips, ordered from the north
//! pole down: a place lies in the first strip that spans its right ascension and whose lower edge
//! is south of it.

use std::sync::LazyLock;

use fieldstop::equinox::b1875_from_icrs;
use fieldstop::{Direction, Icrs};

static BOUNDARIES: &str = include_str!("../../../../assets/constellations/boundaries_b1875.txt");
static NAMES: &str = include_str!("../../../../assets/constellations/names.txt");

struct Strip {
    from_hours: f64,
    to_hours: f64,
    lowest_deg: f64,
    abbreviation: &'static str,
}

static STRIPS: LazyLock<Vec<Strip>> =
    LazyLock::new(|| BOUNDARIES.lines().filter_map(strip).collect());

fn strip(line: &'static str) -> Option<Strip> {
    let mut fields = line.split_whitespace();
    Some(Strip {
        from_hours: fields.next()?.parse().ok()?,
        to_hours: fields.next()?.parse().ok()?,
        lowest_deg: fields.next()?.parse().ok()?,
        abbreviation: fields.next()?,
    })
}

/// The IAU abbreviation, `Cyg`, of the constellation that a place lies in.
pub fn abbreviation_at(place: Direction<Icrs>) -> &'static str {
    let old = b1875_from_icrs(place);
    let (hours, deg) = (old.ra().hours(), old.dec().deg());
    STRIPS
        .iter()
        .find(|strip| {
            strip.lowest_deg <= deg && (strip.from_hours..strip.to_hours).contains(&hours)
        })
        // OK because the last strip, round the south pole, has no lower edge but the pole itself.
        .map_or("Oct", |strip| strip.abbreviation)
}

/// The full IAU name, `Cygnus`, of the constellation that a place lies in.
pub fn name_at(place: Direction<Icrs>) -> &'static str {
    full_name(abbreviation_at(place)).unwrap_or_default()
}

/// The full IAU name that an abbreviation stands for.
pub fn full_name(abbreviation: &str) -> Option<&'static str> {
    NAMES
        .lines()
        .filter(|line| !line.starts_with('#'))
        .filter_map(|line| line.split_once(' '))
        .find(|(short, _)| *short == abbreviation)
        .map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_strip_has_a_name_and_every_name_a_strip() {
        assert_eq!(STRIPS.len(), 357);
        assert!(STRIPS.iter().all(|strip| full_name(strip.abbreviation).is_some()));
        let names: Vec<_> = NAMES.lines().filter(|line| !line.starts_with('#')).collect();
        assert_eq!(names.len(), 88);
        for name in names {
            let short = &name[..3];
            assert!(STRIPS.iter().any(|strip| strip.abbreviation == short), "{name}");
        }
    }
}
