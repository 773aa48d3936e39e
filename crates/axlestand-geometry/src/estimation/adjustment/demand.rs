//! What is wanted of the angles.

use crate::estimation::Trouble;
use crate::estimation::conformity::Limits;

/// A combination of angles that is wanted at a target, within a tolerance.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// How it is called.
    pub name: String,
    /// How often each angle counts in it: (place among the angles, factor).
    pub combination: Vec<(usize, f64)>,
    /// What it should be, in the angles' unit.
    pub target: f64,
    /// How far off it may be, in the angles' unit, above nought: deviations are weighed against it.
    pub tolerance: f64,
}

/// Where the four toes stand among the angles.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SteeredAngles {
    /// Toe front left.
    pub front_left: usize,
    /// Toe front right.
    pub front_right: usize,
    /// Toe rear left.
    pub rear_left: usize,
    /// Toe rear right.
    pub rear_right: usize,
}

impl Demand {
    /// The name of [`Demand::steering_straight`].
    pub const STEERING_STRAIGHT: &'static str = "steering wheel straight";

    /// One angle at the middle of its limits, half their width its tolerance.
    ///
    /// # Errors
    /// [`Trouble::NotFinite`] for limits without a middle: those with one side only.
    pub fn angle(name: impl Into<String>, angle: usize, limits: Limits) -> Result<Self, Trouble> {
        let (name, value) = (name.into(), f64::INFINITY);
        let target = limits
            .middle()
            .ok_or_else(|| Trouble::NotFinite { what: format!("a limit of {name}"), value })?;
        let tolerance = (limits.upper() - limits.lower()) / 2.0;
        Ok(Self { name, combination: vec![(angle, 1.0)], target, tolerance })
    }

    /// The front wheels heading along the thrust line with the steering wheel where it was held: thrust
    /// less mean heading of the front wheels nought, give or take `tolerance` degrees at the road
    /// wheel. With the steering wheel held `off` degrees (to the left positive, at the road wheel: by
    /// the ratio less) it comes straight when it drives.
    #[must_use]
    pub fn steering_straight(toes: SteeredAngles, off: f64, tolerance: f64) -> Self {
        let combination = vec![
            (toes.rear_right, 0.5),
            (toes.rear_left, -0.5),
            (toes.front_right, -0.5),
            (toes.front_left, 0.5),
        ];
        Self { name: Self::STEERING_STRAIGHT.into(), combination, target: -off, tolerance }
    }

    pub(crate) fn check(&self, angles: usize) -> Result<(), Trouble> {
        Trouble::finite(&format!("the target of {}", self.name), self.target)?;
        Trouble::positive(&format!("the tolerance of {}", self.name), self.tolerance)?;
        for (angle, factor) in &self.combination {
            Trouble::finite(&format!("a factor of {}", self.name), *factor)?;
            if *angle >= angles {
                let what = format!("the angles that {} names", self.name);
                return Err(Trouble::Size { what, found: angle + 1, wanted: angles });
            }
        }
        Ok(())
    }
}
