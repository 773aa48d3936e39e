//! Parts, operations, ways, readings, fluids and targets.

use super::wait::Wait;
use super::work::Work;
use crate::id::ItemId;
use crate::provenance::Provenance;
use crate::words::{AxleEnd, CarState, FillRule, Neighbour, ReadingKind, Stage};
use axlestand_quantity::{Band, Dimension, Volume};

/// What comes off as one piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its name in files and commands.
    pub id: ItemId,
    /// What people call it.
    pub name: String,
    /// The part with which it comes off unless it is freed itself.
    pub part_of: Option<ItemId>,
    /// Whether it only covers: the car may stand on its wheels without it.
    pub cover: bool,
    /// Whether a life hangs on it.
    pub critical: bool,
    /// Mass in kilograms, where known.
    pub mass_kg: Option<f64>,
    /// What suffers from heat or force near it; `None`: told by names.
    pub near: Option<Vec<Neighbour>>,
    /// What is bought with a new one.
    pub buy_with: Vec<super::work::Use>,
    /// Place, state, minutes, tools.
    pub work: Work,
}

/// Work that is neither undoing nor refitting a hold or part.
#[derive(Debug, Clone, PartialEq)]
pub struct Operation {
    /// Its name in files and commands.
    pub id: ItemId,
    /// What is to be done.
    pub name: String,
    /// The stage it belongs to.
    pub stage: Stage,
    /// The car state it brings about.
    pub brings: Option<CarState>,
    /// It is due when one of these is disturbed; empty: in every job.
    pub because: Vec<ItemId>,
    /// What has to wait for it.
    pub before: Vec<ItemId>,
    /// May be left out without keeping the car off the road.
    pub optional: bool,
    /// The fluid it drains or fills.
    pub fluid: Option<ItemId>,
    /// Days before the job at which it has to start.
    pub days_before: Option<f64>,
    /// What goes on by itself afterwards, before what comes after it may start.
    pub wait: Option<Wait>,
    /// Done later on the road, after this distance or time; not part of the plan.
    pub recheck: Option<String>,
    /// Place, state, minutes, tools.
    pub work: Work,
}

/// Another way to free an item.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// Its name in files and commands.
    pub id: ItemId,
    /// What is to be done.
    pub name: String,
    /// The part, fastener or connection that it frees.
    pub frees: ItemId,
    /// What it needs undone, off or done before, besides the usual access.
    pub needs: Vec<ItemId>,
    /// Holds that it undoes besides.
    pub undoes: Vec<ItemId>,
    /// What is scrap afterwards.
    pub scraps: Vec<ItemId>,
    /// Place, state, minutes, tools.
    pub work: Work,
}

/// Something to read off the car.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Its name in files and commands.
    pub id: ItemId,
    /// What is read.
    pub name: String,
    /// What kind of reading it is, where computations use it.
    pub kind: Option<ReadingKind>,
    /// The axle it is read at.
    pub axle: AxleEnd,
    /// Length or angle.
    pub dimension: Dimension,
    /// Standard uncertainty in the project's own unit when the user gives none.
    pub u: f64,
    /// The instrument.
    pub instrument: Option<String>,
    /// From where to where, and how.
    pub how: Option<String>,
    /// It must be read before these are disturbed.
    pub before: Vec<ItemId>,
    /// The stage of the first reading.
    pub stage: Stage,
    /// The car state in which it is read again at the end.
    pub again: Option<CarState>,
    /// Place, state, minutes, tools.
    pub work: Work,
}

/// A fluid.
#[derive(Debug, Clone, PartialEq)]
pub struct Fluid {
    /// Its name in files and commands.
    pub id: ItemId,
    /// What people call it.
    pub name: String,
    /// Grade or standard as the owner wrote it.
    pub grade: Option<String>,
    /// Amount for a refill.
    pub amount: Option<Volume>,
    /// How full it has to be.
    pub fill: FillRule,
    /// Where grade and amount come from.
    pub provenance: Provenance,
    /// Where in a service manual they usually stand.
    pub look_in: Option<String>,
}

/// A target for a reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// Its name in files and commands.
    pub id: ItemId,
    /// What people call it.
    pub name: String,
    /// The reading it judges.
    pub reading: ItemId,
    /// Value and tolerance in the project's own unit; `None`: still to be looked up.
    pub band: Option<Band>,
    /// Where it comes from.
    pub provenance: Provenance,
    /// Where in a service manual it usually stands.
    pub look_in: Option<String>,
}
