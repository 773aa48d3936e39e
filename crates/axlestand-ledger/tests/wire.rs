//! Stored events: every version ever released stays readable, and today's writer gives the bytes
//! that stand in `wire/v1`.
//!
//! The files there are never changed, only added to. A kind of event that has no file fails here.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr,
    clippy::print_stdout,
    reason = "a test fails loudly"
)]

use axlestand_ledger::wire::{VERSION, WireError, from_json, to_json};
use axlestand_ledger::{Action, Effects, Event, FastenerStage, PlannedRow, TorqueRecord};
use axlestand_model::{CarState, Condition, ItemId};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/wire/v1")
}

fn id(text: &str) -> ItemId {
    ItemId::from_text(text)
}

fn act(text: &str) -> Action {
    Action::parse(text).unwrap()
}

/// Every kind of event, full and bare, with the name of its file.
fn samples() -> Vec<(&'static str, Event)> {
    let mut samples = vec![
        ("car-updated", Event::CarUpdated { car_text: "format = 1\n# \"π\"\t\\\n".into() }),
        ("car-moved", Event::CarMoved { car_path: "/home/wren/shed/wagtail.toml".into() }),
    ];
    samples.extend(starts_and_plans());
    samples.extend(work());
    samples.extend(remarks());
    samples
}

fn starts_and_plans() -> Vec<(&'static str, Event)> {
    let start = |helper: bool, toolbox: Option<String>| Event::JobStarted {
        name: "weekend, 2nd try".into(),
        car_text: "format = 1\n".into(),
        car_path: "/home/wren/wagtail.toml".into(),
        goals: vec![id("control-arm.left"), id("rack")],
        rust: 3,
        helper,
        toolbox,
    };
    let row = |number, text: &str| PlannedRow { number, action: act(text) };
    vec![
        ("job-started", start(true, Some("tools = [\"hex 21\"]\n".into()))),
        ("job-started-bare", start(false, None)),
        (
            "planned",
            Event::Planned {
                rows: vec![row(1, "read:height"), row(40, "loosen:axle-nut.left"), row(2, "do:raise")],
                ways: vec![id("cut-link.left")],
            },
        ),
        ("planned-bare", Event::Planned { rows: Vec::new(), ways: Vec::new() }),
    ]
}

fn work() -> Vec<(&'static str, Event)> {
    let done = |text: &str, effects: Effects, torque: Option<TorqueRecord>, note: Option<&str>| Event::Done {
        action: act(text),
        effects,
        torque,
        note: note.map(str::to_owned),
    };
    let reaches = |stage| Effects { reaches: Some(stage), ..Effects::default() };
    let full = TorqueRecord {
        value: Some("50 N·m + 90°".into()),
        provenance: Some("manual: sheet 40-11".into()),
        wrench: Some("click, half inch".into()),
        adapter: Some("crow foot 21".into()),
        condition: Some("oiled".into()),
        car_state: Some(CarState::RideHeight),
        own_source: false,
        specified: None,
    };
    let greased =
        TorqueRecord { condition: Some("greased".into()), specified: Some(Condition::Oiled), ..full.clone() };
    let own = TorqueRecord { own_source: true, ..full.clone() };
    let brings = |state| Effects { brings: Some(state), ..Effects::default() };
    let way = Effects {
        undone: vec![id("link-nut.left")],
        off: vec![id("link.left")],
        scrapped: vec![id("link.left"), id("link-nut.left")],
        ..Effects::default()
    };
    let fitted = Effects { fresh: true, reused: true, ..reaches(FastenerStage::Locked) };
    let mut list = vec![
        (
            "done-final",
            done("final:arm-bolt.left", reaches(FastenerStage::AtFinal), Some(full), Some("clicked twice")),
        ),
        (
            "done-final-own-source",
            done("final:arm-bolt.left", reaches(FastenerStage::AtFinal), Some(own), None),
        ),
        (
            "done-final-condition",
            done("final:arm-bolt.left", reaches(FastenerStage::AtFinal), Some(greased), None),
        ),
        (
            "done-final-no-value",
            done("final:arm-bolt.left", reaches(FastenerStage::AtFinal), Some(TorqueRecord::default()), None),
        ),
        ("done-fit", done("fit:link-nut.left", fitted, None, None)),
        (
            "done-undo",
            done("undo:arm-bolt.left", Effects { tray: Some(7), ..Effects::default() }, None, None),
        ),
        ("done-way", done("way:cut-link.left", way, None, None)),
        ("done-off", done("off:wheel.left", Effects::default(), None, None)),
        ("done-on", done("on:wheel.left", Effects { fresh: true, ..Effects::default() }, None, None)),
        ("done-loosen", done("loosen:axle-nut.right", Effects::default(), None, None)),
        ("done-lock", done("lock:axle-nut.right", reaches(FastenerStage::Locked), None, None)),
    ];
    list.extend(CarState::ALL.iter().map(|state| {
        let name = ["done-do-on-wheels", "done-do-on-stands", "done-do-ride-height"]
            .into_iter()
            .find(|name| name.ends_with(state.word()))
            .unwrap();
        (name, done("do:move-the-car", brings(*state), None, None))
    }));
    list.extend(
        [
            ("done-reaches-in-place", FastenerStage::InPlace),
            ("done-reaches-broken-loose", FastenerStage::BrokenLoose),
            ("done-reaches-out", FastenerStage::Out),
            ("done-reaches-in-by-hand", FastenerStage::InByHand),
            ("done-reaches-seated", FastenerStage::Seated),
        ]
        .map(|(name, stage)| (name, done("fit:plug", reaches(stage), None, None))),
    );
    list
}

fn remarks() -> Vec<(&'static str, Event)> {
    let read = |again, value, instrument: Option<&str>| Event::Read {
        reading: id("camber.right"),
        again,
        value,
        u: 0.05,
        typed: "-0.5 ± 0.05 °".into(),
        instrument: instrument.map(str::to_owned),
    };
    let gauged = |at, flag, instrument: Option<&str>| Event::Gauged {
        place: "string.front-left.front-edge".into(),
        value: 52.5,
        u: 0.25,
        own_u: flag,
        at,
        sure: flag,
        typed: "52.5 ± 0.25 mm".into(),
        instrument: instrument.map(str::to_owned),
    };
    let (item, note) = (id("sensor.left"), Some("sheared, \"flush\"".to_owned()));
    vec![
        ("read", read(false, -0.5, Some("gauge"))),
        ("read-again", read(true, 612.25, None)),
        ("gauged", gauged(Some(900.0), true, Some("steel rule"))),
        ("gauged-bare", gauged(None, false, None)),
        (
            "turned",
            Event::Turned {
                adjuster: "tie-rod.left".into(),
                amount: -1.25,
                typed: "1 1/4 turns shorter".into(),
            },
        ),
        ("stated", Event::Stated { what: "steering-ratio".into(), value: "15.5".into() }),
        ("stuck", Event::Stuck { item: item.clone(), note: note.clone() }),
        ("stuck-bare", Event::Stuck { item: item.clone(), note: None }),
        ("broken", Event::Broken { item: item.clone(), note: note.clone() }),
        ("broken-bare", Event::Broken { item: item.clone(), note: None }),
        ("replaced", Event::Replaced { item: item.clone(), note: note.clone() }),
        ("replaced-bare", Event::Replaced { item: item.clone(), note: None }),
        ("skipped", Event::Skipped { action: act("again:toe"), reason: "no strings at hand".into() }),
        ("chosen", Event::Chosen { item: id("link.left"), way: Some(id("cut-link.left")) }),
        ("chosen-usual", Event::Chosen { item: id("link.left"), way: None }),
        ("seen", Event::Seen { item: id("arm-bolt.left"), field: "thread".into(), value: "M12×1.5".into() }),
        (
            "pictured",
            Event::Pictured {
                action: Some(act("undo:arm-bolt.left")),
                file: "00ff.jpg".into(),
                note: note.clone(),
            },
        ),
        ("pictured-bare", Event::Pictured { action: None, file: "00ff.jpg".into(), note: None }),
        ("note", Event::Note { item: Some(item), text: "grüße — 🔧".into() }),
        ("note-bare", Event::Note { item: None, text: "rain".into() }),
        ("withdrawn", Event::Withdrawn { entry: "00ff".into(), reason: Some("wrong side".into()) }),
        ("withdrawn-bare", Event::Withdrawn { entry: "00ff".into(), reason: None }),
    ]
}

/// Fails where a kind is added to [`Event`] without a thought for its sample: the name of the kind
/// in stored form.
fn kind(event: &Event) -> &'static str {
    match event {
        Event::JobStarted { .. } => "job-started",
        Event::CarUpdated { .. } => "car-updated",
        Event::CarMoved { .. } => "car-moved",
        Event::Planned { .. } => "planned",
        Event::Done { .. } => "done",
        Event::Read { .. } => "read",
        Event::Gauged { .. } => "gauged",
        Event::Turned { .. } => "turned",
        Event::Stated { .. } => "stated",
        Event::Stuck { .. } => "stuck",
        Event::Broken { .. } => "broken",
        Event::Replaced { .. } => "replaced",
        Event::Skipped { .. } => "skipped",
        Event::Chosen { .. } => "chosen",
        Event::Seen { .. } => "seen",
        Event::Pictured { .. } => "pictured",
        Event::Note { .. } => "note",
        Event::Withdrawn { .. } => "withdrawn",
    }
}

#[test]
fn stored_bytes_of_version_1_stay_readable_and_are_written_alike() {
    let samples = samples();
    for (name, event) in &samples {
        let path = folder().join(format!("{name}.json"));
        let written = to_json(event).unwrap();
        assert!(written.starts_with(&format!(r#"{{"v":1,"kind":"{}""#, kind(event))), "{written}");
        if std::env::var_os("AXLESTAND_ADD_SAMPLES").is_some() && !path.exists() {
            std::fs::write(&path, format!("{written}\n")).unwrap();
        }
        let stored = std::fs::read_to_string(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
        assert_eq!(&from_json(&stored).unwrap(), event, "{name}");
        assert_eq!(format!("{written}\n"), stored, "{name}");
    }
    let known: BTreeSet<String> = samples.iter().map(|(name, _)| format!("{name}.json")).collect();
    assert_eq!(known.len(), samples.len(), "a name is there twice");
    let files =
        std::fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    assert_eq!(files.collect::<BTreeSet<_>>(), known, "a file nobody reads, or one that is missing");
    let kinds: BTreeSet<_> = samples.iter().map(|(_, event)| kind(event)).collect();
    assert_eq!(kinds.len(), 18, "{kinds:?}");
}

#[test]
fn a_newer_version_is_refused_by_its_number_whatever_else_it_says() {
    for (version, rest) in [
        (2u32, r#""kind":"note","text":"x""#),
        (3, r#""kind":"unheard-of","x":[1,2]"#),
        (u32::MAX, r#""nothing":"known""#),
    ] {
        let text = format!(r#"{{"v":{version},{rest}}}"#);
        match from_json(&text) {
            Err(WireError::Newer { found }) => assert_eq!(found, version),
            other => panic!("{text}: {other:?}"),
        }
    }
    assert_eq!(VERSION, 1, "a new version needs samples of its own, and these to stay readable");
}

#[test]
fn what_is_no_event_is_damaged_and_says_what() {
    for (text, piece) in [
        ("", "EOF"),
        ("[]", "invalid"),
        (r#"{"kind":"note","text":"x"}"#, "missing field `v`"),
        (r#"{"v":1}"#, "kind"),
        (r#"{"v":1,"kind":"dance"}"#, "unknown variant `dance`"),
        (r#"{"v":1,"kind":"note","text":"x","loud":true}"#, "unknown field `loud`"),
        (r#"{"v":1,"kind":"done","action":"off"}"#, "'off' is no action"),
        (r#"{"v":1,"kind":"done","action":"off:x","effects":{"brings":"orbit"}}"#, "'orbit' is no car state"),
        (r#"{"v":1,"kind":"done","action":"fit:x","effects":{"reaches":"bliss"}}"#, "'bliss' is no stage"),
        (r#"{"v":1,"kind":"read","reading":"x","again":false,"value":1e999,"u":1,"typed":""}"#, "number"),
    ] {
        match from_json(text) {
            Err(WireError::Damaged(why)) => assert!(why.contains(piece), "{text}: {why}"),
            other => panic!("{text}: {other:?}"),
        }
    }
}

#[test]
fn a_reading_that_is_no_number_is_not_written() {
    for (value, u) in [(f64::NAN, 1.0), (f64::INFINITY, 1.0), (1.0, f64::NAN), (1.0, f64::NEG_INFINITY)] {
        let event = Event::Read {
            reading: id("toe"),
            again: false,
            value,
            u,
            typed: String::new(),
            instrument: None,
        };
        assert!(matches!(to_json(&event), Err(WireError::Damaged(_))), "{value} {u}");
    }
    let gauged = |value, u, at| Event::Gauged {
        place: "string.front-left.front-edge".into(),
        value,
        u,
        own_u: false,
        at,
        sure: false,
        typed: String::new(),
        instrument: None,
    };
    for (value, u, at) in [(f64::NAN, 1.0, None), (1.0, f64::INFINITY, None), (1.0, 1.0, Some(f64::NAN))] {
        let event = gauged(value, u, at);
        assert!(matches!(to_json(&event), Err(WireError::Damaged(_))), "{value} {u} {at:?}");
    }
    let turned =
        Event::Turned { adjuster: "tie-rod.left".into(), amount: f64::INFINITY, typed: String::new() };
    assert!(matches!(to_json(&turned), Err(WireError::Damaged(_))));
}
