//! Deliveries that something overtook: made before an entry that the ledger has by now, and about the same.
//!
//! The fold goes by the order in which entries arrived. A phone without a signal may say that a bolt was
//! tightened after somebody else has loosened it: recorded then, the bolt would count as tight. So what was
//! made before a counting entry that touches what it is about is not recorded; a person looks at the car.
//!
//! * Work touches the items that it names, undoes, takes off or scraps; an operation also what it is due
//!   for and follows.
//! * How the wheels stand (readings of them, numbers off gauges, operations of Set and Prove, turning) is
//!   touched by everything that is loosened, tightened, taken off, put on or turned, and by a car that was
//!   raised or lowered.
//! * A torque that was not typed is the one that the vehicle file gave when it was made: another one that was
//!   written there since is not what the wrench was set to.
//! * Something that broke stays broken whatever was tightened since: only what took it out, or brought a new one,
//!   overtakes that.
//! * What a tick said that was left aside, since the ledger said the same by then, overtakes as if it stood there.
//! * Notes, photos, new parts that lie ready, and what is stuck say nothing that is over later: they pass.
//! * What came from the same queue goes by the queue's own count, whatever the clocks say.
//!
//! Taking back is judged by what follows from it, as ever; an entry that was taken back since counts like
//! one that was made since.

use super::agreed::ticked;
use super::crossed::is_of_same_queue;
use crate::clock::{milliseconds, to_the_second};
use crate::error::GarageError;
use crate::job::Job;
use crate::store::{Kept, Stamp};
use crate::vehicle::kept_car;
use crate::views::in_words;
use axlestand_ledger::{Action, Effects, Entry, Event, Verb};
use axlestand_model::car::{Car, Fastener};
use axlestand_model::{ItemId, Stage};
use std::collections::{BTreeMap, BTreeSet};

/// What arrives sooner after it was made was pressed just now, ms: an entry with a time yet to come does not
/// overtake it, since the clock here was set back. A judgement.
const LIVE_MS: i64 = 1_000;

/// How many of the newer entries are told.
const MOST_TOLD: usize = 3;

/// A delivery that is being recorded.
#[derive(Debug, Clone)]
pub(crate) struct Underway {
    /// What marks it.
    pub(crate) stamp: Stamp,
    /// Entries that came from the same queue, each with the queue's count.
    pub(super) own: BTreeMap<String, i64>,
    /// What other deliveries said that were left aside, since the ledger said the same then.
    pub(super) left_aside: Vec<Kept>,
    /// It was made just now.
    pub(super) is_live: bool,
    /// The torque that was reached is said with it.
    pub(super) torque_is_typed: bool,
}

impl Underway {
    /// Whether an entry of the ledger was made after this delivery.
    fn is_before(&self, entry: &Entry, now: &str) -> bool {
        match self.own.get(&entry.id) {
            Some(number) if *number != self.stamp.number => *number > self.stamp.number,
            _ => self.is_made_before(&entry.at, now),
        }
    }

    /// Whether a delivery that was left aside was made after this one.
    fn is_before_what_was_left(&self, kept: &Kept, now: &str) -> bool {
        let number = kept.stamp.number;
        if is_of_same_queue(&kept.stamp.device, &self.stamp.device) && number != self.stamp.number {
            return number > self.stamp.number;
        }
        self.is_made_before(&kept.stamp.at, now)
    }

    fn is_made_before(&self, at: &str, now: &str) -> bool {
        let (at, made, now) = (milliseconds(at), milliseconds(&self.stamp.at), milliseconds(now));
        at > made && (at <= now || now - made >= LIVE_MS)
    }

    /// Nothing that counts was made since it and touches what its events are about. The entries from
    /// `stored` on are drafted with it: a vehicle file that was changed at some time and is taken over now.
    ///
    /// # Errors
    /// [`GarageError::Overtaken`] with what was recorded meanwhile.
    pub(crate) fn is_in_time(
        &self,
        job: &Job,
        events: &[Event],
        stored: usize,
        now: &str,
    ) -> Result<(), GarageError> {
        let about: Vec<About> = events.iter().map(|event| About::of(&job.car, event)).collect();
        let withdrawn = job.state.withdrawn();
        let touching: Vec<&Entry> = job
            .state
            .entries
            .iter()
            .filter(|entry| self.is_before(entry, now) && !withdrawn.contains(entry.id.as_str()))
            .filter(|entry| about.iter().any(|about| about.is_touched(job, what_it_says(job, &entry.event))))
            .collect();
        let mut told = told(job, &touching);
        let left_aside = self.left_aside.iter().filter(|kept| self.is_before_what_was_left(kept, now));
        for kept in left_aside {
            let said = ticked(job, kept);
            let touching = said.iter().filter(|said| about.iter().any(|about| about.is_touched(job, said)));
            let at = to_the_second(&kept.stamp.at);
            told.extend(
                touching.map(|said| format!("said after it was made, {at}: {}", in_words(job, said))),
            );
        }
        told.extend(self.other_torque(job, events, stored, now));
        if told.is_empty() { Ok(()) } else { Err(GarageError::Overtaken(told)) }
    }

    /// That the vehicle file gives another torque than when this was made, where none was typed.
    fn other_torque(&self, job: &Job, events: &[Event], stored: usize, now: &str) -> Option<String> {
        let mut tightened = events.iter().filter_map(|event| match event {
            Event::Done { action, torque: Some(_), .. } => job.car.fastener(&action.item),
            _ => None,
        });
        let before = job.state.entries.iter().take(stored).filter(|entry| !self.is_before(entry, now));
        let then = before.rev().find_map(|entry| match &entry.event {
            Event::JobStarted { car_text, .. } | Event::CarUpdated { car_text } => Some(car_text),
            _ => None,
        });
        let then = then.filter(|text| !self.torque_is_typed && **text != job.state.car_text)?;
        let then = kept_car(then)?;
        let steps = |fastener: &Fastener| fastener.torque.as_ref().map(|torque| torque.steps.clone());
        let other =
            tightened.find(|now| then.fastener(&now.id).is_none_or(|was| steps(was) != steps(now)))?;
        Some(format!("the vehicle file gives another torque for {} than when it was made", other.name))
    }
}

/// What a newer entry is about: taken back since, that which was taken back.
fn what_it_says<'a>(job: &'a Job, event: &'a Event) -> &'a Event {
    let Event::Withdrawn { entry, .. } = event else { return event };
    job.state.entries.iter().find(|known| known.id == *entry).map_or(event, |known| &known.event)
}

/// The last of the newer entries in words, each with its time.
fn told(job: &Job, newer: &[&Entry]) -> Vec<String> {
    let skipped = newer.len().saturating_sub(MOST_TOLD);
    let mut told: Vec<String> = newer
        .iter()
        .skip(skipped)
        .map(|entry| {
            let at = to_the_second(&entry.at);
            format!("recorded after it was made, {at}: {}", in_words(job, &entry.event))
        })
        .collect();
    if skipped > 0 {
        told.push(format!("and {skipped} more before these"));
    }
    told
}

/// What an event is about, so that newer entries may touch it.
#[derive(Debug, Default)]
struct About {
    /// Items that it says something of.
    items: BTreeSet<ItemId>,
    /// It says how the wheels stand, or that the car is fit.
    wheels: bool,
    /// It depends on whether the car is raised.
    stands: bool,
    /// It holds what an adjuster turns.
    adjuster: bool,
    /// It is overtaken by readings too.
    readings: bool,
    /// The place of a gauge.
    place: Option<String>,
    /// A statement.
    statement: Option<String>,
    /// What broke.
    broken: Option<ItemId>,
}

impl About {
    fn of(car: &Car, event: &Event) -> Self {
        match event {
            Event::Done { action, effects, .. } => Self::of_work(car, action, effects),
            Event::Read { reading, again, .. } => {
                let before = car.reading(reading).into_iter().flat_map(|read| read.before.iter().cloned());
                Self { items: before.collect(), wheels: *again, ..Self::default() }
            }
            Event::Gauged { place, .. } => {
                Self { wheels: true, place: Some(place.clone()), ..Self::default() }
            }
            Event::Turned { .. } => Self { wheels: true, readings: true, ..Self::default() },
            Event::Stated { what, .. } => Self { statement: Some(what.clone()), ..Self::default() },
            Event::Broken { item, .. } => Self { broken: Some(item.clone()), ..Self::default() },
            Event::Chosen { item, .. } => Self { items: BTreeSet::from([item.clone()]), ..Self::default() },
            Event::Skipped { action, .. } => {
                Self { items: BTreeSet::from([action.item.clone()]), ..Self::default() }
            }
            _ => Self::default(),
        }
    }

    fn of_work(car: &Car, action: &Action, effects: &Effects) -> Self {
        let mut items = items_of(action, effects);
        let Some(operation) = car.operation(&action.item) else {
            let fastener = car.fastener(&action.item).filter(|_| puts_together(action.verb));
            let stands = fastener.is_some_and(Fastener::is_deferred);
            let adjuster = fastener.is_some() && waits_for_setting(car, &action.item);
            return Self { items, stands, adjuster, ..Self::default() };
        };
        items.extend(operation.because.iter().chain(&operation.work.after).cloned());
        let raises = car.operations.iter().filter(|other| other.brings.is_some());
        let stands = operation.brings.is_some()
            || operation.work.state.is_some()
            || raises.flat_map(|other| &other.work.after).any(|id| *id == operation.id);
        let wheels = matches!(operation.stage, Stage::Set | Stage::Prove);
        Self { items, wheels, stands, ..Self::default() }
    }

    /// Whether an entry that was made later touches it.
    fn is_touched(&self, job: &Job, by: &Event) -> bool {
        if let Some(broken) = &self.broken {
            return is_gone_or_new(broken, by);
        }
        match by {
            Event::Done { action, effects, .. } => {
                let moves = effects.brings.is_some() || is_work(&job.car, action);
                !self.items.is_disjoint(&items_of(action, effects))
                    || (self.stands && effects.brings.is_some())
                    || (self.wheels && moves)
            }
            // Two readings of one thing are both kept (the module `conflict`).
            Event::Read { .. } => self.readings,
            Event::Gauged { place, sure, .. } => {
                self.readings || (*sure && self.place.as_ref() == Some(place))
            }
            Event::Turned { .. } => self.wheels || self.adjuster,
            Event::Stated { what, .. } => self.statement.as_ref() == Some(what),
            Event::Broken { item, .. } | Event::Chosen { item, .. } => self.items.contains(item),
            Event::Skipped { action, .. } => self.items.contains(&action.item),
            _ => false,
        }
    }
}

/// Whether what broke came out since, or a new one came.
fn is_gone_or_new(broken: &ItemId, by: &Event) -> bool {
    match by {
        Event::Replaced { item, .. } => item == broken,
        Event::Done { action, effects, .. } => {
            let named = action.item == *broken
                && (effects.fresh || matches!(action.verb, Verb::Undo | Verb::Off | Verb::On));
            named || effects.undone.contains(broken) || effects.off.contains(broken)
        }
        _ => false,
    }
}

/// The items that work names, undoes, takes off or scraps.
fn items_of(action: &Action, effects: &Effects) -> BTreeSet<ItemId> {
    let besides = effects.undone.iter().chain(&effects.off).chain(&effects.scrapped);
    std::iter::once(&action.item).chain(besides).cloned().collect()
}

/// Whether work names, undoes, takes off or scraps this.
pub(super) fn touches(event: &Event, item: &ItemId) -> bool {
    matches!(event, Event::Done { action, effects, .. } if items_of(action, effects).contains(item))
}

/// Whether something is loosened, tightened, taken off, put on or set.
fn is_work(car: &Car, action: &Action) -> bool {
    match action.verb {
        Verb::Read | Verb::Again => false,
        Verb::Do => car.operation(&action.item).is_some_and(|operation| operation.stage == Stage::Set),
        _ => true,
    }
}

fn puts_together(verb: Verb) -> bool {
    matches!(verb, Verb::Fit | Verb::Final | Verb::Lock)
}

/// Whether something is tightened only after an operation of Set, such as a jam nut.
fn waits_for_setting(car: &Car, item: &ItemId) -> bool {
    car.operations.iter().any(|operation| operation.stage == Stage::Set && operation.before.contains(item))
}
