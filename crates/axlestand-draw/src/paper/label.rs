//! Labels for bags and tray places, to cut out.

use super::flow::{Flow, Piece, Strip, Tag};
use crate::code::code;
use crate::face;
use crate::look::{Tone, size, weight};
use crate::scene::{Dash, Item, Pen};

/// A label.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Label {
    /// The short code, large: "41 L".
    pub short: String,
    /// What it is for.
    pub name: String,
    /// More: size, place.
    pub lines: Vec<String>,
    /// What the square code says.
    pub code: String,
}

/// Labels in a row, and the height of one, mm.
const ACROSS: usize = 3;
const HEIGHT: f64 = 36.0;
/// The side of the square code.
const CODE: f64 = 17.0;

pub(super) fn set(labels: &[Label], flow: &mut Flow) {
    let wide = flow.room() / ACROSS as f64;
    for row in labels.chunks(ACROSS) {
        let mut pieces = Vec::new();
        for (at, label) in row.iter().enumerate() {
            let id = flow.number();
            pieces.extend(one(label, wide, id).into_iter().map(|piece| {
                let by = [at as f64 * wide, 0.0];
                Piece::new(piece.tag, piece.items.into_iter().map(|item| item.moved(by, 1.0)).collect())
            }));
        }
        flow.set(Strip { height: HEIGHT, keep: 0.0, pieces }, None);
    }
}

fn one(label: &Label, wide: f64, id: usize) -> Vec<Piece> {
    let edge = Pen { tone: Tone::Faint, weight: weight::FINE, dash: Dash::Ghost };
    let frame = Item::rect([0.0, 0.0], [wide, HEIGHT], Some(edge), None);
    let room = wide - 6.0;
    let beside = room - CODE - 2.0;
    let big = (beside / face::width(&label.short, 1.0, true).max(1e-6)).min(24.0 * size::POINT);
    let mut items = vec![Item::strong([3.0, 3.0 + big * 0.9], &label.short, big, Tone::Ink)];
    let mut y = 3.0 + CODE + 2.0;
    for line in face::lines(&label.name, size::BODY, true, room).into_iter().take(2) {
        items.push(Item::strong([3.0, y + size::BODY * 0.9], &line, size::BODY, Tone::Ink));
        y += size::BODY * 1.2;
    }
    let mut pieces = vec![Piece::new(Tag::Artifact, vec![frame])];
    let mut side = 3.0 + big + 2.2;
    for line in label.lines.iter().flat_map(|line| face::lines(line, size::SMALL, false, beside)) {
        if side + size::SMALL * 1.2 > 3.0 + CODE + 2.0 {
            break;
        }
        items.push(Item::text([3.0, side + size::SMALL * 0.9], &line, size::SMALL, Tone::Ink));
        side += size::SMALL * 1.2;
    }
    pieces.push(Piece::new(Tag::Paragraph(id), items));
    if let Some(square) = code(&label.code, CODE) {
        let square = square.into_iter().map(|item| item.moved([wide - 3.0 - CODE, 3.0], 1.0)).collect();
        pieces.push(Piece::new(Tag::Figure(format!("code: {}", label.code)), square));
    }
    pieces
}
