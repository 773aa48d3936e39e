//! Putting together: what has to be on before, what must not be in the way yet, when it is tightened.

use crate::job::{Job, STRIP, act, id};
use axlestand_ledger::{Details, FastenerStage, obstacles};

const NOTHING: [String; 0] = [];

/// A stripped corner: the arm is off, the rod end is off, the hub is still on.
fn stripped() -> Job {
    let mut job = Job::on_corner("arm").with_everything_planned();
    job.reads("height", false, 360.0, 1.0);
    job.reads("toe", false, 0.1, 0.05);
    job.reads("thread", false, 12.0, 0.5);
    job.does(STRIP);
    job.does("undo:front-bolt undo:rear-bolt undo:insert-nut undo:clips off:arm");
    job.does("undo:castle-nut undo:taper undo:jam-nut off:rod-end");
    job
}

#[test]
fn a_part_goes_on_that_is_off_and_holds_what_belongs_in_it() {
    let mut job = stripped();
    assert_eq!(job.reasons("on:hub"), "hub is on");
    assert_eq!(job.why("on:arm"), NOTHING);
    job.does("undo:unknown-bolt off:bush");
    assert_eq!(job.why("on:arm"), ["on:bush"]);
    assert_eq!(job.why("on:bush"), NOTHING);
    job.does("on:bush on:arm");
    assert_eq!(job.reasons("on:arm"), "arm is on");
}

#[test]
fn what_was_never_undone_is_not_fitted_and_what_is_fitted_is_not_fitted_again() {
    let mut job = stripped();
    let untouched = Job::on_corner("arm");
    assert!(untouched.reasons("fit:castle-nut").starts_with("castle nut is in place: never undone"));
    assert!(untouched.reasons("fit:wheel-nuts").starts_with("wheel nuts are in place: never undone"));
    job.does("on:arm fit:insert-nut");
    assert_eq!(job.reasons("fit:insert-nut"), "insert nut is locked already");
    // Only started by hand, it is still to be fitted.
    job.reached("front-bolt", FastenerStage::InByHand, None);
    assert_eq!(job.why("fit:front-bolt"), NOTHING);
    job.does("fit:front-bolt");
    assert_eq!(job.reasons("fit:front-bolt"), "front bolt is seated, not final already");
}

#[test]
fn a_hold_is_fitted_when_what_it_holds_is_on() {
    let mut job = stripped();
    assert_eq!(job.why("fit:front-bolt"), ["on:arm"]);
    assert_eq!(job.why("fit:insert-nut"), ["on:arm"]);
    // What lies in the arm goes in on the bench, the arm being off.
    job.does("undo:unknown-bolt off:bush");
    assert_eq!(job.why("fit:unknown-bolt"), ["on:bush"]);
    job.does("on:bush");
    assert_eq!(job.why("fit:unknown-bolt"), NOTHING);
    assert!(job.why("fit:taper").contains(&"on:rod-end".to_owned()));
}

#[test]
fn what_is_reached_only_past_it_comes_first() {
    let mut job = stripped();
    job.does("on:rod-end");
    // The taper is drawn in by the castle nut in front of it.
    assert_eq!(job.why("fit:castle-nut"), ["fit:taper"]);
    job.does("fit:taper");
    assert_eq!(job.why("fit:castle-nut"), NOTHING);
    assert_eq!(
        job.why("on:wheel"),
        ["fit:front-bolt", "fit:rear-bolt", "fit:castle-nut", "fit:jam-nut", "fit:insert-nut", "on:arm"]
    );
    job.does("on:arm fit:front-bolt fit:rear-bolt fit:jam-nut fit:insert-nut fit:castle-nut");
    // Not locked yet: that is done with the wheel on as well as off.
    assert_eq!(job.why("on:wheel"), NOTHING);
    job.does("on:wheel");
    job.does("fit:wheel-nuts");
    assert_eq!(job.why("undo:castle-nut"), ["off:wheel"]);
}

#[test]
fn what_is_in_the_way_again_has_to_come_off_once_more() {
    let mut job = stripped();
    job.does("on:arm");
    job.noted("on:wheel");
    assert_eq!(job.why("fit:insert-nut"), ["off:wheel"]);
    assert_eq!(job.why("fit:front-bolt"), ["off:wheel"]);
    // A nut in front of a connection stands in its way too.
    job.noted("off:wheel");
    job.does("on:rod-end");
    job.reached("castle-nut", FastenerStage::Seated, None);
    assert_eq!(job.why("fit:taper"), ["undo:castle-nut"]);
    job.noted("undo:castle-nut");
    assert_eq!(job.why("fit:taper"), NOTHING);
}

#[test]
fn what_was_only_broken_loose_is_run_up_snug_with_the_wheel_on() {
    let mut job = stripped();
    job.noted("on:wheel");
    for nut in ["jam-nut", "insert-nut"] {
        job.reached(nut, FastenerStage::Seated, None);
        job.noted(&format!("loosen:{nut}"));
    }
    job.noted("on:arm on:rod-end");
    assert_eq!(job.why("fit:jam-nut"), NOTHING);
    assert_eq!(job.why("fit:insert-nut"), ["off:wheel"]);
}

#[test]
fn what_a_way_freed_goes_back_the_way_it_came_out() {
    let mut job = Job::on_corner_with(
        "arm",
        &[(
            "needs = [\"wheel\"], scraps = [\"insert-nut\"]",
            "needs = [\"flap\"], scraps = [\"insert-nut\"]",
        )],
    );
    job.noted("do:raise undo:flap-screw undo:clip undo:clips off:flap");
    job.does("way:drill-nut");
    assert!(job.why("on:flap").contains(&"fit:insert-nut".to_owned()), "{:?}", job.why("on:flap"));
    let mut usual = Job::on_corner("arm");
    usual.noted("undo:insert-nut undo:flap-screw undo:clip undo:clips off:flap");
    assert_eq!(usual.why("on:flap"), NOTHING);
    // What it holds itself is not past it.
    let mut arm = Job::on_corner_with(
        "arm",
        &[("needs = [\"wheel\"], scraps = [\"insert-nut\"]", "needs = [\"arm\"], scraps = [\"insert-nut\"]")],
    );
    arm.noted("do:raise off:arm way:drill-nut");
    assert_eq!(arm.why("on:arm"), NOTHING);
}

#[test]
fn a_final_torque_waits_for_a_seat_for_the_car_and_for_room() {
    let mut job = stripped();
    assert_eq!(job.why("final:castle-nut")[0], "fit:castle-nut");
    assert!(job.reasons("final:castle-nut").contains("castle nut is out: to be seated first"));
    assert_eq!(
        job.reasons("final:hub-nut"),
        "its final torque is due with the car on its wheels, and the car is on stands"
    );
    job.does("on:arm fit:front-bolt");
    assert_eq!(job.why("final:front-bolt"), ["do:lower"]);
    job.reached("front-bolt", FastenerStage::InByHand, None);
    assert_eq!(job.why("final:front-bolt"), ["fit:front-bolt", "do:lower"]);
    job.noted("do:lower do:settle");
    job.reached("front-bolt", FastenerStage::Seated, None);
    assert_eq!(job.why("final:front-bolt"), NOTHING);
    assert_eq!(job.reasons("final:flap-screw"), "flap screw has no final torque: hand-tight is final");
    let untouched = Job::on_corner("arm");
    assert_eq!(untouched.reasons("final:insert-nut"), "insert nut is in place: never undone");
}

/// What a way got at from another side goes back from there; what it did not need closes nothing.
#[test]
fn what_was_freed_by_a_way_goes_back_before_that_way_is_closed() {
    let needs =
        [("needs = [\"wheel\"], scraps = [\"insert-nut\"]", "needs = [\"flap\"], scraps = [\"insert-nut\"]")];
    let off = |how: &str| {
        let mut job = Job::on_corner_with("", &needs);
        job.noted("do:raise off:flap off:rod-end");
        job.noted(how);
        [job.why("on:flap"), job.why("on:rod-end")]
    };
    assert_eq!(off("undo:insert-nut"), [NOTHING, NOTHING].map(Vec::from));
    assert_eq!(off("undo:insert-nut way:drill-nut"), [vec!["fit:insert-nut".to_owned()], vec![]]);
}

#[test]
fn a_final_torque_that_needs_a_part_off_waits_for_it() {
    let mut job = Job::on_corner_with(
        "arm",
        &[("name = \"front bolt\"\n", "name = \"front bolt\"\nfinal_after = [\"flap\"]\n")],
    );
    job.noted("do:raise undo:front-bolt undo:clip undo:clips undo:flap-screw off:flap");
    job.reached("front-bolt", FastenerStage::Seated, None);
    job.noted("do:lower do:settle");
    assert_eq!(job.why("final:front-bolt"), NOTHING);
    // And the part waits for it.
    assert_eq!(job.why("on:flap"), ["final:front-bolt"]);
    job.noted("on:flap");
    assert_eq!(job.why("final:front-bolt"), ["off:flap"]);
    job.noted("off:flap");
    job.reached("front-bolt", FastenerStage::AtFinal, Some("50 N·m + 90°"));
    assert_eq!(job.why("on:flap"), NOTHING);
}

#[test]
fn what_is_locked_is_tightened_again_only_where_its_value_is_missing() {
    let mut job = stripped();
    job.does("on:rod-end fit:taper fit:castle-nut lock:castle-nut");
    assert_eq!(job.reasons("final:castle-nut"), "castle nut is locked already");
    job.reached("castle-nut", FastenerStage::Locked, Some("20 N·m"));
    assert_eq!(job.why("final:castle-nut"), NOTHING, "the vehicle file says 43 N·m");
}

#[test]
fn a_retightened_nut_is_not_held_up_by_what_stood_before_it() {
    // Tightened once, the clip in front was undone and is back: the wrench gets there all the same.
    let mut job = Job::on_corner_with(
        "arm",
        &[(
            "lock = \"insert\"\nplace = \"wheel-well\"\nafter = [\"wheel\"]",
            "place = \"wheel-well\"\nafter = [\"clip\"]",
        )],
    );
    job.noted("do:raise undo:clip undo:insert-nut");
    job.reached("insert-nut", FastenerStage::Seated, None);
    job.reached("clip", FastenerStage::Seated, None);
    assert_eq!(job.why("final:insert-nut"), ["undo:clip"]);
    job.reached("insert-nut", FastenerStage::AtFinal, Some("20 N·m"));
    assert_eq!(job.why("final:insert-nut"), NOTHING);
}

#[test]
fn a_lock_goes_on_what_is_at_its_final_torque() {
    let mut job = stripped();
    assert_eq!(job.why("lock:castle-nut"), ["final:castle-nut"]);
    job.reached("castle-nut", FastenerStage::InByHand, None);
    assert_eq!(job.why("lock:castle-nut"), ["final:castle-nut"]);
    job.reached("castle-nut", FastenerStage::Seated, None);
    assert_eq!(job.why("lock:castle-nut"), ["final:castle-nut"]);
    job.reached("castle-nut", FastenerStage::AtFinal, Some("43 N·m"));
    assert_eq!(job.why("lock:castle-nut"), NOTHING);
    job.does("lock:castle-nut");
    assert_eq!(job.reasons("lock:castle-nut"), "castle nut is locked already");
    assert!(job.reasons("lock:insert-nut").starts_with("insert nut has no lock of its own to set"));
    assert_eq!(Job::on_corner("arm").reasons("lock:castle-nut"), "castle nut is in place: never undone");
}

#[test]
fn a_lock_without_a_torque_needs_a_seat_only() {
    let mut job = Job::on_corner_with(
        "arm",
        &[("joins = [\"flap\"]\nthread", "joins = [\"flap\"]\nlock = \"split-pin\"\nthread")],
    );
    job.does("undo:flap-screw");
    assert_eq!(job.why("lock:flap-screw"), ["final:flap-screw"]);
    job.does("fit:flap-screw");
    assert_eq!(job.stage("flap-screw"), FastenerStage::Seated);
    assert_eq!(job.why("lock:flap-screw"), NOTHING);
}

#[test]
fn an_operation_of_refitting_waits_for_what_it_names() {
    let mut job = Job::on_corner("arm");
    job.plan("off:wheel do:lower do:settle off:arm do:wax");
    job.noted("undo:wheel-nuts do:lower");
    // Settling comes after the wheel nuts are tight.
    assert_eq!(job.why("do:settle"), ["wheel nuts are out"]);
    job.reached("wheel-nuts", FastenerStage::Seated, None);
    assert_eq!(
        job.why("do:settle"),
        ["wheel nuts are seated, not final"],
        "on the wheels their torque is due"
    );
    job.reached("wheel-nuts", FastenerStage::AtFinal, Some("110 N·m"));
    assert_eq!(job.why("do:settle"), NOTHING);
    // Still to be taken off, the arm is not waxed.
    let mut early = Job::on_corner("arm").with_everything_planned();
    assert_eq!(early.why("do:wax").last().unwrap(), "off:arm");
    early.skips("off:arm");
    assert!(!early.why("do:wax").contains(&"off:arm".to_owned()));
    assert_eq!(stripped().why("do:wax").last().unwrap(), "on:arm");
}

#[test]
fn filling_comes_before_lowering_where_the_fluid_ran_out() {
    let mut job = stripped();
    assert!(!job.why("do:lower").contains(&"do:fill".to_owned()), "nothing was drained");
    job.noted("do:drain");
    assert!(job.why("do:lower").contains(&"do:fill".to_owned()));
    job.noted("do:fill");
    assert!(!job.why("do:lower").contains(&"do:fill".to_owned()));
    let mut hub = stripped();
    hub.noted("off:hub");
    assert!(hub.why("do:lower").contains(&"do:fill".to_owned()), "it is due because of the hub");
}

#[test]
fn toe_is_set_on_a_loose_jam_nut_and_the_nut_waits_for_it() {
    let mut job = Job::on_corner("arm");
    job.plan("off:arm do:settle do:set-toe final:jam-nut");
    job.noted("do:raise undo:front-bolt off:arm on:arm do:lower do:settle");
    assert_eq!(job.why("do:set-toe"), ["loosen:jam-nut"], "though no row says so");
    job.does("loosen:jam-nut");
    assert_eq!(job.why("do:set-toe"), NOTHING);
    assert_eq!(job.why("final:jam-nut"), ["do:set-toe"]);
    job.does("do:set-toe final:jam-nut");
    let mut untouched = Job::on_corner("arm");
    untouched.plan("do:settle do:set-toe");
    untouched.noted("do:raise do:lower do:settle");
    untouched.reached("jam-nut", FastenerStage::Seated, None);
    assert_eq!(untouched.why("final:jam-nut"), NOTHING, "nothing that toe depends on was disturbed");
}

#[test]
fn the_car_that_stands_so_already_is_not_brought_there_again() {
    let mut job = Job::on_corner("arm");
    job.noted("do:raise");
    assert_eq!(job.reasons("do:raise"), "the car is on stands already");
    assert_eq!(job.why("do:raise-rear"), NOTHING, "the other end may need it");
    job.noted("do:lower");
    assert_eq!(job.reasons("do:lower"), "the car is on its wheels already");
    assert_eq!(Job::on_corner("arm").why("do:lower"), NOTHING);
}

#[test]
fn the_car_is_raised_when_what_is_loosened_on_the_wheels_is_loose() {
    let mut job = Job::on_corner("arm");
    job.plan("loosen:hub-nut loosen:front-bolt do:raise");
    assert_eq!(
        job.why("do:raise"),
        ["loosen:hub-nut"],
        "a bolt that is loosened anywhere does not hold it up"
    );
    job.does("loosen:hub-nut");
    assert_eq!(job.why("do:raise"), NOTHING);
}

#[test]
fn a_car_that_was_rolled_is_chocked_once_more() {
    let mut job = Job::on_corner("arm");
    job.plan("do:chocks do:raise");
    job.does("do:chocks do:raise");
    job.noted("do:lower");
    assert_eq!(job.why("do:raise"), NOTHING);
    job.noted("do:settle");
    assert_eq!(job.why("do:raise").first().unwrap(), "do:chocks");
    assert!(job.reasons("do:raise").contains("rolled"));
    job.does("do:chocks");
    assert_eq!(job.why("do:raise"), NOTHING);
}

#[test]
fn the_car_comes_down_past_the_lowering_check() {
    let mut job = stripped();
    let blocked = obstacles(&job.car, &job.state, &act("do:lower"));
    assert!(blocked.iter().any(|o| o.first == Some(act("fit:wheel-nuts"))), "{blocked:#?}");
    assert!(job.does_with("do:lower", &Details::default()).is_err());
    assert_eq!(job.state.stands(), axlestand_model::CarState::OnStands);
    assert!(job.state.part(&id("wheel")).off);
}
