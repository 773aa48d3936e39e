//! Tables: a head that is repeated on each page, cells that break into lines.

use super::flow::{Flow, LEADING, Piece, Strip, Tag};
use crate::face;
use crate::look::{Tone, size, weight};
use crate::scene::{Item, Pen};

/// A table.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// Its columns: title and share of the width.
    pub columns: Vec<(String, f64)>,
    /// Its rows, a cell for each column.
    pub rows: Vec<Vec<String>>,
    /// Whether each row begins with a box to tick.
    pub tick: bool,
}

/// Space between columns.
const GUTTER: f64 = 3.0;
/// The side of a box in a table, with the space behind it.
const TICK: f64 = 12.0;

pub(super) fn set(table: &Table, flow: &mut Flow) {
    if table.columns.is_empty() || table.rows.is_empty() {
        return;
    }
    let number = flow.number();
    let lefts = lefts(table, flow.room());
    let titles: Vec<String> = table.columns.iter().map(|(title, _)| title.clone()).collect();
    let mut head = strip(&titles, &lefts, number, 0, false);
    let rule =
        Item::line(vec![[0.0, head.height], [flow.room(), head.height]], Pen::new(Tone::Ink, weight::USUAL));
    head.pieces.push(Piece::new(Tag::Artifact, vec![rule]));
    head.height += 0.6;
    flow.set(Strip { keep: 14.0, ..head.clone() }, None);
    for (at, cells) in table.rows.iter().enumerate() {
        flow.set(strip(cells, &lefts, number, at + 1, table.tick), Some(&head));
    }
    flow.gap(2.5);
}

/// Where columns begin, with the right edge behind them.
fn lefts(table: &Table, room: f64) -> Vec<f64> {
    let start = if table.tick { TICK } else { 0.0 };
    let shares: f64 = table.columns.iter().map(|(_, share)| share.max(0.01)).sum();
    let mut x = start;
    let mut lefts = vec![x];
    for (_, share) in &table.columns {
        x += (room - start) * share.max(0.01) / shares;
        lefts.push(x);
    }
    lefts
}

fn strip(cells: &[String], lefts: &[f64], table: usize, row: usize, tick: bool) -> Strip {
    let head = row == 0;
    let (high, tone) = if head { (size::SMALL, Tone::Quiet) } else { (size::BODY, Tone::Ink) };
    let mut pieces = Vec::new();
    let mut height: f64 = if tick { size::TICK + 0.6 } else { 0.0 };
    for (column, pair) in lefts.windows(2).enumerate() {
        let text = cells.get(column).map_or("", String::as_str);
        let lines = face::lines(text, high, false, pair[1] - pair[0] - GUTTER);
        let items = lines.iter().enumerate().map(|(at, line)| {
            Item::text([pair[0], 0.9 + (at as f64 * LEADING + 0.98) * high], line, high, tone)
        });
        pieces.push(Piece::new(Tag::Cell { table, row, column, head }, items.collect()));
        height = height.max(lines.len() as f64 * high * LEADING);
    }
    height += 1.9;
    let mut drawn = Vec::new();
    if tick {
        let pen = Some(Pen::new(Tone::Ink, weight::USUAL));
        drawn.push(Item::rect([0.0, 1.1], [size::TICK, size::TICK], pen, None));
    }
    if !head {
        let right = lefts.last().copied().unwrap_or(0.0);
        drawn.push(Item::line(vec![[0.0, height], [right, height]], Pen::new(Tone::Faint, weight::FINE)));
    }
    pieces.push(Piece::new(Tag::Artifact, drawn));
    Strip { height: height + 0.2, keep: 0.0, pieces }
}
