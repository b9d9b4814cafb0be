//! Where names stood in the picture before this one, so that a view that is moved takes them along.

use std::collections::HashMap;

use fieldstop::{Direction, Icrs};

use super::labels::Candidate;
use super::primitive::Point;
use super::view::Projection;

/// How much less a place costs at which the name stands already: more than one free place differs
/// from the next as a rule, less than it costs to cover a line.
pub(super) const STAYS: f64 = 12.0;
/// A place this near to that of before is the same one, moved by a turn of the wheel.
const SAME_PT: f64 = 24.0;

/// Where each name stood.
#[derive(Default)]
pub struct NamePlaces(HashMap<String, Stand>);

struct Stand {
    at: Direction<Icrs>,
    share: [f64; 2],
    has_leader: bool,
}

impl NamePlaces {
    /// Which of the candidates is the place of before.
    pub(super) fn same(
        &self,
        name: &str,
        candidates: &[Candidate],
        projection: &Projection,
    ) -> Option<usize> {
        let stand = self.0.get(name)?;
        let before = projection.point(stand.at)?;
        let off = |at: Point| (at[0] - before[0]).hypot(at[1] - before[1]);
        candidates
            .iter()
            .enumerate()
            .filter(|(_, place)| place.share == stand.share)
            .filter(|(_, place)| place.leader.is_some() == stand.has_leader)
            .map(|(index, place)| (index, off(place.at)))
            .filter(|(_, off)| *off < SAME_PT)
            .min_by(|(_, one), (_, other)| one.total_cmp(other))
            .map(|(index, _)| index)
    }

    /// Remembers a place for the next picture.
    pub(super) fn put(&mut self, name: &str, place: &Candidate, projection: &Projection) {
        let stand = Stand {
            at: projection.sky(place.at),
            share: place.share,
            has_leader: place.leader.is_some(),
        };
        self.0.insert(name.to_owned(), stand);
    }
}
