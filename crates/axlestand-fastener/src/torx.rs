//! Hexalobular (Torx) drives: sizes by thread, strength of internal ones, diameter of external ones.

use std::sync::LazyLock;

use axlestand_quantity::{Length, Torque};

use crate::saturate;
use crate::table::{Row, Table};
use crate::thread::Thread;

/// Strength of internal drives, as text.
pub(crate) const INTERNAL_TEXT: &str = include_str!("../../../data/torx.csv");
/// Outer diameter of external drives, as text.
pub(crate) const EXTERNAL_TEXT: &str = include_str!("../../../data/torx_external.csv");
/// Drives by thread, as text.
pub(crate) const BY_THREAD_TEXT: &str = include_str!("../../../data/torx_by_thread.csv");

static INTERNAL: LazyLock<Vec<(u32, f64, f64)>> = LazyLock::new(|| Table::read(INTERNAL_TEXT, read_internal));
static EXTERNAL: LazyLock<Vec<(u32, f64)>> = LazyLock::new(|| Table::read(EXTERNAL_TEXT, read_external));
static BY_THREAD: LazyLock<Vec<DriveRow>> = LazyLock::new(|| Table::read(BY_THREAD_TEXT, read_by_thread));

/// Which way round the six lobes are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum TorxKind {
    /// A socket in the screw, size T.
    Internal,
    /// A lobed head, size E.
    External,
}

/// A drive that screws of a thread have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TorxDrive {
    /// Internal (T) or external (E).
    pub kind: TorxKind,
    /// The number behind T or E.
    pub size: u32,
    /// The product standard; empty where none is known.
    pub standard: &'static str,
    /// Source id, as in SOURCES.md; `memory` where the row was not read.
    pub source: &'static str,
}

pub(crate) struct DriveRow {
    diameter_mm: f64,
    drive: TorxDrive,
}

/// The drives that metric screws of this diameter have. Empty for sizes not in the table.
#[must_use]
pub fn drives(thread: Thread) -> Vec<TorxDrive> {
    BY_THREAD
        .iter()
        .filter(|row| thread.is_metric() && (row.diameter_mm - thread.diameter_mm()).abs() < 1e-6)
        .map(|row| row.drive)
        .collect()
}

/// What an internal drive of size T`size` holds: the lower and the higher of the printed figures.
/// Work to the lower one; a worn bit or a rusty socket holds less than either.
#[must_use]
pub fn internal_limit(size: u32) -> Option<(Torque, Torque)> {
    let (_, low, high) = INTERNAL.iter().find(|row| row.0 == size)?;
    Some((saturate::torque(*low), saturate::torque(*high)))
}

/// Diameter over the lobes of an external drive of size E`size`.
#[must_use]
pub fn external_diameter(size: u32) -> Option<Length> {
    EXTERNAL.iter().find(|row| row.0 == size).map(|row| saturate::length(row.1))
}

pub(crate) fn read_internal(row: Row<'_>) -> Option<(u32, f64, f64)> {
    Some((row.whole("size")?, row.number("torque_low")?, row.number("torque_high")?))
}

pub(crate) fn read_external(row: Row<'_>) -> Option<(u32, f64)> {
    Some((row.whole("size")?, row.number("outside")?))
}

pub(crate) fn read_by_thread(row: Row<'_>) -> Option<DriveRow> {
    let kind = match row.text("kind")? {
        "internal" => TorxKind::Internal,
        "external" => TorxKind::External,
        _ => return None,
    };
    Some(DriveRow {
        diameter_mm: row.number("diameter")?,
        drive: TorxDrive {
            kind,
            size: row.whole("size")?,
            standard: row.text("standard").unwrap_or_default(),
            source: row.text("source")?,
        },
    })
}
