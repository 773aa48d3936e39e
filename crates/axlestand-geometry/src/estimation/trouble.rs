//! Why there is no estimate.

/// A question that has no answer as it was put; each says what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Trouble {
    /// Nothing to find.
    #[error("there is no unknown to estimate; name at least one")]
    NoUnknowns,
    /// A number that is none.
    #[error("{what} is {value}, not an ordinary number; enter it again")]
    NotFinite {
        /// Which number.
        what: String,
        /// What it is.
        value: f64,
    },
    /// A number beyond what it can be.
    #[error("{what} is {value}; it has to lie within {least} and {most}")]
    OutOfRange {
        /// Which number.
        what: String,
        /// What it is.
        value: f64,
        /// The least it may be.
        least: f64,
        /// The most it may be.
        most: f64,
    },
    /// An uncertainty, size or width that is nought or negative.
    #[error("{what} is {value}; it has to be above nought")]
    NotPositive {
        /// Which number.
        what: String,
        /// What it is.
        value: f64,
    },
    /// A list or matrix of another size than it has to be.
    #[error("{what} has {found} entries, {wanted} are needed")]
    Size {
        /// Which list.
        what: String,
        /// How many there are.
        found: usize,
        /// How many have to be there.
        wanted: usize,
    },
    /// Correlations that cannot be.
    #[error(
        "the correlations of the readings contradict each other (no such readings can exist); check their \
         signs and sizes, each within ±1"
    )]
    Correlations,
    /// A model that has no value where it is needed.
    #[error(
        "{what} cannot be computed from the values the estimate starts or ends with; check the start values"
    )]
    Undefined {
        /// Reading or answer.
        what: String,
    },
    /// The search came to no end.
    #[error(
        "no fit was found in {iterations} steps (misfit {cost:.4e}, the next step would still move by \
         {step_sigmas:.1e} standard uncertainties); check the start values and the largest residuals: {}",
        .worst.join(", ")
    )]
    NotConverged {
        /// How many steps were tried.
        iterations: usize,
        /// Weighted sum of squares reached.
        cost: f64,
        /// Length of the next step in standard uncertainties of the result.
        step_sigmas: f64,
        /// The readings that fit worst there.
        worst: Vec<String>,
    },
    /// Readings and priors together leave something open.
    #[error(
        "the readings do not determine {}; add a reading that depends on it",
        .unknowns.join(", ")
    )]
    Undetermined {
        /// What stays open, most affected first.
        unknowns: Vec<String>,
    },
}

impl Trouble {
    /// Refuses what is not an ordinary number.
    pub(crate) fn finite(what: &str, value: f64) -> Result<(), Self> {
        if value.is_finite() { Ok(()) } else { Err(Self::NotFinite { what: what.to_owned(), value }) }
    }

    /// Refuses what is not an ordinary number above nought.
    pub(crate) fn positive(what: &str, value: f64) -> Result<(), Self> {
        Self::finite(what, value)?;
        if value > 0.0 { Ok(()) } else { Err(Self::NotPositive { what: what.to_owned(), value }) }
    }

    /// Refuses what is not an ordinary number or lies outside `least` to `most`.
    pub(crate) fn within(what: &str, value: f64, least: f64, most: f64) -> Result<(), Self> {
        if value.is_nan() {
            return Err(Self::NotFinite { what: what.to_owned(), value });
        }
        let fine = (least..=most).contains(&value);
        if fine { Ok(()) } else { Err(Self::OutOfRange { what: what.to_owned(), value, least, most }) }
    }

    /// Refuses a list of another length.
    pub(crate) fn size(what: &str, found: usize, wanted: usize) -> Result<(), Self> {
        if found == wanted { Ok(()) } else { Err(Self::Size { what: what.to_owned(), found, wanted }) }
    }
}
