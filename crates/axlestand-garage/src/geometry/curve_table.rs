//! The table of a curve: the columns that have values, row by row, with the spread that typical
//! inputs leave.

use super::curve_columns::Column;
use super::curves::{ColumnView, CurveRow};
use super::figures::{Figures, spread};
use axlestand_model::car::Axle;

/// What is measured in each row, or why there is nothing.
pub(super) type Places<P> = Vec<Result<P, String>>;

/// Full droop and bump stop, mm, where they are known.
pub(super) type Ends = [Option<f64>; 2];

/// Where a row looks at the wheels.
#[derive(Debug, Clone, Copy)]
pub(super) struct At {
    /// Wheel travel, mm.
    pub(super) travel: f64,
    /// Rack travel to the left, mm.
    pub(super) rack: f64,
    /// The end of the damper's travel that a wheel lies beyond there.
    pub(super) beyond: Option<&'static str>,
}

/// Columns and rows.
pub(super) struct Table {
    pub(super) columns: Vec<ColumnView>,
    pub(super) rows: Vec<CurveRow>,
}

/// The table of `columns`, a row for each of `at`; `places` gives what is measured there for any
/// figures, `None` where they do not go together.
pub(super) fn table<'a, P: 'a, F: Figures>(
    columns: impl Iterator<Item = &'a Column<P>>,
    axle: &Axle,
    at: &[At],
    figures: &F,
    places: impl Fn(&F) -> Option<Places<P>>,
) -> Table {
    let cells = places(figures).unwrap_or_default();
    let value =
        |cell: &Result<P, String>, column: &Column<P>| cell.as_ref().ok().and_then(|p| (column.of)(p));
    let used: Vec<&Column<P>> =
        columns.filter(|c| cells.iter().any(|cell| value(cell, c).is_some())).collect();
    let spreads = spread(figures, |figures| {
        let all = places(figures)?;
        Some(all.iter().flat_map(|cell| used.iter().map(|c| value(cell, c))).collect())
    });
    let width = used.len();
    let rows = cells.iter().zip(at).enumerate().map(|(i, (cell, at))| CurveRow {
        travel: at.travel,
        height: axle.hub_to_arch.map(|height| height.mm() - at.travel),
        rack: at.rack,
        values: used.iter().map(|c| value(cell, c)).collect(),
        spread: spreads.as_ref().and_then(|all| all.get(i * width..(i + 1) * width)).map(<[_]>::to_vec),
        trouble: cell.as_ref().err().cloned(),
        beyond: at.beyond,
    });
    Table { rows: rows.collect(), columns: used.iter().map(|c| c.view.clone()).collect() }
}

/// The end that a wheel lies beyond at a travel, mm.
pub(super) fn beyond(travel: f64, [droop, bump]: Ends) -> Option<&'static str> {
    match () {
        () if droop.is_some_and(|droop| travel < droop) => Some("full droop"),
        () if bump.is_some_and(|bump| travel > bump) => Some("bump stop"),
        () => None,
    }
}

/// The travels of both wheels together or of one, straight ahead.
pub(super) fn ahead(travels: &[f64], ends: Ends) -> Vec<At> {
    let at = |travel: &f64| At { travel: *travel, rack: 0.0, beyond: beyond(*travel, ends) };
    travels.iter().map(at).collect()
}
