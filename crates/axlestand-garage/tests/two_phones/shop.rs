//! One car, two garages that keep its ledger: one is told all at once, the other by the computer and by two
//! phones that deliver when they please.

use crate::world::World;
use axlestand_garage::delivery::{Command, Delivery, Done, Remark};
use axlestand_garage::views::{check_road, next};
use axlestand_garage::{
    Action, Car, Clock, Details, Event, Garage, GarageError, ItemId, NoRandom, ReadWith, StartJob, Units,
};
use std::cell::Cell;
use std::path::Path;
use std::rc::Rc;

/// A clock that a test sets, ms since noon; ids count.
struct SetClock(Rc<Cell<u64>>, u64);

impl Clock for SetClock {
    fn now(&mut self) -> String {
        let ms = self.0.get();
        let (day, of_day) = (1 + ms / 86_400_000, ms % 86_400_000);
        let (seconds, rest) = (of_day / 1000, of_day % 1000);
        let (hours, minutes) = (seconds / 3600, seconds / 60 % 60);
        format!("2026-05-{day:02}T{hours:02}:{minutes:02}:{:02}.{rest:03}+02:00", seconds % 60)
    }

    fn new_id(&mut self) -> Result<String, NoRandom> {
        self.1 += 1;
        Ok(format!("{:032x}", self.1))
    }
}

/// What somebody did to the car, or saw.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Deed {
    Done {
        action: Action,
        fresh: bool,
    },
    Broken(ItemId),
    Ready(ItemId),
    Stuck(ItemId),
    /// By which way something is to be freed; `None`: in the usual manner.
    Chosen(ItemId, Option<ItemId>),
    /// Left out.
    Skipped(Action),
}

impl Deed {
    pub(crate) fn item(&self) -> &ItemId {
        match self {
            Self::Done { action, .. } | Self::Skipped(action) => &action.item,
            Self::Broken(item) | Self::Ready(item) | Self::Stuck(item) | Self::Chosen(item, _) => item,
        }
    }

    pub(crate) fn is_said_by(&self, event: &Event) -> bool {
        match (self, event) {
            (Self::Done { action, .. }, Event::Done { action: done, .. }) => action == done,
            (Self::Broken(item), Event::Broken { item: broken, .. }) => item == broken,
            (Self::Ready(item), Event::Replaced { item: ready, .. }) => item == ready,
            (Self::Stuck(item), Event::Stuck { item: stuck, .. }) => item == stuck,
            (Self::Chosen(item, way), Event::Chosen { item: chosen, way: by }) => (item, way) == (chosen, by),
            (Self::Skipped(action), Event::Skipped { action: skipped, .. }) => action == skipped,
            _ => false,
        }
    }

    /// Written down at the computer; a reading as any car might give it.
    pub(crate) fn record(&self, garage: &mut Garage) -> Result<(), GarageError> {
        let (action, fresh) = match self {
            Self::Broken(item) => return garage.broken(item.as_str(), None).map(|_| ()),
            Self::Ready(item) => return garage.replaced(item.as_str(), None).map(|_| ()),
            Self::Stuck(item) => return garage.stuck(item.as_str(), None).map(|_| ()),
            Self::Chosen(item, way) => {
                return garage.choose(item.as_str(), way.as_ref().map(ItemId::as_str)).map(|_| ());
            }
            Self::Skipped(action) => return garage.skip(&action.to_string(), NO_TIME).map(|_| ()),
            Self::Done { action, fresh } => (action, *fresh),
        };
        let text = action.to_string();
        let Some(reading) = text.strip_prefix("read:").or_else(|| text.strip_prefix("again:")) else {
            return garage.done(&[text], &Details { fresh, ..Details::default() }, &[]).map(|_| ());
        };
        garage.read(reading, value_of(reading), &ReadWith { sure: true, ..ReadWith::default() }).map(|_| ())
    }

    fn command(&self) -> Command {
        let remark = |item: &ItemId| Remark { item: item.to_string(), note: None };
        let (action, fresh) = match self {
            Self::Broken(item) => return Command::Broken(remark(item)),
            Self::Ready(item) => return Command::Replaced(remark(item)),
            Self::Stuck(item) => return Command::Stuck(remark(item)),
            Self::Chosen(item, way) => {
                let way = way.as_ref().map_or("usual", ItemId::as_str).to_owned();
                return Command::Choose { item: item.to_string(), way };
            }
            Self::Skipped(action) => {
                return Command::Skip { rows: action.to_string(), reason: NO_TIME.to_owned() };
            }
            Self::Done { action, fresh } => (action, *fresh),
        };
        let text = action.to_string();
        match text.strip_prefix("read:").or_else(|| text.strip_prefix("again:")) {
            Some(reading) => Command::Read {
                reading: reading.to_owned(),
                value: value_of(reading).to_owned(),
                instrument: None,
                sure: true,
                correct: false,
            },
            None => Command::Done(Done { rows: vec![text], fresh, ..Done::default() }),
        }
    }
}

const NO_TIME: &str = "no time";

/// What any car might give.
fn value_of(reading: &str) -> &'static str {
    if reading.starts_with("toe") || reading.starts_with("camber") { "0.1 °" } else { "360 mm" }
}

/// A deed, when it was done, and whether the ledger has it.
pub(crate) struct Kept {
    pub(crate) number: i64,
    pub(crate) made: u64,
    pub(crate) deed: Deed,
    pub(crate) written: bool,
    /// On this phone, not sent yet.
    pub(crate) on: Option<usize>,
    /// What was answered where it could not be written down.
    pub(crate) answered: Option<String>,
}

/// A way to write something down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Pen {
    Computer,
    Phone(usize),
}

pub(crate) struct Shop {
    /// Told all at once, in order.
    pub(crate) told: Garage,
    /// Told by computer and phones.
    pub(crate) garage: Garage,
    pub(crate) car: Car,
    pub(crate) world: World,
    /// All that was done, in its order.
    pub(crate) deeds: Vec<Kept>,
    counted: i64,
    pub(crate) clock: Rc<Cell<u64>>,
    pub(crate) story: Vec<String>,
    folder: tempfile::TempDir,
}

impl Shop {
    /// A job on this car, where one can be started.
    pub(crate) fn open(car_text: &str, replace: &[String], rust: u8) -> Option<Self> {
        let folder = tempfile::tempdir().expect("a folder");
        let clock = Rc::new(Cell::new(43_200_000));
        let open = |name: &str, first: u64| {
            let path = folder.path().join(name);
            std::fs::create_dir(&path).expect("a folder");
            std::fs::write(path.join("car.toml"), car_text).expect("a file");
            let clock = Box::new(SetClock(Rc::clone(&clock), first));
            let mut garage = Garage::open_or_create(&path, clock).expect("a garage");
            let start = StartJob {
                car: path.join("car.toml"),
                replace: replace.to_vec(),
                rust,
                ..StartJob::default()
            };
            garage.start_job(&start).map(|_| garage)
        };
        let told = open("told", 0).ok()?;
        let mut garage = open("garage", 0x1000_0000).ok()?;
        let car = garage.job().expect("a job").car;
        let story = vec![format!("replace {replace:?}, rust {rust}")];
        let world = World::default();
        Some(Self { told, garage, car, world, deeds: Vec::new(), counted: 0, clock, story, folder })
    }

    /// One more job on the same car, in the garage; gives the names of both.
    pub(crate) fn second_job(&mut self, replace: &str) -> Option<[String; 2]> {
        let first = self.garage.current_job().ok()?;
        let car = self.folder.path().join("garage").join("car.toml");
        let name = Some("second".to_owned());
        let start = StartJob { car, replace: vec![replace.to_owned()], name, rust: 2, ..StartJob::default() };
        self.garage.start_job(&start).ok()?;
        // Whoever started a job keeps to it; one opened afresh goes from job to job.
        let clock = Box::new(SetClock(Rc::clone(&self.clock), 0x2000_0000));
        self.garage = Garage::open_or_create(&self.folder.path().join("garage"), clock).ok()?;
        self.tell(&format!("second: replace {replace}"));
        Some([first, "second".to_owned()])
    }

    pub(crate) fn wait(&self, ms: u64) {
        self.clock.set(self.clock.get() + ms);
    }

    pub(crate) fn tell(&mut self, line: &str) {
        let seconds = self.clock.get() as f64 / 1000.0;
        self.story.push(format!("{seconds:.3} {line}"));
    }

    /// Rows that the garage offers first.
    pub(crate) fn offered(garage: &mut Garage, count: usize) -> Vec<Action> {
        let job = garage.job().expect("a job");
        let view = next(&job, count, Units::default()).expect("rows");
        view.rows.iter().map(|row| Action::parse(&row.action).expect("an action")).collect()
    }

    /// Why the road is closed, by item and text.
    pub(crate) fn road(garage: &mut Garage) -> Vec<(Option<String>, String)> {
        let check = check_road(&garage.job().expect("a job"), Units::default());
        check.reasons.into_iter().map(|reason| (reason.item, reason.text)).collect()
    }

    /// Written down with this pen; the computer asks the phones where it is refused.
    pub(crate) fn write(&mut self, deed: Deed, pen: Pen) {
        let (made, on) = (self.clock.get(), if let Pen::Phone(phone) = pen { Some(phone) } else { None });
        self.counted += 1;
        let mut kept = Kept { number: self.counted, made, deed, written: false, on, answered: None };
        if on.is_none() && kept.deed.record(&mut self.garage).is_ok() {
            kept.written = true;
        } else if on.is_none() {
            self.deliver_all();
            match kept.deed.record(&mut self.garage) {
                Ok(()) => kept.written = true,
                Err(why) => {
                    self.tell(&format!("  cannot be written down: {why}"));
                    kept.answered = Some(why.to_string());
                }
            }
        }
        self.deeds.push(kept);
    }

    /// Somebody writes another torque into the vehicle file, which both garages use.
    pub(crate) fn other_torque(&mut self, which: usize) {
        for name in ["told", "garage"] {
            let path = self.folder.path().join(name).join("car.toml");
            let text = std::fs::read_to_string(&path).expect("a file");
            let (from, to) = if which.is_multiple_of(2) {
                ("\"50 N·m\"", "\"55 N·m\"")
            } else {
                ("\"55 N·m\"", "\"50 N·m\"")
            };
            let places: Vec<usize> = text.match_indices(from).map(|(at, _)| at).collect();
            let Some(at) = places.get(which / 2 % places.len().max(1)) else { return };
            let text = format!("{}{to}{}", &text[..*at], &text[at + from.len()..]);
            std::fs::write(&path, text).expect("a file");
        }
        self.tell("another torque in the file");
        self.told.job().expect("a job");
        self.garage.job().expect("a job");
    }

    /// The phone has a signal: all that waits on it arrives.
    pub(crate) fn deliver(&mut self, phone: usize) {
        for at in 0..self.deeds.len() {
            let kept = &mut self.deeds[at];
            if kept.on != Some(phone) {
                continue;
            }
            kept.on = None;
            let command = kept.deed.command();
            let what = command.text();
            let delivery = Delivery {
                id: format!("{:032x}", 0xd000_0000 + kept.number),
                device: format!("phone/{phone}"),
                number: kept.number,
                age_ms: self.clock.get() - kept.made,
                command,
            };
            let answer = self.garage.deliver(&delivery).expect("an answer");
            let again = self.garage.deliver(&delivery).expect("an answer");
            assert!(!again.recorded || again.repeated, "{what}: recorded twice");
            let why = answer.refusal.map(|why| format!("refused: {why:?}"));
            kept.written = why.is_none();
            kept.answered =
                why.clone().or((!answer.remarks.is_empty()).then(|| format!("{:?}", answer.remarks)));
            let why = kept.answered.clone().unwrap_or_default();
            self.tell(&format!("  phone {phone} delivers {what} {why}"));
        }
    }

    pub(crate) fn deliver_all(&mut self) {
        self.deliver(0);
        self.deliver(1);
    }

    /// What said the same as something that was taken back waits to be looked at: it is not written down.
    pub(crate) fn hear_of_what_was_left_aside(&mut self) {
        for one in self.garage.waiting().expect("what waits") {
            let told = format!("{:?}", one.refusal);
            if !told.contains("left aside") {
                continue;
            }
            self.garage.looked_at(&one.id).expect("looked at");
            let of_it = |kept: &&mut Kept| kept.written && kept.deed.command().text() == one.what;
            let Some(kept) = self.deeds.iter_mut().rev().find(of_it) else {
                panic!("no deed says {}:\n{}", one.what, self.story.join("\n"));
            };
            kept.written = false;
            kept.answered = Some(told);
            self.tell(&format!("  is asked about {}", one.what));
        }
    }

    /// What was refused is written down by hand in the order in which it was done, where nothing done since
    /// to the same is written down.
    pub(crate) fn write_anew(&mut self) {
        let mut went_on = true;
        while went_on {
            went_on = false;
            for at in 0..self.deeds.len() {
                let kept = &self.deeds[at];
                if kept.on.is_some() || self.is_settled(at) || kept.deed.record(&mut self.garage).is_err() {
                    continue;
                }
                self.deeds[at].written = true;
                went_on = true;
                let deed = format!("  by hand: {:?}", self.deeds[at].deed);
                self.tell(&deed);
            }
        }
    }

    /// All is put aside that waited to be looked at.
    pub(crate) fn put_aside(&mut self) {
        for one in self.garage.waiting().expect("what waits") {
            self.garage.looked_at(&one.id).expect("looked at");
        }
        self.deeds.iter_mut().for_each(|kept| kept.answered = None);
    }

    /// Whether a deed is written down, or something that was done to the same since.
    pub(crate) fn is_settled(&self, at: usize) -> bool {
        let kept = &self.deeds[at];
        let moves = |deed: &Deed| self.car.operation(deed.item()).is_some_and(|one| one.brings.is_some());
        let of_it = |later: &Kept| {
            let same = later.deed.item() == kept.deed.item() || (moves(&later.deed) && moves(&kept.deed));
            later.written && same
        };
        kept.written || self.deeds[at + 1..].iter().any(of_it)
    }
}

/// The text of a vehicle file beside the sources.
pub(crate) fn file(path: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(path);
    std::fs::read_to_string(path).expect("a file")
}
