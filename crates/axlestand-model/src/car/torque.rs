//! Torque specifications: steps of torque and angle, condition, car state, provenance.

use crate::provenance::Provenance;
use crate::words::{CarState, Condition, Origin};
use axlestand_quantity::{Angle, Dimension, ParseQuantityError, Torque};

/// One step of a tightening specification.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TorqueStep {
    /// Tighten to this torque.
    To(Torque),
    /// Turn on by this angle.
    On(Angle),
}

impl std::fmt::Display for TorqueStep {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::To(torque) => write!(f, "{torque}"),
            Self::On(angle) => write!(f, "{angle}"),
        }
    }
}

/// What the final torque of a fastener is, and when it counts.
#[derive(Debug, Clone, PartialEq)]
pub struct TorqueSpec {
    /// The steps in order; empty where the owner still has to look the value up.
    pub steps: Vec<TorqueStep>,
    /// The thread condition for which the value holds.
    pub condition: Option<Condition>,
    /// The car state in which the final torque is due; `None`: as soon as it is fitted.
    pub state: Option<CarState>,
    /// Where the value comes from.
    pub provenance: Provenance,
    /// Where in a service manual such a value usually stands.
    pub look_in: Option<String>,
}

impl TorqueSpec {
    /// A final torque of which nothing is known yet.
    #[must_use]
    pub fn to_look_up() -> Self {
        Self {
            steps: Vec::new(),
            condition: None,
            state: None,
            provenance: Provenance::typical(),
            look_in: None,
        }
    }

    /// Whether a value is there that the owner may work to.
    #[must_use]
    pub fn is_settled(&self) -> bool {
        // A torque is specified, not measured at the car.
        !self.steps.is_empty()
            && self.provenance.origin != Origin::Measured
            && self.provenance.may_be_worked_to()
    }

    /// The steps as text: `50 N·m + 90°`.
    #[must_use]
    pub fn steps_text(&self) -> String {
        steps_text(&self.steps)
    }

    /// The largest torque among the steps, which decides the wrench.
    #[must_use]
    pub fn largest(&self) -> Option<Torque> {
        self.steps
            .iter()
            .filter_map(|step| match step {
                TorqueStep::To(torque) => Some(*torque),
                TorqueStep::On(_) => None,
            })
            .reduce(|a, b| if b > a { b } else { a })
    }
}

fn steps_text(steps: &[TorqueStep]) -> String {
    steps.iter().map(ToString::to_string).collect::<Vec<_>>().join(" + ")
}

/// Reads `140 N·m`, `50 N·m + 90°`, `30 N·m + 60 N·m + 90° + 90°`: torques first, then angles.
///
/// # Errors
/// A sentence that says which step is wrong and what would be right.
pub fn parse_steps(text: &str) -> Result<Vec<TorqueStep>, String> {
    if ["±", "+-", "+/-"].iter().any(|mark| text.contains(mark)) {
        return Err(format!("'{text}' has a tolerance; write the middle value alone, like '140 N·m'"));
    }
    let mut steps = Vec::new();
    for piece in text.split('+') {
        steps.push(parse_step(piece.trim(), &steps)?);
    }
    if steps.iter().all(|step| matches!(step, TorqueStep::On(_))) {
        return Err(format!("'{text}' has an angle but no torque before it; write '50 N·m + 90°'"));
    }
    Ok(steps)
}

fn parse_step(piece: &str, before: &[TorqueStep]) -> Result<TorqueStep, String> {
    if let Ok(angle) = Dimension::Angle.parse(piece) {
        let angle = Angle::from_deg(angle.value).map_err(|e| e.to_string())?;
        return if angle.deg() > 0.0 && angle.deg() <= 720.0 {
            Ok(TorqueStep::On(angle))
        } else {
            Err(format!("a turn of {angle} is not possible; write an angle between 0° and 720°"))
        };
    }
    let torque: Torque = piece.parse().map_err(|why: ParseQuantityError| match why {
        ParseQuantityError::NoUnit { .. } if !before.is_empty() => {
            format!("'{piece}' has no unit; write an angle like '90°', a torque like '60 N·m'")
        }
        why => why.to_string(),
    })?;
    if torque.nm() <= 0.0 || torque.nm() > 2000.0 {
        return Err(format!(
            "a torque of {torque} is not possible on a car; write one between 0 and 2000 N·m"
        ));
    }
    if before.iter().any(|step| matches!(step, TorqueStep::On(_))) {
        return Err(format!("'{piece}' comes after an angle; torques come first, then angles"));
    }
    if let Some(TorqueStep::To(last)) = before.last()
        && torque <= *last
    {
        return Err(format!(
            "'{piece}' does nothing after {last}; each step must be higher than the one before"
        ));
    }
    Ok(TorqueStep::To(torque))
}

impl std::fmt::Display for TorqueSpec {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.steps.is_empty() {
            return f.write_str("look it up");
        }
        f.write_str(&self.steps_text())?;
        if let Some(condition) = self.condition {
            write!(f, ", {}", condition.phrase())?;
        }
        Ok(())
    }
}
