//! What is wrong with readings, or missing.

use super::car::{Axle, Edge, Wheel};
use super::hypotheses::Mixup;
use crate::conventions::Side;
use axlestand_quantity::Lengths;

/// Something to be told about the readings. Those that [block](Finding::blocks) keep anything from
/// being computed.
#[derive(Debug, Clone, PartialEq)]
pub enum Finding {
    /// A value no car has: a slip of the tape, the wrong unit, a point in the wrong place.
    WrongMagnitude {
        /// The reading's place in the list.
        reading: usize,
        /// Its name.
        name: String,
        /// Whether it is read in mm; else in degrees.
        is_length: bool,
        /// What was read, mm or degrees.
        value: f64,
        /// The least that is believed.
        least: f64,
        /// The most that is believed.
        most: f64,
    },
    /// The two edges of a rim differ more than any toe makes them.
    EdgesApart {
        /// The wheel.
        wheel: Wheel,
        /// Front less rear gap, mm.
        difference: f64,
        /// The most that is believed, mm.
        most: f64,
    },
    /// A string runs off so far between the axles that it is crossed or hangs on the wrong stand.
    CrossedString {
        /// Its side.
        side: Side,
        /// How much farther out it is at the rear axle than at the front axle, mm.
        runs_off: f64,
    },
    /// Two readings of the same thing differ more than chance allows.
    RepeatsDiffer {
        /// Places of the two readings.
        readings: [usize; 2],
        /// Their name.
        name: String,
        /// Whether it is read in mm; else in degrees.
        is_length: bool,
        /// By how much, mm or degrees.
        difference: f64,
    },
    /// The readings fit at once if two things are taken for swapped.
    MixedUp {
        /// What may be swapped, the best fit first: one of these.
        among: Vec<Mixup>,
        /// Weighted sum of squares as entered.
        misfit: f64,
        /// The same after the first swap.
        misfit_swapped: f64,
    },
    /// One reading stands out: take it again.
    TakeAgain {
        /// Its place.
        reading: usize,
        /// Its name.
        name: String,
        /// Standardised residual.
        standardised: f64,
        /// Names of others worth taking again with it.
        also: Vec<String>,
    },
    /// Something is wrong, and it cannot be told which of these.
    CannotLocate {
        /// Their names, likeliest first.
        among: Vec<String>,
    },
    /// The readings fit worse than their uncertainties allow, none alone.
    FitTooWide {
        /// The chance of it with honest readings.
        chance: f64,
    },
    /// The readings contradict each other, or what any car can be, so much that nothing is told.
    Contradiction {
        /// The chance of it with honest readings.
        chance: f64,
        /// The readings that fit worst.
        worst: Vec<String>,
    },
    /// A rim was read at one edge only: no toe follows from it.
    MissingEdge {
        /// The wheel.
        wheel: Wheel,
        /// The edge that is missing.
        edge: Edge,
        /// Whether it is the reading after half a turn.
        half_turn: bool,
    },
    /// A wheel was read in one position only: the rim's run-out is in its angles.
    NoHalfTurn {
        /// The wheel.
        wheel: Wheel,
    },
    /// Nothing says that the strings are parallel to the car: no hub gaps or no two spacings.
    StringsUnchecked,
    /// The car stands askew between the strings; sides that were swapped at one axle look the same.
    Askew {
        /// By how much the strings point to the left of the car, degrees.
        degrees: f64,
    },
    /// Camber was read on a floor whose heights under this axle nobody took.
    FloorUnknown {
        /// The axle.
        axle: Axle,
    },
    /// Nothing checks these readings: a slip in them would stay unseen.
    Unchecked {
        /// Their names.
        readings: Vec<String>,
    },
}

impl Finding {
    /// Whether nothing is computed because of it.
    #[must_use]
    pub fn blocks(&self) -> bool {
        matches!(
            self,
            Self::WrongMagnitude { .. }
                | Self::EdgesApart { .. }
                | Self::CrossedString { .. }
                | Self::RepeatsDiffer { .. }
                | Self::MixedUp { .. }
                | Self::Contradiction { .. }
        )
    }
}

impl Finding {
    /// The same in words, with lengths in this unit.
    #[must_use]
    pub fn said(&self, lengths: Lengths) -> String {
        SaidIn(self, lengths).to_string()
    }
}

/// A finding with the unit in which its lengths are said.
struct SaidIn<'a>(&'a Finding, Lengths);

/// A number as it was read: mm and degrees without their unit, inches with it.
fn number(value: f64, places: usize, is_length: bool, lengths: Lengths) -> String {
    match lengths {
        Lengths::Inches if is_length => lengths.said(value, places),
        _ => format!("{value:.places$}"),
    }
}

impl std::fmt::Display for Finding {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        SaidIn(self, Lengths::Millimetres).fmt(f)
    }
}

impl std::fmt::Display for SaidIn<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let lengths = self.1;
        match self.0 {
            Finding::WrongMagnitude { name, is_length, value, least, most, .. } => {
                let number = |value: f64, places| number(value, places, *is_length, lengths);
                write!(
                    f,
                    "{name} reads {}, and {} to {} is possible on a car; check the unit and the place, and read it \
                     again",
                    number(*value, 1),
                    number(*least, 0),
                    number(*most, 0)
                )
            }
            Finding::EdgesApart { wheel, difference, most } => write!(
                f,
                "the edges of the {wheel} rim differ by {}, more than the {} of any toe; read both again",
                lengths.said(*difference, 1),
                lengths.said(*most, 0)
            ),
            Finding::CrossedString { side, runs_off } => write!(
                f,
                "the {side} string is {} farther out at the rear than at the front; see if it is crossed or hangs on \
                 the wrong stand",
                lengths.said(*runs_off, 0)
            ),
            Finding::RepeatsDiffer { name, is_length, difference, .. } => {
                let difference = number(*difference, 2, *is_length, lengths);
                write!(f, "two readings of {name} differ by {difference}; read it a third time")
            }
            Finding::MixedUp { among, .. } => {
                let among: Vec<String> = among.iter().map(ToString::to_string).collect();
                write!(
                    f,
                    "it does not fit as entered, and fits with {}; see which is right",
                    among.join(", or ")
                )
            }
            Finding::TakeAgain { name, standardised, also, .. } => {
                write!(
                    f,
                    "{name} does not fit the other readings (off by {:.1} times its uncertainty); read it again",
                    standardised.abs()
                )?;
                if also.is_empty() { Ok(()) } else { write!(f, ", and {}", also.join(", ")) }
            }
            Finding::CannotLocate { among } => write!(
                f,
                "something is wrong, and it cannot be told which of these: {}; read them again",
                among.join(", ")
            ),
            Finding::FitTooWide { chance } => write!(
                f,
                "the readings fit worse than they should (chance {chance:.1e}): are they less certain than you entered?"
            ),
            Finding::Contradiction { worst, .. } => {
                write!(f, "the readings contradict each other; read these again first: {}", worst.join(", "))
            }
            Finding::MissingEdge { wheel, edge, half_turn } => {
                let when = if *half_turn { " after half a turn" } else { "" };
                write!(
                    f,
                    "the {edge} of the {wheel} rim{when} is missing; without it this wheel's toe depends on the hub gap"
                )
            }
            Finding::NoHalfTurn { wheel } => {
                write!(f, "the {wheel} wheel was read in one position; reading it again half a turn on takes its run-out away")
            }
            Finding::StringsUnchecked => f.write_str(
                "nothing says how the strings lie relative to the car; the hub gaps and both spacings bring toe from \
                 a half to a sixth of a degree",
            ),
            Finding::Askew { degrees } => write!(
                f,
                "the car stands {:.1}° askew between the strings; it does no harm, but left and right swapped at \
                 one axle look the same: see if both sides are where they belong",
                degrees.abs()
            ),
            Finding::FloorUnknown { axle } => {
                write!(
                    f,
                    "the floor under the {axle} wheels is unknown; a water level halves the uncertainty of camber"
                )
            }
            Finding::Unchecked { readings } => write!(f, "nothing checks {}", readings.join(", ")),
        }
    }
}
