//! A specified torque on a thread in another condition, for the same clamp load.
//!
//! The ratio of torques is the ratio of the equation's arms at the two frictions. Both frictions
//! are ranges, so the answer is an interval. Published advice on what to take off runs from nothing
//! to two fifths ([`practice`]): the maker's condition and value always come first.

mod advice;
mod place;

use std::sync::LazyLock;

use axlestand_quantity::{Force, Torque};

use crate::friction::{Condition, Friction, FrictionError, FrictionRange};
use crate::interval::Interval;
use crate::saturate;
use crate::table::{Row, Table};
use crate::tightening::{Joint, TighteningError};

pub use advice::{Advice, Drift, Standing};
pub use place::{Lubricate, Place};

/// What is advised, as text.
pub(crate) const PRACTICE_TEXT: &str = include_str!("../../../data/torque_practice.csv");

static PRACTICE: LazyLock<Vec<Practice>> = LazyLock::new(|| Table::read(PRACTICE_TEXT, read_practice));

/// Why a torque was not converted.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ConversionError {
    /// The torque itself.
    #[error(transparent)]
    Tightening(#[from] TighteningError),
    /// The condition of the thread.
    #[error(transparent)]
    Friction(#[from] FrictionError),
}

/// What to convert.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConversionRequest {
    /// The thread with its bearing face.
    pub joint: Joint,
    /// The torque that is specified.
    pub specified: Torque,
    /// The condition it is specified for.
    pub from: Condition,
    /// The condition the thread is in.
    pub to: Condition,
    /// What kind of place the fastener is.
    pub place: Place,
}

/// A torque converted for equal clamp load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conversion {
    /// New torque over specified torque.
    pub ratio: Interval<f64>,
    /// The torque over the range of both frictions.
    pub torque: Interval<Torque>,
    /// One sensible figure to set, rounded to what a wrench can show; `None` where nothing may be
    /// converted, or where it would raise the torque on a guessed friction (see the advice).
    pub setting: Option<Torque>,
    /// The clamp load that the specified torque is meant to give.
    pub clamp: Interval<Force>,
    /// Clamp load over intended clamp load if the torque is left as specified.
    pub clamp_if_unchanged: Interval<f64>,
    /// What to make of it.
    pub advice: Advice,
}

/// One published piece of advice on what to take off a dry torque, in per cent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Practice {
    /// Who says what.
    pub advice: &'static str,
    /// Least cut, per cent.
    pub cut_low: f64,
    /// Greatest cut, per cent.
    pub cut_high: f64,
    /// Source id, as in SOURCES.md.
    pub source: &'static str,
}

/// Converts a specified torque to the condition the thread is in.
///
/// # Errors
/// [`ConversionError`] for a negative torque, or a condition (rust) whose friction nobody knows.
pub fn convert(request: &ConversionRequest) -> Result<Conversion, ConversionError> {
    let ConversionRequest { joint, specified, from, to, .. } = *request;
    let old = from.friction()?;
    let new = to.friction()?;
    let clamp = joint.preload_range(specified, &old)?;
    let ratio = if from == to { Interval::hull(1.0, 1.0, 1.0) } else { ratio(joint, &new, &old) };
    let unchanged = Interval::hull(1.0 / ratio.low(), 1.0 / ratio.point(), 1.0 / ratio.high());
    let scaled = |factor: f64| saturate::torque(specified.nm() * factor);
    let torque = Interval::hull(scaled(ratio.low()), scaled(ratio.point()), scaled(ratio.high()));
    let advice = Advice::of(request, unchanged.point(), old.evidence.min(new.evidence));
    let setting = advice.standing.allows_setting().then(|| within(settable(torque.point()), torque));
    Ok(Conversion { ratio, torque, setting, clamp, clamp_if_unchanged: unchanged, advice })
}

/// What is advised in print, from nothing to the greatest cut.
#[must_use]
pub fn practice() -> &'static [Practice] {
    &PRACTICE
}

/// Rounds a torque to what a workshop wrench can be set to: 0.5 N·m under 20, 1 under 100, 5 above.
#[must_use]
pub fn settable(torque: Torque) -> Torque {
    let step = match torque.abs().nm() {
        nm if nm < 20.0 => 0.5,
        nm if nm < 100.0 => 1.0,
        _ => 5.0,
    };
    saturate::torque((torque.nm() / step).round() * step)
}

/// Arms of the new condition over those of the old one. The same fastener has one friction before
/// and another after, which are not tied to each other, so the ends are those of both ranges.
fn ratio(joint: Joint, new: &FrictionRange, old: &FrictionRange) -> Interval<f64> {
    let arm = |mu: f64| joint.arm_mm(Friction::known(mu));
    let (new, old) = (new.coefficient, old.coefficient);
    Interval::hull(
        arm(new.low()) / arm(old.high()),
        arm(new.point()) / arm(old.point()),
        arm(new.high()) / arm(old.low()),
    )
}

fn within(torque: Torque, range: Interval<Torque>) -> Torque {
    if range.contains(torque) { torque } else { range.point() }
}

pub(crate) fn read_practice(row: Row<'_>) -> Option<Practice> {
    Some(Practice {
        advice: row.text("advice")?,
        cut_low: row.number("cut_low")?,
        cut_high: row.number("cut_high")?,
        source: row.text("source")?,
    })
}
