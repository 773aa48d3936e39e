//! Why a mechanism cannot be where it was asked to be.

use super::layout::{Member, in_words};
use super::row::{Row, matrix};
use crate::mathematics::{Lu, Pose};
use axlestand_quantity::Lengths;

/// Where a corner was asked to be: wheel travel and rack travel, mm. For an axle the travels of
/// its left and right wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Input {
    /// Wheel travel; an axle's left wheel.
    pub travel: f64,
    /// Rack travel; an axle's right wheel.
    pub rack: f64,
}

impl Input {
    /// Both travels with this unit: `30.0/0.0 mm`.
    fn said(self, lengths: Lengths) -> String {
        let (travel, places, unit) = lengths.figure(self.travel, 1);
        let (rack, ..) = lengths.figure(self.rack, 1);
        format!("{travel:.places$}/{rack:.places$} {unit}")
    }
}

/// A part whose length has ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Extended {
    /// The damper or strut is asked to be longer than fully extended.
    DamperOpen,
    /// The damper or strut is asked to be shorter than closed.
    DamperClosed,
    /// The drive axle is pulled out of its plunging joint.
    AxleOut,
    /// The drive axle is pushed against the end of its plunging joint.
    AxleIn,
}

impl std::fmt::Display for Extended {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::DamperOpen => "the damper would have to be longer than fully extended",
            Self::DamperClosed => "the damper would have to be shorter than its closed length",
            Self::AxleOut => "the drive axle would come out of its plunging joint",
            Self::AxleIn => "the drive axle would push against the end of its plunging joint",
        })
    }
}

/// A state the mechanism cannot take, or not in the way it is built. Positions are travel/rack.
#[derive(Debug, Clone, PartialEq)]
pub enum Trouble {
    /// Toggle: members stand in line and no longer hold the wheel.
    Singular {
        /// Where.
        at: Input,
        /// The members that stand in line.
        members: Vec<Member>,
    },
    /// The links do not reach.
    Unreachable {
        /// Where it was asked to be.
        asked: Input,
        /// How far it came.
        reached: Input,
        /// The members that stop it.
        members: Vec<Member>,
    },
    /// A twist beam's arms do not reach.
    ArmTooShort {
        /// Where it was asked to be.
        asked: Input,
    },
    /// A position that closes all links but is another way to put the parts together.
    WrongBranch {
        /// Where it was asked to be.
        asked: Input,
        /// Turn from the neighbour, degrees.
        turned_deg: f64,
        /// Motion of the wheel centre from the neighbour, mm.
        moved_mm: f64,
    },
    /// A damper or drive axle past one of its ends.
    OverExtended {
        /// Where it was asked to be.
        asked: Input,
        /// Which part, which end.
        part: Extended,
        /// By how much, mm.
        by_mm: f64,
    },
    /// The damper's mounts are nowhere as far apart as asked.
    NeverThatLong {
        /// The distance asked for, mm.
        length: f64,
        /// The distance where the search ended, mm.
        nearest: f64,
        /// The wheel travel there, mm.
        travel: f64,
    },
    /// The bar's link cannot follow.
    BarOverCentre {
        /// Where it was asked to be.
        asked: Input,
    },
    /// An input or a result that is not an ordinary number.
    NotANumber {
        /// Which one.
        what: &'static str,
    },
}

impl Trouble {
    /// The same in words, with lengths in this unit.
    #[must_use]
    pub fn said(&self, lengths: Lengths) -> String {
        let at = |input: &Input| input.said(lengths);
        match self {
            Self::Singular { at: here, members } => format!(
                "at {} the links pass dead centre: {} no longer hold the wheel; keep travel and steering away from \
                 there or check these points",
                at(here),
                in_words(members)
            ),
            Self::Unreachable { asked, reached, members } => format!(
                "{} cannot be reached; the links end at {}, where {} are stretched or in line; check these points and \
                 lengths if the real car gets there",
                at(asked),
                at(reached),
                in_words(members)
            ),
            Self::ArmTooShort { asked } => format!(
                "{} cannot be reached: the beam's arms are too short for it; check beam pivot and wheel centre if the \
                 real car gets there",
                at(asked)
            ),
            Self::WrongBranch { asked, turned_deg, moved_mm } => format!(
                "at {} the links settle another way round than the car's ({turned_deg:.1}° and {} from its \
                 neighbour); start from a neighbouring position",
                at(asked),
                lengths.said(*moved_mm, 0)
            ),
            Self::OverExtended { asked, part, by_mm } => format!(
                "at {} {part}, by {}; the wheel does not get there with these parts",
                at(asked),
                lengths.said(*by_mm, 1)
            ),
            Self::NeverThatLong { length, nearest, travel } => format!(
                "the damper's mounts are {} apart at no wheel travel; looked last at {}, where it is {}; check the \
                 damper's length and its mounts",
                lengths.said(*length, 1),
                lengths.said(*travel, 1),
                lengths.said(*nearest, 1)
            ),
            Self::BarOverCentre { asked } => format!(
                "at {} the anti-roll bar's link is over centre; check bar arm, link length and link joint",
                at(asked)
            ),
            Self::NotANumber { what } => {
                format!("{what} is not an ordinary number; check the figures that went in")
            }
        }
    }
}

impl std::fmt::Display for Trouble {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.said(Lengths::Millimetres))
    }
}

impl std::error::Error for Trouble {}

/// The members that stand in line at a pose: those that carry the force of a nearly singular
/// system (its left singular direction), wheel height apart.
pub(crate) fn in_line(rows: &[Row; 6], members: &[Member; 6], pose: &Pose) -> Vec<Member> {
    let mut matrix = matrix(rows, pose);
    for row in &mut matrix {
        for turn in &mut row[3..] {
            *turn /= 300.0;
        }
    }
    let forces = left_direction(&matrix);
    let most = forces[..5].iter().fold(0.0_f64, |m, f| m.max(f.abs()));
    let mut out = Vec::new();
    for (force, member) in forces.iter().zip(members).take(5) {
        if force.abs() >= 0.3 * most && !out.contains(member) && *member != Member::WheelHeight {
            out.push(*member);
        }
    }
    out
}

/// The left singular direction of the smallest singular value, by inverse iteration; of an exactly
/// singular matrix the diagonal is lifted a little.
fn left_direction(matrix: &[[f64; 6]; 6]) -> [f64; 6] {
    let lu = Lu::of(*matrix).or_else(|| {
        let mut lifted = *matrix;
        for (i, row) in lifted.iter_mut().enumerate() {
            row[i] += 1e-9;
        }
        Lu::of(lifted)
    });
    let mut v = [1.0, 0.9, 1.1, 0.8, 1.2, 0.7];
    if let Some(lu) = lu {
        for _ in 0..6 {
            let w = lu.solve_transposed(lu.solve(v));
            let size = w.iter().fold(0.0_f64, |m, x| m.max(x.abs()));
            if !(size.is_finite() && size > 0.0) {
                break;
            }
            v = w.map(|x| x / size);
        }
    }
    v
}
