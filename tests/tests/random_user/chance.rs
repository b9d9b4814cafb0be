//! Numbers that look random and are the same for the same seed.

/// SplitMix64 (Steele, Lea and Flood 2014): every seed gives another stream, also 0, 1, 2 …
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number from 0 up to, not including, 1.
    pub(crate) fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// A whole number below another, or 0.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        ((self.share() * end as f64) as usize).min(end.saturating_sub(1))
    }

    pub(crate) fn one_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }

    /// One of some things.
    pub(crate) fn of<'a, T>(&mut self, things: &'a [T]) -> &'a T {
        &things[self.below(things.len())]
    }
}
