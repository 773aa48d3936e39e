//! The fields of the vehicle file, format version 1: the one list from which reading, checking
//! for unknown keys and the JSON schema all work.

use super::axle_fields::AXLE;
use crate::words::{
    AxleEnd, CarState, Condition, Driven, Duty, Exposure, FillRule, Form, Joint, Lock, Origin, Place,
    ReadingKind, Stage, WaitKind,
};
use axlestand_quantity::Dimension;

/// The axles a car may have.
pub const AXLES: [&str; 2] = ["front", "rear"];

/// What a mass may stand on.
pub const WHEELS_AND_AXLES: [&str; 6] =
    ["front-left", "front-right", "rear-left", "rear-right", "front", "rear"];

/// Most signs of an item's name.
pub const LONGEST_NAME: usize = crate::id::LONGEST;

/// What a field holds.
#[derive(Debug, Clone, Copy)]
pub enum Holds {
    /// Text.
    Text,
    /// A name or list of names of other items.
    Names,
    /// Yes or no.
    Flag,
    /// A whole number from 1 to 1000.
    Count,
    /// A number from `0` to the one given.
    Number(f64),
    /// A quantity with its unit, as text.
    Quantity(Dimension),
    /// One of these words.
    Word(&'static [&'static str]),
    /// A list of texts.
    Texts,
    /// A thread designation.
    Thread,
    /// A drive with its size.
    Drive,
    /// Torque steps.
    Steps,
    /// A quantity of any dimension, checked where it is used.
    AnyQuantity,
    /// A table with these fields.
    Table(&'static Table),
    /// A list of tables with these fields.
    Tables(&'static Table),
    /// A table from wheels and axles to quantities.
    Quantities(Dimension),
    /// A point or direction `[x, y, z]`.
    Point,
    /// A table from free names to points `[x, y, z]` in mm.
    Points,
    /// A table from item names to tables with these fields.
    Items(&'static Table),
}

/// One field.
#[derive(Debug)]
pub struct Field {
    /// Its key.
    pub key: &'static str,
    /// What it holds.
    pub holds: Holds,
    /// Whether it must be there.
    pub required: bool,
    /// What it means.
    pub doc: &'static str,
}

/// A table of the file.
#[derive(Debug)]
pub struct Table {
    /// What one such table describes.
    pub what: &'static str,
    /// Its fields.
    pub fields: &'static [Field],
}

pub(super) const fn must(key: &'static str, holds: Holds, doc: &'static str) -> Field {
    Field { key, holds, required: true, doc }
}

pub(super) const fn may(key: &'static str, holds: Holds, doc: &'static str) -> Field {
    Field { key, holds, required: false, doc }
}

const SIDE: Field = may(
    "side",
    Holds::Word(&["both", "left", "right"]),
    "'both' makes one item on each side; left and right as seen from the driver's seat. Absent: one item for the car.",
);
const NAME: Field = must("name", Holds::Text, "What people call it.");
pub(super) const ORIGIN: Field = may(
    "provenance",
    Holds::Word(Origin::WORDS),
    "Where the entry comes from. 'manual' needs a source. Absent: typical.",
);
pub(super) const SOURCE: Field =
    may("source", Holds::Text, "The reference: page or sheet of the manual, or how it was measured.");
const LOOK_IN: Field = may("look_in", Holds::Text, "Where in a service manual such a value usually stands.");
const PLACE: Field = must("place", Holds::Word(Place::WORDS), "Where the hands are.");
const STATE: Field = may(
    "state",
    Holds::Word(CarState::WORDS),
    "The car state in which the work can be done. Absent: on stands for wheel well and under, any state elsewhere.",
);
const AFTER: Field =
    may("after", Holds::Names, "What must be undone, off or done before this can be reached.");
const MINUTES: Field = must("minutes", Holds::Number(2000.0), "Minutes when nothing is stuck.");
const STUCK: Field =
    may("minutes_stuck", Holds::Number(2000.0), "Minutes when it is stuck. Absent: as 'minutes'.");
const BACK: Field =
    may("minutes_back", Holds::Number(2000.0), "Minutes to put it back. Absent: as 'minutes'.");
const CHANCE: Field = may(
    "stuck_chance",
    Holds::Number(1.0),
    "Chance from 0 to 1 that it is stuck. Absent: from exposure and rust grade.",
);
const PEOPLE: Field = may("people", Holds::Count, "2 where a helper is needed. Absent: 1.");
const TOOLS: Field = may("tools", Holds::Texts, "Tools besides those that drive and torque imply.");
const USES: Field = may("uses", Holds::Tables(&USE), "Consumables needed.");
const CAUTION: Field = may("caution", Holds::Text, "The caution to show before the step.");
const CAUTION_BACK: Field = may(
    "caution_back",
    Holds::Text,
    "The caution to show before it is put back. Absent: 'caution' is shown both ways.",
);
const TOOLS_BACK: Field =
    may("tools_back", Holds::Texts, "Tools for putting it back, where they are others. Absent: as 'tools'.");
const EXPOSURE: Field =
    may("exposure", Holds::Word(Exposure::WORDS), "What the weather does to it. Absent: sheltered.");
const CRITICAL: Field = may("critical", Holds::Flag, "Whether a life depends on it. Absent: no.");
const ONE_USE: Field = may("one_use", Holds::Flag, "Whether a new one goes in each time. Absent: no.");
const COUNT: Field = may("count", Holds::Count, "How many equal ones. Absent: 1.");

static USE: Table = Table {
    what: "a consumable",
    fields: &[
        must("item", Holds::Text, "What."),
        may("amount", Holds::Text, "How much: a number, with a unit where it is not pieces. Absent: 1."),
    ],
};

static BALANCE: Table = Table {
    what: "the car's balance: what weighs on which axle as it brakes and drives",
    fields: &[
        may(
            "cg_height",
            Holds::Quantity(Dimension::Length),
            "Height of the centre of gravity above the floor, the car standing as the points were taken.",
        ),
        may(
            "brake_share_front",
            Holds::Number(1.0),
            "Share of the brake force that the front axle gives, 0 to 1.",
        ),
        may(
            "drive_share_front",
            Holds::Number(1.0),
            "Share of the drive that the front axle gives, 0 to 1, where all wheels are driven.",
        ),
        ORIGIN,
        SOURCE,
    ],
};

static CAR: Table = Table {
    what: "the car",
    fields: &[
        NAME,
        may("note", Holds::Text, "Free text."),
        may("wheelbase", Holds::Quantity(Dimension::Length), "Wheelbase."),
        may("track_front", Holds::Quantity(Dimension::Length), "Front track."),
        may("track_rear", Holds::Quantity(Dimension::Length), "Rear track."),
        may("tyre", Holds::Text, "Tyre designation from the sidewall."),
        may("driven", Holds::Word(Driven::WORDS), "Driven axle."),
        may(
            "masses",
            Holds::Quantities(Dimension::Mass),
            "Mass on each wheel (front-left, front-right, rear-left, rear-right) or axle (front, rear).",
        ),
        may("balance", Holds::Table(&BALANCE), "What anti-dive and anti-squat go by."),
    ],
};

static PART: Table = Table {
    what: "a part: what comes off as one piece",
    fields: &[
        NAME,
        SIDE,
        PLACE,
        STATE,
        may("part_of", Holds::Names, "The part with which it comes off unless it is freed itself."),
        may("cover", Holds::Flag, "Whether the car may stand on its wheels without it. Absent: no."),
        CRITICAL,
        AFTER,
        MINUTES,
        STUCK,
        BACK,
        CHANCE,
        PEOPLE,
        may("mass", Holds::Quantity(Dimension::Mass), "Its mass."),
        may(
            "near",
            Holds::Texts,
            "What suffers from heat or force near it: rubber, hydraulics, gas, fuel, sensor, grease. Absent: told by names.",
        ),
        may("buy_with", Holds::Tables(&USE), "What is bought with a new one."),
        TOOLS,
        USES,
        CAUTION,
        CAUTION_BACK,
        TOOLS_BACK,
    ],
};

static TORQUE: Table = Table {
    what: "a final torque",
    fields: &[
        may("value", Holds::Steps, "Steps: '140 N·m', '50 N·m + 90°'. Absent: still to be looked up."),
        may("condition", Holds::Word(Condition::WORDS), "Thread condition for which the value holds."),
        may(
            "state",
            Holds::Word(CarState::WORDS),
            "Car state in which the final torque is due. Absent: as soon as it is fitted.",
        ),
        ORIGIN,
        SOURCE,
        LOOK_IN,
    ],
};

static FASTENER: Table = Table {
    what: "a fastener: a threaded thing, or a set of equal ones, that holds parts",
    fields: &[
        NAME,
        SIDE,
        must("joins", Holds::Names, "The parts it holds; a single one is held to the body."),
        COUNT,
        may("form", Holds::Word(Form::WORDS), "Its shape."),
        may("thread", Holds::Thread, "Thread: 'M14x1.5', '1/2-20'."),
        may("length", Holds::Quantity(Dimension::Length), "Length under the head."),
        may("class", Holds::Text, "Property class: '8.8', '10.9', '10'."),
        may("drive", Holds::Drive, "What turns it: 'hex 21', 'inner hex 8', 'T30'."),
        may("hold", Holds::Drive, "What holds the other end still."),
        may("torque", Holds::Table(&TORQUE), "Its final torque. Absent: hand-tight is final."),
        may(
            "duty",
            Holds::Word(Duty::WORDS),
            "What it does, where that decides how its thread may be treated. Absent: told by what it joins and by names.",
        ),
        may(
            "axle",
            Holds::Word(AxleEnd::WORDS),
            "The axle it belongs to, where that decides a figure: the twist of a bushing tightened hanging. Absent: the first axle with control arms speaks.",
        ),
        may("lock", Holds::Word(Lock::WORDS), "What locks it. Absent: none."),
        may("captive", Holds::Flag, "Whether its nut is captive, out of reach in a box section. Absent: no."),
        ONE_USE,
        EXPOSURE,
        CRITICAL,
        may(
            "loosen_state",
            Holds::Word(CarState::WORDS),
            "Car state in which it must first be broken loose, where that is an act of its own.",
        ),
        may(
            "final_after",
            Holds::Names,
            "What must be off for the final torque, where that is an act of its own.",
        ),
        PLACE,
        STATE,
        AFTER,
        MINUTES,
        STUCK,
        BACK,
        CHANCE,
        PEOPLE,
        TOOLS,
        USES,
        CAUTION,
        CAUTION_BACK,
        TOOLS_BACK,
        ORIGIN,
        SOURCE,
        may(
            "measured",
            Holds::Texts,
            "Which of thread, length, class, drive, hold were measured at this car.",
        ),
    ],
};

static CONNECTION: Table = Table {
    what: "a connection: any hold without a thread",
    fields: &[
        NAME,
        SIDE,
        must("joins", Holds::Names, "The parts it holds; a single one is held to the body."),
        must("joint", Holds::Word(Joint::WORDS), "How it holds."),
        COUNT,
        ONE_USE,
        EXPOSURE,
        CRITICAL,
        PLACE,
        STATE,
        AFTER,
        MINUTES,
        STUCK,
        BACK,
        CHANCE,
        PEOPLE,
        TOOLS,
        USES,
        CAUTION,
        CAUTION_BACK,
        TOOLS_BACK,
    ],
};

static WAIT: Table = Table {
    what: "a wait: what goes on by itself after an operation",
    fields: &[
        must(
            "as",
            Holds::Word(WaitKind::WORDS),
            "What goes on: penetrant soaks, paint dries, glue cures, a fluid drains.",
        ),
        may(
            "minutes",
            Holds::Number(20_160.0),
            "For how many minutes. Absent: typical ones (soak 480, dry 240, cure 1440, drain 15).",
        ),
        ORIGIN,
        SOURCE,
    ],
};

static OPERATION: Table = Table {
    what: "an operation: further work that the car needs",
    fields: &[
        NAME,
        SIDE,
        must("stage", Holds::Word(Stage::WORDS), "The stage it belongs to."),
        may("brings", Holds::Word(CarState::WORDS), "The car state it brings about."),
        may("because", Holds::Names, "It is due when one of these is disturbed. Absent: in every job."),
        may("before", Holds::Names, "What has to wait for it."),
        may("optional", Holds::Flag, "May be left out without keeping the car off the road. Absent: no."),
        may("fluid", Holds::Names, "The fluid it drains or fills."),
        may("days_before", Holds::Number(60.0), "Days before the job at which it has to start."),
        may(
            "wait",
            Holds::Table(&WAIT),
            "What goes on by itself afterwards; what comes after the operation waits for it, other work does not.",
        ),
        may("recheck", Holds::Text, "Done later on the road, after this distance or time."),
        PLACE,
        STATE,
        AFTER,
        MINUTES,
        PEOPLE,
        TOOLS,
        USES,
        CAUTION,
    ],
};

static WAY: Table = Table {
    what: "a way: another manner to free an item",
    fields: &[
        NAME,
        SIDE,
        must("frees", Holds::Names, "The part, fastener or connection that it frees."),
        may("needs", Holds::Names, "What it needs undone, off or done before."),
        may("undoes", Holds::Names, "Holds that it undoes besides."),
        may("scraps", Holds::Names, "What is scrap afterwards."),
        PLACE,
        STATE,
        MINUTES,
        STUCK,
        CHANCE,
        PEOPLE,
        TOOLS,
        USES,
        CAUTION,
    ],
};

static READING: Table = Table {
    what: "a reading: something to read off the car",
    fields: &[
        NAME,
        SIDE,
        must("unit", Holds::Word(&["mm", "°"]), "Unit of the reading: a length or an angle."),
        may(
            "kind",
            Holds::Word(ReadingKind::WORDS),
            "What kind of reading it is: computations find it by this word.",
        ),
        may("axle", Holds::Word(AxleEnd::WORDS), "The axle it is read at. Absent: front."),
        must("u", Holds::AnyQuantity, "Standard uncertainty of one reading, with its unit."),
        may("instrument", Holds::Text, "The instrument."),
        may("how", Holds::Text, "From where to where, and how."),
        may("before", Holds::Names, "It must be read before these are disturbed."),
        may("stage", Holds::Word(Stage::WORDS), "Stage of the first reading. Absent: strip."),
        may("again", Holds::Word(CarState::WORDS), "Car state in which it is read again at the end."),
        PLACE,
        STATE,
        AFTER,
        MINUTES,
        PEOPLE,
        TOOLS,
        CAUTION,
    ],
};

static FLUID: Table = Table {
    what: "a fluid",
    fields: &[
        NAME,
        may("grade", Holds::Text, "Grade or standard."),
        may("amount", Holds::Quantity(Dimension::Volume), "Amount for a refill."),
        must("fill", Holds::Word(FillRule::WORDS), "How full it has to be."),
        ORIGIN,
        SOURCE,
        LOOK_IN,
    ],
};

static TARGET: Table = Table {
    what: "a target for a reading",
    fields: &[
        NAME,
        SIDE,
        must("reading", Holds::Names, "The reading it judges."),
        may("value", Holds::AnyQuantity, "The value aimed at. Absent: still to be looked up."),
        may("tolerance", Holds::AnyQuantity, "Tolerance to both sides; needed with 'value'."),
        ORIGIN,
        SOURCE,
        LOOK_IN,
    ],
};

/// The whole file.
pub static FILE: Table = Table {
    what: "a vehicle file, format version 1",
    fields: &[
        must("format", Holds::Count, "Format version: 1."),
        must("car", Holds::Table(&CAR), "The car."),
        may("axle", Holds::Items(&AXLE), "Axles: front, rear."),
        may("part", Holds::Items(&PART), "Parts."),
        may("fastener", Holds::Items(&FASTENER), "Fasteners."),
        may("connection", Holds::Items(&CONNECTION), "Connections."),
        may("operation", Holds::Items(&OPERATION), "Operations."),
        may("way", Holds::Items(&WAY), "Other ways to free an item."),
        may("reading", Holds::Items(&READING), "Readings."),
        may("fluid", Holds::Items(&FLUID), "Fluids."),
        may("target", Holds::Items(&TARGET), "Targets for readings."),
    ],
};

impl Field {
    /// How the field may be written, with what it means.
    #[must_use]
    pub fn example(&self) -> String {
        let key = self.key;
        let doc = self.doc.split(". Absent").next().unwrap_or(self.doc).trim_end_matches('.');
        match self.holds {
            Holds::Word(words) => format!("{key} = \"…\", one of {}", words.join(", ")),
            Holds::Table(_) if key == "car" => "a table [car] with the name of the car".to_owned(),
            Holds::Count if key == "format" => "format = 1 as the first line".to_owned(),
            Holds::Count => format!("{key} = 2 ({doc})"),
            Holds::Flag => format!("{key} = true or {key} = false ({doc})"),
            Holds::Number(limit) => format!("{key} = 1, a number from 0 to {limit} ({doc})"),
            Holds::Names | Holds::Texts => format!("{key} = [\"…\"] ({doc})"),
            Holds::Quantity(dimension) | Holds::Quantities(dimension) => {
                format!("{key} = \"{}\" ({doc})", example_of(dimension))
            }
            Holds::AnyQuantity => format!("{key} = \"1 mm\" or \"0.1°\" ({doc})"),
            Holds::Thread => format!("{key} = \"M12x1.5\" or \"1/2-20\" ({doc})"),
            Holds::Drive => format!("{key} = \"hex 21\", \"inner hex 8\", \"T30\" ({doc})"),
            Holds::Steps => format!("{key} = \"140 N·m\" or \"50 N·m + 90°\" ({doc})"),
            Holds::Table(_) => format!("{key} = {{ … }} ({doc})"),
            Holds::Tables(_) => format!("{key} = [{{ … }}] ({doc})"),
            Holds::Point => format!("{key} = [x, y, z] ({doc})"),
            Holds::Points => format!("{key} = {{ lower-ball-joint = [x, y, z] }} ({doc})"),
            Holds::Items(_) => format!("tables headed {} ({doc})", heading_of(key)),
            Holds::Text => format!("{key} = \"…\" ({doc})"),
        }
    }
}

/// How the table of an item is headed.
pub(super) fn heading_of(key: &str) -> String {
    if key == "adjuster" { "[axle.front.adjuster.NAME]".to_owned() } else { format!("[{key}.NAME]") }
}

/// A quantity as it may be written.
pub(super) fn example_of(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Length => "85 mm",
        Dimension::Angle => "0.5°",
        Dimension::Force => "300 N",
        Dimension::Torque => "140 N·m",
        Dimension::Mass => "4.3 kg",
        Dimension::Volume => "2.2 l",
        Dimension::Pressure => "230 kPa",
        Dimension::SpringRate => "28 N/mm",
    }
}

impl Table {
    /// What one such table describes, without the explanation behind it.
    #[must_use]
    pub fn one(&self) -> &'static str {
        self.what.split(':').next().unwrap_or(self.what)
    }

    /// The field of this key.
    #[must_use]
    pub fn field(&self, key: &str) -> Option<&'static Field> {
        self.fields.iter().find(|field| field.key == key)
    }
}
