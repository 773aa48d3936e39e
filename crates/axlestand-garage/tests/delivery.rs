//! What devices deliver: at least once sent, at most once recorded, nothing lost without being seen.

#![expect(clippy::unwrap_used, reason = "a test that cannot be set up has failed")]

use axlestand_garage::delivery::{Command, Delivered, Delivery, Done, Remark};
use axlestand_garage::views::log;
use axlestand_garage::{Clock, Garage, GarageError, NoRandom, StartJob, Store};
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

/// Opens a garage whose new ids begin after `ids`.
fn open(folder: &Path, ids: u64) -> Garage {
    Garage::open_or_create(folder, Box::new(Afternoon(ids))).unwrap()
}

fn started() -> (TempDir, Garage) {
    let folder = tempfile::tempdir().unwrap();
    let mut garage = open(folder.path(), 0);
    let car = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../cars/wagtail.toml");
    let replace = vec!["control-arm.left".to_owned()];
    garage.start_job(&StartJob { car, replace, rust: 2, ..StartJob::default() }).unwrap();
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

/// The first row that can be done now, and one that cannot.
fn rows(garage: &mut Garage) -> (String, String) {
    let job = garage.job().unwrap();
    let all: Vec<String> = job.rows().map(|(_, action)| action.to_string()).collect();
    let first = all.iter().find(|action| !action.starts_with("read:") && !action.starts_with("again:"));
    let last = all.iter().rev().find(|action| action.starts_with("final:"));
    (first.unwrap().clone(), last.unwrap().clone())
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
    let (_, too_early) = rows(&mut garage);
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
    assert!(matches!(garage.looked_at(&sent.id), Err(GarageError::Selection(_))));
}

#[test]
fn two_devices_that_tick_the_same_agree() {
    let (_folder, mut garage) = started();
    let (first, _) = rows(&mut garage);
    assert!(garage.deliver(&delivery(0xb1, Command::done(&first))).unwrap().recorded);
    let before = entries(&mut garage);
    let second = garage.deliver(&delivery(0xb2, Command::done(&first))).unwrap();
    assert!(second.recorded && second.refusal.is_none(), "{second:?}");
    assert_eq!(entries(&mut garage), before);
    assert!(garage.waiting().unwrap().is_empty());
    assert!(garage.deliver(&delivery(0xb2, Command::done(&first))).unwrap().recorded);
    // With more than a tick it says something that the ledger does not have: somebody has to look.
    let more = Done { rows: vec![first], torque: Some("50 N·m".to_owned()), ..Done::default() };
    assert!(!garage.deliver(&delivery(0xb3, Command::Done(more))).unwrap().recorded);
    assert_eq!(garage.waiting().unwrap().len(), 1);
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
    assert_eq!(at(&mut garage, &answer), "2026-05-02T13:30:00+02:00");
    let ages = Delivery { age_ms: u64::MAX, ..delivery(0xc2, note("ages ago")) };
    let answer = garage.deliver(&ages).unwrap();
    // 183 days before the second of May.
    assert_eq!(at(&mut garage, &answer), "2025-10-31T14:30:00+02:00");
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
