//! How much of a list each focal length serves, and which two together serve most.
//!
//! A target is served at a focal length that lies in its [useful range](crate::focal_range). So
//! the curve over focal length is made of steps, one up where a range begins and one down where it
//! ends, and nothing has to be tried on a grid: the ends are sorted once, and between two of them
//! nothing changes.

use std::cmp::Ordering;

use crate::focal_range::FocalRange;
use crate::range::LADDER_MM;

/// A target's range with what it counts for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interest {
    /// Where it is served.
    pub range: FocalRange,
    /// What serving it is worth, such as usable hours in the year times the person's stars; >= 0.
    pub weight: f64,
}

/// What a focal length, or two together, serve.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Served {
    /// Number of targets.
    pub count: u32,
    /// Sum of their weights.
    pub weighted: f64,
}

impl Served {
    /// Which of two is more: by weight, of equals by number.
    pub fn by_weight(&self, other: &Self) -> Ordering {
        self.weighted.total_cmp(&other.weighted).then(self.count.cmp(&other.count))
    }
}

/// A stretch of focal lengths that serve the same, and the one to take: the longest, which shows
/// them largest and with the most detail.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BestFocalLength {
    /// The longest of the stretch in whole millimetres, where it holds one.
    pub focal_length_mm: f64,
    /// Where the stretch begins.
    pub from_mm: f64,
    /// Where it ends.
    pub to_mm: f64,
}

/// The two focal lengths that together serve most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BestPair {
    /// The shorter.
    pub short: BestFocalLength,
    /// The longer.
    pub long: BestFocalLength,
    /// What at least one of them serves.
    pub served: Served,
}

/// What is served over the focal lengths of the ladder, 20 to 4000 mm.
///
/// The ladder is cut at every end of a range into pieces: point 0, the gap after it, point 1 and so
/// on. A point is a piece of its own because a range holds its ends.
#[derive(Clone, Debug, PartialEq)]
pub struct FocalCoverage {
    /// Where something begins or ends, and the ladder's own ends, in order.
    ends: Vec<f64>,
    /// What each piece serves.
    served: Vec<Served>,
    /// First and last piece of each served target, with its weight.
    stretches: Vec<Stretch>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Stretch {
    first: usize,
    last: usize,
    weight: f64,
}

impl Stretch {
    fn holds(&self, piece: usize) -> bool {
        (self.first..=self.last).contains(&piece)
    }
}

/// Scores closer than this share of the whole list's count as equal: what adding and taking away
/// thousands of weights leaves behind.
const SAME_SCORE: f64 = 1e-11;

/// What the mere number of targets counts beside their weights: it decides between equals only.
const COUNT_SCORE: f64 = 1e-7;

impl FocalCoverage {
    /// From every target's range and weight; those without a useful focal length on the ladder
    /// count for nothing.
    ///
    /// # Example
    /// Two targets share 400 to 500 mm; a third stands alone.
    /// ```
    /// # use fieldstop::{focal_range::FocalRange, focal_coverage::{FocalCoverage, Interest}};
    /// let interest = |shortest, longest_mm, weight| Interest {
    ///     range: FocalRange { shortest_mm: Some(shortest), longest_mm }, weight };
    /// let coverage = FocalCoverage::new(&[
    ///     interest(200.0, 500.0, 2.0), interest(400.0, 900.0, 3.0), interest(1500.0, 9000.0, 4.0),
    /// ]);
    /// assert_eq!(coverage.at(450.0).count, 2);
    /// assert_eq!(coverage.at(450.0).weighted, 5.0);
    /// let best = coverage.best().unwrap();
    /// assert_eq!((best.from_mm, best.to_mm), (400.0, 500.0));
    /// let pair = coverage.best_pair().unwrap();
    /// assert_eq!((pair.served.count, pair.served.weighted), (3, 9.0));
    /// assert_eq!(pair.long.from_mm, 1500.0);
    /// ```
    pub fn new(interests: &[Interest]) -> Self {
        let ranges: Vec<(f64, f64, f64)> = interests.iter().filter_map(on_the_ladder).collect();
        let mut ends = vec![LADDER_MM.least, LADDER_MM.most];
        ends.extend(ranges.iter().flat_map(|&(from, to, _)| [from, to]));
        ends.sort_by(f64::total_cmp);
        ends.dedup();
        let point = |end: f64| 2 * ends.partition_point(|&other| other < end);
        let stretches: Vec<Stretch> = ranges
            .iter()
            .map(|&(from, to, weight)| Stretch { first: point(from), last: point(to), weight })
            .collect();
        let pieces = 2 * ends.len() - 1;
        let counts = steps(pieces, stretches.iter().map(|stretch| (stretch, 1.0)));
        let weights = steps(pieces, stretches.iter().map(|stretch| (stretch, stretch.weight)));
        let served = counts
            .iter()
            .zip(weights)
            // OK because a sum of ones is a whole number from 0 to their count.
            .map(|(&count, weighted)| Served { count: count as u32, weighted: weighted.max(0.0) })
            .collect();
        Self { ends, served, stretches }
    }

    /// What one focal length serves.
    ///
    /// # Units
    /// - `focal_length_mm`: 20 to 4000; nothing is served elsewhere
    pub fn at(&self, focal_length_mm: f64) -> Served {
        let piece = self.piece_at(focal_length_mm);
        piece.and_then(|piece| self.served.get(piece)).copied().unwrap_or_default()
    }

    /// What two focal lengths serve together, a target that both serve counted once.
    pub fn at_either(&self, one_mm: f64, other_mm: f64) -> Served {
        let pieces = [self.piece_at(one_mm), self.piece_at(other_mm)];
        let served = self
            .stretches
            .iter()
            .filter(|stretch| pieces.into_iter().flatten().any(|piece| stretch.holds(piece)));
        served.fold(Served::default(), |sum, stretch| Served {
            count: sum.count + 1,
            weighted: sum.weighted + stretch.weight,
        })
    }

    /// The curve, for drawing: its corners from the shortest focal length to the longest, two at
    /// each step.
    pub fn corners(&self) -> Vec<(f64, Served)> {
        let gaps = self.served.iter().skip(1).step_by(2);
        self.ends
            .windows(2)
            .zip(gaps)
            .flat_map(|(ends, served)| ends.iter().map(|&end| (end, *served)))
            .collect()
    }

    /// The focal length that serves most: by weight, then by number; of equals the longest of
    /// the widest stretch. `None` if none serves anything.
    pub fn best(&self) -> Option<BestFocalLength> {
        self.widest_best(|_| true)
    }

    /// The two focal lengths that together serve most, a target that both serve counted once.
    /// `None` if one alone serves as much.
    ///
    /// The one runs through all pieces; a tree over the pieces holds, for each other one, what that
    /// adds: its own targets less those that the first has already. A target is taken out of the
    /// tree when the first enters its range and put back when it leaves, so that the whole takes
    /// `n log n` steps.
    pub fn best_pair(&self) -> Option<BestPair> {
        let piece = self.first_of_pair()?;
        // With one of the two fixed, the other takes its widest stretch, and then the first.
        let second = self.widest_best(|stretch| !stretch.holds(piece))?;
        let beside = self.piece_at(second.focal_length_mm)?;
        let first = self.widest_best(|stretch| !stretch.holds(beside))?;
        let (short, long) = if first.focal_length_mm <= second.focal_length_mm {
            (first, second)
        } else {
            (second, first)
        };
        let served = self.at_either(short.focal_length_mm, long.focal_length_mm);
        let alone = self.at(self.best()?.focal_length_mm);
        (served.count > alone.count || served.weighted > alone.weighted * (1.0 + SAME_SCORE))
            .then_some(BestPair { short, long, served })
    }

    /// A piece that is one of the best two.
    fn first_of_pair(&self) -> Option<usize> {
        let worth = self.worth();
        let scores = self.scores(|_| true);
        let mut added = MaxTree::new(&scores);
        let enter = self.stretches.iter().map(|stretch| (stretch.first, stretch, -worth(stretch)));
        let leave =
            self.stretches.iter().map(|stretch| (stretch.last + 1, stretch, worth(stretch)));
        let mut turns: Vec<(usize, &Stretch, f64)> = enter.chain(leave).collect();
        turns.sort_by_key(|&(piece, ..)| piece);
        let mut turns = turns.into_iter().peekable();
        let mut best: Option<(f64, usize)> = None;
        for (piece, score) in scores.iter().enumerate() {
            while let Some((_, stretch, change)) = turns.next_if(|&(at, ..)| at <= piece) {
                added.add(stretch.first, stretch.last, change);
            }
            let total = score + added.most();
            if best.is_none_or(|(most, _)| total > most + SAME_SCORE) {
                best = Some((total, piece));
            }
        }
        best.map(|(_, piece)| piece)
    }

    /// The piece that a focal length lies in; `None` off the ladder.
    fn piece_at(&self, focal_length_mm: f64) -> Option<usize> {
        let after = self.ends.partition_point(|&end| end < focal_length_mm);
        let end = self.ends.get(after)?;
        if *end == focal_length_mm { Some(2 * after) } else { (2 * after).checked_sub(1) }
    }

    /// What a target counts in a score: its share of the list's weight, and a hair for being one.
    fn worth(&self) -> impl Fn(&Stretch) -> f64 + use<> {
        let weight: f64 = self.stretches.iter().map(|stretch| stretch.weight).sum();
        let per_weight = if weight > 0.0 { 1.0 / weight } else { 0.0 };
        let one = COUNT_SCORE / self.stretches.len().max(1) as f64;
        move |stretch| stretch.weight * per_weight + one
    }

    /// The score of every piece, counting some of the targets.
    fn scores(&self, counts: impl Fn(&Stretch) -> bool) -> Vec<f64> {
        let worth = self.worth();
        let counted = self.stretches.iter().filter(|stretch| counts(stretch));
        steps(self.served.len(), counted.map(|stretch| (stretch, worth(stretch))))
    }

    /// The widest stretch with the highest score, counting some of the targets.
    fn widest_best(&self, counts: impl Fn(&Stretch) -> bool) -> Option<BestFocalLength> {
        let scores = self.scores(counts);
        let most = scores.iter().copied().fold(0.0, f64::max);
        if most <= SAME_SCORE {
            return None;
        }
        let from = |piece: usize| self.ends.get(piece / 2).copied();
        let to = |piece: usize| self.ends.get(piece.div_ceil(2)).copied();
        let mut widest: Option<BestFocalLength> = None;
        let mut began: Option<f64> = None;
        for (piece, &score) in scores.iter().enumerate() {
            if score < most - SAME_SCORE {
                began = None;
                continue;
            }
            let from_mm = began.or_else(|| from(piece))?;
            began = Some(from_mm);
            let stretch = BestFocalLength::between(from_mm, to(piece)?);
            if widest.is_none_or(|widest| stretch.to_mm / from_mm > widest.to_mm / widest.from_mm) {
                widest = Some(stretch);
            }
        }
        widest
    }
}

impl BestFocalLength {
    fn between(from_mm: f64, to_mm: f64) -> Self {
        let whole_mm = to_mm.floor();
        Self { focal_length_mm: if whole_mm >= from_mm { whole_mm } else { to_mm }, from_mm, to_mm }
    }
}

/// The part of a target's range on the ladder, with its weight; `None` if there is none.
fn on_the_ladder(interest: &Interest) -> Option<(f64, f64, f64)> {
    let from = interest.range.shortest_mm?.max(LADDER_MM.least);
    let to = interest.range.longest_mm.min(LADDER_MM.most);
    (from <= to).then_some((from, to, interest.weight))
}

/// Adds up stretches over pieces: a step up at the first, a step down after the last.
fn steps<'a>(pieces: usize, stretches: impl Iterator<Item = (&'a Stretch, f64)>) -> Vec<f64> {
    let mut changes = vec![0.0; pieces + 1];
    for (stretch, height) in stretches {
        if let Some(change) = changes.get_mut(stretch.first) {
            *change += height;
        }
        if let Some(change) = changes.get_mut(stretch.last + 1) {
            *change -= height;
        }
    }
    changes.pop();
    let mut height = 0.0;
    for change in &mut changes {
        height += *change;
        *change = height;
    }
    changes
}

/// Numbers in a row, of which a run is raised or lowered at once and the greatest is always known.
///
/// A binary tree: a node knows the greatest of its half of the row, and by how much all of that
/// half has been raised.
struct MaxTree {
    leaves: usize,
    most: Vec<f64>,
    raised: Vec<f64>,
}

impl MaxTree {
    fn new(row: &[f64]) -> Self {
        let leaves = row.len().next_power_of_two();
        let mut most = vec![f64::NEG_INFINITY; 2 * leaves];
        most[leaves..leaves + row.len()].copy_from_slice(row);
        for node in (1..leaves).rev() {
            most[node] = most[2 * node].max(most[2 * node + 1]);
        }
        Self { leaves, most, raised: vec![0.0; 2 * leaves] }
    }

    /// The greatest of all.
    fn most(&self) -> f64 {
        self.most.get(1).copied().unwrap_or(0.0)
    }

    /// Raises the run from `first` to `last`, both included.
    fn add(&mut self, first: usize, last: usize, by: f64) {
        self.add_below(1, 0, self.leaves, first, last + 1, by);
    }

    /// The same within a node, which stands for `from..to` of the row.
    fn add_below(
        &mut self,
        node: usize,
        from: usize,
        to: usize,
        first: usize,
        end: usize,
        by: f64,
    ) {
        if end <= from || to <= first {
            return;
        }
        if first <= from && to <= end {
            self.most[node] += by;
            self.raised[node] += by;
            return;
        }
        let middle = usize::midpoint(from, to);
        self.add_below(2 * node, from, middle, first, end, by);
        self.add_below(2 * node + 1, middle, to, first, end, by);
        self.most[node] = self.most[2 * node].max(self.most[2 * node + 1]) + self.raised[node];
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn interest(shortest: Option<f64>, longest_mm: f64, weight: f64) -> Interest {
        Interest { range: FocalRange { shortest_mm: shortest, longest_mm }, weight }
    }

    /// Whole numbers, so that ends often coincide; some beyond the ladder, some without a range.
    fn any_list() -> impl Strategy<Value = Vec<Interest>> {
        let one =
            (0u32..60, 0u32..30, 0u32..5, 0u32..10).prop_map(|(from, length, weight, none)| {
                let from = f64::from(10 * from);
                let shortest = (none > 0).then_some(from);
                interest(shortest, from + f64::from(10 * length), f64::from(weight))
            });
        proptest::collection::vec(one, 0..12)
    }

    /// By asking every target.
    fn counted(list: &[Interest], focal_lengths: &[f64]) -> Served {
        list.iter()
            .filter(|interest| focal_lengths.iter().any(|&f| interest.range.contains(f)))
            .fold(Served::default(), |sum, interest| Served {
                count: sum.count + 1,
                weighted: sum.weighted + interest.weight,
            })
    }

    /// Every end and every middle between two: nothing else can be best.
    fn tried() -> Vec<f64> {
        (4..=180).map(|k| 5.0 * f64::from(k)).collect()
    }

    fn greater(a: Served, b: Served) -> bool {
        (a.weighted, a.count) > (b.weighted, b.count)
    }

    fn most(all: impl Iterator<Item = Served>) -> Served {
        all.fold(
            Served::default(),
            |best, served| if greater(served, best) { served } else { best },
        )
    }

    proptest! {
        #[test]
        fn the_curve_is_what_counting_finds(list in any_list()) {
            let coverage = FocalCoverage::new(&list);
            for f in tried() {
                prop_assert_eq!(coverage.at(f), counted(&list, &[f]), "at {}", f);
            }
            for corner in coverage.corners() {
                prop_assert!((LADDER_MM.least..=LADDER_MM.most).contains(&corner.0));
            }
        }

        #[test]
        fn the_best_is_as_good_as_the_best_of_all(list in any_list()) {
            let coverage = FocalCoverage::new(&list);
            let single = most(tried().into_iter().map(|f| counted(&list, &[f])));
            match coverage.best() {
                None => prop_assert_eq!(single.count, 0),
                Some(best) => {
                    prop_assert_eq!(coverage.at(best.focal_length_mm), single);
                    prop_assert_eq!(coverage.at(best.from_mm), single);
                    prop_assert_eq!(coverage.at(best.to_mm), single);
                }
            }
        }

        #[test]
        fn the_best_pair_is_as_good_as_the_best_of_all_pairs(list in any_list()) {
            let coverage = FocalCoverage::new(&list);
            let single = most(tried().into_iter().map(|f| counted(&list, &[f])));
            let pairs = tried().into_iter().flat_map(|a| {
                let list = &list;
                tried().into_iter().map(move |b| counted(list, &[a, b]))
            });
            let wanted = most(pairs);
            match coverage.best_pair() {
                None => prop_assert_eq!(single, wanted),
                Some(pair) => {
                    prop_assert_eq!(pair.served, wanted);
                    prop_assert!(greater(wanted, single));
                    let (short, long) = (pair.short.focal_length_mm, pair.long.focal_length_mm);
                    prop_assert_eq!(counted(&list, &[short, long]), wanted);
                }
            }
        }
    }

    #[test]
    fn nothing_is_served_off_the_ladder_or_by_an_empty_list() {
        let empty = FocalCoverage::new(&[]);
        assert_eq!((empty.best(), empty.best_pair()), (None, None));
        assert_eq!(empty.at(500.0), Served::default());
        let all = FocalCoverage::new(&[interest(Some(1.0), 9000.0, 1.0)]);
        assert_eq!((all.at(19.9).count, all.at(20.0).count), (0, 1));
        assert_eq!((all.at(4000.0).count, all.at(4000.1).count), (1, 0));
        assert_eq!(all.at(f64::NAN), Served::default());
        let best = all.best().unwrap();
        assert_eq!((best.from_mm, best.to_mm), (20.0, 4000.0));
        // One alone serves all there is.
        assert_eq!(all.best_pair(), None);
    }

    #[test]
    fn targets_without_hours_still_count_by_number() {
        let coverage = FocalCoverage::new(&[
            interest(Some(100.0), 300.0, 0.0),
            interest(Some(200.0), 400.0, 0.0),
        ]);
        let best = coverage.best().unwrap();
        assert_eq!((best.from_mm, best.to_mm), (200.0, 300.0));
    }
}
