//! Limits of heads, keys and wrenches, and the pull on a bar.

use std::sync::LazyLock;

use axlestand_quantity::{Force, Length, Torque};

use crate::saturate;
use crate::table::{Row, Table};
use crate::torx;

/// Test torques of wrenches, as text.
pub(crate) const PROOF_TEXT: &str = include_str!("../../../../data/wrench_proof.csv");

static PROOF: LazyLock<Vec<(f64, f64, f64)>> = LazyLock::new(|| Table::read(PROOF_TEXT, read_proof));

/// Share of AF²·h·Rm that sound corners of a hexagon bear (G. S. Case; one author, low trust).
const HEXAGON: f64 = 3.0 * 0.103;
/// Share of AF³·Rm that a hexagon key bears (G. S. Case).
const KEY: f64 = 0.2;
const MM_PER_M: f64 = 1000.0;

/// Why a limit was not computed.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum DriveError {
    /// A size that must be positive and is not.
    #[error("{what} must be above nought")]
    NotPositive {
        /// What was wrong.
        what: &'static str,
    },
    /// A size without a row.
    #[error("no limit for {what} {size} is in the tables")]
    NoRow {
        /// Of what.
        what: &'static str,
        /// Which size.
        size: f64,
    },
    /// No bar.
    #[error("a bar must be longer than nought; {0:.0} is not")]
    NoBar(Length),
    /// A torque below nought.
    #[error("a limit cannot be negative ({0})")]
    Negative(Torque),
}

/// What turns the fastener.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Drive {
    /// An outer hexagon with sound corners.
    Hexagon {
        /// Width across flats.
        across_flats: Length,
        /// Height of the head that the wrench covers.
        height: Length,
        /// Tensile strength of the fastener, MPa.
        tensile_mpa: f64,
    },
    /// A hexagon key in a socket head; the key gives first.
    HexKey {
        /// Width across flats.
        across_flats: Length,
        /// Tensile strength of the key, MPa (about 1790 for a good one).
        tensile_mpa: f64,
    },
    /// An internal six-lobe drive, size T.
    Torx(u32),
}

/// Which end of a wrench.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WrenchEnd {
    /// Ring or socket.
    Ring,
    /// Open end: 53 to 88 % of the ring.
    Open,
}

/// How far a limit can be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Trust {
    /// A formula of one author, or a size beyond a standard.
    Low,
    /// A table without its test.
    Fair,
    /// A standard.
    Good,
}

/// What a limit limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LimitKind {
    /// The shank twists off.
    Shank,
    /// The hexagon or socket gives.
    Drive,
    /// The wrench gives.
    Wrench,
    /// The stud or weld nut turns in its part.
    Anchorage,
}

/// A torque not to pass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// What gives.
    pub kind: LimitKind,
    /// At which torque.
    pub torque: Torque,
    /// How far that can be trusted.
    pub trust: Trust,
}

/// What a sound drive bears: 3·0.103·AF²·h·Rm for a hexagon and 0.2·AF³·Rm for a key (G. S. Case),
/// the lower printed torque for a six-lobe socket. Rust-worn corners bear less, and nobody can say
/// how much.
///
/// # Errors
/// [`DriveError`] for sizes that are none or not in the tables.
pub fn drive_limit(drive: Drive) -> Result<Limit, DriveError> {
    let positive = |what: &'static str, value: f64| {
        if value.is_finite() && value > 0.0 { Ok(value) } else { Err(DriveError::NotPositive { what }) }
    };
    let (nmm, trust) = match drive {
        Drive::Hexagon { across_flats, height, tensile_mpa } => {
            let s = positive("the width across flats", across_flats.mm())?;
            let h = positive("the height of the head", height.mm())?;
            (HEXAGON * s * s * h * positive("the tensile strength", tensile_mpa)?, Trust::Low)
        }
        Drive::HexKey { across_flats, tensile_mpa } => {
            let s = positive("the width across flats", across_flats.mm())?;
            (KEY * s.powi(3) * positive("the tensile strength", tensile_mpa)?, Trust::Low)
        }
        Drive::Torx(size) => {
            let (low, _) = torx::internal_limit(size)
                .ok_or(DriveError::NoRow { what: "Torx size", size: f64::from(size) })?;
            (low.nm() * MM_PER_M, Trust::Fair)
        }
    };
    Ok(Limit { kind: LimitKind::Drive, torque: saturate::torque(nmm / MM_PER_M), trust })
}

/// Test torque of a hand wrench (DIN ISO 1711-1).
///
/// # Errors
/// [`DriveError::NoRow`] for a width that is not in the table.
pub fn wrench_proof(across_flats: Length, end: WrenchEnd) -> Result<Limit, DriveError> {
    let row = PROOF
        .iter()
        .find(|row| (row.0 - across_flats.mm()).abs() < 0.01)
        .ok_or(DriveError::NoRow { what: "wrenches across flats", size: across_flats.mm() })?;
    let torque = saturate::torque(if end == WrenchEnd::Ring { row.1 } else { row.2 });
    Ok(Limit { kind: LimitKind::Wrench, torque, trust: Trust::Good })
}

/// The limit that governs: the smallest.
#[must_use]
pub fn weakest(limits: &[Limit]) -> Option<Limit> {
    limits.iter().copied().reduce(|a, b| if b.torque < a.torque { b } else { a })
}

/// Pull at the end of a bar that makes a torque: F = T/L. An impact or a jerk makes several times
/// as much.
///
/// # Errors
/// [`DriveError`] for a bar of no length or a negative torque.
pub fn pull_on_bar(torque: Torque, bar: Length) -> Result<Force, DriveError> {
    if bar.mm() <= 0.0 {
        return Err(DriveError::NoBar(bar));
    }
    if torque.nm() < 0.0 {
        return Err(DriveError::Negative(torque));
    }
    Ok(saturate::force(torque.nm() * MM_PER_M / bar.mm()))
}

pub(crate) fn read_proof(row: Row<'_>) -> Option<(f64, f64, f64)> {
    row.text("source")?;
    Some((row.number("af")?, row.number("ring")?, row.number("open")?))
}
