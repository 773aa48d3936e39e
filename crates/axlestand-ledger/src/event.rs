//! What happens in a job.

use crate::action::Action;
use axlestand_model::{CarState, Condition, ItemId};

/// How far a fastener or connection is on its way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum FastenerStage {
    /// As it was found.
    #[default]
    InPlace,
    /// Broken loose, still in its thread.
    BrokenLoose,
    /// Out; a connection is undone.
    Out,
    /// Started by hand.
    InByHand,
    /// Seated (snug); a connection is made.
    Seated,
    /// At its final torque.
    AtFinal,
    /// Locked.
    Locked,
}

impl FastenerStage {
    /// The words shown to people.
    #[must_use]
    pub fn phrase(self) -> &'static str {
        match self {
            Self::InPlace => "in place",
            Self::BrokenLoose => "broken loose",
            Self::Out => "out",
            Self::InByHand => "in by hand",
            Self::Seated => "seated, not final",
            Self::AtFinal => "at final torque",
            Self::Locked => "locked",
        }
    }
}

/// The record of a final torque.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TorqueRecord {
    /// What was reached, as typed or as specified: `140 N·m`; absent where no value was known.
    pub value: Option<String>,
    /// Where the specified value came from: `manual: sheet 40-11`.
    pub provenance: Option<String>,
    /// The wrench.
    pub wrench: Option<String>,
    /// The adapter.
    pub adapter: Option<String>,
    /// The thread condition.
    pub condition: Option<String>,
    /// How the car stood.
    pub car_state: Option<CarState>,
    /// The value has a source of its own, apart from the vehicle file's.
    pub own_source: bool,
    /// The thread condition that the vehicle file's value was for when it was reached.
    pub specified: Option<Condition>,
}

/// What an action brought about besides its own item, settled when it was recorded so that the
/// fold needs no vehicle file.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Effects {
    /// The car state that was brought about.
    pub brings: Option<CarState>,
    /// The stage that a fastener or connection reached.
    pub reaches: Option<FastenerStage>,
    /// Holds that were undone by going another way.
    pub undone: Vec<ItemId>,
    /// Parts that came off by going another way.
    pub off: Vec<ItemId>,
    /// What is scrap now.
    pub scrapped: Vec<ItemId>,
    /// A new one went in.
    pub fresh: bool,
    /// The old one went in though a new one is due.
    pub reused: bool,
    /// Where a fastener was laid.
    pub tray: Option<u32>,
}

/// A row of the plan: an action with the number it keeps for the whole job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlannedRow {
    /// Its number, from 1.
    pub number: u32,
    /// The action.
    pub action: Action,
}

/// One thing that happened.
#[derive(Debug, Clone, PartialEq)]
pub enum Event {
    /// A job was started.
    JobStarted {
        /// The name of the job.
        name: String,
        /// The vehicle file as it was.
        car_text: String,
        /// Where the vehicle file stands.
        car_path: String,
        /// The parts to replace.
        goals: Vec<ItemId>,
        /// Rust grade, 0 to 4.
        rust: u8,
        /// Whether a helper is at hand.
        helper: bool,
        /// The text of the toolbox file.
        toolbox: Option<String>,
    },
    /// The vehicle file was changed.
    CarUpdated {
        /// Its new text.
        car_text: String,
    },
    /// The vehicle file is at another place now.
    CarMoved {
        /// Its path.
        car_path: String,
    },
    /// The plan was made or changed: the rows in their order, and the ways chosen.
    Planned {
        /// Rows in their order.
        rows: Vec<PlannedRow>,
        /// Ways chosen instead of the usual manner.
        ways: Vec<ItemId>,
    },
    /// An action was done.
    Done {
        /// The action.
        action: Action,
        /// What it brought about.
        effects: Effects,
        /// The record of a final torque.
        torque: Option<TorqueRecord>,
        /// A remark.
        note: Option<String>,
    },
    /// A reading was taken.
    Read {
        /// Which.
        reading: ItemId,
        /// Whether it is the reading at the end.
        again: bool,
        /// Value in mm or degrees.
        value: f64,
        /// Standard uncertainty in the same unit.
        u: f64,
        /// What was typed.
        typed: String,
        /// The instrument.
        instrument: Option<String>,
    },
    /// One number was read off a gauge at one place of the wheels, for their alignment.
    Gauged {
        /// Where, by its name: `string.front-left.front-edge`.
        place: String,
        /// Value in mm, degrees, kPa or kg.
        value: f64,
        /// Standard uncertainty in the same unit.
        u: f64,
        /// The owner gave that uncertainty with the reading.
        own_u: bool,
        /// Where along the car or plate it was read, mm, where that counts.
        at: Option<f64>,
        /// It was looked at again: earlier ones at this place count no more.
        sure: bool,
        /// What was typed.
        typed: String,
        /// The instrument.
        instrument: Option<String>,
    },
    /// An adjuster was turned; what was gauged before it does not count for after.
    Turned {
        /// Which: `tie-rod.left`.
        adjuster: String,
        /// By how much: turns of a tie rod, longer positive; else in the adjuster's own unit.
        amount: f64,
        /// What was typed.
        typed: String,
    },
    /// The owner said something of the car that its wheels are reckoned with; the last word counts.
    Stated {
        /// What: `tie-rods`, `steering-ratio`.
        what: String,
        /// How it is: `ahead`, `15.5`.
        value: String,
    },
    /// Something does not come loose.
    Stuck {
        /// What.
        item: ItemId,
        /// A remark.
        note: Option<String>,
    },
    /// Something broke.
    Broken {
        /// What.
        item: ItemId,
        /// A remark.
        note: Option<String>,
    },
    /// A new one was taken.
    Replaced {
        /// What.
        item: ItemId,
        /// A remark: part number, maker.
        note: Option<String>,
    },
    /// An action is left out.
    Skipped {
        /// Which.
        action: Action,
        /// Why.
        reason: String,
    },
    /// The owner chose how something is to be freed.
    Chosen {
        /// What.
        item: ItemId,
        /// By which way; `None`: in the usual manner.
        way: Option<ItemId>,
    },
    /// Something was seen at the car that the vehicle file does not say, or says otherwise.
    Seen {
        /// At which fastener.
        item: ItemId,
        /// `thread`, `length`, `class`, `drive` or `hold`.
        field: String,
        /// What was seen.
        value: String,
    },
    /// A photo was taken.
    Pictured {
        /// Of which step.
        action: Option<Action>,
        /// The file in the garage's folder of photos.
        file: String,
        /// A remark.
        note: Option<String>,
    },
    /// A remark.
    Note {
        /// About what.
        item: Option<ItemId>,
        /// The remark.
        text: String,
    },
    /// An earlier entry was a mistake and does not count.
    Withdrawn {
        /// The id of that entry.
        entry: String,
        /// Why.
        reason: Option<String>,
    },
}

impl Event {
    /// Whether it sets up the job (its start, its file, its plan) rather than telling what a person did or saw.
    #[must_use]
    pub fn sets_up(&self) -> bool {
        matches!(
            self,
            Self::JobStarted { .. } | Self::CarUpdated { .. } | Self::CarMoved { .. } | Self::Planned { .. }
        )
    }
}

/// An event with its id and time.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Unique id, made where the event was made.
    pub id: String,
    /// When it was made, as RFC 3339 text.
    pub at: String,
    /// What happened.
    pub event: Event,
}
