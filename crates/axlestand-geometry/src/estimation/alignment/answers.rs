//! What is told about the wheels.

use super::car::{Axle, CarSize, Wheel};
use super::unknowns;
use crate::conventions::Side;
use crate::estimation::{Differentiated, Formula, Function, Linear};
use crate::mathematics::Scalar;

/// A quantity of the alignment. Degrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Toe of a wheel, toe-in positive.
    Toe(Wheel),
    /// Camber of a wheel, top outward positive.
    Camber(Wheel),
    /// Caster, top rearward positive.
    Caster(Side),
    /// Sum of the toes of an axle.
    TotalToe(Axle),
    /// Half of left less right toe of an axle.
    ToeSplit(Axle),
    /// Left less right camber of an axle.
    CamberDifference(Axle),
    /// Left less right caster.
    CasterDifference,
    /// Thrust angle, to the left positive.
    Thrust,
    /// Set-back of an axle: positive with the left wheel ahead of the right one.
    SetBack(Axle),
    /// How far the steering wheel stands off its middle when the car runs straight, to the left
    /// positive.
    SteeringWheel,
}

impl std::fmt::Display for Quantity {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Toe(wheel) => write!(f, "toe {wheel}"),
            Self::Camber(wheel) => write!(f, "camber {wheel}"),
            Self::Caster(side) => write!(f, "caster {side}"),
            Self::TotalToe(axle) => write!(f, "total toe {axle}"),
            Self::ToeSplit(axle) => write!(f, "toe split {axle}"),
            Self::CamberDifference(axle) => write!(f, "camber left less right, {axle}"),
            Self::CasterDifference => f.write_str("caster left less right"),
            Self::Thrust => f.write_str("thrust angle"),
            Self::SetBack(axle) => write!(f, "set-back {axle}"),
            Self::SteeringWheel => f.write_str("steering wheel off straight"),
        }
    }
}

/// How the steering wheel was held while the front wheels were read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteeringWheel {
    /// Where it stood, degrees from its middle, to the left positive.
    pub held: f64,
    /// Standard uncertainty of that, degrees.
    pub u: f64,
    /// Degrees of steering wheel for one degree of road wheel.
    pub ratio: f64,
}

/// A quantity that is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// Which.
    pub quantity: Quantity,
    /// Its value, degrees.
    pub value: f64,
    /// Its standard uncertainty, degrees.
    pub u: f64,
    /// The share of its variance that comes from anything assumed: run-out, floor, strings, gauge.
    pub prior_share: f64,
}

/// A quantity that cannot be told from the readings.
#[derive(Debug, Clone, PartialEq)]
pub struct NotKnown {
    /// Which.
    pub quantity: Quantity,
    /// The share of its variance that is no more than what any car could have.
    pub typical_share: f64,
}

/// Angle of an axle askew by p₀ over its track, degrees.
struct Askew(f64);

impl Formula for Askew {
    fn at<S: Scalar>(&self, p: &[S]) -> S {
        p[0].atan2(S::constant(self.0)).in_degrees()
    }
}

impl Quantity {
    /// Every quantity, in the order in which they are told.
    pub(crate) fn all(lengthwise: bool, steering: Option<SteeringWheel>) -> Vec<Self> {
        let axles = [Axle::Front, Axle::Rear];
        let mut out: Vec<Self> = Wheel::ALL.iter().map(|w| Self::Toe(*w)).collect();
        out.extend(axles.map(Self::TotalToe));
        out.extend(axles.map(Self::ToeSplit));
        out.push(Self::Thrust);
        out.extend(Wheel::ALL.map(Self::Camber));
        out.extend(axles.map(Self::CamberDifference));
        out.extend([Side::Left, Side::Right].map(Self::Caster));
        out.push(Self::CasterDifference);
        if lengthwise {
            out.extend(axles.map(Self::SetBack));
        }
        if steering.is_some() {
            out.push(Self::SteeringWheel);
        }
        out
    }

    /// The quantity as a function of the unknowns. The steering wheel's own uncertainty is not in it.
    pub(crate) fn function(self, size: &CarSize, steering: Option<SteeringWheel>) -> Function<'static> {
        let name = self.to_string();
        if let Self::SetBack(axle) = self {
            let inputs = vec![unknowns::skew(axle)];
            return Function::new(name, Differentiated { formula: Askew(size.track(axle)), inputs });
        }
        Function::new(name, self.linear(steering))
    }

    fn linear(self, steering: Option<SteeringWheel>) -> Linear {
        let toe = |axle, side| unknowns::toe(Wheel::of(axle, side));
        let camber = |axle, side| unknowns::camber(Wheel::of(axle, side));
        let (l, r) = (Side::Left, Side::Right);
        match self {
            Self::Toe(wheel) => Linear::of(&[(unknowns::toe(wheel), 1.0)]),
            Self::Camber(wheel) => Linear::of(&[(unknowns::camber(wheel), 1.0)]),
            Self::Caster(side) => Linear::of(&[(unknowns::caster(side), 1.0)]),
            Self::TotalToe(axle) => Linear::of(&[(toe(axle, l), 1.0), (toe(axle, r), 1.0)]),
            Self::ToeSplit(axle) => Linear::of(&[(toe(axle, l), 0.5), (toe(axle, r), -0.5)]),
            Self::CamberDifference(axle) => Linear::of(&[(camber(axle, l), 1.0), (camber(axle, r), -1.0)]),
            Self::CasterDifference => Linear::of(&[(unknowns::caster(l), 1.0), (unknowns::caster(r), -1.0)]),
            Self::Thrust => Linear::of(&[(toe(Axle::Rear, r), 0.5), (toe(Axle::Rear, l), -0.5)]),
            Self::SetBack(axle) => Linear::of(&[(unknowns::skew(axle), 1.0)]),
            Self::SteeringWheel => {
                // Front wheels have to head along the thrust line: thrust less their mean heading,
                // (right − left toe)/2, is still to be steered.
                let (ratio, held) = steering.map_or((0.0, 0.0), |s| (s.ratio, s.held));
                let terms = vec![
                    (toe(Axle::Rear, r), 0.5 * ratio),
                    (toe(Axle::Rear, l), -0.5 * ratio),
                    (toe(Axle::Front, r), -0.5 * ratio),
                    (toe(Axle::Front, l), 0.5 * ratio),
                ];
                Linear { constant: held, terms }
            }
        }
    }
}
