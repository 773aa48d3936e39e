//! The friction table.

use std::sync::LazyLock;

use super::{Condition, Evidence, FrictionRange, FrictionRow};
use crate::interval::Interval;
use crate::table::{Row, Table};

/// The table as text.
pub(crate) const TEXT: &str = include_str!("../../../../data/friction.csv");

static ROWS: LazyLock<Vec<FrictionRow>> = LazyLock::new(|| Table::read(TEXT, read));
static RANGES: LazyLock<Vec<Option<FrictionRange>>> =
    LazyLock::new(|| Condition::ALL.into_iter().map(hull).collect());

/// Every row.
pub(super) fn all() -> &'static [FrictionRow] {
    &ROWS
}

/// The range of a condition, computed once.
pub(super) fn range(condition: Condition) -> Option<FrictionRange> {
    RANGES.get(condition as usize).copied().flatten()
}

/// The hull of a condition's rows, with the first single value as its point and the weakest
/// evidence.
fn hull(condition: Condition) -> Option<FrictionRange> {
    let rows = || ROWS.iter().filter(|row| row.condition == condition);
    let low = rows().filter_map(|row| row.low).reduce(f64::min)?;
    let high = rows().filter_map(|row| row.high).reduce(f64::max)?;
    let point = rows().find_map(|row| row.point)?;
    let evidence = rows().map(|row| row.evidence).min()?;
    Some(FrictionRange { condition, coefficient: Interval::new(low, point, high)?, evidence })
}

/// Reads one row.
pub(crate) fn read(row: Row<'_>) -> Option<FrictionRow> {
    let slug = row.text("condition")?;
    let evidence = match row.text("evidence")? {
        "good" => Evidence::Good,
        "fair" => Evidence::Fair,
        "weak" => Evidence::Weak,
        _ => return None,
    };
    Some(FrictionRow {
        condition: Condition::ALL.into_iter().find(|condition| condition.slug() == slug)?,
        low: row.number("low"),
        point: row.number("point"),
        high: row.number("high"),
        evidence,
        source: row.text("source")?,
        note: row.text("note").unwrap_or_default(),
    })
}
