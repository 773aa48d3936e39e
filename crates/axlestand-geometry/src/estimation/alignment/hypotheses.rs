//! What may have been mixed up where the readings do not fit as they were entered.

use super::car::{Axle, Wheel};
use super::reading::{Kind, Taken};

/// Two things that may have been taken for each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mixup {
    /// Left and right gaps to the strings of one axle.
    StringSides(Axle),
    /// Front and rear gaps of one rim.
    Edges(Wheel),
    /// The spacings of the strings in front and behind.
    Spacings,
    /// The two tapes of the toe plates or the trammel of one axle.
    Tapes(Axle),
    /// Left and right camber of one axle.
    CamberSides(Axle),
    /// The direction in which floor heights were counted.
    FloorSign,
}

impl std::fmt::Display for Mixup {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::StringSides(axle) => write!(f, "left and right gaps of the {axle} axle swapped"),
            Self::Edges(wheel) => write!(f, "front and rear edge of the {wheel} rim swapped"),
            Self::Spacings => f.write_str("the spacings of the strings in front and behind swapped"),
            Self::Tapes(axle) => write!(f, "front and rear tape of the {axle} toe plates or trammel swapped"),
            Self::CamberSides(axle) => write!(f, "left and right camber of the {axle} axle swapped"),
            Self::FloorSign => f.write_str("all floor heights counted the other way"),
        }
    }
}

impl Mixup {
    /// Every one that is looked at.
    pub(crate) fn all() -> Vec<Self> {
        let axles = [Axle::Front, Axle::Rear];
        let mut all = vec![Self::Spacings, Self::FloorSign];
        all.extend(
            axles.iter().flat_map(|a| [Self::StringSides(*a), Self::Tapes(*a), Self::CamberSides(*a)]),
        );
        all.extend(Wheel::ALL.iter().map(|w| Self::Edges(*w)));
        all
    }

    /// The readings as they would be without the mix-up; `None` where it touches none.
    pub(crate) fn undone(self, readings: &[Taken]) -> Option<Vec<Taken>> {
        let mut changed = false;
        let mut out: Vec<Taken> = readings.to_vec();
        for taken in &mut out {
            changed |= self.swap(&mut taken.kind, readings);
        }
        changed.then_some(out)
    }

    fn swap(self, kind: &mut Kind, readings: &[Taken]) -> bool {
        match (self, kind) {
            (Self::StringSides(axle), Kind::RimGap { wheel, .. } | Kind::HubGap { wheel, .. })
            | (Self::CamberSides(axle), Kind::Camber { wheel, .. })
                if wheel.axle == axle =>
            {
                *wheel = wheel.opposite();
                true
            }
            (Self::Edges(wheel), Kind::RimGap { wheel: w, edge, .. }) if *w == wheel => {
                *edge = edge.other();
                true
            }
            (
                Self::Tapes(axle),
                Kind::ToePlates { axle: a, front, rear, .. } | Kind::Trammel { axle: a, front, rear, .. },
            ) if *a == axle => {
                std::mem::swap(front, rear);
                true
            }
            (Self::FloorSign, Kind::FloorStep { rise, .. }) => {
                *rise = -*rise;
                true
            }
            (Self::Spacings, Kind::StringSpacing { ahead, .. }) => {
                // The other place at which a spacing was read.
                let other = readings.iter().find_map(|t| match t.kind {
                    Kind::StringSpacing { ahead: a, .. } if (a - *ahead).abs() > 1.0 => Some(a),
                    _ => None,
                });
                other.is_some_and(|a| {
                    *ahead = a;
                    true
                })
            }
            _ => false,
        }
    }
}
