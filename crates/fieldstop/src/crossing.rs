//! Where a smooth curve lies above zero, without sampling it finely.
//!
//! The curve is cut at knots so that it turns at most once between two of them. A piece whose ends
//! differ in sign crosses once. A piece whose ends agree crosses twice or not at all: twice only if
//! it turns towards zero inside and gets past it, and then the turn is sought.

/// The stretches in which `curve` is above zero, in order, from the first knot to the last.
///
/// # Units
/// - `knots`: rising; the curve turns at most once between neighbours
/// - `tolerance`: how well an end must be known, in the unit of the knots
pub(crate) fn above_zero(
    knots: &[f64],
    tolerance: f64,
    curve: impl Fn(f64) -> f64,
) -> Vec<(f64, f64)> {
    let mut spans = Vec::new();
    let [first, .., last] = *knots else { return spans };
    let mut value_before = curve(first);
    let mut start = (value_before > 0.0).then_some(first);
    let mut toggle = |at: f64| match start.take() {
        Some(begun) => spans.push((begun, at)),
        None => start = Some(at),
    };
    for pair in knots.windows(2) {
        let [a, b] = *pair else { continue };
        let value = curve(b);
        if (value > 0.0) != (value_before > 0.0) {
            toggle(root(a, b, tolerance, &curve));
        } else if let Some(turn) = turn_past_zero([a, b], [value_before, value], &curve) {
            toggle(root(a, turn, tolerance, &curve));
            toggle(root(turn, b, tolerance, &curve));
        }
        value_before = value;
    }
    if let Some(begun) = start {
        spans.push((begun, last));
    }
    spans
}

/// The crossing between two ends of different sign, by halving.
fn root(mut a: f64, mut b: f64, tolerance: f64, curve: &impl Fn(f64) -> f64) -> f64 {
    let begins_above = curve(a) > 0.0;
    loop {
        let middle = f64::midpoint(a, b);
        // The second condition ends it for a tolerance finer than the numbers themselves.
        if b - a < tolerance || middle <= a || middle >= b {
            return middle;
        }
        if (curve(middle) > 0.0) == begins_above {
            a = middle;
        } else {
            b = middle;
        }
    }
}

/// A place beyond zero between two ends of the same sign, if the curve turns there.
fn turn_past_zero(
    [a, b]: [f64; 2],
    [value_a, value_b]: [f64; 2],
    curve: &impl Fn(f64) -> f64,
) -> Option<f64> {
    let sign = if value_a > 0.0 { 1.0 } else { -1.0 };
    let height = |x: f64| sign * curve(x);
    let step = (b - a) * 1e-3;
    let falls_at_both_ends = height(a + step) < sign * value_a && height(b - step) < sign * value_b;
    if !falls_at_both_ends {
        return None;
    }
    // Golden section: each round keeps 0.618 of the piece. 40 leave 4e-9 of it, and the height
    // there is known to the square of that.
    const KEPT: f64 = 0.618_033_988_749_894_9;
    let (mut a, mut b) = (a, b);
    for _ in 0..40 {
        let (left, right) = (b - KEPT * (b - a), a + KEPT * (b - a));
        let (at_left, at_right) = (height(left), height(right));
        if at_left <= 0.0 {
            return Some(left);
        }
        if at_right <= 0.0 {
            return Some(right);
        }
        if at_left < at_right {
            b = right;
        } else {
            a = left;
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOURLY: [f64; 8] = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, std::f64::consts::TAU];

    fn length(spans: &[(f64, f64)]) -> f64 {
        spans.iter().map(|(start, end)| end - start).sum()
    }

    #[test]
    fn a_cosine_lies_above_a_level_as_long_as_the_arc_cosine_says() {
        for level in [-0.999_999, -0.9, -0.3, 0.0, 0.5, 0.99, 0.999_999, 0.999_999_999_9f64] {
            for phase in [0.0, 0.3, 1.5, 3.0, 6.2f64] {
                let spans = above_zero(&HOURLY, 1e-12, |x| (x - phase).cos() - level);
                assert!((length(&spans) - 2.0 * level.acos()).abs() < 1e-9, "{level} {phase}");
            }
        }
    }

    #[test]
    fn a_curve_that_never_crosses_is_all_or_nothing() {
        assert_eq!(above_zero(&HOURLY, 1e-9, |x| x.cos() + 1.000_001), vec![(0.0, HOURLY[7])]);
        assert!(above_zero(&HOURLY, 1e-9, |x| x.cos() - 1.000_001).is_empty());
        assert!(above_zero(&HOURLY, 1e-9, |_| f64::NAN).is_empty());
        assert!(above_zero(&[], 1e-9, |x| x).is_empty());
    }
}
