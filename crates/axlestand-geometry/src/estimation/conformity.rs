//! Within limits or not: a probability, a guard, three zones.

use super::trouble::Trouble;
use crate::wheel_angles::{conformance_probability, guarded_band};

/// Limits of a quantity, both included; infinite where there is none on that side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    lower: f64,
    upper: f64,
}

/// Where an estimate stands against its limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Zone {
    /// Within, as good as certain.
    In,
    /// The readings cannot tell.
    CannotTell,
    /// Outside, as good as certain.
    Out,
}

impl Zone {
    /// As people say it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::In => "within limits",
            Self::CannotTell => "cannot be told",
            Self::Out => "outside the limits",
        }
    }
}

impl std::fmt::Display for Zone {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.word())
    }
}

/// From which probability on something counts as within or outside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// At least this probable: within. Above a half, below one.
    pub accept: f64,
}

impl Default for Rule {
    /// 95 in 100 (`judgement`): within from 0.95 on, outside up to 0.05.
    fn default() -> Self {
        Self { accept: 0.95 }
    }
}

/// An estimate held against limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Decision {
    /// Probability that the true value is within the limits.
    pub probability: f64,
    /// What that comes to.
    pub zone: Zone,
}

impl Limits {
    /// Limits from lower to upper.
    ///
    /// # Errors
    /// [`Trouble::NotFinite`] for NaN; [`Trouble::NotPositive`] where the upper one is not above the
    /// lower one.
    pub fn new(lower: f64, upper: f64) -> Result<Self, Trouble> {
        for value in [lower, upper] {
            if value.is_nan() {
                return Err(Trouble::NotFinite { what: "a limit".into(), value });
            }
        }
        if upper > lower {
            Ok(Self { lower, upper })
        } else {
            Err(Trouble::NotPositive { what: "the width of the limits".into(), value: upper - lower })
        }
    }

    /// The lower limit.
    #[must_use]
    pub fn lower(&self) -> f64 {
        self.lower
    }

    /// The upper limit.
    #[must_use]
    pub fn upper(&self) -> f64 {
        self.upper
    }

    /// Half-way between them, the best place to aim at; `None` with a limit on one side only.
    #[must_use]
    pub fn middle(&self) -> Option<f64> {
        let middle = f64::midpoint(self.lower, self.upper);
        middle.is_finite().then_some(middle)
    }

    /// The probability that the true value is within: Φ((T_U − y)/u) − Φ((T_L − y)/u) (`jcgm-106`,
    /// 7.2), and the zone by `rule`. It takes every true value for equally likely beforehand; where
    /// true values crowd about the limits a probability below 0.7 is pessimistic.
    ///
    /// # Errors
    /// [`Trouble`] for a value that is none or an uncertainty not above nought.
    pub fn judge(&self, y: f64, u: f64, rule: Rule) -> Result<Decision, Trouble> {
        Trouble::finite("the value to judge", y)?;
        Trouble::positive("the uncertainty of the value to judge", u)?;
        let probability = conformance_probability(y, u, self.lower, self.upper);
        let zone = if probability >= rule.accept {
            Zone::In
        } else if probability <= 1.0 - rule.accept {
            Zone::Out
        } else {
            Zone::CannotTell
        };
        Ok(Decision { probability, zone })
    }

    /// From where to where an estimate with uncertainty `u` may lie to be accepted with a guard of
    /// `factor`·u inside each limit (`jcgm-106`, 8.3.2); `None` where nothing is left: no estimate
    /// this uncertain can prove it.
    #[must_use]
    pub fn accepted(&self, u: f64, factor: f64) -> Option<(f64, f64)> {
        guarded_band(self.lower, self.upper, u, factor)
    }

    /// From where to where an estimate with uncertainty `u` is judged [`Zone::In`] by `rule`; `None`
    /// where there is no such place.
    #[must_use]
    pub fn window(&self, u: f64, rule: Rule) -> Option<(f64, f64)> {
        let within = |y: f64| conformance_probability(y, u, self.lower, self.upper) >= rule.accept;
        let reach = 10.0 * u;
        let low_end = if self.lower.is_finite() { self.lower } else { self.upper - reach };
        let high_end = if self.upper.is_finite() { self.upper } else { self.lower + reach };
        let best = f64::midpoint(low_end, high_end);
        if !best.is_finite() || !within(best) {
            return None;
        }
        let edge = |outside: f64| {
            let (mut inside, mut outside) = (best, outside);
            for _ in 0..80 {
                let middle = f64::midpoint(inside, outside);
                if within(middle) { inside = middle } else { outside = middle }
            }
            inside
        };
        let from = if self.lower.is_finite() { edge(low_end) } else { f64::NEG_INFINITY };
        let to = if self.upper.is_finite() { edge(high_end) } else { f64::INFINITY };
        Some((from, to))
    }
}
