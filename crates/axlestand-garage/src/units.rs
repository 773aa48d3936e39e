//! The user's units at the edge. Stored values stay in mm, °, N·m.

use axlestand_model::car::{TorqueSpec, TorqueStep};
use axlestand_quantity::{Dimension, Torque};

/// Which units are shown first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// Millimetres and newton metres, with lb·ft behind.
    #[default]
    Metric,
    /// Inches and pound-feet, with N·m behind.
    Inch,
}

impl Units {
    /// A torque in the user's unit, the other one in brackets.
    #[must_use]
    pub fn torque(self, torque: Torque) -> String {
        let (nm, lb_ft) = (torque.nm(), torque.lb_ft());
        match self {
            Self::Metric => format!("{torque} ({})", whole(lb_ft, "lb·ft")),
            Self::Inch => format!("{} ({})", whole(lb_ft, "lb·ft"), whole(nm, "N·m")),
        }
    }

    /// A torque in the user's unit alone.
    #[must_use]
    pub fn short_torque(self, torque: Torque) -> String {
        match self {
            Self::Metric => torque.to_string(),
            Self::Inch => whole(torque.lb_ft(), "lb·ft"),
        }
    }

    /// A torque in the user's unit and in the other one.
    #[must_use]
    pub fn figure(self, torque: Torque) -> (String, String) {
        let (nm, lb_ft) = (torque.to_string(), whole(torque.lb_ft(), "lb·ft"));
        match self {
            Self::Metric => (nm, lb_ft),
            Self::Inch => (lb_ft, nm),
        }
    }

    /// The steps of a specification in the user's unit.
    #[must_use]
    pub fn steps(self, spec: &TorqueSpec) -> String {
        let step = |step: &TorqueStep| match step {
            TorqueStep::To(torque) => self.torque(*torque),
            TorqueStep::On(angle) => format!("then {angle}"),
        };
        spec.steps.iter().map(step).collect::<Vec<_>>().join(", ")
    }

    /// A reading: value and standard uncertainty in the project's own unit.
    #[must_use]
    pub fn reading(self, dimension: Dimension, value: f64, u: f64) -> String {
        let (factor, unit) = match (self, dimension) {
            (Self::Inch, Dimension::Length) => (1.0 / 25.4, " in"),
            (_, Dimension::Angle) => (1.0, "°"),
            _ => (1.0, " mm"),
        };
        axlestand_quantity::Uncertain::new(value * factor, u * factor)
            .map_or_else(|_| format!("{value}{unit}"), |uncertain| format!("{uncertain}{unit}"))
    }
}

/// A number with no more places than a wrench can be set to: one below ten, none above.
fn whole(value: f64, unit: &str) -> String {
    if value.abs() < 10.0 { format!("{value:.1} {unit}") } else { format!("{value:.0} {unit}") }
}
