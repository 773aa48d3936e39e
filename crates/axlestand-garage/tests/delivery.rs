//! What devices deliver: at least once sent, at most once recorded, nothing lost without being seen.

#![expect(clippy::unwrap_used, reason = "a test that cannot be set up has failed")]

use axlestand_garage::delivery::{Command, Delivered, Delivery, Done, Remark};
use axlestand_garage::views::{check_lowering, log, next};
use axlestand_garage::{Clock, Details, Garage, GarageError, NoRandom, StartJob, Store, Units};
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// It is always half past two in the afternoon, in summer time; ids count on from a number.
struct Afternoon(u64);

impl Clock for Afternoon {
    fn now(&mut self) -> String {
        "2026-05-02T14:30:00+02:00".to_owned()
    }

    fn new_id(&mut self) -> Result<String, NoRandom> {
        self.0 += 1;
        Ok(format!("{:032x}", self.0))
    }
}

/// The morning more than a year before, when the job began.
struct Before(Afternoon);

impl Clock for Before {
    fn now(&mut self) -> String {
        "2025-01-02T08:00:00+01:00".to_owned()
    }

    fn new_id(&mut self) -> Result<String, NoRandom> {
        self.0.new_id()
    }
}

/// Opens a garage whose new ids begin after `ids`.
fn open(folder: &Path, ids: u64) -> Garage {
    Garage::open_or_create(folder, Box::new(Afternoon(ids))).unwrap()
}

fn started() -> (TempDir, Garage) {
    let folder = tempfile::tempdir().unwrap();
    let mut garage = Garage::open_or_create(folder.path(), Box::new(Before(Afternoon(0)))).unwrap();
    let car = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../cars/wagtail.toml");
    let replace = vec!["control-arm.left".to_owned()];
    garage.start_job(&StartJob { car, replace, rust: 2, ..StartJob::default() }).unwrap();
    let garage = open(folder.path(), 500_000);
    (folder, garage)
}

fn delivery(id: u128, command: Command) -> Delivery {
    Delivery { id: format!("{id:032x}"), device: "phone/1".to_owned(), number: 1, age_ms: 0, command }
}

fn note(text: &str) -> Command {
    Command::Note { item: None, text: text.to_owned() }
}

fn entries(garage: &mut Garage) -> usize {
    log(&garage.job().unwrap()).len()
}

/// A row that cannot be done yet.
fn too_early(garage: &mut Garage) -> String {
    let job = garage.job().unwrap();
    let all: Vec<String> = job.rows().map(|(_, action)| action.to_string()).collect();
    all.into_iter().rev().find(|action| action.starts_with("final:")).unwrap()
}

#[test]
fn sent_again_it_is_recorded_once_and_answered_the_same() {
    let (_folder, mut garage) = started();
    let before = entries(&mut garage);
    let sent = delivery(0xa1, note("grease on the boot"));
    let first = garage.deliver(&sent).unwrap();
    assert!(first.recorded && !first.repeated);
    for _ in 0..20 {
        let again = garage.deliver(&sent).unwrap();
        assert!(again.recorded && again.repeated);
        assert_eq!(again.entries, first.entries);
    }
    assert_eq!(entries(&mut garage), before + 1);
}

#[test]
fn an_id_in_capitals_is_the_same_id() {
    let (_folder, mut garage) = started();
    let before = entries(&mut garage);
    garage.deliver(&delivery(0xabcdef, note("once"))).unwrap();
    let capitals = Delivery { id: format!("{:032X}", 0xabcdef), ..delivery(0, note("once")) };
    assert!(garage.deliver(&capitals).unwrap().repeated);
    assert_eq!(entries(&mut garage), before + 1);
}

#[test]
fn the_same_id_with_something_else_is_an_error_and_changes_nothing() {
    let (_folder, mut garage) = started();
    garage.deliver(&delivery(0xa2, note("one"))).unwrap();
    let before = entries(&mut garage);
    let why = garage.deliver(&delivery(0xa2, note("two"))).unwrap_err();
    assert!(
        matches!(&why, GarageError::Input(text) if text.contains("was used for something else before")),
        "{why}"
    );
    assert_eq!(entries(&mut garage), before);
    assert!(garage.waiting().unwrap().is_empty());
}

#[test]
fn an_id_or_device_that_is_none_is_refused() {
    let (_folder, mut garage) = started();
    for id in ["", "1", &"g".repeat(32), &"0".repeat(33), "0000000000000000000000000000000\u{e9}"] {
        let wrong = Delivery { id: id.to_owned(), ..delivery(1, note("a")) };
        assert!(matches!(garage.deliver(&wrong), Err(GarageError::Input(_))), "{id}");
    }
    for device in [String::new(), "x".repeat(65)] {
        let wrong = Delivery { device, ..delivery(1, note("a")) };
        assert!(matches!(garage.deliver(&wrong), Err(GarageError::Input(_))));
    }
}

#[test]
fn what_cannot_be_recorded_is_kept_once_until_looked_at() {
    let (_folder, mut garage) = started();
    let too_early = too_early(&mut garage);
    let before = entries(&mut garage);
    let sent = delivery(0xa3, Command::done(&too_early));
    let refused = garage.deliver(&sent).unwrap();
    assert!(!refused.recorded && !refused.refusal.as_ref().unwrap().reasons.is_empty());
    assert_eq!(garage.deliver(&sent).unwrap(), refused);
    let waiting = garage.waiting().unwrap();
    assert_eq!(waiting.len(), 1);
    assert_eq!(waiting[0].what, format!("Done: {too_early}"));
    assert_eq!(entries(&mut garage), before);
    garage.looked_at(&sent.id).unwrap();
    assert!(garage.waiting().unwrap().is_empty());
    // Looked at, it is still known: a late double changes nothing and does not come back.
    assert_eq!(garage.deliver(&sent).unwrap(), refused);
    assert!(garage.waiting().unwrap().is_empty());
}

/// What was made in the cellar an hour ago is written down with that time, by the server's clock.
#[test]
fn the_time_is_when_it_was_made_within_half_a_year() {
    let (_folder, mut garage) = started();
    let at = |garage: &mut Garage, answer: &Delivered| {
        let lines = log(&garage.job().unwrap());
        lines.into_iter().find(|line| line.id == answer.entries[0]).unwrap().at
    };
    let hour = Delivery { age_ms: 3_600_000, ..delivery(0xc1, note("an hour ago")) };
    let answer = garage.deliver(&hour).unwrap();
    assert_eq!(at(&mut garage, &answer), "2026-05-02T13:30:00.000+02:00");
    let ages = Delivery { age_ms: u64::MAX, ..delivery(0xc2, note("ages ago")) };
    let answer = garage.deliver(&ages).unwrap();
    // 183 days before the second of May.
    assert_eq!(at(&mut garage, &answer), "2025-10-31T14:30:00.000+02:00");
}

#[test]
fn a_queue_is_recorded_in_its_order() {
    let (_folder, mut garage) = started();
    for n in 0..30u32 {
        let age_ms = u64::from(30 - n) * 1_000;
        let queued = Delivery {
            number: i64::from(n),
            age_ms,
            ..delivery(u128::from(n) + 0xd00, note(&format!("note {n:02}")))
        };
        garage.deliver(&queued).unwrap();
    }
    let lines = log(&garage.job().unwrap());
    let notes: Vec<&str> =
        lines.iter().filter(|line| line.text.contains("note ")).map(|line| line.at.as_str()).collect();
    assert_eq!(notes.len(), 30);
    assert!(notes.is_sorted(), "{notes:?}");
}

#[test]
fn two_connections_with_the_same_delivery_record_it_once() {
    let (folder, mut garage) = started();
    let before = entries(&mut garage);
    let answers: Vec<Delivered> = std::thread::scope(|scope| {
        let all: Vec<_> = (0..6u32)
            .map(|n| {
                let path = folder.path();
                scope.spawn(move || {
                    let mut own = open(path, 1_000 * (u64::from(n) + 1));
                    own.deliver(&delivery(0xe1, note("from six connections"))).unwrap()
                })
            })
            .collect();
        all.into_iter().map(|one| one.join().unwrap()).collect()
    });
    assert_eq!(answers.iter().filter(|answer| !answer.repeated).count(), 1);
    assert!(answers.iter().all(|answer| answer.recorded && answer.entries == answers[0].entries));
    assert_eq!(entries(&mut garage), before + 1);
}

/// A database of the first format (entries and settings) is brought up when it is opened; its entries
/// stay as they are.
#[test]
fn a_database_of_the_first_format_is_brought_up() {
    let (folder, mut garage) = started();
    let before = entries(&mut garage);
    drop(garage);
    let connection = rusqlite::Connection::open(Store::path_in(folder.path())).unwrap();
    let later = "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT IN ('entry', 'setting') AND name NOT LIKE 'sqlite_%'";
    let tables: Vec<String> = connection
        .prepare(later)
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    assert!(tables.iter().any(|table| table == "delivery"), "{tables:?}");
    connection.execute_batch("PRAGMA foreign_keys = OFF;").unwrap();
    for table in &tables {
        connection.execute_batch(&format!("DROP TABLE {table}")).unwrap();
    }
    connection.pragma_update(None, "user_version", 1).unwrap();
    drop(connection);

    let mut garage = open(folder.path(), 1_000);
    assert_eq!(entries(&mut garage), before);
    assert!(garage.deliver(&delivery(0xf1, note("after it"))).unwrap().recorded);
    assert_eq!(entries(&mut garage), before + 1);
    assert!(garage.devices().unwrap().is_empty());
}

#[test]
fn a_device_is_let_in_once_by_a_code_and_shut_out_by_name() {
    let (_folder, mut garage) = started();
    let code = garage.pairing_secret().unwrap();
    let paired = garage.pair(&code, "the red phone").unwrap().unwrap();
    assert_eq!(garage.pair(&code, "another").unwrap(), None);
    assert_eq!(garage.device_of(&paired.secret).unwrap().as_deref(), Some(paired.device.id.as_str()));
    assert_eq!(garage.device_of(&code).unwrap(), None);
    assert!(matches!(garage.shut_out("the blue phone"), Err(GarageError::Selection(_))));
    let shut = garage.shut_out("the red phone").unwrap();
    assert_eq!(shut.shut.as_deref(), Some("2026-05-02T14:30:00+02:00"));
    assert_eq!(garage.device_of(&paired.secret).unwrap(), None);
    assert!(matches!(garage.shut_out("the red phone"), Err(GarageError::Selection(_))));
}

/// An item that is not there, a remark that cannot be shown: refused and kept, never recorded half.
#[test]
fn what_is_wrong_in_itself_is_kept_too() {
    let (_folder, mut garage) = started();
    let before = entries(&mut garage);
    let remark = Remark { item: "no-such-item.left".to_owned(), note: None };
    for (id, command) in [(0x11, Command::Stuck(remark)), (0x12, note("bell \u{7}")), (0x13, note("   "))] {
        assert!(!garage.deliver(&delivery(id, command)).unwrap().recorded);
    }
    assert_eq!(garage.waiting().unwrap().len(), 3);
    assert_eq!(entries(&mut garage), before);
}

/// The same from another device, as the queue of that device would send it.
fn from(device: &str, id: u128, command: Command) -> Delivery {
    Delivery { device: device.to_owned(), ..delivery(id, command) }
}

/// A row of an operation that can be done at once: nothing in the rules refuses it a second time.
fn plain_row(garage: &mut Garage) -> String {
    let job = garage.job().unwrap();
    let action = job.rows().map(|(_, action)| action.to_string()).find(|action| action.starts_with("do:"));
    action.unwrap()
}

#[test]
fn two_devices_that_tick_one_row_record_it_once() {
    let (_folder, mut garage) = started();
    let row = plain_row(&mut garage);
    let first = garage.deliver(&from("red", 0x21, Command::done(&row))).unwrap();
    assert!(first.recorded && !first.repeated, "{first:?}");
    let before = entries(&mut garage);
    let second = garage.deliver(&from("blue", 0x22, Command::done(&row))).unwrap();
    assert!(second.recorded && second.repeated && second.refusal.is_none(), "{second:?}");
    assert_eq!(garage.deliver(&from("blue", 0x22, Command::done(&row))).unwrap(), second);
    assert_eq!(entries(&mut garage), before);
    assert!(garage.waiting().unwrap().is_empty());
    // Taken back, it is to be done again, and a tick made then counts.
    let undo = Command::TakeBack { entry: Some(first.entries[0].clone()), reason: None };
    garage.deliver(&from("red", 0x23, undo)).unwrap();
    let third = garage.deliver(&from("blue", 0x24, Command::done(&row))).unwrap();
    assert!(third.recorded && !third.repeated, "{third:?}");
}

#[test]
fn of_several_rows_only_those_still_to_do_are_recorded() {
    let (_folder, mut garage) = started();
    let job = garage.job().unwrap();
    let mut rows: Vec<String> =
        job.rows().map(|(_, action)| action.to_string()).filter(|action| action.starts_with("do:")).collect();
    rows.truncate(2);
    garage.deliver(&from("red", 0x31, Command::done(&rows[0]))).unwrap();
    let before = entries(&mut garage);
    let both = Command::Done(Done { rows: rows.clone(), ..Done::default() });
    let answer = garage.deliver(&from("blue", 0x32, both)).unwrap();
    assert!(answer.recorded && !answer.repeated, "{answer:?}");
    assert_eq!(answer.entries.len(), 1);
    assert_eq!(entries(&mut garage), before + 1);
}

/// With a remark or a torque added, the same words are the same thing; other words are another entry.
#[test]
fn the_same_words_from_another_device_agree_and_others_are_kept() {
    let (_folder, mut garage) = started();
    let row = plain_row(&mut garage);
    let with = |note: &str| {
        let note = Some(note.to_owned());
        Command::Done(Done { rows: vec![row.clone()], note, ..Done::default() })
    };
    assert!(!garage.deliver(&from("red", 0x41, with("dry"))).unwrap().repeated);
    let before = entries(&mut garage);
    let agreed = garage.deliver(&from("blue", 0x42, with("dry"))).unwrap();
    assert!(agreed.recorded && agreed.repeated);
    assert_eq!(entries(&mut garage), before);
    let other = garage.deliver(&from("blue", 0x43, with("it was wet"))).unwrap();
    assert!(other.recorded && !other.repeated);
    assert_eq!(entries(&mut garage), before + 1);
}

#[test]
fn readings_of_two_devices_that_do_not_agree_are_both_kept_and_shown() {
    let (_folder, mut garage) = started();
    let read = |value: &str| Command::Read {
        reading: "height-front.left".to_owned(),
        value: value.to_owned(),
        sure: false,
        correct: false,
        instrument: None,
    };
    let before = entries(&mut garage);
    garage.deliver(&from("red", 0x51, read("366 ± 1 mm"))).unwrap();
    // Within what two honest readings differ by: 2·√(1² + 1²) = 2.8 mm.
    assert!(garage.deliver(&from("blue", 0x52, read("368 ± 1 mm"))).unwrap().recorded);
    assert!(garage.waiting().unwrap().is_empty());
    // The same device corrects itself: no question.
    assert!(garage.deliver(&from("blue", 0x53, read("380 ± 1 mm"))).unwrap().recorded);
    assert!(garage.waiting().unwrap().is_empty());
    assert!(garage.deliver(&from("red", 0x54, read("366 ± 1 mm"))).unwrap().recorded);
    assert_eq!(entries(&mut garage), before + 4);
    let waiting = garage.waiting().unwrap();
    assert_eq!(waiting.len(), 1);
    let said = &waiting[0].refusal.reasons[0].text;
    assert!(said.contains("380 ± 1 mm before, from blue, and 366 ± 1 mm now, from red"), "{said}");
    garage.looked_at(&format!("{:032x}", 0x54)).unwrap();
    assert!(garage.waiting().unwrap().is_empty());
}

/// Read on a phone before the work began, delivered after it: the value is kept beside the one that counts.
#[test]
fn a_first_reading_that_comes_too_late_is_kept_with_the_one_that_stands() {
    let (_folder, mut garage) = started();
    let read = |value: &str| Command::Read {
        reading: "height-front.left".to_owned(),
        value: value.to_owned(),
        sure: false,
        correct: false,
        instrument: None,
    };
    garage.deliver(&from("red", 0x61, read("366 mm"))).unwrap();
    for _ in 0..60 {
        let job = garage.job().unwrap();
        if job.state.car_state.is_some() {
            break;
        }
        let next = axlestand_garage::views::next(&job, 1, Default::default()).unwrap();
        let action = next.rows[0].action.clone();
        let command = match action.strip_prefix("read:") {
            Some(reading) => {
                let value = if reading.starts_with("toe") || reading.starts_with("camber") {
                    "0.1 °"
                } else {
                    "300 mm"
                };
                Command::Read {
                    reading: reading.to_owned(),
                    value: value.to_owned(),
                    sure: false,
                    correct: false,
                    instrument: None,
                }
            }
            None => Command::done(&action),
        };
        let id = u128::from(u32::try_from(entries(&mut garage)).unwrap()) + 0x6000;
        let answer = garage.deliver(&from("red", id, command)).unwrap();
        assert!(answer.recorded, "{action}: {answer:?}");
    }
    assert!(garage.job().unwrap().state.car_state.is_some());
    let late = garage.deliver(&from("blue", 0x62, read("371 mm"))).unwrap();
    assert!(!late.recorded);
    let waiting = garage.waiting().unwrap();
    assert_eq!(waiting[0].what, "Read: height-front.left = 371 mm");
    assert!(waiting[0].refusal.reasons.iter().any(|why| why.text.contains("as 366 mm")), "{waiting:?}");
}

/// At the computer as well, unless something is added to it or it was taken back.
#[test]
fn an_operation_that_counts_as_done_is_not_recorded_twice() {
    let (_folder, mut garage) = started();
    let row = plain_row(&mut garage);
    let done = |garage: &mut Garage, note: Option<&str>| {
        let details = Details { note: note.map(str::to_owned), ..Details::default() };
        garage.done(std::slice::from_ref(&row), &details, &[]).map(|recorded| recorded.ids)
    };
    let first = done(&mut garage, None).unwrap();
    let before = entries(&mut garage);
    let why = done(&mut garage, None).unwrap_err().to_string();
    let said = format!("it is done already: 2026-05-02 14:30, entry {}", &first[0][..8]);
    assert!(why.contains(&said), "{why}");
    assert_eq!(entries(&mut garage), before);
    done(&mut garage, Some("a second lot came")).unwrap();
    garage.undo_entry(None, None).unwrap();
    garage.undo_entry(Some(&first[0]), None).unwrap();
    done(&mut garage, None).unwrap();
}

/// What waits for one job closes the gates of another one on the same car, though the first was never worked on.
#[test]
fn what_waits_for_a_look_counts_for_every_job_on_the_car() {
    let (folder, mut garage) = started();
    let first = garage.current_job().unwrap();
    let refused =
        Command::Done(Done { rows: vec!["undo:arm-pinch-bolt.left".to_owned()], ..Done::default() });
    assert!(garage.deliver(&delivery(1, refused)).unwrap().refusal.is_some());
    let car = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../cars/wagtail.toml");
    let replace = vec!["tie-rod-end.right".to_owned()];
    let name = Some("second".to_owned());
    garage.start_job(&StartJob { car, replace, rust: 2, name, ..StartJob::default() }).unwrap();
    let job = garage.job().unwrap();
    // Whoever started a job keeps to it; one opened afresh goes from job to job.
    let mut garage = open(folder.path(), 900_000);
    let said = |garage: &Garage| {
        let beside = garage.neighbours(&job).unwrap();
        let lowering = check_lowering(&job).beside(&beside).clear;
        let rolling = next(&job, 1, Units::default()).unwrap().beside(garage, &job).unwrap().do_not_roll;
        (lowering, rolling)
    };
    let (lowering, rolling) = said(&garage);
    assert!(!lowering && rolling.unwrap().contains("1 entry from a phone needs a look"));
    garage.use_job(&first).unwrap();
    let waits = garage.waiting().unwrap();
    garage.looked_at(&waits.first().unwrap().id).unwrap();
    assert_eq!(said(&garage), (true, None));
}
