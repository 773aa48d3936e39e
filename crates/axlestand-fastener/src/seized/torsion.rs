//! Torsional strength of bolts: MB = τB·π/16·d3³ with τB = X·Rm (ISO 898-7).
//!
//! The standard's table ends at M10. Beyond it the same formula is this project's extension and is
//! marked so.

use std::sync::LazyLock;

use axlestand_quantity::{Force, Length, Torque};

use crate::class::{ClassError, PropertyClass};
use crate::saturate;
use crate::table::{Row, Table};
use crate::thread::Thread;

/// Ratios X, as text.
pub(crate) const RATIO_TEXT: &str = include_str!("../../../../data/torsion.csv");
/// Tolerances Td2, as text.
pub(crate) const TOLERANCES_TEXT: &str = include_str!("../../../../data/thread_tolerances.csv");
/// Allowances es, as text.
pub(crate) const ALLOWANCES_TEXT: &str = include_str!("../../../../data/thread_allowances.csv");

static RATIOS: LazyLock<Vec<(PropertyClass, f64)>> = LazyLock::new(|| Table::read(RATIO_TEXT, read_ratio));
static TOLERANCES: LazyLock<Vec<Tolerance>> = LazyLock::new(|| Table::read(TOLERANCES_TEXT, read_tolerance));
static ALLOWANCES: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| Table::read(ALLOWANCES_TEXT, read_allowance));

/// Least ratio in the table: for classes without one it is the safe guess.
const LEAST_RATIO: f64 = 0.75;
/// Share of the breaking torque to stop at. This project's proposal, no standard.
const STOP_SHARE: f64 = 0.8;
/// Where the table of ISO 898-7 ends.
const STANDARD_UP_TO_MM: f64 = 10.0;
const MM_PER_M: f64 = 1000.0;

/// Why no breaking torque was computed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SeizedError {
    /// The class.
    #[error(transparent)]
    Class(#[from] ClassError),
    /// A root diameter below nought or wider than the thread.
    #[error("the remaining diameter must lie between 0 and the thread's {thread}; {given:.2} does not")]
    Root {
        /// What was given.
        given: Length,
        /// The thread.
        thread: Thread,
    },
}

/// The root of the thread as it is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum RootState {
    /// Not eaten.
    #[default]
    Sound,
    /// Eaten down to this diameter at the thinnest place.
    Corroded(Length),
}

/// What a breaking torque stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Basis {
    /// Within ISO 898-7: class 8.8 to 12.9, up to M10, sound.
    Iso898Part7,
    /// The same formula beyond the standard's table: size, class or corrosion.
    ComputedBeyond,
    /// Beyond, and with the nominal root since the tolerance is not in the tables.
    ComputedNominalRoot,
}

/// The torque that twists a fastener off at least.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BreakingTorque {
    /// The least torque at which it breaks.
    pub least: Torque,
    /// What it stands on.
    pub basis: Basis,
}

pub(crate) struct Tolerance {
    over: f64,
    up_to: f64,
    pitch: f64,
    td2: f64,
}

/// Least root diameter of a metric bolt of tolerance 6g: d − es − 0.649 519 P − Td2 − 0.616 025 P
/// (root radius 0.125 P). `None` where the tolerance is not in the tables. The tolerances of ISO 965
/// are remembered; the result gives the published M8 6.272 and M10 7.938.
#[must_use]
pub fn least_root_diameter(thread: Thread) -> Option<Length> {
    let (d, p) = (thread.diameter_mm(), thread.pitch_mm());
    if !thread.is_metric() {
        return None;
    }
    let same = |x: f64| (x - p).abs() < 1e-6;
    let td2 = TOLERANCES.iter().find(|row| row.over < d && d <= row.up_to && same(row.pitch))?.td2;
    let es = ALLOWANCES.iter().find(|row| same(row.0))?.1;
    Some(saturate::length(d - es - 0.649_519 * p - td2 - 0.616_025 * p))
}

/// Torque that twists off a root of diameter `root` in steel of tensile strength `tensile_mpa`, with
/// the ratio of torsional to tensile strength: ratio·Rm·π/16·d³. Nought for anything not positive.
#[must_use]
pub fn torsion_of_root(root: Length, tensile_mpa: f64, ratio: f64) -> Torque {
    let least = |x: f64| if x > 0.0 { x } else { 0.0 };
    let modulus = std::f64::consts::PI / 16.0 * least(root.mm()).powi(3);
    saturate::torque(least(tensile_mpa) * least(ratio) * modulus / MM_PER_M)
}

/// Least torque that twists the fastener off. Corrosion scales it by the cube of the remaining over
/// the sound root diameter: 5 % off the diameter takes 14 % off the torque.
///
/// # Errors
/// [`SeizedError`] for a diameter that cannot be, or a class that does not go with the thread.
pub fn breaking_torque(
    thread: Thread,
    class: PropertyClass,
    root: RootState,
) -> Result<BreakingTorque, SeizedError> {
    let strength = class.strength(thread)?;
    let table_ratio = RATIOS.iter().find(|row| row.0 == class).map(|row| row.1);
    let least_root = least_root_diameter(thread);
    let sound = least_root.unwrap_or(thread.root_diameter());
    let share = remaining(thread, root)?;
    let whole = torsion_of_root(sound, strength.tensile_mpa, table_ratio.unwrap_or(LEAST_RATIO));
    let standard = table_ratio.is_some()
        && thread.diameter_mm() <= STANDARD_UP_TO_MM + 1e-9
        && matches!(root, RootState::Sound);
    let basis = match (least_root, standard) {
        (None, _) => Basis::ComputedNominalRoot,
        (Some(_), true) => Basis::Iso898Part7,
        (Some(_), false) => Basis::ComputedBeyond,
    };
    Ok(BreakingTorque { least: saturate::torque(whole.nm() * share.powi(3)), basis })
}

/// Least load that tears the fastener: tension goes with the square of the remaining diameter.
///
/// # Errors
/// As [`breaking_torque`].
pub fn remaining_tensile_load(
    thread: Thread,
    class: PropertyClass,
    root: RootState,
) -> Result<Force, SeizedError> {
    let sound = class.strength(thread)?.least_tensile_load(thread);
    let share = remaining(thread, root)?;
    Ok(saturate::force(sound.n() * share * share))
}

/// Where to stop: 0.8 of the breaking torque (this project's proposal).
#[must_use]
pub fn safe_loosening_torque(breaking: &BreakingTorque) -> Torque {
    saturate::torque(STOP_SHARE * breaking.least.nm())
}

/// What share of its breaking torque a fastener sees at `torque`; infinite where nothing is left.
#[must_use]
pub fn twist_share(breaking: &BreakingTorque, torque: Torque) -> f64 {
    if breaking.least.nm() > 0.0 { torque.abs().nm() / breaking.least.nm() } else { f64::INFINITY }
}

/// Remaining over sound root diameter, 1 at most.
fn remaining(thread: Thread, root: RootState) -> Result<f64, SeizedError> {
    match root {
        RootState::Sound => Ok(1.0),
        RootState::Corroded(given) if given.mm() >= 0.0 && given <= thread.diameter() => {
            Ok((given.mm() / thread.root_diameter().mm()).min(1.0))
        }
        RootState::Corroded(given) => Err(SeizedError::Root { given, thread }),
    }
}

pub(crate) fn read_ratio(row: Row<'_>) -> Option<(PropertyClass, f64)> {
    row.text("source")?;
    Some((PropertyClass::parse(row.text("class")?).ok()?, row.number("ratio")?))
}

pub(crate) fn read_tolerance(row: Row<'_>) -> Option<Tolerance> {
    row.text("source")?;
    Some(Tolerance {
        over: row.number("over")?,
        up_to: row.number("up_to")?,
        pitch: row.number("pitch")?,
        td2: row.number("td2")? / 1000.0,
    })
}

pub(crate) fn read_allowance(row: Row<'_>) -> Option<(f64, f64)> {
    row.text("source")?;
    Some((row.number("pitch")?, row.number("es")? / 1000.0))
}
