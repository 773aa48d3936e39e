//! The car: axles, parts, fasteners, connections, operations, ways, readings, fluids, targets.

mod adjuster;
mod axle;
mod balance;
mod drive;
mod hold;
mod items;
mod lookup;
mod torque;
mod wait;
mod work;

pub use adjuster::{Acts, Adjuster};
pub use axle::{Axle, Bar, Damper, Limits, Spring};
pub use balance::Balance;
pub use drive::{Drive, DriveKind};
pub use hold::{Connection, Fastener, Hold};
pub use items::{Fluid, Operation, Part, Reading, Target, Way};
pub use lookup::nearest;
pub use lookup::{Item, Unresolved};
pub use torque::{TorqueSpec, TorqueStep, parse_steps};
pub use wait::Wait;
pub use work::{Minutes, Use, Work};

use crate::id::ItemId;
use crate::words::Driven;
use axlestand_quantity::{Length, Mass};
use std::collections::{BTreeMap, BTreeSet};

/// One car, as its vehicle file describes it, with every `side = "both"` entry expanded to left
/// and right and every reference resolved to an existing item.
///
/// Lists keep the order of the file, left before right.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Car {
    /// What the owner calls it.
    pub name: String,
    /// Free text.
    pub note: Option<String>,
    /// Wheelbase.
    pub wheelbase: Option<Length>,
    /// Front track.
    pub track_front: Option<Length>,
    /// Rear track.
    pub track_rear: Option<Length>,
    /// Tyre designation as written on its side wall.
    pub tyre: Option<String>,
    /// Which axle is driven.
    pub driven: Option<Driven>,
    /// Mass on each wheel, keyed `front-left`, … or on each axle, keyed `front`, `rear`.
    pub masses: BTreeMap<String, Mass>,
    /// What weighs on which axle as it brakes and drives.
    pub balance: Option<Balance>,
    /// Axles.
    pub axles: Vec<Axle>,
    /// What comes off as one piece.
    pub parts: Vec<Part>,
    /// Threaded things that hold parts.
    pub fasteners: Vec<Fastener>,
    /// Other holds.
    pub connections: Vec<Connection>,
    /// Further work that the car needs.
    pub operations: Vec<Operation>,
    /// Other ways to free something.
    pub ways: Vec<Way>,
    /// Readings, witness readings among them.
    pub readings: Vec<Reading>,
    /// Fluids.
    pub fluids: Vec<Fluid>,
    /// Targets for readings.
    pub targets: Vec<Target>,
    index: BTreeMap<ItemId, (lookup::Kind, usize)>,
    assemblies: BTreeMap<ItemId, BTreeSet<ItemId>>,
    outer: BTreeMap<ItemId, Vec<ItemId>>,
    behind: BTreeMap<ItemId, Vec<ItemId>>,
}
