//! A device's queue as it travels: as a batch over the network, or as a file that is handed over.
//!
//! Both are the same JSON document (docs/queue-file.md), so that the same ids make every way of
//! delivering safe to repeat. Each entry is answered for itself: one that is not understood is kept
//! for a person to look at and never holds up those behind it.

use super::outcome::refusal_json;
use super::{Command, Delivered, Delivery, LONGEST_WAIT_MS, RefusalView, RefusedBecause, refusal_of};
use crate::clock::earlier;
use crate::error::GarageError;
use crate::job::Garage;
use crate::store::Stamp;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use sha2::{Digest as _, Sha256};

/// What the key `format` of a queue says.
pub const QUEUE_FORMAT: &str = "axlestand-queue";
/// The version of the format that is written; all up to it are read.
/// 1 had entries alone, 2 has photos and entries that were taken back.
pub const QUEUE_VERSION: u32 = 2;
/// The most bytes that a queue's file is read with: hundreds of entries with some fifty photos, as the
/// garage app makes them small.
pub const MOST_QUEUE: usize = 32 * 1024 * 1024;
/// The longest name of a device that is kept.
const LONGEST_DEVICE: usize = 64;
/// The longest text of an entry that is kept for a look, bytes.
const LONGEST_KEPT: usize = 20_000;
/// The setting that holds the garage's own name.
const IDENTITY: &str = "identity";

/// A queue, the oldest entry first.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Queue {
    /// `axlestand-queue`; taken for that where it is absent.
    #[serde(default = "usual_format")]
    pub format: String,
    /// The version of the format; 1 where it is absent.
    #[serde(default = "first_version")]
    pub version: u32,
    /// The queue: made once on the device and kept there.
    pub queue: String,
    /// When this was sent or written, by the device's clock, ms.
    pub sent: f64,
    /// The entries, each read for itself.
    pub entries: Vec<Value>,
    /// Photos that the garage may not have yet, each read for itself.
    #[serde(default)]
    pub photos: Vec<Value>,
}

fn usual_format() -> String {
    QUEUE_FORMAT.to_owned()
}

fn first_version() -> u32 {
    1
}

/// One entry as it stands in a queue.
#[derive(Debug, Clone, PartialEq, Deserialize)]
struct Queued {
    id: String,
    number: i64,
    job: String,
    /// The garage that it was made for ([`Garage::identity`]).
    #[serde(default)]
    garage: Option<String>,
    /// When it was made, by the device's clock, ms.
    made: f64,
    fields: Vec<(String, String)>,
    /// Taken back on the device before that knew it sent.
    #[serde(default, rename = "taken-back")]
    taken_back: bool,
}

/// What became of an entry of a queue.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "outcome")]
pub enum QueueAnswer {
    /// It is in the ledger, or kept for a person to look at: the device may forget it.
    Taken(Delivered),
    /// It was taken back on the device, and nothing of it stands: the device may forget it.
    TakenBack {
        /// Its id.
        id: String,
    },
    /// It was made for another garage: the device has to keep it.
    Elsewhere {
        /// Its id.
        id: String,
    },
}

/// What became of a queue that was handed over as a whole.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct HandedOver {
    /// Entries that are in the ledger now.
    pub recorded: usize,
    /// Entries that were there before.
    pub known: usize,
    /// Entries that were taken back on the phone: nothing of them stands.
    pub taken_back: usize,
    /// What a person is told of entries that are in the ledger.
    pub remarks: Vec<String>,
    /// Entries that a person has to look at, by what became of them.
    pub to_look_at: Vec<NotRecorded>,
    /// Entries that were made for another garage.
    pub elsewhere: usize,
}

/// An entry of a queue that could not be recorded.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct NotRecorded {
    /// What it says, in a line for people.
    pub what: String,
    /// Why not.
    #[serde(flatten)]
    pub refusal: RefusalView,
}

/// What an entry or photo of a queue says, in a line for people.
fn said_by(entry: &Value) -> String {
    let fields = entry.get("fields").and_then(|fields| Vec::deserialize(fields).ok());
    let mut fields: Vec<(String, String)> = fields.unwrap_or_default();
    if entry.get("picture").is_some() {
        // The name of the file is the garage's.
        fields.push(("file".to_owned(), "picture".to_owned()));
    }
    let command = Command::from_fields(&fields).ok();
    command.map_or_else(|| "an entry that is not understood".to_owned(), |command| command.text())
}

impl HandedOver {
    /// Counts one more, which says `what`.
    fn count(&mut self, answer: QueueAnswer, what: &Value) {
        match answer {
            QueueAnswer::Elsewhere { .. } => self.elsewhere += 1,
            QueueAnswer::TakenBack { .. } => self.taken_back += 1,
            QueueAnswer::Taken(Delivered { refusal: Some(refusal), .. }) => {
                self.to_look_at.push(NotRecorded { what: said_by(what), refusal });
            }
            QueueAnswer::Taken(Delivered { repeated: true, .. }) => self.known += 1,
            QueueAnswer::Taken(delivered) => {
                self.recorded += 1;
                self.remarks.extend(delivered.remarks);
            }
        }
    }

    /// Whether all of it is in the ledger.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.to_look_at.is_empty() && self.elsewhere == 0
    }
}

impl Queue {
    /// Who sent it: the device, and the queue on it (each browser of a device has its own).
    #[must_use]
    pub fn sender(&self, device: &str) -> String {
        let queue: String = self.queue.chars().filter(char::is_ascii_alphanumeric).take(12).collect();
        format!("{device}/{queue}")
    }

    /// Reads a queue.
    ///
    /// # Errors
    /// [`GarageError::Input`] where it is none, or of a newer version.
    pub fn read(text: &str) -> Result<Self, GarageError> {
        let read: Self =
            serde_json::from_str(text.trim()).map_err(|why| GarageError::Input(not_read(text, &why)))?;
        if read.format != QUEUE_FORMAT {
            return Err(GarageError::Input(format!(
                "this is no queue that a phone handed over: its format is '{}', expected '{QUEUE_FORMAT}'",
                read.format
            )));
        }
        if read.version == 0 {
            return Err(GarageError::Input(
                "this queue says that it is of version 0, and the first was 1: it was changed or damaged. \
                 On the phone, 'Not sent yet' writes the file anew; copy it as it is"
                    .to_owned(),
            ));
        }
        if read.version > QUEUE_VERSION {
            return Err(GarageError::Input(format!(
                "this queue is of version {}; this axlestand reads up to {QUEUE_VERSION}: use a newer one",
                read.version
            )));
        }
        Ok(read)
    }
}

impl Garage {
    /// The garage's own name, 32 hexadecimal digits: a device tells by it for which garage an entry was
    /// made, however the addresses change.
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be read, or written at the first call.
    pub fn identity(&mut self) -> Result<String, GarageError> {
        if let Some(known) = self.store.setting(IDENTITY)? {
            return Ok(known);
        }
        let new = self.clock.new_id()?;
        self.store.keep_first_setting(IDENTITY, &new)
    }

    /// Records a queue that was handed over as a whole.
    ///
    /// # Errors
    /// As [`Garage::deliver_queued`]; what was recorded before stays, and handing over again does not
    /// double it.
    pub fn hand_over(&mut self, queue: &Queue, device: &str) -> Result<HandedOver, GarageError> {
        let sender = queue.sender(device);
        let mut told = HandedOver::default();
        for entry in &queue.entries {
            told.count(self.deliver_queued(entry, &sender, queue.sent)?, entry);
        }
        for photo in &queue.photos {
            told.count(self.deliver_photo(photo, &sender, queue.sent)?, photo);
        }
        Ok(told)
    }

    /// Records an entry of a device's queue ([`Garage::deliver`]). One that cannot be understood, or
    /// whose job is not here, is kept for a person to look at. `device` is who sent it.
    ///
    /// # Errors
    /// An error of the machine ([`GarageError::is_of_the_machine`]), or [`GarageError::NoJob`] where this
    /// garage has no job at all: sending the entry again later may succeed.
    pub fn deliver_queued(
        &mut self,
        entry: &Value,
        device: &str,
        sent: f64,
    ) -> Result<QueueAnswer, GarageError> {
        let before = self.job.take();
        let answer = self.deliver_in_its_job(entry, device, sent);
        self.job = before;
        answer
    }

    fn deliver_in_its_job(
        &mut self,
        entry: &Value,
        device: &str,
        sent: f64,
    ) -> Result<QueueAnswer, GarageError> {
        let device = shortened(device, LONGEST_DEVICE);
        let queued = match serde_json::from_value::<Queued>(entry.clone()) {
            Ok(queued) => queued,
            Err(why) => {
                let why = GarageError::Input(format!("the entry is not understood ({why})"));
                return self.keep_to_look_at(entry, &device, sent, &why).map(QueueAnswer::Taken);
            }
        };
        if queued.garage.is_some() && queued.garage != Some(self.identity()?) {
            return Ok(QueueAnswer::Elsewhere { id: queued.id });
        }
        if self.jobs()?.contains(&queued.job) {
            self.job = Some(queued.job.clone());
        } else {
            let why = GarageError::NoJob(format!("there is no job called '{}' in this garage", queued.job));
            return self.keep_to_look_at(entry, &device, sent, &why).map(QueueAnswer::Taken);
        }
        let command = match Command::from_fields(&queued.fields) {
            Ok(command) => command,
            // What was never understood is not recorded either way.
            Err(_) if queued.taken_back => return Ok(QueueAnswer::TakenBack { id: queued.id }),
            Err(why) => return self.keep_to_look_at(entry, &device, sent, &why).map(QueueAnswer::Taken),
        };
        let delivery = Delivery {
            id: queued.id.clone(),
            device: device.clone(),
            number: queued.number,
            age_ms: age(sent, queued.made),
            command,
        };
        let result = if queued.taken_back {
            self.take_back_delivery(&delivery)
                .map(|why| why.map_or(QueueAnswer::TakenBack { id: queued.id }, QueueAnswer::Taken))
        } else {
            self.deliver(&delivery).map(QueueAnswer::Taken)
        };
        match result {
            Err(why) if !why.is_of_the_machine() => {
                self.keep_to_look_at(entry, &device, sent, &why).map(QueueAnswer::Taken)
            }
            result => result,
        }
    }

    /// Keeps an entry that could not be understood, in its own job where that is here.
    pub(super) fn keep_unread(
        &mut self,
        entry: &Value,
        device: &str,
        sent: f64,
        why: &GarageError,
    ) -> Result<Delivered, GarageError> {
        let before = self.job.take();
        let named = entry.get("job").and_then(Value::as_str);
        self.job = named
            .filter(|job| self.jobs().is_ok_and(|jobs| jobs.iter().any(|one| one == job)))
            .map(str::to_owned);
        let kept = self.keep_to_look_at(entry, device, sent, why);
        self.job = before;
        kept
    }

    /// Keeps an entry that could not even be tried, under an id that follows from it alone: delivered
    /// again, by whichever way, it is kept once.
    fn keep_to_look_at(
        &mut self,
        entry: &Value,
        device: &str,
        sent: f64,
        why: &GarageError,
    ) -> Result<Delivered, GarageError> {
        let job = self.current_job()?;
        let body = entry.to_string();
        let id = derived(&body);
        let refusal = RefusalView {
            hint: Some("look at what it says, and record by hand what is true".to_owned()),
            ..refusal_of(why)
        };
        let age = entry.get("made").and_then(Value::as_f64).map_or(0, |made| age(sent, made));
        let at = earlier(&self.clock.now(), age.min(LONGEST_WAIT_MS));
        let number = entry.get("number").and_then(Value::as_i64).unwrap_or_default();
        let body = shortened(&body, LONGEST_KEPT);
        let stamp = Stamp { id: id.clone(), device: device.to_owned(), number, at, body };
        self.store.keep_refused(&job, &stamp, &refusal_json(&refusal))?;
        Ok(Delivered::refused(&id, refusal))
    }

    /// Keeps numbers that were asked about instead of recorded, for a person to look at: a queue may
    /// have sent them while nobody watched.
    pub(super) fn keep_questions(
        &mut self,
        job: &str,
        stamp: &Stamp,
        questions: &[RefusedBecause],
        hint: Option<&str>,
    ) -> Result<(), GarageError> {
        let refusal = RefusalView { reasons: questions.to_vec(), hint: hint.map(str::to_owned) };
        let stamp = Stamp { id: question_id(&stamp.id), ..stamp.clone() };
        self.store.keep_refused(job, &stamp, &refusal_json(&refusal))
    }
}

/// Why a text is no queue: what it looks like instead, where, and what to do.
fn not_read(text: &str, why: &serde_json::Error) -> String {
    use serde_json::error::Category;
    let what = match why.classify() {
        _ if text.trim().is_empty() => "the file is empty".to_owned(),
        Category::Eof => format!("it breaks off in line {}", why.line()),
        Category::Syntax | Category::Io => {
            format!("it is not written as such a file is, in line {}, column {}", why.line(), why.column())
        }
        Category::Data => "it is another kind of file, or a part of it is missing".to_owned(),
    };
    format!(
        "this is no queue that a phone handed over: {what}. Nothing was recorded. On the phone, \
         'Not sent yet' writes the file anew; copy it as it is"
    )
}

/// Under which id the questions to a delivery are kept.
pub(super) fn question_id(id: &str) -> String {
    derived(&format!("{}?", id.to_lowercase()))
}

/// How long ago an entry was made when it was sent, ms.
fn age(sent: f64, made: f64) -> u64 {
    let age = sent - made;
    // Made after it was sent: the clock was set back meanwhile, so that nobody knows how old it is.
    if !age.is_finite() || age < -CLOCKS_DIFFER_MS {
        return u64::MAX;
    }
    // Saturating: a little negative was made just now.
    if age > 0.0 { age as u64 } else { 0 }
}

/// By how much a device's clock may be set back between an entry and its sending without a word, ms.
const CLOCKS_DIFFER_MS: f64 = 5_000.0;

/// An id that follows from a text.
pub(super) fn derived(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().take(16).map(|byte| format!("{byte:02x}")).collect()
}

fn shortened(text: &str, most: usize) -> String {
    let mut end = text.len().min(most);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    text.get(..end).unwrap_or_default().to_owned()
}
