//! A small generator of pseudo-random numbers, so that a seed gives the same answer on every machine.

/// Xorshift with multiplication (S. Vigna, "An experimental exploration of Marsaglia's xorshift
/// generators, scrambled", ACM TOMS 42, 2016; from memory).
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn seeded(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    fn bits(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    /// A whole number below `limit`; 0 where the limit is 0.
    pub(crate) fn below(&mut self, limit: usize) -> usize {
        let high = (u128::from(self.bits()) * limit as u128) >> 64;
        usize::try_from(high).unwrap_or(0)
    }

    /// A number above 0, at most 1.
    pub(crate) fn fraction(&mut self) -> f64 {
        ((self.bits() >> 11) + 1) as f64 / (1u64 << 53) as f64
    }
}
