//! Wheels, axles and the car's size.

use crate::conventions::Side;
use crate::estimation::Trouble;

/// Front or rear.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Axle {
    /// The steered one.
    Front,
    /// The other one.
    Rear,
}

impl std::fmt::Display for Axle {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Front => "front",
            Self::Rear => "rear",
        })
    }
}

/// One of the four wheels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Wheel {
    /// Its axle.
    pub axle: Axle,
    /// Its side, as the driver sees it.
    pub side: Side,
}

impl Wheel {
    /// Front left, front right, rear left, rear right.
    pub const ALL: [Self; 4] = [
        Self { axle: Axle::Front, side: Side::Left },
        Self { axle: Axle::Front, side: Side::Right },
        Self { axle: Axle::Rear, side: Side::Left },
        Self { axle: Axle::Rear, side: Side::Right },
    ];

    /// The wheel of this axle and side.
    #[must_use]
    pub fn of(axle: Axle, side: Side) -> Self {
        Self { axle, side }
    }

    /// The wheel opposite on the same axle.
    #[must_use]
    pub fn opposite(self) -> Self {
        Self { side: self.side.other(), ..self }
    }

    /// Its place in [`Wheel::ALL`].
    #[must_use]
    pub(crate) fn place(self) -> usize {
        2 * usize::from(self.axle == Axle::Rear) + usize::from(self.side == Side::Right)
    }
}

impl std::fmt::Display for Wheel {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.axle, self.side)
    }
}

/// Front or rear edge of a rim.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Edge {
    /// Towards the front of the car.
    Front,
    /// Towards the rear.
    Rear,
}

impl Edge {
    /// +1 in front, −1 behind.
    pub(crate) fn sign(self) -> f64 {
        match self {
            Self::Front => 1.0,
            Self::Rear => -1.0,
        }
    }

    /// The other edge.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Front => Self::Rear,
            Self::Rear => Self::Front,
        }
    }
}

impl std::fmt::Display for Edge {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Front => "front edge",
            Self::Rear => "rear edge",
        })
    }
}

/// Nominal sizes, mm; a few centimetres off do no harm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CarSize {
    /// From front to rear axle.
    pub wheelbase: f64,
    /// Between the front hub faces.
    pub front_track: f64,
    /// Between the rear hub faces.
    pub rear_track: f64,
    /// Between the two places of a rim where it is read, front to rear edge.
    pub rim: f64,
}

impl CarSize {
    /// Refuses what cannot be a car.
    ///
    /// # Errors
    /// [`Trouble`] for a size that is none or not above nought.
    pub fn check(&self) -> Result<(), Trouble> {
        Trouble::positive("the wheelbase", self.wheelbase)?;
        Trouble::positive("the front track", self.front_track)?;
        Trouble::positive("the rear track", self.rear_track)?;
        Trouble::positive("the distance of the rim's edges", self.rim)
    }

    pub(crate) fn track(&self, axle: Axle) -> f64 {
        match axle {
            Axle::Front => self.front_track,
            Axle::Rear => self.rear_track,
        }
    }

    /// Place of an axle along the car: 0 in front, −wheelbase behind.
    pub(crate) fn x(&self, axle: Axle) -> f64 {
        match axle {
            Axle::Front => 0.0,
            Axle::Rear => -self.wheelbase,
        }
    }
}
