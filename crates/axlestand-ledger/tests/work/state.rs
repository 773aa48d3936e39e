//! The fold: what stands after an event, event by event.

use crate::job::{Job, act, id};
use axlestand_ledger::RowStatus::{Done, Pending};
use axlestand_ledger::{Effects, Event, FastenerStage, JobState};
use axlestand_model::CarState;

#[test]
fn a_hold_that_comes_out_forgets_its_torque_and_keeps_its_place() {
    let mut job = Job::on_corner("");
    let hold = |job: &Job| job.state.hold(&id("castle-nut"));
    assert_eq!(hold(&job), axlestand_ledger::HoldState::default());
    job.tell(Event::Stuck { item: id("castle-nut"), note: Some("rust".to_owned()) });
    job.has_new("castle-nut");
    job.tell(Event::Done {
        action: act("undo:castle-nut"),
        effects: Effects { tray: Some(3), ..Effects::default() },
        torque: None,
        note: None,
    });
    let out = hold(&job);
    assert_eq!(
        (out.stage, out.was_out, out.tray, out.stuck, out.ready),
        (FastenerStage::Out, true, Some(3), true, true)
    );
    assert_eq!((out.disturbed, out.undone, job.state.disturbed), (4, 4, 4), "the fourth entry of the job");
    job.tell(Event::Done {
        action: act("fit:castle-nut"),
        effects: Effects { reaches: Some(FastenerStage::AtFinal), fresh: true, ..Effects::default() },
        torque: Some(axlestand_ledger::TorqueRecord::default()),
        note: None,
    });
    let fitted = hold(&job);
    assert!(fitted.fresh && !fitted.ready && fitted.torque.is_some());
    // Tightened on, it is still the new one.
    job.reached("castle-nut", FastenerStage::Locked, None);
    assert!(hold(&job).fresh);
    // Loosened, it is the old one.
    job.noted("loosen:castle-nut");
    let loose = hold(&job);
    assert_eq!((loose.stage, loose.fresh, loose.torque), (FastenerStage::BrokenLoose, false, None));
    assert_eq!((loose.disturbed, loose.undone, job.state.disturbed), (7, 4, 7));
    job.noted("undo:castle-nut");
    assert_eq!(hold(&job).tray, Some(3), "no place was named: it is the one it had");
    assert_eq!(
        job.state.notes,
        [("2000-01-01T00:00:01Z".to_owned(), Some(id("castle-nut")), "rust".to_owned())]
    );
}

#[test]
fn a_new_one_is_whole_and_an_old_one_stays_broken() {
    let put = |verb: &str, item: &str, away: &str, fresh: bool| {
        let mut job = Job::on_corner("");
        job.noted(away);
        job.broke(item);
        let effects = Effects { reaches: Some(FastenerStage::Locked), fresh, ..Effects::default() };
        job.tell(Event::Done { action: act(&format!("{verb}:{item}")), effects, torque: None, note: None });
        job.state
    };
    for fresh in [true, false] {
        assert_eq!(put("fit", "castle-nut", "undo:castle-nut", fresh).hold(&id("castle-nut")).broken, !fresh);
        assert_eq!(put("on", "arm", "off:arm", fresh).part(&id("arm")).broken, !fresh);
        // One that was whole is not broken by being put back.
        let mut whole = Job::on_corner("");
        whole.noted("undo:castle-nut off:arm");
        for action in ["fit:castle-nut", "on:arm"] {
            let effects = Effects { fresh, ..Effects::default() };
            whole.tell(Event::Done { action: act(action), effects, torque: None, note: None });
        }
        assert!(!whole.state.hold(&id("castle-nut")).broken && !whole.state.part(&id("arm")).broken);
    }
    // In its thread it is not exchanged.
    assert!(put("fit", "castle-nut", "loosen:castle-nut", true).hold(&id("castle-nut")).broken);
}

#[test]
fn what_breaks_is_no_new_one_any_more() {
    let mut job = Job::on_corner("");
    job.noted("undo:castle-nut off:arm");
    for action in ["fit:castle-nut", "on:arm"] {
        let effects = Effects { fresh: true, ..Effects::default() };
        job.tell(Event::Done { action: act(action), effects, torque: None, note: None });
    }
    assert!(job.state.hold(&id("castle-nut")).fresh && job.state.part(&id("arm")).fresh);
    job.broke("castle-nut");
    job.broke("arm");
    let (nut, arm) = (job.state.hold(&id("castle-nut")), job.state.part(&id("arm")));
    assert!(nut.broken && !nut.fresh && arm.broken && !arm.fresh);
    job.has_new("arm");
    assert!(job.state.part(&id("arm")).ready && job.state.part(&id("arm")).broken, "it lies ready only");
}

#[test]
fn the_car_stands_as_it_was_last_brought() {
    let mut job = Job::on_corner("");
    assert_eq!(job.state.stands(), CarState::OnWheels);
    for (does, stands) in [
        ("do:raise", CarState::OnStands),
        ("do:drain", CarState::OnStands),
        ("do:lower", CarState::OnWheels),
        ("do:settle", CarState::RideHeight),
    ] {
        job.noted(does);
        assert_eq!(job.state.stands(), stands, "{does}");
    }
}

#[test]
fn a_withdrawn_entry_and_its_withdrawal_are_no_turn() {
    let mut job = Job::on_corner("");
    job.noted("undo:clip");
    assert_eq!(job.state.turn, 2);
    let entry = job.state.entries.last().unwrap().id.clone();
    job.takes_back(&entry).unwrap();
    assert_eq!((job.state.turn, job.stage("clip")), (1, FastenerStage::InPlace));
    assert_eq!(job.state.counting_entries().count(), 1);
    assert_eq!(job.state.withdrawn().into_iter().collect::<Vec<_>>(), [entry.as_str()]);
    job.noted("undo:clip");
    assert_eq!((job.state.turn, job.stage("clip")), (2, FastenerStage::Out));
    assert_eq!(JobState::of(&job.state.entries), job.state);
}

#[test]
fn what_was_taken_back_stays_so_after_a_second_withdrawal() {
    let mut job = Job::on_corner("");
    let withdraws = |job: &mut Job, entry: &str| {
        job.tell(Event::Withdrawn { entry: entry.to_owned(), reason: None });
    };
    job.noted("undo:clip undo:flap-screw");
    for entry in ["e1", "e2"] {
        withdraws(&mut job, entry);
    }
    assert_eq!([job.stage("clip"), job.stage("flap-screw")], [FastenerStage::InPlace; 2]);
    // Taken back on one phone before the other one delivered it, with another withdrawal between.
    withdraws(&mut job, "e7");
    withdraws(&mut job, "e99");
    job.noted("undo:clips undo:clip");
    assert_eq!(job.state.entries.last().unwrap().id, "e8");
    assert_eq!([job.stage("clips"), job.stage("clip")], [FastenerStage::InPlace, FastenerStage::Out]);
    assert_eq!(JobState::of(&job.state.entries), job.state);
}

#[test]
fn a_new_plan_keeps_the_numbers_of_old_rows() {
    let mut job = Job::on_corner("");
    job.plan("off:wheel off:arm");
    job.plan("off:hub");
    assert_eq!(job.state.number_of(&act("off:arm")), Some(2));
    assert_eq!(job.state.number_of(&act("off:hub")), Some(1));
    assert_eq!(job.state.number_of(&act("off:knuckle")), None);
    assert!(job.state.is_planned(&act("off:hub")) && !job.state.is_planned(&act("off:arm")));
    assert_eq!(job.state.order, [1]);
}

/// What was done stays done until something undoes it.
#[test]
fn lowering_and_settling_count_while_the_car_stands_so() {
    let mut job = Job::on_corner("");
    job.plan("do:raise do:lower do:settle");
    job.noted("do:raise");
    assert_eq!([job.row("do:raise"), job.row("do:lower")], [Done, Pending]);
    job.noted("do:lower");
    assert_eq!([job.row("do:raise"), job.row("do:lower"), job.row("do:settle")], [Done, Done, Pending]);
    job.noted("do:settle");
    assert_eq!(
        [job.row("do:lower"), job.row("do:settle")],
        [Done, Done],
        "at ride height it is on its wheels"
    );
    job.noted("do:raise");
    assert_eq!([job.row("do:lower"), job.row("do:settle")], [Pending, Pending]);
    assert_eq!(job.row("way:cut-arm"), Pending);
    job.noted("way:cut-arm");
    assert_eq!(job.row("way:cut-arm"), Done);
}

#[test]
fn a_car_lowered_too_soon_is_raised_again() {
    // Down again, with work left that is done on stands: undoing, taking off, putting on, fitting, a way.
    for row in ["undo:castle-nut", "off:arm", "on:arm", "fit:castle-nut", "way:cut-arm"] {
        let mut job = Job::on_corner("");
        job.plan(row);
        job.noted("do:chocks do:raise do:lower");
        assert_eq!(job.row("do:raise"), Pending, "{row}");
        job.skips(row);
        assert_eq!(job.row("do:raise"), Done, "{row} is left out");
    }
    for row in ["do:drain", "final:castle-nut", "undo:clip", "off:flap"] {
        let mut job = Job::on_corner("");
        job.plan(row);
        job.noted("do:raise do:lower");
        assert_eq!(job.row("do:raise"), Done, "{row} does not hold the raised car up");
    }
}

#[test]
fn a_look_underneath_is_made_anew_when_the_car_was_raised_again() {
    let mut job = Job::on_corner("");
    job.noted("do:raise do:look do:drain");
    assert_eq!([job.row("do:look"), job.row("do:drain")], [Done, Done]);
    job.noted("do:lower do:raise");
    assert_eq!([job.row("do:look"), job.row("do:drain")], [Pending, Done], "the oil is out all the same");
    job.noted("do:look");
    assert_eq!(job.row("do:look"), Done);
}

#[test]
fn chocks_count_until_the_car_was_rolled() {
    let mut job = Job::on_corner("");
    job.plan("do:chocks do:raise off:arm");
    job.noted("do:chocks do:raise do:lower");
    assert_eq!(job.row("do:chocks"), Done);
    job.noted("do:settle");
    assert_eq!(job.row("do:chocks"), Pending, "rolled, and to be raised for the arm");
    job.skips("off:arm");
    assert_eq!(job.row("do:chocks"), Done, "nothing is left to raise it for");
    let mut up = Job::on_corner("");
    up.plan("do:chocks do:raise off:arm");
    up.noted("do:chocks do:raise do:lower do:settle do:raise");
    assert_eq!(up.row("do:chocks"), Done, "it is up already");
}

#[test]
fn what_was_seen_on_stands_stays_seen_when_the_car_was_rolled() {
    let mut job = Job::on_corner("");
    job.plan("do:look undo:castle-nut");
    job.noted("do:raise do:look do:lower do:settle");
    assert_eq!(job.row("do:look"), Done, "it does not come before raising");
    job.noted("do:raise");
    assert_eq!(job.row("do:look"), Pending, "it is on its stands anew");
}

#[test]
fn work_after_refitting_is_due_anew_when_its_reason_was_disturbed() {
    let mut job = Job::on_corner("");
    job.noted("do:raise off:hub do:fill do:brake-test");
    assert_eq!([job.row("do:fill"), job.row("do:brake-test")], [Done, Done]);
    job.noted("loosen:flap-screw");
    assert_eq!([job.row("do:fill"), job.row("do:brake-test")], [Done, Pending], "a test is of the whole car");
    job.noted("off:hub");
    assert_eq!(job.row("do:fill"), Pending);
    job.noted("do:fill do:brake-test");
    assert_eq!([job.row("do:fill"), job.row("do:brake-test")], [Done, Done]);
}

#[test]
fn toe_is_set_anew_when_something_it_hangs_on_was_loosened() {
    for (happens, row) in [
        ("loosen:jam-nut", Pending),
        ("undo:jam-nut", Pending),
        ("off:arm", Pending),
        ("off:rod-end", Pending),
        ("loosen:insert-nut", Done),
        ("off:flap", Done),
    ] {
        let mut job = Job::on_corner("");
        job.noted("loosen:jam-nut do:set-toe");
        assert_eq!(job.row("do:set-toe"), Done);
        job.noted(happens);
        assert_eq!(job.row("do:set-toe"), row, "{happens}");
    }
}

#[test]
fn what_was_only_loosened_lay_open_to_nothing() {
    let after = [(
        "stage = \"refit\", fluid = \"oil\", because = [\"hub\"]",
        "stage = \"refit\", fluid = \"oil\", after = [\"jam-nut\"], because = [\"hub\"]",
    )];
    for (happens, row) in
        [("loosen:jam-nut", Done), ("undo:jam-nut", Pending), ("off:hub", Pending), ("undo:clip", Done)]
    {
        let mut job = Job::on_corner_with("", &after);
        job.noted("do:fill");
        job.noted(happens);
        assert_eq!(job.row("do:fill"), row, "{happens}");
    }
}

#[test]
fn a_first_reading_that_is_corrected_stays_before_those_at_the_end() {
    let mut job = Job::on_corner("");
    for (again, value) in [(false, 35.8), (true, 352.0), (false, 358.0), (true, 351.0)] {
        job.reads("height", again, value, 1.5);
    }
    let values: Vec<f64> = job.state.readings[&id("height")].iter().map(|record| record.value).collect();
    assert_eq!(values, [35.8, 358.0, 352.0, 351.0]);
}
