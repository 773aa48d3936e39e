//! A corner for a phone: large marks with row numbers in the picture, what they are in a list below.

use super::key::{Key, keys};
use super::mark::{RADIUS, mark};
use super::picture::{EDGE, Fit, TAP, apart, dimension, pin_item};
use super::{Corner, Pin, View};
use crate::face;
use crate::look::{Tone, size};
use crate::scene::{Drawing, Item, Spot};

/// The width of the drawing, mm; on a phone of 390 pixels a millimetre is 3.9 of them.
pub(super) const WIDTH: f64 = 100.0;
/// What is read on the floor: 15 pixels on such a phone, and 19.
const TEXT: f64 = 3.9;
const LARGE: f64 = 5.0;
/// Room for keys beside the drawing.
const MARGIN: f64 = 10.0;
/// Rows that are named at most: what comes next. More would be read as a tangle.
const MOST: usize = 8;
/// Size of the marks, and of those the step touches, over those on paper.
const MARK: f64 = 1.3;
const MARK_NOW: f64 = 1.9;

/// A line of the list below the picture.
struct Entry {
    key: String,
    name: String,
    told: String,
    pin: Option<usize>,
    now: bool,
}

impl Corner {
    pub(super) fn draw_narrow(&self, view: View) -> Drawing {
        let (head, top) = self.head(view, WIDTH, LARGE);
        let (fit, high) = self.fit(view, [WIDTH, WIDTH - 2.0 * (EDGE + MARGIN)], top);
        let entries = self.entries();
        let widest = |pin: &Pin| RADIUS * if pin.now { MARK_NOW } else { MARK } + 1.0;
        let wanted: Vec<Spot> = self.pins.iter().map(|pin| fit.spot(pin.at)).collect();
        let spots = apart(&wanted, &self.pins.iter().map(widest).collect::<Vec<_>>());
        let bottom = spots.iter().map(|spot| spot[1] + 8.0).fold(top + high, f64::max);
        let mut items = head;
        items.extend(self.parts(&fit));
        items.extend(self.measures.iter().map(|measure| dimension(measure, &fit)));
        items.extend(self.keys(&entries, &spots, &fit, [EDGE, top, WIDTH - EDGE, bottom]));
        for (pin, spot) in self.pins.iter().zip(&spots) {
            let large = if pin.now { MARK_NOW } else { MARK };
            let drawn = mark([0.0, 0.0], pin.state, pin.now);
            let drawn = drawn.into_iter().map(|item| item.moved(*spot, large)).collect();
            items.push(pin_item(pin, (*spot, TAP * MARK), drawn));
        }
        let (list, down) = self.list(&entries, bottom + 4.0);
        items.extend(list);
        let (foot, down) = self.foot(WIDTH, down + 3.0);
        items.extend(foot);
        Drawing {
            size: [WIDTH, down + 1.0],
            title: format!("{}, {}", self.title, view.phrase()),
            description: self.words(),
            items,
        }
    }

    /// What is listed: what the step touches, the rows that come next, what is measured.
    fn entries(&self) -> Vec<Entry> {
        let mut pins: Vec<(usize, &Pin)> =
            self.pins.iter().enumerate().filter(|(_, pin)| pin.now || pin.row.is_some()).collect();
        pins.sort_by_key(|(at, pin)| (!pin.now, pin.row.is_none(), pin.row, *at));
        let now = pins.iter().filter(|(_, pin)| pin.now).count();
        pins.truncate(MOST.max(now));
        let pin = |(at, pin): (usize, &Pin)| {
            let tray = pin.tray.map(|tray| format!(", tray {tray}")).unwrap_or_default();
            Entry {
                key: pin.row.map_or_else(|| "now".to_owned(), |row| row.to_string()),
                name: pin.name.clone(),
                told: format!("{}{tray}", pin.state.word()),
                pin: Some(at),
                now: pin.now,
            }
        };
        let measure = |(at, measure): (usize, &super::Measure)| Entry {
            key: letter(at),
            name: measure.name.clone(),
            told: measure.value.clone().unwrap_or_else(|| "measure here".to_owned()),
            pin: None,
            now: false,
        };
        pins.into_iter().map(pin).chain(self.measures.iter().enumerate().map(measure)).collect()
    }

    /// The keys of the entries at their marks and dimension lines.
    fn keys(&self, entries: &[Entry], spots: &[Spot], fit: &Fit, area: [f64; 4]) -> Vec<Item> {
        let pins = entries.iter().filter_map(|entry| {
            let at = entry.pin?;
            let reach = if entry.now { (RADIUS + 1.0) * MARK_NOW } else { RADIUS * MARK };
            let size = if entry.now { LARGE } else { TEXT };
            Some(Key { at: spots[at], reach, text: entry.key.clone(), size, now: entry.now })
        });
        let measures = self.measures.iter().enumerate().map(|(at, measure)| {
            let (a, b) = (fit.spot(measure.from), fit.spot(measure.to));
            let middle = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
            Key { at: middle, reach: 0.6, text: letter(at), size: TEXT, now: false }
        });
        let marks: Vec<(Spot, f64)> = self
            .pins
            .iter()
            .zip(spots)
            .map(|(pin, spot)| (*spot, if pin.now { (RADIUS + 1.0) * MARK_NOW } else { RADIUS * MARK }))
            .collect();
        keys(&pins.chain(measures).collect::<Vec<_>>(), &marks, area)
    }

    /// The list below the picture: key, name, state.
    fn list(&self, entries: &[Entry], top: f64) -> (Vec<Item>, f64) {
        let indent = entries
            .iter()
            .map(|entry| face::width(&entry.key, if entry.now { LARGE } else { TEXT }, true) + 2.2)
            .fold(9.0, f64::max);
        let mut y = top;
        let mut items = Vec::new();
        for entry in entries {
            let (high, tone) = if entry.now { (LARGE, Tone::Now) } else { (TEXT, Tone::Ink) };
            let words = format!("{}: {}", entry.name, entry.told);
            y += high;
            items.push(Item::strong([EDGE, y], &entry.key, high, tone));
            for (at, line) in
                face::lines(&words, high, entry.now, WIDTH - 2.0 * EDGE - indent).iter().enumerate()
            {
                y += if at > 0 { high * 1.2 } else { 0.0 };
                let item = Item::text([EDGE + indent, y], line, high, tone);
                items.push(if entry.now { item.bold() } else { item });
            }
            y += high * 0.42;
        }
        let rows = self.pins.iter().filter(|pin| pin.now || pin.row.is_some()).count();
        let named = entries.iter().filter(|entry| entry.pin.is_some()).count();
        if rows > named {
            y += TEXT;
            let words = format!("{} marks more with later rows: tap one for its name", rows - named);
            items.push(Item::text([EDGE, y], &words, size::BODY, Tone::Quiet));
            y += TEXT * 0.42;
        }
        (items, y)
    }
}

/// The letter of a measure: A, B … Z.
fn letter(at: usize) -> String {
    char::from(b'A' + u8::try_from(at % 26).unwrap_or(0)).to_string()
}
