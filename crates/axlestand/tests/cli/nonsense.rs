//! Nonsense typed: a clear error with the right exit code, and nothing recorded.

use crate::workshop::Workshop;

/// Commands with their exit code and a piece of the message.
const CASES: &[(&[&str], i32, &str)] = &[
    // Rows.
    (&["done", "0"], 2, "there is no row '0'; this job has rows 1 to "),
    (&["done", "999"], 2, "there is no row '999'"),
    (&["done", "99999999999999999999"], 2, "there is no row '99999999999999999999'"),
    (&["done", "1-4294967295"], 2, "there is no row '4294967295'"),
    (&["done", "5-2"], 2, "write the lower number first"),
    (&["done", "1-"], 2, "there is no row '1-'"),
    (&["done", "1..3"], 2, "there is no row '1..3'"),
    (&["done", "1.5"], 2, "there is no row '1.5'"),
    (&["done", "-1"], 2, "unexpected argument '-1'"),
    (&["done", ""], 2, "there is no row ''"),
    (&["done", " "], 2, "there is no row ''"),
    (&["done"], 2, "required arguments were not provided"),
    // Addresses; this one is nobody's (RFC 5737).
    (&["serve", "--port", "0", "--lan", "192.0.2.7"], 2, "192.0.2.7 is no address of this machine"),
    // All devices of a network, many of them, this machine alone, one link (RFC 919, 5771, 1122, 4291).
    (&["serve", "--lan", "255.255.255.255"], 2, "it stands for many devices"),
    (&["serve", "--lan", "224.0.0.1"], 2, "it stands for many devices"),
    (&["serve", "--lan", "ff02::1"], 2, "it stands for many devices"),
    (&["serve", "--lan", "127.0.0.1"], 2, "leave out --lan"),
    (&["serve", "--lan", "::1"], 2, "leave out --lan"),
    (&["serve", "--lan", "fe80::1"], 2, "an address of one link"),
    (&["serve", "--lan", "garage-pc"], 2, "write it like 192.168.1.20"),
    // Names and actions.
    (&["done", "gremlin"], 2, "the car has nothing called 'gremlin'"),
    (&["done", "wheel-nutz"], 2, "did you mean 'wheel-nuts'?"),
    (&["done", "l"], 2, "'l' may mean"),
    (&["done", "paint:wheel"], 2, "'paint' is no action; there are do, read"),
    (&["done", ":wheel"], 2, "'' is no action"),
    (&["done", "off:"], 2, "the car has nothing called ''"),
    (&["done", "off:wheel-nuts"], 1, "cannot be done with 'off'"),
    (&["done", "undo:wheel"], 1, "cannot be done with 'undo'"),
    (&["done", "read:height"], 1, "a reading is recorded with its value: use 'read'"),
    (&["done", "off:wheel.left"], 2, "the car has nothing called 'wheel.left'"),
    (&["done", "ünïcödé"], 2, "the car has nothing called"),
    (&["stuck", "wheel"], 2, "only fasteners and connections get stuck"),
    (&["broken", "raise"], 2, "only parts, fasteners and connections break"),
    (&["replaced", "height"], 2, "only parts, fasteners and connections break"),
    (&["choose", "link", "drill-pinch-bolt"], 2, "is no way to free 'link'"),
    (&["choose", "wheel", "wheel"], 2, "is no way to free 'wheel'"),
    // Readings.
    (&["read", "height", "12"], 2, "unit"),
    (&["read", "height", "12 kg"], 2, "kg"),
    (&["read", "height", "NaN mm"], 2, "NaN"),
    (&["read", "height", "inf mm"], 2, "inf"),
    (&["read", "height", "99999999 mm"], 2, "is the unit right?"),
    (&["read", "height", "360 ± -1 mm"], 2, "360 ± -1 mm"),
    (&["read", "height", ""], 2, "the value is empty"),
    (&["read", "height"], 2, "'height' has no value"),
    (&["read"], 2, "nothing to record: say what was read"),
    (&["read", "wheel", "12 mm"], 2, "'wheel' is no reading of this car"),
    // Details.
    (&["done", "loosen:wheel-nuts", "--torque", "90 N·m"], 1, "no torque is reached by 'loosen:wheel-nuts'"),
    (&["done", "do:raise", "--torque", "90 N·m"], 1, "no torque is reached by 'do:raise'"),
    (&["done", "final:jam-nut", "--torque", "fast"], 1, "the torque is not understood"),
    (&["done", "final:jam-nut", "--torque=-5 N·m"], 1, "the torque is not understood"),
    (&["done", "final:jam-nut", "--torque", "9000 N·m"], 1, "is not possible on a car"),
    (&["done", "final:jam-nut", "--torque", "90 mm"], 1, "the torque is not understood"),
    (&["done", "loosen:wheel-nuts", "--torque", ""], 2, "the torque is empty"),
    (&["done", "loosen:wheel-nuts", "--length", "long"], 2, "--length"),
    (&["done", "loosen:wheel-nuts", "--condition", "soup"], 2, "give one of dry, "),
    (&["done", "loosen:wheel-nuts", "--tray", "4294967296"], 2, "--tray"),
    (&["done", "loosen:wheel-nuts", "--reused", "--new"], 2, "cannot be used with"),
    (&["done", "loosen:wheel-nuts", "--seen-thread", "M13x9"], 2, "M13"),
    (&["done", "loosen:wheel-nuts", "--seen-drive", "banana"], 2, "banana"),
    (&["done", "loosen:wheel-nuts", "--seen-class", ""], 2, "the class seen is empty"),
    (&["done", "loosen:wheel-nuts", "do:raise", "--tray", "3"], 2, "record that row by itself"),
    // Free texts.
    (&["note", ""], 2, "the note is empty"),
    (&["note", " \n\t "], 2, "the note is empty"),
    (&["note", "bell\u{7}"], 2, "the control character U+0007"),
    (&["note", "\u{1b}[2Jgone"], 2, "the control character U+001B"),
    (&["note", "to the wheel", "--item", "gremlin"], 2, "the car has nothing called 'gremlin'"),
    (&["broken", "wheel", "--note", "\u{1b}c"], 2, "the control character U+001B"),
    (&["skip", "1", "--reason", ""], 2, "say why it is left out"),
    (&["skip", "1"], 2, "--reason"),
    (&["skip", "off:knuckle", "--reason", "because"], 2, "is not in the plan"),
    (&["undo-entry", "ab"], 2, "is too short for an entry"),
    (&["undo-entry", "zzzzzzzz"], 2, "0 entries fit"),
    // Jobs.
    (&["job", "use", "nobody"], 2, "there is no job called 'nobody'"),
    (&["--job", "nobody", "note", "x"], 2, "there is no job called 'nobody'"),
    (&["job", "start", "car.toml"], 2, "--replace"),
    (&["job", "start", "car.toml", "--replace"], 2, "a value is required"),
    (&["job", "start", "car.toml", "--replace", ""], 2, "the car has nothing called ''"),
    (&["job", "start", "car.toml", "--replace", "wheel-nuts"], 2, "'wheel-nuts' is a fastener; only parts"),
    (
        &["job", "start", "car.toml", "--replace", "wheel-n"],
        2,
        "the car has no part called 'wheel-n'; 'wheel-nuts' is a fastener, and only parts can be replaced",
    ),
    (&["job", "start", "car.toml", "--replace", "height"], 2, "'height' is a reading; only parts"),
    (&["job", "start", "car.toml", "--replace", "flux-capacitor"], 2, "nothing called 'flux-capacitor'"),
    (&["job", "start", "absent.toml", "--replace", "link"], 2, "absent.toml cannot be read"),
    (&["job", "start", ".", "--replace", "link"], 2, "cannot be read"),
    (&["job", "start", "car.toml", "--replace", "link", "--rust", "9"], 2, "the rust grade goes from 0"),
    (&["job", "start", "car.toml", "--replace", "link", "--rust", "-1"], 2, "-1"),
    (&["job", "start", "car.toml", "--replace", "link", "--rust", "300"], 2, "300"),
    (&["job", "start", "car.toml", "--replace", "link", "--name", ""], 2, "the job's name is empty"),
    (&["job", "start", "car.toml", "--replace", "link", "--name", "a/../b"], 2, "leave out slashes"),
    (&["job", "start", "car.toml", "--replace", "link", "--name", "a\\b"], 2, "leave out slashes"),
    (&["job", "start", "car.toml", "--replace", "link", "--name", "x\u{1b}[0m"], 2, "control character"),
    (&["job", "start", "car.toml", "--replace", "link", "--name", "car"], 2, "a job called 'car' already"),
    (&["job", "start", "car.toml", "--replace", "link", "--toolbox", "absent"], 2, "absent cannot be read"),
    // Vehicle files.
    (&["car", "set", "wheel-nuts", "torque", "140"], 2, "say where the value comes from"),
    (&["car", "set", "wheel-nuts", "torque", "140", "--source", "p. 3"], 2, "140"),
    (&["car", "set", "wheel-nuts", "torque", "140 mm", "--source", "p. 3"], 2, "a torque is wanted"),
    (&["car", "set", "wheel-nuts", "torque", "140 N·m", "--source", " "], 2, "the source is empty"),
    (&["car", "set", "wheel-nuts", "torque", "140 N·m", "--source", "\u{7}"], 2, "control character"),
    (&["car", "set", "wheel-nuts", "torque", "140 N·m", "--measured"], 2, "a torque is not measured"),
    (&["car", "set", "wheel-nuts", "length", "3 mm"], 2, "say --measured"),
    (&["car", "set", "gremlin", "torque", "140 N·m", "--source", "p. 3"], 2, "nothing called 'gremlin'"),
    (&["car", "set", "wheel", "torque", "140 N·m", "--source", "p. 3"], 2, "no fastener, fluid or target"),
    (&["car", "new", "--layout", "hovercraft", "--usual"], 2, "hovercraft"),
    (&["car", "new", "--layout", "hovercraft", "--questions"], 2, "no template for the layout 'hovercraft'"),
    (&["car", "new", "--answer", "abs", "--usual"], 2, "write KEY=VALUE"),
    (&["car", "new", "--answer", "abs=perhaps", "--usual"], 2, "neither yes nor no"),
    (&["check"], 2, "required arguments were not provided"),
    (&["next", "-n", "-3"], 2, "-3"),
    (&["completions", "cobol"], 2, "cobol"),
    (&["--units", "furlongs", "next"], 2, "furlongs"),
];

#[test]
fn nonsense_is_told_and_records_nothing() {
    let workshop = Workshop::with_job();
    let before = workshop.log();
    for (case, code, piece) in CASES {
        let answer = workshop.run(case);
        assert_eq!(answer.code, Some(*code), "{case:?}: {answer:?}");
        assert_eq!(answer.out, "", "{case:?}");
        assert!(answer.err.contains(piece), "{case:?} should say {piece:?}:\n{}", answer.err);
        assert!(!answer.err.contains('\u{1b}'), "{case:?}");
        assert_eq!(workshop.log(), before, "{case:?}");
    }
    assert_eq!(std::fs::read_to_string(workshop.path().join("car.toml")).unwrap(), crate::workshop::CORNER);
    assert_eq!(workshop.run(&["job", "list"]).expect(0).out, "* car\n");
}

#[test]
fn texts_too_long_to_read_are_refused_and_those_just_short_enough_kept_whole() {
    let workshop = Workshop::with_job();
    let before = workshop.log();
    for length in [2_001, 10_240, 120_000] {
        let answer = workshop.run(&["note", &"x".repeat(length)]).expect(2);
        let said = format!("the note has {length} characters; at most 2000 are kept");
        assert!(answer.err.contains(&said), "{}", answer.err);
    }
    let name = "n".repeat(81);
    let start = ["job", "start", "car.toml", "--replace", "link", "--name", &name];
    assert!(workshop.run(&start).expect(2).err.contains("at most 80 are kept"));
    assert_eq!(workshop.log(), before);
    let note = "ä".repeat(2_000);
    workshop.run(&["note", &note]).expect(0);
    assert!(workshop.run(&["log"]).expect(0).out.contains(&note));
}

#[test]
fn a_note_of_several_lines_stays_one_line_of_the_log() {
    let workshop = Workshop::with_job();
    workshop.run(&["note", "first\n2000-01-01T00:00  deadbeef  done everything\r\n\tlast"]).expect(0);
    let log = workshop.run(&["log"]).expect(0).out;
    assert_eq!(log.lines().count(), 3, "{log}");
    assert!(log.contains("note: first 2000-01-01T00:00 deadbeef done everything last\n"), "{log}");
}

#[test]
fn a_vehicle_file_with_an_odd_name_gives_a_plain_job_name() {
    let workshop = Workshop::empty();
    for (file, name) in [("a\u{7}b.toml", "ab"), (" .toml", "job"), ("x\\y.toml", "xy")] {
        std::fs::copy(workshop.path().join("car.toml"), workshop.path().join(file)).unwrap();
        let answer = workshop.run(&["--json", "job", "start", file, "--replace", "link"]).expect(0);
        assert_eq!(answer.json()["job"], name, "{file:?}");
    }
}

#[test]
fn a_length_or_tray_place_of_what_is_no_fastener_is_not_swallowed() {
    let workshop = Workshop::with_job();
    workshop.run(&["read", "height", "360 mm"]).expect(0);
    workshop.run(&["done", "loosen:wheel-nuts"]).expect(0);
    let before = workshop.log();
    for extra in [["--length", "80 mm"], ["--tray", "3"], ["--seen-class", "8.8"]] {
        let answer = workshop.run(&[&["done", "raise"][..], &extra].concat()).expect(2);
        assert!(answer.err.contains("'raise' is no fastener"), "{answer:?}");
    }
    assert_eq!(workshop.log(), before);
    workshop.run(&["done", "raise"]).expect(0);
}

/// A vehicle file that is there no more, or that an old editor saved in a coding of its own, is told wherever the job
/// is shown; the job goes on.
#[test]
fn a_vehicle_file_that_cannot_be_read_is_told() {
    let workshop = Workshop::with_job();
    let file = workshop.path().join("car.toml");
    let text = std::fs::read_to_string(&file).unwrap();
    // Each character as one byte of the first page of Unicode: ISO 8859-1.
    let latin: Vec<u8> = text.chars().map(|c| u8::try_from(u32::from(c)).unwrap_or(b'?')).collect();
    assert!(std::str::from_utf8(&latin).is_err(), "the file has a sign beside ASCII");
    let told = |what: &str| {
        for command in [&["next"][..], &["prepare"], &["check", "road"]] {
            let answer = workshop.run(command);
            let all = format!("{}{}", answer.out, answer.err);
            assert!(all.contains(what), "{command:?}: {all}");
        }
    };
    std::fs::write(&file, latin).unwrap();
    told("was changed and is no UTF-8 text: the job goes on with the last good one. Save it as UTF-8");
    std::fs::remove_file(&file).unwrap();
    told(
        "is not there any more: the job goes on with the last good one ('axlestand job car FILE' says where it is)",
    );
    std::fs::create_dir(&file).unwrap();
    told("cannot be read (");
    std::fs::remove_dir(&file).unwrap();
    std::fs::write(&file, text).unwrap();
    let answer = workshop.run(&["next"]);
    assert!(!answer.out.contains("the last good one"), "{}", answer.out);
}
