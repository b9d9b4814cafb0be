//! Random numbers with a seed: the same on every machine, so that a case can be made again.

use fieldstop::Angle;
use fieldstop::range::Range;

/// SplitMix64 (Steele, Lea & Flood 2014, OOPSLA, "Fast splittable pseudorandom number generators").
#[derive(Clone)]
pub(crate) struct Random(u64);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The seed itself, as long as no number was taken.
    pub(crate) fn first(&self) -> u64 {
        self.0
    }

    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A whole number below a limit above 0.
    pub(crate) fn below(&mut self, limit: usize) -> usize {
        (self.next() % limit as u64) as usize
    }

    pub(crate) fn chance(&mut self, one_in: usize) -> bool {
        self.below(one_in) == 0
    }

    pub(crate) fn pick<'a, T>(&mut self, things: &'a [T]) -> &'a T {
        &things[self.below(things.len())]
    }

    /// From 0 to 1.
    pub(crate) fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / ((1_u64 << 53) - 1) as f64
    }

    /// A number of a range, often one of its ends.
    pub(crate) fn within(&mut self, least: f64, most: f64) -> f64 {
        match self.below(12) {
            0 => least,
            1 => most,
            2 => 0.0_f64.clamp(least, most),
            _ => least + (most - least) * self.share(),
        }
    }

    /// A number of a range above 0, even over its powers of ten, often one of its ends.
    pub(crate) fn powers(&mut self, least: f64, most: f64) -> f64 {
        match self.below(12) {
            0 => least,
            1 => most,
            _ => (least.ln() + (most / least).ln() * self.share()).exp().clamp(least, most),
        }
    }

    /// A number of a range that a kit's field may have, often an end of it, evenly or over its powers
    /// of ten; the least of all numbers where 0 is allowed.
    pub(crate) fn of(&mut self, range: Range) -> f64 {
        let Range { least, most, .. } = range;
        match self.below(8) {
            0..=2 => self.within(least, most),
            3 if least <= 0.0 => {
                self.pick::<f64>(&[5e-324, f64::MIN_POSITIVE, 1e-200, 1e-155, 1e-30]).min(most)
            }
            _ if most > 0.0 => self.powers(least.max(1e-12 * most), most),
            _ => self.within(least, most),
        }
    }

    /// An angle of a range of degrees.
    pub(crate) fn angle(&mut self, least_deg: f64, most_deg: f64) -> Angle {
        Angle::from_deg(self.within(least_deg, most_deg))
    }

    /// Any 64 bits taken as a number: NaN, infinities and the smallest included.
    pub(crate) fn any_number(&mut self) -> f64 {
        match self.below(4) {
            0 => f64::from_bits(self.next()),
            1 => *self.pick(&[
                0.0,
                -0.0,
                f64::NAN,
                f64::INFINITY,
                f64::NEG_INFINITY,
                f64::MAX,
                f64::MIN,
                f64::MIN_POSITIVE,
                5e-324,
                f64::EPSILON,
            ]),
            2 => self.powers(1e-9, 1e9),
            _ => self.within(-400.0, 400.0),
        }
    }
}
