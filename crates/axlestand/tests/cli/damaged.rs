//! Garages that cannot be used: said with what to do, and left as they are, byte for byte.

use crate::workshop::{Answer, BINARY, Workshop};
use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _};
use std::os::unix::process::CommandExt as _;
use std::path::Path;

/// Every kind of access is refused with `code`, and nothing changes.
fn refused(workshop: &Workshop, code: &str, needle: &str, what: &str) {
    let before = std::fs::read(workshop.database()).unwrap();
    for command in [&["log"][..], &["note", "a word"], &["next"], &["job", "list"]] {
        let plain = workshop.run(command);
        told(&plain, needle, what);
        let json = [command, &["--json"]].concat();
        let answer = workshop.run(&json).expect(2).json();
        assert_eq!(answer["error"]["code"], code, "{what}: {answer}");
        assert!(answer["error"]["hint"].is_string(), "{what}: {answer}");
        assert!(
            std::fs::read(workshop.database()).unwrap() == before,
            "{what}: {command:?} changed the file"
        );
    }
}

fn told(answer: &Answer, needle: &str, what: &str) {
    assert_eq!(answer.code, Some(2), "{what}: {answer:?}");
    assert!(answer.err.contains(needle), "{what}: {answer:?}");
    assert!(answer.err.contains("\n  hint: ") && answer.out.is_empty(), "{what}: {answer:?}");
}

#[test]
fn a_database_that_was_cut_off_anywhere_is_damaged() {
    let workshop = Workshop::with_job();
    let whole = std::fs::read(workshop.database()).unwrap();
    assert!(whole.len() > 4 * 4096);
    for size in [1, 15, 16, 99, 100, 512, 4095, 4096, 4097, 8192, whole.len() / 2, whole.len() - 4096] {
        std::fs::write(workshop.database(), &whole[..size]).unwrap();
        refused(&workshop, "damaged-garage", "is damaged or no database", &format!("{size} bytes"));
    }
    for lost in [1, 10, 512, 2048, 4095] {
        std::fs::write(workshop.database(), &whole[..whole.len() - lost]).unwrap();
        refused(&workshop, "damaged-garage", "is damaged or no database", &format!("{lost} bytes lost"));
    }
    std::fs::write(workshop.database(), b"").unwrap();
    refused(&workshop, "damaged-garage", "the file is empty", "empty");
    // The same file whole again is as good as before.
    std::fs::write(workshop.database(), &whole).unwrap();
    workshop.run(&["note", "whole again"]).expect(0);
}

#[test]
fn an_empty_database_beside_a_log_keeps_the_log() {
    let workshop = Workshop::with_job();
    let log = workshop.path().join("garage/garage.db-wal");
    std::fs::write(workshop.database(), b"").unwrap();
    std::fs::write(&log, vec![7; 5000]).unwrap();
    let start = ["job", "start", "car.toml", "--replace", "link"];
    told(&workshop.run(&start), "the file is empty", "start");
    refused(&workshop, "damaged-garage", "the file is empty", "empty beside a log");
    assert_eq!(std::fs::read(&log).unwrap(), vec![7; 5000]);
}

#[test]
fn a_text_is_no_garage() {
    let workshop = Workshop::empty();
    std::fs::create_dir(workshop.path().join("garage")).unwrap();
    for text in ["x", "this is no database\n", &"no database, but long\n".repeat(1000)] {
        std::fs::write(workshop.database(), text).unwrap();
        refused(&workshop, "damaged-garage", "is damaged or no database", text);
        let start = workshop.run(&["job", "start", "car.toml", "--replace", "link"]);
        told(&start, "is damaged or no database", text);
        assert_eq!(std::fs::read_to_string(workshop.database()).unwrap(), text);
    }
}

#[test]
fn the_database_of_another_program_is_left_alone() {
    let workshop = Workshop::empty();
    std::fs::create_dir(workshop.path().join("garage")).unwrap();
    for sql in
        ["CREATE TABLE recipe (name TEXT); INSERT INTO recipe VALUES ('soup')", "PRAGMA application_id = 7"]
    {
        let _ = std::fs::remove_file(workshop.database());
        rusqlite::Connection::open(workshop.database()).unwrap().execute_batch(sql).unwrap();
        refused(&workshop, "foreign-database", "is a database of another program", sql);
        let before = std::fs::read(workshop.database()).unwrap();
        let start = workshop.run(&["job", "start", "car.toml", "--replace", "link"]);
        told(&start, "is a database of another program", sql);
        assert!(std::fs::read(workshop.database()).unwrap() == before, "{sql}");
    }
}

#[test]
fn a_newer_format_asks_for_the_newer_program() {
    let workshop = Workshop::with_job();
    rusqlite::Connection::open(workshop.database()).unwrap().pragma_update(None, "user_version", 99).unwrap();
    refused(
        &workshop,
        "newer-format",
        "was written by a newer axlestand (format 99; this one knows 2)",
        "99",
    );
}

/// Appends an entry as another program might, past the rules.
fn append(workshop: &Workshop, body: &str) {
    let connection = rusqlite::Connection::open(workshop.database()).unwrap();
    let sql =
        "INSERT INTO entry (id, job, at, body) VALUES ('deadbeef', 'car', '2000-01-01T00:00:00+00:00', ?1)";
    connection.execute(sql, [body]).unwrap();
}

/// A job with such an entry is refused; other jobs of the garage go on.
fn entry_refused(body: &str, needle: &str, hint: &str) {
    let workshop = Workshop::with_job();
    append(&workshop, body);
    let before = std::fs::read(workshop.database()).unwrap();
    for command in [&["log"][..], &["note", "a word"], &["next"], &["check", "road"]] {
        let answer = workshop.run(command);
        told(&answer, "entry 3 of the ledger is not understood: ", body);
        assert!(answer.err.contains(needle) && answer.err.contains(hint), "{body}: {answer:?}");
        assert!(std::fs::read(workshop.database()).unwrap() == before, "{body}");
    }
    workshop.run(&["job", "list"]).expect(0);
    workshop.run(&["job", "start", "car.toml", "--replace", "link", "--name", "other"]).expect(0);
    workshop.run(&["note", "the other job goes on"]).expect(0);
}

#[test]
fn an_entry_of_a_newer_version_asks_for_the_newer_program() {
    entry_refused(r#"{"v":2,"kind":"note","text":"from later"}"#, "version 2", "use that newer axlestand");
    entry_refused(r#"{"v":7,"what":["anything"]}"#, "version 7", "use that newer axlestand");
}

#[test]
fn a_damaged_entry_is_named_and_nothing_is_guessed() {
    let backup = "a copy from your backup";
    for body in [
        "",
        "{",
        "null",
        r#"{"kind":"note","text":"no version"}"#,
        r#"{"v":1,"kind":"wish","text":"no such kind"}"#,
        r#"{"v":1,"kind":"note"}"#,
        r#"{"v":1,"kind":"note","text":"x","more":1}"#,
        r#"{"v":1,"kind":"done","action":"paint:wheel"}"#,
        r#"{"v":1,"kind":"done","action":"fit:wheel-nuts","effects":{"reaches":"heaven"}}"#,
        r#"{"v":-1,"kind":"note","text":"x"}"#,
    ] {
        entry_refused(body, "it is damaged: ", backup);
    }
}

#[test]
fn entries_cannot_be_changed_or_deleted_by_sql() {
    let workshop = Workshop::with_job();
    let connection = rusqlite::Connection::open(workshop.database()).unwrap();
    for sql in ["UPDATE entry SET body = '{}'", "DELETE FROM entry"] {
        let why = connection.execute(sql, []).unwrap_err().to_string();
        assert!(why.contains("entries are never"), "{why}");
    }
    drop(connection);
    assert_eq!(workshop.log().len(), 2);
}

#[test]
fn a_folder_that_cannot_be_made_or_is_a_file_is_told() {
    let workshop = Workshop::empty();
    for garage in ["car.toml", "car.toml/garage", "/proc/garage", "/dev/null"] {
        for command in [&["job", "start", "car.toml", "--replace", "link"][..], &["note", "a word"]] {
            let answer = workshop.run(&[&["--garage", garage], command].concat());
            told(&answer, garage, garage);
        }
    }
    // A folder where the database should be.
    std::fs::create_dir_all(workshop.database()).unwrap();
    told(&workshop.run(&["note", "a word"]), "garage.db", "a folder in its place");
    let car = std::fs::read_to_string(workshop.path().join("car.toml")).unwrap();
    assert_eq!(car, crate::workshop::CORNER);
}

fn set_mode(path: &Path, mode: u32) {
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
}

#[test]
fn a_garage_that_may_only_be_read_is_told_and_stays() {
    let workshop = Workshop::with_job();
    // Root may write everywhere: then the binary runs as nobody, from a place that nobody can reach.
    let root = std::fs::metadata(workshop.path()).unwrap().uid() == 0;
    let binary = workshop.path().join("axlestand");
    std::fs::copy(BINARY, &binary).unwrap();
    let garage = workshop.path().join("garage");
    for (path, mode) in [(workshop.path(), 0o755), (&binary, 0o755), (&garage, 0o555)] {
        set_mode(path, mode);
    }
    set_mode(&workshop.database(), 0o444);
    let before = std::fs::read(workshop.database()).unwrap();
    let run = |arguments: &[&str]| -> Answer {
        let mut command = std::process::Command::new(&binary);
        command.current_dir(workshop.path()).args(arguments).env("AXLESTAND_GARAGE", "garage");
        if root {
            command.uid(65_534).gid(65_534);
        }
        command.output().unwrap().into()
    };
    told(&run(&["note", "a word"]), "garage.db may not be written", "a note");
    told(&run(&["job", "start", "car.toml", "--replace", "link"]), "garage.db may not be written", "a job");
    let set = run(&["car", "set", "jam-nut", "torque", "50 N·m", "--source", "sheet 1", "--car", "car.toml"]);
    if root {
        // The folder belongs to root, so the file cannot be replaced.
        told(&set, "car.toml cannot be written", "the vehicle file");
    }
    let names: Vec<_> = std::fs::read_dir(&garage).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(names, ["garage.db"]);
    assert!(std::fs::read(workshop.database()).unwrap() == before);
    set_mode(&garage, 0o755);
    set_mode(&workshop.database(), 0o644);
    workshop.run(&["note", "it may be written again"]).expect(0);
}
