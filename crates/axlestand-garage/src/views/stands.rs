//! One item of the car as it stands in the job, with what can be said about it.

use crate::error::GarageError;
use crate::job::Job;
use crate::select;
use crate::units::Units;
use crate::views::car::{ItemView, item_view};
use crate::views::row::{RowView, row_view};
use axlestand_ledger::{Event, FastenerStage};
use axlestand_model::ItemId;
use axlestand_model::car::Item;
use serde::Serialize;

/// One item as it stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ItemStandsView {
    /// What is known of it.
    pub item: ItemView,
    /// How it stands, in words; absent for what has no state.
    pub stands: Option<String>,
    /// The rows of the plan about it.
    pub rows: Vec<RowView>,
    /// Other ways to free it: id and name; empty where it is free.
    pub ways: Vec<(String, String)>,
    /// Whether it can be broken or replaced.
    pub may_break: bool,
    /// Remarks about it, the oldest first.
    pub notes: Vec<String>,
}

/// An item, named as a person types it.
///
/// # Errors
/// [`GarageError`] where the item is not known.
pub fn item_stands(job: &Job, typed: &str, units: Units) -> Result<ItemStandsView, GarageError> {
    let id = select::item(job, typed)?;
    let view = item_view(&job.car, &id, units)
        .ok_or_else(|| GarageError::Selection(format!("this car has nothing called '{typed}'")))?;
    let rows = job.rows().filter(|(_, action)| action.item == id);
    let is_hold = job.car.hold(&id).is_some();
    let hold = job.state.hold(&id);
    // How something comes out is chosen once.
    let free = hold.was_out || !is_hold;
    let ways = job.car.ways.iter().filter(|way| way.frees == id && !free);
    Ok(ItemStandsView {
        item: view,
        stands: stands(job, &id),
        rows: rows.map(|(_, action)| row_view(job, action, units)).collect(),
        ways: ways.map(|way| (way.id.to_string(), way.name.clone())).collect(),
        may_break: is_hold || job.car.part(&id).is_some(),
        notes: notes(job, &id),
    })
}

/// The parts of the car, id and what people call it with its side, by name.
#[must_use]
pub fn part_names(job: &Job) -> Vec<(String, String)> {
    let name = |part: &axlestand_model::car::Part| match part.id.side() {
        Some(side) if !part.name.ends_with(side.phrase()) => format!("{}, {}", part.name, side.phrase()),
        _ => part.name.clone(),
    };
    let mut parts: Vec<_> = job.car.parts.iter().map(|part| (part.id.to_string(), name(part))).collect();
    parts.sort_by(|one, other| one.1.cmp(&other.1));
    parts
}

fn stands(job: &Job, id: &ItemId) -> Option<String> {
    match job.car.item(id)? {
        Item::Part(_) => Some(if job.state.part(id).off { "off" } else { "on the car" }.to_owned()),
        Item::Fastener(_) | Item::Connection(_) => {
            let hold = job.state.hold(id);
            let broken = if hold.broken { ", broken" } else { "" };
            let tray = hold.tray.filter(|_| hold.stage == FastenerStage::Out);
            let tray = tray.map(|place| format!(", tray place {place}")).unwrap_or_default();
            Some(format!("{}{broken}{tray}", hold.stage.phrase()))
        }
        _ => None,
    }
}

fn notes(job: &Job, id: &ItemId) -> Vec<String> {
    let said = job.state.counting_entries().filter_map(|entry| match &entry.event {
        Event::Note { item: Some(item), text } if item == id => Some(text.clone()),
        Event::Stuck { item, note: Some(note) } if item == id => Some(format!("stuck: {note}")),
        Event::Broken { item, note: Some(note) } if item == id => Some(format!("broken: {note}")),
        Event::Replaced { item, note: Some(note) } if item == id => Some(format!("new: {note}")),
        _ => None,
    });
    said.collect()
}
