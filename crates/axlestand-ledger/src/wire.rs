//! The stored form of events: one JSON object each, with a version. Every version ever released
//! stays readable; this is version 1.

use crate::action::Action;
use crate::event::{Effects, Event, FastenerStage, PlannedRow, TorqueRecord};
use axlestand_model::{CarState, Condition, ItemId};
use serde::{Deserialize, Serialize};

/// The version that is written.
pub const VERSION: u32 = 1;

/// Why a stored event was not understood.
#[derive(Debug, thiserror::Error)]
pub enum WireError {
    /// Written by a newer program.
    #[error("it has version {found}, and this program reads versions up to {VERSION}: use a newer axlestand")]
    Newer {
        /// The version found.
        found: u32,
    },
    /// Not an event, or a damaged one.
    #[error("it is damaged: {0}")]
    Damaged(String),
}

#[derive(Serialize, Deserialize)]
struct Envelope<T> {
    v: u32,
    #[serde(flatten)]
    event: T,
}

#[derive(Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case", rename_all_fields = "kebab-case", deny_unknown_fields)]
#[allow(clippy::large_enum_variant, reason = "one at a time, on its way to or from its text")]
enum Wire {
    JobStarted {
        name: String,
        car_text: String,
        car_path: String,
        goals: Vec<String>,
        rust: u8,
        helper: bool,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        toolbox: Option<String>,
    },
    CarUpdated {
        car_text: String,
    },
    CarMoved {
        car_path: String,
    },
    Planned {
        rows: Vec<(u32, String)>,
        ways: Vec<String>,
    },
    Done {
        action: String,
        #[serde(default, skip_serializing_if = "WireEffects::is_empty")]
        effects: WireEffects,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        torque: Option<WireTorque>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    Read {
        reading: String,
        again: bool,
        value: f64,
        u: f64,
        typed: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        instrument: Option<String>,
    },
    Gauged {
        place: String,
        value: f64,
        u: f64,
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        own_u: bool,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        at: Option<f64>,
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        sure: bool,
        typed: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        instrument: Option<String>,
    },
    Turned {
        adjuster: String,
        amount: f64,
        typed: String,
    },
    Stated {
        what: String,
        value: String,
    },
    Stuck {
        item: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    Broken {
        item: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    Replaced {
        item: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    Skipped {
        action: String,
        reason: String,
    },
    Chosen {
        item: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        way: Option<String>,
    },
    Seen {
        item: String,
        field: String,
        value: String,
    },
    Pictured {
        #[serde(default, skip_serializing_if = "Option::is_none")]
        action: Option<String>,
        file: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    Note {
        #[serde(default, skip_serializing_if = "Option::is_none")]
        item: Option<String>,
        text: String,
    },
    Withdrawn {
        entry: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        reason: Option<String>,
    },
}

#[derive(Serialize, Deserialize, Default, PartialEq)]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
struct WireEffects {
    #[serde(skip_serializing_if = "Option::is_none")]
    brings: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reaches: Option<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    undone: Vec<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    off: Vec<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    scrapped: Vec<String>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    fresh: bool,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    reused: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    tray: Option<u32>,
}

impl WireEffects {
    fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

#[derive(Serialize, Deserialize, Default)]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
struct WireTorque {
    #[serde(skip_serializing_if = "Option::is_none")]
    value: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    provenance: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wrench: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    adapter: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    condition: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    car_state: Option<String>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    own_source: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    specified: Option<String>,
}

const STAGES: [(FastenerStage, &str); 7] = [
    (FastenerStage::InPlace, "in-place"),
    (FastenerStage::BrokenLoose, "broken-loose"),
    (FastenerStage::Out, "out"),
    (FastenerStage::InByHand, "in-by-hand"),
    (FastenerStage::Seated, "seated"),
    (FastenerStage::AtFinal, "at-final"),
    (FastenerStage::Locked, "locked"),
];

/// The stored form of an event.
///
/// # Errors
/// [`WireError::Damaged`] where a number cannot be stored (a reading that is not finite).
pub fn to_json(event: &Event) -> Result<String, WireError> {
    let ordinary = match event {
        Event::Read { value, u, .. } => value.is_finite() && u.is_finite(),
        Event::Gauged { value, u, at, .. } => [*value, *u, at.unwrap_or(0.0)].iter().all(|x| x.is_finite()),
        Event::Turned { amount, .. } => amount.is_finite(),
        _ => true,
    };
    if !ordinary {
        return Err(WireError::Damaged("a reading must be an ordinary number".to_owned()));
    }
    serde_json::to_string(&Envelope { v: VERSION, event: Wire::from(event) })
        .map_err(|e| WireError::Damaged(e.to_string()))
}

/// Reads a stored event of any released version.
///
/// # Errors
/// [`WireError`] for a newer version and for text that is no event.
pub fn from_json(text: &str) -> Result<Event, WireError> {
    let damaged = |e: serde_json::Error| WireError::Damaged(e.to_string());
    let mut map: serde_json::Map<String, serde_json::Value> = serde_json::from_str(text).map_err(damaged)?;
    let version = map.remove("v").ok_or_else(|| WireError::Damaged("missing field `v`".to_owned()))?;
    let found = serde_json::from_value(version).map_err(damaged)?;
    if found > VERSION {
        return Err(WireError::Newer { found });
    }
    let wire: Wire = serde_json::from_value(map.into()).map_err(damaged)?;
    event(wire)
}

fn ids(items: &[ItemId]) -> Vec<String> {
    items.iter().map(ToString::to_string).collect()
}

fn items(ids: &[String]) -> Vec<ItemId> {
    ids.iter().map(|id| ItemId::from_text(id)).collect()
}

impl From<&Event> for Wire {
    fn from(event: &Event) -> Self {
        match event {
            Event::JobStarted { name, car_text, car_path, goals, rust, helper, toolbox } => {
                Self::JobStarted {
                    name: name.clone(),
                    car_text: car_text.clone(),
                    car_path: car_path.clone(),
                    goals: ids(goals),
                    rust: *rust,
                    helper: *helper,
                    toolbox: toolbox.clone(),
                }
            }
            Event::CarUpdated { car_text } => Self::CarUpdated { car_text: car_text.clone() },
            Event::CarMoved { car_path } => Self::CarMoved { car_path: car_path.clone() },
            Event::Planned { rows, ways } => Self::Planned {
                rows: rows.iter().map(|row| (row.number, row.action.to_string())).collect(),
                ways: ids(ways),
            },
            Event::Done { action, effects, torque, note } => Self::Done {
                action: action.to_string(),
                effects: effects.into(),
                torque: torque.as_ref().map(Into::into),
                note: note.clone(),
            },
            Event::Read { reading, again, value, u, typed, instrument } => Self::Read {
                reading: reading.to_string(),
                again: *again,
                value: *value,
                u: *u,
                typed: typed.clone(),
                instrument: instrument.clone(),
            },
            Event::Gauged { place, value, u, own_u, at, sure, typed, instrument } => Self::Gauged {
                place: place.clone(),
                value: *value,
                u: *u,
                own_u: *own_u,
                at: *at,
                sure: *sure,
                typed: typed.clone(),
                instrument: instrument.clone(),
            },
            Event::Turned { adjuster, amount, typed } => {
                Self::Turned { adjuster: adjuster.clone(), amount: *amount, typed: typed.clone() }
            }
            Event::Stated { what, value } => Self::Stated { what: what.clone(), value: value.clone() },
            Event::Stuck { item, note } => Self::Stuck { item: item.to_string(), note: note.clone() },
            Event::Broken { item, note } => Self::Broken { item: item.to_string(), note: note.clone() },
            Event::Replaced { item, note } => Self::Replaced { item: item.to_string(), note: note.clone() },
            Event::Skipped { action, reason } => {
                Self::Skipped { action: action.to_string(), reason: reason.clone() }
            }
            Event::Chosen { item, way } => {
                Self::Chosen { item: item.to_string(), way: way.as_ref().map(ToString::to_string) }
            }
            Event::Seen { item, field, value } => {
                Self::Seen { item: item.to_string(), field: field.clone(), value: value.clone() }
            }
            Event::Pictured { action, file, note } => Self::Pictured {
                action: action.as_ref().map(ToString::to_string),
                file: file.clone(),
                note: note.clone(),
            },
            Event::Note { item, text } => {
                Self::Note { item: item.as_ref().map(ToString::to_string), text: text.clone() }
            }
            Event::Withdrawn { entry, reason } => {
                Self::Withdrawn { entry: entry.clone(), reason: reason.clone() }
            }
        }
    }
}

fn event(wire: Wire) -> Result<Event, WireError> {
    let action = |text: &str| Action::parse(text).map_err(|e| WireError::Damaged(e.to_string()));
    let item = |text: &str| ItemId::from_text(text);
    Ok(match wire {
        Wire::JobStarted { name, car_text, car_path, goals, rust, helper, toolbox } => {
            Event::JobStarted { name, car_text, car_path, goals: items(&goals), rust, helper, toolbox }
        }
        Wire::CarUpdated { car_text } => Event::CarUpdated { car_text },
        Wire::CarMoved { car_path } => Event::CarMoved { car_path },
        Wire::Planned { rows, ways } => Event::Planned {
            rows: rows
                .iter()
                .map(|(number, text)| Ok(PlannedRow { number: *number, action: action(text)? }))
                .collect::<Result<_, WireError>>()?,
            ways: items(&ways),
        },
        Wire::Done { action: text, effects, torque, note } => Event::Done {
            action: action(&text)?,
            effects: effects.read()?,
            torque: torque.map(WireTorque::read).transpose()?,
            note,
        },
        Wire::Read { reading, again, value, u, typed, instrument } => {
            Event::Read { reading: item(&reading), again, value, u, typed, instrument }
        }
        Wire::Gauged { place, value, u, own_u, at, sure, typed, instrument } => {
            Event::Gauged { place, value, u, own_u, at, sure, typed, instrument }
        }
        Wire::Turned { adjuster, amount, typed } => Event::Turned { adjuster, amount, typed },
        Wire::Stated { what, value } => Event::Stated { what, value },
        Wire::Stuck { item: id, note } => Event::Stuck { item: item(&id), note },
        Wire::Broken { item: id, note } => Event::Broken { item: item(&id), note },
        Wire::Replaced { item: id, note } => Event::Replaced { item: item(&id), note },
        Wire::Skipped { action: text, reason } => Event::Skipped { action: action(&text)?, reason },
        Wire::Chosen { item: id, way } => Event::Chosen { item: item(&id), way: way.as_deref().map(item) },
        Wire::Seen { item: id, field, value } => Event::Seen { item: item(&id), field, value },
        Wire::Pictured { action: text, file, note } => {
            Event::Pictured { action: text.as_deref().map(action).transpose()?, file, note }
        }
        Wire::Note { item: id, text } => Event::Note { item: id.as_deref().map(item), text },
        Wire::Withdrawn { entry, reason } => Event::Withdrawn { entry, reason },
    })
}

fn state_word(word: Option<String>) -> Result<Option<CarState>, WireError> {
    word.map(|word| {
        CarState::from_word(&word).ok_or_else(|| WireError::Damaged(format!("'{word}' is no car state")))
    })
    .transpose()
}

fn condition(word: &str) -> Result<Condition, WireError> {
    Condition::from_word(word).ok_or_else(|| WireError::Damaged(format!("'{word}' is no thread condition")))
}

impl From<&Effects> for WireEffects {
    fn from(effects: &Effects) -> Self {
        let stage = |stage: FastenerStage| {
            STAGES.iter().find(|(s, _)| *s == stage).map(|(_, word)| (*word).to_owned())
        };
        Self {
            brings: effects.brings.map(|state| state.word().to_owned()),
            reaches: effects.reaches.and_then(stage),
            undone: ids(&effects.undone),
            off: ids(&effects.off),
            scrapped: ids(&effects.scrapped),
            fresh: effects.fresh,
            reused: effects.reused,
            tray: effects.tray,
        }
    }
}

impl WireEffects {
    fn read(self) -> Result<Effects, WireError> {
        let reaches = self
            .reaches
            .map(|word| {
                STAGES
                    .iter()
                    .find(|(_, w)| *w == word)
                    .map(|(stage, _)| *stage)
                    .ok_or_else(|| WireError::Damaged(format!("'{word}' is no stage of a fastener")))
            })
            .transpose()?;
        Ok(Effects {
            brings: state_word(self.brings)?,
            reaches,
            undone: items(&self.undone),
            off: items(&self.off),
            scrapped: items(&self.scrapped),
            fresh: self.fresh,
            reused: self.reused,
            tray: self.tray,
        })
    }
}

impl From<&TorqueRecord> for WireTorque {
    fn from(record: &TorqueRecord) -> Self {
        Self {
            value: record.value.clone(),
            provenance: record.provenance.clone(),
            wrench: record.wrench.clone(),
            adapter: record.adapter.clone(),
            condition: record.condition.clone(),
            car_state: record.car_state.map(|state| state.word().to_owned()),
            own_source: record.own_source,
            specified: record.specified.map(|condition| condition.word().to_owned()),
        }
    }
}

impl WireTorque {
    fn read(self) -> Result<TorqueRecord, WireError> {
        Ok(TorqueRecord {
            value: self.value,
            provenance: self.provenance,
            wrench: self.wrench,
            adapter: self.adapter,
            condition: self.condition,
            car_state: state_word(self.car_state)?,
            own_source: self.own_source,
            specified: self.specified.map(|word| condition(&word)).transpose()?,
        })
    }
}
