//! The ladder for stuck fasteners: what to try, how long, and when to stop and go on.
//!
//! Before the first rung: is the fastener or the part it holds scrap? Then cut at once. Is rubber, a
//! hydraulic line or gas within a hand? Then no heat. Evidence for penetrants is weak: one copied
//! magazine comparison without a traceable method. Rust swells and blocks the oil, so heat does more
//! (L. Fisher). Weep holes in a sleeve and overnight soaking are an owners' club's way; the window for a
//! captive nut that spins or falls into its box is what owners on forums wish they had cut first.

use std::fmt;
use std::sync::LazyLock;

use crate::class::PropertyClass;
use crate::table::{Row, Table};

/// The table as text.
pub(crate) const TEXT: &str = include_str!("../../../../data/stuck_ladder.csv");

static ROWS: LazyLock<Vec<RungRow>> = LazyLock::new(|| Table::read(TEXT, read));

/// Rungs that heat; the coil may be kept off what is greased or senses, a flame and an arc cannot.
const HEAT: [&str; 3] = ["induction", "flame", "weld"];
/// Rungs that make no sense on scrap: all before the one that cuts.
const BEFORE_THE_CUT: [&str; 8] =
    ["clean", "penetrant", "rock", "long-bar", "induction", "flame", "grip", "weld"];

/// What is within a hand of the fastener.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Near {
    /// A bush, boot or bellows.
    Rubber,
    /// A brake hose, a brake line, fluid.
    Hydraulics,
    /// A damper or another gas-filled part.
    Gas,
    /// A fuel line or the tank.
    Fuel,
    /// A wheel speed sensor or its lead.
    Sensor,
    /// A greased joint or bearing.
    Grease,
}

impl Near {
    /// Everything that counts.
    pub const ALL: [Self; 6] =
        [Self::Rubber, Self::Hydraulics, Self::Gas, Self::Fuel, Self::Sensor, Self::Grease];

    /// The word used in files and commands.
    #[must_use]
    pub fn slug(self) -> &'static str {
        match self {
            Self::Rubber => "rubber",
            Self::Hydraulics => "hydraulics",
            Self::Gas => "gas",
            Self::Fuel => "fuel",
            Self::Sensor => "sensor",
            Self::Grease => "grease",
        }
    }

    /// What has this slug.
    #[must_use]
    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|near| near.slug() == slug)
    }
}

/// What matters before choosing a rung.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Situation {
    /// The fastener is replaced anyway.
    pub fastener_is_scrap: bool,
    /// The part it holds is replaced anyway.
    pub part_is_scrap: bool,
    /// The nut is caged or welded where no wrench reaches.
    pub captive_nut: bool,
    /// What is within a hand.
    pub near: Vec<Near>,
    /// The class on the head, where it can be read.
    pub class: Option<PropertyClass>,
}

/// Why a rung is left out.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum SkipReason {
    /// It is scrap anyway: cut it.
    Scrap,
    /// Heat would harm what is near: all of it, in the order in which it was told.
    Heat(Vec<Near>),
}

/// Whether to climb a rung.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Use {
    /// Try it.
    Try,
    /// Leave it out.
    Skip(SkipReason),
}

/// Something to know on a rung.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Caution {
    /// Penetrants may help; nothing proves it.
    WeakEvidence,
    /// No acid, vinegar or electrolysis on this class if it goes back.
    NoAcid,
    /// Cut an access window before the last try.
    CaptiveNut,
    /// What was red or above 150 °C is scrap: the bolt, its nut, a nylon insert.
    HeatScraps,
    /// Keep the coil off the sensor and its ring.
    SensorNear,
    /// Heat drives the grease out of the joint.
    GreaseNear,
    /// Sparks: cover hoses, glass and tank, extinguisher at hand.
    Sparks,
    /// Fuel within a hand: no grinder.
    FuelNear,
    /// Welding current goes through bearings and electronics unless it is led past them.
    Current,
    /// Zinc smokes when it is welded.
    Zinc,
}

/// One rung as it applies here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rung {
    /// Number from 1.
    pub number: u32,
    /// Short key, such as `induction`.
    pub key: &'static str,
    /// What to do.
    pub instruction: &'static str,
    /// How long, or how often; empty where there is no limit.
    pub give: &'static str,
    /// When to stop and go on to the next.
    pub stop: &'static str,
    /// Source id, as in SOURCES.md; `judgement` where there is none.
    pub source: &'static str,
    /// Whether to climb it.
    pub use_it: Use,
    /// What to know.
    pub cautions: Vec<Caution>,
}

pub(crate) struct RungRow {
    number: u32,
    key: &'static str,
    instruction: &'static str,
    give: &'static str,
    stop: &'static str,
    source: &'static str,
}

/// Every rung for a situation, in order, with those to leave out marked.
#[must_use]
pub fn ladder(situation: &Situation) -> Vec<Rung> {
    ROWS.iter()
        .map(|row| Rung {
            number: row.number,
            key: row.key,
            instruction: row.instruction,
            give: row.give,
            stop: row.stop,
            source: row.source,
            use_it: decide(row.key, situation),
            cautions: cautions(row, situation),
        })
        .collect()
}

fn decide(key: &str, situation: &Situation) -> Use {
    if BEFORE_THE_CUT.contains(&key) && (situation.fastener_is_scrap || situation.part_is_scrap) {
        return Use::Skip(SkipReason::Scrap);
    }
    let harms = |near: &Near| match near {
        Near::Rubber | Near::Hydraulics | Near::Gas | Near::Fuel => HEAT.contains(&key),
        Near::Sensor | Near::Grease => HEAT.contains(&key) && key != "induction",
    };
    let harmed: Vec<Near> = situation.near.iter().copied().filter(harms).collect();
    if harmed.is_empty() { Use::Try } else { Use::Skip(SkipReason::Heat(harmed)) }
}

fn cautions(row: &RungRow, situation: &Situation) -> Vec<Caution> {
    let near = |what: Near| situation.near.contains(&what);
    let hard = situation.class.is_some_and(PropertyClass::hydrogen_sensitive);
    let heats = HEAT.contains(&row.key);
    [
        (row.key == "penetrant", Caution::WeakEvidence),
        (row.key == "penetrant" && hard, Caution::NoAcid),
        (matches!(row.key, "rock" | "long-bar") && situation.captive_nut, Caution::CaptiveNut),
        (heats, Caution::HeatScraps),
        (heats && near(Near::Sensor), Caution::SensorNear),
        (heats && near(Near::Grease), Caution::GreaseNear),
        (matches!(row.key, "weld" | "cut"), Caution::Sparks),
        (row.key == "cut" && near(Near::Fuel), Caution::FuelNear),
        (row.key == "weld", Caution::Current),
        (row.key == "weld", Caution::Zinc),
    ]
    .into_iter()
    .filter_map(|(applies, caution)| applies.then_some(caution))
    .collect()
}

pub(crate) fn read(row: Row<'_>) -> Option<RungRow> {
    Some(RungRow {
        number: row.whole("rung")?,
        key: row.text("key")?,
        instruction: row.text("do")?,
        give: row.text("give").unwrap_or_default(),
        stop: row.text("stop")?,
        source: row.text("source")?,
    })
}

impl fmt::Display for Near {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Rubber => "rubber",
            Self::Hydraulics => "a brake line or fluid",
            Self::Gas => "a gas-filled part",
            Self::Fuel => "fuel",
            Self::Sensor => "a sensor",
            Self::Grease => "grease",
        })
    }
}

impl fmt::Display for SkipReason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Scrap => f.write_str("scrap anyway: cut it and save the time"),
            Self::Heat(near) => {
                f.write_str("no heat here: ")?;
                for (at, one) in near.iter().enumerate() {
                    let between = match at {
                        0 => "",
                        _ if at + 1 == near.len() => " and ",
                        _ => ", ",
                    };
                    write!(f, "{between}{one}")?;
                }
                f.write_str(if near.len() == 1 { " is too near" } else { " are too near" })
            }
        }
    }
}

impl fmt::Display for Caution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::WeakEvidence => "may help; no sound test shows by how much",
            Self::NoAcid => {
                "no vinegar, rust-removing acid or electrolysis: a bolt this hard may turn brittle"
            }
            Self::CaptiveNut => "the nut is captive: cut an access window before the last try",
            Self::HeatScraps => "a bolt or nut heated above 150 °C is scrap, with any nylon in it",
            Self::SensorNear => "keep the coil off the sensor, its ring and its lead",
            Self::GreaseNear => "heat drives the grease out; the joint or bearing is then scrap",
            Self::Sparks => "cover hoses, glass and tank, eyes protected, extinguisher at hand",
            Self::FuelNear => "fuel is near: no grinder; saw it by hand or with a slow blade",
            Self::Current => {
                "battery unhooked; the welder's clamp right beside the weld, so that no current goes through a bearing or a sensor"
            }
            Self::Zinc => "grind zinc off before and air the place: its smoke makes ill",
        })
    }
}
