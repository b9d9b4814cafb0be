//! Numbers that look random and are the same on every machine: only integers are mixed.

/// SplitMix64: a counter stepped by the golden ratio, each value scrambled.
///
/// # Source
/// Steele, Lea & Flood 2014, "Fast splittable pseudorandom number generators", OOPSLA '14,
/// doi 10.1145/2660193.2660195; constants of the public-domain reference code by Vigna 2015.
pub(super) struct SplitMix64(u64);

const GOLDEN_GAMMA: u64 = 0x9e37_79b9_7f4a_7c15;

impl SplitMix64 {
    /// A stream of its own for every step and cell.
    pub(super) fn for_cell(seed: u64, step: u8, cell: u64) -> Self {
        // The numbers of cells stay far below 2^56. Scrambling the key sets neighbouring cells on
        // unrelated stretches of the counter.
        Self(scrambled(seed ^ scrambled((u64::from(step) << 56) ^ cell)))
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(GOLDEN_GAMMA);
        scrambled(self.0)
    }

    /// The next number, 0 to 1, one exclusive: a multiple of 2^-53.
    pub(super) fn next_share(&mut self) -> f64 {
        const STEP: f64 = 1.0 / (1_u64 << 53) as f64;
        (self.next() >> 11) as f64 * STEP
    }
}

fn scrambled(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// First outputs of the reference code `splitmix64.c` (Vigna 2015) for the state 1234567, as
    /// commonly published (from memory).
    #[test]
    fn the_stream_is_the_reference_one() {
        let mut stream = SplitMix64(1_234_567);
        let expected = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        assert_eq!(expected.map(|_| stream.next()), expected);
    }

    #[test]
    fn shares_are_spread_evenly() {
        let mut tenths = [0_u32; 10];
        for cell in 0..10_000 {
            let mut stream = SplitMix64::for_cell(1, 2, cell);
            for _ in 0..10 {
                tenths[(stream.next_share() * 10.0) as usize] += 1;
            }
        }
        // 10,000 expected in each; five standard deviations are 475.
        assert!(tenths.iter().all(|&count| count.abs_diff(10_000) < 475), "{tenths:?}");
    }
}
