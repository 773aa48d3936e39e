//! Open items: what is not yet in its required final state, and what would close it.

use crate::job::{Job, id};
use axlestand_ledger::{Danger, FastenerStage, is_outdated, open_items};
use axlestand_model::Condition;

const NOTHING: [String; 0] = [];

#[test]
fn the_most_dangerous_comes_first_and_what_looks_finished_before_what_lies_about() {
    let mut job = Job::on_corner("arm");
    job.noted("undo:flap-screw undo:insert-nut undo:castle-nut undo:taper off:rod-end do:drain");
    job.reached("castle-nut", FastenerStage::AtFinal, Some("43 N·m"));
    job.reached("front-bolt", FastenerStage::Seated, None);
    job.reached("rear-bolt", FastenerStage::InByHand, None);
    job.noted("loosen:jam-nut");
    job.broke("hub-nut");
    assert_eq!(
        job.open(),
        [
            "oil: drained, not filled [do:fill]",
            "castle-nut: at final torque, not locked; the old one, a new one is due [undo:castle-nut]",
            "hub-nut: broken and still in []",
            "front-bolt: seated, final torque deferred [final:front-bolt]",
            "jam-nut: broken loose [fit:jam-nut]",
            "rear-bolt: in by hand [fit:rear-bolt]",
            "rod-end: off [on:rod-end]",
            "taper: out [fit:taper]",
            "insert-nut: out [fit:insert-nut]",
            "flap-screw: out [fit:flap-screw]",
        ]
    );
    let dangers: Vec<&str> = open_items(&job.car, &job.state).iter().map(|item| item.danger.word()).collect();
    assert_eq!(dangers, [["critical"; 8].as_slice(), &["usual", "cover"]].concat());
}

#[test]
fn one_life_one_need_one_cover() {
    let mut job = Job::on_corner("");
    for item in ["clip", "clips", "flap-screw", "taper", "insert-nut"] {
        job.noted(&format!("undo:{item}"));
    }
    for item in ["flap", "bush", "wheel"] {
        job.noted(&format!("off:{item}"));
    }
    let danger =
        |item: &str| open_items(&job.car, &job.state).iter().find(|i| i.item == id(item)).unwrap().danger;
    assert_eq!(danger("taper"), Danger::Critical);
    assert_eq!(danger("wheel"), Danger::Critical);
    assert_eq!(danger("insert-nut"), Danger::Usual);
    assert_eq!(danger("bush"), Danger::Usual);
    // What holds a cover only covers, to the body or to one other part.
    assert_eq!(["clip", "clips", "flap-screw", "flap"].map(danger), [Danger::Cover; 4]);
    // Through a cover it holds two others together.
    let through = Job::on_corner_with(
        "",
        &[("joins = [\"arm\", \"knuckle\"]", "joins = [\"arm\", \"knuckle\", \"flap\"]")],
    );
    let mut through = through;
    through.noted("undo:insert-nut");
    assert_eq!(open_items(&through.car, &through.state)[0].danger, Danger::Usual);
    // On one part alone, but no cover: it holds that part.
    let mut alone = Job::on_corner_with("", &[("joins = [\"arm\", \"knuckle\"]", "joins = [\"arm\"]")]);
    alone.noted("undo:insert-nut");
    assert_eq!(open_items(&alone.car, &alone.state)[0].danger, Danger::Usual);
}

#[test]
fn a_hold_is_open_until_its_own_last_stage() {
    let mut job = Job::on_corner("");
    for (item, stage, closes) in [
        ("taper", FastenerStage::Out, Some("fit")),
        ("taper", FastenerStage::Seated, None),
        ("flap-screw", FastenerStage::InByHand, Some("fit")),
        ("flap-screw", FastenerStage::BrokenLoose, Some("fit")),
        ("flap-screw", FastenerStage::Seated, None),
        ("insert-nut", FastenerStage::BrokenLoose, Some("final")),
        ("insert-nut", FastenerStage::Seated, Some("final")),
        ("insert-nut", FastenerStage::AtFinal, None),
        ("hub-nut", FastenerStage::BrokenLoose, Some("final")),
        ("front-bolt", FastenerStage::BrokenLoose, Some("fit")),
        ("front-bolt", FastenerStage::Seated, Some("final")),
    ] {
        job.reached(item, stage, Some(if item == "insert-nut" { "45 N·m" } else { "1 N·m" }));
        let open = open_items(&job.car, &job.state);
        let is = open.iter().find(|i| i.item == id(item)).map(|i| i.closes.as_ref().unwrap().verb.word());
        // The hub nut is one-use as well.
        let closes = if item == "hub-nut" { Some("undo") } else { closes };
        assert_eq!(is, closes, "{item} {stage:?}");
    }
}

/// A torque that is due at once and still missing is not told as one that may wait.
#[test]
fn a_deferred_torque_is_told_apart_from_a_missing_one() {
    let mut job = Job::on_corner("");
    job.reached("insert-nut", FastenerStage::Seated, None);
    assert_eq!(job.open(), ["insert-nut: seated, not final [final:insert-nut]"]);
    job.reached("insert-nut", FastenerStage::Locked, None);
    job.reached("rear-bolt", FastenerStage::Seated, None);
    assert_eq!(job.open(), ["rear-bolt: seated, final torque deferred [final:rear-bolt]"]);
}

#[test]
fn a_critical_one_use_hold_that_was_moved_needs_a_new_one() {
    let mut job = Job::on_corner("");
    job.noted("do:raise undo:castle-nut");
    assert_eq!(job.open(), ["castle-nut: out [fit:castle-nut]"]);
    job.reached("castle-nut", FastenerStage::Locked, Some("43 N·m"));
    assert_eq!(job.open(), ["castle-nut: the old one is in, a new one is due [undo:castle-nut]"]);
    job.noted("undo:castle-nut");
    job.noted("off:wheel");
    job.does("fit:castle-nut");
    assert_eq!(job.open()[0], "castle-nut: at final torque, not locked [lock:castle-nut]");
    job.does("lock:castle-nut");
    job.noted("on:wheel");
    assert_eq!(job.open(), NOTHING);
    // One that no life hangs on: said when it is fitted, not held against the car.
    job.noted("undo:clip");
    job.reached("clip", FastenerStage::Seated, None);
    assert_eq!(job.open(), NOTHING);
}

#[test]
fn a_critical_torque_without_a_source_is_open() {
    let mut job = Job::on_corner("");
    let tightened = "tightened, but no value with a source is recorded";
    job.reached("unknown-bolt", FastenerStage::AtFinal, None);
    assert_eq!(job.open(), [format!("unknown-bolt: {tightened} [final:unknown-bolt]")]);
    job.reached("unknown-bolt", FastenerStage::AtFinal, Some("25 N·m"));
    assert_eq!(job.open(), NOTHING);
    // A placeholder is no source.
    let torque = axlestand_ledger::TorqueRecord {
        value: Some("25 N·m".to_owned()),
        provenance: Some("typical".to_owned()),
        ..Default::default()
    };
    let effects = axlestand_ledger::Effects { reaches: Some(FastenerStage::AtFinal), ..Default::default() };
    let action = crate::job::act("final:unknown-bolt");
    job.tell(axlestand_ledger::Event::Done { action, effects, torque: Some(torque), note: None });
    assert_eq!(job.open().len(), 1);
    // Where no life hangs on it, the record may be bare.
    job.reached("unknown-bolt", FastenerStage::AtFinal, Some("25 N·m"));
    job.reached("insert-nut", FastenerStage::AtFinal, None);
    assert_eq!(job.open(), NOTHING);
}

#[test]
fn a_value_that_the_vehicle_file_no_longer_says_has_to_be_tightened_afresh() {
    let outdated = |job: &Job, item: &str| is_outdated(&job.state, job.car.fastener(&id(item)).unwrap());
    let mut job = Job::on_corner("");
    job.noted("do:raise do:lower do:settle");
    assert!(!outdated(&job, "front-bolt"), "never touched");
    job.reached("front-bolt", FastenerStage::AtFinal, Some("50 N·m + 90°"));
    assert!(!outdated(&job, "front-bolt"));
    assert_eq!(job.open(), NOTHING);
    job.reached("front-bolt", FastenerStage::AtFinal, Some("60 N·m + 90°"));
    assert!(outdated(&job, "front-bolt"));
    assert_eq!(
        job.open(),
        [
            "front-bolt: tightened to 60 N·m + 90°, but the vehicle file now says 50 N·m + 90° [final:front-bolt]"
        ]
    );
    job.reached("front-bolt", FastenerStage::Seated, Some("60 N·m + 90°"));
    assert!(!outdated(&job, "front-bolt"), "only seated, it is to be tightened anyway");
    // No life hangs on the insert nut.
    job.reached("insert-nut", FastenerStage::Locked, Some("10 N·m"));
    assert!(!outdated(&job, "insert-nut"));
    // What the vehicle file does not know it does not ask for.
    job.reached("unknown-bolt", FastenerStage::AtFinal, Some("10 N·m"));
    assert!(!outdated(&job, "unknown-bolt"));
}

#[test]
fn a_value_that_is_now_for_another_thread_condition_has_to_be_tightened_afresh() {
    let tightened = |condition: Option<&str>, specified: Option<Condition>, own_source: bool| {
        let torque = axlestand_ledger::TorqueRecord {
            value: Some("110 N·m".to_owned()),
            provenance: Some("manual: sheet 1".to_owned()),
            condition: condition.map(str::to_owned),
            specified,
            own_source,
            ..Default::default()
        };
        let effects =
            axlestand_ledger::Effects { reaches: Some(FastenerStage::AtFinal), ..Default::default() };
        let mut job = Job::on_corner("");
        let action = crate::job::act("final:wheel-nuts");
        job.tell(axlestand_ledger::Event::Done { action, effects, torque: Some(torque), note: None });
        job.open()
    };
    // The vehicle file says dry.
    let oiled = [
        "wheel-nuts: tightened with the thread lightly oiled, but the vehicle file's value is now for one dry [final:wheel-nuts]",
    ];
    assert_eq!(tightened(Some("greased"), Some(Condition::Oiled), false), oiled);
    // An older entry has only the thread as it was.
    assert_eq!(tightened(Some("oiled"), None, false), oiled);
    assert_eq!(tightened(Some("zinc-dry"), Some(Condition::Dry), false), NOTHING);
    // What the value was for is not known, or another source allowed it.
    assert_eq!(tightened(None, None, false), NOTHING);
    assert_eq!(tightened(Some("oiled"), Some(Condition::Oiled), true), NOTHING);
}

#[test]
fn a_torque_reached_with_the_car_in_another_state_has_to_be_reached_again() {
    let mut job = Job::on_corner("");
    job.noted("do:raise");
    job.reached("front-bolt", FastenerStage::AtFinal, Some("50 N·m + 90°"));
    job.reached("wheel-nuts", FastenerStage::AtFinal, Some("110 N·m"));
    job.noted("do:lower do:settle");
    assert_eq!(
        job.open(),
        [
            "front-bolt: tightened with the car on stands, but it is due with the car at ride height [final:front-bolt]",
            "wheel-nuts: tightened with the car on stands, but it is due with the car on its wheels [final:wheel-nuts]",
        ]
    );
    // At ride height the car stands on its wheels.
    job.reached("wheel-nuts", FastenerStage::AtFinal, Some("110 N·m"));
    job.reached("front-bolt", FastenerStage::AtFinal, Some("50 N·m + 90°"));
    assert_eq!(job.open(), NOTHING);
}

#[test]
fn a_fluid_is_open_from_draining_to_the_next_filling() {
    let mut job = Job::on_corner("");
    job.noted("do:fill");
    assert_eq!(job.open(), NOTHING);
    job.noted("do:drain");
    let open = "oil: drained, not filled [do:fill]";
    assert_eq!(job.open(), [open]);
    job.noted("do:fill");
    assert_eq!(job.open(), NOTHING);
    job.noted("do:drain");
    assert_eq!(job.open(), [open]);
}

#[test]
fn what_goes_back_too_early_says_what_it_waits_for() {
    let mut job = Job::on_corner("arm");
    job.plan("off:wheel off:arm undo:front-bolt");
    job.noted("do:raise undo:wheel-nuts off:wheel");
    let waits = |job: &Job, item: &str| {
        open_items(&job.car, &job.state).into_iter().find(|i| i.item == id(item)).unwrap().waits
    };
    assert_eq!(waits(&job, "wheel"), ["work of the plan is still ahead that needs it away"]);
    assert_eq!(waits(&job, "wheel-nuts"), ["wheel is still off"]);
    job.noted("undo:front-bolt undo:rear-bolt undo:insert-nut off:arm on:arm");
    for bolt in ["front-bolt", "rear-bolt"] {
        job.reached(bolt, FastenerStage::Seated, None);
    }
    job.reached("insert-nut", FastenerStage::Locked, None);
    // The arm is due to be new, so it comes off once more.
    assert_eq!(waits(&job, "wheel"), ["work of the plan is still ahead that needs it away"]);
    job.noted("off:arm");
    job.has_new("arm");
    job.does("on:arm");
    assert_eq!(waits(&job, "wheel"), NOTHING);
    assert_eq!(
        waits(&job, "front-bolt"),
        ["its final torque is due with the car at ride height, and the car is on stands"]
    );
}
