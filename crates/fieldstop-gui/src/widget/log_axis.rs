//! The map between focal length and points along a logarithmic axis.

use fieldstop::range::LADDER_MM;

/// An axis from the shortest to the longest focal length of the ladder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LogAxis {
    /// Where the shortest stands, points.
    pub left: f32,
    /// Where the longest stands, points.
    pub right: f32,
}

impl LogAxis {
    /// Where a focal length stands; beyond the axis, at its end.
    pub fn x(self, mm: f64) -> f32 {
        let mm = mm.clamp(LADDER_MM.least, LADDER_MM.most);
        let share = (mm / LADDER_MM.least).ln() / (LADDER_MM.most / LADDER_MM.least).ln();
        self.left + (self.right - self.left) * share as f32
    }

    /// The focal length at a place, in steps that a hand can aim at.
    pub fn mm(self, x: f32) -> f64 {
        let share = f64::from((x - self.left) / (self.right - self.left).max(1.0)).clamp(0.0, 1.0);
        round_to_hand(LADDER_MM.least * (LADDER_MM.most / LADDER_MM.least).powf(share))
    }
}

/// A dragged focal length in steps that a hand can aim at.
fn round_to_hand(mm: f64) -> f64 {
    let step = if mm < 100.0 {
        1.0
    } else if mm < 1000.0 {
        5.0
    } else {
        10.0
    };
    (mm / step).round() * step
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_factors_are_equal_steps() {
        let axis = LogAxis { left: 10.0, right: 210.0 };
        assert_eq!((axis.x(20.0), axis.x(4000.0)), (10.0, 210.0));
        let step = axis.x(200.0) - axis.x(100.0);
        assert!((axis.x(2000.0) - axis.x(1000.0) - step).abs() < 1e-3);
        assert_eq!((axis.x(1.0), axis.x(1e9)), (10.0, 210.0));
        assert!((axis.mm(axis.x(620.0)) - 620.0).abs() < 5.1);
    }
}
