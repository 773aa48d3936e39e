//! The keys that docs/json.md promises are the keys that the commands answer with.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

#[test]
fn every_documented_key_is_answered_and_no_other() {
    let folder = tempfile::tempdir().unwrap();
    let garage = folder.path().join("garage");
    let run = |arguments: &[&str]| {
        let output = Command::new(env!("CARGO_BIN_EXE_axlestand"))
            .current_dir(&garage)
            .env("AXLESTAND_GARAGE", &garage)
            .args(arguments)
            .output()
            .unwrap();
        (output.status.code(), String::from_utf8(output.stdout).unwrap())
    };
    std::fs::create_dir(&garage).unwrap();
    assert_eq!(run(&["demo", "--folder", "."]).0, Some(0));

    let document = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/json.md");
    let text = std::fs::read_to_string(document).unwrap();
    let rows: Vec<(&str, &str)> = text
        .lines()
        .filter_map(|line| line.strip_prefix("| `")?.strip_suffix(" |")?.split_once("` | "))
        .collect();
    assert!(rows.len() >= 12, "the table of docs/json.md was not found");
    for (command, keys) in rows {
        let mut arguments: Vec<&str> = command.split(' ').collect();
        arguments.push("--json");
        let (_, answer) = run(&arguments);
        let mut value: Value =
            serde_json::from_str(&answer).unwrap_or_else(|why| panic!("{command}: {why}: {answer}"));
        let list = keys.starts_with('[');
        if list {
            value = value[0].clone();
        }
        let answered: BTreeSet<String> =
            value.as_object().unwrap_or_else(|| panic!("{command}: {answer}")).keys().cloned().collect();
        let promised: BTreeSet<String> =
            keys.trim_matches(['[', ']', ' ']).split(", ").map(|key| key.trim().to_owned()).collect();
        assert_eq!(promised, answered, "{command}");
    }
}

#[test]
fn a_failure_is_one_json_document_too() {
    let folder = tempfile::tempdir().unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_axlestand"))
        .args(["--garage", folder.path().join("none").to_str().unwrap(), "next", "--json"])
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    let value: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(value["error"]["code"], "no-garage");
    assert!(value["error"]["hint"].as_str().is_some_and(|hint| hint.contains("job start")));
    assert!(output.stderr.is_empty());
}
