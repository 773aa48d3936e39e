//! Questions about odd torques.
#![allow(clippy::panic, clippy::expect_used, reason = "a test fails loudly")]

use axlestand_fastener::plausibility::{Oddity, PlausibilityError, Question, question, usual_band};
use axlestand_fastener::{PropertyClass, Thread};
use axlestand_quantity::{Torque, Unit};
use proptest::prelude::*;

fn thread(text: &str) -> Thread {
    Thread::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"))
}
fn nm(value: f64) -> Torque {
    Torque::from_nm(value).expect("finite")
}

fn asked(name: &str, class: Option<&str>, number: f64, unit: &str) -> Option<Question> {
    let unit = Unit::find(unit).expect(unit);
    let class = class.map(|c| PropertyClass::parse(c).expect(c));
    question(thread(name), class, nm(number * unit.factor), unit).expect("judged")
}

/// Ordinary suspension torques of class 8.8 to 10.9, dry (workshop bands), raise no question.
#[test]
fn ordinary_torques_pass() {
    for (name, low, high) in [
        ("M6", 7.0, 12.0),
        ("M8", 20.0, 30.0),
        ("M10", 45.0, 70.0),
        ("M12", 80.0, 120.0),
        ("M14", 120.0, 190.0),
    ] {
        assert_eq!(asked(name, None, low, "N·m"), None, "{name} {low}");
        assert_eq!(asked(name, None, high, "N·m"), None, "{name} {high}");
    }
    assert_eq!(asked("M12x1.25", None, 45.0, "N·m"), None, "a castle nut on a taper");
    assert_eq!(asked("1/2-20", None, 75.0, "lb·ft"), None);
}

#[test]
fn unit_slips_are_asked_about() {
    let kgf = asked("M12", None, 10.0, "N·m").expect("a question");
    assert_eq!(kgf.oddity, Oddity::Little);
    let others: Vec<&str> = kgf.other_units.iter().map(|o| o.unit.symbol).collect();
    assert_eq!(others, ["kgf·m"], "in lb·ft or less it would be little as well");
    assert!(kgf.to_string().contains("Does the manual say kgf·m (98 N·m)"), "{kgf}");
    let feet = asked("M14x1.5", Some("8.8"), 190.0, "lb·ft").expect("a question");
    assert_eq!(feet.oddity, Oddity::Much);
    assert!(feet.other_units.iter().any(|o| o.unit.symbol == "N·m"), "{feet}");
    let inches = asked("M6", None, 90.0, "N·m").expect("a question");
    assert!(
        inches.other_units.iter().any(|o| o.unit.symbol == "lb·in" || o.unit.symbol == "kgf·cm"),
        "{inches}"
    );
}

/// The number comes back as it was typed, not as the unit conversion left it.
#[test]
fn the_typed_number_is_told_as_it_was_typed() {
    for (name, number, unit, told) in [
        ("M12", 190.0, "lb·ft", "190 lb·ft is much for"),
        ("M8", 110.7, "lb·ft", "110.7 lb·ft is much for"),
        ("M12", 0.05, "kgf·m", "0.05 kgf·m is little for"),
        ("M12", 0.000_001, "lb·in", "0.000001 lb·in is little for"),
    ] {
        let question = asked(name, None, number, unit).expect("a question").to_string();
        assert!(question.starts_with(told), "{question}");
    }
    // Too large to be rounded off, it is told all the same.
    let huge = asked("M8", None, 1e305, "N·m").expect("a question").to_string();
    assert!(huge.starts_with("1000000"), "{huge}");
}

#[test]
fn a_wrong_fastener_is_asked_about() {
    let wheel = asked("M8", None, 110.0, "N·m").expect("a question");
    assert_eq!(wheel.larger_thread, Some(thread("M12")));
    assert!(wheel.to_string().contains("another fastener, M12×1.75 or larger"), "{wheel}");
}

#[test]
fn plausibility_refuses_what_makes_no_sense() {
    let newton = Unit::find("N").expect("N");
    assert!(matches!(question(thread("M8"), None, nm(10.0), newton), Err(PlausibilityError::Unit)));
    let unit = Unit::find("N·m").expect("N·m");
    assert!(matches!(question(thread("M8"), None, nm(-1.0), unit), Err(PlausibilityError::Tightening(_))));
    let wrong = question(thread("M8"), Some(PropertyClass::Sae5), nm(10.0), unit);
    assert!(matches!(wrong, Err(PlausibilityError::Class(_))));
}

/// Beyond the sizes of the usual classes there is nothing to hold a torque against.
#[test]
fn large_threads_raise_no_question() {
    assert_eq!(asked("M52x1.5", None, 1.0, "N·m"), None);
    assert_eq!(asked("#10-32", None, 500.0, "N·m"), None);
}

proptest! {
    #[test]
    fn every_band_is_a_band(i in 0..200_usize) {
        let all: Vec<Thread> = Thread::all().collect();
        let t = all[i % all.len()];
        if let Ok((from, to)) = usual_band(t, None) {
            prop_assert!(nm(0.0) < from && from < to, "{t}: {from} to {to}");
        }
    }

    #[test]
    fn asking_never_fails_for_a_torque(i in 0..200_usize, torque in 0.0..1e6_f64) {
        let all: Vec<Thread> = Thread::all().collect();
        let unit = Unit::find("N·m").expect("N·m");
        prop_assert!(question(all[i % all.len()], None, nm(torque), unit).is_ok());
    }
}
