//! Plots: axes with units, lines with their uncertainty, areas, limits.

use crate::face;
use crate::look::{Tone, size, weight};
use crate::scene::{Anchor, Dash, Drawing, Item, Pen, Spot, hatch};

/// An axis.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Axis {
    /// What it is: "wheel travel, up".
    pub name: String,
    /// Its unit.
    pub unit: String,
}

/// A line through points, with what is known of its uncertainty.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Line {
    /// What it is; written at its end.
    pub name: String,
    /// Its points, x and y in the units of the axes.
    pub points: Vec<[f64; 2]>,
    /// Half the width of its band at each point, in the unit of y; empty: no band.
    pub spread: Vec<f64>,
}

/// An area: a tolerance, an ellipse, a bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Area {
    /// What it is.
    pub name: String,
    /// Its edge, x and y in the units of the axes.
    pub points: Vec<[f64; 2]>,
    /// How it looks.
    pub look: AreaLook,
}

/// How an area looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AreaLook {
    /// What is allowed: a plain outline.
    Allowed,
    /// What is known: a broken outline with its middle marked.
    Estimate,
    /// What is counted: a filled bar.
    Bar,
}

/// A straight limit across the plot.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// What it is: written beside it.
    pub name: String,
    /// Where, on its axis.
    pub at: f64,
    /// Whether it is upright: a value of x.
    pub upright: bool,
    /// Whether what lies beyond it (above it, to its right) is dangerous: hatched.
    pub danger: bool,
}

/// A plot.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Plot {
    /// Its title.
    pub title: String,
    /// What it rests on: inputs, assumptions.
    pub note: String,
    /// To the right.
    pub x: Axis,
    /// Up.
    pub y: Axis,
    /// Lines.
    pub lines: Vec<Line>,
    /// Areas.
    pub areas: Vec<Area>,
    /// Limits.
    pub limits: Vec<Limit>,
}

const WIDTH: f64 = 140.0;
const HEIGHT: f64 = 84.0;
const LEFT: f64 = 19.0;
const RIGHT: f64 = 34.0;
const EDGE: f64 = 3.0;
const TEXT: f64 = size::SMALL;

/// Values to millimetres on paper.
struct Scale {
    low: f64,
    high: f64,
    from: f64,
    to: f64,
}

impl Scale {
    /// Round values that take in all the numbers.
    fn of(values: impl Iterator<Item = f64>, from: f64, to: f64, most: f64) -> (Self, Vec<f64>) {
        let (mut low, mut high) = values
            .filter(|v| v.is_finite())
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
        if low > high {
            (low, high) = (0.0, 1.0);
        }
        if high - low < 1e-9 {
            (low, high) = (low - 0.5, high + 0.5);
        }
        let step = step((high - low) / most);
        let (low, high) = ((low / step).floor(), (high / step).ceil());
        let count = (high - low).min(40.0) as usize;
        let ticks = (0..=count).map(|i| (low + i as f64) * step).collect();
        (Self { low: low * step, high: high * step, from, to }, ticks)
    }

    fn at(&self, value: f64) -> f64 {
        let part = (value - self.low) / (self.high - self.low);
        self.from + part.clamp(-0.02, 1.02) * (self.to - self.from)
    }
}

/// The next step of 1, 2 or 5 times a power of ten.
fn step(least: f64) -> f64 {
    let power = 10.0_f64.powf(least.max(1e-9).log10().floor());
    let factor = [1.0, 2.0, 5.0, 10.0].into_iter().find(|f| f * power >= least * 0.999).unwrap_or(10.0);
    factor * power
}

impl Plot {
    /// The plot as a drawing. Lines are told apart by their dashes and the names at their ends.
    #[must_use]
    pub fn drawing(&self) -> Drawing {
        self.sound().draw()
    }

    /// The same without points that are no numbers or beyond all measure.
    fn sound(&self) -> Self {
        let sound = |value: f64| value.abs() < 1e12;
        let all = |point: &[f64; 2]| point.iter().all(|value| sound(*value));
        let mut plot = self.clone();
        for line in &mut plot.lines {
            let spread = (line.spread.len() == line.points.len()).then(|| std::mem::take(&mut line.spread));
            let points = std::mem::take(&mut line.points);
            for (at, point) in points.into_iter().enumerate() {
                let own = spread.as_ref().map(|spread| spread[at]);
                if all(&point) && own.is_none_or(sound) {
                    line.points.push(point);
                    line.spread.extend(own);
                }
            }
            if spread.is_none() {
                line.spread.clear();
            }
        }
        for area in &mut plot.areas {
            area.points.retain(all);
        }
        plot.limits.retain(|limit| sound(limit.at));
        plot
    }

    fn draw(&self) -> Drawing {
        let top = EDGE + size::HEADING * 1.3 + TEXT * 2.2;
        let points = || {
            let lines = self.lines.iter().flat_map(|line| line.points.iter());
            lines.chain(self.areas.iter().flat_map(|area| area.points.iter()))
        };
        let limits = |upright| self.limits.iter().filter(move |l| l.upright == upright).map(|l| l.at);
        let bands = self
            .lines
            .iter()
            .flat_map(|line| line.points.iter().zip(&line.spread).flat_map(|(p, s)| [p[1] - s, p[1] + s]));
        let (x, x_ticks) = Scale::of(points().map(|p| p[0]).chain(limits(true)), LEFT, WIDTH - RIGHT, 8.0);
        let (y, y_ticks) =
            Scale::of(points().map(|p| p[1]).chain(limits(false)).chain(bands), top + HEIGHT, top, 6.0);
        let place = |p: &[f64; 2]| [x.at(p[0]), y.at(p[1])];
        let mut items = vec![
            Item::strong(
                [EDGE, EDGE + size::HEADING * 0.8],
                &face::fitted(&self.title, size::HEADING, true, WIDTH - 2.0 * EDGE),
                size::HEADING,
                Tone::Ink,
            ),
            Item::text([EDGE, top - 3.0], &axis_name(&self.y), TEXT, Tone::Ink),
        ];
        items.extend(grid(&x, &y, &x_ticks, &y_ticks));
        items.extend(self.areas.iter().map(|area| area_item(area, &place)));
        let mut ends = Vec::new();
        for (at, line) in self.lines.iter().enumerate() {
            items.push(line_item(line, at, &place));
            let end = line.points.last().map(&place);
            ends.extend(end.map(|end| (end, line.name.clone())));
        }
        items.extend(self.limits.iter().flat_map(|limit| limit_items(limit, &x, &y)));
        let level = self.limits.iter().filter(|limit| !limit.upright);
        ends.extend(level.map(|limit| ([x.to, y.at(limit.at)], limit.name.clone())));
        items.extend(names(ends, x.to, top, top + HEIGHT));
        let (foot, bottom) = self.foot(&x, top + HEIGHT);
        items.extend(foot);
        Drawing { size: [WIDTH, bottom], title: self.title.clone(), description: self.words(), items }
    }

    /// Axis name, names of upright limits and areas, and the note.
    fn foot(&self, x: &Scale, bottom: f64) -> (Vec<Item>, f64) {
        let mut items = Vec::new();
        let name = axis_name(&self.x);
        let middle = (x.from + x.to) / 2.0;
        items.push(
            Item::text([middle, bottom + 4.6 + TEXT * 1.2], &name, TEXT, Tone::Ink).anchored(Anchor::Middle),
        );
        let mut y = bottom + 5.4 + TEXT * 2.6;
        let mut told: Vec<String> = Vec::new();
        told.extend(self.areas.iter().filter(|a| a.look != AreaLook::Bar).map(|area| match area.look {
            AreaLook::Estimate => format!("broken line: {}", area.name),
            _ => format!("full line: {}", area.name),
        }));
        told.dedup();
        for limit in self.limits.iter().filter(|limit| limit.upright) {
            told.push(format!("upright line: {}", limit.name));
        }
        told.push(self.note.clone());
        for text in told.iter().filter(|text| !text.is_empty()) {
            for line in face::lines(text, TEXT, false, WIDTH - 2.0 * EDGE) {
                items.push(Item::text([EDGE, y], &line, TEXT, Tone::Quiet));
                y += TEXT * 1.35;
            }
        }
        (items, y)
    }

    /// What the plot says, for who cannot see it.
    fn words(&self) -> String {
        let line = |line: &Line| {
            let ends = line.points.first().zip(line.points.last());
            ends.map_or_else(String::new, |(a, b)| {
                format!(
                    "{}: from {} {u} at {} {v} to {} {u} at {} {v}",
                    line.name,
                    number(a[1]),
                    number(a[0]),
                    number(b[1]),
                    number(b[0]),
                    u = self.y.unit,
                    v = self.x.unit
                )
            })
        };
        let limits = self.limits.iter().map(|limit| format!("{}: {}", limit.name, number(limit.at)));
        self.lines.iter().map(line).chain(limits).filter(|t| !t.is_empty()).collect::<Vec<_>>().join("; ")
    }
}

fn axis_name(axis: &Axis) -> String {
    if axis.unit.is_empty() { axis.name.clone() } else { format!("{}, {}", axis.name, axis.unit) }
}

/// Four digits that mean something, without trailing noughts.
fn number(value: f64) -> String {
    let places = if value.abs() >= 100.0 { 0 } else { 2 };
    let text = format!("{value:.places$}");
    let text =
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text };
    if text == "-0" { "0".to_owned() } else { text.replace('-', "−") }
}

fn grid(x: &Scale, y: &Scale, x_ticks: &[f64], y_ticks: &[f64]) -> Vec<Item> {
    let mut items = Vec::new();
    let fine = Pen { tone: Tone::Faint, weight: weight::FINE * 0.7, dash: Dash::Full };
    let strong = |value: f64| if value.abs() < 1e-9 { Pen::new(Tone::Ink, weight::FINE) } else { fine };
    for tick in x_ticks {
        let at = x.at(*tick);
        items.push(Item::line(vec![[at, y.from], [at, y.to]], strong(*tick)));
        let text = Item::text([at, y.from + TEXT * 1.35], &number(*tick), TEXT, Tone::Ink);
        items.push(text.anchored(Anchor::Middle));
    }
    for tick in y_ticks {
        let at = y.at(*tick);
        items.push(Item::line(vec![[x.from, at], [x.to, at]], strong(*tick)));
        items.push(
            Item::text([x.from - 1.5, at + TEXT * 0.35], &number(*tick), TEXT, Tone::Ink)
                .anchored(Anchor::End),
        );
    }
    items
}

fn line_item(line: &Line, at: usize, place: &impl Fn(&[f64; 2]) -> Spot) -> Item {
    let dash = [Dash::Full, Dash::Long, Dash::Ghost][at % 3];
    let fine = Pen::new(Tone::Quiet, weight::FINE);
    let mut items = Vec::new();
    if line.spread.len() == line.points.len() {
        let edge = |sign: f64| {
            let points = line.points.iter().zip(&line.spread).map(|(p, s)| [p[0], p[1] + sign * s]);
            points.map(|p| place(&p)).collect::<Vec<_>>()
        };
        items.push(Item::line(edge(1.0), fine));
        items.push(Item::line(edge(-1.0), fine));
    }
    let spots = line.points.iter().map(place).collect();
    items.push(Item::line(spots, Pen { tone: Tone::Ink, weight: weight::STRONG, dash }));
    named(&line.name, if line.spread.is_empty() { "line" } else { "line with its uncertainty" }, items)
}

fn area_item(area: &Area, place: &impl Fn(&[f64; 2]) -> Spot) -> Item {
    let spots: Vec<Spot> = area.points.iter().map(place).collect();
    let pen = Pen::new(Tone::Ink, weight::USUAL);
    let items = match area.look {
        AreaLook::Allowed => vec![Item::area(spots, Some(pen), None)],
        AreaLook::Bar => {
            vec![Item::area(spots, Some(Pen::new(Tone::Ground, weight::FINE)), Some(Tone::Quiet))]
        }
        AreaLook::Estimate => {
            let count = spots.len().max(1) as f64;
            let sum = spots.iter().fold([0.0; 2], |s, p| [s[0] + p[0], s[1] + p[1]]);
            let middle = sum.map(|s| s / count);
            let dot = Item::Circle { at: middle, radius: 0.9, pen: None, fill: Some(Tone::Ink) };
            vec![Item::area(spots, Some(Pen { dash: Dash::Ghost, ..pen }), None), dot]
        }
    };
    named(&area.name, "area", items)
}

fn named(name: &str, kind: &str, items: Vec<Item>) -> Item {
    let sign = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
    Item::Group {
        id: format!("plot-{}", name.chars().map(sign).collect::<String>()),
        title: name.to_owned(),
        description: kind.to_owned(),
        tap: None,
        items,
    }
}

fn limit_items(limit: &Limit, x: &Scale, y: &Scale) -> Vec<Item> {
    let pen = Pen::new(Tone::Ink, weight::STRONG);
    let mut items = Vec::new();
    if limit.upright {
        let at = x.at(limit.at);
        items.push(Item::line(vec![[at, y.from], [at, y.to]], pen));
        if limit.danger {
            items.extend(hatch([at, y.to], [x.to - at, y.from - y.to], Pen::new(Tone::Quiet, weight::FINE)));
        }
    } else {
        let at = y.at(limit.at);
        items.push(Item::line(vec![[x.from, at], [x.to, at]], pen));
        if limit.danger {
            items.extend(hatch(
                [x.from, y.to],
                [x.to - x.from, at - y.to],
                Pen::new(Tone::Quiet, weight::FINE),
            ));
        }
    }
    items
}

/// Names at the right edge, each as near to its line's end as the others allow.
fn names(mut ends: Vec<(Spot, String)>, right: f64, top: f64, bottom: f64) -> Vec<Item> {
    ends.sort_by(|a, b| a.0[1].total_cmp(&b.0[1]));
    let room = WIDTH - right - 4.0;
    let mut items = Vec::new();
    let mut least = top + TEXT;
    let lines: Vec<Vec<String>> = ends.iter().map(|(_, name)| face::lines(name, TEXT, false, room)).collect();
    let mut rest: f64 = lines.iter().map(|l| l.len() as f64 * TEXT * 1.2 + 1.0).sum();
    for (([_, y], _), lines) in ends.iter().zip(&lines) {
        let own = lines.len() as f64 * TEXT * 1.2 + 1.0;
        let mut at = (y + TEXT * 0.35).min(bottom + 3.0 - rest + TEXT).max(least);
        rest -= own;
        for line in lines {
            items.push(Item::text([right + 2.0, at], line, TEXT, Tone::Ink));
            at += TEXT * 1.2;
        }
        least = at + 1.0;
    }
    items
}
