//! Widths across flats by thread and head standard.
//!
//! The same thread has different heads after ISO, the old DIN, JIS and the flange standards, and
//! the same width sits on different threads: never tell the thread from the wrench alone.

use std::fmt;
use std::sync::LazyLock;

use axlestand_quantity::Length;

use crate::saturate;
use crate::table::{Row, Table};
use crate::thread::{INCH_MM, Thread};

/// The table as text.
pub(crate) const TEXT: &str = include_str!("../../../data/across_flats.csv");

static ROWS: LazyLock<Vec<HeadRow>> = LazyLock::new(|| Table::read(TEXT, read));

/// The standard or series a hexagon head follows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum HeadStandard {
    /// ISO 4014, 4017 and 4032, with the widths of ISO 272:1982.
    Iso,
    /// DIN 931, 933 and 934 before that change.
    OldDin,
    /// JIS B 1180/1181, normal series.
    JisNormal,
    /// JIS small series, usual on Japanese cars.
    JisSmall,
    /// Flange head, small series (EN 1662).
    FlangeSmall,
    /// Flange head, heavy series (EN 1665), and flange nut (EN 1661, ISO 4161).
    FlangeHeavy,
    /// Inch bolts and nuts (ASME B18.2.1, B18.2.2).
    Inch,
}

/// One width with its standard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AcrossFlats {
    /// The standard or series.
    pub standard: HeadStandard,
    /// Nominal width across flats.
    pub width: Length,
    /// A remark such as "nut" or "newer edition"; empty where there is none.
    pub note: &'static str,
    /// Source id, as in SOURCES.md; `memory` where the row was not read.
    pub source: &'static str,
}

pub(crate) struct HeadRow {
    metric: bool,
    diameter_mm: f64,
    head: AcrossFlats,
}

/// The widths that heads and nuts of `thread` have, by standard. Empty for sizes not in the table.
#[must_use]
pub fn across_flats(thread: Thread) -> Vec<AcrossFlats> {
    ROWS.iter()
        .filter(|row| {
            row.metric == thread.is_metric() && (row.diameter_mm - thread.diameter_mm()).abs() < 1e-6
        })
        .map(|row| row.head)
        .collect()
}

/// The width of one standard, the first row where a standard prints two.
#[must_use]
pub fn across_flats_by(thread: Thread, standard: HeadStandard) -> Option<Length> {
    across_flats(thread).into_iter().find(|head| head.standard == standard).map(|head| head.width)
}

/// The thread diameters that carry a head of nominal width `width`, with the standard. Several
/// answers are the rule, which is why a wrench size never tells the thread.
#[must_use]
pub fn diameters_with(width: Length) -> Vec<(Length, HeadStandard)> {
    ROWS.iter()
        .filter(|row| (row.head.width.mm() - width.mm()).abs() < 1e-3)
        .map(|row| (saturate::length(row.diameter_mm), row.head.standard))
        .collect()
}

pub(crate) fn read(row: Row<'_>) -> Option<HeadRow> {
    let metric = match row.text("system")? {
        "metric" => true,
        "inch" => false,
        _ => return None,
    };
    let factor = if metric { 1.0 } else { INCH_MM };
    let standard = match row.text("standard")? {
        "iso" => HeadStandard::Iso,
        "din-old" => HeadStandard::OldDin,
        "jis-normal" => HeadStandard::JisNormal,
        "jis-small" => HeadStandard::JisSmall,
        "flange-small" => HeadStandard::FlangeSmall,
        "flange-heavy" => HeadStandard::FlangeHeavy,
        "inch" => HeadStandard::Inch,
        _ => return None,
    };
    Some(HeadRow {
        metric,
        diameter_mm: row.number("diameter")? * factor,
        head: AcrossFlats {
            standard,
            width: saturate::length(row.number("af")? * factor),
            note: row.text("note").unwrap_or_default(),
            source: row.text("source")?,
        },
    })
}

impl fmt::Display for HeadStandard {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Iso => "ISO",
            Self::OldDin => "old DIN",
            Self::JisNormal => "JIS",
            Self::JisSmall => "JIS small",
            Self::FlangeSmall => "small flange",
            Self::FlangeHeavy => "flange",
            Self::Inch => "inch",
        })
    }
}
