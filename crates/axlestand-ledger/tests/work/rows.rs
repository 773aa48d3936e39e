//! How far a row of the plan is, told from what happened and not from what was ticked.

use crate::job::{Job, act, id};
use axlestand_ledger::RowStatus::{Done, Pending, Skipped};
use axlestand_ledger::{
    Effects, Event, FastenerStage, RowStatus, TorqueRecord, is_wanted_away, open_items, stands_as_said,
};
use axlestand_model::Lock;

/// The rows of `verb` for `item`, one for each word, with how far they are.
fn rows(job: &Job, item: &str, verbs: &str) -> Vec<RowStatus> {
    verbs.split_whitespace().map(|verb| job.row(&format!("{verb}:{item}"))).collect()
}

fn reached(value: &str) -> TorqueRecord {
    let provenance = Some("manual: sheet".to_owned());
    TorqueRecord { value: Some(value.to_owned()), provenance, ..TorqueRecord::default() }
}

/// Tightened when nobody knew a value, it is tightened afresh once the file has one: what it was tightened to is
/// nowhere.
#[test]
fn a_value_that_is_known_later_makes_the_final_torque_due() {
    let mut job = Job::on_corner("");
    job.reached("castle-nut", FastenerStage::AtFinal, None);
    assert_eq!(job.row("final:castle-nut"), Pending);
    job.reached("castle-nut", FastenerStage::AtFinal, Some("43 N·m"));
    assert_eq!(job.row("final:castle-nut"), Done);
    // Still unknown: the row is done as far as it can be, and the road check asks for the value.
    job.reached("unknown-bolt", FastenerStage::AtFinal, None);
    assert_eq!(job.row("final:unknown-bolt"), Done);
}

/// A lock that the file asks for only afterwards was not set by the final torque.
#[test]
fn a_split_pin_that_the_file_asks_for_later_is_still_to_come() {
    let mut job = Job::on_corner("");
    job.tell(Event::Done {
        action: act("fit:insert-nut"),
        effects: Effects { reaches: Some(FastenerStage::Locked), ..Effects::default() },
        torque: Some(reached("45 N·m")),
        note: None,
    });
    assert!(open_items(&job.car, &job.state).is_empty());
    let nut = job.car.fasteners.iter_mut().find(|fastener| fastener.id == id("insert-nut")).unwrap();
    nut.lock = Lock::SplitPin;
    assert_eq!(job.row("lock:insert-nut"), Pending);
    let open: Vec<String> =
        open_items(&job.car, &job.state).iter().map(|open| open.stands.to_string()).collect();
    assert!(open[0].contains("not locked"), "{open:?}");
    job.does("lock:insert-nut");
    assert_eq!(job.row("lock:insert-nut"), Done);
    assert!(open_items(&job.car, &job.state).is_empty());
    // Tightened afresh, the pin is out again.
    job.noted("loosen:insert-nut");
    job.reached("insert-nut", FastenerStage::AtFinal, Some("45 N·m"));
    assert_eq!(job.row("lock:insert-nut"), Pending);
}

#[test]
fn a_fastener_goes_through_its_rows() {
    let mut job = Job::on_corner("");
    let all = "loosen undo fit final lock";
    assert_eq!(rows(&job, "castle-nut", all), [Pending; 5]);
    job.noted("loosen:castle-nut");
    assert_eq!(rows(&job, "castle-nut", all), [Done, Pending, Pending, Pending, Pending]);
    job.noted("undo:castle-nut");
    assert_eq!(rows(&job, "castle-nut", all), [Done, Done, Pending, Pending, Pending]);
    job.reached("castle-nut", FastenerStage::Seated, None);
    assert_eq!(rows(&job, "castle-nut", "fit final"), [Pending, Pending], "fitting brings it to its torque");
    job.noted("off:wheel undo:castle-nut");
    job.tell(Event::Done {
        action: act("fit:castle-nut"),
        effects: Effects { reaches: Some(FastenerStage::AtFinal), fresh: true, ..Effects::default() },
        torque: Some(reached("43 N·m")),
        note: None,
    });
    assert_eq!(rows(&job, "castle-nut", all), [Done, Done, Done, Done, Pending]);
    job.reached("castle-nut", FastenerStage::Locked, None);
    assert_eq!(rows(&job, "castle-nut", all), [Done; 5]);
    // Where the torque is due later, fitting is seating it.
    job.noted("undo:front-bolt");
    job.reached("front-bolt", FastenerStage::InByHand, None);
    assert_eq!(job.row("fit:front-bolt"), Pending);
    job.reached("front-bolt", FastenerStage::Seated, None);
    assert_eq!(rows(&job, "front-bolt", "fit final"), [Done, Pending]);
    // The insert locks by itself; hand-tight is final where there is no torque.
    job.noted("undo:insert-nut undo:flap-screw");
    job.reached("insert-nut", FastenerStage::AtFinal, None);
    assert_eq!(job.row("fit:insert-nut"), Pending);
    job.reached("insert-nut", FastenerStage::Locked, None);
    job.reached("flap-screw", FastenerStage::Seated, None);
    assert_eq!([job.row("fit:insert-nut"), job.row("fit:flap-screw")], [Done, Done]);
}

#[test]
fn a_bolt_run_up_snug_is_fitted_though_it_was_never_out() {
    let mut job = Job::on_corner("");
    job.reached("jam-nut", FastenerStage::Seated, None);
    assert_eq!(job.row("fit:jam-nut"), Pending, "never touched by this job");
    job.noted("loosen:jam-nut");
    assert_eq!(job.row("fit:jam-nut"), Pending);
    job.reached("jam-nut", FastenerStage::Seated, None);
    assert_eq!(job.row("fit:jam-nut"), Done);
}

#[test]
fn a_final_torque_the_file_no_longer_asks_for_is_due_again() {
    let mut job = Job::on_corner("");
    job.noted("do:settle");
    job.reached("rear-bolt", FastenerStage::AtFinal, Some("90 N·m"));
    assert_eq!(job.row("final:rear-bolt"), Done);
    job.reached("rear-bolt", FastenerStage::AtFinal, Some("70 N·m"));
    assert_eq!(job.row("final:rear-bolt"), Pending);
    // A wheel hides no bolt at ride height; a part that is off for the torque does.
    assert!(!is_wanted_away(&job.car, &job.state, &id("wheel")));
    let mut hidden = Job::on_corner_with(
        "",
        &[("name = \"rear bolt\"\n", "name = \"rear bolt\"\nfinal_after = [\"flap\"]\n")],
    );
    hidden.noted("do:settle");
    hidden.reached("rear-bolt", FastenerStage::AtFinal, Some("90 N·m"));
    assert!(!is_wanted_away(&hidden.car, &hidden.state, &id("flap")));
    hidden.reached("rear-bolt", FastenerStage::AtFinal, Some("70 N·m"));
    assert!(is_wanted_away(&hidden.car, &hidden.state, &id("flap")));
    assert!(!is_wanted_away(&hidden.car, &hidden.state, &id("arm")));
    // One whose torque is due at once is reached with the wheel off.
    let mut nut = Job::on_corner("");
    nut.reached("castle-nut", FastenerStage::Locked, Some("20 N·m"));
    assert!(is_wanted_away(&nut.car, &nut.state, &id("wheel")));
    assert_eq!(nut.row("off:wheel"), Pending);
    nut.noted("off:wheel on:wheel");
    assert_eq!(nut.row("off:wheel"), Pending, "it has to come off once more");
}

#[test]
fn a_part_goes_off_and_on() {
    let mut job = Job::on_corner("");
    assert_eq!(rows(&job, "wheel", "off on"), [Pending, Pending]);
    job.noted("off:wheel");
    assert_eq!(rows(&job, "wheel", "off on"), [Done, Pending]);
    job.noted("on:wheel");
    assert_eq!(rows(&job, "wheel", "off on"), [Done, Done]);
}

#[test]
fn what_was_put_back_for_the_night_comes_off_again() {
    let mut job = Job::on_corner("arm");
    job.plan("undo:wheel-nuts off:wheel undo:front-bolt off:arm");
    job.noted("loosen:wheel-nuts undo:wheel-nuts off:wheel on:wheel");
    job.reached("wheel-nuts", FastenerStage::AtFinal, Some("110 N·m"));
    // The bolt behind the wheel is still ahead.
    assert!(is_wanted_away(&job.car, &job.state, &id("wheel")));
    assert_eq!(job.row("off:wheel"), Pending);
    // And the nuts hold the wheel.
    assert!(is_wanted_away(&job.car, &job.state, &id("wheel-nuts")));
    assert_eq!(rows(&job, "wheel-nuts", "undo loosen"), [Pending, Pending]);
    job.reached("wheel-nuts", FastenerStage::Seated, None);
    assert_eq!(
        rows(&job, "wheel-nuts", "undo loosen"),
        [Pending, Done],
        "seated only, they are loose enough"
    );
    job.noted("undo:wheel-nuts off:wheel undo:front-bolt off:arm");
    job.has_new("arm");
    job.tell(Event::Done {
        action: act("on:arm"),
        effects: Effects { fresh: true, ..Effects::default() },
        torque: None,
        note: None,
    });
    job.noted("on:wheel");
    assert!(!is_wanted_away(&job.car, &job.state, &id("wheel")));
    assert_eq!(job.row("off:wheel"), Done);
}

#[test]
fn what_is_left_out_holds_nothing_away() {
    let mut job = Job::on_corner("");
    job.plan("off:wheel undo:front-bolt");
    assert!(is_wanted_away(&job.car, &job.state, &id("wheel")));
    job.skips("undo:front-bolt");
    assert!(!is_wanted_away(&job.car, &job.state, &id("wheel")));
    assert!(
        !is_wanted_away(&Job::on_corner("").car, &Job::on_corner("").state, &id("wheel")),
        "nothing is planned"
    );
    // The work behind the work counts as well: the taper behind the castle nut behind the wheel.
    let mut far = Job::on_corner("");
    far.plan("off:wheel undo:taper");
    assert!(is_wanted_away(&far.car, &far.state, &id("castle-nut")));
    far.noted("undo:taper");
    assert!(!is_wanted_away(&far.car, &far.state, &id("castle-nut")));
    // Reached past the castle nut alone, the taper needs the wheel away only until that nut is out.
    let past = [("after = [\"wheel\", \"castle-nut\"]", "after = [\"castle-nut\"]")];
    let mut past = Job::on_corner_with("", &past);
    past.plan("off:wheel undo:castle-nut undo:taper");
    past.noted("off:wheel");
    assert!(is_wanted_away(&past.car, &past.state, &id("wheel")));
    past.noted("undo:castle-nut");
    assert!(!is_wanted_away(&past.car, &past.state, &id("wheel")));
}

#[test]
fn what_broke_or_is_old_has_to_come_out_once_more() {
    // Planned and done once, the castle nut was used again though it is good for one use.
    let wanted = |happens: &dyn Fn(&mut Job)| {
        let mut job = Job::on_corner("rod-end");
        job.plan("off:wheel undo:castle-nut undo:insert-nut off:rod-end off:arm");
        job.skips("off:arm");
        job.noted("off:wheel undo:castle-nut undo:insert-nut off:rod-end");
        for (nut, verb, value) in [("castle-nut", "lock", "43 N·m"), ("insert-nut", "fit", "45 N·m")] {
            job.tell(Event::Done {
                action: act(&format!("{verb}:{nut}")),
                effects: Effects { reaches: Some(FastenerStage::Locked), fresh: true, ..Effects::default() },
                torque: Some(reached(value)),
                note: None,
            });
        }
        job.tell(Event::Done {
            action: act("on:rod-end"),
            effects: Effects { fresh: true, ..Effects::default() },
            torque: None,
            note: None,
        });
        happens(&mut job);
        (is_wanted_away(&job.car, &job.state, &id("wheel")), job)
    };
    assert!(!wanted(&|_| ()).0, "all is new");
    let (away, job) = wanted(&|job| job.broke("castle-nut"));
    assert!(away);
    assert_eq!(job.row("undo:castle-nut"), Pending);
    let old = |job: &mut Job| {
        job.noted("undo:castle-nut");
        job.reached("castle-nut", FastenerStage::Locked, None);
    };
    assert!(wanted(&old).0, "the old one of one use");
    let usual = |job: &mut Job| {
        job.noted("undo:insert-nut");
        job.reached("insert-nut", FastenerStage::Locked, None);
    };
    assert!(!wanted(&usual).0, "the insert nut may be used again");
    assert!(wanted(&|job| job.broke("rod-end")).0);
    assert!(wanted(&|job| job.noted("off:rod-end on:rod-end")).0, "the old rod end is on");
    assert!(!wanted(&|job| job.noted("off:rod-end")).0, "it is off: nothing keeps the wheel away for it");
    assert!(!wanted(&|job| job.noted("undo:castle-nut")).0);
    assert!(!wanted(&|job| job.noted("off:arm on:arm")).0, "the arm is no goal");
}

#[test]
fn work_of_strip_that_is_ahead_needs_its_way_free() {
    let ahead = |rows: &str| {
        let mut job = Job::on_corner_with(
            "",
            &[
                (
                    "stage = \"strip\", place = \"under\", state = \"on-stands\", after = [\"raise\"]",
                    "stage = \"strip\", place = \"under\", state = \"on-stands\", after = [\"flap\"]",
                ),
                ("stage = \"prove\", after = [\"wheel-nuts\"]", "stage = \"prove\", after = [\"clip-on\"]"),
            ],
        );
        job.plan(rows);
        job
    };
    let mut job = ahead("do:look");
    assert!(is_wanted_away(&job.car, &job.state, &id("flap")));
    job.noted("do:look");
    assert!(!is_wanted_away(&job.car, &job.state, &id("flap")));
    let job = ahead("do:brake-test");
    assert!(!is_wanted_away(&job.car, &job.state, &id("clip-on")), "it is wanted on for that");
    let mut job = ahead("way:cut-arm");
    assert!(is_wanted_away(&job.car, &job.state, &id("wheel")));
    job.noted("way:cut-arm");
    assert!(!is_wanted_away(&job.car, &job.state, &id("wheel")));
}

#[test]
fn what_a_way_freed_and_goes_back_needs_its_usual_way_in() {
    let mut job = Job::on_corner_with(
        "",
        &[("needs = [\"wheel\"], scraps = [\"insert-nut\"]", "scraps = [\"insert-nut\"]")],
    );
    job.plan("way:drill-nut fit:insert-nut");
    assert!(is_wanted_away(&job.car, &job.state, &id("wheel")));
    job.tell(Event::Done {
        action: act("way:drill-nut"),
        effects: Effects {
            undone: vec![id("insert-nut")],
            scrapped: vec![id("insert-nut")],
            ..Effects::default()
        },
        torque: None,
        note: None,
    });
    assert!(is_wanted_away(&job.car, &job.state, &id("wheel")));
    job.reached("insert-nut", FastenerStage::Locked, None);
    job.has_new("insert-nut");
    let mut fresh = job.clone();
    fresh.noted("undo:insert-nut");
    fresh.tell(Event::Done {
        action: act("fit:insert-nut"),
        effects: Effects { reaches: Some(FastenerStage::Locked), fresh: true, ..Effects::default() },
        torque: None,
        note: None,
    });
    assert!(!is_wanted_away(&fresh.car, &fresh.state, &id("wheel")));
    // Where it does not go back, or by no planned way, the wheel may stay on.
    let mut gone = Job::on_corner_with(
        "",
        &[("needs = [\"wheel\"], scraps = [\"insert-nut\"]", "scraps = [\"insert-nut\"]")],
    );
    gone.plan("way:drill-nut");
    assert!(!is_wanted_away(&gone.car, &gone.state, &id("wheel")));
    gone.plan("fit:insert-nut");
    assert!(!is_wanted_away(&gone.car, &gone.state, &id("wheel")));
    gone.plan("way:drill-nut fit:insert-nut");
    gone.skips("way:drill-nut");
    assert!(!is_wanted_away(&gone.car, &gone.state, &id("wheel")));
    // The same for a part that goes back on.
    let mut arm = Job::on_corner_with(
        "",
        &[("needs = [\"wheel\"], undoes = [\"front-bolt\"]", "undoes = [\"front-bolt\"]")],
    );
    arm.plan("way:cut-arm on:arm");
    assert!(is_wanted_away(&arm.car, &arm.state, &id("wheel")));
}

#[test]
fn leaving_out_the_undoing_leaves_out_the_refitting() {
    let mut job = Job::on_corner("");
    for row in ["undo:castle-nut", "off:arm"] {
        job.skips(row);
    }
    assert_eq!(
        rows(&job, "castle-nut", "loosen undo fit final lock"),
        [Pending, Skipped, Skipped, Skipped, Skipped]
    );
    assert_eq!(rows(&job, "arm", "off on"), [Skipped, Skipped]);
    assert_eq!(rows(&job, "rod-end", "off on"), [Pending, Pending]);
    // A way had it out all the same: then it has to go back.
    job.noted("loosen:castle-nut off:arm");
    assert_eq!(rows(&job, "castle-nut", "fit final lock"), [Pending; 3]);
    assert_eq!(job.row("on:arm"), Pending);
    // Done after all, it is left out no more.
    job.noted("undo:castle-nut");
    assert_eq!(job.row("undo:castle-nut"), Done);
    assert!(!job.state.skipped.contains_key(&act("undo:castle-nut")));
}

#[test]
fn a_reading_counts_at_the_end_while_the_car_stays_as_it_was() {
    let mut job = Job::on_corner("");
    job.reads("height", false, 360.0, 1.0);
    assert_eq!(rows(&job, "height", "read again"), [Done, Pending]);
    job.noted("do:raise do:lower do:settle");
    job.reads("height", true, 361.0, 1.0);
    job.reads("toe", true, 0.1, 0.05);
    assert_eq!(rows(&job, "height", "read again"), [Done, Done]);
    assert_eq!(rows(&job, "toe", "read again"), [Pending, Done], "read at the end only");
    // An adjuster turned moves toe, no height; setting toe as well.
    let mut turned = job.clone();
    turned.tell(Event::Turned { adjuster: "tie-rod.left".to_owned(), amount: 0.5, typed: "half".to_owned() });
    assert_eq!([turned.row("again:height"), turned.row("again:toe")], [Done, Pending]);
    turned.reads("height", true, 361.0, 1.0);
    assert_eq!(turned.row("again:toe"), Pending, "another reading");
    turned.reads("toe", false, 0.1, 0.05);
    assert_eq!(turned.row("again:toe"), Pending, "another kind of reading");
    turned.reads("toe", true, 0.1, 0.05);
    assert_eq!(turned.row("again:toe"), Done);
    let mut set = job.clone();
    set.noted("do:set-toe");
    assert_eq!([set.row("again:height"), set.row("again:toe")], [Done, Pending]);
    set.reads("toe", true, 0.1, 0.05);
    assert_eq!(set.row("again:toe"), Done);
    set.noted("do:brake-test");
    assert_eq!(set.row("again:toe"), Done, "that sets nothing");
    // The jam nut loosened: toe again. Another nut: not.
    let mut loosened = job.clone();
    loosened.noted("loosen:insert-nut");
    assert_eq!(loosened.row("again:toe"), Done);
    loosened.noted("loosen:jam-nut");
    assert_eq!([loosened.row("again:height"), loosened.row("again:toe")], [Done, Pending]);
    loosened.reads("height", true, 361.0, 1.0);
    assert_eq!(loosened.row("again:toe"), Pending);
    loosened.reads("toe", true, 0.1, 0.05);
    assert_eq!(loosened.row("again:toe"), Done);
    loosened.reached("jam-nut", FastenerStage::AtFinal, Some("55 N·m"));
    assert_eq!(loosened.row("again:toe"), Done);
    // On stands once more, everything is read again.
    job.noted("do:raise");
    assert_eq!(
        [job.row("again:height"), job.row("again:toe"), job.row("read:height")],
        [Pending, Pending, Done]
    );
}

/// Loosened at ride height to set toe, it needs no car on stands to be run up: its final torque follows there.
#[test]
fn a_jam_nut_loosened_where_its_torque_is_due_gets_that_at_once() {
    let mut job = Job::on_corner("");
    job.noted("loosen:jam-nut");
    assert_eq!(rows(&job, "jam-nut", "fit final"), [Pending, Pending], "the car is on its wheels");
    job.noted("do:settle");
    assert_eq!(rows(&job, "jam-nut", "fit final"), [Done, Pending]);
    job.noted("do:raise");
    assert_eq!(job.row("fit:jam-nut"), Pending, "on stands it has to be run up before the car comes down");
}

/// A row counts as done though its item is tight again; what somebody says now is judged by how things stand.
#[test]
fn what_is_said_is_held_against_how_things_stand() {
    let mut job = Job::on_corner("");
    let says = |job: &Job, action: &str| stands_as_said(&job.car, &job.state, &act(action));
    assert!(!says(&job, "undo:wheel-nuts"));
    job.noted("loosen:wheel-nuts do:raise undo:wheel-nuts off:wheel");
    for action in ["loosen:wheel-nuts", "undo:wheel-nuts", "off:wheel", "do:raise"] {
        assert!(says(&job, action), "{action}");
    }
    job.noted("on:wheel");
    job.reached("wheel-nuts", FastenerStage::Seated, None);
    assert_eq!(rows(&job, "wheel-nuts", "loosen undo"), [Done, Done]);
    for action in ["loosen:wheel-nuts", "undo:wheel-nuts", "off:wheel"] {
        assert!(!says(&job, action), "{action}");
    }
    assert!(says(&job, "on:wheel"));
}

/// Raised once more by a phone after the job: its row is done, and the car is not on stands.
#[test]
fn a_car_that_is_said_to_be_raised_has_to_stand_so() {
    let mut job = Job::on_corner("");
    job.noted("do:chocks do:raise do:lower do:settle");
    let says = |job: &Job, action: &str| stands_as_said(&job.car, &job.state, &act(action));
    assert_eq!(job.row("do:raise"), Done);
    assert!(!says(&job, "do:raise") && says(&job, "do:lower"));
    // Rolled since, the chocks have to be put there again.
    assert!(!says(&job, "do:chocks"));
    job.noted("do:chocks do:raise");
    assert!(says(&job, "do:chocks") && says(&job, "do:raise"));
}
