//! Recording what was done, read, found stuck or broken.

use crate::clock::to_the_minute;
use crate::error::GarageError;
use crate::job::{Garage, Job, Recorded};
use crate::neighbours::Neighbour;
use crate::select;
use crate::typed;
use crate::units::Units;
use axlestand_ledger::{
    Action, Details, Event, JobState, Obstacle, Refusal, RowStatus, Verb, intend, is_wanted_away, obstacles,
    row_status, withdraw,
};
use axlestand_model::car::{Car, Drive, Item, Reading, Way};
use axlestand_model::{CarState, ItemId};
use axlestand_quantity::{Dimension, Length, Parsed};

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
                if bare_tick && row_status(&job.car, &state, action) == RowStatus::Done {
                    continue;
                }
                if bare {
                    not_done_again(job, &state, action)?;
                }
                not_under_another_job(job, action, &neighbours)?;
                let event = intend(&job.car, &state, action, details)
                    .map_err(|refusal| with_twist(&job.car, &state, refusal))?;
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

    /// Records a reading; text like `612 ± 1 mm`.
    ///
    /// # Errors
    /// [`GarageError`] where the reading is not known, cannot be taken now, or is not understood.
    pub fn read(
        &mut self,
        selection: &str,
        text: &str,
        instrument: Option<String>,
    ) -> Result<Recorded<ReadAnswer>, GarageError> {
        let typed = typed::remark("the value", text)?;
        let instrument = typed::optional("the instrument", instrument)?;
        self.record(|job| {
            let id = select::item(job, selection)?;
            let Some(reading) = job.car.reading(&id) else {
                return Err(GarageError::Input(format!("'{id}' is no reading of this car")));
            };
            let parsed =
                reading.dimension.parse(&typed).map_err(|why| GarageError::Input(why.to_string()))?;
            plausible(reading.dimension, &parsed)?;
            let again = is_at_the_end(job, reading)?;
            let answer = ReadAnswer {
                reading: id.clone(),
                again,
                value: parsed.value,
                u: parsed.u.unwrap_or(reading.u),
            };
            let event =
                Event::Read { reading: id, again, value: answer.value, u: answer.u, typed, instrument };
            Ok((vec![event], answer))
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
            for action in &actions {
                if row_status(&job.car, &job.state, action) == RowStatus::Done {
                    return Err(GarageError::Input(format!("'{action}' is done already")));
                }
                if !job.state.is_planned(action) {
                    return Err(GarageError::Input(format!(
                        "'{action}' is not in the plan, so there is nothing to leave out"
                    )));
                }
                needed_by_others(job, action)?;
            }
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
                    .filter(|e| !matches!(e.event, Event::Planned { .. } | Event::CarUpdated { .. } | Event::JobStarted { .. }))
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
            let event = withdraw(&job.car, &job.state.entries, &target.id, reason).map_err(GarageError::Kept)?;
            Ok((vec![event], (target.id.clone(), target.event.clone())))
        })
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
    let text = format!(
        "it was read before the work began{known}, and that reading stays; if it was mistyped, take it back: undo-entry"
    );
    let mut reasons = vec![Obstacle { text, first: None }];
    if reading.again.is_some() {
        reasons.extend(not_last);
    }
    Err(Refusal { action, reasons }.into())
}

/// An operation that is done and counts is not done again by saying the same once more.
fn not_done_again(job: &Job, state: &JobState, action: &Action) -> Result<(), GarageError> {
    let stays = job.car.operation(&action.item).is_some_and(|operation| operation.brings.is_none());
    if action.verb != Verb::Do || !stays || row_status(&job.car, state, action) != RowStatus::Done {
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

/// A car that another job has on stands is not let down by this one.
fn not_under_another_job(job: &Job, action: &Action, neighbours: &[Neighbour]) -> Result<(), GarageError> {
    let brings = job.car.operation(&action.item).and_then(|operation| operation.brings);
    if action.verb != Verb::Do || brings != Some(CarState::OnWheels) {
        return Ok(());
    }
    let reasons: Vec<Obstacle> = neighbours
        .iter()
        .filter_map(Neighbour::lowering_reason)
        .map(|reason| Obstacle { text: reason.text, first: None })
        .collect();
    if reasons.is_empty() { Ok(()) } else { Err(Refusal { action: action.clone(), reasons }.into()) }
}

/// What other work of the plan needs out of its way cannot be left out by itself.
fn needed_by_others(job: &Job, action: &Action) -> Result<(), GarageError> {
    // What is broken loose for itself can come loose otherwise; taking it out is a row of its own.
    let for_itself = || job.car.fastener(&action.item).is_some_and(|f| f.loosen_state.is_some());
    let apart = match action.verb {
        Verb::Loosen => !for_itself(),
        verb => matches!(verb, Verb::Undo | Verb::Off | Verb::Way),
    };
    if !apart || !is_wanted_away(&job.car, &job.state, &action.item) {
        return Ok(());
    }
    let text = format!(
        "other work of the plan needs it away: if it came away by itself, record it ('done {action}'); else leave out what it is for (a part that stays: 'skip off:…')"
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

/// A reading no car gives is a slip of the unit or of the finger; a length is told as it was typed.
fn plausible(dimension: Dimension, read: &Parsed) -> Result<(), GarageError> {
    let limit = if dimension == Dimension::Angle { 90.0 } else { 10_000.0 };
    if read.value.abs() <= limit {
        return Ok(());
    }
    let (value, _, unit) = Units::of(read.unit).figure_in(read.value, 0, dimension.own_unit());
    let gap = if unit == "°" { "" } else { " " };
    Err(GarageError::Input(format!("{value}{gap}{unit} is not possible on a car: is the unit right?")))
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
