//! Operations: how the car has to stand for one, what it waits for and what does not concern it.

use crate::job::Job;
use axlestand_ledger::RowStatus;

const NOTHING: [String; 0] = [];

#[test]
fn work_that_leaves_the_car_where_it_is_needs_it_as_the_vehicle_file_says() {
    let mut job = Job::on_corner("");
    assert_eq!(job.why("do:look"), ["do:raise"]);
    assert_eq!(job.why("do:set-toe")[0], "do:settle");
    job.noted("do:raise");
    assert_eq!(job.why("do:look"), NOTHING);
    assert_eq!(job.why("do:settle")[0], "do:lower", "it is rolled to settle");
}

/// The second end goes up while the first one stands on its stands.
#[test]
fn the_other_end_is_raised_whatever_its_own_line_says() {
    let raise_rear = "name = \"raise the rear\", stage = \"strip\",";
    let job = |state: &str| {
        let mut job = Job::on_corner_with("", &[(raise_rear, &format!("{raise_rear} {state}"))]);
        job.noted("do:raise");
        job
    };
    for state in ["", "state = \"on-wheels\","] {
        assert_eq!(job(state).why("do:raise-rear"), NOTHING, "{state}");
    }
}

#[test]
fn work_after_refitting_waits_for_a_part_only_while_it_is_off() {
    let mut job = Job::on_corner("");
    job.noted("do:raise");
    assert_eq!(job.why("do:wax"), NOTHING);
    job.noted("off:arm");
    assert_eq!(job.why("do:wax"), ["on:arm"]);
    job.noted("on:arm");
    assert_eq!(job.why("do:wax"), NOTHING);
}

/// The corner on stands, with filling for this reason and wax that comes after filling.
fn filled_because_of(reason: &str) -> Job {
    let fill = "fluid = \"oil\", because = [\"hub\"]";
    let wax = "optional = true, because = [\"arm\"], after = [\"arm\"]";
    let mut job = Job::on_corner_with(
        "",
        &[
            (fill, &format!("fluid = \"oil\", because = [\"{reason}\"]")),
            (wax, "optional = true, because = [\"arm\"], after = [\"fill\"]"),
        ],
    );
    job.noted("do:raise");
    job
}

#[test]
fn work_waits_for_other_work_that_is_planned_and_has_a_reason_by_now() {
    // A part that was off, a nut that was loosened, a fluid that was drained.
    for (reason, happens) in [("hub", "off:hub"), ("hub-nut", "loosen:hub-nut"), ("hub", "do:drain")] {
        let mut job = filled_because_of(reason);
        job.plan("do:fill do:wax");
        assert_eq!(job.why("do:wax"), NOTHING, "no reason to fill yet: {reason}");
        job.noted(happens);
        assert_eq!(job.why("do:wax"), ["do:fill"], "{happens}");
        job.noted("do:fill");
        assert_eq!(job.why("do:wax"), NOTHING, "filled after {happens}");
        let mut unplanned = filled_because_of(reason);
        unplanned.noted(happens);
        assert_eq!(unplanned.why("do:wax"), NOTHING, "filling is not planned");
    }
}

#[test]
fn a_fluid_that_was_not_drained_is_no_reason_to_fill() {
    let mut job = filled_because_of("hub");
    job.plan("do:fill do:wax");
    // Its own filling drained nothing, nor did work of another fluid.
    job.noted("do:brake-test do:look");
    assert_eq!(job.why("do:wax"), NOTHING);
}

/// A jam nut turns with what is set, so it is loosened though no row says so; what is tightened on stands
/// and only comes afterwards is not.
#[test]
fn work_asks_for_loosening_only_where_that_is_planned_or_what_is_set_turns_on_it() {
    let set = [(
        "before = [\"jam-nut\"], place = \"around\"",
        "before = [\"jam-nut\", \"insert-nut\"], place = \"around\"",
    )];
    let mut job = Job::on_corner_with("", &set);
    job.noted("do:raise do:lower do:settle");
    assert_eq!(job.why("do:set-toe"), ["loosen:jam-nut"]);
    job.plan("loosen:insert-nut do:set-toe");
    assert_eq!(job.why("do:set-toe"), ["loosen:jam-nut", "loosen:insert-nut"]);
    let wax = [("because = [\"arm\"], after = [\"arm\"]", "before = [\"front-bolt\"]")];
    let mut job = Job::on_corner_with("", &wax);
    job.noted("do:raise");
    assert_eq!(job.why("do:wax"), NOTHING, "wax turns nothing");
    job.plan("loosen:front-bolt do:wax");
    assert_eq!(job.why("do:wax"), ["loosen:front-bolt"]);
    job.noted("loosen:front-bolt");
    assert_eq!(job.why("do:wax"), NOTHING);
}

/// No brakes are tried in the yard while wheel nuts are loose, a part is off, or more is still to come apart.
#[test]
fn nothing_is_proven_before_it_is_whole() {
    let mut job =
        Job::on_corner_with("", &[("after = [\"wheel-nuts\"], place = \"around\"", "place = \"around\"")]);
    assert_eq!(job.why("do:brake-test"), NOTHING, "nothing was touched");
    job.plan("loosen:wheel-nuts do:raise undo:wheel-nuts off:wheel on:wheel fit:wheel-nuts do:lower final:wheel-nuts");
    assert_eq!(job.why("do:brake-test"), ["undo:wheel-nuts"], "more is to come apart");
    job.noted("loosen:wheel-nuts do:raise undo:wheel-nuts off:wheel");
    // What is proven without a state of its own is proven on the wheels.
    assert_eq!(job.why("do:brake-test"), ["do:lower", "on:wheel"]);
    job.noted("on:wheel");
    job.reached("wheel-nuts", axlestand_ledger::FastenerStage::Seated, None);
    job.noted("do:lower");
    assert_eq!(job.why("do:brake-test"), ["wheel nuts are seated, not final"]);
    job.reached("wheel-nuts", axlestand_ledger::FastenerStage::AtFinal, Some("110 N·m"));
    assert_eq!(job.why("do:brake-test"), NOTHING);
}

/// Chocks that were left out are left out for that time: once the car was up and rolled, they are asked for again.
#[test]
fn chocks_are_left_out_for_one_time() {
    let mut job = Job::on_corner("arm").with_everything_planned();
    job.skips("do:chocks");
    assert_eq!(job.row("do:chocks"), RowStatus::Skipped);
    job.noted("do:raise do:lower");
    assert_eq!(job.row("do:chocks"), RowStatus::Skipped, "it was not rolled");
    job.noted("do:settle");
    assert_eq!(job.row("do:chocks"), RowStatus::Pending);
    assert!(job.why("do:raise").contains(&"do:chocks".to_owned()));
    job.skips("do:chocks");
    assert_eq!(job.row("do:chocks"), RowStatus::Skipped);
    // Another row that was left out stays so.
    job.skips("do:wax");
    job.noted("do:raise do:lower do:settle");
    assert_eq!(job.row("do:wax"), RowStatus::Skipped);
}
