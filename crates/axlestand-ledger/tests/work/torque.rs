//! The record of a final torque: which value, from which source, and which values are refused.

use crate::job::Job;
use axlestand_ledger::{Details, Event, FastenerStage, TorqueRecord};
use axlestand_model::{CarState, Condition};

/// The corner on its wheels with everything seated.
fn seated() -> Job {
    let mut job = Job::on_corner("");
    job.noted("do:raise do:lower do:settle");
    for item in [
        "wheel-nuts",
        "hub-nut",
        "front-bolt",
        "rear-bolt",
        "castle-nut",
        "jam-nut",
        "insert-nut",
        "unknown-bolt",
    ] {
        job.reached(item, FastenerStage::Seated, None);
    }
    job
}

fn with(torque: &str, source: &str) -> Details {
    let some = |text: &str| (!text.is_empty()).then(|| text.to_owned());
    Details { torque: some(torque), source: some(source), ..Details::default() }
}

fn record(job: &mut Job, action: &str, details: &Details) -> Result<TorqueRecord, String> {
    match job.does_with(action, details) {
        Ok(Event::Done { torque, .. }) => Ok(torque.unwrap()),
        Ok(other) => panic!("{other:?}"),
        Err(refusal) => Err(refusal.to_string()),
    }
}

fn value(
    job: &Job,
    action: &str,
    details: &Details,
) -> Result<(Option<String>, Option<String>, bool), String> {
    record(&mut job.clone(), action, details).map(|r| (r.value, r.provenance, r.own_source))
}

fn is(value: &str, source: &str, own: bool) -> Result<(Option<String>, Option<String>, bool), String> {
    Ok((Some(value.to_owned()), Some(source.to_owned()), own))
}

#[test]
fn without_a_word_the_specification_is_what_was_reached() {
    let mut job = seated();
    let full = record(&mut job, "final:wheel-nuts", &Details::default()).unwrap();
    assert_eq!(
        full,
        TorqueRecord {
            value: Some("110 N·m".to_owned()),
            provenance: Some("manual: sheet 1".to_owned()),
            wrench: None,
            adapter: None,
            condition: Some("dry".to_owned()),
            car_state: Some(CarState::RideHeight),
            own_source: false,
            specified: Some(Condition::Dry),
        }
    );
    let details = Details {
        wrench: Some("long".to_owned()),
        adapter: Some("crow foot".to_owned()),
        condition: Some("dry".to_owned()),
        ..Details::default()
    };
    let full = record(&mut job, "final:front-bolt", &details).unwrap();
    assert_eq!(
        (full.wrench, full.adapter, full.condition),
        (details.wrench, details.adapter, details.condition)
    );
    assert_eq!(full.value.unwrap(), "50 N·m + 90°");
    // Locking reaches no torque, and without a torque there is none to record.
    job.does("final:hub-nut");
    let locked = job.does_with("lock:hub-nut", &Details::default()).unwrap();
    assert!(matches!(locked, Event::Done { torque: None, .. }), "{locked:?}");
    job.noted("undo:flap-screw");
    let screwed = job.does_with("fit:flap-screw", &Details::default()).unwrap();
    assert!(matches!(screwed, Event::Done { torque: None, .. }), "{screwed:?}");
}

#[test]
fn where_nothing_is_known_nothing_is_made_up() {
    let job = seated();
    assert_eq!(value(&job, "final:unknown-bolt", &Details::default()), Ok((None, None, false)));
    assert_eq!(
        value(&job, "final:unknown-bolt", &with("25 N·m", "")),
        Ok((Some("25 N·m".to_owned()), None, false))
    );
    assert_eq!(
        value(&job, "final:unknown-bolt", &with("25 N·m", "sheet 9")),
        is("25 N·m", "manual: sheet 9", true)
    );
    // A source without a value is none.
    assert_eq!(value(&job, "final:unknown-bolt", &with("", "sheet 9")), Ok((None, None, false)));
}

#[test]
fn a_placeholder_is_worked_to_only_where_no_life_hangs_on_it() {
    let placeholder = |item: &str, critical: bool| {
        let (old, new) = match item {
            "rear-bolt" => (
                "torque = { value = \"90 N·m\", condition = \"dry\", state = \"ride-height\", provenance = \"manual\", source = \"sheet 3\" }",
                "torque = { value = \"90 N·m\", state = \"ride-height\" }",
            ),
            _ => (
                "torque = { value = \"45 N·m\", provenance = \"manual\", source = \"sheet 5\" }",
                "torque = { value = \"45 N·m\" }",
            ),
        };
        let mut job = Job::on_corner_with("", &[(old, new)]);
        job.noted("do:raise do:lower do:settle");
        job.reached(item, FastenerStage::Seated, None);
        assert_eq!(job.car.fastener(&crate::job::id(item)).unwrap().critical, critical);
        value(&job, &format!("final:{item}"), &Details::default()).unwrap()
    };
    assert_eq!(placeholder("rear-bolt", true), (None, None, false));
    let (value, source, _) = placeholder("insert-nut", false);
    assert_eq!(value.as_deref(), Some("45 N·m"));
    assert!(source.unwrap().starts_with("typical"));
}

#[test]
fn a_hand_torque_wrench_may_be_off_by_its_tolerance() {
    // ISO 6789-1: ± 4 % above 10 N·m, and a scale to be read: 5 % of 110 N·m are 5.5 N·m.
    let job = seated();
    for (typed, good) in
        [("104.4 N·m", false), ("104.6 N·m", true), ("115.4 N·m", true), ("115.6 N·m", false)]
    {
        assert_eq!(value(&job, "final:wheel-nuts", &with(typed, "")).is_ok(), good, "{typed}");
    }
    // The turn behind it within 10°, and as many steps as are asked for.
    for (typed, good) in [
        ("50 N·m + 79°", false),
        ("50 N·m + 81°", true),
        ("50 N·m + 100°", true),
        ("50 N·m + 101°", false),
        ("40 N·m + 90°", false),
        ("50 N·m", false),
        ("50 N·m + 60 N·m", false),
        ("50 N·m + 90° + 90°", false),
    ] {
        assert_eq!(value(&job, "final:front-bolt", &with(typed, "")).is_ok(), good, "{typed}");
    }
    let why = value(&job, "final:wheel-nuts", &with("90 N·m", "")).unwrap_err();
    assert!(why.contains("its specification is 110 N·m [manual: sheet 1]"), "{why}");
    assert!(
        value(&job, "final:wheel-nuts", &with("soup", ""))
            .unwrap_err()
            .contains("the torque is not understood")
    );
}

#[test]
fn another_value_needs_a_source_and_stays_within_reason() {
    let job = seated();
    // Half to one and a half of the specified value (AX-6); 110 N·m: from 55 to 165 N·m.
    for (typed, good) in
        [("54 N·m", false), ("55 N·m", true), ("165 N·m", true), ("166 N·m", false), ("1100 N·m", false)]
    {
        assert_eq!(value(&job, "final:wheel-nuts", &with(typed, "sheet 9")).is_ok(), good, "{typed}");
    }
    assert_eq!(
        value(&job, "final:wheel-nuts", &with("90 N·m", "sheet 9")),
        is("90 N·m", "manual: sheet 9; the vehicle file says 110 N·m", true)
    );
    assert_eq!(
        value(&job, "final:wheel-nuts", &with("110 N·m", "sheet 9")),
        is("110 N·m", "manual: sheet 9", true)
    );
    assert_eq!(
        value(&job, "final:wheel-nuts", &with("111 N·m", "")),
        is("111 N·m", "manual: sheet 1", false)
    );
    assert_eq!(value(&job, "final:wheel-nuts", &with("", "sheet 9")), is("110 N·m", "manual: sheet 9", true));
    let why = value(&job, "final:wheel-nuts", &with("11 N·m", "sheet 9")).unwrap_err();
    assert!(why.contains("too far from its specification 110 N·m [manual: sheet 1]"), "{why}");
}

#[test]
fn what_was_typed_of_the_thread_is_kept_beside_what_the_value_is_for() {
    let oiled = Details { condition: Some("oiled".to_owned()), ..with("", "sheet 9") };
    let kept = record(&mut seated(), "final:wheel-nuts", &oiled).unwrap();
    assert_eq!(kept.condition.as_deref(), Some("oiled"));
    assert_eq!(kept.specified, Some(Condition::Dry));
    // Nothing is said of the insert nut's thread.
    let kept = record(&mut seated(), "final:insert-nut", &Details::default()).unwrap();
    assert_eq!((kept.condition, kept.specified), (None, None));
}

#[test]
fn a_torque_is_recorded_only_where_one_is_reached() {
    let mut job = seated();
    job.noted("undo:insert-nut");
    let why = job.does_with("undo:jam-nut", &with("45 N·m", "")).unwrap_err().to_string();
    assert!(why.contains("no torque is reached by 'undo:jam-nut'"), "{why}");
    let seat = Details { only_seated: true, ..with("43 N·m", "") };
    job.noted("do:raise");
    assert!(job.does_with("fit:insert-nut", &seat).unwrap_err().to_string().contains("no torque is reached"));
    let fitted = job.does_with("fit:insert-nut", &with("45 N·m", "")).unwrap();
    assert!(matches!(fitted, Event::Done { torque: Some(_), .. }), "{fitted:?}");
}
