//! Set and curves at the command line: what a person types and what comes back, with the exit codes.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::Command;

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cars/wagtail.toml")
}

/// Exit code, answer and error of a command in an empty folder.
fn run(arguments: &[&str]) -> (i32, String, String) {
    let folder = tempfile::tempdir().unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_axlestand"))
        .current_dir(folder.path())
        .env_clear()
        .args(arguments)
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

fn on_demo(before: &[&str], after: &[&str]) -> (i32, String, String) {
    let car = demo();
    let mut all: Vec<&str> = before.to_vec();
    all.push(car.to_str().unwrap());
    all.extend(after);
    run(&all)
}

fn json(arguments: &[&str], after: &[&str]) -> Value {
    let after: Vec<&str> = after.iter().copied().chain(["--json"]).collect();
    let (_, out, err) = on_demo(arguments, &after);
    serde_json::from_str(&out).unwrap_or_else(|why| panic!("{why}: {out}{err}"))
}

#[test]
fn curves_are_the_same_as_table_json_and_csv() {
    let (code, table, _) = on_demo(&["car", "curves"], &["--from", "-20", "--to", "20", "--step", "20"]);
    assert_eq!(code, 0);
    for word in ["travel", "camber", "toe", "caster", "roll c.", "+ top outward", "full droop"] {
        assert!(table.contains(word), "{word}: {table}");
    }
    let view = json(&["car", "curves"], &["--from", "-20", "--to", "20", "--step", "20"]);
    let (_, csv, _) = on_demo(&["car", "curves"], &["--from", "-20", "--to", "20", "--step", "20", "--csv"]);
    let mut lines = csv.lines();
    let head: Vec<&str> = lines.next().unwrap().split(',').collect();
    assert_eq!(&head[..4], ["travel_mm", "height_mm", "camber_deg", "toe_deg"]);
    for (line, row) in lines.zip(view["rows"].as_array().unwrap()) {
        let cells: Vec<&str> = line.split(',').collect();
        assert_eq!(cells.len(), head.len(), "{line}");
        assert!((cells[0].parse::<f64>().unwrap() - row["travel"].as_f64().unwrap()).abs() < 1e-9);
        for (cell, value) in cells[2..].iter().zip(row["values"].as_array().unwrap()) {
            assert!((cell.parse::<f64>().unwrap() - value.as_f64().unwrap()).abs() < 1e-6, "{line}");
        }
    }
}

#[test]
fn a_rear_beam_has_curves_against_travel_and_roll() {
    let range = ["--axle", "rear", "--from", "-40", "--to", "40", "--step", "40"];
    for (more, words) in [
        (&[][..], ["both wheels together", "roll st.", "anti-lift"]),
        (&["--roll"][..], ["right wheel down", "road l", "steer"]),
    ] {
        let after = [&range[..], more].concat();
        let (code, table, _) = on_demo(&["car", "curves"], &after);
        assert!(code == 0 && words.iter().all(|word| table.contains(word)), "{words:?}: {table}");
        assert!(table.lines().skip(1).take(5).all(|line| line.chars().count() <= 110), "{table}");
        assert!(table.contains("10 or 20 %"), "the approximation is told: {table}");
        let view = json(&["car", "curves"], &after);
        let (_, csv, _) = on_demo(&["car", "curves"], &[&after[..], &["--csv"]].concat());
        let lines: Vec<Vec<&str>> = csv.lines().map(|line| line.split(',').collect()).collect();
        assert_eq!(lines.len(), 4, "{csv}");
        assert!(lines[0].iter().all(|name| !name.contains(['°', '%', '/', ' '])), "{csv}");
        for (cells, row) in lines[1..].iter().zip(view["rows"].as_array().unwrap()) {
            for (cell, value) in cells[2..].iter().zip(row["values"].as_array().unwrap()) {
                assert!((cell.parse::<f64>().unwrap() - value.as_f64().unwrap()).abs() < 1e-6, "{csv}");
            }
        }
    }
    // What the wheels do not reach is told once, not in every piece of the table.
    let far = ["--axle", "rear", "--from", "-400", "--to", "0", "--step", "400"];
    let (_, table, _) = on_demo(&["car", "curves"], &far);
    assert_eq!(table.matches("too short for it").count(), 1, "{table}");
}

#[test]
fn steering_goes_lock_to_lock() {
    let (code, table, _) = on_demo(&["car", "curves"], &["--steering"]);
    assert!(code == 0 && table.contains("Ackermann") && table.contains("-72.0"), "{table}");
    assert_eq!(on_demo(&["car", "curves"], &["--steering", "--csv"]).0, 2);
}

#[test]
fn a_preview_says_what_changes_and_what_to_turn() {
    let (code, text, _) = on_demo(&["set", "preview", "--car"], &["--lower", "30 mm"]);
    assert_eq!(code, 0);
    for words in
        ["30 mm lower", "total toe", "OUT of tolerance", "both tie rods", "flats", "bump stop", "twist beam"]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
    // Nothing of this car's figures was missing, so nothing typical is in it.
    assert!(!text.contains("NOT from this car"), "{text}");
    let (_, raised, _) = on_demo(&["set", "preview", "--car"], &["--front=-20mm"]);
    assert!(raised.contains("20 mm higher") && raised.contains("Headlamps: they aim"), "{raised}");
}

#[test]
fn a_loose_spring_is_a_no() {
    let loose = ["--now", "front=366mm", "--front-spring", "30 N/mm x 300 mm"];
    let (code, text, _) = on_demo(&["set", "height", "--car"], &loose);
    assert_eq!(code, 1, "{text}");
    assert!(text.contains("DANGER: the front left spring is loose"), "{text}");
    let (code, text, _) = on_demo(&["set", "height", "--car"], &["--want", "front=356mm"]);
    assert_eq!(code, 0, "{text}");
    assert!(text.contains("collar") && text.contains("never release it by undoing the top nut"), "{text}");
}

#[test]
fn a_car_without_points_is_told_what_to_measure() {
    let folder = tempfile::tempdir().unwrap();
    let car = folder.path().join("car.toml");
    let car = car.to_str().unwrap();
    assert_eq!(run(&["car", "new", "--usual", "--out", car]).0, 0);
    let (code, _, why) = run(&["car", "curves", car]);
    assert!(code == 2 && why.contains("lower-ball-joint") && why.contains("[axle.front.points]"), "{why}");
    let (code, text, _) = run(&["set", "height", "--car", car]);
    assert!(code == 0 && text.contains("Typical, NOT from this car") && text.contains('±'), "{text}");
    let (code, text, _) = run(&["set", "preview", "--car", car, "--lower", "30mm"]);
    assert!(code == 0 && text.contains("No angles: the front axle has no hardpoints"), "{text}");
}

#[test]
fn calculations_answer_in_a_line_and_explain_themselves() {
    let calls: [(&[&str], &str); 4] = [
        (&["calc", "toe", "2 mm", "--diameter", "400 mm"], "0.286°"),
        (&["calc", "spring", "--rate", "24.5", "--force", "3200 N"], "209 J"),
        (&["calc", "caster", "--turned-left", "1.5141°", "--turned-right", "-1.9112°"], "5.01°"),
        (
            &["calc", "tie-rod", "--exposed", "12.4 mm", "--length", "84.5 mm", "--new-length", "83 mm"],
            "13.9 ± 0.8 mm",
        ),
    ];
    for (call, answer) in calls {
        let (code, text, err) = run(call);
        assert!(code == 0 && text.contains(answer), "{call:?}: {text}{err}");
        let explained: Vec<&str> = call.iter().copied().chain(["--explain"]).collect();
        assert!(run(&explained).1.len() > text.len(), "{call:?}");
    }
}

#[test]
fn nonsense_is_an_error_that_says_what_to_write() {
    let calls: [(&[&str], &[&str]); 9] = [
        (&["car", "curves"], &["--axle", "rear", "--steering"]),
        (&["car", "curves"], &["--roll", "--from", "20", "--to", "-20"]),
        (&["car", "curves"], &["--from", "20", "--to", "-20"]),
        (&["car", "curves"], &["--axle", "middle"]),
        (&["set", "preview", "--car"], &[]),
        (&["set", "preview", "--car"], &["--lower", "thirty"]),
        (&["set", "preview", "--car"], &["--lower", "3000 mm"]),
        (&["set", "height", "--car"], &["--want", "350mm"]),
        (&["set", "tie-rod", "left", "83mm", "--car"], &[]),
    ];
    for (before, after) in calls {
        let (code, out, err) = on_demo(before, after);
        assert!(
            code == 2 && out.is_empty() && err.starts_with("error: "),
            "{before:?} {after:?}: {out}{err}"
        );
        assert!(!err.contains("panicked"), "{err}");
    }
}
