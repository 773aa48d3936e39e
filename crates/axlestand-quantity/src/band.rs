//! Tolerance bands.

/// On which side of a [`Band`] a value lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Below the lower limit.
    Below,
    /// Within both limits, limits included.
    Within,
    /// Above the upper limit.
    Above,
}

/// A target with its tolerance: nominal value, lower and upper limit, all in one unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    nominal: f64,
    minus: f64,
    plus: f64,
}

impl Band {
    /// A band from `nominal - minus` to `nominal + plus`.
    ///
    /// `None` where a number is not finite or a tolerance is negative.
    #[must_use]
    pub fn new(nominal: f64, minus: f64, plus: f64) -> Option<Self> {
        let good =
            nominal.is_finite() && minus.is_finite() && plus.is_finite() && minus >= 0.0 && plus >= 0.0;
        good.then_some(Self { nominal, minus, plus })
    }

    /// The value aimed at.
    #[must_use]
    pub fn nominal(self) -> f64 {
        self.nominal
    }

    /// The lower limit.
    #[must_use]
    pub fn lower(self) -> f64 {
        self.nominal - self.minus
    }

    /// The upper limit.
    #[must_use]
    pub fn upper(self) -> f64 {
        self.nominal + self.plus
    }

    /// Where `value` lies. Says nothing of its uncertainty.
    #[must_use]
    pub fn side(self, value: f64) -> Side {
        if value < self.lower() {
            Side::Below
        } else if value > self.upper() {
            Side::Above
        } else {
            Side::Within
        }
    }
}
