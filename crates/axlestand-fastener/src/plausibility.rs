//! Whether a typed torque makes sense for the thread: a question to the person who typed it, never
//! a correction.
//!
//! The usual band runs from a third of what uses class 8.8 to 90 % on a slippery thread to what does
//! so with the given class (10.9 where none is given) on a dry one. It is wide on purpose: it is to
//! catch slips of unit and of fastener. A slip between N·m and lb·ft is a factor of 1.36 and often
//! stays within any honest band.

use std::fmt;

use axlestand_quantity::{Dimension, Torque, UNITS, Unit};

use crate::class::{ClassError, PropertyClass};
use crate::friction::Friction;
use crate::saturate;
use crate::thread::{Series, Thread};
use crate::tightening::{Joint, TighteningError, Torsion};

/// Friction of a slippery and of a dry thread.
const SLIPPERY: f64 = 0.08;
const DRY: f64 = 0.20;
/// Share of the slippery 90 % torque below which a torque is remarkable.
const LITTLE: f64 = 1.0 / 3.0;
/// Units between which torques slip.
const SLIPS: [&str; 5] = ["N·m", "lb·ft", "kgf·m", "lb·in", "kgf·cm"];

/// Why a torque was not judged.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlausibilityError {
    /// The class does not go with the thread.
    #[error(transparent)]
    Class(#[from] ClassError),
    /// A negative torque.
    #[error(transparent)]
    Tightening(#[from] TighteningError),
    /// A unit that measures no torque.
    #[error("a torque is typed in N·m, lb·ft, lb·in or kgf·m")]
    Unit,
}

/// The same number in another unit, which would be usual.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OtherUnit {
    /// The unit.
    pub unit: &'static Unit,
    /// The torque that would be.
    pub torque: Torque,
}

/// Which side of the usual band.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Oddity {
    /// Little for this thread.
    Little,
    /// Much for this thread.
    Much,
}

/// A question to ask before a torque is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Which side.
    pub oddity: Oddity,
    /// What was typed.
    pub typed: Torque,
    /// The unit it was typed in.
    pub unit: &'static Unit,
    /// The thread.
    pub thread: Thread,
    /// Lower end of the usual band.
    pub usual_from: Torque,
    /// Upper end of the usual band.
    pub usual_to: Torque,
    /// Units in which the same number would be usual.
    pub other_units: Vec<OtherUnit>,
    /// For much: the smallest coarse thread for which the torque would be usual.
    pub larger_thread: Option<Thread>,
}

/// Asks back where a torque is out of the ordinary for its thread; `None` where it is not, or where
/// no class is given and the usual ones (8.8 to 10.9, SAE 5 to 8) do not reach to the thread's size.
///
/// # Errors
/// [`PlausibilityError`] for a negative torque, a unit of something else, or a class that does not
/// go with the thread.
pub fn question(
    thread: Thread,
    class: Option<PropertyClass>,
    typed: Torque,
    unit: &'static Unit,
) -> Result<Option<Question>, PlausibilityError> {
    crate::tightening::checked_torque(typed)?;
    if unit.dimension != Dimension::Torque {
        return Err(PlausibilityError::Unit);
    }
    let (from, to) = match usual_band(thread, class) {
        // Without a class there is nothing to hold the torque against where the usual ones end.
        Err(PlausibilityError::Class(ClassError::OutOfRange { .. })) if class.is_none() => return Ok(None),
        band => band?,
    };
    let oddity = match typed {
        t if t < from => Oddity::Little,
        t if t > to => Oddity::Much,
        _ => return Ok(None),
    };
    let number = typed.nm() / unit.factor;
    let other_units = UNITS
        .iter()
        .filter(|other| SLIPS.contains(&other.symbol) && other.symbol != unit.symbol)
        .map(|other| OtherUnit { unit: other, torque: saturate::torque(number * other.factor) })
        .filter(|other| from <= other.torque && other.torque <= to)
        .collect();
    let larger_thread = if oddity == Oddity::Much { smallest_for(thread, class, typed) } else { None };
    Ok(Some(Question {
        oddity,
        typed,
        unit,
        thread,
        usual_from: from,
        usual_to: to,
        other_units,
        larger_thread,
    }))
}

/// The usual band of torques for a thread. Not a specification: it says nothing of the fastener at
/// hand. Tapers, rod nuts and hollow plugs run lower than their thread suggests.
///
/// # Errors
/// [`PlausibilityError::Class`] for a class that does not go with the thread.
pub fn usual_band(
    thread: Thread,
    class: Option<PropertyClass>,
) -> Result<(Torque, Torque), PlausibilityError> {
    let (weak, strong) = if thread.is_metric() {
        (PropertyClass::Iso8_8, PropertyClass::Iso10_9)
    } else {
        (PropertyClass::Sae5, PropertyClass::Sae8)
    };
    let strong = class.unwrap_or(strong);
    let upper_yield = strong.strength(thread)?.yield_mpa;
    // Sizes beyond the weaker class's range, and classes below it, take their own strength.
    let weak_yield = weak.strength(thread).map_or(upper_yield, |s| s.yield_mpa.min(upper_yield));
    let joint = Joint::hex(thread);
    let at = |mu: f64, strength: f64| joint.torque_at(0.9, Friction::known(mu), strength, Torsion::Plastic);
    let low = at(SLIPPERY, weak_yield)?;
    Ok((saturate::torque(LITTLE * low.nm()), at(DRY, upper_yield)?))
}

fn smallest_for(thread: Thread, class: Option<PropertyClass>, torque: Torque) -> Option<Thread> {
    Thread::all()
        .filter(|other| {
            other.is_metric() == thread.is_metric()
                && matches!(other.series(), Series::MetricCoarse | Series::Unc)
                // The common sizes are the ones with a printed stress area.
                && other.published_stress_area_mm2().is_some()
                && other.diameter_mm() > thread.diameter_mm()
        })
        .find(|other| usual_band(*other, class).is_ok_and(|(_, to)| torque <= to))
}

impl fmt::Display for Question {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let number = self.typed.nm() / self.unit.factor;
        let amount = match self.oddity {
            Oddity::Little => "little",
            Oddity::Much => "much",
        };
        write!(f, "{} {} is {amount} for {}", round_off(number), self.unit.symbol, self.thread)?;
        write!(f, " (usual: {:.0} to {:.0}).", self.usual_from, self.usual_to)?;
        if !self.other_units.is_empty() {
            let others: Vec<String> = self
                .other_units
                .iter()
                .map(|other| format!("{} ({:.0})", other.unit.symbol, other.torque))
                .collect();
            write!(f, " Does the manual say {}?", others.join(" or "))?;
        }
        match (self.larger_thread, self.oddity) {
            (Some(thread), _) => write!(f, " Or is it for another fastener, {thread} or larger?"),
            (None, Oddity::Little) => {
                f.write_str(" Tapers and rod nuts run low; is it the right line of the manual?")
            }
            (None, Oddity::Much) => f.write_str(" Is it the right line of the manual?"),
        }
    }
}

/// A typed number without the noise of a unit conversion.
fn round_off(number: f64) -> f64 {
    let rounded = (number * 1e6).round() / 1e6;
    if rounded.is_finite() { rounded } else { number }
}
