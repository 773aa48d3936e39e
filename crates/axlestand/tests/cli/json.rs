//! `--json`: one document on the one stream, whatever happens, with the documented exit codes.

use crate::workshop::{Answer, Workshop};

fn document(answer: &Answer, what: &[&str]) -> serde_json::Value {
    assert_eq!(answer.err, "", "{what:?}");
    // Exactly one document: trailing text would fail here as well.
    serde_json::from_str(&answer.out).unwrap_or_else(|why| panic!("{what:?}: {why}: {answer:?}"))
}

#[test]
fn every_command_answers_one_document() {
    let workshop = Workshop::empty();
    let queue = "{\"format\":\"axlestand-queue\",\"version\":1,\"queue\":\"a\",\"sent\":1,\"entries\":[]}";
    std::fs::write(workshop.path().join("queue.json"), queue).unwrap();
    let steps: [(&[&str], i32); 50] = [
        (&["car", "new", "--out", "new.toml", "--usual"], 0),
        (&["car", "new", "--questions"], 0),
        (&["car", "check", "car.toml"], 0),
        (&["car", "show", "car.toml"], 0),
        (&["car", "show", "car.toml", "wheel-nuts"], 0),
        (&["car", "schema"], 0),
        (&["job", "start", "car.toml", "--replace", "link", "sensor"], 0),
        (&["job", "list"], 0),
        (&["job", "use", "car"], 0),
        (&["job", "car", "car.toml"], 0),
        (&["prepare"], 0),
        (&["prepare", "--picture", "plan.svg"], 0),
        (&["forecast", "--runs", "200"], 0),
        (&["forecast", "--new-file"], 0),
        (&["routes", "link"], 0),
        (&["next", "-n", "9"], 0),
        (&["open"], 0),
        (&["check", "lowering"], 0),
        (&["check", "road"], 1),
        (&["read", "height", "361", "±", "1", "mm"], 0),
        (&["done", "loosen:wheel-nuts", "raise"], 0),
        (&["done", "undo:wheel-nuts", "--seen-length", "30 mm"], 0),
        (&["check", "lowering"], 1),
        (&["done", "wheel"], 0),
        (&["stuck", "link-nut-upper"], 0),
        (&["choose", "link", "cut-link"], 0),
        (&["broken", "sensor"], 0),
        (&["replaced", "sensor"], 0),
        (&["skip", "off:sensor", "--reason", "new one is in"], 0),
        (&["note", "quiet"], 0),
        (&["undo-entry"], 0),
        (&["log"], 0),
        (&["car", "set", "jam-nut", "torque", "56 N·m", "--source", "sheet 2a"], 0),
        (&["car", "learn", "--dry-run"], 0),
        (&["car", "learn"], 0),
        (&["report"], 0),
        (&["report", "--page", "report.html"], 0),
        (&["sheet", "all", "-o", "all.pdf"], 0),
        (&["completions", "bash"], 0),
        (&["man"], 0),
        (&["demo", "--folder", "demo"], 0),
        (&["calc", "thread", "M14x1.5"], 0),
        (&["next", "--units", "inch"], 0),
        (&["set", "height", "--car", "demo/wagtail.toml"], 0),
        (&["turned", "tie-rod.left", "1 flat longer"], 0),
        (&["deliver", "queue.json"], 0),
        (&["devices"], 0),
        (&["garage", "check"], 0),
        (&["garage", "backup", "all.backup"], 0),
        (&["--garage", "new", "garage", "restore", "all.backup"], 0),
    ];
    let mut seen = std::collections::BTreeSet::new();
    for (step, code) in steps {
        seen.insert(step[0]);
        let answer = workshop.run(&[step, &["--json"]].concat());
        assert_eq!(answer.code, Some(code), "{step:?}: {answer:?}");
        let document = document(&answer, step);
        assert!(document.get("error").is_none(), "{step:?}: {document}");
    }
    // Serving does not end by itself; a port that is taken is told at once.
    let taken = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    let answer = workshop.run(&["serve", "--port", &port, "--json"]).expect(2).json();
    assert_eq!(answer["error"]["code"], "serve");
    seen.insert("serve");
    // A command that is added has to be added here.
    let help = workshop.run(&["--help"]).expect(0).out;
    let commands = help.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|l| !l.is_empty());
    let names = commands.filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    for name in names.filter_map(|line| line.split_whitespace().next()).filter(|name| *name != "help") {
        assert!(seen.contains(name), "'{name}' is not tried with --json");
    }
}

#[test]
fn every_failure_answers_one_document_of_one_shape() {
    let workshop = Workshop::with_job();
    std::fs::write(workshop.path().join("bad.toml"), "format = 1\n").unwrap();
    std::fs::write(workshop.path().join("toolbox.toml"), "tools = 3\n").unwrap();
    let start = ["job", "start", "car.toml", "--replace", "link"];
    let with = |more: &[&'static str]| [&start, more].concat();
    let cases: Vec<(Vec<&str>, i32, &str)> = vec![
        (vec!["frobnicate"], 2, "usage"),
        (vec!["done"], 2, "usage"),
        (vec!["check", "sky"], 2, "usage"),
        (vec!["done", "1", "--tray", "-4"], 2, "usage"),
        (vec!["done", "1", "--condition", "soup"], 2, "bad-input"),
        (vec!["car", "new", "--answer", "colour=red", "--usual"], 2, "usage"),
        (vec!["car", "check", "absent.toml"], 2, "cannot-read"),
        (vec!["car", "show", "bad.toml"], 1, "faulty-car"),
        (vec!["car", "new", "--out", "car.toml", "--usual"], 2, "file-exists"),
        (vec!["report", "--page", "absent/report.html"], 2, "cannot-write"),
        (vec!["--garage", "absent", "next"], 2, "no-garage"),
        (vec!["--job", "absent", "next"], 2, "no-job"),
        (with(&["--name", "car"]), 2, "job-exists"),
        (with(&["--toolbox", "toolbox.toml"]), 2, "faulty-toolbox"),
        (with(&["--rust", "9"]), 2, "bad-input"),
        (vec!["done", "999"], 2, "unknown-selection"),
        (vec!["done", "gremlin"], 2, "unknown-name"),
        (vec!["done", "off:wheel"], 1, "refused"),
        (vec!["note", " "], 2, "bad-input"),
        (vec!["--garage", "absent", "garage", "check"], 2, "no-garage"),
        (vec!["garage", "backup", "car.toml"], 2, "file-exists"),
        (vec!["garage", "backup", "car.toml", "--replace"], 2, "no-backup-made"),
        (vec!["--garage", "new", "garage", "restore", "car.toml"], 2, "no-backup"),
        (vec!["car", "set", "jam-nut", "colour", "red", "--source", "x"], 2, "edit"),
    ];
    for (case, code, kind) in cases {
        let answer = workshop.run(&[&case[..], &["--json"]].concat());
        assert_eq!(answer.code, Some(code), "{case:?}: {answer:?}");
        let document = document(&answer, &case);
        let error = document["error"].as_object().unwrap_or_else(|| panic!("{case:?}: {document}"));
        let keys: Vec<_> = error.keys().map(String::as_str).collect();
        assert_eq!(keys, ["code", "hint", "message", "reasons"], "{case:?}");
        assert_eq!(error["code"], kind, "{case:?}: {document}");
        assert!(error["message"].as_str().is_some_and(|text| text.len() > 10), "{case:?}: {document}");
        let reasons = error["reasons"].as_array().unwrap();
        assert_eq!(reasons.is_empty(), kind != "refused", "{case:?}: {document}");
    }
    assert_eq!(workshop.log().len(), 2, "nothing of it was recorded");
}

#[test]
fn a_file_name_that_is_no_text_is_no_panic() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt as _;
    let workshop = Workshop::empty();
    let name = OsStr::from_bytes(b"caf\xe9.toml");
    std::fs::copy(workshop.path().join("car.toml"), workshop.path().join(name)).unwrap();
    let run = |before: &[&str], after: &[&str]| -> Answer {
        workshop.command(before).arg(name).args(after).output().unwrap().into()
    };
    document(&run(&["--json", "car", "check"], &[]).expect(0), &["check"]);
    let start = run(&["--json", "job", "start"], &["--replace", "link"]).expect(2);
    let message = document(&start, &["start"])["error"]["message"].as_str().unwrap().to_owned();
    assert!(message.contains("rename the file"), "{message}");
}
