//! What a device asks to have recorded, as it travels: one JSON object with the key `do`.

use crate::alignment::GaugeAsked;
use crate::typed::with_unit;
use crate::units::Units;
use axlestand_quantity::Dimension;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// One thing to record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Command {
    /// Rows or actions were done.
    Done(Done),
    /// A reading of the vehicle file.
    Read {
        /// Which.
        reading: String,
        /// Value with unit.
        value: String,
        /// Looked at again and right.
        #[serde(default, skip_serializing_if = "is_no")]
        sure: bool,
        /// The reading taken before the work was mistyped, and this is what was read then.
        #[serde(default, skip_serializing_if = "is_no")]
        correct: bool,
        /// The instrument.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        instrument: Option<String>,
    },
    /// Numbers off gauges, for the wheels' alignment.
    Gauge {
        /// Place and value, each as typed.
        readings: Vec<(String, String)>,
        /// Where along car or plate.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        at: Option<String>,
        /// Looked at again and right.
        #[serde(default)]
        sure: bool,
        /// The instrument.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        instrument: Option<String>,
    },
    /// An adjuster was turned.
    Turned {
        /// Which.
        adjuster: String,
        /// By how much, which way.
        amount: String,
    },
    /// What the owner says of the steering, once for the job.
    State {
        /// Where the tie rods are: `behind` or `ahead` of the axle.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        rods: Option<String>,
        /// Turns of the steering wheel for one of the road wheels.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ratio: Option<String>,
    },
    /// What the wheels' readings come to is kept as the car's own readings.
    KeepAlignment {},
    /// Something does not come loose.
    Stuck(Remark),
    /// Something broke.
    Broken(Remark),
    /// A new one lies ready.
    Replaced(Remark),
    /// How something is to be freed; `usual` for the usual manner.
    Choose {
        /// What.
        item: String,
        /// Which way.
        way: String,
    },
    /// Rows are left out.
    Skip {
        /// Which.
        rows: String,
        /// Why.
        reason: String,
    },
    /// A photo that was kept before ([`crate::Garage::keep_photo`]).
    Photo {
        /// Of which step.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        step: Option<String>,
        /// The name under which it was kept.
        file: String,
        /// A remark.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    /// A remark.
    Note {
        /// About what.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        item: Option<String>,
        /// The remark.
        text: String,
    },
    /// An entry is taken back; the last one if none is named.
    TakeBack {
        /// Which.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        entry: Option<String>,
        /// Why.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        reason: Option<String>,
    },
}

/// An item with a remark.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Remark {
    /// The item.
    pub item: String,
    /// The remark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// Rows that were done, with what was added: texts as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Done {
    /// Rows, actions or items.
    pub rows: Vec<String>,
    /// Only seated: the final torque comes later.
    #[serde(default, skip_serializing_if = "is_no")]
    pub seated: bool,
    /// The tray place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tray: Option<u32>,
    /// Length under the head of what goes in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length: Option<String>,
    /// The torque reached.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub torque: Option<String>,
    /// Where that value stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
    /// The wrench.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wrench: Option<String>,
    /// The adapter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub adapter: Option<String>,
    /// The thread as it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub condition: Option<String>,
    /// The old one went back in.
    #[serde(default, skip_serializing_if = "is_no")]
    pub reused: bool,
    /// A new one went in.
    #[serde(default, skip_serializing_if = "is_no")]
    pub fresh: bool,
    /// What was read off the fastener in hand: `thread`, `length`, `class`, `drive` or `hold`, each with what
    /// was seen.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub seen: BTreeMap<String, String>,
    /// A remark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

fn is_no(value: &bool) -> bool {
    !value
}

impl Command {
    /// A row done, with nothing added.
    #[must_use]
    pub fn done(action: &str) -> Self {
        Self::Done(Done { rows: vec![action.to_owned()], ..Done::default() })
    }

    /// What was asked, in a line for people.
    #[must_use]
    pub fn text(&self) -> String {
        let with = |what: &str, remark: &Remark| match &remark.note {
            Some(note) => format!("{what}: {} ({note})", remark.item),
            None => format!("{what}: {}", remark.item),
        };
        match self {
            Self::Done(done) => {
                let torque = done.torque.as_ref().map(|torque| format!(", {torque}")).unwrap_or_default();
                format!("Done: {}{torque}", done.rows.join(", "))
            }
            Self::Read { reading, value, .. } => format!("Read: {reading} = {value}"),
            Self::Gauge { readings, .. } => {
                let all: Vec<String> =
                    readings.iter().map(|(place, value)| format!("{place} = {value}")).collect();
                format!("Gauged: {}", all.join(", "))
            }
            Self::Turned { adjuster, amount } => format!("Turned: {adjuster}, {amount}"),
            Self::State { rods, ratio } => {
                let rods = rods.as_ref().map(|rods| format!("tie rods {rods} the axle"));
                let ratio = ratio.as_ref().map(|ratio| format!("steering ratio {ratio}"));
                format!("Said: {}", rods.into_iter().chain(ratio).collect::<Vec<_>>().join(", "))
            }
            Self::KeepAlignment {} => "Kept: how the wheels stand".to_owned(),
            Self::Stuck(remark) => with("Stuck", remark),
            Self::Broken(remark) => with("Broken", remark),
            Self::Replaced(remark) => with("A new one lies ready", remark),
            Self::Choose { item, way } => format!("Chosen for {item}: {way}"),
            Self::Skip { rows, reason } => format!("Left out: {rows} ({reason})"),
            Self::Photo { step: Some(step), .. } => format!("Photo of {step}"),
            Self::Photo { .. } => "Photo".to_owned(),
            Self::Note { item: Some(item), text } => format!("Note on {item}: {text}"),
            Self::Note { item: None, text } => format!("Note: {text}"),
            Self::TakeBack { entry, .. } => {
                format!("Taken back: {}", entry.as_deref().unwrap_or("the last entry"))
            }
        }
    }

    /// How many numbers it holds that may be asked about.
    pub(super) fn numbers(&self) -> usize {
        match self {
            Self::Gauge { readings, .. } => readings.len(),
            Self::Read { .. } => 1,
            _ => 0,
        }
    }

    pub(super) fn gauge_asked(&self) -> Option<GaugeAsked> {
        match self {
            Self::Gauge { readings, at, sure, instrument } => Some(GaugeAsked {
                readings: readings.clone(),
                // A number without a unit is in millimetres here: a device sends what its owner typed.
                at: at.as_deref().map(|at| with_unit(at, "mm")),
                sure: *sure,
                instrument: instrument.clone(),
                units: typed_units(readings),
            }),
            _ => None,
        }
    }
}

/// The units of who typed these readings: inches where one is in inches.
fn typed_units(readings: &[(String, String)]) -> Units {
    let lengths = readings.iter().filter_map(|(_, text)| Dimension::Length.parse(text).ok());
    let units = lengths.map(|length| Units::of(length.unit));
    units.max_by_key(|units| *units == Units::Inch).unwrap_or_default()
}
