//! Recording what was done, read, found stuck or broken.

use crate::clock::to_the_minute;
use crate::error::GarageError;
use crate::fastening::unsuited;
use crate::job::{Garage, Job, Recorded};
use crate::neighbours::Neighbour;
use crate::plausible;
use crate::select;
use crate::typed;
use axlestand_ledger::{
    Action, Details, Event, JobState, Obstacle, ReadingRecord, Refusal, RowStatus, Verb, broken_keeps_up,
    intend, is_proof_on_wheels, is_wanted_away, obstacles, row_status, stands_as_said, withdraw,
};
use axlestand_model::car::{Car, Drive, Fastener, Item, Operation, Reading, Way};
use axlestand_model::{CarState, ItemId, Stage};
use axlestand_quantity::Length;

/// What was recorded by "done".
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DoneAnswer {
    /// The actions in their order.
    pub actions: Vec<Action>,
}

/// Something seen at a fastener while it was in the hand: field and value as typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SeenAt {
    /// `thread`, `length`, `class`, `drive` or `hold`.
    pub field: &'static str,
    /// What was seen.
    pub value: String,
}

impl SeenAt {
    /// Everything that can be read off a fastener.
    pub const FIELDS: [&'static str; 5] = ["thread", "length", "class", "drive", "hold"];
}

/// What is said with a reading.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ReadWith {
    /// The instrument.
    pub instrument: Option<String>,
    /// It was looked at again and is right: recorded without asking.
    pub sure: bool,
    /// The reading taken before the work was mistyped, and this is what was read then.
    pub correct: bool,
}

/// A reading as it was taken over.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadAnswer {
    /// Which.
    pub reading: ItemId,
    /// Whether it is the reading at the end.
    pub again: bool,
    /// Value in mm or degrees.
    pub value: f64,
    /// Standard uncertainty in the same unit.
    pub u: f64,
    /// What was typed.
    pub typed: String,
    /// What is odd about it: it was not recorded then.
    pub question: Option<String>,
}

impl Garage {
    /// Records actions as done, all or none. Of a bare tick that a device delivered, rows that are done by
    /// now are left aside: another device was quicker, and the ledger says it once. An operation that is done
    /// and counts is not recorded a second time, unless it says how the car stands or something is added.
    ///
    /// # Errors
    /// [`GarageError::Agreed`] where a device delivered nothing but what is done by now;
    /// [`GarageError::Refused`] with every reason, and what else keeps them from being recorded.
    pub fn done(
        &mut self,
        selections: &[String],
        details: &Details,
        seen: &[SeenAt],
    ) -> Result<Recorded<DoneAnswer>, GarageError> {
        let details = &as_kept(details)?;
        let neighbours = self.neighbours_of_current()?;
        let waiting = self.waits_for_a_look()?;
        let elsewhere = self.current_stands_elsewhere()?;
        let bare = seen.is_empty() && *details == Details::default();
        let bare_tick = self.delivery.is_some() && bare;
        self.record(|job| {
            let mut actions = Vec::new();
            for typed in selections {
                actions.extend(select::actions(job, typed)?);
            }
            let lone = details.tray.is_some() || details.torque.is_some() || details.length.is_some() || !seen.is_empty();
            if actions.len() > 1 && lone {
                return Err(GarageError::Input(
                    "tray place, torque, length and what was seen belong to one row: record that row by itself".to_owned(),
                ));
            }
            let mut state = job.state.clone();
            let mut events = Vec::new();
            for (at, action) in actions.iter().enumerate() {
                if bare_tick && stands_as_said(&job.car, &state, action) {
                    continue;
                }
                if bare {
                    not_done_again(job, &state, action)?;
                }
                not_under_another_job(job, action, &neighbours)?;
                not_before_a_look(job, action, waiting.as_deref())?;
                not_as_it_stood(job, action, elsewhere.as_deref())?;
                let event = intended(&job.car, &state, action, details)?;
                // Each row is judged by the state after the ones before it.
                let id = format!("in-hand-{at}");
                state.apply(&axlestand_ledger::Entry { id, at: String::new(), event: event.clone() });
                events.push(event);
            }
            if events.is_empty() && bare_tick {
                return Err(GarageError::Agreed);
            }
            if let Some(action) = actions.first() {
                events.extend(seen_events(job, action, details, seen)?);
            }
            Ok((events, DoneAnswer { actions }))
        })
    }

    /// Records a reading; text like `612 ± 1 mm`. One that no car gives, or that is far from the one
    /// before, is asked about and not recorded, unless the owner is `sure`.
    ///
    /// # Errors
    /// [`GarageError`] where the reading is not known, cannot be taken now, or is not understood.
    pub fn read(
        &mut self,
        selection: &str,
        text: &str,
        with: &ReadWith,
    ) -> Result<Recorded<ReadAnswer>, GarageError> {
        let typed = typed::remark("the value", text)?;
        let instrument = typed::optional("the instrument", with.instrument.clone())?;
        let elsewhere = self.current_stands_elsewhere()?;
        self.record(|job| {
            let id = select::item(job, selection)?;
            let Some(reading) = job.car.reading(&id) else {
                return Err(GarageError::Input(format!("'{id}' is no reading of this car")));
            };
            let parsed =
                reading.dimension.parse(&typed).map_err(|why| GarageError::Input(why.to_string()))?;
            plausible::possible(reading.dimension, &parsed)?;
            let mistyped = if with.correct { Some(first_reading(job, reading)?) } else { None };
            let again = mistyped.is_none() && is_at_the_end(job, reading)?;
            if again {
                not_as_it_stood(job, &Action::new(Verb::Again, &id), elsewhere.as_deref())?;
            }
            let before = job.state.readings.get(&id).and_then(|list| list.last());
            let before = before.filter(|_| mistyped.is_none());
            let question = if with.sure { None } else { plausible::question(reading, &parsed, before) };
            let answer = ReadAnswer {
                reading: id.clone(),
                again,
                value: parsed.value,
                u: parsed.u.unwrap_or(reading.u),
                typed: typed.clone(),
                question,
            };
            if answer.question.is_some() {
                return Ok((Vec::new(), answer));
            }
            let item = Some(id.clone());
            let read =
                Event::Read { reading: id, again, value: answer.value, u: answer.u, typed, instrument };
            let said = mistyped.map(|was| Event::Note {
                item,
                text: format!("corrected: {} was typed for what was read before the work", was.typed),
            });
            Ok((said.into_iter().chain([read]).collect(), answer))
        })
    }

    /// Records that something does not come loose; gives the other ways to free it.
    ///
    /// # Errors
    /// [`GarageError`] where the item is not known or can no longer be stuck.
    pub fn stuck(
        &mut self,
        selection: &str,
        note: Option<String>,
    ) -> Result<Recorded<Vec<Way>>, GarageError> {
        let note = typed::optional("the note", note)?;
        self.record(|job| {
            let id = select::item(job, selection)?;
            if job.car.hold(&id).is_none() {
                return Err(GarageError::Input(format!(
                    "'{id}' is {}: only fasteners and connections get stuck; name the one that holds it",
                    job.car.item(&id).map_or("nothing", Item::a_kind)
                )));
            }
            if job.state.hold(&id).stage == axlestand_ledger::FastenerStage::Out {
                return Err(GarageError::Input(format!("'{id}' is out already")));
            }
            let ways = ways_around(job, &id);
            Ok((vec![Event::Stuck { item: id, note }], ways))
        })
    }

    /// Records how the owner wants something freed: by a way, or (`None`) in the usual manner.
    ///
    /// # Errors
    /// [`GarageError`] where the way does not free the item, or it is free already.
    pub fn choose(
        &mut self,
        selection: &str,
        way: Option<&str>,
    ) -> Result<Recorded<Option<Way>>, GarageError> {
        self.record(|job| {
            let id = select::item(job, selection)?;
            if job.state.hold(&id).was_out || job.state.part(&id).was_off {
                return Err(GarageError::Input(format!("'{id}' is free already")));
            }
            let chosen = way.map(|typed| select::item(job, typed)).transpose()?;
            let way = match &chosen {
                Some(chosen) => Some(way_for(job, &id, chosen)?),
                None => None,
            };
            let event = Event::Chosen { item: id, way: chosen };
            possible_with(job, &event)?;
            Ok((vec![event], way))
        })
    }

    /// Records that something broke.
    ///
    /// # Errors
    /// [`GarageError`] where the item is not known.
    pub fn broken(&mut self, selection: &str, note: Option<String>) -> Result<Recorded<ItemId>, GarageError> {
        let note = typed::optional("the note", note)?;
        self.record(|job| {
            let id = breakable(job, selection)?;
            Ok((vec![Event::Broken { item: id.clone(), note }], id))
        })
    }

    /// Records that a new one was taken.
    ///
    /// # Errors
    /// [`GarageError`] where the item is not known.
    pub fn replaced(
        &mut self,
        selection: &str,
        note: Option<String>,
    ) -> Result<Recorded<ItemId>, GarageError> {
        let note = typed::optional("the note", note)?;
        self.record(|job| {
            let id = breakable(job, selection)?;
            Ok((vec![Event::Replaced { item: id.clone(), note }], id))
        })
    }

    /// Records that rows are left out, with the reason.
    ///
    /// # Errors
    /// [`GarageError`] where a row is not known or done already, or no reason is given.
    pub fn skip(&mut self, selection: &str, reason: &str) -> Result<Recorded<Vec<Action>>, GarageError> {
        if reason.trim().is_empty() {
            return Err(GarageError::Input("say why it is left out: --reason \"…\"".to_owned()));
        }
        let reason = typed::remark("the reason", reason)?;
        self.record(|job| {
            let actions = select::actions(job, selection)?;
            actions.iter().try_for_each(|action| may_be_left_out(job, action))?;
            let events = actions
                .iter()
                .map(|action| Event::Skipped { action: action.clone(), reason: reason.clone() })
                .collect();
            Ok((events, actions))
        })
    }

    /// Records a remark, about an item or the job.
    ///
    /// # Errors
    /// [`GarageError`] where the item is not known or the remark is empty.
    pub fn note(&mut self, selection: Option<&str>, text: &str) -> Result<Recorded<()>, GarageError> {
        let text = typed::remark("the note", text)?;
        self.record(|job| {
            let item = selection.map(|typed| select::item(job, typed)).transpose()?;
            Ok((vec![Event::Note { item, text }], ()))
        })
    }

    /// Takes back an entry (the last one that can be taken back where none is named) by a further
    /// entry. Gives the id of the entry taken back and what it was.
    ///
    /// # Errors
    /// [`GarageError`] where there is no such entry or later ones need it.
    pub fn undo_entry(
        &mut self,
        entry: Option<&str>,
        reason: Option<String>,
    ) -> Result<Recorded<(String, Event)>, GarageError> {
        let reason = typed::optional("the reason", reason)?;
        self.record(|job| {
            let counting: Vec<_> = job.state.counting_entries().collect();
            let found: Vec<_> = match entry {
                Some(prefix) if prefix.len() >= 4 => counting.iter().filter(|e| e.id.starts_with(prefix)).collect(),
                Some(prefix) => {
                    return Err(GarageError::Selection(format!(
                        "'{prefix}' is too short for an entry: type at least 4 characters of its id ('axlestand log' shows them)"
                    )));
                }
                None => counting
                    .iter()
                    .rev()
                    .filter(|e| !e.event.sets_up())
                    .take(1)
                    .collect(),
            };
            let [target] = found.as_slice() else {
                let why = match entry {
                    None => "nothing was recorded yet, so there is nothing to take back".to_owned(),
                    Some(entry) if job.state.withdrawn().iter().any(|id| id.starts_with(entry)) => {
                        format!("{entry} was taken back already")
                    }
                    Some(entry) => {
                        format!("{entry}: {} entries fit; 'axlestand log' shows them with their ids", found.len())
                    }
                };
                return Err(GarageError::Selection(why));
            };
            if let Some(why) = crate::alignment::read_since_turned(job, &target.id) {
                return Err(GarageError::ReadSince(why));
            }
            let event = withdraw(&job.car, &job.state.entries, &target.id, reason).map_err(|why| {
                let first = matches!(target.event, Event::Read { again: false, .. });
                let way = if first { "; a mistyped reading can be corrected instead" } else { "" };
                GarageError::Kept(format!("{why}{way}"))
            })?;
            Ok((vec![event], (target.id.clone(), target.event.clone())))
        })
    }
}

/// The event that records an action, where neither the ledger nor the condition of its thread is against
/// it.
fn intended(car: &Car, state: &JobState, action: &Action, details: &Details) -> Result<Event, Refusal> {
    let unsuited = unsuited(car, action, details);
    match (intend(car, state, action, details), unsuited) {
        (Ok(event), None) => Ok(event),
        (Ok(_), Some(reason)) => Err(Refusal { action: action.clone(), reasons: vec![reason] }),
        (Err(mut refusal), unsuited) => {
            refusal.reasons.extend(unsuited);
            Err(with_twist(car, state, refusal))
        }
    }
}

/// A refusal of a ride-height torque says what tightening with the wheel hanging would do, where the
/// hardpoints are known.
fn with_twist(car: &Car, state: &JobState, mut refusal: Refusal) -> Refusal {
    if state.stands() != CarState::RideHeight
        && let Some(text) = crate::geometry::hanging_reason(car, &refusal.action)
    {
        refusal.reasons.push(Obstacle { text, first: None });
    }
    refusal
}

/// What was added to "done", its free texts as they are kept.
fn as_kept(details: &Details) -> Result<Details, GarageError> {
    Ok(Details {
        torque: typed::optional("the torque", details.torque.clone())?,
        source: typed::source(details.source.clone())?,
        wrench: typed::optional("the wrench", details.wrench.clone())?,
        adapter: typed::optional("the adapter", details.adapter.clone())?,
        note: typed::optional("the note", details.note.clone())?,
        ..details.clone()
    })
}

/// The reading taken before the work, which is to be corrected.
fn first_reading<'a>(job: &'a Job, reading: &Reading) -> Result<&'a ReadingRecord, GarageError> {
    let records = job.state.readings.get(&reading.id).map_or(&[][..], Vec::as_slice);
    records.iter().rev().find(|record| !record.again).ok_or_else(|| {
        GarageError::Input(format!(
            "{} was not read before the work: there is nothing to correct",
            reading.name
        ))
    })
}

/// Whether a reading that is taken now is the one at the end: the first is there or was left out, and
/// the car stands for it.
pub(crate) fn is_at_the_end(job: &Job, reading: &Reading) -> Result<bool, GarageError> {
    let (car, state) = (&job.car, &job.state);
    let (first, last) = (Action::new(Verb::Read, &reading.id), Action::new(Verb::Again, &reading.id));
    let has_first = row_status(car, state, &first) == RowStatus::Done;
    let (not_first, not_last) = (obstacles(car, state, &first), obstacles(car, state, &last));
    let ends = has_first || state.skipped.contains_key(&first);
    if ends && reading.again.is_some() && state.car_state.is_some() && not_last.is_empty() {
        return Ok(true);
    }
    let began = state.disturbed > 0 || state.car_state.is_some();
    if !has_first {
        return if not_first.is_empty() {
            Ok(false)
        } else {
            Err(Refusal { action: first, reasons: not_first }.into())
        };
    }
    if not_first.is_empty() && !began {
        return Ok(false);
    }
    // What is meant is the reading at the end, where there is one.
    let action = if reading.again.is_some() { last } else { first };
    let records = state.readings.get(&reading.id).map_or(&[][..], Vec::as_slice);
    let known = records.iter().rev().find(|record| !record.again);
    let known = known.map(|record| format!(" as {}", record.typed)).unwrap_or_default();
    let text = format!("it was read before the work began{known}, and that reading stays");
    let mut reasons = vec![Obstacle { text, first: None }];
    if reading.again.is_some() {
        reasons.extend(not_last);
    }
    Err(GarageError::Stays(Refusal { action, reasons }))
}

/// An operation that is done and counts is not done again by saying the same once more.
fn not_done_again(job: &Job, state: &JobState, action: &Action) -> Result<(), GarageError> {
    let stays = job.car.operation(&action.item).is_some_and(|operation| operation.brings.is_none());
    if action.verb != Verb::Do || !stays || !stands_as_said(&job.car, state, action) {
        return Ok(());
    }
    let known: Vec<_> = job.state.counting_entries().collect();
    let before = known
        .iter()
        .rev()
        .find(|entry| matches!(&entry.event, Event::Done { action: done, .. } if done == action));
    let text = match before {
        Some(entry) => {
            let id = entry.id.get(..8).unwrap_or(&entry.id);
            format!("it is done already: {}, entry {id}", to_the_minute(&entry.at))
        }
        None => "it is named twice".to_owned(),
    };
    let reasons = vec![Obstacle { text, first: None }];
    Err(Refusal { action: action.clone(), reasons }.into())
}

/// A deferred final torque or a reading at the end is taken as the car stands, which another job may have changed.
fn not_as_it_stood(job: &Job, action: &Action, elsewhere: Option<&str>) -> Result<(), GarageError> {
    let deferred = || job.car.fastener(&action.item).is_some_and(Fastener::is_deferred);
    let as_it_stands = action.verb == Verb::Again || (action.verb == Verb::Final && deferred());
    match elsewhere.filter(|_| as_it_stands) {
        None => Ok(()),
        Some(text) => {
            let reasons = vec![Obstacle { text: text.to_owned(), first: None }];
            Err(Refusal { action: action.clone(), reasons }.into())
        }
    }
}

/// While something of a phone waits to be looked at, the car may stand otherwise: it is neither let down nor rolled.
fn not_before_a_look(job: &Job, action: &Action, waiting: Option<&str>) -> Result<(), GarageError> {
    let moves = |operation: &Operation| {
        matches!(operation.brings, Some(CarState::OnWheels | CarState::RideHeight))
            || is_proof_on_wheels(operation)
    };
    let moved = action.verb == Verb::Do && job.car.operation(&action.item).is_some_and(moves);
    match waiting.filter(|_| moved) {
        None => Ok(()),
        Some(text) => {
            let reasons = vec![Obstacle { text: text.to_owned(), first: None }];
            Err(Refusal { action: action.clone(), reasons }.into())
        }
    }
}

/// A car that another job has on stands is not let down by this one, nor is one rolled that another job forbids to
/// roll.
fn not_under_another_job(job: &Job, action: &Action, neighbours: &[Neighbour]) -> Result<(), GarageError> {
    let Some(operation) = job.car.operation(&action.item).filter(|_| action.verb == Verb::Do) else {
        return Ok(());
    };
    let reason = |one: &Neighbour| match operation.brings {
        Some(CarState::OnWheels) => one.lowering_reason().map(|reason| reason.text),
        Some(CarState::RideHeight) => one.not_rolled(),
        None if is_proof_on_wheels(operation) => one.not_proven(),
        _ => None,
    };
    let reasons: Vec<Obstacle> =
        neighbours.iter().filter_map(reason).map(|text| Obstacle { text, first: None }).collect();
    if reasons.is_empty() { Ok(()) } else { Err(Refusal { action: action.clone(), reasons }.into()) }
}

/// Whether a row is one that can be left out.
pub(crate) fn may_be_left_out(job: &Job, action: &Action) -> Result<(), GarageError> {
    if row_status(&job.car, &job.state, action) == RowStatus::Done {
        return Err(GarageError::Input(format!("'{action}' is done already")));
    }
    if !job.state.is_planned(action) {
        let text = format!("'{action}' is not in the plan, so there is nothing to leave out");
        return Err(GarageError::Input(text));
    }
    needed_by_others(job, action)?;
    needed_to_come_down(job, action)?;
    needed_to_stand(job, action)
}

/// What an action of taking apart frees.
fn freed_by<'a>(job: &'a Job, action: &'a Action) -> &'a ItemId {
    job.car.way(&action.item).map_or(&action.item, |way| &way.frees)
}

/// What broke and was moved since comes out before the car comes down.
fn needed_to_come_down(job: &Job, action: &Action) -> Result<(), GarageError> {
    let apart = matches!(action.verb, Verb::Undo | Verb::Off | Verb::Way);
    if !apart || !broken_keeps_up(&job.car, &job.state, freed_by(job, action)) {
        return Ok(());
    }
    let text = "it is broken and still in, and the car does not come down with it".to_owned();
    let reasons = vec![Obstacle { text, first: None }];
    Err(Refusal { action: action.clone(), reasons }.into())
}

/// What other work of the plan needs out of its way cannot be left out by itself.
fn needed_by_others(job: &Job, action: &Action) -> Result<(), GarageError> {
    // What is broken loose for itself can come loose otherwise; taking it out is a row of its own.
    let for_itself = || job.car.fastener(&action.item).is_some_and(|f| f.loosen_state.is_some());
    let apart = match action.verb {
        Verb::Loosen => !for_itself(),
        verb => matches!(verb, Verb::Undo | Verb::Off | Verb::Way),
    };
    if !apart || !is_wanted_away(&job.car, &job.state, freed_by(job, action)) {
        return Ok(());
    }
    let text = format!(
        "other work of the plan needs it away: if it came away by itself, record it ('done {action}'); else leave out what it is for (a part that stays: 'skip off:…')"
    );
    let reasons = vec![Obstacle { text, first: None }];
    Err(Refusal { action: action.clone(), reasons }.into())
}

/// What brings the car into a state is not left out while other rows wait for that.
fn needed_to_stand(job: &Job, action: &Action) -> Result<(), GarageError> {
    let Some(brings) = job.car.operation(&action.item).and_then(|operation| operation.brings) else {
        return Ok(());
    };
    if brings == CarState::OnWheels && job.state.stands() == CarState::OnStands {
        let text = "the car is on stands and has to come down".to_owned();
        return Err(Refusal { action: action.clone(), reasons: vec![Obstacle { text, first: None }] }.into());
    }
    let plan = job.plan()?;
    let waits = plan.rows.iter().find(|row| {
        row.action != *action
            && row.section.car_state() == brings
            && (brings != CarState::OnWheels || row.section.stage() > Stage::Strip)
            && job.car.operation(&row.action.item).is_none_or(|operation| operation.brings.is_none())
            && row_status(&job.car, &job.state, &row.action) == RowStatus::Pending
    });
    let Some(row) = waits else { return Ok(()) };
    let text = format!(
        "other rows are done with the car {}, such as \"{}\": leave those out first",
        brings.phrase(),
        crate::views::row::text(job, &row.action)
    );
    let reasons = vec![Obstacle { text, first: None }];
    Err(Refusal { action: action.clone(), reasons }.into())
}

/// Whether a plan exists once this is recorded too.
fn possible_with(job: &Job, event: &Event) -> Result<(), GarageError> {
    let mut then = job.clone();
    let (id, at) = ("in-hand".to_owned(), String::new());
    then.state.apply(&axlestand_ledger::Entry { id, at, event: event.clone() });
    then.plan().map(|_| ()).map_err(|why| GarageError::Input(format!("that does not work out here: {why}")))
}

fn way_for(job: &Job, item: &ItemId, chosen: &ItemId) -> Result<Way, GarageError> {
    let ways: Vec<&Way> = job.car.ways_to_free(item).collect();
    ways.iter().find(|way| way.id == *chosen).map(|way| (*way).clone()).ok_or_else(|| {
        let names: Vec<_> = ways.iter().map(|way| way.id.as_str()).collect();
        let known = if names.is_empty() {
            "no way but the usual one is described".to_owned()
        } else {
            names.join(", ")
        };
        GarageError::Input(format!("'{chosen}' is no way to free '{item}'; there are: {known}"))
    })
}

/// Ways around a stuck hold: those that free it, and those that free a part it holds.
pub(crate) fn ways_around(job: &Job, id: &ItemId) -> Vec<Way> {
    let joins = job.car.hold(id).map(|hold| hold.joins().to_vec()).unwrap_or_default();
    let fits = |way: &&Way| way.frees == *id || way.undoes.contains(id) || joins.contains(&way.frees);
    job.car.ways.iter().filter(fits).cloned().collect()
}

fn breakable(job: &Job, selection: &str) -> Result<ItemId, GarageError> {
    let id = select::item(job, selection)?;
    if breaks(&job.car, &id) {
        return Ok(id);
    }
    Err(GarageError::Input(format!(
        "'{id}' is {}: only parts, fasteners and connections break",
        job.car.item(&id).map_or("nothing", Item::a_kind)
    )))
}

/// Whether it is a thing that breaks; an operation or a reading is none.
pub(crate) fn breaks(car: &Car, id: &ItemId) -> bool {
    matches!(car.item(id), Some(Item::Part(_) | Item::Fastener(_) | Item::Connection(_)))
}

/// Events for what was seen, and for a length or tray that tells something new.
fn seen_events(
    job: &Job,
    action: &Action,
    details: &Details,
    seen: &[SeenAt],
) -> Result<Vec<Event>, GarageError> {
    let mut events = Vec::new();
    let Some(fastener) = job.car.fastener(&action.item) else {
        return if seen.is_empty() && details.length.is_none() && details.tray.is_none() {
            Ok(events)
        } else {
            Err(GarageError::Input(format!(
                "'{}' is no fastener: it has no length and no tray place, and nothing to measure",
                action.item
            )))
        };
    };
    for one in seen {
        let value = match one.field {
            "thread" => axlestand_fastener::Thread::parse(&one.value)
                .map(|thread| thread.to_string())
                .map_err(|why| GarageError::Input(why.to_string()))?,
            "length" => {
                let length: Length = one.value.parse().map_err(|why| GarageError::Input(format!("{why}")))?;
                length.to_string()
            }
            "drive" | "hold" => Drive::parse(&one.value).map_err(GarageError::Input)?.to_string(),
            _ => typed::remark(&format!("the {} seen", one.field), &one.value)?,
        };
        events.push(Event::Seen { item: fastener.id.clone(), field: one.field.to_owned(), value });
    }
    if let (Some(length), None) = (details.length, fastener.length) {
        events.push(Event::Seen {
            item: fastener.id.clone(),
            field: "length".to_owned(),
            value: length.to_string(),
        });
    }
    Ok(events)
}
