//! The table of a curve: the columns that have values, row by row, with the spread that typical
//! inputs leave.

use super::curve_columns::Column;
use super::curves::{ColumnView, CurveRow};
use super::figures::{Figures, spread};
use axlestand_model::car::Axle;

/// What is measured at each travel, or why there is nothing.
pub(super) type Places<P> = Vec<Result<P, String>>;

/// Columns and rows.
pub(super) struct Table {
    pub(super) columns: Vec<ColumnView>,
    pub(super) rows: Vec<CurveRow>,
}

/// The table of `columns` at these travels, mm; `places` gives what is measured there for any figures,
/// `None` where they do not go together. `ends` are full droop and bump stop, mm.
pub(super) fn table<'a, P: 'a, F: Figures>(
    columns: impl Iterator<Item = &'a Column<P>>,
    axle: &Axle,
    travels: &[f64],
    ends: [Option<f64>; 2],
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
    let rows = cells.iter().zip(travels).enumerate().map(|(i, (cell, travel))| CurveRow {
        travel: *travel,
        height: axle.hub_to_arch.map(|height| height.mm() - travel),
        values: used.iter().map(|c| value(cell, c)).collect(),
        spread: spreads.as_ref().and_then(|all| all.get(i * width..(i + 1) * width)).map(<[_]>::to_vec),
        trouble: cell.as_ref().err().cloned(),
        beyond: beyond(*travel, ends),
    });
    Table { rows: rows.collect(), columns: used.iter().map(|c| c.view.clone()).collect() }
}

fn beyond(travel: f64, [droop, bump]: [Option<f64>; 2]) -> Option<&'static str> {
    match () {
        () if droop.is_some_and(|droop| travel < droop) => Some("full droop"),
        () if bump.is_some_and(|bump| travel > bump) => Some("bump stop"),
        () => None,
    }
}
