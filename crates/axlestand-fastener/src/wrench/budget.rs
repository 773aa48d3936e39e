//! The spread of clamp load: an uncertainty budget, combined as a root sum of squares (JCGM
//! 100:2008, 5.1.2), not as a sum. Limits are taken as even distributions (÷√3, 4.3.7).

use axlestand_quantity::{Force, Torque};

use super::WrenchChoice;
use crate::friction::FrictionRange;
use crate::interval::Interval;
use crate::saturate;
use crate::tightening::{Joint, TighteningError};

/// Half-width of an even distribution over its standard deviation, √3.
const EVEN: f64 = 1.732_050_807_568_877_2;
/// Coverage factor of the expanded figure, about 95 %.
const COVERAGE: f64 = 2.0;

/// Why no spread was computed.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum BudgetError {
    /// The torque itself.
    #[error(transparent)]
    Tightening(#[from] TighteningError),
    /// No torque, no clamp load.
    #[error("a torque of nought clamps nothing; give the torque at the fastener")]
    NoTorque,
}

/// What makes clamp load spread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Contribution {
    /// The wrench's limit of deviation.
    Wrench,
    /// Setting or reading its scale, half a step each way.
    Scale,
    /// Friction in the thread and under the head.
    Friction,
}

/// One part of the budget.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BudgetPart {
    /// What it is.
    pub contribution: Contribution,
    /// Half-width over the clamp load, a share.
    pub half_width: f64,
    /// Standard uncertainty over the clamp load, a share.
    pub standard: f64,
}

/// The spread of clamp load at one torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// The parts.
    pub parts: [BudgetPart; 3],
    /// Combined standard uncertainty, a share of the clamp load.
    pub standard: f64,
    /// Expanded uncertainty (k = 2, about 95 %), a share of the clamp load.
    pub expanded: f64,
    /// Clamp load with its expanded uncertainty, not below nought.
    pub clamp: Interval<Force>,
}

/// The spread of clamp load where `torque` reaches the fastener, with the wrench that was chosen and
/// the friction of the thread as it is. Settling (2 to 10 % after NASA NSTS 08307) comes on top.
///
/// # Errors
/// [`BudgetError`] for a torque of nought or less.
pub fn clamp_spread(
    joint: Joint,
    torque: Torque,
    friction: &FrictionRange,
    wrench: &WrenchChoice,
) -> Result<Spread, BudgetError> {
    let range = joint.preload_range(torque, friction)?;
    let middle = range.point().n();
    if middle <= 0.0 {
        return Err(BudgetError::NoTorque);
    }
    let half = 0.5 * (range.high().n() - range.low().n()) / middle;
    let part =
        |contribution, half_width: f64| BudgetPart { contribution, half_width, standard: half_width / EVEN };
    let parts = [
        part(Contribution::Wrench, wrench.limit),
        part(Contribution::Scale, wrench.half_step),
        part(Contribution::Friction, half),
    ];
    let standard = parts.iter().map(|p| p.standard * p.standard).sum::<f64>().sqrt();
    let expanded = COVERAGE * standard;
    let at = |factor: f64| saturate::force(middle * factor.max(0.0));
    let clamp = Interval::hull(at(1.0 - expanded), range.point(), at(1.0 + expanded));
    Ok(Spread { parts, standard, expanded, clamp })
}
