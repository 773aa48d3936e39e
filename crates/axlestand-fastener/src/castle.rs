//! Castle nuts: where the slots meet the hole, and what going on to the next one costs.
//!
//! Tighten to the low side of the range, then on to the next slot, never back, and not past the
//! high side (MS33540J; FAA AC 43.13-1B, 7-40; Moog bulletin on castle nuts). Where no slot comes
//! up within the range, another washer or nut is the answer.

use std::sync::LazyLock;

use axlestand_quantity::{Angle, Force, Length, Torque};

use crate::friction::Friction;
use crate::saturate;
use crate::table::{Row, Table};
use crate::thread::Thread;
use crate::tightening::{Joint, TighteningError};

/// The table as text.
pub(crate) const TEXT: &str = include_str!("../../../data/castle_nuts.csv");

static ROWS: LazyLock<Vec<(f64, CastleSize)>> = LazyLock::new(|| Table::read(TEXT, read));

/// Most slots a nut can have; DIN 935 goes to 10.
const MOST_SLOTS: u32 = 36;

/// Why a castle nut was refused.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum CastleError {
    /// A number of slots that no nut has.
    #[error("a castle nut has 2 to {MOST_SLOTS} slots, usually 6; {0} is none")]
    Slots(u32),
    /// A range upside down.
    #[error("the range runs from the lower to the higher torque; {least} to {greatest} does not")]
    Range {
        /// Lower end.
        least: Torque,
        /// Upper end.
        greatest: Torque,
    },
    /// A position outside a step, or backward.
    #[error(
        "the slot has gone past the hole by 0 to {step:.0}; {past:.0} is not in between. Never turn back to a slot"
    )]
    Position {
        /// What was given.
        past: Angle,
        /// One step.
        step: Angle,
    },
    /// The torque itself.
    #[error(transparent)]
    Tightening(#[from] TighteningError),
}

/// Holes for the pin in the bolt or stud.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum PinHoles {
    /// One hole right through: two mouths, 180° apart.
    #[default]
    One,
    /// Two holes crossing at a right angle: four mouths.
    Crossed,
}

/// Slots of a nut against the holes of its bolt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct CastleNut {
    slots: u32,
    holes: PinHoles,
}

/// Sizes of a castle nut after DIN 935 with its split pin, where they were read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CastleSize {
    /// Number of slots.
    pub slots: u32,
    /// Width across flats, old DIN and newer ISO edition.
    pub across_flats: Option<(Length, Length)>,
    /// Least and greatest slot width.
    pub slot: Option<(Length, Length)>,
    /// Nominal diameter and length of the split pin; the pin itself measures a little less.
    pub pin: Option<(Length, Length)>,
    /// Source id, as in SOURCES.md.
    pub source: &'static str,
}

/// What going on to the next slot may cost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CastlePlan {
    /// Torque to stop at before looking for a slot.
    pub start: Torque,
    /// Angle between positions that fit: the furthest that may have to be turned.
    pub step: Angle,
    /// Clamp load that a whole step adds to a joint of the given stiffness; an upper bound.
    pub added_clamp: Option<Force>,
    /// Torque after a whole step on such a joint; an upper bound.
    pub torque_after: Option<Torque>,
    /// What to expect.
    pub outlook: Outlook,
}

/// Whether the next slot comes up within the range.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Outlook {
    /// Even a whole step stays within the upper limit.
    Fits,
    /// A whole step on a solid joint may pass the upper limit: watch the torque while turning; where
    /// it is passed, take another washer or nut.
    MayPassLimit,
    /// No upper limit is known, so the overshoot cannot be judged: turn no more than one step.
    NoLimit,
    /// The stiffness is not known: watch the torque while turning.
    WatchTorque,
}

/// Where the pin hole lies once the nut is at torque.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum HoleSeen {
    /// Within the slots.
    InSlots,
    /// Above the castellations: the nut is too low on the stud.
    AboveSlots,
    /// Under the slots: the nut is too high.
    BelowSlots,
}

/// What the place of the hole says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum HoleVerdict {
    /// Fit the pin.
    FitPin,
    /// On a taper: stud pulled too far in; taper or bore worn, or the wrong part. No washer to hide it.
    RejectTaper,
    /// On a flat joint: add a washer, two at most (MS33540J).
    AddWasher,
    /// The nut is not down: the joint is not seated, a thinner washer or the right nut is needed.
    NotSeated,
}

impl CastleNut {
    /// A nut with `slots` slots on a bolt with `holes`.
    ///
    /// # Errors
    /// [`CastleError::Slots`].
    pub fn new(slots: u32, holes: PinHoles) -> Result<Self, CastleError> {
        if (2..=MOST_SLOTS).contains(&slots) {
            Ok(Self { slots, holes })
        } else {
            Err(CastleError::Slots(slots))
        }
    }

    /// The DIN 935 nut of a metric thread: 6 slots to M39, 8 to M68, 10 above.
    #[must_use]
    pub fn of(thread: Thread, holes: PinHoles) -> Self {
        let slots = match thread.diameter_mm() {
            d if d < 40.0 => 6,
            d if d < 70.0 => 8,
            _ => 10,
        };
        Self { slots, holes }
    }

    /// Angle between positions in which a pin goes through: 360° over the least common multiple of
    /// slots and hole mouths.
    #[must_use]
    pub fn step(self) -> Angle {
        let mouths = match self.holes {
            PinHoles::One => 2,
            PinHoles::Crossed => 4,
        };
        let positions = self.slots / common_divisor(self.slots, mouths) * mouths;
        saturate::angle(360.0 / f64::from(positions.max(1)))
    }

    /// How far to turn on where the nearest slot has gone past the hole by `past`.
    ///
    /// # Errors
    /// [`CastleError::Position`] for an angle below nought or beyond a step.
    pub fn forward(self, past: Angle) -> Result<Angle, CastleError> {
        let step = self.step();
        if past.deg() < 0.0 || past > step {
            return Err(CastleError::Position { past, step });
        }
        let whole = past.deg() <= 0.0 || past.deg() >= step.deg();
        Ok(if whole { Angle::ZERO } else { step - past })
    }

    /// What going on to the next slot may cost after tightening to `least`.
    ///
    /// `per_degree` is the joint's preload per degree where it is known (see [`crate::stiffness`]);
    /// it holds for a snug, solid joint, so the figures are upper bounds.
    ///
    /// # Errors
    /// [`CastleError`] for a negative torque or a range upside down.
    pub fn plan(
        self,
        joint: Joint,
        mu: Friction,
        (least, greatest): (Torque, Option<Torque>),
        per_degree: Option<Force>,
    ) -> Result<CastlePlan, CastleError> {
        let start = crate::tightening::checked_torque(least)?;
        if let Some(greatest) = greatest.filter(|greatest| *greatest < least) {
            return Err(CastleError::Range { least, greatest });
        }
        let step = self.step();
        let added_clamp = per_degree.map(|force| saturate::force(force.n() * step.deg()));
        let torque_after = match added_clamp {
            Some(added) => Some(start + joint.torque(added, mu)?),
            None => None,
        };
        let outlook = match (greatest, torque_after) {
            (None, _) => Outlook::NoLimit,
            (Some(_), None) => Outlook::WatchTorque,
            (Some(limit), Some(after)) if after <= limit => Outlook::Fits,
            (Some(_), Some(_)) => Outlook::MayPassLimit,
        };
        Ok(CastlePlan { start, step, added_clamp, torque_after, outlook })
    }
}

/// The printed sizes of the castle nut of a thread.
#[must_use]
pub fn size_of(thread: Thread) -> Option<CastleSize> {
    ROWS.iter().find(|row| thread.is_metric() && (row.0 - thread.diameter_mm()).abs() < 1e-6).map(|row| row.1)
}

/// What the place of the pin hole says, on a taper and on a flat joint (Moog bulletins; MS33540J).
#[must_use]
pub fn judge_hole(seen: HoleSeen, on_taper: bool) -> HoleVerdict {
    match (seen, on_taper) {
        (HoleSeen::InSlots, _) => HoleVerdict::FitPin,
        (HoleSeen::AboveSlots, true) => HoleVerdict::RejectTaper,
        (HoleSeen::AboveSlots, false) => HoleVerdict::AddWasher,
        (HoleSeen::BelowSlots, _) => HoleVerdict::NotSeated,
    }
}

fn common_divisor(a: u32, b: u32) -> u32 {
    if b == 0 { a.max(1) } else { common_divisor(b, a % b) }
}

pub(crate) fn read(row: Row<'_>) -> Option<(f64, CastleSize)> {
    let pair = |a: &str, b: &str| {
        row.number(a).zip(row.number(b)).map(|(a, b)| (saturate::length(a), saturate::length(b)))
    };
    let size = CastleSize {
        slots: row.whole("slots")?,
        across_flats: pair("af_old", "af_new"),
        slot: pair("slot_low", "slot_high"),
        pin: pair("pin_diameter", "pin_length"),
        source: row.text("source")?,
    };
    Some((row.number("diameter")?, size))
}

impl std::fmt::Display for HoleVerdict {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::FitPin => "fit a new pin and bend both legs",
            Self::RejectTaper => {
                "the hole stands above the slots: the taper or its bore is worn, or the part is wrong. Add no washer; \
                 take it apart and find out"
            }
            Self::AddWasher => "the hole stands above the slots: put a washer under the nut where the maker allows it, two at most",
            Self::NotSeated => "the hole lies under the slots: the joint is not home, or the nut is the wrong one",
        })
    }
}

impl std::fmt::Display for Outlook {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Fits => "go on to the next slot; it stays within the range",
            Self::MayPassLimit => {
                "go on to the next slot and watch the torque; if it would pass the upper limit, take another nut (another washer on a flat seat only, never on a taper)"
            }
            Self::NoLimit => "go on to the next slot, at most one step; no upper limit is known, so look it up",
            Self::WatchTorque => "go on to the next slot and stay under the upper limit",
        })
    }
}
