//! `garage check`, `garage backup`, `garage restore`: what is wrong is found and left as it is, and a
//! backup brings back everything that was acknowledged.

use crate::workshop::{Answer, Workshop};
use std::path::Path;

/// Any name of a photo, and the least that counts as a whole JPEG for the check.
const PHOTO: &str = "0123456789abcdef0123456789abcdef.jpg";
const JPEG: &[u8] = &[0xFF, 0xD8, 1, 2, 3, 0xFF, 0xD9];

/// A job of which an entry names a photo that is there.
fn with_photo() -> Workshop {
    let workshop = Workshop::with_job();
    let photos = workshop.path().join("garage/photos");
    std::fs::create_dir(&photos).unwrap();
    std::fs::write(photos.join(PHOTO), JPEG).unwrap();
    append(&workshop, &format!(r#"{{"v":1,"kind":"pictured","file":"{PHOTO}"}}"#));
    std::fs::copy(workshop.path().join("car.toml"), workshop.path().join("garage/own.toml")).unwrap();
    workshop
}

fn sql(workshop: &Workshop, sql: &str) {
    rusqlite::Connection::open(workshop.database()).unwrap().execute_batch(sql).unwrap();
}

fn append(workshop: &Workshop, body: &str) {
    sql(
        workshop,
        &format!(
            "INSERT INTO entry (id, job, at, body) \
             VALUES (hex(randomblob(16)), 'car', '2000-01-01T00:00:00+00:00', '{body}')"
        ),
    );
}

/// The kinds of what the check finds, which has to say where and what to do, and change nothing.
fn found(workshop: &Workshop) -> Vec<String> {
    let before = std::fs::read(workshop.database()).unwrap();
    let plain = workshop.run(&["garage", "check"]);
    let view = workshop.run(&["garage", "check", "--json"]).json();
    assert!(std::fs::read(workshop.database()).unwrap() == before, "the check changed the file");
    let findings = view["findings"].as_array().unwrap();
    assert_eq!(plain.code, Some(i32::from(!findings.is_empty())), "{plain:?}");
    assert_eq!(view["good"], findings.is_empty());
    for finding in findings {
        for key in ["place", "text", "hint"] {
            let said = finding[key].as_str().unwrap();
            assert!(said.len() > 5 && plain.out.contains(said), "{said}: {plain:?}");
        }
    }
    findings.iter().map(|finding| finding["kind"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn a_sound_garage_is_called_sound_and_each_fault_is_found() {
    assert_eq!(found(&Workshop::with_job()), Vec::<String>::new());
    assert_eq!(found(&with_photo()), Vec::<String>::new());
    let faults: [(&str, &[&str]); 8] = [
        (r#"INSERT INTO entry VALUES (9, 'a', 'car', '', '{"v":1,"kind":"note","text":"x"}')"#, &["hole"]),
        (r#"INSERT INTO entry VALUES (4, 'a', 'car', '', '{"v":1,"kind":"wish"}')"#, &["entry"]),
        (r#"INSERT INTO entry VALUES (4, 'a', 'car', '', '{"v":8,"kind":"wish"}')"#, &["entry"]),
        (
            r#"INSERT INTO entry VALUES (4, 'a', 'car', '', '{"v":1,"kind":"withdrawn","entry":"zz"}')"#,
            &["entry"],
        ),
        // A job that was never started folds to nothing.
        (r#"INSERT INTO entry VALUES (4, 'a', 'ghost', '', '{"v":1,"kind":"note","text":"x"}')"#, &["job"]),
        ("DROP TRIGGER entries_remain; DELETE FROM entry WHERE seq = 2", &["guard", "hole"]),
        (
            "INSERT INTO delivery VALUES (1, 'd', 'car', 'phone', 1, '', '{}', 'recorded', 'absent')",
            &["delivery"],
        ),
        ("PRAGMA foreign_keys = OFF; INSERT INTO looked_at VALUES ('absent', '')", &["damaged"]),
    ];
    for (fault, kinds) in faults {
        let workshop = with_photo();
        sql(&workshop, fault);
        assert_eq!(found(&workshop), kinds, "{fault}");
    }
    let workshop = with_photo();
    let photo = workshop.path().join("garage/photos").join(PHOTO);
    for torn in [&b""[..], &JPEG[..4]] {
        std::fs::write(&photo, torn).unwrap();
        assert_eq!(found(&workshop), ["photo"]);
    }
    std::fs::remove_file(&photo).unwrap();
    assert_eq!(found(&workshop), ["photo"]);
}

#[test]
fn damaged_pages_are_found_and_never_called_sound() {
    let workshop = Workshop::with_job();
    let (whole, log) = (std::fs::read(workshop.database()).unwrap(), workshop.log());
    let (mut refused, mut healed) = (0, 0);
    // The head of each page, where SQLite keeps what holds the page together (its file format, 1.6).
    for page in 1..whole.len() / 4096 {
        let mut torn = whole.clone();
        torn[page * 4096..page * 4096 + 8].fill(0x5A);
        std::fs::write(workshop.database(), &torn).unwrap();
        assert!(found(&workshop).iter().any(|kind| kind == "damaged"), "page {page}");
        let answer = workshop.run(&["garage", "backup", "torn.backup"]);
        if answer.code == Some(1) {
            // An index, made anew for the backup, or the inside of a text: every entry is in it all the
            // same, and what is wrong is told.
            assert!(answer.out.contains("the garage itself: it is damaged"), "page {page}: {answer:?}");
            let restored = workshop.run(&["--garage", "healed", "garage", "restore", "torn.backup"]);
            if restored.code == Some(0) {
                let kept = workshop.run(&["--garage", "healed", "log", "--json"]).expect(0).json();
                let ids: Vec<_> = kept.as_array().unwrap().iter().map(|line| line["id"].clone()).collect();
                assert_eq!(ids, log, "page {page}");
                healed += 1;
            } else {
                assert!(answer.out.contains("job car: "), "page {page}: {answer:?}");
            }
            std::fs::remove_file(workshop.path().join("torn.backup")).unwrap();
            std::fs::remove_dir_all(workshop.path().join("healed")).unwrap();
        } else {
            refused += 1;
            assert!(answer.err.contains("is damaged or no database"), "page {page}: {answer:?}");
            assert!(!workshop.path().join("torn.backup").exists(), "page {page}: it was kept");
        }
        assert!(found(&workshop).iter().any(|kind| kind == "damaged"), "page {page}");
    }
    assert!(refused > 3 && healed > 3, "{refused} refused, {healed} healed");
    std::fs::write(workshop.database(), &whole[..4096 * 3]).unwrap();
    assert_eq!(found(&workshop), ["damaged"]);
}

#[test]
fn a_backup_brings_everything_back_into_a_new_folder() {
    let workshop = with_photo();
    workshop.run(&["garage", "backup", "all.backup"]).expect(0);
    workshop.run(&["note", "after the backup"]).expect(0);
    let restored = workshop.run(&["--garage", "deep/new", "garage", "restore", "all.backup"]).expect(0);
    assert!(restored.out.contains("2 files"), "{restored:?}");
    let log = |garage: &str| workshop.run(&["--garage", garage, "log"]).expect(0).out;
    assert_eq!(log("garage"), format!("{}{}", log("deep/new"), log("garage").lines().last().unwrap()) + "\n");
    let new = workshop.path().join("deep/new");
    assert_eq!(std::fs::read(new.join("photos").join(PHOTO)).unwrap(), JPEG);
    let own = std::fs::read_to_string(new.join("own.toml")).unwrap();
    assert_eq!(own, crate::workshop::CORNER);
    let check = workshop.run(&["--garage", "deep/new", "garage", "check", "--json"]).expect(0).json();
    assert_eq!((&check["entries"], &check["photos"]), (&3.into(), &1.into()));
    workshop.run(&["--garage", "deep/new", "note", "and it goes on"]).expect(0);
}

#[test]
fn a_backup_holds_all_that_was_acknowledged_before_it_while_others_write() {
    let workshop = Workshop::with_job();
    for round in 0..4 {
        let before = workshop.log();
        let file = format!("{round}.backup");
        let mut writers: Vec<_> =
            (0..4).map(|_| workshop.command(&["--json", "note", "meanwhile"]).spawn().unwrap()).collect();
        workshop.run(&["garage", "backup", &file]).expect(0);
        for writer in &mut writers {
            assert!(writer.wait().unwrap().success());
        }
        let folder = format!("new-{round}");
        workshop.run(&["--garage", &folder, "garage", "restore", &file]).expect(0);
        let log = workshop.run(&["--garage", &folder, "log", "--json"]).expect(0).json();
        let kept: Vec<_> = log.as_array().unwrap().iter().map(|line| line["id"].clone()).collect();
        // A beginning of the ledger, at least as long as it was.
        let whole = workshop.log();
        assert!(kept.len() >= before.len() && kept == whole[..kept.len()], "{round}");
    }
}

#[test]
fn an_older_backup_and_other_files_stay() {
    let workshop = with_photo();
    let backup = workshop.path().join("all.backup");
    workshop.run(&["garage", "backup", "all.backup"]).expect(0);
    let first = std::fs::read(&backup).unwrap();
    workshop.run(&["note", "later"]).expect(0);
    let told = |answer: &Answer| assert!(answer.err.contains("\n  hint: "), "{answer:?}");
    told(&workshop.run(&["garage", "backup", "all.backup"]).expect(2));
    assert!(std::fs::read(&backup).unwrap() == first);
    for other in ["car.toml", "garage", "garage/garage.db", "absent/all.backup", "/dev/null"] {
        told(&workshop.run(&["garage", "backup", other, "--replace"]).expect(2));
    }
    workshop.run(&["garage", "backup", "all.backup", "--replace"]).expect(0);
    let second = std::fs::read(&backup).unwrap();
    assert!(second != first);
    // A garage with faults is backed up, and never over a backup of the time before.
    std::fs::remove_file(workshop.path().join("garage/photos").join(PHOTO)).unwrap();
    let kept = workshop.run(&["garage", "backup", "all.backup", "--replace"]).expect(2);
    assert!(kept.err.contains("the older backup all.backup was left as it is"), "{kept:?}");
    assert!(std::fs::read(&backup).unwrap() == second);
    let faulty = workshop.run(&["garage", "backup", "faulty.backup"]).expect(1);
    assert!(faulty.out.contains(PHOTO), "{faulty:?}");
    let names = names_in(workshop.path());
    assert!(!names.iter().any(|name| name.ends_with(".new")), "{names:?}");
    assert_eq!(std::fs::read_to_string(workshop.path().join("car.toml")).unwrap(), crate::workshop::CORNER);
}

#[test]
fn nothing_is_restored_over_a_garage_or_from_what_is_no_whole_backup() {
    let workshop = with_photo();
    workshop.run(&["garage", "backup", "all.backup"]).expect(0);
    let log = workshop.log();
    for folder in ["garage", "."] {
        let answer = workshop.run(&["--garage", folder, "garage", "restore", "all.backup"]).expect(2);
        assert!(answer.err.contains("is not empty") && answer.err.contains("hint: "), "{answer:?}");
    }
    assert_eq!(workshop.log(), log);
    let whole = std::fs::read(workshop.path().join("all.backup")).unwrap();
    let restore = ["--garage", "new", "garage", "restore", "cut.backup"];
    for size in [0, 1, 99, 100, 4096, 8192, whole.len() / 2, whole.len() - 4096, whole.len() - 1] {
        std::fs::write(workshop.path().join("cut.backup"), &whole[..size]).unwrap();
        let answer = workshop.run(&restore).expect(2);
        assert!(answer.err.contains("cut.backup cannot be restored"), "{size}: {answer:?}");
        assert!(!workshop.path().join("new").exists(), "{size}");
    }
    for other in ["car.toml", "garage/garage.db", "absent", "garage"] {
        let answer = workshop.run(&["--garage", "new", "garage", "restore", other]).expect(2);
        assert!(answer.err.contains("cannot be restored") && answer.err.contains("hint: "), "{answer:?}");
    }
    // A backup is no garage to work in.
    std::fs::create_dir(workshop.path().join("new")).unwrap();
    std::fs::write(workshop.path().join("new/garage.db"), &whole).unwrap();
    let answer = workshop.run(&["--garage", "new", "note", "a word", "--json"]).expect(2).json();
    assert_eq!(answer["error"]["code"], "is-backup");
    assert!(std::fs::read(workshop.path().join("new/garage.db")).unwrap() == whole);
}

#[test]
fn a_full_disk_leaves_neither_half_a_backup_nor_half_a_garage() {
    let workshop = with_photo();
    workshop.run(&["garage", "backup", "all.backup"]).expect(0);
    // A limit of 24 kB for each file; the signal that goes with it is ignored, so that writing fails as
    // on a full disk.
    let limited = "trap '' XFSZ; ulimit -f 48; exec \"$AXLESTAND\"";
    for command in ["garage backup second.backup", "--garage new garage restore all.backup"] {
        let answer = workshop.shell(&format!("{limited} {command}")).expect(2);
        assert!(answer.err.contains("hint: "), "{answer:?}");
    }
    let names = names_in(workshop.path());
    assert_eq!(names, ["all.backup", "car.toml", "garage"]);
    assert_eq!(found(&workshop), Vec::<String>::new());
    workshop.run(&["--garage", "new", "garage", "restore", "all.backup"]).expect(0);
}

fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// The laptop is dead, the stick has the backup and the car's file: the job is told where that lies now, and values go
/// into it again.
#[test]
fn a_job_is_told_where_its_vehicle_file_is_now() {
    let workshop = Workshop::with_job();
    let (old, stick) = (workshop.path().join("car.toml"), workshop.path().join("stick"));
    std::fs::create_dir(&stick).unwrap();
    std::fs::rename(&old, stick.join("car.toml")).unwrap();
    let checked = workshop.run(&["garage", "check"]).expect(0);
    assert!(checked.out.contains("its vehicle file is not at"), "{checked:?}");
    let value = ["car", "set", "wheel-nuts", "torque", "110 N·m", "--source", "sheet 1"];
    let lost = workshop.run(&value).expect(2);
    assert!(lost.err.contains("say where it is now: axlestand job car FILE"), "{lost:?}");
    workshop.run(&["job", "car", "stick/none.toml"]).expect(2);
    std::fs::write(workshop.path().join("other.toml"), "format = 1\n[car]\nname = \"other\"\n").unwrap();
    workshop.run(&["done", "1"]).expect(0);
    let other = workshop.run(&["job", "car", "other.toml"]).expect(2);
    assert!(other.err.contains("is not this job's car"), "{other:?}");
    let told = workshop.run(&["job", "car", "stick/car.toml"]).expect(0);
    assert!(told.out.contains("stick/car.toml now"), "{told:?}");
    workshop.run(&value).expect(0);
    assert!(std::fs::read_to_string(stick.join("car.toml")).unwrap().contains("sheet 1"));
    assert!(!old.exists());
    let checked = workshop.run(&["garage", "check"]).expect(0);
    assert!(!checked.out.contains("vehicle file"), "{checked:?}");
    assert!(workshop.run(&["log"]).expect(0).out.contains("vehicle file is at "));
}
