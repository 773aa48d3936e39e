//! What is drawn, before it becomes SVG or PDF: lines, circles, texts and named groups of them.
//! Lengths are millimetres on paper, x to the right, y down.

use crate::face;
use crate::look::{Tone, weight};

/// A place on the paper, mm from its upper left corner.
pub(crate) type Spot = [f64; 2];

/// How a line is broken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Dash {
    /// Not at all.
    Full,
    /// Short strokes: what is gone, what is only a guide.
    Ghost,
    /// Long strokes: what is cut off here.
    Long,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pen {
    /// Its tone.
    pub(crate) tone: Tone,
    /// Its width, mm.
    pub(crate) weight: f64,
    /// How it is broken.
    pub(crate) dash: Dash,
}

impl Pen {
    pub(crate) const fn new(tone: Tone, weight: f64) -> Self {
        Self { tone, weight, dash: Dash::Full }
    }

    pub(crate) const fn ghost() -> Self {
        Self { tone: Tone::Faint, weight: weight::USUAL, dash: Dash::Ghost }
    }
}

/// Which end of a text stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// One thing that is drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Item {
    /// A line through spots, closed or not.
    Line { spots: Vec<Spot>, closed: bool, pen: Option<Pen>, fill: Option<Tone> },
    /// A circle.
    Circle { at: Spot, radius: f64, pen: Option<Pen>, fill: Option<Tone> },
    /// A line of text; `at` is on its base line.
    Text { at: Spot, text: String, size: f64, bold: bool, tone: Tone, anchor: Anchor },
    /// Things that belong together and can be pointed at.
    Group { id: String, title: String, description: String, tap: Option<(Spot, f64)>, items: Vec<Item> },
}

impl Item {
    pub(crate) fn line(spots: Vec<Spot>, pen: Pen) -> Self {
        Self::Line { spots, closed: false, pen: Some(pen), fill: None }
    }

    pub(crate) fn area(spots: Vec<Spot>, pen: Option<Pen>, fill: Option<Tone>) -> Self {
        Self::Line { spots, closed: true, pen, fill }
    }

    pub(crate) fn rect([x, y]: Spot, [w, h]: Spot, pen: Option<Pen>, fill: Option<Tone>) -> Self {
        Self::area(vec![[x, y], [x + w, y], [x + w, y + h], [x, y + h]], pen, fill)
    }

    pub(crate) fn text(at: Spot, text: &str, size: f64, tone: Tone) -> Self {
        Self::Text { at, text: face::drawable(text), size, bold: false, tone, anchor: Anchor::Start }
    }

    pub(crate) fn strong(at: Spot, text: &str, size: f64, tone: Tone) -> Self {
        Self::text(at, text, size, tone).bold()
    }

    pub(crate) fn bold(mut self) -> Self {
        if let Self::Text { bold, .. } = &mut self {
            *bold = true;
        }
        self
    }

    pub(crate) fn anchored(mut self, to: Anchor) -> Self {
        if let Self::Text { anchor, .. } = &mut self {
            *anchor = to;
        }
        self
    }

    /// The same, moved and scaled about the origin first.
    pub(crate) fn moved(self, by: Spot, scale: f64) -> Self {
        let place = |[x, y]: Spot| [x * scale + by[0], y * scale + by[1]];
        let scaled = |pen: Option<Pen>| pen.map(|pen| Pen { weight: pen.weight * scale, ..pen });
        match self {
            Self::Line { spots, closed, pen, fill } => {
                Self::Line { spots: spots.into_iter().map(place).collect(), closed, pen: scaled(pen), fill }
            }
            Self::Circle { at, radius, pen, fill } => {
                Self::Circle { at: place(at), radius: radius * scale, pen: scaled(pen), fill }
            }
            Self::Text { at, text, size, bold, tone, anchor } => {
                Self::Text { at: place(at), text, size: size * scale, bold, tone, anchor }
            }
            Self::Group { id, title, description, tap, items } => Self::Group {
                id,
                title,
                description,
                tap: tap.map(|(at, radius)| (place(at), radius * scale)),
                items: items.into_iter().map(|item| item.moved(by, scale)).collect(),
            },
        }
    }
}

/// A drawing: its paper, its name, and what is on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    pub(crate) size: Spot,
    pub(crate) title: String,
    pub(crate) description: String,
    pub(crate) items: Vec<Item>,
}

impl Drawing {
    /// Width and height in millimetres.
    #[must_use]
    pub fn size(&self) -> [f64; 2] {
        self.size
    }

    /// Its title.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// What it shows, in words, for who cannot see it.
    #[must_use]
    pub fn description(&self) -> &str {
        &self.description
    }

    /// The box of every text: left, top, right, bottom in mm, with the text. For checks of overlap.
    #[must_use]
    pub fn text_boxes(&self) -> Vec<([f64; 4], String)> {
        text_boxes(&self.items)
    }
}

/// The box of every text among the items: left, top, right, bottom in mm, with the text.
pub(crate) fn text_boxes(items: &[Item]) -> Vec<([f64; 4], String)> {
    let mut boxes = Vec::new();
    collect(items, &mut boxes);
    boxes
}

/// The height of capitals over the base line and of descenders below it, of the size: DejaVu Sans,
/// from its tables.
const ASCENT: f64 = 0.76;
const DESCENT: f64 = 0.24;

fn collect(items: &[Item], boxes: &mut Vec<([f64; 4], String)>) {
    for item in items {
        match item {
            Item::Text { at: [x, y], text, size, bold, anchor, .. } => {
                let wide = face::width(text, *size, *bold);
                let left = match anchor {
                    Anchor::Start => *x,
                    Anchor::Middle => x - wide / 2.0,
                    Anchor::End => x - wide,
                };
                boxes.push(([left, y - ASCENT * size, left + wide, y + DESCENT * size], text.clone()));
            }
            Item::Group { items, .. } => collect(items, boxes),
            Item::Line { .. } | Item::Circle { .. } => {}
        }
    }
}

/// Slanting lines that fill a box: the sign of danger. They are cut at its edges.
pub(crate) fn hatch([x, y]: Spot, [w, h]: Spot, pen: Pen) -> Vec<Item> {
    let gap = 2.2;
    let mut lines = Vec::new();
    let mut start = gap;
    // Each line goes from the upper edge or the right one down to the left: x + y = constant.
    while start < w + h {
        let from = if start <= w { [x + start, y] } else { [x + w, y + start - w] };
        let to = if start <= h { [x, y + start] } else { [x + start - h, y + h] };
        lines.push(Item::line(vec![from, to], pen));
        start += gap;
    }
    lines
}
