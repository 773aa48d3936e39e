//! Torque, then angle: snug first, then a turn that no longer depends on friction.

use axlestand_quantity::{Angle, Force, Torque};

use super::{Joint, TighteningError, checked_force};
use crate::friction::Friction;
use crate::saturate;

/// A two-step specification: a torque to snug, then an angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SnugAndTurn {
    /// Torque of the first step.
    pub snug: Torque,
    /// Angle of the second step, from snug.
    pub turn: Angle,
}

/// What the two steps do, as far as it can be said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AngleTightening {
    /// Clamp load after the first step.
    pub after_snug: Force,
    /// Clamp load after the turn, held at the yield load: past yield a turn adds length, hardly load.
    pub after_turn: Force,
    /// Whether the turn takes the bolt past yield. Such a bolt is used once.
    pub past_yield: bool,
}

impl Joint {
    /// Clamp load of torque plus angle, with the joint's stiffness as preload per degree
    /// (see [`crate::stiffness`]) and the load at which the bolt yields.
    ///
    /// The linear figure is an upper bound: settling faces, bushes and tapers are far softer.
    ///
    /// # Errors
    /// [`TighteningError`] for a negative torque, angle or force.
    pub fn torque_then_angle(
        self,
        steps: SnugAndTurn,
        mu: Friction,
        per_degree: Force,
        yield_load: Force,
    ) -> Result<AngleTightening, TighteningError> {
        if steps.turn.deg() < 0.0 {
            return Err(TighteningError::NegativeAngle(steps.turn));
        }
        let after_snug = self.preload(steps.snug, mu)?;
        let added = checked_force(per_degree)?.n() * steps.turn.deg();
        let reached = after_snug + saturate::force(added);
        let limit = checked_force(yield_load)?;
        let past_yield = reached >= limit;
        let after_turn = if past_yield { limit } else { reached };
        Ok(AngleTightening { after_snug, after_turn, past_yield })
    }
}
