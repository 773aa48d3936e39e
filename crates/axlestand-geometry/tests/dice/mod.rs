//! Chance with a fixed seed, for checks that draw.
#![allow(dead_code, reason = "not every test file uses all of it")]

/// A small generator (SplitMix64, from memory).
pub(crate) struct Dice(u64);

impl Dice {
    /// The same seed gives the same draws.
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// Evenly between 0 and 1.
    pub(crate) fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Normally distributed (Box and Muller).
    pub(crate) fn normal(&mut self, mean: f64, sigma: f64) -> f64 {
        let radius = (-2.0 * (1.0 - self.share()).ln()).sqrt();
        mean + sigma * radius * (std::f64::consts::TAU * self.share()).cos()
    }
}
