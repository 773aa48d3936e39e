//! The table of threads that exist.

use std::sync::LazyLock;

use super::{Hand, Series, Size, Thread};
use crate::table::{Row, Table};

/// The table as text.
pub(crate) const TEXT: &str = include_str!("../../../../data/threads.csv");

static ROWS: LazyLock<Vec<ThreadRow>> = LazyLock::new(|| Table::read(TEXT, read));

/// One row: the right-hand thread with what is printed about it.
pub(crate) struct ThreadRow {
    pub(crate) thread: Thread,
    /// mm² for metric, in² for inch threads.
    pub(crate) published_area: Option<f64>,
    pub(crate) source: &'static str,
}

/// Every row.
pub(crate) fn rows() -> &'static [ThreadRow] {
    &ROWS
}

/// The row of a thread, whatever its hand.
pub(super) fn find(thread: Thread) -> Option<&'static ThreadRow> {
    let right = thread.with_hand(Hand::Right);
    ROWS.iter().find(|row| row.thread == right)
}

/// Reads one row.
pub(crate) fn read(row: Row<'_>) -> Option<ThreadRow> {
    let diameter = row.number("diameter")?;
    let pitch = row.number("pitch")?;
    let series = match row.text("series")? {
        "coarse" => Series::MetricCoarse,
        "fine" => Series::MetricFine,
        "UNC" => Series::Unc,
        "UNF" => Series::Unf,
        "UNEF" => Series::Unef,
        "UNS" => Series::Uns,
        _ => return None,
    };
    let size = match row.text("system")? {
        "metric" => Size::Metric { diameter: scaled(diameter, 100.0)?, pitch: scaled(pitch, 100.0)? },
        "inch" => Size::Inch {
            diameter: scaled(diameter, 10_000.0)?,
            per_inch: scaled(pitch, 1.0)?,
            written: row.text("size")?,
        },
        _ => return None,
    };
    let thread = Thread { size, series, hand: Hand::Right };
    Some(ThreadRow { thread, published_area: row.number("published_area"), source: row.text("source")? })
}

/// A positive number in whole steps, where it is one.
pub(super) fn scaled(value: f64, steps: f64) -> Option<u32> {
    let whole = (value * steps).round();
    let fits = (1.0..1e7).contains(&whole) && (whole - value * steps).abs() < 1e-6;
    fits.then_some(whole as u32)
}
