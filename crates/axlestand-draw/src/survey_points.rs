//! The points of a strut corner and the tapes between them.

use crate::face;
use crate::look::{Tone, size, weight};
use crate::scene::{Anchor, Dash, Drawing, Item, Pen, Spot};

const WIDTH: f64 = 186.0;
const FLOOR: f64 = 128.0;

/// The points as they are drawn: letter, from in front, from above. A schematic corner, no car's.
const POINTS: [(&str, Spot, Spot); 8] = [
    ("A", [34.0, 104.0], [116.0, 34.0]),
    ("B", [19.0, 97.0], [113.0, 92.0]),
    ("C", [80.0, 110.0], [168.0, 36.0]),
    ("D", [24.0, 84.0], [111.0, 64.0]),
    ("E", [71.0, 90.0], [162.0, 62.0]),
    ("S", [68.0, 70.0], [151.0, 42.0]),
    ("T", [56.0, 22.0], [143.0, 49.0]),
    ("W", [88.0, 82.0], [178.0, 47.0]),
];

/// The thirteen: number, what it joins, how far along the number stands; heights go down to the floor, angles stand beside their line.
const TAPES: [(&str, usize, usize, f64); 7] = [
    ("1", 2, 4, 0.5),
    ("2", 2, 3, 0.72),
    ("3", 3, 4, 0.5),
    ("4", 0, 4, 0.25),
    ("5", 0, 2, 0.5),
    ("6", 2, 5, 0.5),
    ("7", 5, 6, 0.5),
];
const HEIGHTS: [(&str, usize); 4] = [("8", 0), ("9", 2), ("10", 3), ("11", 4)];

const TITLE: &str = "The points of a strut corner, left side";
const TOLD: &str = "A, B: the arm's front and rear pivot. C: lower ball joint. D, E: inner and outer tie-rod joint. S: the strut's tube at its clamp. T: top mount. W: hub. 1 to 7: tapes, joint centre to joint centre. 8 to 11: heights above the floor. 12: lean of the strut. 13: rise of the arm from A to C. On the right side the same, as in a mirror.";

/// The points of a strut corner from in front and from above, with the thirteen readings of its survey.
#[must_use]
pub fn survey_points() -> Drawing {
    let ink = Pen::new(Tone::Ink, weight::USUAL);
    let faint = Pen { tone: Tone::Faint, weight: weight::USUAL, dash: Dash::Ghost };
    let mut items = vec![
        Item::strong([3.0, 7.0], TITLE, size::HEADING, Tone::Ink),
        Item::text([30.0, 14.0], "from in front", size::SMALL, Tone::Quiet),
        Item::text([120.0, 14.0], "from above, front upwards", size::SMALL, Tone::Quiet),
        Item::line(vec![[8.0, FLOOR], [98.0, FLOOR]], ink),
        Item::text([8.0, FLOOR + 4.0], "floor", size::SMALL, Tone::Quiet),
    ];
    let front = |at: usize| POINTS[at].1;
    let above = |at: usize| POINTS[at].2;
    for (number, at) in HEIGHTS {
        let [x, y] = front(at);
        items.push(Item::line(vec![[x, y], [x, FLOOR]], faint));
        items.push(Item::strong([x, FLOOR + 4.5], number, size::BODY, Tone::Ink).anchored(Anchor::Middle));
    }
    for (number, from, to, part) in TAPES {
        items.push(Item::line(vec![front(from), front(to)], Pen::new(Tone::Ink, weight::FINE)));
        items.push(Item::line(vec![above(from), above(to)], Pen::new(Tone::Ink, weight::FINE)));
        // Numbers where the lines are apart: the strut's from in front, the others from above.
        let (a, b) = if number == "7" { (front(from), front(to)) } else { (above(from), above(to)) };
        items.push(numeral(along(a, b, part), number));
    }
    for (number, from, to, part) in [("12", 5, 6, 0.75), ("13", 0, 2, 0.5)] {
        let (a, b) = (front(from), front(to));
        items.push(numeral(along(a, b, part), number));
    }
    let arm =
        |of: &dyn Fn(usize) -> Spot| Item::line(vec![of(0), of(2), of(1)], Pen { dash: Dash::Full, ..faint });
    items.insert(0, arm(&front));
    items.insert(0, arm(&above));
    for (letter, front, above) in POINTS {
        for at in [front, above] {
            items.push(Item::Circle { at, radius: 1.2, pen: None, fill: Some(Tone::Ink) });
            items.push(Item::strong([at[0] + 1.8, at[1] - 1.4], letter, size::WORK, Tone::Ink));
        }
    }
    let mut y = FLOOR + 13.0;
    for line in face::lines(TOLD, size::BODY, false, WIDTH - 6.0) {
        items.push(Item::text([3.0, y], &line, size::BODY, Tone::Ink));
        y += size::BODY * 1.35;
    }
    Drawing { size: [WIDTH, y], title: TITLE.to_owned(), description: TOLD.to_owned(), items }
}

fn along(a: Spot, b: Spot, part: f64) -> Spot {
    [a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part]
}

/// A number that stands on its line.
fn numeral([x, y]: Spot, number: &str) -> Item {
    let text = Item::strong([x, y + 1.2], number, size::BODY, Tone::Ink).anchored(Anchor::Middle);
    let back = Item::Circle { at: [x, y], radius: 2.4, pen: None, fill: Some(Tone::Ground) };
    Item::Group {
        id: format!("reading-{number}"),
        title: format!("reading {number}"),
        description: "of the thirteen".to_owned(),
        tap: None,
        items: vec![back, text],
    }
}
