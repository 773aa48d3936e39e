//! Processes killed in the middle of writing: what was acknowledged is there, once.

use crate::workshop::{Answer, Workshop};
use std::collections::BTreeSet;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::os::unix::process::ExitStatusExt as _;
use std::process::Child;
use std::time::Duration;

/// A small generator of chance with a fixed seed (Knuth's constants for 64 bits).
struct Chance(u64);

impl Chance {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % limit.max(1)
    }
}

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
    let mut devices: Vec<Device> = (0..3).map(Device::new).collect();
    for _ in 0..wanted {
        let mut server = workshop.command(&["serve", "--json", "--port", "0"]).spawn().unwrap();
        let port = port_of(&mut server);
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
    let mut server = workshop.command(&["serve", "--json", "--port", "0"]).spawn().unwrap();
    let port = port_of(&mut server);
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
    let mut server = workshop.command(&["serve", "--json", "--port", "0"]).spawn().unwrap();
    let port = port_of(&mut server);
    let mut device = Device::new(1);
    assert!(device.send(port));
    workshop.run(&["garage", "backup", "all.backup"]).expect(0);
    std::fs::remove_dir_all(workshop.path().join("garage")).unwrap();
    let answer = ask(port, &device.next()).unwrap();
    assert_eq!(answer["answers"], serde_json::json!([]), "{answer}");
    assert!(answer["later"].as_str().unwrap().contains("there is no garage"), "{answer}");
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

/// The port that a server says it serves at.
fn port_of(server: &mut Child) -> u16 {
    let mut text = String::new();
    let stdout = server.stdout.as_mut().unwrap();
    // Byte by byte up to the end of the document: what comes later stays unread.
    let mut byte = [0u8; 1];
    while !text.ends_with("\n}") {
        assert_eq!(stdout.read(&mut byte).unwrap(), 1, "the server ended: {text}");
        text.push(char::from(byte[0]));
    }
    let document: serde_json::Value = serde_json::from_str(&text).unwrap();
    let address = document["address"].as_str().unwrap();
    address.trim_end_matches('/').rsplit(':').next().unwrap().parse().unwrap()
}

/// A device with a queue of notes, of which it forgets one only when it is acknowledged.
struct Device {
    name: u64,
    /// How many of its notes are acknowledged.
    done: u64,
    /// How many of them had been recorded before, by a server that was killed before it could say so.
    repeated: u64,
    acknowledged: Vec<String>,
}

impl Device {
    fn new(name: u64) -> Self {
        Self { name, done: 0, repeated: 0, acknowledged: Vec::new() }
    }

    /// Sends the next note; `false` where no whole answer came.
    fn send(&mut self, port: u16) -> bool {
        let Some(answer) = ask(port, &self.next()) else { return false };
        let answer = &answer["answers"][0];
        assert!(answer["outcome"] == "taken" && answer["recorded"] == true, "{answer}");
        self.repeated += u64::from(answer["repeated"] == true);
        self.acknowledged.extend(crate::workshop::ids(&answer["entries"]));
        self.done += 1;
        true
    }

    /// The queue with the next note alone.
    fn next(&self) -> String {
        let number = self.done + 1;
        let text = format!("of {} number {number}.", self.name);
        serde_json::json!({
            "format": "axlestand-queue", "version": 1, "queue": format!("{:032x}", self.name), "sent": 2_000,
            "entries": [{
                "id": format!("{:016x}{number:016x}", self.name + 1), "number": number, "job": "car",
                "made": 1_000, "fields": [["do", "note"], ["text", text]],
            }],
        })
        .to_string()
    }
}

/// Posts a queue; the answer where it came whole.
fn ask(port: u16, body: &str) -> Option<serde_json::Value> {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).ok()?;
    let length = body.len();
    let head = format!(
        "POST /deliver HTTP/1.1\r\nHost: localhost:{port}\r\nOrigin: http://localhost:{port}\r\n\
         Content-Type: application/json\r\nContent-Length: {length}\r\nConnection: close\r\n\r\n"
    );
    stream.write_all(head.as_bytes()).ok()?;
    stream.write_all(body.as_bytes()).ok()?;
    let mut answer = String::new();
    stream.read_to_string(&mut answer).ok()?;
    let (head, body) = answer.split_once("\r\n\r\n")?;
    assert!(head.starts_with("HTTP/1.1 200"), "{answer}");
    serde_json::from_str(body).ok()
}

/// Power that fails: with `synchronous = FULL` the log is on the disk up to the last acknowledged entry,
/// and whatever was to be written behind it may be there, in part, as noughts or as rubbish.
#[test]
fn a_log_torn_anywhere_opens_with_all_that_was_acknowledged_up_to_there() {
    let workshop = Workshop::with_job();
    // As long as this one has it open, nobody carries the log over into the database.
    let open = rusqlite::Connection::open(workshop.database()).unwrap();
    let _: i64 = open.query_row("SELECT count(*) FROM entry", [], |row| row.get(0)).unwrap();
    let wal = workshop.path().join("garage/garage.db-wal");
    let mut acknowledged = vec![(0, 2)];
    for number in 3..13 {
        workshop.run(&["note", "before the lights go out"]).expect(0);
        acknowledged.push((std::fs::metadata(&wal).unwrap().len() as usize, number));
    }
    let log = workshop.log();
    let (database, whole) = (std::fs::read(workshop.database()).unwrap(), std::fs::read(&wal).unwrap());
    let dark = Workshop::empty();
    std::fs::create_dir(dark.path().join("garage")).unwrap();
    let mut chance = Chance(5);
    let ends: Vec<usize> = acknowledged.iter().map(|(end, _)| *end).collect();
    let random = (0..40).map(|_| chance.below(whole.len() as u64) as usize);
    let cuts: Vec<usize> = ends.into_iter().chain(random).collect();
    for (round, cut) in cuts.into_iter().enumerate() {
        let mut torn = whole[..cut].to_vec();
        match round % 3 {
            0 => {}
            1 => torn.resize(whole.len(), 0),
            _ => torn.extend((cut..whole.len()).map(|_| chance.below(256) as u8)),
        }
        for file in ["garage.db", "garage.db-shm"] {
            let _ = std::fs::remove_file(dark.path().join("garage").join(file));
        }
        std::fs::write(dark.database(), &database).unwrap();
        std::fs::write(dark.path().join("garage/garage.db-wal"), torn).unwrap();
        let kept = dark.log();
        let least = acknowledged.iter().filter(|(end, _)| *end <= cut).map(|(_, count)| *count).max();
        assert!(kept.len() >= least.unwrap() && log.starts_with(&kept), "cut at {cut}: {}", kept.len());
        dark.run(&["garage", "check"]).expect(0);
        dark.run(&["note", "and it goes on"]).expect(0);
    }
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
