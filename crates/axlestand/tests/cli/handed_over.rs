//! A queue that a phone handed over as a file: recorded once, whatever is in it.

use crate::workshop::Workshop;
use serde_json::{Value, json};

/// When everything here was made and sent, by the clock of the phone, ms.
const SENT: f64 = 3_600_000.0;

fn entry(id: char, number: i64, fields: &[[&str; 2]]) -> Value {
    let id = id.to_string().repeat(32);
    json!({ "id": id, "number": number, "job": "car", "made": SENT, "fields": fields })
}

fn queue(entries: &[Value]) -> String {
    json!({ "format": "axlestand-queue", "version": 1, "queue": "ab", "sent": SENT, "entries": entries })
        .to_string()
}

fn texts(workshop: &Workshop) -> Vec<String> {
    let log = workshop.run(&["log", "--json"]).expect(0).json();
    log.as_array().unwrap().iter().map(|line| line["text"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn given_twice_it_is_recorded_once_and_nothing_holds_up_what_stands_behind_it() {
    let workshop = Workshop::with_job();
    let before = texts(&workshop).len();
    let note = |id, number, text| entry(id, number, &[["do", "note"], ["text", text]]);
    let mut of_another_garage = note('e', 5, "elsewhere");
    of_another_garage["garage"] = json!("00");
    let mut of_no_job = note('f', 6, "no such job");
    of_no_job["job"] = json!("gone");
    let entries = [
        note('a', 1, "first"),
        json!({ "id": 7 }),
        entry('b', 2, &[["do", "fly"]]),
        entry('c', 3, &[["do", "done"], ["rows", "off:wheel"]]),
        // The id of the first with another content: that is another entry.
        note('a', 4, "first, written otherwise"),
        of_another_garage,
        of_no_job,
        note('9', 7, "last"),
    ];
    std::fs::write(workshop.path().join("queue.json"), queue(&entries)).unwrap();
    let told = workshop.run(&["deliver", "queue.json", "--json"]).expect(1).json();
    assert_eq!((&told["recorded"], &told["known"], &told["elsewhere"]), (&json!(2), &json!(0), &json!(1)));
    assert_eq!(told["to-look-at"].as_array().unwrap().len(), 5, "{told}");
    let again = workshop.shell("cat queue.json | \"$AXLESTAND\" deliver - --json").expect(1).json();
    assert_eq!((&again["recorded"], &again["known"]), (&json!(0), &json!(2)));
    assert_eq!(again["to-look-at"], told["to-look-at"]);
    assert_eq!(texts(&workshop)[before..], ["note: first", "note: last"]);
    // What needs a look waits once, however often it came.
    let database = rusqlite::Connection::open(workshop.database()).unwrap();
    let waiting: i64 = database
        .query_row("SELECT count(*) FROM delivery WHERE outcome = 'refused'", [], |row| row.get(0))
        .unwrap();
    assert_eq!(waiting, 5);
    let words = workshop.run(&["deliver", "queue.json"]).expect(1).out;
    assert!(words.starts_with("Recorded: 0, 2 already there.\nFor another garage: 1;"), "{words}");
}

#[test]
fn what_is_no_queue_is_refused_as_a_whole() {
    let workshop = Workshop::with_job();
    let before = texts(&workshop).len();
    let good = queue(&[entry('a', 1, &[["do", "note"], ["text", "x"]])]);
    for (text, said) in [
        (String::new(), "the file is empty"),
        ("{}".to_owned(), "another kind of file, or a part of it is missing"),
        ("[1, 2]".to_owned(), "another kind of file"),
        ("name = \"a car\"\n".to_owned(), "not written as such a file is, in line 1"),
        (good.replace("axlestand-queue", "shopping"), "its format is 'shopping'"),
        (good.replace("\"version\":1", "\"version\":99"), "use a newer one"),
        (good.replace("\"version\":1", "\"version\":0"), "says that it is of version 0, and the first was 1"),
        (good[..good.len() / 2].to_owned(), "it breaks off in line 1"),
    ] {
        std::fs::write(workshop.path().join("bad.json"), &text).unwrap();
        let answer = workshop.run(&["deliver", "bad.json", "--json"]).expect(2).json();
        assert_eq!(answer["error"]["code"], "bad-input", "{answer}");
        let message = answer["error"]["message"].as_str().unwrap();
        assert!(message.contains(said), "{answer}");
        for foreign in ["EOF", "missing field", "unknown field", "invalid type", "expected ident"] {
            assert!(!message.contains(foreign), "another library's words: {message}");
        }
    }
    workshop.run(&["deliver", "absent.json"]).expect(2);
    assert_eq!(texts(&workshop).len(), before);
}

/// What was not recorded is named, so that it can be recorded by hand.
#[test]
fn each_entry_that_needs_a_look_says_what_it_is() {
    let workshop = Workshop::with_job();
    let entries = [entry('c', 3, &[["do", "done"], ["rows", "off:wheel.left"]]), json!({ "id": 7 })];
    let mut whole: Value = serde_json::from_str(&queue(&entries)).unwrap();
    whole["version"] = json!(2);
    whole["photos"] = json!([{ "id": "d".repeat(32), "job": "car", "made": SENT, "picture": "soup",
        "fields": [["do", "photo"], ["step", "off:wheel.left"]] }]);
    std::fs::write(workshop.path().join("queue.json"), whole.to_string()).unwrap();
    let told = workshop.run(&["deliver", "queue.json"]).expect(1).out;
    let named = [
        "Done: off:wheel.left\n    - ",
        "an entry that is not understood\n    - ",
        "Photo of off:wheel.left\n    - ",
    ];
    assert!(named.iter().all(|what| told.contains(what)), "{told}");
}
