//! Strings around a car, from above: what toe is measured with, and where exactly.

use crate::face;
use crate::look::{Tone, size, weight};
use crate::scene::{Anchor, Dash, Drawing, Item, Pen, Spot};

/// The car whose wheels are measured, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StringSetup {
    /// Wheelbase.
    pub wheelbase: f64,
    /// Track at the front.
    pub track_front: f64,
    /// Track at the rear.
    pub track_rear: f64,
}

const WIDTH: f64 = 186.0;
const TOP: f64 = 16.0;

/// The car between two strings, with the eight distances that give the toe of each wheel. The front
/// of the car is to the left; its left side is below.
#[must_use]
pub fn string_setup(car: StringSetup) -> Drawing {
    let sound = |v: f64, usual: f64| if v.is_finite() && (500.0..6000.0).contains(&v) { v } else { usual };
    let (base, front, rear) =
        (sound(car.wheelbase, 2600.0), sound(car.track_front, 1500.0), sound(car.track_rear, 1500.0));
    let scale = 92.0 / base;
    let half = |track: f64| track * scale / 2.0;
    let axle = [44.0, 44.0 + base * scale];
    let string = half(front.max(rear)) + 9.0;
    let middle = TOP + string;
    let mut items =
        vec![Item::strong([3.0, 7.0], "Strings around the car, from above", size::HEADING, Tone::Ink)];
    let faint = Pen { tone: Tone::Faint, weight: weight::USUAL, dash: Dash::Long };
    let body = [axle[0] - 20.0, middle - half(front) - 2.0];
    items.push(Item::rect(body, [axle[1] - axle[0] + 38.0, 2.0 * half(front) + 4.0], Some(faint), None));
    for side in [-1.0, 1.0] {
        let y = middle + side * string;
        let line = vec![[axle[0] - 30.0, y], [axle[1] + 30.0, y]];
        items.push(Item::line(line, Pen::new(Tone::Ink, weight::STRONG)));
        for end in [axle[0] - 30.0, axle[1] + 30.0] {
            items.push(Item::Circle { at: [end, y], radius: 1.1, pen: None, fill: Some(Tone::Ink) });
        }
        for (at, track, letters) in [(axle[0], front, ["a", "b"]), (axle[1], rear, ["c", "d"])] {
            items.extend(wheel([at, middle + side * half(track)], y, letters, side));
        }
    }
    let right = axle[1] + 34.0;
    for (y, text) in [(middle - string, "right string"), (middle + string, "left string")] {
        items.push(Item::text([right - 2.0, y + 1.0], &face::drawable(text), size::SMALL, Tone::Ink));
    }
    items.push(Item::text([3.0, middle + 1.0], "front", size::SMALL, Tone::Ink));
    items.push(equal([axle[0] - 27.0, middle], string));
    let told = "a, b, c, d: rim edge to string at hub height. Toe-in of a wheel: front edge farther from the string than its rear edge. Strings as far apart in front as behind (=), steering wheel straight.";
    let mut y = middle + string + 9.0;
    for line in face::lines(told, size::BODY, false, WIDTH - 6.0) {
        items.push(Item::text([3.0, y], &line, size::BODY, Tone::Ink));
        y += size::BODY * 1.35;
    }
    Drawing {
        size: [WIDTH, y],
        title: "Strings around the car, from above".to_owned(),
        description: told.to_owned(),
        items,
    }
}

/// A wheel from above with the two distances to its string.
fn wheel([x, y]: Spot, string: f64, letters: [&str; 2], side: f64) -> Vec<Item> {
    let (long, wide) = (11.0, 5.0);
    let pen = Pen::new(Tone::Ink, weight::USUAL);
    let mut items =
        vec![Item::rect([x - long, y - wide / 2.0], [2.0 * long, wide], Some(pen), Some(Tone::Ground))];
    for (dx, letter) in [(-long + 3.0, letters[0]), (long - 3.0, letters[1])] {
        let from = [x + dx, y + side * wide / 2.0];
        let to = [x + dx, string];
        items.push(Item::line(vec![from, to], pen));
        let text = Item::strong([x + dx + 1.2, (from[1] + to[1]) / 2.0 + 1.1], letter, size::BODY, Tone::Ink);
        items.push(text);
    }
    items
}

/// The sign that the strings are as far apart here as at the other end.
fn equal([x, y]: Spot, string: f64) -> Item {
    let pen = Pen { tone: Tone::Quiet, weight: weight::FINE, dash: Dash::Full };
    let line = Item::line(vec![[x, y - string], [x, y + string]], pen);
    let sign = Item::text([x + 1.5, y - string / 2.0], "=", size::WORK, Tone::Ink).anchored(Anchor::Start);
    Item::Group {
        id: "strings-parallel".to_owned(),
        title: "strings as far apart in front as behind".to_owned(),
        description: "measure at both ends".to_owned(),
        tap: None,
        items: vec![line, sign],
    }
}
