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

/// The records of a text by the grammar of RFC 4180, section 2, written down here anew: file = record
/// *(CRLF record) [CRLF]; a field is bare TEXTDATA or stands in quotes with quotes doubled. Panics where
/// the text is none, or records differ in length.
fn records(text: &str) -> Vec<Vec<String>> {
    let mut signs = text.chars().peekable();
    let (mut all, mut record) = (Vec::new(), Vec::new());
    while signs.peek().is_some() {
        let mut field = String::new();
        if signs.next_if_eq(&'"').is_some() {
            loop {
                match signs.next().expect("a quote that is never closed") {
                    '"' if signs.next_if_eq(&'"').is_some() => field.push('"'),
                    '"' => break,
                    sign => field.push(sign),
                }
            }
        } else {
            while let Some(sign) = signs.next_if(|sign| !matches!(sign, ',' | '\r' | '\n' | '"')) {
                field.push(sign);
            }
        }
        record.push(field);
        match signs.next() {
            Some(',') => {
                if signs.peek().is_none() {
                    record.push(String::new());
                }
            }
            Some('\r') => {
                assert_eq!(signs.next(), Some('\n'), "CR without LF");
                all.push(std::mem::take(&mut record));
            }
            other => panic!("{other:?} behind a field, in {text}"),
        }
    }
    assert!(record.is_empty(), "the last record is not ended: {record:?}");
    assert!(all.iter().all(|record| record.len() == all[0].len()), "records differ in length: {all:?}");
    all
}

#[test]
fn a_grid_is_the_same_as_table_json_and_csv() {
    let few = ["--grid", "--from", "-40", "--to", "40", "--step", "40"];
    let (code, table, _) = on_demo(&["car", "curves"], &few);
    assert_eq!(code, 0, "{table}");
    for words in ["rack", "heading", "-72", "+36", "Rack and heading: + to the left", "tyre gap"] {
        assert!(table.contains(words), "{words}: {table}");
    }
    let view = json(&["car", "curves"], &few);
    let rows = view["rows"].as_array().unwrap();
    assert!(rows.len() == 15 && view["grid"] == true, "{view}");
    let with_csv: Vec<&str> = few.iter().copied().chain(["--csv"]).collect();
    let (_, text, _) = on_demo(&["car", "curves"], &with_csv);
    let records = records(&text);
    assert_eq!(&records[0][..5], &["travel_mm", "height_mm", "rack_mm", "heading_deg", "camber_deg"]);
    assert_eq!(records.len(), 16);
    for (record, row) in records[1..].iter().zip(rows) {
        let number = |i: usize| record[i].parse::<f64>().unwrap();
        assert!((number(0) - row["travel"].as_f64().unwrap()).abs() < 1e-9);
        assert!((number(2) - row["rack"].as_f64().unwrap()).abs() < 1e-9);
        for (i, value) in row["values"].as_array().unwrap().iter().enumerate() {
            assert!((number(3 + i) - value.as_f64().unwrap()).abs() < 1e-6, "{record:?}");
        }
    }
    // What both wheels do together says nothing of a steered one.
    assert!(records[0].iter().all(|name| !name.starts_with("track") && !name.starts_with("roll")));
    for (arguments, words) in [
        (&["--grid", "--rack-step", "0"][..], "--rack-step"),
        (&["--grid", "--rack-step", "-5"], "--rack-step"),
        (&["--grid", "--rack-step", "0.01"], "2000"),
        (&["--grid", "--rack-step", "ten"], "--rack-step"),
        (&["--rack-step", "5"], "--grid"),
        (&["--grid", "--steering"], "--steering"),
        (&["--grid", "--roll"], "--roll"),
        (&["--grid", "--axle", "rear"], "twist beam"),
        (&["--roll", "--steering"], "--roll"),
        (&["--roll", "--side", "right"], "--side"),
        (&["--roll", "--rack-step", "5"], "--rack-step"),
        (&["--steering", "--rack-step", "5"], "--rack-step"),
    ] {
        let (code, out, err) = on_demo(&["car", "curves"], arguments);
        assert!(code == 2 && out.is_empty() && err.contains(words), "{arguments:?}: {out}{err}");
    }
}

#[test]
fn troubles_stand_in_a_field_of_their_own() {
    let far = ["--from", "-300", "--to", "300", "--step", "300", "--csv"];
    let (code, text, _) = on_demo(&["car", "curves"], &far);
    let records = records(&text);
    assert_eq!(code, 0, "{text}");
    let trouble = records[3].last().unwrap();
    assert!(trouble.contains("over centre") && records[0].last().unwrap() == "trouble", "{records:?}");
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
    let view = json(&["car", "curves"], &["--steering"]);
    let (code, text, _) = on_demo(&["car", "curves"], &["--steering", "--csv"]);
    let records = records(&text);
    assert!(code == 0 && records.len() == 12, "{text}");
    let head = ["rack_mm", "left_heading_deg", "right_heading_deg", "left_camber_deg", "right_camber_deg"];
    assert_eq!(&records[0][..5], &head);
    assert_eq!(records[0][5..], ["ackermann_percent", "trouble"]);
    for (record, row) in records[1..].iter().zip(view["rows"].as_array().unwrap()) {
        for (cell, key) in record.iter().zip(["rack", "left", "right", "left-camber", "right-camber"]) {
            assert!((cell.parse::<f64>().unwrap() - row[key].as_f64().unwrap()).abs() < 1e-6, "{record:?}");
        }
    }
    // Nearly straight ahead there is no share, so the field is empty.
    assert!(records[6][0] == "0" && records[6][5].is_empty(), "{:?}", records[6]);
}

#[test]
fn a_preview_says_what_changes_and_what_to_turn() {
    let (code, text, _) = on_demo(&["set", "preview", "--car"], &["--lower", "30 mm"]);
    assert_eq!(code, 0);
    for words in [
        "30 mm lower",
        "total toe",
        "outside the limits (",
        "both tie rods",
        "flats",
        "bump stop",
        "twist beam",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    // Nothing of this car's figures was missing, so nothing typical is in it.
    assert!(!text.contains("NOT from this car"), "{text}");
    let (_, raised, _) = on_demo(&["set", "preview", "--car"], &["--front=-20mm"]);
    assert!(raised.contains("20 mm higher") && raised.contains("Headlamps: they aim"), "{raised}");
}

#[test]
fn the_right_wheel_is_told_with_where_it_comes_from() {
    let few = ["--from", "-20", "--to", "20", "--step", "20", "--side", "right"];
    let (code, table, _) = on_demo(&["car", "curves"], &few);
    assert!(
        code == 0 && table.contains("right wheel") && table.contains("mirror image of the left"),
        "{table}"
    );
    let view = json(&["car", "curves"], &few);
    assert!(view["side"] == "right" && view["mirrored"] == true, "{view}");
    let (code, _, err) = on_demo(&["car", "curves"], &["--side", "middle"]);
    assert!(code == 2 && err.contains("left, right"), "{err}");
}

#[test]
fn camber_out_of_its_target_is_told_with_what_to_set() {
    let folder = tempfile::tempdir().unwrap();
    let car = folder.path().join("car.toml");
    let text = std::fs::read_to_string(demo()).unwrap();
    std::fs::write(&car, text.replace("tolerance = \"0.75°\"", "tolerance = \"0.1°\"")).unwrap();
    let car = car.to_str().unwrap();
    let (code, text, _) = run(&["set", "preview", "--car", car, "--front", "15mm"]);
    assert_eq!(code, 0, "{text}");
    for words in [
        "→ camber, each side: -0.84°, wanted -0.50° (the middle of its tolerance)",
        "upper strut bolt in its slotted hole: top of the wheel outward",
        "range -0.75° to 0.75° [manual: Wagtail workshop sheet 44-06 (invented)]",
        "counting the toe that the camber setting brings: both tie rods",
        "solved anew with all of this set: camber left -0.50°, right -0.50°, total toe 0.10°",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    let (_, out, _) = run(&["set", "preview", "--car", car, "--front", "15mm", "--json"]);
    let view: Value = serde_json::from_str(&out).unwrap();
    let axle = &view["axles"][0];
    assert!(axle["settings"][0]["enough"] == true && axle["tie-rods"][1]["wheel"] == "right", "{axle}");
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

/// An inch is 25.4 mm (ISO 80000-3): 63.5 mm are 2.50 in, 25.4 mm are 1.00 in.
#[test]
fn who_chose_inches_sees_them() {
    for few in [
        ["--from", "-63.5 mm", "--to", "63.5 mm", "--step", "63.5 mm", "--units", "inch"],
        ["--from", "-2.5", "--to", "2 1/2", "--step", "2 1/2 in", "--units", "inch"],
    ] {
        let (code, table, err) = on_demo(&["car", "curves"], &few);
        assert!(code == 0 && table.contains("-2.50") && table.contains("+2.50"), "{table}{err}");
        assert!(!table.contains(" mm") && table.contains(" 0.00 "), "{table}");
    }
    let (_, steered, _) = on_demo(&["car", "curves"], &["--steering", "--units", "inch"]);
    assert!(steered.lines().nth(2).is_some_and(|units| units.trim_start().starts_with("in ")), "{steered}");
    let (_, shown, err) = on_demo(&["set", "preview", "--car"], &["--lower", "25.4 mm", "--units", "inch"]);
    assert!(shown.contains("front axle, 1.00 in lower") && shown.contains(" in longer"), "{shown}{err}");
    assert!(!shown.contains(" mm lower") && !shown.contains(" mm longer"), "{shown}");
    assert!(shown.contains("bump steer of a wheel, per inch up"), "{shown}");
    let lower = ["--front", "30 mm", "--rear", "0", "--units", "inch"];
    let (_, shown, err) = on_demo(&["set", "preview", "--car"], &lower);
    // 30 mm over a wheelbase of 2585 mm is 1.16 %; a percent is 3 in at 25 ft.
    assert!(shown.contains("they aim 1.2 % lower, 3.5 in at 25 ft"), "{shown}{err}");
    let now = ["--now", "front=14 in", "--now", "rear=14 1/2 in", "--units", "inch"];
    let (_, heights, err) = on_demo(&["set", "height", "--car"], &now);
    let line = heights.lines().find(|line| line.starts_with("height now, hub to arch, in"));
    assert!(line.is_some_and(|line| line.contains("14.00") && line.contains("14.50")), "{heights}{err}");
    for line in ["travel left to full droop, in", "wheel rate, lb/in", "load on the tyre, lbf"] {
        assert!(heights.contains(line), "{line}: {heights}");
    }
    // A program gets the project's own unit whatever a person chose.
    let view = json(&["set", "height", "--car"], &now);
    assert!((view["corners"][0]["now"].as_f64().unwrap() - 355.6).abs() < 1e-9, "{view}");
}
