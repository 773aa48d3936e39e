//! What holds parts: fasteners and connections.

use super::drive::Drive;
use super::torque::TorqueSpec;
use super::work::Work;
use crate::id::ItemId;
use crate::provenance::Provenance;
use crate::words::{AxleEnd, CarState, Duty, Exposure, Form, Joint, Lock};
use axlestand_quantity::Length;
use std::collections::BTreeSet;

/// A threaded thing, or a set of equal ones, that holds parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Fastener {
    /// Its name in files and commands.
    pub id: ItemId,
    /// What people call it.
    pub name: String,
    /// The parts it holds together.
    pub joins: Vec<ItemId>,
    /// How many equal ones.
    pub count: u32,
    /// Its shape.
    pub form: Option<Form>,
    /// Thread in its standard form.
    pub thread: Option<String>,
    /// Length under the head.
    pub length: Option<Length>,
    /// Property class as written.
    pub class: Option<String>,
    /// What turns it.
    pub drive: Option<Drive>,
    /// What holds the other end still.
    pub hold: Option<Drive>,
    /// Its final torque; `None`: hand-tight is final.
    pub torque: Option<TorqueSpec>,
    /// What it does; `None`: told by what it joins and by names.
    pub duty: Option<Duty>,
    /// The axle it belongs to, where the file says so; that axle is described.
    pub axle: Option<AxleEnd>,
    /// What locks it.
    pub lock: Lock,
    /// Whether its nut is captive, out of reach in a box section.
    pub captive: bool,
    /// Whether a new one goes in each time.
    pub one_use: bool,
    /// What the weather does to it.
    pub exposure: Exposure,
    /// Whether a life hangs on it.
    pub critical: bool,
    /// The car state in which it must be broken loose, where that is an act of its own.
    pub loosen_state: Option<CarState>,
    /// What must be off for the final torque, where that is an act of its own.
    pub final_after: Vec<ItemId>,
    /// Where thread, length, class and drive come from.
    pub provenance: Provenance,
    /// Which of them were measured at this car.
    pub measured: BTreeSet<String>,
    /// Place, state, minutes, tools.
    pub work: Work,
}

impl Fastener {
    /// Whether its final torque is due in a state of its own, after the car was moved there.
    #[must_use]
    pub fn is_deferred(&self) -> bool {
        self.torque.as_ref().and_then(|torque| torque.state).is_some_and(|state| state != CarState::OnStands)
    }

    /// Thread and length as they are written on a bag: `M14×1.5 × 85 mm`.
    #[must_use]
    pub fn size_text(&self) -> String {
        let thread = self.thread.clone().unwrap_or_default();
        match self.length {
            Some(length) if thread.is_empty() => length.to_string(),
            Some(length) => format!("{thread} × {length}"),
            None => thread,
        }
    }

    /// Whether `other` is easily taken for this one: the same head and thread, another length,
    /// class or pitch.
    #[must_use]
    pub fn looks_like(&self, other: &Self) -> bool {
        let diameter =
            |f: &Self| f.thread.as_deref().map(|t| t.split(['×', 'x', '-']).next().unwrap_or(t).to_owned());
        self.id.base() != other.id.base()
            && self.thread.is_some()
            && diameter(self) == diameter(other)
            && self.drive.as_ref().map(ToString::to_string) == other.drive.as_ref().map(ToString::to_string)
            && (self.length != other.length || self.class != other.class || self.thread != other.thread)
    }
}

/// Any other hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Connection {
    /// Its name in files and commands.
    pub id: ItemId,
    /// What people call it.
    pub name: String,
    /// The parts it holds together.
    pub joins: Vec<ItemId>,
    /// How it holds.
    pub joint: Joint,
    /// How many equal ones.
    pub count: u32,
    /// Whether a new one goes in each time.
    pub one_use: bool,
    /// What the weather does to it.
    pub exposure: Exposure,
    /// Whether a life hangs on it.
    pub critical: bool,
    /// Place, state, minutes, tools.
    pub work: Work,
}

/// A fastener or a connection.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hold<'a> {
    /// A fastener.
    Fastener(&'a Fastener),
    /// A connection.
    Connection(&'a Connection),
}

impl<'a> Hold<'a> {
    /// Its name in files and commands.
    #[must_use]
    pub fn id(self) -> &'a ItemId {
        match self {
            Self::Fastener(f) => &f.id,
            Self::Connection(c) => &c.id,
        }
    }

    /// What people call it.
    #[must_use]
    pub fn name(self) -> &'a str {
        match self {
            Self::Fastener(f) => &f.name,
            Self::Connection(c) => &c.name,
        }
    }

    /// The parts it holds together.
    #[must_use]
    pub fn joins(self) -> &'a [ItemId] {
        match self {
            Self::Fastener(f) => &f.joins,
            Self::Connection(c) => &c.joins,
        }
    }

    /// Place, state, minutes, tools.
    #[must_use]
    pub fn work(self) -> &'a Work {
        match self {
            Self::Fastener(f) => &f.work,
            Self::Connection(c) => &c.work,
        }
    }

    /// What the weather does to it.
    #[must_use]
    pub fn exposure(self) -> Exposure {
        match self {
            Self::Fastener(f) => f.exposure,
            Self::Connection(c) => c.exposure,
        }
    }

    /// Whether a life hangs on it.
    #[must_use]
    pub fn is_critical(self) -> bool {
        match self {
            Self::Fastener(f) => f.critical,
            Self::Connection(c) => c.critical,
        }
    }

    /// Whether a new one goes in each time.
    #[must_use]
    pub fn is_one_use(self) -> bool {
        match self {
            Self::Fastener(f) => f.one_use,
            Self::Connection(c) => c.one_use,
        }
    }

    /// How many equal ones.
    #[must_use]
    pub fn count(self) -> u32 {
        match self {
            Self::Fastener(f) => f.count,
            Self::Connection(c) => c.count,
        }
    }
}
