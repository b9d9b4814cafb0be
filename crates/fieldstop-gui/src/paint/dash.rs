//! Broken lines: a line cut into the marks of its dash pattern, alike in every painter.

use crate::scene::primitive::{DashPattern, Point};

/// The marks of a broken line, corners inside a mark kept. An unbroken or hopeless pattern (no
/// length, not finite) gives the line itself.
pub(super) fn marks(
    points: &[Point],
    closed: bool,
    pattern: DashPattern,
    offset_pt: f64,
) -> Vec<Vec<Point>> {
    let ends = points.iter().chain(closed.then(|| points.first()).flatten()).copied();
    let period: f64 = pattern.iter().sum();
    if !(period > 0.0 && period.is_finite() && offset_pt.is_finite()) {
        return vec![ends.collect()];
    }
    let (mut place, mut left) = start(pattern, offset_pt.rem_euclid(period));
    let mut marks = Vec::new();
    let mut mark = Vec::new();
    let mut before: Option<Point> = None;
    for end in ends {
        let Some(from) = before.replace(end) else {
            mark.push(end);
            continue;
        };
        let length = (end[0] - from[0]).hypot(end[1] - from[1]);
        let mut along = 0.0;
        while length - along > left {
            along += left;
            let share = along / length;
            let at = [from[0] + share * (end[0] - from[0]), from[1] + share * (end[1] - from[1])];
            if place.is_multiple_of(2) {
                mark.push(at);
                marks.push(std::mem::take(&mut mark));
            } else {
                mark = vec![at];
            }
            place = (place + 1) % pattern.len();
            // OK because `place` is a remainder of the length.
            left = pattern[place];
        }
        left -= length - along;
        if place.is_multiple_of(2) {
            mark.push(end);
        }
    }
    if place.is_multiple_of(2) && mark.len() > 1 {
        marks.push(mark);
    }
    marks
}

/// Which entry of the pattern a line begins in, and how much of it is left.
fn start(pattern: DashPattern, mut offset: f64) -> (usize, f64) {
    for (place, length) in pattern.iter().enumerate() {
        if offset < *length {
            return (place, length - offset);
        }
        offset -= length;
    }
    (0, pattern.first().copied().unwrap_or(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_line_is_cut_where_the_pattern_says() {
        let marks = marks(&[[0.0, 0.0], [10.0, 0.0]], false, &[4.0, 2.0], 0.0);
        assert_eq!(marks, [vec![[0.0, 0.0], [4.0, 0.0]], vec![[6.0, 0.0], [10.0, 0.0]]]);
    }

    #[test]
    fn an_offset_begins_inside_the_pattern() {
        let marks = marks(&[[0.0, 0.0], [6.0, 0.0]], false, &[4.0, 2.0], 5.0);
        assert_eq!(marks, [vec![[1.0, 0.0], [5.0, 0.0]]]);
    }

    #[test]
    fn a_corner_inside_a_mark_stays_in_it() {
        let square = [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]];
        let marks = marks(&square, true, &[15.0, 5.0], 0.0);
        assert_eq!(marks[0], [[0.0, 0.0], [10.0, 0.0], [10.0, 5.0]]);
        assert_eq!(marks.len(), 2);
    }

    #[test]
    fn no_pattern_is_the_whole_line() {
        let line = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0]];
        assert_eq!(marks(&line, true, &[], 0.0)[0].len(), 4);
    }
}
