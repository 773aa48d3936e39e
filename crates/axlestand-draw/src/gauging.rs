//! From where to where the wheels are read, for each way to read them but the strings.

use crate::face;
use crate::look::{Tone, size, weight};
use crate::scene::{Anchor, Dash, Drawing, Item, Pen, Spot};
use crate::strings::StringSetup;
use axlestand_quantity::Lengths;

/// A way to read the wheels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gauging {
    /// Toe plates and two tapes.
    Plates,
    /// Trammel on scribed lines.
    Trammel,
    /// Straight-edge along the rear wheel.
    StraightEdge,
    /// Wheelbases and diagonals.
    Lengths,
    /// Floor by water level.
    Floor,
    /// Caster sweep.
    Caster,
    /// Camber gauge on the rims.
    Camber,
    /// Hub to arch.
    Height,
    /// Hub raised and lowered on stands, by heights in this unit.
    Sweep(Lengths),
}

const WIDTH: f64 = 186.0;
const TOP: f64 = 16.0;
/// Half a wheel from above, mm on paper: along and across.
const WHEEL: [f64; 2] = [11.0, 2.5];

const INK: Pen = Pen::new(Tone::Ink, weight::USUAL);
const BOLD: Pen = Pen::new(Tone::Ink, weight::STRONG);
const FINE: Pen = Pen::new(Tone::Ink, weight::FINE);
const BODY: Pen = Pen { tone: Tone::Faint, weight: weight::USUAL, dash: Dash::Long };

impl Gauging {
    fn title(self) -> &'static str {
        match self {
            Self::Plates => "Toe plates and two tapes, from above",
            Self::Trammel => "Trammel on scribed lines, from above",
            Self::StraightEdge => "Straight-edge along the rear wheel, from above",
            Self::Lengths => "Wheelbases and diagonals, from above",
            Self::Floor => "Floor by water level, from above",
            Self::Caster => "Caster sweep, from above",
            Self::Camber => "Camber gauge on the rims, from in front",
            Self::Height => "Hub to arch, from the side",
            Self::Sweep(_) => "Hub raised and lowered, from in front",
        }
    }

    fn told(self) -> &'static str {
        match self {
            Self::Plates => {
                "a, b: plate to plate, the tape hooked into both in front of the wheels and behind them, at the same height. c, d: the rear axle, where it can be set. Note how far apart the two tapes are along a plate."
            }
            Self::Trammel => {
                "a, b: scribed line to scribed line, at the front of the tyres and at their rear, at hub height. Note how far apart the two places are."
            }
            Self::StraightEdge => {
                "The bar lies against both edges of the rear rim and reaches to the front one. a, b: bar to the front and rear edge of the front rim. Then the other side."
            }
            Self::Lengths => {
                "a, b: front hub to rear hub, left and right. c, d: crosswise. Steering straight."
            }
            Self::Floor => {
                "One hose, water without bubbles, its ends beside two tyres at a time. a to d: from the floor up to the water."
            }
            Self::Caster => {
                "One wheel after the other, brake held: a: turned by some 20° to the left, b: as far to the right. Each time how far it is turned, and its camber."
            }
            Self::Camber => {
                "a: gauge on a straight piece across both edges of the rim, upright through the hub; top outward is positive, as drawn. Roll on by half a turn and read again."
            }
            Self::Height => "a: middle of the hub straight up to the arch, car settled, nobody in it.",
            Self::Sweep(Lengths::Inches) => {
                "Car on stands, spring out by a proper compressor, wheel off. The jack brings the hub to 2 1/2 and 1 1/4 in below and above where it stands at ride height. a: camber on the hub face. b: toe, bar on the hub against a string along the car."
            }
            Self::Sweep(Lengths::Millimetres) => {
                "Car on stands, spring out by a proper compressor, wheel off. The jack brings the hub to 60 and 30 mm below and above where it stands at ride height. a: camber on the hub face. b: toe, bar on the hub against a string along the car."
            }
        }
    }
}

/// What is read, from where to where. From above the front of the car is to the left and its left side below.
#[must_use]
pub fn gauging(car: StringSetup, way: Gauging) -> Drawing {
    let (mut items, foot) = match way {
        Gauging::Camber => camber(),
        Gauging::Height => height(),
        Gauging::Sweep(lengths) => sweep(lengths),
        _ => Above::of(car).drawn(way),
    };
    items.insert(0, Item::strong([3.0, 7.0], way.title(), size::HEADING, Tone::Ink));
    let mut y = foot + 9.0;
    for line in face::lines(way.told(), size::BODY, false, WIDTH - 6.0) {
        items.push(Item::text([3.0, y], &line, size::BODY, Tone::Ink));
        y += size::BODY * 1.35;
    }
    Drawing { size: [WIDTH, y], title: way.title().to_owned(), description: way.told().to_owned(), items }
}

/// A distance with its letter: a fine line with a dot at both ends.
fn distance(from: Spot, to: Spot, letter: &str, beside: Spot) -> Vec<Item> {
    let dot = |at| Item::Circle { at, radius: 0.8, pen: None, fill: Some(Tone::Ink) };
    vec![
        Item::line(vec![from, to], FINE),
        dot(from),
        dot(to),
        Item::strong(beside, letter, size::WORK, Tone::Ink),
    ]
}

/// The car from above.
struct Above {
    /// Where the axles are, along the paper.
    axles: [f64; 2],
    /// Half the tracks on paper.
    halves: [f64; 2],
    /// The car's middle line.
    middle: f64,
}

impl Above {
    fn of(car: StringSetup) -> Self {
        let sound =
            |v: f64, usual: f64| if v.is_finite() && (500.0..6000.0).contains(&v) { v } else { usual };
        let base = sound(car.wheelbase, 2600.0);
        let scale = 92.0 / base;
        let halves = [car.track_front, car.track_rear].map(|track| sound(track, 1500.0) * scale / 2.0);
        let middle = TOP + halves[0].max(halves[1]) + 9.0;
        Self { axles: [44.0, 136.0], halves, middle }
    }

    /// Middle of a wheel; side −1 is the right one, above.
    fn hub(&self, axle: usize, side: f64) -> Spot {
        [self.axles[axle], self.middle + side * self.halves[axle]]
    }

    fn drawn(&self, way: Gauging) -> (Vec<Item>, f64) {
        let wide = self.halves[0].max(self.halves[1]);
        let body = [self.axles[0] - 20.0, self.middle - wide - 2.0];
        let mut items = vec![Item::rect(body, [130.0, 2.0 * wide + 4.0], Some(BODY), None)];
        let inset = if way == Gauging::StraightEdge { 6.0 } else { 0.0 };
        for side in [-1.0, 1.0] {
            for axle in [0, 1] {
                let [x, y] = self.hub(axle, side);
                let y = y - if axle == 0 { side * inset } else { 0.0 };
                items.push(wheel([x, y], 0.0, INK, Some(Tone::Ground)));
            }
        }
        items.push(Item::text([3.0, self.middle + 1.0], "front", size::SMALL, Tone::Ink));
        for (side, text) in [(-1.0, "right"), (1.0, "left")] {
            let at = [(self.axles[0] + self.axles[1]) / 2.0, self.middle + side * (wide - 2.0) + 1.0];
            items.push(Item::text(at, text, size::SMALL, Tone::Quiet).anchored(Anchor::Middle));
        }
        items.extend(match way {
            Gauging::Plates => self.plates(),
            Gauging::Trammel => self.across(0, WHEEL[0] - 1.0, 0.0, ["a", "b"]),
            Gauging::StraightEdge => self.straight_edge(inset),
            Gauging::Lengths => self.lengths(),
            Gauging::Floor => self.floor(),
            _ => self.caster(),
        });
        (items, self.middle + wide + 9.0)
    }

    /// Two distances across an axle, so far ahead of and behind it, from so far outside the wheels' middles.
    fn across(&self, axle: usize, ahead: f64, outside: f64, letters: [&str; 2]) -> Vec<Item> {
        let half = self.halves[axle] + outside;
        let one = |(dx, letter): (f64, &str)| {
            let x = self.axles[axle] + dx;
            let beside = [x + 1.5, self.middle - half / 2.0];
            distance([x, self.middle - half], [x, self.middle + half], letter, beside)
        };
        [(-ahead, letters[0]), (ahead, letters[1])].into_iter().flat_map(one).collect()
    }

    fn plates(&self) -> Vec<Item> {
        let outside = WHEEL[1] + 1.2;
        let mut items = Vec::new();
        for (axle, letters) in [(0, ["a", "b"]), (1, ["c", "d"])] {
            for side in [-1.0, 1.0] {
                let [x, y] = self.hub(axle, side);
                let y = y + side * outside;
                items.push(Item::line(vec![[x - 15.0, y], [x + 15.0, y]], BOLD));
            }
            items.extend(self.across(axle, 14.0, outside, letters));
        }
        items
    }

    fn straight_edge(&self, inset: f64) -> Vec<Item> {
        let (rear, front) = (self.hub(1, 1.0), self.hub(0, 1.0));
        let bar = rear[1] + WHEEL[1];
        let mut items = vec![Item::line(vec![[front[0] - 16.0, bar], [rear[0] + 14.0, bar]], BOLD)];
        for (dx, letter) in [(-WHEEL[0] + 1.0, "a"), (WHEEL[0] - 1.0, "b")] {
            let from = [front[0] + dx, front[1] - inset + WHEEL[1]];
            let beside = [front[0] + dx + 1.5, (from[1] + bar) / 2.0 + 1.3];
            items.extend(distance(from, [front[0] + dx, bar], letter, beside));
        }
        items
    }

    fn lengths(&self) -> Vec<Item> {
        let hub = |axle, side| self.hub(axle, side);
        let third =
            |from: Spot, to: Spot| [from[0] + (to[0] - from[0]) / 4.0, from[1] + (to[1] - from[1]) / 4.0];
        let mut items = Vec::new();
        for (letter, from, to, dy) in [
            ("a", hub(0, 1.0), hub(1, 1.0), -1.5),
            ("b", hub(0, -1.0), hub(1, -1.0), 4.5),
            ("c", hub(0, 1.0), hub(1, -1.0), -2.5),
            ("d", hub(0, -1.0), hub(1, 1.0), 5.5),
        ] {
            let [x, y] = third(from, to);
            items.extend(distance(from, to, letter, [x, y + dy]));
        }
        items
    }

    fn floor(&self) -> Vec<Item> {
        let mut items = Vec::new();
        let mut ends = Vec::new();
        for (letter, axle, side) in [("a", 0, 1.0), ("b", 0, -1.0), ("c", 1, 1.0), ("d", 1, -1.0)] {
            let [x, y] = self.hub(axle, side);
            let at = [x, y + side * (WHEEL[1] + 3.5)];
            items.push(Item::Circle { at, radius: 1.6, pen: Some(BOLD), fill: Some(Tone::Ground) });
            items.push(Item::strong([x + 3.0, at[1] + 1.4], letter, size::WORK, Tone::Ink));
            ends.push(at);
        }
        let hose = Pen { tone: Tone::Quiet, weight: weight::USUAL, dash: Dash::Ghost };
        let x = self.axles[0] + 18.0;
        let by_way = vec![ends[0], [x, ends[0][1]], [x, ends[1][1]], ends[1]];
        items.insert(0, Item::line(by_way, hose));
        items.push(Item::text([x + 1.5, self.middle + 1.0], "hose", size::SMALL, Tone::Ink));
        items
    }

    fn caster(&self) -> Vec<Item> {
        let mut items = Vec::new();
        for side in [-1.0, 1.0] {
            let at = self.hub(0, side);
            for (turn, letter) in [(20.0, "a"), (-20.0, "b")] {
                items.push(wheel(at, turn, Pen::ghost(), None));
                // To the left is downwards here, the wheels' fronts being to the left.
                let way = f64::to_radians(turn);
                let tip = [at[0] - (WHEEL[0] + 4.0) * way.cos(), at[1] + (WHEEL[0] + 6.0) * way.sin()];
                items.push(Item::strong([tip[0] - 1.0, tip[1] + 1.4], letter, size::WORK, Tone::Ink));
            }
        }
        items
    }
}

/// A wheel from above, turned to the left by so many degrees.
fn wheel([x, y]: Spot, turn: f64, pen: Pen, fill: Option<Tone>) -> Item {
    let (sin, cos) = turn.to_radians().sin_cos();
    let place = |[dx, dy]: Spot| [x + dx * cos + dy * sin, y - dx * sin + dy * cos];
    let [long, wide] = WHEEL;
    let corners = [[-long, -wide], [long, -wide], [long, wide], [-long, wide]].map(place);
    Item::area(corners.to_vec(), Some(pen), fill)
}

/// The floor of a view from in front or from the side.
const FLOOR: f64 = 76.0;

fn ground() -> Item {
    Item::line(vec![[20.0, FLOOR], [166.0, FLOOR]], INK)
}

fn word(at: Spot, text: &str) -> Item {
    Item::text(at, text, size::SMALL, Tone::Ink).anchored(Anchor::Middle)
}

fn camber() -> (Vec<Item>, f64) {
    let mut items = vec![ground(), Item::rect([52.0, 22.0], [82.0, 36.0], Some(BODY), None)];
    // Seen from in front the left wheel is on the right; both lean out at the top.
    for (x, side, letter) in [(50.0, -1.0, None), (136.0, 1.0, Some("a"))] {
        let (sin, cos) = f64::to_radians(7.0 * side).sin_cos();
        let hub = [x, FLOOR - 21.0];
        let place = |[dx, dy]: Spot| [hub[0] + dx * cos - dy * sin, hub[1] + dx * sin + dy * cos];
        let tyre = [[-5.0, -21.0], [5.0, -21.0], [5.0, 21.0], [-5.0, 21.0]].map(place);
        items.push(Item::area(tyre.to_vec(), Some(INK), Some(Tone::Ground)));
        let Some(letter) = letter else { continue };
        let bar = [[8.0, -15.0], [8.0, 15.0]].map(place);
        items.push(Item::line(bar.to_vec(), BOLD));
        for dy in [-13.0, 13.0] {
            items.push(Item::line(vec![place([5.0, dy]), place([8.0, dy])], INK));
        }
        let gauge = [[8.0, -5.0], [14.0, -5.0], [14.0, 5.0], [8.0, 5.0]].map(place);
        items.push(Item::area(gauge.to_vec(), Some(INK), Some(Tone::Ground)));
        items.push(Item::strong(place([17.0, 1.5]), letter, size::WORK, Tone::Ink));
        items.push(Item::line(vec![hub, [hub[0], hub[1] - 27.0]], Pen::ghost()));
    }
    items.push(word([50.0, FLOOR + 4.0], "right wheel"));
    items.push(word([136.0, FLOOR + 4.0], "left wheel"));
    (items, FLOOR + 4.0)
}

fn height() -> (Vec<Item>, f64) {
    let hub = [93.0, FLOOR - 20.0];
    let ring = |radius| Item::Circle { at: hub, radius, pen: Some(INK), fill: Some(Tone::Ground) };
    let arch: Vec<Spot> = (0..=24)
        .map(|i| std::f64::consts::PI * f64::from(i) / 24.0)
        .map(|t| [hub[0] + 25.0 * t.cos(), hub[1] - 2.0 - 25.0 * t.sin()])
        .collect();
    let sill = |x: f64, out: f64| {
        Item::line(vec![[x, hub[1] - 2.0], [x, hub[1] + 8.0], [x + out, hub[1] + 8.0]], BODY)
    };
    let mut items = vec![
        ground(),
        ring(20.0),
        ring(13.0),
        Item::line(arch, BODY),
        sill(hub[0] - 25.0, -20.0),
        sill(hub[0] + 25.0, 20.0),
    ];
    let top = [hub[0], hub[1] - 27.0];
    items.extend(distance(hub, top, "a", [hub[0] + 2.0, hub[1] - 22.2]));
    (items, FLOOR)
}

fn sweep(lengths: Lengths) -> (Vec<Item>, f64) {
    let heights = match lengths {
        Lengths::Millimetres => ["+60", "+30", "-30", "-60"],
        Lengths::Inches => ["+2 1/2", "+1 1/4", "-1 1/4", "-2 1/2"],
    };
    let hub = [118.0, FLOOR - 30.0];
    let mut items = vec![ground(), Item::rect([30.0, 24.0], [56.0, 30.0], Some(BODY), None)];
    for x in [38.0, 78.0] {
        let stand = vec![[x, 54.0], [x - 6.0, FLOOR], [x + 6.0, FLOOR]];
        items.push(Item::area(stand, Some(INK), None));
    }
    items.push(word([58.0, FLOOR + 4.0], "stands"));
    items.push(Item::line(vec![[72.0, hub[1] + 6.0], [hub[0], hub[1] + 4.0]], INK));
    for (dy, text) in [-14.0, -7.0, 7.0, 14.0].into_iter().zip(heights) {
        items.push(Item::rect([hub[0] - 3.0, hub[1] + dy - 3.0], [6.0, 6.0], Some(Pen::ghost()), None));
        items.push(Item::text([hub[0] - 13.0, hub[1] + dy + 1.0], text, size::SMALL, Tone::Ink));
    }
    items.push(Item::rect([hub[0] - 3.0, hub[1] - 3.0], [6.0, 6.0], Some(BOLD), Some(Tone::Ground)));
    let jack = vec![[hub[0], hub[1] + 17.0], [hub[0] - 7.0, FLOOR], [hub[0] + 7.0, FLOOR]];
    items.push(Item::area(jack, Some(INK), None));
    items.push(word([hub[0], FLOOR + 4.0], "jack"));
    items.push(Item::rect([hub[0] + 4.0, hub[1] - 5.0], [5.0, 10.0], Some(INK), Some(Tone::Ground)));
    items.push(Item::strong([hub[0] + 11.0, hub[1] + 1.4], "a", size::WORK, Tone::Ink));
    let string = 148.0;
    items.push(Item::Circle { at: [string, hub[1]], radius: 1.1, pen: None, fill: Some(Tone::Ink) });
    items.push(word([string, hub[1] - 3.0], "string"));
    items.extend(distance([hub[0] + 9.0, hub[1] + 8.0], [string, hub[1] + 8.0], "b", [133.0, hub[1] + 13.0]));
    (items, FLOOR + 4.0)
}
