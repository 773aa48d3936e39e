//! Taking apart: what stands in the way, how the car has to stand, what is lost afterwards.

use crate::job::{Job, STRIP, act};
use axlestand_ledger::{FastenerStage, RowStatus, Verb, obstacles};

const NOTHING: [String; 0] = [];
/// What brings the car there, planned or not.
const ON_STANDS: &str = "do:raise";

#[test]
fn every_verb_is_read_as_it_is_written_and_knows_its_direction() {
    for verb in Verb::ALL {
        let text = format!("{}:arm", verb.word());
        assert_eq!((act(&text).verb, act(&text).to_string()), (verb, text));
    }
    let apart: Vec<&str> = Verb::ALL.into_iter().filter(|v| v.takes_apart()).map(Verb::word).collect();
    assert_eq!(apart, ["read", "loosen", "undo", "off", "way"]);
}

#[test]
fn what_the_car_has_not_and_what_a_thing_cannot_take_is_refused() {
    let job = Job::on_corner("arm");
    assert_eq!(job.reasons("undo:wing"), "the car has nothing called 'wing'");
    assert_eq!(job.reasons("off:taper"), "'taper' is a connection, which cannot be done with 'off'");
    assert_eq!(job.reasons("final:taper"), "'taper' is a connection, which cannot be done with 'final'");
    assert_eq!(job.reasons("do:oil"), "'oil' is a fluid, which cannot be done with 'do'");
}

#[test]
fn wheel_nuts_are_broken_loose_on_the_wheels_and_come_out_on_stands() {
    let mut job = Job::on_corner("arm").with_everything_planned();
    job.reads("height", false, 360.0, 1.0);
    assert_eq!(job.why("loosen:wheel-nuts"), NOTHING);
    assert_eq!(job.why("undo:wheel-nuts"), ["loosen:wheel-nuts", "do:raise"]);
    // Raised too soon, they turn with the wheel.
    assert_eq!(job.why("do:raise"), ["loosen:wheel-nuts", "loosen:hub-nut", "do:chocks"]);
    job.does("loosen:wheel-nuts");
    assert!(job.reasons("loosen:wheel-nuts").contains("wheel nuts are broken loose already"));
    assert_eq!(job.why("undo:wheel-nuts"), ["do:raise"]);
    job.does("loosen:hub-nut do:chocks do:raise");
    assert_eq!(job.why("loosen:wheel-nuts"), ["wheel nuts are broken loose already", "do:lower"]);
    job.does("undo:wheel-nuts");
    assert_eq!(job.reasons("undo:wheel-nuts"), "wheel nuts are out already");
    assert_eq!(job.why("loosen:wheel-nuts")[0], "wheel nuts are out already");
}

#[test]
fn a_nut_at_its_final_torque_again_has_to_be_broken_loose_again() {
    let mut job = Job::on_corner("arm").with_everything_planned();
    for (stage, loose) in [
        (FastenerStage::AtFinal, false),
        (FastenerStage::Locked, false),
        (FastenerStage::InByHand, true),
        (FastenerStage::Seated, true),
    ] {
        job.reached("wheel-nuts", stage, None);
        let first = job.why("undo:wheel-nuts").contains(&"loosen:wheel-nuts".to_owned());
        assert_eq!(first, !loose, "{stage:?}");
    }
}

#[test]
fn a_nut_that_is_loosened_as_it_comes_out_needs_no_act_of_its_own() {
    let on_stands = "state = \"on-stands\"\nminutes = 2\n\n[fastener.hub-nut]";
    let on_wheels = on_stands.replacen("on-stands", "on-wheels", 1);
    let job = Job::on_corner_with("arm", &[(on_stands, &on_wheels)]);
    assert_eq!(job.why("undo:wheel-nuts"), NOTHING);
}

#[test]
fn what_is_in_the_way_comes_off_first() {
    let mut job = Job::on_corner("arm").with_everything_planned();
    assert_eq!(job.why("undo:front-bolt"), ["do:raise", "off:wheel"]);
    // Seen through the wheel only where that is planned as an act of its own.
    assert_eq!(job.why("loosen:front-bolt"), ["do:raise"]);
    assert_eq!(Job::on_corner("arm").why("loosen:front-bolt"), [ON_STANDS, "off:wheel"]);
    assert_eq!(Job::on_corner("arm").why("loosen:hub-nut"), NOTHING);
    assert_eq!(job.why("undo:taper"), ["do:raise", "off:wheel", "undo:castle-nut"]);
    job.reads("height", false, 360.0, 1.0);
    job.reads("thread", false, 12.0, 0.5);
    job.does(STRIP);
    assert_eq!(job.why("undo:front-bolt"), NOTHING);
    assert_eq!(job.why("undo:taper"), ["undo:castle-nut"]);
    job.does("undo:castle-nut undo:taper");
    assert_eq!(job.reasons("undo:taper"), "taper is undone already");
    assert_eq!(job.reasons("off:wheel"), "wheel is off already");
}

#[test]
fn at_ride_height_a_jam_nut_is_loosened_with_the_wheel_on() {
    let mut job = Job::on_corner("arm");
    job.plan("do:lower do:settle");
    assert_eq!(job.why("loosen:jam-nut"), [ON_STANDS, "off:wheel"]);
    job.noted("do:raise do:lower do:settle");
    assert_eq!(job.why("loosen:jam-nut"), NOTHING);
    // The wheel nuts' torque is due on the wheels, which ride height is too.
    assert_eq!(job.why("loosen:wheel-nuts"), NOTHING);
}

#[test]
fn a_part_comes_off_when_nothing_holds_it() {
    let mut job = Job::on_corner("arm");
    assert_eq!(job.why("off:flap"), ["undo:flap-screw", "undo:clip", "undo:clips"]);
    assert_eq!(
        job.reasons("off:flap"),
        "flap screw still holds it; clip still holds it; clips still hold it"
    );
    job.does("undo:flap-screw undo:clip undo:clips");
    assert_eq!(job.why("off:flap"), NOTHING);
    assert_eq!(
        job.why("off:arm"),
        ["undo:front-bolt", "undo:rear-bolt", "undo:insert-nut", ON_STANDS, "off:wheel"]
    );
}

#[test]
fn a_reading_that_is_lost_afterwards_is_asked_for_before_and_too_late_after() {
    let mut job = Job::on_corner("arm").with_everything_planned();
    assert_eq!(job.why("loosen:jam-nut"), ["do:raise", "read:thread"]);
    assert_eq!(job.why("read:thread"), ["do:raise", "off:wheel"]);
    assert_eq!(job.why("off:rod-end").last().unwrap(), "read:toe");
    assert!(job.why("do:raise").contains(&"read:height".to_owned()));
    job.reads("thread", false, 12.0, 0.5);
    assert_eq!(job.why("loosen:jam-nut"), ["do:raise"]);
    job.reads("height", false, 360.0, 1.0);
    job.noted("loosen:jam-nut");
    assert!(
        job.reasons("read:thread")
            .ends_with("it is too late for this reading: jam nut was disturbed already")
    );
    job.does(STRIP);
    assert!(job.reasons("read:height").ends_with("it is too late for this reading: raise was done already"));
    assert_eq!(job.why("read:toe"), NOTHING);
    job.noted("off:rod-end on:rod-end");
    assert!(job.reasons("read:toe").contains("rod end was disturbed already"));
    // Not planned, nothing waits for it.
    assert_eq!(Job::on_corner("arm").why("loosen:jam-nut"), [ON_STANDS, "off:wheel"]);
}

#[test]
fn a_fluid_is_drained_before_what_lets_it_out() {
    let mut job = Job::on_corner("arm").with_everything_planned();
    assert!(job.why("off:hub").contains(&"do:drain".to_owned()));
    job.noted("do:drain");
    assert!(!job.why("off:hub").contains(&"do:drain".to_owned()));
    assert!(!Job::on_corner("arm").why("off:hub").contains(&"do:drain".to_owned()), "not planned");
    let mut left_out = Job::on_corner("arm").with_everything_planned();
    left_out.skips("do:drain");
    assert!(!left_out.why("off:hub").contains(&"do:drain".to_owned()));
}

#[test]
fn a_way_frees_what_is_not_free_and_needs_its_own_access() {
    let mut job = Job::on_corner("arm").with_everything_planned();
    assert_eq!(job.why("way:drill-nut"), ["do:raise", "off:wheel"]);
    job.reads("height", false, 360.0, 1.0);
    job.does(STRIP);
    job.does("way:drill-nut");
    assert_eq!(job.stage("insert-nut"), FastenerStage::Out);
    assert_eq!(job.reasons("way:drill-nut"), "'insert-nut' is free already");
    job.does("way:cut-arm");
    assert_eq!(job.reasons("way:cut-arm"), "'arm' is free already");
}

#[test]
fn from_stands_the_way_to_ride_height_leads_over_the_wheels() {
    let mut job = Job::on_corner("arm");
    job.plan("do:raise do:lower do:settle");
    assert_eq!(job.why("final:front-bolt")[1], "do:settle");
    job.noted("do:raise");
    assert_eq!(job.why("again:height"), ["do:lower"]);
    assert_eq!(job.why("loosen:hub-nut"), ["do:lower"]);
    job.noted("do:lower");
    assert_eq!(job.why("again:height"), ["do:settle"]);
    assert_eq!(job.why("off:wheel").last().unwrap(), ON_STANDS);
    // Nothing in the plan leads there any more: it is done once more.
    let mut unplanned = Job::on_corner("arm");
    unplanned.noted("do:raise");
    assert_eq!(unplanned.why("again:height"), ["do:lower"]);
    unplanned.noted("do:lower");
    assert_eq!(unplanned.why("again:height"), ["do:settle"]);
}

#[test]
fn two_rules_that_ask_for_the_same_ask_once() {
    let mut job = Job::on_corner("arm");
    job.plan("do:lower");
    job.noted("do:raise");
    let found = obstacles(&job.car, &job.state, &act("fit:wheel-nuts"));
    assert_eq!(found.len(), 1, "{found:?}");
}

/// What came loose otherwise, as by an impact wrench, can be written down; the next time it counts afresh.
#[test]
fn a_nut_that_came_loose_otherwise_can_be_taken_out_once() {
    let mut job = Job::on_corner("arm").with_everything_planned();
    job.reads("height", false, 360.0, 1.0);
    job.does("loosen:hub-nut");
    job.skips("loosen:wheel-nuts");
    job.does("do:chocks do:raise");
    assert_eq!(job.why("undo:wheel-nuts"), NOTHING);
    job.does("undo:wheel-nuts");
    assert_eq!(job.row("loosen:wheel-nuts"), RowStatus::Done);
    job.reached("wheel-nuts", FastenerStage::AtFinal, None);
    assert_eq!(job.why("undo:wheel-nuts"), ["loosen:wheel-nuts"]);
    assert!(
        job.reasons("undo:wheel-nuts")
            .ends_with("(where it came loose otherwise, leave that out and say how)")
    );
}

/// Loosened to set toe, a jam nut breaks: what it bore witness of is lost, and nothing waits for that any more.
#[test]
fn a_reading_that_came_too_late_falls_away_and_bars_nothing() {
    let mut job = Job::on_corner("arm").with_everything_planned();
    assert_eq!(job.row("read:thread"), RowStatus::Pending);
    job.noted("loosen:jam-nut");
    assert_eq!(job.row("read:thread"), RowStatus::Skipped);
    assert!(!job.why("undo:castle-nut").contains(&"read:thread".to_owned()));
    assert!(!job.why("undo:jam-nut").contains(&"read:thread".to_owned()));
}

/// What was tightened and is loose after all can be written down however the car stands; what is still to be broken
/// loose waits for the car as ever.
#[test]
fn that_something_came_loose_can_be_said_on_stands() {
    let mut job = Job::on_corner("arm").with_everything_planned();
    job.reads("height", false, 360.0, 1.0);
    job.does("loosen:wheel-nuts loosen:hub-nut do:chocks do:raise");
    job.reached("wheel-nuts", FastenerStage::AtFinal, None);
    assert_eq!(job.why("loosen:wheel-nuts"), ["do:lower"], "it is still to come out");
    job.plan("do:lower");
    assert_eq!(job.why("loosen:wheel-nuts"), NOTHING);
}

/// A part that hides it from the wrench that tightens it hides it from the one that loosens it.
#[test]
fn nothing_is_loosened_past_what_hides_it_from_the_wrench() {
    let mut job = Job::on_corner("arm");
    job.car.fasteners.iter_mut().find(|f| f.id.as_str() == "jam-nut").unwrap().final_after =
        vec![axlestand_model::ItemId::from_text("flap")];
    job.noted("do:settle");
    assert_eq!(job.why("loosen:jam-nut"), ["off:flap"]);
    job.noted("off:flap");
    assert_eq!(job.why("loosen:jam-nut"), NOTHING);
}
