//! Integrals by Gauss and Legendre's rule: few points, many digits, where the curve is smooth.

/// Points of the rule, place and weight: the right half of the table for (-1, 1).
const HALF_RULE: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_3),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
];

/// The points and weights that integrate a smooth curve from `from` to `to`, panel by panel.
///
/// One panel of eight points is exact for polynomials of degree 15, and follows about one whole
/// wave to seven digits.
///
/// # Source
/// Abramowitz & Stegun, Handbook of Mathematical Functions, 25.4.30 and table 25.4 (n = 8).
pub(crate) fn nodes(from: f64, to: f64, panels: usize) -> impl Iterator<Item = (f64, f64)> {
    let half_panel = (to - from) / (2.0 * panels as f64);
    (0..panels).flat_map(move |panel| {
        let middle = from + half_panel * (2 * panel + 1) as f64;
        let lower = HALF_RULE.iter().rev().map(move |(x, w)| (middle - x * half_panel, *w));
        let upper = HALF_RULE.iter().map(move |(x, w)| (middle + x * half_panel, *w));
        lower.chain(upper).map(move |(x, w)| (x, w * half_panel))
    })
}

/// The integral of a curve.
pub(crate) fn integral(from: f64, to: f64, panels: usize, curve: impl Fn(f64) -> f64) -> f64 {
    nodes(from, to, panels).map(|(x, weight)| weight * curve(x)).sum()
}

/// Where a curve that has one sign at `low` and the other at `high` passes through zero.
///
/// Bisection: slow, and never wrong. NaN if the curve does not change its sign.
pub(crate) fn crossing(mut low: f64, mut high: f64, curve: impl Fn(f64) -> f64) -> f64 {
    let positive_at_low = curve(low) > 0.0;
    if (curve(high) > 0.0) == positive_at_low {
        return f64::NAN;
    }
    // 60 halvings leave nothing of a double's digits.
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if (curve(middle) > 0.0) == positive_at_low { low = middle } else { high = middle }
    }
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn polynomials_to_degree_fifteen_are_exact() {
        let found = integral(-1.0, 3.0, 1, |x| x.powi(15));
        assert!((found / ((3f64.powi(16) - 1.0) / 16.0) - 1.0).abs() < 1e-14);
    }

    #[test]
    fn a_whole_wave_a_panel_keeps_seven_digits() {
        let found = integral(0.0, 5.0, 5, |x| 1.0 + (std::f64::consts::TAU * x).cos());
        assert!((found - 5.0).abs() < 1e-7);
    }

    #[test]
    fn a_crossing_is_found_and_a_missing_one_is_not_made_up() {
        assert!((crossing(0.0, 2.0, |x| 2.0 - x * x) - 2f64.sqrt()).abs() < 1e-15);
        assert!(crossing(0.0, 1.0, |x| 2.0 - x * x).is_nan());
    }
}
