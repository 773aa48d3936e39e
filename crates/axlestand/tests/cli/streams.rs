//! Pipes, terminals and colours.

use crate::workshop::{Answer, Workshop, missing};
use std::process::Stdio;

const ESCAPE: char = '\u{1b}';

#[test]
fn a_reader_that_closes_the_pipe_is_a_quiet_end() {
    let workshop = Workshop::with_job();
    let commands: [&[&str]; 9] = [
        &["prepare", "--rows"],
        &["prepare", "--json"],
        &["log"],
        &["check", "road"],
        &["report"],
        &["car", "schema"],
        &["completions", "bash"],
        &["man"],
        &["--help"],
    ];
    for command in commands {
        let mut child = workshop.command(command).spawn().unwrap();
        // Closed before the first byte is read.
        drop(child.stdout.take());
        let answer: Answer = child.wait_with_output().unwrap().into();
        assert_eq!((answer.code, answer.err.as_str()), (Some(0), ""), "{command:?}");
    }
    let head = workshop.shell("set -e; \"$AXLESTAND\" car schema 2>err | head -n 1; cat err");
    assert_eq!(head.out, "{\n");
}

#[test]
fn a_full_device_for_the_answer_is_an_error_on_the_error_stream() {
    let workshop = Workshop::with_job();
    for command in [&["prepare"][..], &["log", "--json"], &["note", "written all the same"]] {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = workshop.command(command).stdout(Stdio::from(full)).output().unwrap();
        let answer: Answer = output.into();
        assert_eq!(answer.code, Some(2), "{answer:?}");
        assert!(answer.err.starts_with("error: the answer cannot be written: "), "{answer:?}");
        assert!(answer.err.contains("what was recorded stays recorded"), "{answer:?}");
    }
    assert_eq!(workshop.log().len(), 3, "the note was recorded before the answer");
}

#[test]
fn no_escape_codes_go_down_a_pipe() {
    let workshop = Workshop::with_job();
    std::fs::write(workshop.path().join("bad.toml"), "format = 1\n[car]\nnam = \"x\"\n").unwrap();
    for command in [
        &["--help"][..],
        &["prepare"],
        &["next"],
        &["open"],
        &["check", "road"],
        &["report"],
        &["car", "check", "bad.toml"],
        &["car", "show", "car.toml", "wheel-nuts"],
        &["job", "start", "bad.toml", "--replace", "x"],
        &["done", "off:wheel"],
        &["nonsense"],
        &["done", "\u{1b}[31mred\u{1b}[0m"],
        &["job", "use", "\u{1b}]0;title\u{7}"],
    ] {
        let answer = workshop.run(command);
        assert!(!(answer.out.clone() + &answer.err).contains(ESCAPE), "{command:?}: {answer:?}");
    }
}

/// Runs a command on a terminal made by `script`.
fn on_a_terminal(workshop: &Workshop, environment: &str, command: &str) -> Option<String> {
    let script = format!("{environment} script -qec '\"$AXLESTAND\" {command}' /dev/null </dev/null");
    let answer = workshop.shell(&format!("command -v script >/dev/null || exit 77; {script}"));
    (answer.code != Some(77)).then_some(answer.out)
}

#[test]
fn colours_are_for_terminals_that_want_them() {
    let workshop = Workshop::with_job();
    let Some(coloured) = on_a_terminal(&workshop, "", "next") else {
        return missing("script(1), which makes a terminal");
    };
    assert!(coloured.contains(ESCAPE) && coloured.contains("Read: height"), "{coloured:?}");
    for (environment, command) in [("NO_COLOR=1", "next"), ("NO_COLOR=yes", "prepare"), ("", "next --json")] {
        let plain = on_a_terminal(&workshop, environment, command).unwrap();
        assert!(plain.contains("height") && !plain.contains(ESCAPE), "{environment} {command}: {plain:?}");
    }
    // An empty NO_COLOR says nothing (https://no-color.org).
    assert!(on_a_terminal(&workshop, "NO_COLOR=", "next").unwrap().contains(ESCAPE));
}
