//! Comparing rigs on several counts at once: which are beaten on all of them, and how narrowly.
//!
//! A rig is **beaten** by another that is at least as good on every count and better on one. What
//! is left when the beaten are set aside are the rigs worth weighing against each other. A count
//! that is known of one and not of the other decides nothing between them, so nobody is called
//! beaten for want of a price.

/// Which end of a count is the good one.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Better {
    /// More is better.
    More,
    /// Less is better.
    Less,
}

impl Better {
    /// By how much `a` is better than `b`; below 0 if it is worse.
    fn lead(self, a: f64, b: f64) -> f64 {
        match self {
            Self::More => a - b,
            Self::Less => b - a,
        }
    }
}

/// Differences smaller than this share are rounding, not merit.
const SAME_SHARE: f64 = 1e-9;

/// By how much `a` leads `b` on a count; 0 if they are equal but for rounding.
fn lead(better: Better, a: f64, b: f64) -> f64 {
    let lead = better.lead(a, b);
    if lead.abs() <= SAME_SHARE * a.abs().max(b.abs()) { 0.0 } else { lead }
}

/// Whether a row beats another: at least as good on every count, better on one.
///
/// A count that neither row knows is left out; one that only one of them knows forbids the verdict.
///
/// # Example
/// ```
/// # use fieldstop::pareto::{Better, beats};
/// let better = [Better::More, Better::Less];
/// assert!(beats(&[Some(12.0), Some(900.0)], &[Some(12.0), Some(950.0)], &better));
/// assert!(!beats(&[Some(12.0), Some(900.0)], &[Some(13.0), Some(950.0)], &better));
/// assert!(!beats(&[Some(12.0), None], &[Some(11.0), Some(950.0)], &better));
/// ```
pub fn beats(a: &[Option<f64>], b: &[Option<f64>], better: &[Better]) -> bool {
    let mut ahead = false;
    for ((a, b), better) in a.iter().zip(b).zip(better) {
        match (a, b) {
            (None, None) => {}
            (Some(a), Some(b)) => {
                let lead = lead(*better, *a, *b);
                if lead < 0.0 {
                    return false;
                }
                ahead |= lead > 0.0;
            }
            _ => return false,
        }
    }
    ahead
}

/// For every row the rows that beat it, in the rows' order; empty for those worth weighing.
pub fn beaten_by(rows: &[Vec<Option<f64>>], better: &[Better]) -> Vec<Vec<usize>> {
    let beaters = |row: &Vec<Option<f64>>| {
        (0..rows.len())
            .filter(|&other| rows.get(other).is_some_and(|o| beats(o, row, better)))
            .collect()
    };
    rows.iter().map(beaters).collect()
}

/// How two rows stand on one count, and what would turn it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Which count.
    pub count: usize,
    /// By how much the first leads; below 0 if the second does.
    pub lead: f64,
    /// What the second's value would have to change by, with its sign, to draw level: one step
    /// further and the order on this count turns. 0 where they are equal.
    pub change: f64,
    /// That change as a share of the second's value; infinite where the value is 0.
    pub share: f64,
}

/// How two rows stand, count by count; counts that either does not know are left out.
///
/// # Example
/// A rig of 950 against one of 900: it would have to cost 50 less.
/// ```
/// # use fieldstop::pareto::{Better, gaps};
/// let gaps = gaps(&[Some(900.0)], &[Some(950.0)], &[Better::Less]);
/// assert_eq!((gaps[0].lead, gaps[0].change), (50.0, -50.0));
/// ```
pub fn gaps(a: &[Option<f64>], b: &[Option<f64>], better: &[Better]) -> Vec<Gap> {
    a.iter()
        .zip(b)
        .zip(better)
        .enumerate()
        .filter_map(|(count, ((a, b), better))| {
            let (a, b) = ((*a)?, (*b)?);
            let lead = lead(*better, a, b);
            let change = if lead == 0.0 { 0.0 } else { a - b };
            let share = if change == 0.0 { 0.0 } else { (change / b).abs() };
            Some(Gap { count, lead, change, share })
        })
        .collect()
}

/// The count on which a beaten row has least to change, as a share, to be beaten no longer.
///
/// One step beyond level on a single count is enough. `None` if the two share no count.
pub fn nearest_turn(gaps: &[Gap]) -> Option<Gap> {
    gaps.iter().copied().min_by(|a, b| a.share.total_cmp(&b.share))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const BETTER: [Better; 3] = [Better::More, Better::Less, Better::Less];

    /// Small whole numbers, so that many are equal; some are not known.
    fn any_rows() -> impl Strategy<Value = Vec<Vec<Option<f64>>>> {
        let value = (0u32..8).prop_map(|v| (v < 6).then(|| f64::from(v)));
        proptest::collection::vec(proptest::collection::vec(value, 3), 0..8)
    }

    proptest! {
        /// Brute force: by the definition, on values turned so that more is better.
        #[test]
        fn the_beaten_are_those_of_the_definition(rows in any_rows()) {
            let good = |row: &[Option<f64>]| [row[0], row[1].map(|v| -v), row[2].map(|v| -v)];
            for (b, beaters) in beaten_by(&rows, &BETTER).into_iter().enumerate() {
                let wanted: Vec<usize> = (0..rows.len())
                    .filter(|&a| {
                        let pairs: Vec<_> = good(&rows[a]).into_iter().zip(good(&rows[b])).collect();
                        pairs.iter().all(|(a, b)| a.is_some() == b.is_some() && a >= b)
                            && pairs.iter().any(|(a, b)| a > b)
                    })
                    .collect();
                prop_assert_eq!(beaters, wanted);
            }
        }

        #[test]
        fn nobody_beats_itself_or_its_own_beater(rows in any_rows()) {
            let beaten = beaten_by(&rows, &BETTER);
            for (row, beaters) in beaten.iter().enumerate() {
                for &by in beaters {
                    prop_assert!(by != row && !beaten[by].contains(&row));
                }
            }
        }

        /// One step beyond the change and the order has turned; one step short and it has not.
        #[test]
        fn the_change_turns_the_order(a in 1.0..100.0f64, b in 1.0..100.0f64, less in any::<bool>()) {
            let better = [if less { Better::Less } else { Better::More }];
            let lead = |b: f64| gaps(&[Some(a)], &[Some(b)], &better)[0].lead;
            let gap = gaps(&[Some(a)], &[Some(b)], &better)[0];
            prop_assume!(gap.change.abs() > 1e-3);
            prop_assert!(gap.lead * lead(b + 1.01 * gap.change) < 0.0);
            prop_assert!(gap.lead * lead(b + 0.99 * gap.change) > 0.0);
            prop_assert!((gap.share * b - gap.change.abs()).abs() < 1e-9);
        }
    }

    #[test]
    fn a_beaten_row_escapes_by_the_smallest_share() {
        let by = [Some(12.0), Some(3.0), Some(900.0)];
        let row = [Some(7.0), Some(3.1), Some(950.0)];
        let nearest = nearest_turn(&gaps(&by, &row, &BETTER)).unwrap();
        // 0.1 of 3.1 is less than 50 of 950 and than 5 of 7.
        assert_eq!(nearest.count, 1);
        let mended = [row[0], Some(2.99), row[2]];
        assert!(beats(&by, &row, &BETTER) && !beats(&by, &mended, &BETTER));
    }

    #[test]
    fn rounding_is_no_merit() {
        assert!(!beats(&[Some(0.1 + 0.2)], &[Some(0.3)], &[Better::More]));
        assert_eq!(gaps(&[Some(0.1 + 0.2)], &[Some(0.3)], &[Better::More])[0].change, 0.0);
    }
}
