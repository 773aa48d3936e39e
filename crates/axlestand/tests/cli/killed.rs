//! Processes killed in the middle of writing: what was acknowledged is there, once.

use crate::phone::{Phone, ask, serve};
use crate::workshop::{Answer, Chance, Workshop};
use std::collections::BTreeSet;
use std::os::unix::process::ExitStatusExt as _;
use std::time::Duration;

#[test]
fn nothing_acknowledged_is_lost_or_doubled_by_seventy_kills() {
    kills_of_the_command_line(70);
}

#[test]
fn nothing_acknowledged_is_lost_or_doubled_by_killing_the_server_twelve_times() {
    kills_of_the_server(12);
}

/// The long forms: `cargo test -p axlestand --test cli -- --ignored --nocapture long_form`.
#[test]
#[ignore = "takes minutes"]
fn long_form_seven_hundred_kills_of_the_command_line() {
    println!("{}", kills_of_the_command_line(700));
}

#[test]
#[ignore = "takes minutes"]
fn long_form_three_hundred_kills_of_the_server() {
    println!("{}", kills_of_the_server(300));
}

/// Kills that many writers of the command line at any moment; what was done, in words.
fn kills_of_the_command_line(wanted: u32) -> String {
    let workshop = Workshop::with_job();
    let before = workshop.log();
    let mut acknowledged = Vec::new();
    let mut chance = Chance(20);
    let (mut kills, mut attempts) = (0, 0);
    // Around the moment at which about half of the writers get through.
    let mut patience = 8_000;
    while kills < wanted || acknowledged.len() < 10 {
        attempts += 1;
        let got_through = acknowledged.len();
        assert!(
            attempts < 1_000 + 20 * wanted,
            "{kills} kills and {got_through} that got through, after {attempts} tries"
        );
        // A reading, taken back at once, and remarks.
        let arguments: &[&str] = match attempts % 4 {
            0 => &["--json", "read", "height", "360 mm"],
            1 => &["--json", "undo-entry"],
            _ => &["--json", "note", "written while the killer waits"],
        };
        let mut child = workshop.command(arguments).spawn().unwrap();
        std::thread::sleep(Duration::from_micros(chance.below(2 * patience)));
        child.kill().unwrap();
        let output = child.wait_with_output().unwrap();
        let killed = output.status.signal() == Some(9);
        kills += u32::from(killed);
        patience = if killed { patience + patience / 16 } else { patience - patience / 16 };
        // A whole document on the pipe is an acknowledgement, whether the writer lived on or not.
        if let Ok(document) = serde_json::from_slice::<serde_json::Value>(&output.stdout)
            && document.get("recorded").is_some()
        {
            let text = String::from_utf8(output.stdout).unwrap();
            let answer = Answer { code: Some(0), out: text, err: String::new() };
            acknowledged.extend(answer.recorded());
        }
    }
    all_is_there(&workshop, &before, &acknowledged);
    let (got_through, log) = (acknowledged.len(), workshop.log().len());
    format!(
        "command line: {kills} kills in {attempts} runs, {got_through} entries acknowledged, {log} in the ledger"
    )
}

/// What was there before and what was acknowledged is in the ledger once, which is sound and goes on.
fn all_is_there(workshop: &Workshop, before: &[String], acknowledged: &[String]) {
    let log = workshop.log();
    let there: BTreeSet<&String> = log.iter().collect();
    assert_eq!(there.len(), log.len(), "an entry is there twice");
    let lost: Vec<_> = acknowledged.iter().filter(|id| !there.contains(id)).collect();
    assert_eq!(lost, Vec::<&String>::new(), "acknowledged and lost");
    assert!(log.starts_with(before), "entries from before are lost");
    workshop.run(&["garage", "check"]).expect(0);
    workshop.run(&["note", "and it goes on"]).expect(0);
}

/// Kills the server that many times while three devices send their queues, each entry again and again
/// until it is acknowledged, as a phone does; what was done, in words.
fn kills_of_the_server(wanted: u32) -> String {
    let workshop = Workshop::with_job();
    let before = workshop.log();
    let mut chance = Chance(7);
    let mut devices: Vec<Phone> = (0..3).map(Phone::new).collect();
    for _ in 0..wanted {
        let (mut server, port) = serve(&workshop);
        let life = Duration::from_millis(5 + chance.below(240));
        std::thread::scope(|scope| {
            for device in &mut devices {
                scope.spawn(move || while device.send(port) {});
            }
            std::thread::sleep(life);
            server.kill().unwrap();
            server.wait().unwrap();
        });
    }
    // What waits still is delivered by a server that lives.
    let (mut server, port) = serve(&workshop);
    for device in &mut devices {
        assert!(device.send(port), "a server that lives answers");
    }
    server.kill().unwrap();
    server.wait().unwrap();
    let acknowledged: Vec<String> =
        devices.iter().flat_map(|device| device.acknowledged.iter().cloned()).collect();
    assert!(acknowledged.len() > 3 * devices.len(), "{} acknowledged", acknowledged.len());
    all_is_there(&workshop, &before, &acknowledged);
    // Each note is there exactly once, also where its answer was lost and it was sent again.
    let texts = workshop.run(&["log"]).expect(0).out;
    let repeated: u64 = devices.iter().map(|device| device.repeated).sum();
    for device in &devices {
        for number in 1..=device.done {
            let note = format!("note: of {} number {number}.\n", device.name);
            assert_eq!(texts.matches(&note).count(), 1, "{note}");
        }
    }
    let sent: u64 = devices.iter().map(|device| device.done).sum();
    format!(
        "server: {wanted} kills, {sent} deliveries acknowledged, {repeated} recorded before by a server that died unheard"
    )
}

#[test]
fn a_garage_deleted_under_the_server_acknowledges_nothing_and_its_backup_takes_its_place() {
    let workshop = Workshop::with_job();
    let (mut server, port) = serve(&workshop);
    let mut device = Phone::new(1);
    assert!(device.send(port));
    workshop.run(&["garage", "backup", "all.backup"]).expect(0);
    std::fs::remove_dir_all(workshop.path().join("garage")).unwrap();
    let answer = ask(port, &device.next()).unwrap();
    assert_eq!(answer["answers"], serde_json::json!([]), "{answer}");
    assert!(answer["later"].as_str().unwrap().contains("is not in its folder any more"), "{answer}");
    workshop.run(&["garage", "restore", "all.backup"]).expect(0);
    assert!(device.send(port), "the phone sends it again");
    server.kill().unwrap();
    server.wait().unwrap();
    assert_eq!(workshop.log().len(), 2 + 2);
    workshop.run(&["garage", "check"]).expect(0);
}

#[test]
fn a_clock_that_was_set_back_changes_no_order() {
    let workshop = Workshop::with_job();
    let sql = "INSERT INTO entry (id, job, at, body) VALUES ('a', 'car', '2099-01-01T00:00:00+00:00', \
               '{\"v\":1,\"kind\":\"note\",\"text\":\"by a clock that ran ahead\"}')";
    rusqlite::Connection::open(workshop.database()).unwrap().execute(sql, []).unwrap();
    workshop.run(&["read", "height", "360 mm"]).expect(0);
    workshop.run(&["done", "loosen:wheel-nuts"]).expect(0);
    let log = workshop.run(&["log"]).expect(0).out;
    let at = |what: &str| log.find(what).unwrap();
    assert!(at("by a clock that ran ahead") < at("done loosen:wheel-nuts"), "{log}");
    for command in
        [&["next"][..], &["prepare"], &["report"], &["forecast", "--runs", "50"], &["garage", "check"]]
    {
        workshop.run(command).expect(0);
    }
    let taken_back = workshop.run(&["undo-entry"]).expect(0).out;
    assert!(!taken_back.contains("ran ahead"), "the last entry is the one made last: {taken_back}");
}

#[test]
fn a_job_start_that_is_killed_leaves_a_garage_that_can_be_used() {
    let mut chance = Chance(3);
    for round in 0..12 {
        let workshop = Workshop::empty();
        let start = ["job", "start", "car.toml", "--replace", "link", "--name", "link"];
        let mut child = workshop.command(&start).spawn().unwrap();
        std::thread::sleep(Duration::from_micros(chance.below(25_000)));
        child.kill().unwrap();
        child.wait().unwrap();
        // Either the job is there, or it can be started now: never anything between.
        let again = workshop.run(&start);
        match again.code {
            Some(0) => {}
            _ => assert!(again.err.contains("there is a job called 'link' already"), "{round}: {again:?}"),
        }
        let list = workshop.run(&["job", "list", "--json"]).expect(0).json();
        assert_eq!(list["current"], "link", "{round}");
        workshop.run(&["next"]).expect(0);
    }
}
