//! What keeps the car from being rolled: the warning, settling and the proof on the wheels go by one rule.

use crate::job::{Job, STRIP};
use axlestand_ledger::{FastenerStage, rolling_check};

const NOTHING: [String; 0] = [];

impl Job {
    fn keeps_from_rolling(&self) -> Vec<String> {
        rolling_check(&self.car, &self.state).into_iter().map(|blocker| blocker.text).collect()
    }
}

#[test]
fn an_untouched_car_is_rolled() {
    assert_eq!(Job::on_corner("arm").keeps_from_rolling(), NOTHING);
}

#[test]
fn what_a_life_hangs_on_is_in_tight_and_whole() {
    let mut job = Job::on_corner("arm");
    job.noted("loosen:front-bolt");
    assert_eq!(job.keeps_from_rolling(), ["front bolt is broken loose"]);
    // Its final torque waits for the ride height, to which the car is rolled.
    job.reached("front-bolt", FastenerStage::Seated, None);
    assert_eq!(job.keeps_from_rolling(), NOTHING);
    job.noted("undo:taper");
    assert_eq!(job.keeps_from_rolling(), ["taper is out"]);
    job.noted("fit:taper off:rod-end");
    assert_eq!(job.keeps_from_rolling().last().unwrap(), "rod end is off");
    // No life hangs on these.
    let mut usual = Job::on_corner("arm");
    usual.noted("undo:insert-nut off:arm off:flap");
    usual.broke("insert-nut");
    assert_eq!(usual.keeps_from_rolling(), NOTHING);
}

#[test]
fn what_is_finished_on_the_wheels_is_final_first() {
    let mut job = Job::on_corner("arm");
    for stage in [FastenerStage::BrokenLoose, FastenerStage::Seated] {
        job.reached("hub-nut", stage, None);
        assert_eq!(job.keeps_from_rolling(), [format!("hub nut is {}", stage.phrase())]);
    }
    job.reached("hub-nut", FastenerStage::Locked, Some("200 N·m"));
    assert_eq!(job.keeps_from_rolling(), NOTHING);
}

#[test]
fn what_broke_and_is_in_keeps_it_even_where_it_was_left_in() {
    for item in ["hub-nut", "castle-nut", "taper", "wheel"] {
        let mut job = Job::on_corner("arm").with_everything_planned();
        job.broke(item);
        let name = item.replace('-', " ");
        assert_eq!(job.keeps_from_rolling(), [format!("{name} is broken and still in")]);
        job.skips(&format!("{}:{item}", if item == "wheel" { "off" } else { "undo" }));
        assert_eq!(job.keeps_from_rolling(), [format!("{name} is broken and still in")]);
        job.noted("do:raise do:lower");
        let settling = job.reasons("do:settle");
        assert!(settling.contains(&format!("the car must not be rolled: {name} is broken")), "{settling}");
    }
}

#[test]
fn a_jam_nut_that_is_loose_to_set_the_wheels_is_rolled_with() {
    let mut job = Job::on_corner("arm");
    job.noted("loosen:jam-nut");
    assert_eq!(job.keeps_from_rolling(), NOTHING);
    job.noted("undo:jam-nut");
    assert_eq!(job.keeps_from_rolling(), ["jam nut is out"]);
}

/// Bleeding and pumping after the hub was off; the pump waits for the bleeding. Invented.
fn with_brakes() -> Job {
    let fill = "fill = {";
    let more = "bleed = { name = \"bleed\", stage = \"refit\", because = [\"hub\"], after = [\"hub\"], state = \"on-stands\", place = \"under\", minutes = 9 }\npump = { name = \"pump\", stage = \"refit\", because = [\"hub\"], after = [\"bleed\"], before = [\"lower\"], state = \"on-stands\", place = \"cabin\", minutes = 1 }\nfill = {";
    Job::on_corner_with("arm", &[(fill, more)]).with_everything_planned()
}

#[test]
fn what_was_due_before_lowering_is_done_first_and_leaving_it_out_changes_nothing() {
    let mut job = with_brakes();
    assert_eq!(job.keeps_from_rolling(), NOTHING, "nothing was opened");
    job.noted(STRIP);
    job.noted("off:hub on:hub on:wheel");
    job.reached("wheel-nuts", FastenerStage::AtFinal, Some("110 N·m"));
    job.reached("hub-nut", FastenerStage::Locked, Some("200 N·m"));
    job.noted("do:lower");
    assert_eq!(job.keeps_from_rolling(), ["not done: bleed", "not done: pump"]);
    job.skips("do:bleed");
    job.skips("do:pump");
    assert_eq!(job.keeps_from_rolling(), ["left out: bleed (no time)", "left out: pump (no time)"]);
    job.plan("do:lower do:bleed do:pump do:settle");
    assert_eq!(job.why("do:settle"), ["do:bleed", "do:pump"]);
    job.noted("do:bleed do:pump");
    assert_eq!(job.keeps_from_rolling(), NOTHING);
}

#[test]
fn nothing_is_proven_on_the_wheels_of_a_car_that_must_not_be_rolled() {
    let mut job = Job::on_corner("arm");
    assert_eq!(job.why("do:brake-test"), NOTHING);
    job.broke("wheel");
    assert_eq!(job.reasons("do:brake-test"), "the car must not be rolled: wheel is broken and still in");
}
