//! Marks of fasteners: each state has a shape and a word of its own.

use crate::look::{Tone, weight};
use crate::scene::{Item, Pen, Spot};

/// How a fastener or a connection stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PinState {
    /// As it was found.
    InPlace,
    /// Broken loose, still in.
    Loose,
    /// Out, or undone.
    Out,
    /// Started by hand.
    ByHand,
    /// Seated; the final torque is still due.
    Seated,
    /// At its final torque, or made.
    Final,
    /// Locked.
    Locked,
    /// Broken, still in.
    Broken,
    /// Out and scrap: a new one goes in.
    Scrap,
}

impl PinState {
    /// Every state, in the order of a job.
    pub const ALL: [Self; 9] = [
        Self::InPlace,
        Self::Loose,
        Self::Out,
        Self::ByHand,
        Self::Seated,
        Self::Final,
        Self::Locked,
        Self::Broken,
        Self::Scrap,
    ];

    /// The state in a word or two.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::InPlace => "untouched",
            Self::Loose => "loose",
            Self::Out => "OUT",
            Self::ByHand => "by hand",
            Self::Seated => "SEATED only",
            Self::Final => "final",
            Self::Locked => "final, locked",
            Self::Broken => "BROKEN",
            Self::Scrap => "SCRAP",
        }
    }
}

/// Half the width of a mark, mm.
pub(super) const RADIUS: f64 = 1.45;

/// The mark of a state: ring, ring with a slash, empty square, triangle, half-filled disc, disc,
/// disc in a ring, cross, crossed square.
pub(super) fn mark(at @ [x, y]: Spot, state: PinState, now: bool) -> Vec<Item> {
    let tone = if now { Tone::Now } else { Tone::Ink };
    let pen = Some(Pen::new(tone, weight::USUAL));
    let ground = Some(Tone::Ground);
    let r = RADIUS;
    let ring = Item::Circle { at, radius: r, pen, fill: ground };
    let mut items = match state {
        PinState::InPlace => vec![ring],
        PinState::Loose => {
            vec![ring, Item::line(vec![[x - r, y + r], [x + r, y - r]], Pen::new(tone, weight::USUAL))]
        }
        PinState::Out => vec![Item::rect([x - r, y - r], [2.0 * r, 2.0 * r], pen, ground)],
        PinState::ByHand => {
            vec![Item::area(vec![[x, y - r], [x + r, y + r], [x - r, y + r]], pen, ground)]
        }
        PinState::Seated => vec![ring, half(at, r, tone)],
        PinState::Final => vec![Item::Circle { at, radius: r, pen, fill: Some(tone) }],
        PinState::Locked => vec![ring, Item::Circle { at, radius: r * 0.58, pen: None, fill: Some(tone) }],
        PinState::Broken => {
            let mut items = vec![Item::rect([x - r, y - r], [2.0 * r, 2.0 * r], None, ground)];
            items.extend(cross(at, Pen::new(tone, weight::STRONG)));
            items
        }
        PinState::Scrap => {
            let mut items = vec![Item::rect([x - r, y - r], [2.0 * r, 2.0 * r], pen, ground)];
            items.extend(cross(at, Pen::new(tone, weight::USUAL)));
            items
        }
    };
    if now {
        let pen = Some(Pen::new(Tone::Now, weight::STRONG));
        items.insert(0, Item::Circle { at, radius: r + 1.0, pen, fill: ground });
    }
    items
}

/// The lower half of a disc.
fn half([x, y]: Spot, r: f64, tone: Tone) -> Item {
    let arc = (0..=16).map(|i| (f64::from(i) / 16.0 * 180.0).to_radians());
    Item::area(arc.map(|a| [x + r * a.cos(), y + r * a.sin()]).collect(), None, Some(tone))
}

/// Two lines from corner to corner.
fn cross([x, y]: Spot, pen: Pen) -> [Item; 2] {
    let r = RADIUS;
    [
        Item::line(vec![[x - r, y - r], [x + r, y + r]], pen),
        Item::line(vec![[x - r, y + r], [x + r, y - r]], pen),
    ]
}
