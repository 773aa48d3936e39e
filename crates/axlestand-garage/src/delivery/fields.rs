//! A filled-in form as a command: the one place where fields become what is recorded.
//!
//! Browsers send names and texts. `do` says what is meant; empty fields are as if they were not there;
//! `rows` may come several times; a field `seen.WHAT` is what was read off a fastener; a field `value.PLACE` is a number off a gauge at that place. A field
//! `unit.NAME` holds the unit that stood beside the field NAME: a bare number there is in it. `back` is
//! where the browser goes afterwards and records nothing.

use super::Command;
use crate::error::GarageError;
use crate::typed::with_unit;
use serde_json::{Map, Value};

/// Fields that are numbers.
const NUMBERS: &[&str] = &["tray"];
/// Fields that are yes where they are there.
const SWITCHES: &[&str] = &["seated", "reused", "fresh", "sure", "correct"];
/// The longest text of a field, bytes.
const LONGEST: usize = 8_000;

impl Command {
    /// The command that the fields of a form mean.
    ///
    /// # Errors
    /// [`GarageError::Input`], naming the field.
    pub fn from_fields(fields: &[(String, String)]) -> Result<Self, GarageError> {
        let mut object = Map::new();
        let unit_beside = |name: &str| {
            let mut units = fields.iter().filter_map(|(of, unit)| Some((of.strip_prefix("unit.")?, unit)));
            units.find(|(of, _)| *of == name).map_or("", |(_, unit)| unit)
        };
        for (name, text) in fields {
            if text.trim().is_empty() || name.starts_with("unit.") || name == "back" {
                continue;
            }
            let text = with_unit(text, unit_beside(name));
            if text.len() > LONGEST {
                return Err(GarageError::Input(format!(
                    "{name} is too long: at most {LONGEST} bytes are kept"
                )));
            }
            add(&mut object, name, &text)?;
        }
        let what = object.get("do").and_then(Value::as_str).unwrap_or_default().to_owned();
        if what == "done" && !object.contains_key("rows") {
            return Err(GarageError::Input("say which row is done".to_owned()));
        }
        if what == "take-back" && !object.contains_key("entry") {
            // The last entry is another one by the time at which this arrives.
            let text = "say which entry is taken back: choose it in the ledger";
            return Err(GarageError::Input(text.to_owned()));
        }
        if what == "skip"
            && let Some(Value::Array(rows)) = object.get("rows")
        {
            // The reason is that of one row; what was not written down must not count as left out.
            let [only] = rows.as_slice() else {
                return Err(GarageError::Input(format!(
                    "leave out one row at a time, each with its reason: {} were sent",
                    rows.len()
                )));
            };
            let only = only.clone();
            object.insert("rows".to_owned(), only);
        }
        serde_json::from_value(Value::Object(object)).map_err(|why| understood(&what, &why))
    }
}

fn add(object: &mut Map<String, Value>, name: &str, text: &str) -> Result<(), GarageError> {
    let mut push = |key: &str, value: Value| {
        let list = object.entry(key).or_insert_with(|| Value::Array(Vec::new()));
        if let Value::Array(list) = list {
            list.push(value);
        }
    };
    if name == "rows" {
        push("rows", Value::from(text));
    } else if let Some(field) = name.strip_prefix("seen.") {
        let seen = object.entry("seen").or_insert_with(|| Value::Object(Map::new()));
        if let Value::Object(seen) = seen {
            seen.insert(field.to_owned(), Value::from(text));
        }
    } else if let Some(place) = name.strip_prefix("value.") {
        push("readings", Value::from(vec![place, text]));
    } else if NUMBERS.contains(&name) {
        let number: u32 = text.parse().map_err(|_| {
            GarageError::Input(format!("{name}: '{text}' is no whole number; write it like 7"))
        })?;
        object.insert(name.to_owned(), Value::from(number));
    } else if SWITCHES.contains(&name) {
        object.insert(name.to_owned(), Value::from(true));
    } else {
        object.insert(name.to_owned(), Value::from(text));
    }
    Ok(())
}

fn understood(what: &str, why: &serde_json::Error) -> GarageError {
    let text = why.to_string();
    if what.is_empty() {
        return GarageError::Input("the form does not say what is to be recorded".to_owned());
    }
    match text.strip_prefix("missing field `").and_then(|rest| rest.split('`').next()) {
        Some(field) => GarageError::Input(format!("{}: fill it in", asked(field))),
        None => GarageError::Input(format!("the form is not understood ({text}): load the page again")),
    }
}

/// A field as people call it.
fn asked(field: &str) -> &str {
    match field {
        "reason" => "the reason is missing",
        "text" => "the note is empty",
        "value" | "readings" => "the reading is missing",
        "amount" => "the amount is missing",
        "way" => "the way is missing",
        other => other,
    }
}

#[cfg(test)]
mod as_a_browser_sends_them {
    use super::Command;
    use crate::delivery::Done;

    fn fields(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
        pairs.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
    }

    #[test]
    fn empty_fields_are_as_if_not_there_and_switches_are_yes() {
        let read = Command::from_fields(&fields(&[
            ("do", "done"),
            ("rows", "undo:arm-bolt.left"),
            ("tray", " 7 "),
            ("torque", ""),
            ("reused", "on"),
        ]));
        let done = Done {
            rows: vec!["undo:arm-bolt.left".to_owned()],
            tray: Some(7),
            reused: true,
            ..Done::default()
        };
        assert_eq!(read.unwrap(), Command::Done(done));
    }

    #[test]
    fn numbers_off_gauges_come_by_their_place() {
        let read = Command::from_fields(&fields(&[
            ("do", "gauge"),
            ("value.string.fl.front-edge", "52.5 mm"),
            ("value.string.fl.rear-edge", ""),
        ]));
        let Command::Gauge { readings, sure: false, .. } = read.unwrap() else { panic!("no gauge") };
        assert_eq!(readings, [("string.fl.front-edge".to_owned(), "52.5 mm".to_owned())]);
    }

    #[test]
    fn a_bare_number_is_in_the_unit_beside_its_field() {
        let read = Command::from_fields(&fields(&[
            ("do", "gauge"),
            ("unit.value.string.fl.hub", "mm"),
            ("value.string.fl.hub", "61"),
            ("unit.value.camber.fl", "°"),
            ("value.camber.fl", "-0°40'"),
            ("unit.at", "in"),
            ("at", "12"),
        ]));
        let Command::Gauge { readings, at, .. } = read.unwrap() else { panic!("no gauge") };
        assert_eq!(readings[0].1, "61 mm");
        assert_eq!(readings[1].1, "-0°40'");
        assert_eq!(at.as_deref(), Some("12 in"));
    }

    #[test]
    fn what_was_seen_comes_by_its_name() {
        let read = Command::from_fields(&fields(&[
            ("do", "done"),
            ("rows", "undo:arm-bolt.left"),
            ("seen.thread", "M14x1.5"),
            ("seen.class", ""),
            ("unit.seen.length", "in"),
            ("seen.length", "3 3/8"),
        ]));
        let Command::Done(done) = read.unwrap() else { panic!("nothing done") };
        let seen: Vec<_> = done.seen.iter().map(|(what, text)| (what.as_str(), text.as_str())).collect();
        assert_eq!(seen, [("length", "3 3/8 in"), ("thread", "M14x1.5")]);
    }

    #[test]
    fn what_is_missing_or_wrong_is_named() {
        let why = |pairs: &[(&str, &str)]| Command::from_fields(&fields(pairs)).unwrap_err().to_string();
        assert_eq!(why(&[]), "the form does not say what is to be recorded");
        assert_eq!(why(&[("do", "done")]), "say which row is done");
        let which = "say which entry is taken back: choose it in the ledger";
        assert_eq!(why(&[("do", "take-back"), ("entry", ""), ("reason", "a slip")]), which);
        assert_eq!(why(&[("do", "skip"), ("rows", "12")]), "the reason is missing: fill it in");
        assert_eq!(
            why(&[("do", "skip"), ("rows", "12"), ("rows", "14"), ("reason", "stays")]),
            "leave out one row at a time, each with its reason: 2 were sent"
        );
        assert_eq!(
            why(&[("do", "done"), ("rows", "1"), ("tray", "seven")]),
            "tray: 'seven' is no whole number; write it like 7"
        );
        assert!(why(&[("do", "fly"), ("rows", "1")]).starts_with("the form is not understood"));
    }
}
