//! What holds of every text that anybody may hand in: it is refused with a reason, or what was read is
//! written and read again to the same. The fuzz targets (`fuzz/`) and the test of their corpus share this.
#![allow(clippy::panic, reason = "a property fails by panicking")]

use axlestand_fastener::{Condition, PropertyClass, Thread, WrenchSize};
use axlestand_garage::delivery::{Command, Queue};
use axlestand_garage::vehicle::{part_choices, read_car, unreachable_parts};
use axlestand_ledger::{Action, wire};
use axlestand_model::car::{Drive, parse_steps};
use axlestand_model::file::{Severity, render};
use axlestand_quantity::Dimension;

/// A vehicle file: findings lie within the text and can be shown; there is a car where none is an error.
pub(crate) fn vehicle_file(text: &str) {
    let reading = read_car(text);
    for finding in &reading.findings {
        assert!(text.get(finding.span.clone()).is_some(), "{finding:?} lies outside of the text");
        assert!(!finding.message.is_empty() && !finding.hint.is_empty(), "{finding:?} says nothing");
    }
    let shown = render(&reading.findings, text, "car.toml", false);
    assert_eq!(shown.is_empty(), reading.findings.is_empty());
    let errors = reading.findings.iter().any(|finding| finding.severity == Severity::Error);
    assert_eq!(reading.car.is_some(), !errors, "no car and no error: {:?}", reading.findings);
    if let Some(car) = reading.car {
        let (_, _) = (part_choices(&car), unreachable_parts(&car));
    }
}

/// An event as it is stored: what is read is written and read again to the same.
pub(crate) fn event(text: &str) {
    if let Ok(event) = wire::from_json(text) {
        let written = wire::to_json(&event).unwrap_or_else(|why| panic!("read but not written: {why}"));
        assert_eq!(wire::from_json(&written).ok(), Some(event), "{written}");
    }
}

const DIMENSIONS: [Dimension; 8] = [
    Dimension::Length,
    Dimension::Angle,
    Dimension::Force,
    Dimension::Torque,
    Dimension::Mass,
    Dimension::Volume,
    Dimension::Pressure,
    Dimension::SpringRate,
];

/// Every reader of a quantity or a trade designation: what was read is shown and read again, and shown as
/// before.
pub(crate) fn designation(text: &str) {
    for dimension in DIMENSIONS {
        if let Ok(parsed) = dimension.parse(text) {
            assert!(
                parsed.value.is_finite() && parsed.u.is_none_or(|u| u.is_finite() && u >= 0.0),
                "{parsed:?}"
            );
        }
    }
    again("thread", Thread::parse(text).ok(), Thread::to_string, |text| Thread::parse(text).ok());
    again("class", PropertyClass::parse(text).ok(), PropertyClass::to_string, |text| {
        PropertyClass::parse(text).ok()
    });
    again("wrench", WrenchSize::parse(text).ok(), WrenchSize::to_string, |text| WrenchSize::parse(text).ok());
    again(
        "condition",
        Condition::parse(text).ok(),
        |it| it.slug().to_owned(),
        |text| Condition::parse(text).ok(),
    );
    again("drive", Drive::parse(text).ok(), Drive::to_string, |text| Drive::parse(text).ok());
    again("action", Action::parse(text).ok(), Action::to_string, |text| Action::parse(text).ok());
    if let Ok(steps) = parse_steps(text) {
        assert!(!steps.is_empty());
    }
}

fn again<T: PartialEq + std::fmt::Debug>(
    what: &str,
    read: Option<T>,
    show: impl Fn(&T) -> String,
    parse: impl Fn(&str) -> Option<T>,
) {
    if let Some(read) = read {
        let shown = show(&read);
        assert_eq!(parse(&shown).as_ref(), Some(&read), "{what} '{shown}' is not read as what it shows");
    }
}

/// The fields of a web form, as a browser encodes them in an address: a command, or a reason.
pub(crate) fn form(text: &str) {
    let fields: Vec<(String, String)> = text
        .split('&')
        .map(|pair| pair.split_once('=').unwrap_or((pair, "")))
        .map(|(name, value)| (name.to_owned(), value.to_owned()))
        .collect();
    if let Err(why) = Command::from_fields(&fields) {
        assert!(!why.to_string().is_empty());
    }
}

/// A queue that a phone hands over.
pub(crate) fn queue(text: &str) {
    match Queue::read(text) {
        Ok(queue) => assert!(queue.sender("phone").len() <= 32),
        Err(why) => assert!(!why.to_string().is_empty()),
    }
}
