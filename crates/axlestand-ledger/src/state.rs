//! The state of a job: a pure fold over its entries.

use crate::action::{Action, Verb};
use crate::event::{Effects, Entry, Event, FastenerStage, PlannedRow, TorqueRecord};
use axlestand_model::car::Fastener;
use axlestand_model::{CarState, ItemId};
use std::collections::{BTreeMap, BTreeSet, HashSet};

/// How a fastener or connection stands.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct HoldState {
    /// How far it is on its way.
    pub stage: FastenerStage,
    /// Whether it was ever undone.
    pub was_out: bool,
    /// Its place in the tray while it is out, and afterwards the one it came from.
    pub tray: Option<u32>,
    /// A new one went in, and was not loosened since.
    pub fresh: bool,
    /// A new one lies ready to go in.
    pub ready: bool,
    /// The old one went in though a new one is due.
    pub reused: bool,
    /// Its lock was set by an act of its own (a split pin, a stake), not with the final torque.
    pub pinned: bool,
    /// At which turn of the job it was last loosened or undone.
    pub disturbed: usize,
    /// At which turn of the job it was last undone.
    pub undone: usize,
    /// It was reported stuck.
    pub stuck: bool,
    /// It is broken or scrap.
    pub broken: bool,
    /// The record of its final torque.
    pub torque: Option<TorqueRecord>,
}

/// How a part stands.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PartState {
    /// Whether it is off.
    pub off: bool,
    /// Whether it was ever off.
    pub was_off: bool,
    /// A new one is on.
    pub fresh: bool,
    /// A new one lies ready to go on.
    pub ready: bool,
    /// At which turn of the job it was last taken off.
    pub disturbed: usize,
    /// It is broken or scrap.
    pub broken: bool,
}

/// A reading as it was taken.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingRecord {
    /// Whether it is the reading at the end.
    pub again: bool,
    /// Value in mm or degrees.
    pub value: f64,
    /// Standard uncertainty in the same unit.
    pub u: f64,
    /// What was typed.
    pub typed: String,
    /// When.
    pub at: String,
    /// The car was raised after a reading at the end, so that it no longer counts.
    pub stale: bool,
    /// At which turn of the job it was taken.
    pub turn: usize,
}

/// The state of a job.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct JobState {
    /// The name of the job.
    pub name: String,
    /// When it was started.
    pub started: Option<String>,
    /// The vehicle file as it counts now.
    pub car_text: String,
    /// Where the vehicle file stands.
    pub car_path: String,
    /// The parts to replace.
    pub goals: Vec<ItemId>,
    /// Rust grade, 0 to 4.
    pub rust: u8,
    /// Whether a helper is at hand.
    pub helper: bool,
    /// The text of the toolbox file.
    pub toolbox: Option<String>,
    /// How the car stands.
    pub car_state: Option<CarState>,
    /// Holds that something happened to.
    pub holds: BTreeMap<ItemId, HoldState>,
    /// Parts that something happened to.
    pub parts: BTreeMap<ItemId, PartState>,
    /// Operations and ways done, each with the turn of the job at which it was last done.
    pub done: BTreeMap<ItemId, usize>,
    /// How many entries count so far: the turn of the job.
    pub turn: usize,
    /// The turn at which something was last loosened, undone or taken off.
    pub disturbed: usize,
    /// Readings taken, in their order.
    pub readings: BTreeMap<ItemId, Vec<ReadingRecord>>,
    /// Actions left out, with the reason.
    pub skipped: BTreeMap<Action, String>,
    /// What was left out and has served: breaking loose what came out all the same.
    pub served: BTreeMap<Action, String>,
    /// Every row that was ever planned, by number.
    pub rows: BTreeMap<u32, Action>,
    /// The number of every action that was ever planned.
    pub numbers: BTreeMap<Action, u32>,
    /// The numbers of the rows in the order of the latest plan.
    pub order: Vec<u32>,
    /// The actions of the latest plan.
    pub planned: BTreeSet<Action>,
    /// Ways chosen instead of the usual manner.
    pub ways: BTreeSet<ItemId>,
    /// How the owner wants things freed: item, way or the usual manner.
    pub choices: BTreeMap<ItemId, Option<ItemId>>,
    /// What was seen at the car: item, field, value.
    pub seen: BTreeMap<(ItemId, String), String>,
    /// Remarks, in their order: time, item, text.
    pub notes: Vec<(String, Option<ItemId>, String)>,
    /// All entries, in their order.
    pub entries: Vec<Entry>,
    known: HashSet<String>,
    gone: HashSet<String>,
}

impl JobState {
    /// The state after all these entries.
    #[must_use]
    pub fn of(entries: &[Entry]) -> Self {
        let mut state = Self::default();
        state.entries.extend(entries.iter().filter(|entry| state.known.insert(entry.id.clone())).cloned());
        state.gone = withdrawn(&state.entries).into_iter().map(str::to_owned).collect();
        // All withdrawals at once: each by itself would fold everything before it anew.
        state.fold_again();
        state
    }

    /// Takes one more entry. An entry whose id is known already changes nothing.
    pub fn apply(&mut self, entry: &Entry) {
        if !self.known.insert(entry.id.clone()) {
            return;
        }
        self.entries.push(entry.clone());
        if let Event::Withdrawn { entry: gone, .. } = &entry.event {
            self.gone.insert(gone.clone());
            self.fold_again();
        } else if !self.gone.contains(&entry.id) {
            // Else it was taken back before it was delivered.
            self.take(entry);
        }
    }

    /// Ids of entries that were withdrawn.
    #[must_use]
    pub fn withdrawn(&self) -> BTreeSet<&str> {
        withdrawn(&self.entries)
    }

    /// The entries that count, in their order.
    pub fn counting_entries(&self) -> impl Iterator<Item = &Entry> {
        let withdrawn = self.withdrawn();
        self.entries.iter().filter(move |entry| {
            !withdrawn.contains(entry.id.as_str()) && !matches!(entry.event, Event::Withdrawn { .. })
        })
    }

    fn fold_again(&mut self) {
        let entries = std::mem::take(&mut self.entries);
        let gone = std::mem::take(&mut self.gone);
        let mut fresh = Self { known: std::mem::take(&mut self.known), ..Self::default() };
        for entry in entries.iter().filter(|entry| !gone.contains(&entry.id)) {
            fresh.take(entry);
        }
        *self = Self { entries, gone, ..fresh };
    }

    fn take(&mut self, entry: &Entry) {
        // A withdrawal is no turn: the state is as if the entry had never been made.
        if !matches!(entry.event, Event::Withdrawn { .. }) {
            self.turn += 1;
        }
        match &entry.event {
            Event::JobStarted { name, car_text, car_path, goals, rust, helper, toolbox } => {
                self.name.clone_from(name);
                self.started = Some(entry.at.clone());
                self.car_text.clone_from(car_text);
                self.car_path.clone_from(car_path);
                self.goals.clone_from(goals);
                self.rust = *rust;
                self.helper = *helper;
                self.toolbox.clone_from(toolbox);
            }
            Event::CarUpdated { car_text } => self.car_text.clone_from(car_text),
            Event::CarMoved { car_path } => self.car_path.clone_from(car_path),
            Event::Planned { rows, ways } => self.plan(rows, ways),
            Event::Done { action, effects, torque, note } => {
                self.done(action, effects, torque.as_ref());
                if let Some(text) = note {
                    self.notes.push((entry.at.clone(), Some(action.item.clone()), text.clone()));
                }
            }
            Event::Read { reading, again, value, u, typed, .. } => {
                let record = ReadingRecord {
                    again: *again,
                    value: *value,
                    u: *u,
                    typed: typed.clone(),
                    at: entry.at.clone(),
                    stale: false,
                    turn: self.turn,
                };
                let list = self.readings.entry(reading.clone()).or_default();
                // The first reading, corrected later, stays before those at the end.
                let ends = list.iter().position(|record| record.again).filter(|_| !again);
                list.insert(ends.unwrap_or(list.len()), record);
            }
            Event::Stuck { item, note } => {
                self.holds.entry(item.clone()).or_default().stuck = true;
                self.remark(entry, item, note.as_ref());
            }
            Event::Broken { item, note } => {
                self.scrap(item);
                self.remark(entry, item, note.as_ref());
            }
            Event::Replaced { item, note } => {
                self.renew(item);
                self.remark(entry, item, note.as_ref());
            }
            Event::Skipped { action, reason } => {
                self.skipped.insert(action.clone(), reason.clone());
            }
            Event::Chosen { item, way } => {
                self.choices.insert(item.clone(), way.clone());
            }
            Event::Seen { item, field, value } => {
                self.seen.insert((item.clone(), field.clone()), value.clone());
            }
            Event::Note { item, text } => self.notes.push((entry.at.clone(), item.clone(), text.clone())),
            // Photos, gauge readings, turns and statements are lists of their own, told by the entries.
            Event::Pictured { .. }
            | Event::Gauged { .. }
            | Event::Turned { .. }
            | Event::Stated { .. }
            | Event::Withdrawn { .. } => {}
        }
    }

    fn plan(&mut self, rows: &[PlannedRow], ways: &[ItemId]) {
        for row in rows {
            self.rows.insert(row.number, row.action.clone());
            self.numbers.insert(row.action.clone(), row.number);
        }
        self.order = rows.iter().map(|row| row.number).collect();
        self.planned = rows.iter().map(|row| row.action.clone()).collect();
        self.ways = ways.iter().cloned().collect();
    }

    fn remark(&mut self, entry: &Entry, item: &ItemId, note: Option<&String>) {
        if let Some(text) = note {
            self.notes.push((entry.at.clone(), Some(item.clone()), text.clone()));
        }
    }

    /// Which of the two a name is, is known from what happened before: a part stands among the
    /// parts, everything else that breaks is a hold. A thing nothing happened to yet is entered
    /// in both lists; each list is asked only for its own kind.
    fn scrap(&mut self, item: &ItemId) {
        let hold = self.holds.entry(item.clone()).or_default();
        (hold.broken, hold.fresh) = (true, false);
        let part = self.parts.entry(item.clone()).or_default();
        (part.broken, part.fresh) = (true, false);
    }

    /// A new one lies ready; what is in or on stays the old one until the new one takes its place.
    fn renew(&mut self, item: &ItemId) {
        self.holds.entry(item.clone()).or_default().ready = true;
        self.parts.entry(item.clone()).or_default().ready = true;
    }

    fn done(&mut self, action: &Action, effects: &Effects, torque: Option<&TorqueRecord>) {
        self.skipped.remove(action);
        match action.verb {
            Verb::Do | Verb::Read | Verb::Again => {
                self.done.insert(action.item.clone(), self.turn);
                if effects.brings.is_some() {
                    self.car_state = effects.brings;
                }
                if effects.brings == Some(CarState::OnStands) {
                    for record in self.readings.values_mut().flatten() {
                        record.stale = record.again;
                    }
                }
            }
            Verb::Way => {
                self.done.insert(action.item.clone(), self.turn);
            }
            Verb::Loosen => {
                let hold = self.holds.entry(action.item.clone()).or_default();
                hold.stage = FastenerStage::BrokenLoose;
                (hold.torque, hold.fresh, hold.disturbed) = (None, false, self.turn);
                self.disturbed = self.turn;
            }
            Verb::Undo => {
                // That breaking it loose was left out has served; the next time counts afresh.
                let loosen = Action::new(Verb::Loosen, &action.item);
                if let Some(reason) = self.skipped.remove(&loosen) {
                    self.served.insert(loosen, reason);
                }
                self.out(&action.item, effects.tray);
            }
            Verb::Off => self.off(&action.item),
            Verb::On => {
                let part = self.parts.entry(action.item.clone()).or_default();
                (part.off, part.fresh, part.ready) = (false, effects.fresh, false);
                part.broken &= !effects.fresh;
            }
            Verb::Fit | Verb::Final | Verb::Lock => {
                self.advance(&action.item, effects, torque);
                self.holds.entry(action.item.clone()).or_default().pinned = action.verb == Verb::Lock;
            }
        }
        for item in &effects.undone {
            self.out(item, None);
        }
        for item in &effects.off {
            self.off(item);
        }
        for item in &effects.scrapped {
            self.scrap(item);
        }
    }

    fn out(&mut self, item: &ItemId, tray: Option<u32>) {
        let hold = self.holds.entry(item.clone()).or_default();
        *hold = HoldState {
            stage: FastenerStage::Out,
            was_out: true,
            tray: tray.or(hold.tray),
            fresh: false,
            ready: hold.ready,
            reused: false,
            pinned: false,
            disturbed: self.turn,
            undone: self.turn,
            stuck: hold.stuck,
            broken: hold.broken,
            torque: None,
        };
        self.disturbed = self.turn;
    }

    fn off(&mut self, item: &ItemId) {
        let part = self.parts.entry(item.clone()).or_default();
        (part.off, part.was_off, part.fresh, part.disturbed) = (true, true, false, self.turn);
        self.disturbed = self.turn;
    }

    fn advance(&mut self, item: &ItemId, effects: &Effects, torque: Option<&TorqueRecord>) {
        let hold = self.holds.entry(item.clone()).or_default();
        if hold.stage == FastenerStage::Out {
            (hold.fresh, hold.reused, hold.ready) = (effects.fresh, effects.reused, false);
            hold.broken &= !effects.fresh;
        }
        if let Some(stage) = effects.reaches {
            hold.stage = stage;
        }
        if let Some(torque) = torque {
            hold.torque = Some(torque.clone());
        }
    }

    /// How a hold stands; as found where nothing happened to it.
    #[must_use]
    pub fn hold(&self, id: &ItemId) -> HoldState {
        self.holds.get(id).cloned().unwrap_or_default()
    }

    /// How far a fastener is by the car's file as it is now: where that asks for a lock that is an act of its own, the
    /// final torque alone did not lock it, whatever lock the file had then.
    #[must_use]
    pub fn stage_of(&self, fastener: &Fastener) -> FastenerStage {
        let now = self.hold(&fastener.id);
        let unpinned = fastener.lock.is_own_act() && !now.pinned;
        if unpinned && now.stage == FastenerStage::Locked { FastenerStage::AtFinal } else { now.stage }
    }

    /// How a part stands; as found where nothing happened to it.
    #[must_use]
    pub fn part(&self, id: &ItemId) -> PartState {
        self.parts.get(id).cloned().unwrap_or_default()
    }

    /// How the car stands; on its wheels at the start.
    #[must_use]
    pub fn stands(&self) -> CarState {
        self.car_state.unwrap_or(CarState::OnWheels)
    }

    /// Whether an action is in the latest plan: a row that fell out of it is due no more.
    #[must_use]
    pub fn is_planned(&self, action: &Action) -> bool {
        self.planned.contains(action)
    }

    /// The number of a planned action.
    #[must_use]
    pub fn number_of(&self, action: &Action) -> Option<u32> {
        self.numbers.get(action).copied()
    }
}

fn withdrawn(entries: &[Entry]) -> BTreeSet<&str> {
    entries
        .iter()
        .filter_map(|entry| match &entry.event {
            Event::Withdrawn { entry, .. } => Some(entry.as_str()),
            _ => None,
        })
        .collect()
}
