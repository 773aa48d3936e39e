//! The two gates: what keeps the car up, what keeps it off the road.

use crate::job::{Job, STRIP};
use axlestand_ledger::{Event, FastenerStage, broken_in_place};

const NOTHING: [String; 0] = [];

#[test]
fn an_untouched_car_may_come_down() {
    let job = Job::on_corner("arm");
    assert_eq!(job.keeps_up(), NOTHING);
}

#[test]
fn every_hold_but_a_covers_has_to_be_finished_before_the_car_comes_down() {
    let mut job = Job::on_corner("arm");
    job.reads("height", false, 360.0, 1.0);
    job.does(STRIP);
    assert_eq!(
        job.keeps_up(),
        [
            "wheel nuts are out [fit:wheel-nuts]",
            "hub nut is broken loose [fit:hub-nut]",
            "wheel is off [on:wheel]"
        ]
    );
    job.does("on:wheel fit:wheel-nuts fit:hub-nut");
    // Their torque is due on the wheels: seated is enough to get there.
    assert_eq!(job.keeps_up(), NOTHING);
    // A nut whose torque is due at once is neither seated only nor without its pin.
    for (stage, reason) in [
        (FastenerStage::InByHand, "castle nut is in by hand [fit:castle-nut]"),
        (FastenerStage::Seated, "castle nut is seated, not final [final:castle-nut]"),
        (
            FastenerStage::AtFinal,
            "castle nut is at final torque, but not locked (split pin missing) [lock:castle-nut]",
        ),
    ] {
        job.reached("castle-nut", stage, Some("43 N·m"));
        assert_eq!(job.keeps_up(), [reason]);
    }
    job.reached("castle-nut", FastenerStage::Locked, Some("43 N·m"));
    assert_eq!(job.keeps_up(), NOTHING);
    job.noted("undo:taper");
    assert_eq!(job.keeps_up(), ["taper is out [fit:taper]"]);
}

#[test]
fn what_only_covers_keeps_nothing_up() {
    let mut job = Job::on_corner("arm");
    job.does("undo:flap-screw undo:clip undo:clips off:flap");
    assert_eq!(job.keeps_up(), NOTHING);
    // What belongs in a cover and is no cover itself does.
    job.noted("off:clip-on");
    assert_eq!(job.keeps_up(), ["clip-on is off [on:clip-on]"]);
}

#[test]
fn a_part_in_a_part_is_told_by_the_outer_one() {
    let mut job = Job::on_corner("arm");
    job.noted("off:bush");
    assert_eq!(job.keeps_up(), ["bush is off [on:bush]"]);
    job.noted("off:arm");
    assert_eq!(job.keeps_up(), ["arm is off [on:arm]"]);
}

#[test]
fn what_is_broken_and_was_moved_keeps_the_car_up() {
    let mut job = Job::on_corner("arm");
    job.broke("hub-nut");
    assert_eq!(job.keeps_up(), NOTHING, "it holds as it did when the car came up");
    assert_eq!(broken_in_place(&job.car, &job.state), ["hub nut"]);
    job.reached("hub-nut", FastenerStage::Locked, Some("200 N·m"));
    assert_eq!(job.keeps_up(), ["hub nut is broken and still in []"]);
    assert!(broken_in_place(&job.car, &job.state).is_empty());
    job.noted("undo:hub-nut");
    assert_eq!(job.keeps_up(), ["hub nut is out [fit:hub-nut]"]);
    // One that no life hangs on may stay as it is.
    let mut usual = Job::on_corner("arm");
    usual.broke("insert-nut");
    usual.reached("insert-nut", FastenerStage::Locked, Some("45 N·m"));
    assert_eq!(usual.keeps_up(), NOTHING);
    assert!(broken_in_place(&usual.car, &usual.state).is_empty());
}

#[test]
fn a_broken_part_that_was_off_keeps_the_car_up() {
    let mut job = Job::on_corner("arm");
    job.broke("wheel");
    assert_eq!(job.keeps_up(), NOTHING);
    assert_eq!(broken_in_place(&job.car, &job.state), ["wheel"]);
    job.noted("off:wheel on:wheel");
    assert_eq!(job.keeps_up().len(), 1, "{:?}", job.keeps_up());
    assert!(job.keeps_up()[0].starts_with("wheel"), "{:?}", job.keeps_up());
    assert!(broken_in_place(&job.car, &job.state).is_empty());
    job.noted("off:wheel");
    assert_eq!(job.keeps_up(), ["wheel is off [on:wheel]"]);
    let mut usual = Job::on_corner("arm");
    usual.broke("arm");
    assert!(broken_in_place(&usual.car, &usual.state).is_empty());
    usual.noted("off:arm on:arm");
    assert_eq!(usual.keeps_up(), NOTHING);
    let mut whole = Job::on_corner("arm");
    whole.noted("off:wheel on:wheel");
    assert_eq!(whole.keeps_up(), NOTHING);
}

#[test]
fn what_was_to_be_replaced_keeps_the_car_off_the_road_until_it_is() {
    let mut job = Job::on_corner("arm");
    let old = "arm is to be replaced and is still the old one [off:arm]";
    assert_eq!(job.keeps_off_the_road(), [old]);
    job.noted("off:arm");
    assert_eq!(job.keeps_off_the_road(), ["arm: off [on:arm]"]);
    job.noted("on:arm");
    assert_eq!(job.keeps_off_the_road(), [old]);
    job.noted("off:arm");
    job.has_new("arm");
    job.noted("do:raise");
    job.does("on:arm");
    assert_eq!(job.keeps_off_the_road(), ["the car is on stands []"]);
    let mut given_up = Job::on_corner("arm");
    given_up.skips("off:arm");
    assert_eq!(given_up.keeps_off_the_road(), NOTHING);
}

#[test]
fn work_after_refitting_has_to_be_done_or_keeps_the_car_off_the_road() {
    let mut job = Job::on_corner("");
    job.plan(
        "do:chocks do:raise do:settle do:wax do:brake-test read:height again:height again:toe final:jam-nut",
    );
    assert_eq!(
        job.keeps_off_the_road(),
        [
            "not done: settle [do:settle]",
            "not done: brake test [do:brake-test]",
            "not read again: height [again:height]",
            "not read again: toe [again:toe]"
        ]
    );
    // Given up before anything was touched, the car is as it was.
    for row in ["do:settle", "do:brake-test", "again:height", "again:toe"] {
        job.skips(row);
    }
    assert_eq!(job.keeps_off_the_road(), NOTHING);
    // A clip was undone meanwhile: then leaving them out needs more than a word.
    let mut touched = job.clone();
    touched.noted("undo:clip");
    touched.reached("clip", FastenerStage::Seated, None);
    let left_out = [
        "left out: settle (no time) [do:settle]",
        "left out: brake test (no time) [do:brake-test]",
        "left out: read again toe (no time) [again:toe]",
    ];
    assert_eq!(touched.keeps_off_the_road(), left_out);
    // The car was on stands meanwhile: as well.
    job.noted("do:raise do:lower");
    assert_eq!(job.keeps_off_the_road(), left_out);
    job.noted("do:settle do:brake-test");
    // A height nobody knows is told; a toe nobody knows may pull to any side.
    assert_eq!(job.keeps_off_the_road(), left_out[2..]);
    job.reads("toe", true, 0.1, 0.05);
    assert_eq!(job.keeps_off_the_road(), NOTHING);
}

#[test]
fn a_reading_at_the_end_lies_within_its_target_or_keeps_the_car_off_the_road() {
    // 360 ± 10 mm, and 0.10 ± 0.15°: the limits themselves are within.
    for (value, says) in [
        (349.9, Some("below the limit of 350 mm")),
        (350.0, None),
        (370.0, None),
        (370.1, Some("above the limit of 370 mm")),
    ] {
        let mut job = Job::on_corner("");
        job.reads("height", true, value, 1.0);
        match says {
            None => assert_eq!(job.keeps_off_the_road(), NOTHING, "{value}"),
            Some(says) => {
                let told = format!("height: read as {value}, which is {says} [again:height]");
                assert_eq!(job.keeps_off_the_road(), [told]);
            }
        }
    }
    let mut job = Job::on_corner("");
    job.reads("toe", true, 0.3, 0.05);
    assert_eq!(job.keeps_off_the_road(), ["toe: read as 0.3, which is above the limit of 0.25° [again:toe]"]);
    // The one before, and the one at the start, count no more.
    job.reads("toe", true, 0.2, 0.05);
    assert_eq!(job.keeps_off_the_road(), NOTHING);
    let mut early = Job::on_corner("");
    early.reads("toe", false, 3.0, 0.05);
    assert_eq!(early.keeps_off_the_road(), NOTHING);
}

#[test]
fn a_reading_more_uncertain_than_half_its_band_says_nothing() {
    // 360 ± 10 mm: a standard uncertainty of 10 mm is the last that may be worked with.
    for (u, vague) in [(9.9, false), (10.0, false), (10.1, true), (40.0, true)] {
        let mut job = Job::on_corner("");
        job.reads("height", true, 365.0, u);
        let told = job.keeps_off_the_road();
        assert_eq!(
            told.iter().any(|t| t.contains("too uncertain for its tolerance")),
            vague,
            "{u}: {told:?}"
        );
        assert_eq!(told.len(), usize::from(vague));
    }
}

#[test]
fn a_target_that_nobody_looked_up_keeps_the_car_off_the_road() {
    let mut job = Job::on_corner("");
    job.reads("thread", false, 12.0, 0.5);
    let told = job.keeps_off_the_road();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].starts_with("thread: its target is not known; look it up (rod ends)"), "{told:?}");
    let placeholder =
        ("tolerance = \"10 mm\", provenance = \"manual\", source = \"sheet 6\"", "tolerance = \"10 mm\"");
    let mut job = Job::on_corner_with("", &[placeholder]);
    job.reads("height", true, 360.0, 1.0);
    assert_eq!(
        job.keeps_off_the_road(),
        ["height: its target is a placeholder; look it up and write it in []"]
    );
    let blockers = axlestand_ledger::road_check(&job.car, &job.state);
    let unset = blockers[0].unset.clone().unwrap();
    assert_eq!((unset.item.as_str(), unset.field), ("height-target", None));
}

#[test]
fn a_car_on_stands_is_not_on_the_road() {
    let mut job = Job::on_corner("");
    job.noted("do:raise");
    assert_eq!(job.keeps_off_the_road(), ["the car is on stands []"]);
    job.noted("do:lower");
    assert_eq!(job.keeps_off_the_road(), NOTHING);
    job.tell(Event::Note { item: None, text: "rain".to_owned() });
    assert_eq!(job.keeps_off_the_road(), NOTHING);
}
