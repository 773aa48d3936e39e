//! Databases of older formats, and two versions of the program at one garage.

use crate::phone::{Phone, ask, serve};
use crate::workshop::{Chance, Workshop};
use rusqlite::Connection;

/// What format 2 added to format 1, taken away again.
const BACK_TO_1: &str = "DROP TABLE looked_at; DROP TABLE delivery; DROP TABLE pairing; DROP TABLE device; \
                         PRAGMA user_version = 1;";

/// A garage of format 1 with 12 entries, and their ids.
fn of_format_1() -> (Workshop, Vec<String>) {
    let workshop = Workshop::with_job();
    for _ in 0..10 {
        workshop.run(&["note", "from before there were devices"]).expect(0);
    }
    let log = workshop.log();
    let connection = Connection::open(workshop.database()).unwrap();
    connection.execute_batch(BACK_TO_1).unwrap();
    (workshop, log)
}

fn format_of(workshop: &Workshop) -> i64 {
    let connection = Connection::open(workshop.database()).unwrap();
    connection.pragma_query_value(None, "user_version", |row| row.get(0)).unwrap()
}

/// Everything is there in the format of today, and it goes on.
fn all_is_there(workshop: &Workshop, log: &[String]) {
    assert_eq!(workshop.log(), log);
    assert_eq!(format_of(workshop), 2);
    workshop.run(&["garage", "check"]).expect(0);
    workshop.run(&["note", "and it goes on"]).expect(0);
    let (mut server, port) = serve(workshop);
    assert!(Phone::new(1).send(port), "a phone can deliver");
    server.kill().unwrap();
    server.wait().unwrap();
}

#[test]
fn a_garage_of_format_1_is_brought_up_with_everything_in_it() {
    let (workshop, log) = of_format_1();
    assert_eq!(format_of(&workshop), 1);
    all_is_there(&workshop, &log);
}

#[test]
fn a_garage_of_format_1_is_brought_up_once_by_six_at_once() {
    let (workshop, log) = of_format_1();
    let children: Vec<_> = (0..6).map(|_| workshop.command(&["log", "--json"]).spawn().unwrap()).collect();
    for child in children {
        let answer: crate::workshop::Answer = child.wait_with_output().unwrap().into();
        assert_eq!(answer.expect(0).json().as_array().unwrap().len(), log.len());
    }
    all_is_there(&workshop, &log);
}

#[test]
fn bringing_up_is_all_or_nothing_under_twenty_kills() {
    let mut chance = Chance(9);
    let (whole, log) = of_format_1();
    let database = std::fs::read(whole.database()).unwrap();
    let (mut old, mut new) = (0, 0);
    for _ in 0..20 {
        std::fs::write(whole.database(), &database).unwrap();
        let mut child = whole.command(&["log"]).spawn().unwrap();
        std::thread::sleep(std::time::Duration::from_micros(chance.below(20_000)));
        child.kill().unwrap();
        child.wait().unwrap();
        let names: Vec<String> = {
            let connection = Connection::open(whole.database()).unwrap();
            let mut query = connection
                .prepare("SELECT name FROM sqlite_schema WHERE name IN ('delivery', 'looked_at', 'device', 'pairing')")
                .unwrap();
            query.query_map([], |row| row.get(0)).unwrap().collect::<Result<_, _>>().unwrap()
        };
        match (format_of(&whole), names.len()) {
            (1, 0) => old += 1,
            (2, 4) => new += 1,
            other => panic!("half brought up: {other:?}"),
        }
        assert_eq!(whole.log(), log);
        whole.run(&["garage", "check"]).expect(0);
        let _ = std::fs::remove_file(whole.path().join("garage/garage.db-wal"));
    }
    assert!(old > 0, "{old} killed before, {new} after");
}

/// The log of the bringing up, cut anywhere.
#[test]
fn power_that_fails_while_a_garage_is_brought_up_leaves_the_old_or_the_new_one() {
    let (workshop, log) = of_format_1();
    let open = Connection::open(workshop.database()).unwrap();
    let _: i64 = open.query_row("SELECT count(*) FROM entry", [], |row| row.get(0)).unwrap();
    let database = std::fs::read(workshop.database()).unwrap();
    workshop.run(&["log"]).expect(0);
    let whole = std::fs::read(workshop.path().join("garage/garage.db-wal")).unwrap();
    let dark = Workshop::empty();
    let garage = dark.path().join("garage");
    std::fs::create_dir(&garage).unwrap();
    let mut chance = Chance(13);
    for round in 0..25 {
        let cut = if round == 0 { whole.len() } else { chance.below(whole.len() as u64) as usize };
        let _ = std::fs::remove_file(garage.join("garage.db-shm"));
        std::fs::write(dark.database(), &database).unwrap();
        std::fs::write(garage.join("garage.db-wal"), &whole[..cut]).unwrap();
        assert_eq!(format_of(&dark), if round == 0 { 2 } else { 1 }, "cut at {cut} of {}", whole.len());
        std::fs::write(dark.database(), &database).unwrap();
        std::fs::write(garage.join("garage.db-wal"), &whole[..cut]).unwrap();
        assert_eq!(dark.log(), log, "cut at {cut}");
        assert_eq!(format_of(&dark), 2);
        dark.run(&["garage", "check"]).expect(0);
    }
}

#[test]
fn a_backup_of_format_1_is_restored_and_brought_up() {
    let workshop = Workshop::with_job();
    workshop.run(&["note", "kept"]).expect(0);
    let log = workshop.log();
    workshop.run(&["garage", "backup", "old.backup"]).expect(0);
    let backup = Connection::open(workshop.path().join("old.backup")).unwrap();
    backup.execute_batch(BACK_TO_1).unwrap();
    backup.execute_batch("DROP TABLE content_sum").unwrap();
    backup.close().unwrap();
    std::fs::remove_dir_all(workshop.path().join("garage")).unwrap();
    workshop.run(&["garage", "restore", "old.backup"]).expect(0);
    all_is_there(&workshop, &log);
}

#[test]
fn a_format_that_never_was_is_damaged_and_left_alone() {
    for format in [0, -1] {
        let (workshop, _) = of_format_1();
        Connection::open(workshop.database()).unwrap().pragma_update(None, "user_version", format).unwrap();
        let before = std::fs::read(workshop.database()).unwrap();
        let answer = workshop.run(&["note", "a word", "--json"]).expect(2).json();
        assert_eq!(answer["error"]["code"], "damaged-garage", "{answer}");
        assert!(std::fs::read(workshop.database()).unwrap() == before, "format {format}");
    }
}

/// A phone's server is of the old version, and a newer program has brought the garage up.
#[test]
fn a_server_whose_garage_a_newer_program_has_brought_up_acknowledges_nothing() {
    let workshop = Workshop::with_job();
    let (mut server, port) = serve(&workshop);
    let mut phone = Phone::new(1);
    assert!(phone.send(port));
    let newer = Connection::open(workshop.database()).unwrap();
    newer.pragma_update(None, "user_version", 3).unwrap();
    let count = || -> i64 { newer.query_row("SELECT count(*) FROM entry", [], |row| row.get(0)).unwrap() };
    let entries = count();
    let answer = ask(port, &phone.next()).unwrap();
    assert_eq!(answer["answers"], serde_json::json!([]), "{answer}");
    let later = answer["later"].as_str().unwrap();
    assert!(later.contains("written by a newer axlestand (format 3; this one knows 2)"), "{answer}");
    assert_eq!(count(), entries);
    // The newer program serves now (here the mark is put back): the phone sends it again.
    newer.pragma_update(None, "user_version", 2).unwrap();
    assert!(phone.send(port));
    assert_eq!(count(), entries + 1);
    server.kill().unwrap();
    server.wait().unwrap();
}

/// Another garage's database is put in the place of one that a program has open.
#[cfg(unix)]
#[test]
fn a_file_put_in_the_place_of_a_database_in_use_is_not_written_over() {
    let (workshop, other) = (Workshop::with_job(), Workshop::with_job());
    for _ in 0..40 {
        other.run(&["note", &"another garage ".repeat(100)]).expect(0);
    }
    let log = other.log();
    let held = Connection::open(workshop.database()).unwrap();
    held.pragma_update(None, "user_version", 2).unwrap();
    held.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(())).unwrap();
    let put = workshop.path().join("put");
    std::fs::copy(other.database(), &put).unwrap();
    std::fs::rename(&put, workshop.database()).unwrap();
    let before = std::fs::read(workshop.database()).unwrap();
    let tries: [&[&str]; 3] = [&["note", "where does it go"], &["serve", "--port", "0"], &["log"]];
    for arguments in tries {
        let answer = workshop.run(&[arguments, &["--json"]].concat()).expect(2).json();
        assert_eq!(answer["error"]["code"], "replaced", "{arguments:?}: {answer}");
        assert!(std::fs::read(workshop.database()).unwrap() == before, "{arguments:?}: written over");
    }
    // Once nobody has the old one open, the other one is a garage like any.
    held.close().unwrap();
    assert_eq!(workshop.log(), log);
    workshop.run(&["note", "and it goes on"]).expect(0);
}

/// A garage is put back from a copy while a server looks at the old file: what is recorded then goes into
/// the new one, and the server takes none of it along when it lets go of the old one.
#[cfg(unix)]
#[test]
fn what_is_recorded_in_a_file_just_put_there_is_not_lost_when_others_let_go_of_the_old_one() {
    let workshop = Workshop::with_job();
    let (mut server, port) = serve(&workshop);
    let put = workshop.path().join("put");
    std::fs::copy(workshop.database(), &put).unwrap();
    std::fs::rename(&put, workshop.database()).unwrap();
    let recorded = workshop.run(&["note", "into the new file", "--json"]).expect(0).recorded();
    // The server looks four times a second, so that it has let go by then.
    std::thread::sleep(std::time::Duration::from_millis(1500));
    assert!(recorded.iter().all(|id| workshop.log().contains(id)), "lost");
    assert!(Phone::new(1).send(port), "it goes on with the new file");
    server.kill().unwrap();
    server.wait().unwrap();
    assert!(recorded.iter().all(|id| workshop.log().contains(id)), "lost");
}
