//! The whole picture of a corner.

use super::callout::{Callout, Columns, column, height, legend, split};
use super::mark::{RADIUS, mark};
use super::piece::{Lens, draw};
use super::{Corner, Measure, Pin, PinState, Point, Room, Standing, View};
use crate::face;
use crate::look::{Tone, size, weight};
use crate::scene::{Drawing, Item, Pen, Spot};

/// Free edge about the drawing.
pub(super) const EDGE: f64 = 3.0;
/// The area that takes a finger, half its width.
pub(super) const TAP: f64 = 4.0;

/// Width of the paper and of its columns, and the size of what is written there.
const WIDTH: f64 = 186.0;
const COLUMN: f64 = 54.0;
const TEXT: f64 = size::SMALL;

/// Points to spots: what fits the free middle of the paper.
pub(super) struct Fit {
    view: View,
    outside: f64,
    scale: f64,
    shift: Spot,
}

impl Fit {
    pub(super) fn spot(&self, point: Point) -> Spot {
        let ([x, y], _) = self.view.project(point, self.outside);
        [x * self.scale + self.shift[0], y * self.scale + self.shift[1]]
    }

    fn near(&self, point: Point) -> f64 {
        self.view.project(point, self.outside).1
    }
}

impl Corner {
    /// The corner, looked at from `view`.
    #[must_use]
    pub fn drawing(&self, view: View, room: Room) -> Drawing {
        match room {
            Room::Wide => self.sound().draw(view),
            Room::Narrow => self.sound().draw_narrow(view),
        }
    }

    /// The same without what has no place: coordinates that are no numbers, parts without points.
    fn sound(&self) -> Self {
        let finite = |point: &Point| point.iter().all(|v| v.is_finite() && v.abs() < 1e5);
        let mut corner = self.clone();
        corner.pins.retain(|pin| finite(&pin.at));
        corner.measures.retain(|measure| finite(&measure.from) && finite(&measure.to));
        corner.pieces.retain(|piece| {
            let points = piece.shape.extent();
            !points.is_empty() && points.iter().all(finite)
        });
        corner
    }

    fn draw(&self, view: View) -> Drawing {
        let (head, top) = self.head(view, WIDTH, size::WORK);
        let (fit, high) = self.fit(view, [WIDTH, WIDTH - 2.0 * (EDGE + COLUMN) - 8.0], top);
        let wanted: Vec<Spot> = self.pins.iter().map(|pin| fit.spot(pin.at)).collect();
        let spots = apart(&wanted, &vec![RADIUS + 1.0; wanted.len()]);
        let sides = split(self.callouts(&fit, &spots));
        let most = |side: &Vec<Callout>| side.iter().map(|c| height(c, TEXT)).sum::<f64>();
        let down = (top + high).max(top + sides.iter().map(most).fold(0.0, f64::max)) + 2.0;
        let columns = Columns {
            edges: [EDGE + COLUMN, WIDTH - EDGE - COLUMN],
            width: COLUMN,
            span: [top, down],
            text: TEXT,
        };
        let mut items = head;
        items.extend(self.parts(&fit));
        for (right, side) in [false, true].into_iter().zip(&sides) {
            items.extend(column(side, right, columns).into_iter().flatten());
        }
        items.extend(self.measures.iter().map(|measure| dimension(measure, &fit)));
        items.extend(
            self.pins
                .iter()
                .zip(&spots)
                .map(|(pin, spot)| pin_item(pin, (*spot, TAP), mark(*spot, pin.state, pin.now))),
        );
        let (foot, bottom) = self.foot(WIDTH, down + 4.0);
        items.extend(foot);
        Drawing {
            size: [WIDTH, bottom + 1.0],
            title: format!("{}, {}", self.title, view.phrase()),
            description: self.words(),
            items,
        }
    }

    /// +1 for a left corner, -1 for a right one: the side on which most points are.
    fn outside(&self) -> f64 {
        let sum: f64 = self.pieces.iter().flat_map(|piece| piece.shape.extent()).map(|p| p[1]).sum();
        if sum < 0.0 { -1.0 } else { 1.0 }
    }

    /// Title, view, what the picture is not, and the step; and where the drawing may begin.
    pub(super) fn head(&self, view: View, width: f64, step: f64) -> (Vec<Item>, f64) {
        let room = width - 2.0 * EDGE;
        let mut y = EDGE + size::HEADING * 0.8;
        let mut items = Vec::new();
        let mut write = |text: &str, high: f64, bold: bool, tone: Tone, y: &mut f64| {
            for line in face::lines(text, high, bold, room) {
                let item = Item::text([EDGE, *y], &line, high, tone);
                items.push(if bold { item.bold() } else { item });
                *y += high * 1.25;
            }
        };
        write(&self.title, size::HEADING, true, Tone::Ink, &mut y);
        write(view.phrase(), size::BODY, false, Tone::Ink, &mut y);
        if let Some(schematic) = &self.schematic {
            write(schematic, size::BODY, false, Tone::Quiet, &mut y);
        }
        if let Some(words) = &self.step {
            y += 1.6 + step - size::WORK;
            write(&format!("NOW  {words}"), step, true, Tone::Now, &mut y);
        }
        (items, y)
    }

    /// Scale and place so that every point is in the middle `room` of the `width`; and the height it takes.
    pub(super) fn fit(&self, view: View, [width, room]: [f64; 2], top: f64) -> (Fit, f64) {
        let outside = self.outside();
        let points = self.pieces.iter().flat_map(|piece| piece.shape.extent());
        let points = points.chain(self.pins.iter().map(|pin| pin.at));
        let points = points.chain(self.measures.iter().flat_map(|m| [m.from, m.to]));
        let spots = points.map(|p| view.project(p, outside).0);
        let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for spot in spots {
            for i in 0..2 {
                low[i] = low[i].min(spot[i]);
                high[i] = high[i].max(spot[i]);
            }
        }
        if low[0] > high[0] {
            (low, high) = ([0.0; 2], [1.0; 2]);
        }
        let tallest = width * 0.72;
        let scale = (room / (high[0] - low[0]).max(1.0)).min(tallest / (high[1] - low[1]).max(1.0));
        let middle = (low[0] + high[0]) / 2.0 * scale;
        let shift = [width / 2.0 - middle, top + 4.0 - low[1] * scale];
        (Fit { view, outside, scale, shift }, (high[1] - low[1]) * scale + 8.0)
    }

    /// Parts from the farthest to the nearest.
    pub(super) fn parts(&self, fit: &Fit) -> Vec<Item> {
        let any_now =
            self.pieces.iter().any(|p| p.standing == Standing::Now) || self.pins.iter().any(|p| p.now);
        let (spot, near) = (|p| fit.spot(p), |p| fit.near(p));
        let lens = Lens { spot: &spot, near: &near, scale: fit.scale };
        let mut drawn: Vec<_> =
            self.pieces.iter().map(|piece| (piece, draw(piece, &lens, any_now))).collect();
        drawn.sort_by(|(_, a), (_, b)| a.near.total_cmp(&b.near));
        let group = |(piece, drawn): (&super::Piece, super::piece::Drawn)| Item::Group {
            id: element(&piece.id),
            title: piece.name.clone(),
            description: standing_words(piece.standing).to_owned(),
            tap: None,
            items: drawn.items,
        };
        drawn.into_iter().map(group).collect()
    }

    fn callouts(&self, fit: &Fit, spots: &[Spot]) -> Vec<Callout> {
        let pins = self.pins.iter().zip(spots).map(|(pin, spot)| {
            let tray = pin.tray.map(|tray| format!("tray {tray}"));
            let row = pin.row.map(|row| format!("row {row}"));
            let told = [Some(pin.state.word().to_owned()), tray, row];
            let reach = RADIUS + if pin.now { 1.0 } else { 0.0 };
            Callout::new(
                *spot,
                reach,
                &pin.name,
                told.into_iter().flatten().collect::<Vec<_>>().join(" · "),
                COLUMN,
                TEXT,
            )
            .about_now(pin.now)
        });
        let measures = self.measures.iter().map(|measure| {
            let (a, b) = (fit.spot(measure.from), fit.spot(measure.to));
            let value = measure.value.clone().unwrap_or_else(|| "measure here".to_owned());
            let middle = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
            Callout::new(middle, 0.4, &measure.name, value, COLUMN, TEXT)
        });
        pins.chain(measures).collect()
    }

    /// The signs that occur, with their words.
    pub(super) fn foot(&self, width: f64, top: f64) -> (Vec<Item>, f64) {
        let used = PinState::ALL.into_iter().filter(|state| self.pins.iter().any(|pin| pin.state == *state));
        let mut entries: Vec<(Vec<Item>, &str)> =
            used.map(|state| (mark([0.0, 0.0], state, false), state.word())).collect();
        if self.pieces.iter().any(|piece| piece.standing == Standing::Gone) {
            entries.push((vec![Item::line(vec![[-1.6, 0.0], [1.6, 0.0]], Pen::ghost())], "taken off"));
        }
        if entries.is_empty() {
            return (Vec::new(), top - 3.0);
        }
        legend(entries, EDGE, top, width - 2.0 * EDGE)
    }

    /// What the picture says, for who cannot see it.
    pub(super) fn words(&self) -> String {
        let mut words = Vec::new();
        words.extend(self.schematic.clone());
        words.extend(self.step.as_ref().map(|step| format!("Now: {step}")));
        for state in PinState::ALL {
            let count = self.pins.iter().filter(|pin| pin.state == state).count();
            if count > 0 {
                words.push(format!("{count} {}", state.word()));
            }
        }
        let gone = self.pieces.iter().filter(|piece| piece.standing == Standing::Gone);
        let gone: Vec<&str> = gone.map(|piece| piece.name.as_str()).collect();
        if !gone.is_empty() {
            words.push(format!("taken off: {}", gone.join("; ")));
        }
        words.join(". ")
    }
}

fn standing_words(standing: Standing) -> &'static str {
    match standing {
        Standing::There => "on the car",
        Standing::Gone => "taken off",
        Standing::Now => "now",
    }
}

/// An id as XML takes it: what is no letter, digit, dot or hyphen becomes a hyphen.
fn element(id: &str) -> String {
    let sign = |c: char| if c.is_ascii_alphanumeric() || c == '.' || c == '-' { c } else { '-' };
    format!("item-{}", id.chars().map(sign).collect::<String>())
}

/// A fastener's mark as an element, with the area that takes a finger.
pub(super) fn pin_item(pin: &Pin, tap: (Spot, f64), items: Vec<Item>) -> Item {
    let mut told = vec![pin.state.word().to_owned()];
    told.extend((!pin.detail.is_empty()).then(|| pin.detail.clone()));
    told.extend(pin.tray.map(|tray| format!("tray place {tray}")));
    told.extend(pin.row.map(|row| format!("row {row}")));
    told.extend(pin.now.then(|| "now".to_owned()));
    Item::Group {
        id: element(&pin.id),
        title: pin.name.clone(),
        description: told.join(", "),
        tap: Some(tap),
        items,
    }
}

/// A dimension line with its arrow heads.
pub(super) fn dimension(measure: &Measure, fit: &Fit) -> Item {
    let (a, b) = (fit.spot(measure.from), fit.spot(measure.to));
    let pen = Pen::new(Tone::Ink, weight::USUAL);
    let mut items = vec![Item::line(vec![a, b], Pen::new(Tone::Ground, 1.4)), Item::line(vec![a, b], pen)];
    let far = (b[0] - a[0]).hypot(b[1] - a[1]);
    if far > 1e-6 {
        let [ux, uy] = [(b[0] - a[0]) / far, (b[1] - a[1]) / far];
        let head = far.min(6.0) / 2.4;
        for ([x, y], out) in [(a, 1.0), (b, -1.0)] {
            let back = [x + ux * head * out, y + uy * head * out];
            let side = head * 0.32;
            let spots = vec![
                [x, y],
                [back[0] - uy * side, back[1] + ux * side],
                [back[0] + uy * side, back[1] - ux * side],
            ];
            items.push(Item::area(spots, None, Some(Tone::Ink)));
            items.push(Item::line(vec![[x - uy * 1.8, y + ux * 1.8], [x + uy * 1.8, y - ux * 1.8]], pen));
        }
    }
    Item::Group {
        id: element(&measure.id),
        title: measure.name.clone(),
        description: measure.value.clone().unwrap_or_else(|| "to be measured".to_owned()),
        tap: None,
        items,
    }
}

/// Spots moved as little as needed so that no mark lies on another: pairs that are too near are
/// pushed apart, again and again.
pub(super) fn apart(spots: &[Spot], reaches: &[f64]) -> Vec<Spot> {
    let mut spots = spots.to_vec();
    for round in 0..400 {
        let mut moved = false;
        for a in 0..spots.len() {
            for b in a + 1..spots.len() {
                let [dx, dy] = [spots[b][0] - spots[a][0], spots[b][1] - spots[a][1]];
                let far = dx.hypot(dy);
                let least = reaches[a] + reaches[b] + 0.3;
                if far >= least {
                    continue;
                }
                // Spots that coincide leave each other in a direction of their own.
                let own = ((a * 7 + b * 13 + round) as f64).sin_cos();
                let [ux, uy] = if far > 1e-6 { [dx / far, dy / far] } else { [own.1, own.0] };
                let push = (least - far) / 2.0 + 1e-3;
                spots[a] = [spots[a][0] - ux * push, spots[a][1] - uy * push];
                spots[b] = [spots[b][0] + ux * push, spots[b][1] + uy * push];
                moved = true;
            }
        }
        if !moved {
            break;
        }
    }
    spots
}
