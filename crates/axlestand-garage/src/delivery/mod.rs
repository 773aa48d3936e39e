//! What devices deliver: recorded exactly once, or kept until a person has looked at it.
//!
//! A device makes an id for each thing it asks for and sends it until it is acknowledged. The id is
//! kept in the transaction that records it, so that a second delivery changes nothing. What cannot be
//! recorded any more (another device was quicker, the car stands differently now, something newer was
//! recorded about the same) is kept with the reasons: at least once sent and at most once recorded is
//! exactly once.

mod agreed;
mod base64;
mod command;
mod conflict;
mod crossed;
mod fields;
mod late;
mod outcome;
mod photo;
mod queue;
mod taken_back;

pub(crate) use agreed::left_aside;
pub use command::{Command, Done, Remark};
pub(crate) use late::Underway;
pub use outcome::{Answer, Delivered, RefusalView, RefusedBecause, WaitingView, refusal_of};
pub use queue::{HandedOver, MOST_QUEUE, NotRecorded, QUEUE_FORMAT, QUEUE_VERSION, Queue, QueueAnswer};

use crate::alignment::{AlignmentWanted, Rods};
use crate::clock::{earlier, seconds, to_the_minute};
use crate::error::GarageError;
use crate::fastening::condition_word;
use crate::job::Garage;
use crate::neighbours::waiting_text;
use crate::record::{ReadWith, SeenAt};
use crate::store::{Outcome, Stamp};
use axlestand_ledger::Details;
use outcome::refusal_json;

/// The longest time between making and delivering that is believed: what waited longer than half a
/// year was made by a clock that was set anew.
const LONGEST_WAIT_MS: u64 = 183 * 24 * 3_600_000;

/// What is younger is told by somebody at the car.
const JUST_NOW_MS: u64 = 2_000;

/// What to do about numbers that raise a question.
const TYPE_AGAIN: &str = "type it again where it is right";

/// One thing to record, as a device sends it.
#[derive(Debug, Clone, PartialEq)]
pub struct Delivery {
    /// Its id: 32 hexadecimal digits, made on the device.
    pub id: String,
    /// The device.
    pub device: String,
    /// The device's own count, from 1; gaps become visible by it.
    pub number: i64,
    /// How long ago it was made, ms: by the device's clock alone, whatever that is set to.
    pub age_ms: u64,
    /// What to record.
    pub command: Command,
}

impl Garage {
    /// Records what a device delivered. Sent again, it is not recorded again. What cannot be recorded
    /// is kept with the reasons, until [`Garage::looked_at`].
    ///
    /// # Errors
    /// [`GarageError::Input`] for an id that is none or that came with something else; an error of the
    /// machine ([`GarageError::is_of_the_machine`]), where sending it again later may succeed.
    pub fn deliver(&mut self, delivery: &Delivery) -> Result<Delivered, GarageError> {
        let stamp = self.stamp(delivery)?;
        let job = self.current_job()?;
        let (stamp, remark) = self.since_the_job_began(&job, stamp)?;
        if let Some(before) = self.came_before(&stamp)? {
            // The program may have ended between recording some numbers and keeping the questions to
            // the others.
            let asked = delivery.command.numbers();
            if before.recorded && asked > before.entries.len() {
                let open = asked - before.entries.len();
                let question = format!("{open} of {asked} numbers were not recorded: they raise a question");
                self.keep_questions(&job, &stamp, &[RefusedBecause::new(question)], Some(TYPE_AGAIN))?;
            }
            return Ok(before);
        }
        if self.was_said(&job, &stamp, &delivery.command)? {
            return self.left_aside(&job, &stamp, &delivery.command);
        }
        let known = self.known_rows(&delivery.command)?;
        let own = self.store.sent_by(&job, &stamp.device)?;
        let left_aside = self.store.agreed(&job)?;
        let is_live = delivery.age_ms < JUST_NOW_MS;
        let torque_is_typed = matches!(&delivery.command, Command::Done(done) if done.torque.is_some());
        self.delivery = Some(Underway { stamp: stamp.clone(), own, left_aside, torque_is_typed, is_live });
        let result = self.carry_out(&delivery.command);
        self.delivery = None;
        match result {
            Ok(answer) => {
                self.keep_known_rows(&job, &stamp, known)?;
                let told = [
                    remark,
                    self.disagreement(&job, &stamp, &answer)?,
                    self.crossing(&job, &stamp, &answer)?,
                ];
                let remarks: Vec<String> = told.into_iter().flatten().collect();
                let hint = (!answer.questions.is_empty()).then_some(TYPE_AGAIN);
                let told = remarks.iter().map(RefusedBecause::new);
                let asked: Vec<RefusedBecause> = answer.questions.iter().cloned().chain(told).collect();
                if !asked.is_empty() {
                    self.keep_questions(&job, &stamp, &asked, hint)?;
                }
                Ok(Delivered { remarks, ..Delivered::recorded(&stamp.id, answer) })
            }
            // Another connection was quicker between the look and the lock.
            Err(GarageError::Delivered) => {
                self.came_before(&stamp)?.ok_or_else(|| GarageError::Store("a delivery is gone".to_owned()))
            }
            Err(why) if why.is_of_the_machine() => Err(why),
            Err(GarageError::Agreed) => self.left_aside(&job, &stamp, &delivery.command),
            Err(why) => {
                let refusal = refusal_of(&why);
                self.store.keep_refused(&job, &stamp, &refusal_json(&refusal))?;
                Ok(Delivered::refused(&stamp.id, refusal))
            }
        }
    }

    /// What waits to be looked at: deliveries that could not be recorded, the oldest first.
    ///
    /// # Errors
    /// [`GarageError`] where there is no job or the garage cannot be read.
    pub fn waiting(&self) -> Result<Vec<WaitingView>, GarageError> {
        let job = self.current_job()?;
        Ok(self.store.to_look_at(&job)?.iter().map(WaitingView::of).collect())
    }

    /// What is said where something waits to be looked at, to who records now. What a phone tells of some time ago goes by
    /// what was known then.
    pub(crate) fn waits_for_a_look(&self) -> Result<Option<String>, GarageError> {
        if self.delivery.as_ref().is_some_and(|underway| !underway.is_live) {
            return Ok(None);
        }
        Ok(waiting_text(self.store.to_look_at(&self.current_job()?)?.len()))
    }

    /// A person has looked at a refused delivery, or at the questions to it: it no longer waits. It stays
    /// in the database.
    ///
    /// # Errors
    /// [`GarageError::Selection`] where none of that id waits.
    pub fn looked_at(&mut self, id: &str) -> Result<(), GarageError> {
        let now = self.clock.now();
        let question = queue::question_id(id);
        if self.store.delivery(&question)?.is_some() {
            return self.store.keep_looked_at(&question, &now);
        }
        self.store.keep_looked_at(id, &now)
    }

    fn stamp(&mut self, delivery: &Delivery) -> Result<Stamp, GarageError> {
        let is_id = |text: &str| text.len() == 32 && text.bytes().all(|b| b.is_ascii_hexdigit());
        if !is_id(&delivery.id) {
            return Err(GarageError::Input("the id of a delivery has 32 hexadecimal digits".to_owned()));
        }
        if delivery.device.is_empty() || delivery.device.len() > 64 {
            return Err(GarageError::Input("the name of the device has 1 to 64 characters".to_owned()));
        }
        let body = serde_json::to_string(&delivery.command)
            .map_err(|why| GarageError::Input(format!("the delivery cannot be kept: {why}")))?;
        let at = earlier(&self.clock.now(), delivery.age_ms.min(LONGEST_WAIT_MS));
        let (id, device) = (delivery.id.to_lowercase(), delivery.device.clone());
        Ok(Stamp { id, device, number: delivery.number, at, body })
    }

    /// No entry is older than its job: what says so was made by a clock that was set anew, and has the time
    /// at which the job began. Gives what to tell of that.
    fn since_the_job_began(&self, job: &str, stamp: Stamp) -> Result<(Stamp, Option<String>), GarageError> {
        let Some(began) = self.store.began(job)?.filter(|began| seconds(&stamp.at) < seconds(began)) else {
            return Ok((stamp, None));
        };
        let remark = format!(
            "it says that it was made on {}, before the job began: it is recorded with the time at which that was, {}. Is the clock of the phone right?",
            to_the_minute(&stamp.at),
            to_the_minute(&began),
        );
        Ok((Stamp { at: began, ..stamp }, Some(remark)))
    }

    /// The answer that was given before, where the same delivery came before.
    fn came_before(&self, stamp: &Stamp) -> Result<Option<Delivered>, GarageError> {
        let Some(kept) = self.store.delivery(&stamp.id)? else { return Ok(None) };
        if kept.stamp.body != stamp.body {
            return Err(GarageError::Input(format!(
                "the id {} was used for something else before: make a new one",
                stamp.id
            )));
        }
        Ok(Some(match kept.outcome {
            Outcome::Recorded => {
                // Kept there as well: that another device disagrees. That was recorded, and is no question.
                let asked = self.store.delivery(&queue::question_id(&stamp.id))?;
                let typed = asked
                    .filter(|kept| outcome::refusal_from(&kept.answer).hint.as_deref() == Some(TYPE_AGAIN));
                Delivered::repeated(&kept, typed.as_ref())
            }
            Outcome::Agreed => Delivered::agreed(&stamp.id),
            Outcome::Refused => Delivered::refused(&stamp.id, outcome::refusal_from(&kept.answer)),
        }))
    }

    /// Records what is asked, whoever asks.
    ///
    /// # Errors
    /// What keeps it from being recorded.
    pub fn carry_out(&mut self, command: &Command) -> Result<Answer, GarageError> {
        Ok(match command {
            Command::Done(done) => Answer::of(self.done(&done.rows, &details(done)?, &seen(done)?)?),
            Command::Read { reading, value, sure, correct, instrument } => {
                let with = ReadWith { instrument: instrument.clone(), sure: *sure, correct: *correct };
                let recorded = self.read(reading, value, &with)?;
                let asked = recorded.answer.question.iter().map(|question| RefusedBecause {
                    place: Some(reading.clone()),
                    ..RefusedBecause::new(format!("{reading}: {question}"))
                });
                Answer { questions: asked.collect(), ..Answer::of(recorded) }
            }
            Command::Gauge { .. } => {
                let recorded = self.gauge(&command.gauge_asked().unwrap_or_default())?;
                let asked = recorded.answer.questions.iter().map(|q| RefusedBecause {
                    place: Some(q.place.clone()),
                    ..RefusedBecause::new(format!("{}: {}", q.place, q.question))
                });
                Answer { questions: asked.collect(), ..Answer::of(recorded) }
            }
            Command::Turned { adjuster, amount } => Answer::of(self.turned(adjuster, amount)?),
            Command::State { rods, ratio } => {
                let rods = rods.as_deref().map(Rods::parse).transpose()?;
                let ratio = ratio.clone();
                Answer::of(self.state_alignment(&AlignmentWanted { rods, ratio, ..Default::default() })?)
            }
            Command::KeepAlignment {} => Answer::of(self.keep_alignment(&AlignmentWanted::default())?),
            Command::Stuck(remark) => Answer::of(self.stuck(&remark.item, remark.note.clone())?),
            Command::Broken(remark) => Answer::of(self.broken(&remark.item, remark.note.clone())?),
            Command::Replaced(remark) => Answer::of(self.replaced(&remark.item, remark.note.clone())?),
            Command::Choose { item, way } => {
                Answer::of(self.choose(item, (way != "usual").then_some(way.as_str()))?)
            }
            Command::Skip { rows, reason } => Answer::of(self.skip(rows, reason)?),
            Command::Photo { step, file, note } => {
                Answer::of(self.pictured(step.as_deref(), file, note.clone())?)
            }
            Command::Note { item, text } => Answer::of(self.note(item.as_deref(), text)?),
            Command::TakeBack { entry, reason } => {
                Answer::of(self.undo_entry(entry.as_deref(), reason.clone())?)
            }
        })
    }
}

/// What was read off the fastener in hand.
fn seen(done: &Done) -> Result<Vec<SeenAt>, GarageError> {
    let known = |typed: &str| SeenAt::FIELDS.into_iter().find(|field| *field == typed);
    let one = |(field, value): (&String, &String)| match known(field) {
        Some(field) => Ok(SeenAt { field, value: value.clone() }),
        None => Err(GarageError::Input(format!(
            "'{field}' is nothing that is read off a fastener; there are {}",
            SeenAt::FIELDS.join(", ")
        ))),
    };
    done.seen.iter().map(one).collect()
}

/// What was added to "done", understood.
fn details(done: &Done) -> Result<Details, GarageError> {
    let length = done
        .length
        .as_deref()
        .map(|text| text.parse().map_err(|why| GarageError::Input(format!("the length: {why}"))))
        .transpose()?;
    let condition = done
        .condition
        .as_deref()
        .map(|text| condition_word(text).map_err(|why| GarageError::Input(format!("the condition: {why}"))))
        .transpose()?;
    Ok(Details {
        only_seated: done.seated,
        tray: done.tray,
        length,
        torque: done.torque.clone(),
        source: done.source.clone(),
        wrench: done.wrench.clone(),
        adapter: done.adapter.clone(),
        condition,
        reused: done.reused,
        fresh: done.fresh,
        note: done.note.clone(),
    })
}
