//! What to make of a converted torque.

use std::fmt;

use super::{ConversionRequest, Lubricate, Place};
use crate::friction::{Condition, Evidence};

/// Clamp loads nearer than this are the same for any wrench.
const SAME: f64 = 0.03;

/// Which way an unchanged torque goes wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Drift {
    /// Too much clamp load: the bolt stretches or the part cracks.
    OverTightens,
    /// Too little clamp load: the joint works loose.
    UnderTightens,
    /// No change worth setting.
    Same,
}

/// Whether a converted figure may be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Standing {
    /// The thread is as the specification wants it: use the specified torque.
    AsSpecified,
    /// Only where the maker allows another condition; many forbid it.
    AskTheMaker,
    /// Never raise a torque on a guessed friction: bring the thread to the specified condition.
    RestoreTheCondition,
    /// Do not convert: clean and dry the place, then use the specified torque.
    Never(Place),
    /// Lubricant belongs here but not on the thread: keep the thread clean and use the specified
    /// torque.
    KeepTheThreadClean(Place),
}

/// The advice that goes with a conversion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Advice {
    /// Whether the figure may be used.
    pub standing: Standing,
    /// Which way an unchanged torque goes wrong.
    pub drift: Drift,
    /// The weaker evidence of the two conditions.
    pub evidence: Evidence,
    from: Condition,
    to: Condition,
}

impl Standing {
    /// Whether a setting other than the specified one may be given.
    #[must_use]
    pub fn allows_setting(self) -> bool {
        matches!(self, Self::AsSpecified | Self::AskTheMaker)
    }
}

impl Advice {
    pub(super) fn of(request: &ConversionRequest, unchanged: f64, evidence: Evidence) -> Self {
        let ConversionRequest { from, to, place, .. } = *request;
        let drift = match unchanged {
            x if x > 1.0 + SAME => Drift::OverTightens,
            x if x < 1.0 - SAME => Drift::UnderTightens,
            _ => Drift::Same,
        };
        let standing = if from == to {
            Standing::AsSpecified
        } else {
            match place.lubricate() {
                Lubricate::AskTheMaker if drift == Drift::UnderTightens => Standing::RestoreTheCondition,
                Lubricate::AskTheMaker => Standing::AskTheMaker,
                Lubricate::Never => Standing::Never(place),
                Lubricate::Yes => Standing::KeepTheThreadClean(place),
            }
        };
        Self { standing, drift, evidence, from, to }
    }
}

impl fmt::Display for Advice {
    /// One to three sentences for the person with the wrench.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { from, to, .. } = self;
        match self.standing {
            Standing::AsSpecified => write!(f, "Thread as specified ({from}): set the specified torque."),
            Standing::Never(place) => write!(
                f,
                "Never convert at a {place}: {}. Bring it back to {from} and set the specified torque.",
                place.reason()
            ),
            Standing::KeepTheThreadClean(place) => write!(
                f,
                "At a {place} the thread stays {from}: {}. Wipe the thread and set the specified torque.",
                place.reason()
            ),
            Standing::RestoreTheCondition => write!(
                f,
                "The value is for {from}, the thread here is {to}: it would clamp too little. Do not raise a \
                 torque on a guess; make the thread as specified or fit the specified fastener."
            ),
            Standing::AskTheMaker => self.conversion(f),
        }
    }
}

impl Advice {
    fn conversion(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { from, to, .. } = self;
        write!(f, "The value is for {from}, the thread here is {to}")?;
        f.write_str(if self.drift == Drift::OverTightens {
            ": the full torque would over-tighten it and stretch the bolt."
        } else {
            ", which changes little."
        })?;
        f.write_str(if to.is_lubricated() {
            " Many makers forbid lubricant; cleaning the thread is the sure way."
        } else {
            " Many makers forbid another condition; the specified fastener is the sure way."
        })?;
        if self.evidence == Evidence::Weak {
            f.write_str(" The friction figures here are weak.")?;
        }
        Ok(())
    }
}
