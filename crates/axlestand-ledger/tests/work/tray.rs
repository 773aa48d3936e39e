//! Places in the tray: look-alikes never side by side.

use crate::job::{Job, id};
use axlestand_ledger::{Details, look_alikes};

fn places(job: &Job, items: &[&str]) -> Vec<u32> {
    items.iter().map(|item| job.state.hold(&id(item)).tray.unwrap()).collect()
}

#[test]
fn the_same_head_and_thread_look_alike() {
    let job = Job::on_corner("");
    let alike = |item: &str| -> Vec<&str> {
        look_alikes(&job.car, job.car.fastener(&id(item)).unwrap())
            .into_iter()
            .map(|f| f.id.as_str())
            .collect()
    };
    assert_eq!(alike("front-bolt"), ["rear-bolt"]);
    assert_eq!(alike("castle-nut"), ["wheel-nuts"], "the pitch is not seen");
    assert!(alike("jam-nut").is_empty());
}

#[test]
fn each_gets_the_lowest_free_place_and_look_alikes_lie_apart() {
    let mut job = Job::on_corner("");
    job.noted("do:raise off:wheel");
    job.does("undo:front-bolt undo:rear-bolt undo:insert-nut undo:jam-nut");
    // Place 2 stays free beside the first bolt; 3 is its own; the others fill up from below.
    assert_eq!(places(&job, &["front-bolt", "rear-bolt", "insert-nut", "jam-nut"]), [1, 3, 2, 4]);
    // A place is free again when what lay there went in.
    job.reached("insert-nut", axlestand_ledger::FastenerStage::Locked, None);
    job.noted("off:flap");
    job.does("undo:flap-screw");
    assert_eq!(places(&job, &["flap-screw"]), [2]);
    // Taken out again it does not find its old place taken by itself.
    job.reached("flap-screw", axlestand_ledger::FastenerStage::Seated, None);
    job.does("undo:flap-screw");
    assert_eq!(places(&job, &["flap-screw"]), [2]);
}

#[test]
fn the_neighbour_on_either_side_counts() {
    let laid = |first: u32, then: &str| {
        let mut job = Job::on_corner("");
        job.noted("do:raise off:wheel");
        job.does_with("undo:front-bolt", &Details { tray: Some(first), ..Details::default() }).unwrap();
        job.does(&format!("undo:{then}"));
        places(&job, &[then])[0]
    };
    assert_eq!(laid(2, "rear-bolt"), 4, "1 and 3 are beside it");
    assert_eq!(laid(3, "rear-bolt"), 1);
    assert_eq!(laid(5, "rear-bolt"), 1);
    assert_eq!(laid(2, "jam-nut"), 1);
    assert_eq!(laid(1, "jam-nut"), 2);
}

#[test]
fn a_taken_place_is_not_chosen_twice() {
    let mut job = Job::on_corner("");
    job.noted("do:raise off:wheel");
    let at = |place: u32| Details { tray: Some(place), ..Details::default() };
    job.does_with("undo:front-bolt", &at(7)).unwrap();
    let why = job.does_with("undo:jam-nut", &at(7)).unwrap_err().to_string();
    assert!(why.contains("place 7 is taken by front bolt"), "{why}");
    job.does_with("undo:jam-nut", &at(8)).unwrap();
    assert_eq!(places(&job, &["front-bolt", "jam-nut"]), [7, 8]);
    // What went in gives its place up, but remembers it.
    job.reached("front-bolt", axlestand_ledger::FastenerStage::Seated, None);
    assert_eq!(places(&job, &["front-bolt"]), [7]);
    job.does_with("undo:insert-nut", &at(7)).unwrap();
    // Its own place is never taken by itself.
    job.noted("undo:insert-nut");
    assert_eq!(places(&job, &["insert-nut"]), [7]);
}
