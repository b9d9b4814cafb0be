//! Stretches of time, and what they have in common: hours are counted by cutting, not by sampling.

use crate::Instant;

/// A stretch of time from a start to a later end.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub struct Span {
    /// Where it begins.
    pub start: Instant,
    /// Where it ends, later than the start.
    pub end: Instant,
}

impl Span {
    /// How long it is.
    pub fn hours(self) -> f64 {
        self.end.hours_since(self.start)
    }

    /// Half-way through.
    pub fn middle(self) -> Instant {
        self.start.middle(self.end)
    }
}

/// Stretches of time in order, that neither overlap nor touch.
///
/// # Example
/// ```
/// # use fieldstop::{Instant, spans::{Span, Spans}};
/// let at = |hour| Instant::from_utc(2026, 1, 1, hour, 0, 0.0).unwrap();
/// let dark = Spans::new([Span { start: at(18), end: at(30) }]);
/// let moon = Spans::new([Span { start: at(20), end: at(23) }]);
/// let moonless = dark.without(&moon);
/// assert_eq!(moonless.hours(), 9.0);
/// assert_eq!(moonless.iter().count(), 2);
/// ```
#[derive(Clone, Debug, Default, Eq, PartialEq)]
pub struct Spans(Vec<Span>);

impl Spans {
    /// From stretches in any order; those that overlap or touch become one, empty ones vanish.
    pub fn new(spans: impl IntoIterator<Item = Span>) -> Self {
        let mut spans: Vec<Span> = spans.into_iter().filter(|s| s.start < s.end).collect();
        spans.sort_by_key(|span| span.start);
        let mut joined: Vec<Span> = Vec::with_capacity(spans.len());
        for span in spans {
            match joined.last_mut() {
                Some(last) if span.start <= last.end => last.end = last.end.max(span.end),
                _ => joined.push(span),
            }
        }
        Self(joined)
    }

    /// One stretch; none, if it would end before it starts.
    pub fn one(start: Instant, end: Instant) -> Self {
        Self::new([Span { start, end }])
    }

    /// In order.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = Span> + ExactSizeIterator + '_ {
        self.0.iter().copied()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Where the first begins.
    pub fn start(&self) -> Option<Instant> {
        self.0.first().map(|span| span.start)
    }

    /// Where the last ends.
    pub fn end(&self) -> Option<Instant> {
        self.0.last().map(|span| span.end)
    }

    /// All together.
    pub fn hours(&self) -> f64 {
        // From zero, since the sum of nothing is -0.0.
        self.iter().map(Span::hours).fold(0.0, |sum, hours| sum + hours)
    }

    /// Whether an instant lies in one; a start belongs to it, an end does not.
    pub fn contains(&self, instant: Instant) -> bool {
        self.iter().any(|span| span.start <= instant && instant < span.end)
    }

    /// What both have in common.
    pub fn and(&self, other: &Self) -> Self {
        let (mut mine, mut theirs) = (self.0.as_slice(), other.0.as_slice());
        let mut common = Vec::new();
        while let ([a, rest_of_mine @ ..], [b, rest_of_theirs @ ..]) = (mine, theirs) {
            let span = Span { start: a.start.max(b.start), end: a.end.min(b.end) };
            if span.start < span.end {
                common.push(span);
            }
            if a.end < b.end {
                mine = rest_of_mine;
            } else {
                theirs = rest_of_theirs;
            }
        }
        Self(common)
    }

    /// What is left of these when the others are cut out.
    pub fn without(&self, other: &Self) -> Self {
        let mut left = Vec::new();
        for span in self.iter() {
            let mut start = span.start;
            for cut in other.iter().filter(|cut| cut.end > span.start && cut.start < span.end) {
                left.push(Span { start, end: cut.start });
                start = cut.end;
            }
            left.push(Span { start, end: span.end });
        }
        left.retain(|span| span.start < span.end);
        Self(left)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any_spans() -> impl Strategy<Value = Spans> {
        proptest::collection::vec((0i64..60, 0i64..20), 0..8).prop_map(|spans| {
            Spans::new(spans.into_iter().map(|(start, length)| Span {
                start: Instant::from_unix_ms(start),
                end: Instant::from_unix_ms(start + length),
            }))
        })
    }

    fn in_order_and_apart(spans: &Spans) -> bool {
        spans.iter().all(|s| s.start < s.end)
            && spans.0.windows(2).all(|pair| pair[0].end < pair[1].start)
    }

    proptest! {
        #[test]
        fn cutting_agrees_with_asking_at_every_instant(a in any_spans(), b in any_spans()) {
            let (both, left) = (a.and(&b), a.without(&b));
            prop_assert!(in_order_and_apart(&a) && in_order_and_apart(&both) && in_order_and_apart(&left));
            for ms in -1..90 {
                let now = Instant::from_unix_ms(ms);
                prop_assert_eq!(both.contains(now), a.contains(now) && b.contains(now));
                prop_assert_eq!(left.contains(now), a.contains(now) && !b.contains(now));
            }
            prop_assert!((both.hours() + left.hours() - a.hours()).abs() < 1e-12);
        }
    }
}
