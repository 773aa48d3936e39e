//! Parts as drawn: tubes are outlined, a nearer one covers a farther one.

use super::{Piece, Point, Standing};
use crate::look::{Tone, weight};
use crate::scene::{Dash, Item, Pen, Spot};

/// The form of a part; radii in mm at the car.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// Tubes one after the other through points: rods, bars, dampers, knuckles.
    Tube {
        /// Its points.
        through: Vec<Point>,
        /// Its radius.
        radius: f64,
    },
    /// Several tubes that make one part: an arm, a knuckle.
    Tubes(Vec<(Vec<Point>, f64)>),
    /// A coil spring between its seats.
    Coil {
        /// Its seats.
        between: [Point; 2],
        /// Mean radius of the coil.
        radius: f64,
        /// Radius of the wire.
        wire: f64,
        /// How many turns.
        turns: u32,
    },
    /// Rings about an axis that runs across the car (discs, hubs, wheels) or upright (mounts).
    Rings {
        /// Their middle.
        centre: Point,
        /// Their radii.
        radii: Vec<f64>,
        /// Whether the axis is upright.
        upright: bool,
    },
    /// What is only indicated by its outline, so that it hides nothing: body, subframe, wheel.
    Frame(Vec<Vec<Point>>),
}

/// A part as lines on paper, with its distance for the order of drawing.
pub(super) struct Drawn {
    pub(super) near: f64,
    pub(super) items: Vec<Item>,
}

/// How points become spots, and mm at the car mm on paper.
pub(super) struct Lens<'a> {
    pub(super) spot: &'a dyn Fn(Point) -> Spot,
    pub(super) near: &'a dyn Fn(Point) -> f64,
    pub(super) scale: f64,
}

impl Shape {
    /// The points that have to be on the paper.
    pub(super) fn extent(&self) -> Vec<Point> {
        match self {
            Self::Tube { through, .. } => through.clone(),
            Self::Frame(lines) => lines.concat(),
            Self::Tubes(tubes) => tubes.iter().flat_map(|(through, _)| through.clone()).collect(),
            Self::Coil { between, radius, .. } => between
                .iter()
                .flat_map(|[x, y, z]| {
                    [[x - radius, *y, *z], [x + radius, *y, *z], [*x, y - radius, *z], [*x, y + radius, *z]]
                })
                .collect(),
            Self::Rings { centre, radii, upright } => {
                let widest = radii.iter().copied().fold(0.0, f64::max);
                ring(*centre, widest, *upright)
            }
        }
    }

    /// The middle of its points.
    fn middle(&self) -> Point {
        let points = self.extent();
        let count = points.len().max(1) as f64;
        let sum = points.iter().fold([0.0; 3], |s, p| [s[0] + p[0], s[1] + p[1], s[2] + p[2]]);
        sum.map(|s| s / count)
    }
}

/// The lines of a part.
pub(super) fn draw(piece: &Piece, lens: &Lens<'_>, any_now: bool) -> Drawn {
    let tone = match piece.standing {
        Standing::Now => Tone::Now,
        Standing::There if any_now => Tone::Quiet,
        Standing::There => Tone::Ink,
        Standing::Gone => Tone::Faint,
    };
    let ink = Ink { tone, ghost: piece.standing == Standing::Gone, now: piece.standing == Standing::Now };
    let items = match &piece.shape {
        Shape::Tube { through, radius } => tube(&spots(through, lens), radius * lens.scale, ink),
        Shape::Tubes(tubes) => joined(tubes, lens, ink),
        Shape::Coil { between, radius, wire, turns } => coil(*between, *radius, *wire, *turns, lens, ink),
        Shape::Rings { centre, radii, upright } => rings(*centre, radii, *upright, lens, ink),
        Shape::Frame(lines) => frame(lines, lens, ink),
    };
    // What is only indicated lies behind everything.
    let behind = matches!(piece.shape, Shape::Frame(_));
    Drawn { near: if behind { f64::NEG_INFINITY } else { (lens.near)(piece.shape.middle()) }, items }
}

/// How the lines of a part are inked.
#[derive(Clone, Copy)]
struct Ink {
    tone: Tone,
    ghost: bool,
    now: bool,
}

impl Ink {
    fn outline(self) -> f64 {
        if self.now { weight::STRONG } else { weight::USUAL }
    }
}

fn spots(points: &[Point], lens: &Lens<'_>) -> Vec<Spot> {
    points.iter().map(|p| (lens.spot)(*p)).collect()
}

/// A tube along spots: a broad line, hollowed out by a narrower one of the ground.
fn tube(along: &[Spot], radius: f64, ink: Ink) -> Vec<Item> {
    if ink.ghost {
        return vec![Item::line(along.to_vec(), Pen::ghost())];
    }
    let line = ink.outline();
    let broad = (2.0 * radius).max(2.6 * line);
    let stroke = |tone, weight| Item::line(along.to_vec(), Pen::new(tone, weight));
    vec![stroke(Tone::Ground, broad + 0.7), stroke(ink.tone, broad), stroke(Tone::Ground, broad - 2.0 * line)]
}

/// Tubes that run into each other: all outlines first, then all hollows.
fn joined(tubes: &[(Vec<Point>, f64)], lens: &Lens<'_>, ink: Ink) -> Vec<Item> {
    let mut layers: [Vec<Item>; 3] = Default::default();
    for (through, radius) in tubes {
        for (at, item) in tube(&spots(through, lens), radius * lens.scale, ink).into_iter().enumerate() {
            layers[at.min(2)].push(item);
        }
    }
    layers.into_iter().flatten().collect()
}

/// The half of each turn that faces who looks.
fn coil(ends: [Point; 2], radius: f64, wire: f64, turns: u32, lens: &Lens<'_>, ink: Ink) -> Vec<Item> {
    let [low, high] = ends;
    let steps = turns * 24;
    let place = |step: u32| {
        let part = f64::from(step) / f64::from(steps.max(1));
        let turn = (f64::from(step) * 15.0).to_radians();
        let axis: [f64; 3] = std::array::from_fn(|i| low[i] + (high[i] - low[i]) * part);
        let point = [axis[0] + radius * turn.cos(), axis[1] + radius * turn.sin(), axis[2]];
        let front = (lens.near)(point) >= (lens.near)(axis) - 1e-6;
        ((lens.spot)(point), front)
    };
    let mut items = Vec::new();
    let mut run: Vec<Spot> = Vec::new();
    for step in 0..=steps {
        let (spot, front) = place(step);
        if front {
            run.push(spot);
        }
        if (!front || step == steps) && run.len() > 1 {
            items.extend(tube(&run, wire * lens.scale, ink));
        }
        if !front {
            run.clear();
        }
    }
    items
}

fn frame(lines: &[Vec<Point>], lens: &Lens<'_>, ink: Ink) -> Vec<Item> {
    let pen = match (ink.now, ink.ghost) {
        (true, _) => Pen { tone: Tone::Now, weight: weight::STRONG, dash: Dash::Long },
        (false, true) => Pen::ghost(),
        (false, false) => Pen { tone: Tone::Faint, weight: weight::USUAL, dash: Dash::Long },
    };
    lines.iter().map(|line| Item::line(spots(line, lens), pen)).collect()
}

/// Points on a circle about an axis that runs across the car, closed; lengths in mm at the car.
#[must_use]
pub fn circle(centre: Point, radius: f64) -> Vec<Point> {
    let mut points = ring(centre, radius, false);
    points.extend(points.first().copied());
    points
}

/// Points on a circle.
fn ring([x, y, z]: Point, radius: f64, upright: bool) -> Vec<Point> {
    (0..48)
        .map(|i| {
            let (sin, cos) = (f64::from(i) * 7.5).to_radians().sin_cos();
            if upright {
                [x + radius * cos, y + radius * sin, z]
            } else {
                [x + radius * cos, y, z + radius * sin]
            }
        })
        .collect()
}

fn rings(centre: Point, radii: &[f64], upright: bool, lens: &Lens<'_>, ink: Ink) -> Vec<Item> {
    let pen = if ink.ghost { Pen::ghost() } else { Pen::new(ink.tone, ink.outline()) };
    radii
        .iter()
        .enumerate()
        .map(|(at, radius)| {
            let fill = (at == 0 && !ink.ghost).then_some(Tone::Ground);
            Item::area(spots(&ring(centre, *radius, upright), lens), Some(pen), fill)
        })
        .collect()
}
