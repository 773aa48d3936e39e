//! A value with its standard uncertainty.

/// Why an [`Uncertain`] was refused.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum UncertainError {
    /// Value or uncertainty is NaN or infinite.
    #[error("value and uncertainty must be ordinary numbers")]
    NotFinite,
    /// The uncertainty is below nought.
    #[error("an uncertainty cannot be negative (it is {0})")]
    Negative(f64),
}

/// A number with its standard uncertainty `u` (JCGM 100:2008, 2.3.1: one standard deviation), both
/// in the same unit, which the owner of the value knows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertain {
    value: f64,
    u: f64,
}

impl Uncertain {
    /// A value with standard uncertainty `u >= 0` in the same unit.
    ///
    /// # Errors
    /// [`UncertainError`] where either number is not finite or `u` is negative.
    pub fn new(value: f64, u: f64) -> Result<Self, UncertainError> {
        if !(value.is_finite() && u.is_finite()) {
            Err(UncertainError::NotFinite)
        } else if u < 0.0 {
            Err(UncertainError::Negative(u))
        } else {
            Ok(Self { value, u })
        }
    }

    /// The best value.
    #[must_use]
    pub fn value(self) -> f64 {
        self.value
    }

    /// The standard uncertainty.
    #[must_use]
    pub fn u(self) -> f64 {
        self.u
    }

    /// The difference of two independent values: uncertainties add as a root sum of squares
    /// (JCGM 100:2008, 5.1.2).
    #[must_use]
    pub fn minus(self, other: Self) -> Self {
        Self { value: self.value - other.value, u: self.u.hypot(other.u) }
    }
}

impl std::fmt::Display for Uncertain {
    /// `612 ± 1`, `0.30 ± 0.08`: the uncertainty to two significant figures, the value to the same
    /// decimal place (JCGM 100:2008, 7.2.6), both without noughts that neither needs.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.u <= 0.0 {
            return write!(f, "{}", self.value);
        }
        let places = (1.0 - self.u.log10().floor()).clamp(0.0, 9.0) as usize;
        let (value, u) = (format!("{:.places$}", self.value), format!("{:.places$}", self.u));
        let decimals = decimals_needed(&value).max(decimals_needed(&u));
        write!(f, "{} ± {}", cut(&value, decimals), cut(&u, decimals))
    }
}

/// Decimals of a number without the noughts at its end.
fn decimals_needed(number: &str) -> usize {
    number.split_once('.').map_or(0, |(_, decimals)| decimals.trim_end_matches('0').len())
}

/// A number with so many of its decimals; nought has no sign.
fn cut(number: &str, kept: usize) -> String {
    let Some((whole, decimals)) = number.split_once('.') else { return number.to_owned() };
    let text = if kept == 0 { whole.to_owned() } else { format!("{whole}.{}", &decimals[..kept]) };
    if text.contains(|c: char| c.is_ascii_digit() && c != '0') { text } else { text.replace('-', "") }
}
