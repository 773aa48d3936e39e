//! Rows of work: number, tick box, what to do with what, what to set, room to write.

use super::flow::{Flow, LEADING, Piece, Strip, Tag, hatched};
use crate::face;
use crate::look::{Tone, size, weight};
use crate::scene::{Item, Pen};

/// A row of work to tick.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Row {
    /// Its number in the plan.
    pub number: Option<u32>,
    /// Whether it is done: its box is ticked and it recedes.
    pub done: bool,
    /// What is to be done.
    pub what: String,
    /// The tool with its size.
    pub tool: Option<String>,
    /// What is set on the tool, large.
    pub set: Option<String>,
    /// What goes with it: condition, car state, source, remarks.
    pub told: Vec<String>,
    /// What to read before.
    pub caution: Option<String>,
    /// What to write down: "length", "note".
    pub write: String,
}

/// Where the columns begin, mm from the left edge.
const BOX: f64 = 13.5;
const WHAT: f64 = 25.0;
/// The width of the room to write in.
const WRITE: f64 = 38.0;

/// The height of the head with the first two rows.
pub(super) fn opening(rows: &[Row], room: f64) -> f64 {
    head(room, 0).height + rows.iter().take(2).map(|row| strip(row, room, 0, 1).height).sum::<f64>()
}

pub(super) fn set(rows: &[Row], flow: &mut Flow) {
    let table = flow.number();
    let head = head(flow.room(), table);
    if !rows.is_empty() {
        let keep = opening(rows, flow.room()) - head.height;
        flow.set_head(Strip { keep, ..head.clone() });
    }
    for (at, row) in rows.iter().enumerate() {
        let strip = strip(row, flow.room(), table, at + 1);
        flow.set(strip, Some(&head));
    }
    flow.gap(2.0);
}

fn head(room: f64, table: usize) -> Strip {
    let titles =
        [(0.0, "row"), (BOX, "done"), (WHAT, "what, with what, how tight"), (room - WRITE, "length, note")];
    let mut pieces: Vec<Piece> = titles
        .iter()
        .enumerate()
        .map(|(column, (x, text))| {
            let tag = Tag::Cell { table, row: 0, column, head: true };
            Piece::new(tag, vec![Item::text([*x, 3.0], text, size::SMALL, Tone::Quiet)])
        })
        .collect();
    let rule = Item::line(vec![[0.0, 4.4], [room, 4.4]], Pen::new(Tone::Ink, weight::USUAL));
    pieces.push(Piece::new(Tag::Artifact, vec![rule]));
    Strip { height: 4.8, keep: 0.0, pieces }
}

fn strip(row: &Row, room: f64, table: usize, at: usize) -> Strip {
    let cell = |column: usize| Tag::Cell { table, row: at, column, head: false };
    let (what, height) = what(row, room - WRITE - WHAT - 3.0, &cell(2));
    let height = height.max(size::TICK + 2.6) + 2.0;
    let mut pieces =
        vec![number(row, Tag::Cell { table, row: at, column: 0, head: true }), tick(row, cell(1))];
    pieces.extend(what);
    let write = if row.done { String::new() } else { row.write.clone() };
    let mut space = Vec::new();
    if !write.is_empty() {
        space.push(Item::text(
            [room - WRITE, 3.6],
            &face::fitted(&write, size::SMALL, false, WRITE),
            size::SMALL,
            Tone::Quiet,
        ));
    }
    pieces.push(Piece::new(cell(3), space));
    let fine = Pen::new(Tone::Faint, weight::FINE);
    let mut rules = vec![Item::line(vec![[0.0, height], [room, height]], fine)];
    if !row.done {
        rules.push(Item::line(vec![[room - WRITE - 1.5, 1.2], [room - WRITE - 1.5, height - 1.2]], fine));
    }
    pieces.push(Piece::new(Tag::Artifact, rules));
    Strip { height: height + 0.4, keep: 0.0, pieces }
}

fn number(row: &Row, tag: Tag) -> Piece {
    let text = row.number.map_or_else(|| "–".to_owned(), |n| n.to_string());
    let tone = if row.done { Tone::Quiet } else { Tone::Ink };
    Piece::new(tag, vec![Item::strong([0.0, size::ROW * 1.15], &text, size::ROW, tone)])
}

/// The box; a tick in it where the row is done, and the word for who cannot see it.
fn tick(row: &Row, tag: Tag) -> Piece {
    let (x, y, side) = (BOX, 1.4, size::TICK);
    let mut items = vec![Item::rect([x, y], [side, side], Some(Pen::new(Tone::Ink, weight::USUAL)), None)];
    if row.done {
        let spots =
            vec![[x + 1.5, y + side * 0.55], [x + side * 0.42, y + side - 1.6], [x + side - 1.2, y + 1.6]];
        items.push(Item::line(spots, Pen::new(Tone::Ink, weight::STRONG)));
    }
    Piece::new(tag, items)
}

/// The main column, from the caution down to the remarks.
fn what(row: &Row, room: f64, tag: &Tag) -> (Vec<Piece>, f64) {
    let mut pieces = Vec::new();
    let mut y = 0.8;
    if let Some(caution) = row.caution.as_ref().filter(|_| !row.done) {
        let (hatched, height) = hatched(caution, size::BODY, room, tag.clone());
        let moved = |piece: Piece| {
            Piece::new(piece.tag, piece.items.into_iter().map(|i| i.moved([WHAT, y + 0.3], 1.0)).collect())
        };
        pieces.extend(hatched.into_iter().map(moved));
        y += height + 1.2;
    }
    let tone = if row.done { Tone::Quiet } else { Tone::Ink };
    let mut items = Vec::new();
    let mut line = |text: &str, high: f64, bold: bool, tone: Tone, y: &mut f64| {
        for text in face::lines(text, high, bold, room) {
            let item = Item::text([WHAT, *y + high * 0.98], &text, high, tone);
            items.push(if bold { item.bold() } else { item });
            *y += high * LEADING;
        }
    };
    line(&row.what, size::WORK, true, tone, &mut y);
    if !row.done {
        row.tool.iter().for_each(|tool| line(tool, size::BODY, false, Tone::Ink, &mut y));
        row.set.iter().for_each(|set| line(set, size::TOOL, true, Tone::Ink, &mut y));
    }
    row.told.iter().filter(|_| !row.done).for_each(|told| line(told, size::BODY, false, Tone::Quiet, &mut y));
    pieces.push(Piece::new(tag.clone(), items));
    (pieces, y)
}
