//! Several processes at one garage at once.

use crate::workshop::{Answer, Workshop, ids};
use std::collections::BTreeSet;

/// Starts all commands before it waits for any.
fn at_once(workshop: &Workshop, commands: &[Vec<&str>]) -> Vec<Answer> {
    let children: Vec<_> =
        commands.iter().map(|command| workshop.command(command).spawn().unwrap()).collect();
    children.into_iter().map(|child| child.wait_with_output().unwrap().into()).collect()
}

fn all_notes_are_there(processes: usize, rounds: usize) {
    let workshop = Workshop::with_job();
    let before = workshop.log().len();
    let mut acknowledged = BTreeSet::new();
    for _ in 0..rounds {
        let commands = vec![vec!["--json", "note", "from one of several"]; processes];
        for answer in at_once(&workshop, &commands) {
            acknowledged.extend(answer.expect(0).recorded());
        }
    }
    assert_eq!(acknowledged.len(), processes * rounds);
    let log: Vec<String> = workshop.log();
    assert_eq!(log.len(), before + processes * rounds);
    assert!(acknowledged.iter().all(|id| log.contains(id)));
    assert_eq!(workshop.integrity(), "ok");
}

#[test]
fn two_processes_lose_nothing() {
    all_notes_are_there(2, 8);
}

#[test]
fn six_processes_lose_nothing() {
    all_notes_are_there(6, 5);
}

#[test]
fn the_same_row_is_done_by_one_of_six_and_refused_to_the_others() {
    let workshop = Workshop::with_job();
    workshop.run(&["read", "height", "360 mm"]).expect(0);
    for row in ["loosen:wheel-nuts", "do:raise", "undo:wheel-nuts", "off:wheel", "undo:tie-rod-nut"] {
        let answers = at_once(&workshop, &vec![vec!["--json", "done", row]; 6]);
        let done = answers.iter().filter(|answer| answer.code == Some(0)).count();
        assert_eq!(done, 1, "{row}: {answers:?}");
        for answer in answers.iter().filter(|answer| answer.code != Some(0)) {
            assert_eq!(answer.code, Some(1), "{row}: {answer:?}");
            assert_eq!(answer.json()["error"]["code"], "refused", "{row}");
        }
    }
    let text = workshop.run(&["log"]).expect(0).out;
    assert_eq!(text.matches("done loosen:wheel-nuts").count(), 1);
}

#[test]
fn one_name_is_given_to_one_job_of_six_in_a_garage_that_none_had_made() {
    let workshop = Workshop::empty();
    let start = vec!["--json", "job", "start", "car.toml", "--replace", "link", "--name", "weekend"];
    let answers = at_once(&workshop, &vec![start; 6]);
    assert_eq!(answers.iter().filter(|answer| answer.code == Some(0)).count(), 1, "{answers:?}");
    for answer in answers.iter().filter(|answer| answer.code != Some(0)) {
        assert_eq!(answer.json()["error"]["code"], "job-exists", "{answer:?}");
    }
    // The start and the first plan: the losers added nothing to it.
    assert_eq!(workshop.log().len(), 2);
}

#[test]
fn six_jobs_that_were_given_no_name_get_six_names() {
    let workshop = Workshop::empty();
    let answers =
        at_once(&workshop, &vec![vec!["--json", "job", "start", "car.toml", "--replace", "link"]; 6]);
    let names: BTreeSet<String> = answers
        .into_iter()
        .map(|answer| answer.expect(0).json()["job"].as_str().unwrap().to_owned())
        .collect();
    assert_eq!(names.len(), 6, "{names:?}");
    let list = workshop.run(&["job", "list", "--json"]).expect(0).json();
    assert_eq!(ids(&list["jobs"]).into_iter().collect::<BTreeSet<_>>(), names);
}

#[test]
fn a_changed_vehicle_file_is_taken_over_once_by_six_processes() {
    let workshop = Workshop::with_job();
    let before = workshop.log().len();
    let car = std::fs::read_to_string(workshop.path().join("car.toml")).unwrap();
    std::fs::write(workshop.path().join("car.toml"), format!("{car}\n# looked at again\n")).unwrap();
    for answer in at_once(&workshop, &vec![vec!["next"]; 6]) {
        answer.expect(0);
    }
    assert_eq!(workshop.log().len(), before + 1, "{}", workshop.run(&["log"]).out);
}

#[test]
fn six_values_set_at_once_are_all_in_the_vehicle_file() {
    let workshop = Workshop::empty();
    let values = ["41 N·m", "42 N·m", "43 N·m", "44 N·m", "45 N·m", "46 N·m"];
    let fasteners =
        ["tie-rod-nut", "wheel-nuts", "pinch-bolt", "link-nut-upper", "link-nut-lower", "sensor-bolt"];
    let commands: Vec<Vec<&str>> = fasteners
        .iter()
        .zip(values)
        .map(|(fastener, value)| {
            vec![
                "car",
                "set",
                fastener,
                "torque",
                value,
                "--source",
                "sheet 77 (invented)",
                "--car",
                "car.toml",
            ]
        })
        .collect();
    for answer in at_once(&workshop, &commands) {
        answer.expect(0);
    }
    for (fastener, value) in fasteners.iter().zip(values) {
        let shown = workshop.run(&["car", "show", "car.toml", fastener]).expect(0).out;
        assert!(shown.contains(value), "{fastener}: {shown}");
    }
}
