//! A small deterministic generator of pseudo-random numbers.
//!
//! SplitMix64 (G.L. Steele, D. Lea, C.H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014).
//! The search seeds it with a constant, so that the same order always gives the same plan.

/// State of the generator.
#[derive(Clone, Debug)]
pub(super) struct Random {
    state: u64,
}

impl Random {
    pub(super) fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    pub(super) fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A whole number in `0..bound`; 0 when `bound` is 0.
    pub(super) fn below(&mut self, bound: usize) -> usize {
        ((u128::from(self.next()) * bound as u128) >> 64) as usize
    }

    /// A number in `[0, 1)`.
    pub(super) fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::Random;

    #[test]
    fn follows_the_published_sequence() {
        // First outputs of SplitMix64 for seed 1234567, as listed with the reference C code by S. Vigna (from memory).
        let mut random = Random::new(1_234_567);
        assert_eq!(random.next(), 6_457_827_717_110_365_317);
        assert_eq!(random.next(), 3_203_168_211_198_807_973);
    }

    #[test]
    fn stays_below_its_bound() {
        let mut random = Random::new(1);
        assert!((0..1000).all(|_| random.below(7) < 7));
        assert_eq!(random.below(0), 0);
    }
}
