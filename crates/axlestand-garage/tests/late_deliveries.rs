//! What a device recorded before something newer about the same is not recorded on top of it. The order of
//! arrival is that of the fold; which of two entries was made later is told by the times alone.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a test that cannot be set up has failed")]

use axlestand_garage::delivery::{Command, Delivered, Delivery, Done, Remark};
use axlestand_garage::vehicle::{SetValue, set_value};
use axlestand_garage::views::{check_lowering, check_road, log, next};
use axlestand_garage::{Clock, Details, Garage, NoRandom, ReadWith, StartJob};
use std::cell::Cell;
use std::path::PathBuf;
use std::rc::Rc;
use tempfile::TempDir;

/// Noon and as many seconds as a test has let pass; ids count.
struct Afternoon(Rc<Cell<u32>>, u64);

impl Clock for Afternoon {
    fn now(&mut self) -> String {
        let seconds = self.0.get();
        format!("2026-05-02T{:02}:{:02}:{:02}+02:00", 12 + seconds / 3600, seconds / 60 % 60, seconds % 60)
    }

    fn new_id(&mut self) -> Result<String, NoRandom> {
        self.1 += 1;
        Ok(format!("{:032x}", self.1))
    }
}

/// A garage with a job on the demo car, and its clock.
struct Shop {
    garage: Garage,
    seconds: Rc<Cell<u32>>,
    sent: u128,
    folder: TempDir,
}

impl Shop {
    /// The job at the moment at which this row is the next one; at its end where there is none such.
    fn up_to(row: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let seconds = Rc::new(Cell::new(0));
        let clock = Box::new(Afternoon(Rc::clone(&seconds), 0));
        let mut garage = Garage::open_or_create(folder.path(), clock).unwrap();
        let car = folder.path().join("car.toml");
        let demo = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../cars/wagtail.toml");
        std::fs::copy(demo, &car).unwrap();
        let replace = vec!["tie-rod-end".to_owned()];
        garage.start_job(&StartJob { car, replace, ..StartJob::default() }).unwrap();
        let mut shop = Self { garage, seconds, sent: 0, folder };
        while let Some(action) = shop.next_row().filter(|action| action != row) {
            shop.by_hand(&action);
        }
        shop.wait(60);
        shop
    }

    fn next_row(&mut self) -> Option<String> {
        let job = self.garage.job().unwrap();
        next(&job, 1, axlestand_garage::Units::default()).unwrap().rows.first().map(|row| row.action.clone())
    }

    fn wait(&self, seconds: u32) {
        self.seconds.set(self.seconds.get() + seconds);
    }

    /// Recorded at the computer, now.
    fn by_hand(&mut self, action: &str) {
        match action.split_once(':').unwrap() {
            ("read" | "again", reading) => {
                let value = if reading.starts_with("toe") || reading.starts_with("camber") {
                    "0.1 °"
                } else {
                    "360 mm"
                };
                self.garage.read(reading, value, &ReadWith { sure: true, ..ReadWith::default() }).unwrap();
            }
            _ => {
                let done = self.garage.done(&[action.to_owned()], &Details::default(), &[]);
                done.unwrap_or_else(|why| panic!("{action}: {why}"));
            }
        }
    }

    /// Delivered now from a phone's queue, made some seconds ago; each call is the queue's next one.
    fn from(&mut self, queue: &str, ago: u64, command: Command) -> Delivered {
        self.sent += 1;
        let delivery = Delivery {
            id: format!("{:032x}", 0xd000_0000 + self.sent),
            device: format!("phone/{queue}"),
            number: i64::try_from(self.sent).unwrap(),
            age_ms: ago * 1000,
            command,
        };
        self.garage.deliver(&delivery).unwrap()
    }

    fn looks_at_what_waits(&mut self) {
        for one in self.garage.waiting().unwrap() {
            self.garage.looked_at(&one.id).unwrap();
        }
    }

    /// As [`Shop::from`]: it is kept to be looked at, with this among the reasons, and nothing is recorded.
    fn is_late(&mut self, ago: u64, command: Command, because: &str) {
        self.is_kept_apart(ago, command, ["recorded after it was made", because]);
    }

    /// The same, where what came later was left aside.
    fn is_late_by_said(&mut self, ago: u64, command: Command, because: &str) {
        self.is_kept_apart(ago, command, ["said after it was made", because]);
    }

    fn is_kept_apart(&mut self, ago: u64, command: Command, because: [&str; 2]) {
        let before = log(&self.garage.job().unwrap()).len();
        let what = command.text();
        let answer = self.from("red", ago, command);
        let refusal = answer.refusal.unwrap_or_else(|| panic!("{what}: recorded"));
        let said: Vec<&str> = refusal.reasons.iter().map(|reason| reason.text.as_str()).collect();
        assert!(said.iter().any(|text| because.iter().all(|part| text.contains(part))), "{what}: {said:?}");
        assert_eq!(
            refusal.hint.as_deref(),
            Some("look at the car, and record by hand what is true of it now")
        );
        assert_eq!(log(&self.garage.job().unwrap()).len(), before);
        assert_eq!(self.garage.waiting().unwrap().last().unwrap().what, what);
    }

    fn passes(&mut self, queue: &str, ago: u64, command: Command) {
        let what = command.text();
        let answer = self.from(queue, ago, command);
        assert!(answer.recorded && !answer.repeated, "{what}: {answer:?}");
    }

    fn road(&mut self) -> Vec<String> {
        let check = check_road(&self.garage.job().unwrap(), axlestand_garage::Units::default());
        check.reasons.into_iter().map(|reason| reason.text).collect()
    }
}

fn read(reading: &str) -> Command {
    Command::Read {
        reading: reading.to_owned(),
        value: "0.1 °".to_owned(),
        instrument: None,
        sure: false,
        correct: false,
    }
}

/// Tightened on a phone, loosened at the computer, and only then delivered: it is loose.
#[test]
fn a_torque_from_before_it_was_loosened_again_does_not_tighten_it() {
    let mut shop = Shop::up_to("do:unchock");
    shop.by_hand("loosen:wheel-nuts.right");
    let loose = shop.road();
    assert!(loose.iter().any(|text| text.contains("broken loose")), "{loose:?}");
    let done = Done {
        rows: vec!["final:wheel-nuts.right".to_owned()],
        torque: Some("110 N·m".to_owned()),
        ..Done::default()
    };
    shop.is_late(30, Command::Done(done), "12:01:00: Break loose: wheel nuts, right");
    assert_eq!(shop.road(), loose);
}

/// Put in on a phone, taken out at the computer since, and only then delivered: it is out.
#[test]
fn what_was_put_in_before_it_was_taken_out_does_not_let_the_car_down() {
    let mut shop = Shop::up_to("do:lower");
    assert!(check_lowering(&shop.garage.job().unwrap()).clear);
    shop.by_hand("undo:wheel-nuts.right");
    shop.is_late(30, Command::done("fit:wheel-nuts.right"), "Take out: wheel nuts, right");
    assert!(!check_lowering(&shop.garage.job().unwrap()).clear);
    // The other side was not touched since.
    shop.by_hand("undo:wheel-nuts.left");
    shop.wait(60);
    shop.passes("red", 30, Command::done("fit:wheel-nuts.left"));
}

/// How the wheels stand is not what it was before an adjuster was turned, a nut loosened or the car raised;
/// nor was the last look or the yard test one of what was done since.
#[test]
fn readings_and_last_looks_from_before_the_work_are_not_of_the_car_as_it_is() {
    let mut shop = Shop::up_to("");
    assert_eq!(shop.road(), Vec::<String>::new());
    shop.garage.turned("tie-rod.left", "1 flat longer").unwrap();
    shop.wait(10);
    shop.is_late(30, read("toe-front"), "turned tie-rod.left: 1 flat longer");
    shop.is_late(30, read("camber-front.left"), "turned tie-rod.left");
    shop.is_late(
        30,
        Command::Turned { adjuster: "tie-rod.right".to_owned(), amount: "1 flat longer".to_owned() },
        "turned tie-rod.left",
    );
    let gauge = Command::Gauge {
        readings: vec![("string.fl.front-edge".to_owned(), "52 mm".to_owned())],
        at: None,
        sure: false,
        instrument: None,
    };
    shop.is_late(30, gauge, "turned tie-rod.left");
    shop.by_hand("loosen:jam-nut.left");
    shop.is_late(5, Command::done("do:set-toe"), "Break loose: tie-rod jam nut, left");
    shop.by_hand("do:set-toe");
    shop.wait(10);
    shop.garage.turned("tie-rod.left", "1 flat shorter").unwrap();
    // Tightened before the rod was turned in it, it does not hold.
    shop.is_late(5, Command::done("final:jam-nut.left"), "turned tie-rod.left: 1 flat shorter");
    shop.by_hand("final:jam-nut.left");
    shop.wait(10);
    shop.is_late(15, Command::done("do:final-look"), "Final torque: tie-rod jam nut, left");
    assert!(
        shop.garage.done(&["do:final-look".to_owned()], &Details::default(), &[]).is_err(),
        "it waits for a look"
    );
    shop.looks_at_what_waits();
    shop.by_hand("do:final-look");
    shop.is_late(15, Command::done("do:yard-test"), "Final torque: tie-rod jam nut, left");
    shop.passes("red", 0, read("toe-front"));
}

/// The car as it stands: a torque that is due at ride height was not reached there, and whoever says that
/// it is down said so before it was raised.
#[test]
fn what_was_done_before_the_car_was_raised_or_came_down_is_not_done_as_it_stands_now() {
    let mut shop = Shop::up_to("do:lower");
    shop.by_hand("do:lower");
    shop.is_late(30, Command::done("final:wheel-nuts.left"), "Lower the car");
    shop.wait(30);
    shop.by_hand("do:raise");
    shop.is_late(10, Command::done("do:lower"), "Raise the front");
}

/// What somebody took back, broke, left out or stated since is a later word on the same.
#[test]
fn every_later_word_on_the_same_counts() {
    let mut shop = Shop::up_to("off:wheel.left");
    shop.by_hand("off:wheel.left");
    shop.garage.undo_entry(None, None).unwrap();
    shop.is_late(20, Command::done("off:wheel.left"), "Taken back: Take off: front wheel, left");
    let state = |ratio: &str| Command::State { rods: None, ratio: Some(ratio.to_owned()) };
    shop.passes("blue", 0, state("15.5"));
    shop.is_late(20, state("16"), "stated steering-ratio: 15.5");
}

/// Tightening heals no break: only a new one, or its coming out, overtakes what somebody saw broken.
#[test]
fn what_broke_is_recorded_though_it_was_tightened_since() {
    let broken = || Command::Broken(Remark { item: "wheel-nuts.left".to_owned(), note: None });
    let mut shop = Shop::up_to("final:wheel-nuts.left");
    shop.by_hand("final:wheel-nuts.left");
    shop.passes("red", 20, broken());
    let job = shop.garage.job().unwrap();
    assert!(
        check_road(&job, axlestand_garage::Units::default())
            .reasons
            .iter()
            .any(|r| r.text.contains("broken"))
    );
    let mut shop = Shop::up_to("undo:wheel-nuts.left");
    shop.by_hand("undo:wheel-nuts.left");
    shop.is_late(20, broken(), "Take out: wheel nuts, left");
}

/// A row that was done once says nothing of what was put together again since: taken out by a phone it is out.
#[test]
fn what_is_taken_apart_again_is_no_repetition() {
    let mut shop = Shop::up_to("do:lower");
    shop.passes("red", 0, Command::done("undo:wheel-nuts.right"));
    let job = shop.garage.job().unwrap();
    assert!(
        check_lowering(&job).reasons.iter().any(|reason| reason.text.contains("wheel nuts, right are out"))
    );
}

#[test]
fn notes_and_what_lies_ready_pass_however_late_they_come() {
    let mut shop = Shop::up_to("fit:tie-rod-nut.left");
    shop.by_hand("fit:tie-rod-nut.left");
    let remark = || Remark { item: "tie-rod-nut.left".to_owned(), note: Some("as told".to_owned()) };
    let about = Some("tie-rod-nut.left".to_owned());
    shop.passes("red", 30, Command::Note { item: about, text: "dry".to_owned() });
    shop.passes("red", 30, Command::Replaced(remark()));
    shop.passes("red", 30, Command::Stuck(remark()));
    assert!(shop.garage.waiting().unwrap().is_empty());
}

/// Two phones without a signal, each at its own corner, deliver one after the other.
#[test]
fn two_phones_at_different_corners_both_pass() {
    let mut shop = Shop::up_to("undo:wheel-nuts.left");
    let corner = |side: &str| [format!("undo:wheel-nuts.{side}"), format!("off:wheel.{side}")];
    let mut rows = corner("left").to_vec();
    shop.wait(60);
    // The second one delivers what it made a minute before the first one did.
    for (at, row) in rows.drain(..).enumerate() {
        shop.passes("red", 10 - u64::try_from(at).unwrap(), Command::done(&row));
    }
    for (at, row) in corner("right").iter().enumerate() {
        shop.passes("blue", 50 - u64::try_from(at).unwrap(), Command::done(row));
    }
    assert!(shop.garage.waiting().unwrap().is_empty());
}

/// The queue's own count goes before its clock, which may be set while entries wait; and what is on its way
/// for seconds is no older for that.
#[test]
fn what_a_queue_made_in_its_order_passes_though_its_clock_was_set() {
    let mut shop = Shop::up_to("undo:wheel-nuts.left");
    shop.passes("red", 0, Command::done("undo:wheel-nuts.left"));
    shop.passes("red", 3_600, Command::done("fit:wheel-nuts.left"));
    shop.passes("red", 50, Command::done("undo:wheel-nuts.left"));
    // Another queue goes by the times.
    let other = shop.from("blue", 20, Command::done("fit:wheel-nuts.left"));
    assert!(other.refusal.unwrap().reasons[0].text.contains("12:01:00: Take out: wheel nuts, left"));
}

/// Nothing was done between two readings of one thing: both are kept, and where they differ a person is told.
#[test]
fn a_reading_from_before_another_one_is_kept_beside_it() {
    let mut shop = Shop::up_to("again:toe-front");
    shop.passes("blue", 0, read("toe-front"));
    shop.passes("red", 30, read("toe-front"));
    assert!(shop.garage.waiting().unwrap().is_empty());
    shop.passes(
        "red",
        30,
        Command::Read {
            reading: "toe-front".to_owned(),
            value: "0.6 °".to_owned(),
            instrument: None,
            sure: false,
            correct: false,
        },
    );
    shop.passes("blue", 30, read("toe-front"));
    assert!(shop.garage.waiting().unwrap()[0].refusal.reasons[0].text.contains("read twice"));
}

/// What another device has recorded already is there before, also where it was recorded later.
#[test]
fn the_same_row_ticked_earlier_by_another_device_is_there_before() {
    let mut shop = Shop::up_to("undo:wheel-nuts.left");
    shop.by_hand("undo:wheel-nuts.left");
    let answer = shop.from("red", 30, Command::done("undo:wheel-nuts.left"));
    assert!(answer.recorded && answer.repeated && answer.refusal.is_none(), "{answer:?}");
}

/// A clock that was set anew says that it was made half a year ago.
#[test]
fn no_entry_is_dated_before_its_job_began() {
    let mut shop = Shop::up_to("do:chock");
    let answer = shop.from("red", u64::from(u32::MAX), Command::Note { item: None, text: "x".to_owned() });
    assert!(answer.recorded);
    let said = "it says that it was made on 2025-10-31 12:01, before the job began: it is recorded with the time at which that was, 2026-05-02 12:00";
    assert!(answer.remarks[0].starts_with(said), "{:?}", answer.remarks);
    assert_eq!(shop.garage.waiting().unwrap()[0].refusal.reasons[0].text, answer.remarks[0]);
    let times: Vec<String> = log(&shop.garage.job().unwrap()).into_iter().map(|line| line.at).collect();
    assert!(times.iter().all(|at| at.starts_with("2026-05-02T12:0")), "{times:?}");
}

/// The wrench was set to what the vehicle file gave then, not to what it gives now.
#[test]
fn a_torque_that_was_changed_since_is_not_the_one_that_was_reached() {
    let mut shop = Shop::up_to("final:wheel-nuts.left");
    let done = |torque: Option<&str>| {
        let torque = torque.map(str::to_owned);
        Command::Done(Done { rows: vec!["final:wheel-nuts.left".to_owned()], torque, ..Done::default() })
    };
    let file = shop.folder.path().join("car.toml");
    let set = |item: &str, value: &str| {
        let source = Some("manual, sheet 40-11".to_owned());
        let (item, field, value) = (item.to_owned(), "torque".to_owned(), value.to_owned());
        set_value(&file, &SetValue { item, field, value, source, ..SetValue::default() }).unwrap();
    };
    // The value of another fastener says nothing of this one.
    set("tie-rod-nut", "44 N·m");
    assert!(shop.from("red", 30, Command::Note { item: None, text: "taken over".to_owned() }).recorded);
    set("wheel-nuts", "115 N·m");
    let late = shop.from("red", 30, done(None)).refusal.unwrap();
    let said = "the vehicle file gives another torque for wheel nuts, left than when it was made";
    assert_eq!(late.reasons.iter().map(|reason| reason.text.as_str()).collect::<Vec<_>>(), [said]);
    shop.wait(60);
    // Known for longer than the entry, it is the one that was reached; typed, it is what was typed.
    shop.garage.job().unwrap();
    shop.wait(60);
    shop.passes("red", 30, done(None));
}

/// Which of two was made last is not known where both were on their way for seconds: a person is told.
#[test]
fn two_devices_that_cross_on_one_item_within_seconds_are_shown() {
    let mut shop = Shop::up_to("undo:wheel-nuts.left");
    shop.passes("red", 0, Command::done("undo:wheel-nuts.left"));
    shop.wait(5);
    shop.passes("red", 0, Command::done("fit:wheel-nuts.left"));
    assert!(shop.garage.waiting().unwrap().is_empty(), "one device by itself");
    shop.passes("blue", 0, Command::done("undo:wheel-nuts.left"));
    let waiting = shop.garage.waiting().unwrap();
    let said = &waiting[0].refusal.reasons[0].text;
    let both = "'Fit: wheel nuts, left' from phone, then 'Take out: wheel nuts, left' from phone";
    assert!(said.starts_with("two devices within seconds: ") && said.contains(both), "{said}");
    shop.wait(6);
    shop.passes("red", 0, Command::done("fit:wheel-nuts.left"));
    assert_eq!(shop.garage.waiting().unwrap().len(), 1);
}

/// Two people say the same, and one takes it back: the other has still done it, so a person is asked.
#[test]
fn what_was_left_aside_is_asked_about_when_what_said_the_same_is_taken_back() {
    let loosen = || Command::done("loosen:wheel-nuts.right");
    for by_phone in [true, false] {
        let mut shop = Shop::up_to("loosen:wheel-nuts.right");
        if by_phone {
            shop.passes("red", 0, loosen());
        } else {
            shop.by_hand("loosen:wheel-nuts.right");
        }
        let answer = shop.from("blue", 0, loosen());
        assert!(answer.repeated && shop.garage.waiting().unwrap().is_empty(), "{answer:?}");
        shop.garage.undo_entry(None, None).unwrap();
        let waiting = shop.garage.waiting().unwrap();
        let said = "it was left aside since the ledger said the same, and that was taken back";
        assert_eq!((waiting.len(), waiting[0].refusal.reasons[0].text.as_str()), (1, said));
        assert_eq!(waiting[0].what, loosen().text());
        // Asked once: said and taken back once more, by somebody else, it is another matter.
        shop.garage.looked_at(&waiting[0].id).unwrap();
        shop.by_hand("loosen:wheel-nuts.right");
        shop.garage.undo_entry(None, None).unwrap();
        assert!(shop.garage.waiting().unwrap().is_empty());
    }
}

/// "It is loose", said a minute ago by one who was told that this is known, is newer than a torque of five minutes
/// ago that comes in only now.
#[test]
fn what_was_left_aside_overtakes_as_if_it_stood_there() {
    let mut shop = Shop::up_to("");
    shop.by_hand("loosen:wheel-nuts.right");
    shop.wait(600);
    let answer = shop.from("blue", 60, Command::done("loosen:wheel-nuts.right"));
    assert!(answer.repeated, "{answer:?}");
    shop.is_late_by_said(300, Command::done("final:wheel-nuts.right"), "Break loose: wheel nuts, right");
    // The other side was spoken of by nobody.
    shop.by_hand("loosen:wheel-nuts.left");
    shop.wait(60);
    shop.passes("red", 30, Command::done("final:wheel-nuts.left"));
}

/// Both lie within one second of the computer's clock; the millisecond tells.
#[test]
fn which_came_last_is_told_by_the_millisecond() {
    let mut shop = Shop::up_to("do:unchock");
    shop.by_hand("loosen:wheel-nuts.right");
    let delivery = |age_ms| Delivery {
        id: format!("{:032x}", 0xe000_0000_u64 + age_ms),
        device: "phone/red".to_owned(),
        number: i64::try_from(age_ms).unwrap(),
        age_ms,
        command: Command::done("final:wheel-nuts.right"),
    };
    let before = shop.garage.deliver(&delivery(1)).unwrap();
    assert!(before.refusal.unwrap().reasons[0].text.contains("recorded after it was made"));
    assert!(shop.garage.deliver(&delivery(0)).unwrap().recorded);
}

/// Of a tick of several rows that was known in part, the known part is asked about as well.
#[test]
fn a_row_of_several_that_was_known_is_asked_about_too() {
    let mut shop = Shop::up_to("loosen:wheel-nuts.left");
    shop.by_hand("loosen:wheel-nuts.left");
    let rows = ["loosen:wheel-nuts.left", "loosen:wheel-nuts.right"].map(str::to_owned).to_vec();
    shop.passes("blue", 0, Command::Done(Done { rows, ..Done::default() }));
    let entries = shop.garage.job().unwrap().state.entries;
    let said = |entry: &&axlestand_ledger::Entry| matches!(&entry.event, axlestand_garage::Event::Done { action, .. } if action.to_string() == "loosen:wheel-nuts.left");
    let id = entries.iter().rev().find(said).unwrap().id.clone();
    shop.garage.undo_entry(Some(&id), None).unwrap();
    let waiting = shop.garage.waiting().unwrap();
    assert_eq!(waiting.len(), 1);
    assert_eq!(waiting[0].what, Command::done("loosen:wheel-nuts.left").text());
}

/// What is read before the work is overtaken by what it has to be read before, and by nothing else.
#[test]
fn a_first_reading_is_not_overtaken_by_other_work() {
    let mut shop = Shop::up_to("read:height-rear.right");
    shop.garage.turned("tie-rod.left", "1 flat longer").unwrap();
    let height = Command::Read {
        reading: "height-rear.right".to_owned(),
        value: "360 mm".to_owned(),
        instrument: None,
        sure: true,
        correct: false,
    };
    shop.passes("red", 30, height);
}
