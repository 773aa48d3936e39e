//! Keys beside marks, where there is no room for names: each close to its mark, none on another.

use crate::face;
use crate::look::{Tone, weight};
use crate::scene::{Anchor, Item, Pen, Spot};

/// A key that wants to stand beside a mark.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Key {
    /// The middle of the mark.
    pub(super) at: Spot,
    /// How far the mark reaches.
    pub(super) reach: f64,
    /// What is written.
    pub(super) text: String,
    /// Its size.
    pub(super) size: f64,
    /// Whether it is about now.
    pub(super) now: bool,
}

/// How far keys may stand from the edge of their mark, mm; the nearest free place is taken.
const AWAY: [f64; 7] = [0.5, 2.0, 4.0, 7.0, 11.0, 16.0, 22.0];
/// Directions that are tried at each distance.
const DIRECTIONS: u32 = 24;
/// Free edge about a key, mm, and how far signs reach below the base line, of their size.
const FREE: f64 = 0.2;
const BELOW: f64 = 0.24;

/// A box: left, top, right, bottom.
type Frame = [f64; 4];

/// The keys with their leaders. `marks` are middles and reaches of everything that must stay visible,
/// `area` the box that no key leaves. A key without a free place is left out.
pub(super) fn keys(keys: &[Key], marks: &[(Spot, f64)], area: Frame) -> Vec<Item> {
    let mut taken: Vec<Frame> = marks.iter().map(|([x, y], r)| [x - r, y - r, x + r, y + r]).collect();
    let own = taken.len();
    let mut leaders: Vec<[Spot; 2]> = Vec::new();
    let mut items = Vec::new();
    for key in keys {
        let Some((frame, leader)) = free(key, marks, &taken, own, &leaders, area) else { continue };
        taken.push(frame);
        leaders.extend(leader);
        items.push((key, frame, leader));
    }
    // Leaders below, the words on a ground of their own above them.
    let lines = items.iter().filter_map(|(key, _, leader)| {
        let tone = if key.now { Tone::Now } else { Tone::Quiet };
        leader.map(|ends| Item::line(ends.to_vec(), Pen::new(tone, weight::FINE)))
    });
    let words = items.iter().flat_map(|(key, [left, top, right, bottom], _)| {
        let tone = if key.now { Tone::Now } else { Tone::Ink };
        let at = [(left + right) / 2.0, bottom - FREE - BELOW * key.size];
        [
            Item::rect([*left, *top], [right - left, bottom - top], None, Some(Tone::Ground)),
            Item::strong(at, &key.text, key.size, tone).anchored(Anchor::Middle),
        ]
    });
    lines.chain(words).collect()
}

/// The nearest free box for a key, with its leader where it does not stand close.
fn free(
    key: &Key,
    marks: &[(Spot, f64)],
    taken: &[Frame],
    own: usize,
    leaders: &[[Spot; 2]],
    area: Frame,
) -> Option<(Frame, Option<[Spot; 2]>)> {
    let half = [face::width(&key.text, key.size, true) / 2.0 + 2.0 * FREE, key.size / 2.0 + FREE];
    // Every leader touches its own mark.
    let others = marks.iter().filter(|(at, _)| (at[0] - key.at[0]).hypot(at[1] - key.at[1]) > 1e-6);
    for away in AWAY {
        for direction in 0..DIRECTIONS {
            let (sin, cos) = (f64::from(direction) * std::f64::consts::TAU / f64::from(DIRECTIONS)).sin_cos();
            // From the edge of the mark to the edge of the box.
            let box_reach = (half[0] / cos.abs().max(1e-9)).min(half[1] / sin.abs().max(1e-9));
            let far = key.reach + away + box_reach;
            let [x, y] = [key.at[0] + far * cos, key.at[1] + far * sin];
            let frame = [x - half[0], y - half[1], x + half[0], y + half[1]];
            let to = far - box_reach;
            let leader = (away > AWAY[0]).then(|| {
                [
                    [key.at[0] + key.reach * cos, key.at[1] + key.reach * sin],
                    [key.at[0] + to * cos, key.at[1] + to * sin],
                ]
            });
            let inside =
                frame[0] >= area[0] && frame[1] >= area[1] && frame[2] <= area[2] && frame[3] <= area[3];
            let clear = !taken.iter().any(|other| overlap(*other, frame))
                && !leaders.iter().any(|[a, b]| through(*a, *b, frame));
            let straight = leader.is_none_or(|[a, b]| {
                !taken[own..].iter().any(|other| through(a, b, *other))
                    && !others.clone().any(|(at, reach)| near([a, b], *at) < reach + 0.2)
            });
            if inside && clear && straight {
                return Some((frame, leader));
            }
        }
    }
    None
}

fn overlap(a: Frame, b: Frame) -> bool {
    a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

/// Whether a line runs through a box: looked at every tenth of its way.
fn through(a: Spot, b: Spot, [left, top, right, bottom]: Frame) -> bool {
    (0..=10).any(|step| {
        let part = f64::from(step) / 10.0;
        let [x, y] = [a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part];
        (left..=right).contains(&x) && (top..=bottom).contains(&y)
    })
}

/// The distance of a spot from a line.
fn near([a, b]: [Spot; 2], [x, y]: Spot) -> f64 {
    let [dx, dy] = [b[0] - a[0], b[1] - a[1]];
    let square = dx * dx + dy * dy;
    let part = if square > 0.0 { ((x - a[0]) * dx + (y - a[1]) * dy) / square } else { 0.0 };
    let part = part.clamp(0.0, 1.0);
    (a[0] + part * dx - x).hypot(a[1] + part * dy - y)
}
