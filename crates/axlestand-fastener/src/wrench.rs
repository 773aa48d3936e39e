//! Which torque wrench, what to set on it in its own units, and how far the clamp load then spreads.

mod budget;

use axlestand_quantity::{Torque, Unit};

use crate::adapter::{Adapter, AdapterError};
use crate::saturate;

pub use budget::{BudgetError, BudgetPart, Contribution, Spread, clamp_spread};

/// A click wrench below this share of its greatest torque is not to be trusted: ISO 6789 tests from
/// 20 % of the range on.
const CLICK_FROM: f64 = 0.2;
/// Torque up to which ISO 6789 allows the larger deviation.
const SMALL_WRENCH_NM: f64 = 10.0;
/// ISO 6789, type II class A: ±4 % above 10 N·m, ±6 % up to it.
const ISO_LIMIT: f64 = 0.04;
const ISO_LIMIT_SMALL: f64 = 0.06;
/// Half a step of the scale above this share of the torque is worth a remark.
const COARSE_STEP: f64 = 0.02;

/// How a torque wrench shows its torque.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WrenchKind {
    /// Set, then clicks.
    Click,
    /// A bending beam with a pointer.
    Beam,
    /// A dial.
    Dial,
    /// A display.
    Electronic,
}

/// How exact a torque wrench is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Accuracy {
    /// ISO 6789 class A: ±4 % where the wrench goes beyond 10 N·m, ±6 % otherwise.
    Iso6789,
    /// As stated by the maker, a share: 0.03 for ±3 %.
    Stated(f64),
}

/// Why a torque wrench was refused.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum WrenchError {
    /// A range that is none.
    #[error(
        "a torque wrench goes from a lowest mark, nought or more, to a higher one; {least} to {greatest} does not"
    )]
    Range {
        /// Lowest mark.
        least: Torque,
        /// Highest mark.
        greatest: Torque,
    },
    /// A step that is none.
    #[error("the step of the scale must be above nought and within the range; {0} is not")]
    Step(Torque),
    /// An accuracy that is none.
    #[error("an accuracy is a share between 0 and 0.5 (4 % is 0.04); {0} is not")]
    Accuracy(f64),
    /// A unit that measures no torque.
    #[error("a torque wrench is marked in N·m, lb·ft, lb·in or kgf·m")]
    Unit,
    /// What hangs on the wrench, or the torque itself.
    #[error(transparent)]
    Adapter(#[from] AdapterError),
}

/// A torque wrench as it hangs in the garage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TorqueWrench {
    kind: WrenchKind,
    least: Torque,
    greatest: Torque,
    step: Torque,
    unit: &'static Unit,
    accuracy: Accuracy,
}

/// Something to know before using a wrench for a torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Finding {
    /// Over the highest mark: never.
    AboveRange,
    /// Under the lowest mark: it does not show.
    BelowRange,
    /// A click wrench below a fifth of its range.
    BelowFifth,
    /// Half a step of the scale is this share of the torque.
    CoarseScale(f64),
}

/// A wrench judged for one torque.
#[derive(Debug, Clone, PartialEq)]
pub struct WrenchChoice {
    /// Place in the list that was given.
    pub index: usize,
    /// What to set or read, adapter and step of the scale taken in.
    pub setting: Torque,
    /// The same as a number in the wrench's own unit.
    pub in_own_unit: f64,
    /// The wrench's own unit.
    pub unit: &'static Unit,
    /// Limit of deviation of the wrench, a share.
    pub limit: f64,
    /// Half a step of the scale over the setting, a share.
    pub half_step: f64,
    /// What to know; empty for a good choice.
    pub findings: Vec<Finding>,
}

impl TorqueWrench {
    /// A wrench marked from `least` to `greatest` in steps of `step`, in `unit`.
    ///
    /// # Errors
    /// [`WrenchError`] for a range, step, unit or accuracy that is none.
    pub fn new(
        kind: WrenchKind,
        (least, greatest): (Torque, Torque),
        step: Torque,
        unit: &'static Unit,
        accuracy: Accuracy,
    ) -> Result<Self, WrenchError> {
        if !(least.nm() >= 0.0 && greatest > least) {
            return Err(WrenchError::Range { least, greatest });
        }
        if !(step.nm() > 0.0 && step <= greatest) {
            return Err(WrenchError::Step(step));
        }
        if unit.dimension != axlestand_quantity::Dimension::Torque {
            return Err(WrenchError::Unit);
        }
        match accuracy {
            Accuracy::Stated(share) if !(share > 0.0 && share < 0.5) => Err(WrenchError::Accuracy(share)),
            _ => Ok(Self { kind, least, greatest, step, unit, accuracy }),
        }
    }

    /// Limit of deviation as a share of the reading.
    #[must_use]
    pub fn limit(&self) -> f64 {
        match self.accuracy {
            Accuracy::Stated(share) => share,
            Accuracy::Iso6789 if self.greatest.nm() > SMALL_WRENCH_NM => ISO_LIMIT,
            Accuracy::Iso6789 => ISO_LIMIT_SMALL,
        }
    }

    /// Judges the wrench for a torque at the fastener.
    ///
    /// # Errors
    /// [`WrenchError::Adapter`] for a negative torque.
    pub fn judge(&self, target: Torque, adapter: Option<&Adapter>) -> Result<WrenchChoice, WrenchError> {
        let wanted = match adapter {
            Some(adapter) => adapter.setting(target)?,
            None => crate::tightening::checked_torque(target).map_err(AdapterError::from)?,
        };
        let steps = (wanted.nm() / self.step.nm()).round();
        let setting = saturate::torque(steps * self.step.nm());
        let half_step = if setting.nm() > 0.0 { 0.5 * self.step.nm() / setting.nm() } else { 1.0 };
        let mut findings = Vec::new();
        let slack = 1e-9 * self.greatest.nm();
        if setting.nm() > self.greatest.nm() + slack {
            findings.push(Finding::AboveRange);
        } else if setting.nm() < self.least.nm() - slack || setting.nm() <= 0.0 {
            findings.push(Finding::BelowRange);
        } else if self.kind == WrenchKind::Click && setting.nm() < CLICK_FROM * self.greatest.nm() - slack {
            findings.push(Finding::BelowFifth);
        }
        if half_step > COARSE_STEP {
            findings.push(Finding::CoarseScale(half_step));
        }
        Ok(WrenchChoice {
            index: 0,
            setting,
            in_own_unit: setting.nm() / self.unit.factor,
            unit: self.unit,
            limit: self.limit(),
            half_step,
            findings,
        })
    }
}

impl WrenchChoice {
    /// Whether the wrench can show the torque at all.
    #[must_use]
    pub fn usable(&self) -> bool {
        !self.findings.iter().any(|f| matches!(f, Finding::AboveRange | Finding::BelowRange))
    }

    /// The better wrench first: usable, without remarks, exact.
    fn rank(&self) -> (bool, usize, f64) {
        (!self.usable(), self.findings.len(), self.limit.hypot(self.half_step))
    }
}

/// Judges every wrench of a list for a torque at the fastener; the best comes first, those that
/// cannot show the torque last, with the reason.
///
/// # Errors
/// [`WrenchError::Adapter`] for a negative torque.
pub fn choose(
    wrenches: &[TorqueWrench],
    target: Torque,
    adapter: Option<&Adapter>,
) -> Result<Vec<WrenchChoice>, WrenchError> {
    let mut choices = Vec::with_capacity(wrenches.len());
    for (index, wrench) in wrenches.iter().enumerate() {
        choices.push(WrenchChoice { index, ..wrench.judge(target, adapter)? });
    }
    choices.sort_by(|a, b| {
        let (a, b) = (a.rank(), b.rank());
        a.0.cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.total_cmp(&b.2))
    });
    Ok(choices)
}

impl std::fmt::Display for Finding {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::AboveRange => f.write_str("over its highest mark: take a larger wrench"),
            Self::BelowRange => f.write_str("under its lowest mark: take a smaller wrench"),
            Self::BelowFifth => f.write_str(
                "below a fifth of its range, where a click wrench is not tested: take a smaller one",
            ),
            Self::CoarseScale(share) => {
                write!(f, "its scale is coarse here: half a step is {:.0} %", share * 100.0)
            }
        }
    }
}
