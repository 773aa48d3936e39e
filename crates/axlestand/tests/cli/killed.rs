//! Processes killed in the middle of writing: what was acknowledged is there, once.

use crate::workshop::{Answer, Workshop};
use std::collections::BTreeSet;
use std::os::unix::process::ExitStatusExt as _;
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
    let workshop = Workshop::with_job();
    let mut known: BTreeSet<String> = workshop.log().into_iter().collect();
    let mut acknowledged = Vec::new();
    let mut chance = Chance(20);
    let (mut kills, mut attempts) = (0, 0);
    // Around the moment at which about half of the writers get through.
    let mut patience = 8_000;
    while kills < 70 || acknowledged.len() < 10 {
        attempts += 1;
        let got_through = acknowledged.len();
        assert!(attempts < 2_000, "{kills} kills and {got_through} that got through, after {attempts} tries");
        // The same rows again and again: undone, and taken back at once.
        let arguments: &[&str] = match attempts % 4 {
            0 => &["--json", "done", "read:height", "loosen:wheel-nuts"],
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
    let log = workshop.log();
    let there: BTreeSet<&String> = log.iter().collect();
    assert_eq!(there.len(), log.len(), "an entry is there twice");
    let lost: Vec<_> = acknowledged.iter().filter(|id| !there.contains(id)).collect();
    assert_eq!(lost, Vec::<&String>::new(), "acknowledged and lost");
    known.retain(|id| !there.contains(id));
    assert!(known.is_empty(), "entries from before are lost: {known:?}");
    assert_eq!(workshop.integrity(), "ok");
    workshop.run(&["note", "and it goes on"]).expect(0);
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
