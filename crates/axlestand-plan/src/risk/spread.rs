//! How long work takes: lognormal times.

/// The standard normal value that nine of ten stay below.
const NINE_OF_TEN: f64 = 1.281_551_565_544_6;

/// A lognormal time: its logarithm is normal. The usual choice for repair work made of unequal parts
/// (MIL-HDBK-338B, 5.6.2.1).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// The median in minutes.
    median: f64,
    /// Standard deviation of the logarithm.
    sigma: f64,
}

impl Spread {
    /// The time with this mean (0 or more, in minutes) whose 90 % value is `ratio` (1 or more) times its
    /// median: sigma = ln(ratio)/1.28155, median = mean·exp(−sigma²/2). Nonsense counts as nought and as
    /// no spread.
    #[must_use]
    pub fn of_mean(mean: f64, ratio: f64) -> Self {
        let mean = if mean.is_finite() { mean.max(0.0) } else { 0.0 };
        let sigma = if ratio.is_finite() && ratio > 1.0 { ratio.ln() / NINE_OF_TEN } else { 0.0 };
        Self { median: mean * (-0.5 * sigma * sigma).exp(), sigma }
    }

    /// The time with this median and this 90 % value.
    #[must_use]
    pub fn of_quantiles(median: f64, nine_of_ten: f64) -> Self {
        let ratio = if median > 0.0 { nine_of_ten / median } else { 1.0 };
        Self { median: median.max(0.0), sigma: if ratio > 1.0 { ratio.ln() / NINE_OF_TEN } else { 0.0 } }
    }

    /// The time with this mean (0 or more, in minutes) that spreads as this one does.
    #[must_use]
    pub fn with_mean(self, mean: f64) -> Self {
        let mean = if mean.is_finite() { mean.max(0.0) } else { 0.0 };
        Self { median: mean * (-0.5 * self.sigma * self.sigma).exp(), ..self }
    }

    /// Mean minutes: median·exp(sigma²/2).
    #[must_use]
    pub fn mean(self) -> f64 {
        self.median * (0.5 * self.sigma * self.sigma).exp()
    }

    /// Variance in square minutes: mean²·(exp(sigma²) − 1).
    #[must_use]
    pub fn variance(self) -> f64 {
        self.mean().powi(2) * (self.sigma * self.sigma).exp_m1()
    }

    /// Standard deviation of the logarithm.
    #[must_use]
    pub fn sigma(self) -> f64 {
        self.sigma
    }

    /// The time at a standard normal value.
    #[must_use]
    pub fn at(self, z: f64) -> f64 {
        self.median * (self.sigma * z).exp()
    }

    /// The same, `factor` times as long.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self { median: self.median * factor, sigma: self.sigma }
    }
}
