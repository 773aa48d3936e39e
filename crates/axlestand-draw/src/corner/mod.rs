//! One corner of the car: its parts as tubes and lines, its fasteners as marks with call-outs.
//!
//! Whoever draws hands in parts with their shapes and points, fasteners with their places, and what
//! is to be measured. Points are millimetres in ISO 8855 axes: x forward, y to the left, z up; the
//! right corner has negative y and comes out as the mirror image of the left one.

mod callout;
mod key;
mod mark;
mod narrow;
mod picture;
mod piece;
mod view;

pub use mark::PinState;
pub use piece::{Shape, circle};
pub use view::View;

/// A point of the car in mm: forward, left, up.
pub type Point = [f64; 3];

/// Where a part stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// On the car.
    There,
    /// Taken off: drawn as a ghost.
    Gone,
    /// On the car or off it, and part of the step that is to be done now.
    Now,
}

/// A part to draw.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Its name in commands, which becomes the element's id.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// Its form and points.
    pub shape: Shape,
    /// Where it stands.
    pub standing: Standing,
}

/// A fastener or connection to draw.
#[derive(Debug, Clone, PartialEq)]
pub struct Pin {
    /// Its name in commands, which becomes the element's id.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// More to know of it: thread, length, drive.
    pub detail: String,
    /// Where it is.
    pub at: Point,
    /// How it stands.
    pub state: PinState,
    /// The tray place it lies in.
    pub tray: Option<u32>,
    /// The row of the plan that is next for it.
    pub row: Option<u32>,
    /// Whether the step that is to be done now touches it.
    pub now: bool,
}

/// Something to measure, from one point to another.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// The reading's name in commands.
    pub id: String,
    /// What is read: "hub centre to arch lip".
    pub name: String,
    /// Value and uncertainty, where it was read.
    pub value: Option<String>,
    /// From where.
    pub from: Point,
    /// To where.
    pub to: Point,
}

/// A corner as it stands, and how it is wanted on paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Corner {
    /// The title: "Left front corner".
    pub title: String,
    /// What keeps the picture from being to measure: "schematic: typical points of a strut corner".
    pub schematic: Option<String>,
    /// The step that is to be done now, in words.
    pub step: Option<String>,
    /// Parts.
    pub pieces: Vec<Piece>,
    /// Fasteners and connections.
    pub pins: Vec<Pin>,
    /// What to measure.
    pub measures: Vec<Measure>,
}

/// How wide a drawing is wanted and what is written beside its marks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// Paper and large screens: names stand beside the marks.
    Wide,
    /// A phone: row numbers stand beside large marks, their names in a list below.
    Narrow,
}
