//! Call-outs: what is written beside a drawing, in two columns, without one lying on another.

use crate::face;
use crate::look::{Tone, size, weight};
use crate::scene::{Anchor, Item, Pen, Spot};

/// Something to write beside a spot.
#[derive(Debug, Clone)]
pub(super) struct Callout {
    /// The spot it speaks of.
    pub(super) at: Spot,
    /// Where its leader starts: at the edge of the mark.
    pub(super) reach: f64,
    /// Its lines, the name's in bold and first.
    pub(super) lines: Vec<String>,
    /// How many of them are the name's.
    pub(super) bold: usize,
    /// Whether it is about now.
    pub(super) now: bool,
}

impl Callout {
    /// A name, broken where it is wider than the column, and what is told below it.
    pub(super) fn new(at: Spot, reach: f64, name: &str, told: String, column: f64, text: f64) -> Self {
        let mut lines = face::lines(name, text, true, column - ASIDE);
        let bold = lines.len();
        lines.push(told);
        Self { at, reach, lines, bold, now: false }
    }

    /// The same, about now or not.
    pub(super) fn about_now(self, now: bool) -> Self {
        Self { now, ..self }
    }
}

/// The columns beside a drawing.
#[derive(Debug, Clone, Copy)]
pub(super) struct Columns {
    /// Right edge of the left column and left edge of the right one.
    pub(super) edges: [f64; 2],
    /// Width of each column.
    pub(super) width: f64,
    /// Upper and lower edge.
    pub(super) span: [f64; 2],
    /// Size of the text.
    pub(super) text: f64,
}

/// What a column loses to the space beside its leaders.
const ASIDE: f64 = 1.4;
/// Line height over the size of the text.
const LEADING: f64 = 1.22;
/// Free height between two call-outs.
const GAP: f64 = 1.1;

/// The height that a call-out takes.
pub(super) fn height(callout: &Callout, text: f64) -> f64 {
    callout.lines.len() as f64 * text * LEADING + GAP
}

/// Which call-outs go to the left: the left half of them, by their spots.
pub(super) fn split(callouts: Vec<Callout>) -> [Vec<Callout>; 2] {
    let mut sorted = callouts;
    sorted.sort_by(|a, b| a.at[0].total_cmp(&b.at[0]).then(a.at[1].total_cmp(&b.at[1])));
    let right = sorted.split_off(sorted.len() / 2);
    [sorted, right].map(|mut side| {
        side.sort_by(|a, b| a.at[1].total_cmp(&b.at[1]).then(a.at[0].total_cmp(&b.at[0])));
        side
    })
}

/// The call-outs of one column with their leaders, in an order in which no two of these cross.
pub(super) fn column(side: &[Callout], right: bool, columns: Columns) -> Vec<Vec<Item>> {
    let edge = columns.edges[usize::from(right)];
    let out = if right { 1.0 } else { -1.0 };
    let (order, middles) = uncrossed(side, edge, columns);
    order.iter().zip(middles).map(|(at, middle)| one(&side[*at], middle, edge, out, columns)).collect()
}

/// How often two crossing leaders are looked for and exchanged, at most.
const EXCHANGES: usize = 400;

/// The order of call-outs from above, with the middle of each. Wherever two leaders cross, their
/// call-outs change places: that shortens both together, so it comes to an end where all have the same
/// height. Where heights differ the order with the fewest crossings that was met is kept.
fn uncrossed(side: &[Callout], edge: f64, columns: Columns) -> (Vec<usize>, Vec<f64>) {
    let place = |order: &[usize]| {
        let heights: Vec<f64> = order.iter().map(|at| height(&side[*at], columns.text)).collect();
        let wanted: Vec<f64> = order.iter().map(|at| side[*at].at[1]).collect();
        spread(&wanted, &heights, columns.span)
    };
    let mut order: Vec<usize> = (0..side.len()).collect();
    let mut best = (usize::MAX, order.clone());
    for _ in 0..EXCHANGES {
        let middles = place(&order);
        let leaders: Vec<[Spot; 2]> =
            order.iter().zip(&middles).map(|(at, middle)| [side[*at].at, [edge, *middle]]).collect();
        let found = crossings(&leaders);
        if found.len() < best.0 {
            best = (found.len(), order.clone());
        }
        let Some([a, b]) = found.first() else { break };
        order.swap(*a, *b);
    }
    let middles = place(&best.1);
    (best.1, middles)
}

/// The pairs of lines that cross.
fn crossings(lines: &[[Spot; 2]]) -> Vec<[usize; 2]> {
    let pairs = (0..lines.len()).flat_map(|a| (a + 1..lines.len()).map(move |b| [a, b]));
    pairs.filter(|[a, b]| cross(lines[*a], lines[*b])).collect()
}

/// Whether each line has the ends of the other one on both its sides.
fn cross([a, b]: [Spot; 2], [c, d]: [Spot; 2]) -> bool {
    let turn = |[px, py]: Spot, [qx, qy]: Spot, [rx, ry]: Spot| (qx - px) * (ry - py) - (qy - py) * (rx - px);
    turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0
}

fn one(callout: &Callout, middle: f64, edge: f64, out: f64, columns: Columns) -> Vec<Item> {
    let tone = if callout.now { Tone::Now } else { Tone::Quiet };
    let text = columns.text;
    let top = middle - callout.lines.len() as f64 * text * LEADING / 2.0;
    let anchor = if out > 0.0 { Anchor::Start } else { Anchor::End };
    let to = [edge, middle];
    let mut items = vec![Item::line(vec![from(callout, to), to], Pen::new(tone, weight::FINE))];
    for (at, line) in callout.lines.iter().enumerate() {
        let y = top + (at as f64 + 0.8) * text * LEADING;
        let first = at < callout.bold;
        let room = columns.width - ASIDE;
        let tone = match (callout.now, first) {
            (true, _) => Tone::Now,
            (false, true) => Tone::Ink,
            (false, false) => Tone::Quiet,
        };
        let line = face::fitted(line, text, first, room);
        let item = Item::text([edge + out * 1.2, y], &line, text, tone).anchored(anchor);
        items.push(if first { item.bold() } else { item });
    }
    items
}

/// Where the leader leaves the mark.
fn from(callout: &Callout, to: Spot) -> Spot {
    let [dx, dy] = [to[0] - callout.at[0], to[1] - callout.at[1]];
    let far = dx.hypot(dy).max(1e-9);
    let part = (callout.reach / far).min(1.0);
    [callout.at[0] + dx * part, callout.at[1] + dy * part]
}

/// Middles as near to the wanted ones as the heights allow, in the same order, within the span:
/// neighbours that would overlap are pooled and moved as one (pool adjacent violators).
fn spread(wanted: &[f64], heights: &[f64], span: [f64; 2]) -> Vec<f64> {
    struct Pool {
        count: usize,
        height: f64,
        top: f64,
    }
    let total: f64 = heights.iter().sum();
    let floor = (span[1]).max(span[0] + total);
    let mut pools: Vec<Pool> = Vec::new();
    for (want, height) in wanted.iter().zip(heights) {
        let top = |want: f64, height: f64| (want - height / 2.0).clamp(span[0], floor - height);
        pools.push(Pool { count: 1, height: *height, top: top(*want, *height) });
        while let [.., above, below] = pools.as_slice() {
            if above.top + above.height <= below.top + 1e-9 {
                break;
            }
            let count = above.count + below.count;
            let height = above.height + below.height;
            let wish = |pool: &Pool| (pool.top + pool.height / 2.0) * pool.count as f64;
            let middle = (wish(above) + wish(below)) / count as f64;
            pools.truncate(pools.len() - 2);
            pools.push(Pool { count, height, top: top(middle, height) });
        }
    }
    let mut heights = heights.iter();
    let mut middles = Vec::new();
    for pool in pools {
        let mut top = pool.top;
        for height in heights.by_ref().take(pool.count) {
            middles.push(top + height / 2.0);
            top += height;
        }
    }
    middles
}

/// Words at the foot, each behind its sign, in as many rows as they need.
pub(super) fn legend(entries: Vec<(Vec<Item>, &str)>, left: f64, top: f64, room: f64) -> (Vec<Item>, f64) {
    let text = size::SMALL;
    let (mut x, mut y) = (left, top);
    let mut items = Vec::new();
    for (sign, word) in entries {
        let wide = 4.6 + face::width(word, text, false) + 4.0;
        if x + wide > left + room && x > left {
            x = left;
            y += 5.0;
        }
        items.extend(sign.into_iter().map(|item| item.moved([x + 1.6, y], 1.0)));
        items.push(Item::text([x + 4.6, y + text * 0.36], word, text, Tone::Ink));
        x += wide;
    }
    (items, y + 4.0)
}
