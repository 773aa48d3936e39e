//! What is told where readings are few, repeated, late, or held against what was turned.

use super::{AlignmentWanted, GaugeAsked, Hand, Shop, TRACKS, Wheels, check_road, guide, told, turn};
use axlestand_garage::Lead;

fn plates(front: f64, rear: f64) -> [(String, String); 4] {
    [("front", "", front), ("rear", "", rear), ("front", ".half-turn", front), ("rear", ".half-turn", rear)]
        .map(|(tape, turned, mm)| (format!("plates.front.{tape}-tape{turned}"), format!("{mm:.1} mm")))
}

fn road_reasons(shop: &mut Shop) -> String {
    let job = shop.garage.job().unwrap();
    check_road(&job, axlestand_garage::Units::Metric)
        .reasons
        .into_iter()
        .map(|reason| reason.text + "\n")
        .collect()
}

#[test]
fn a_number_after_a_turn_is_not_held_against_those_before_it() {
    let mut shop = Shop::small();
    assert_eq!(shop.gauge(&plates(1471.0, 1489.0), Some("600 mm"), false), 0);
    shop.garage.turned("tie-rod.left", "2 turns shorter").unwrap();
    // Nothing is read yet of the car as it stands now.
    let job = shop.garage.job().unwrap();
    let list = guide(&job, "plates", axlestand_garage::Units::Metric).unwrap();
    assert_eq!((list.method.read, list.next.as_deref()), (0, Some("plates.front.front-tape")));
    // Two turns of 1.5 mm on an arm of some 140 mm are 1.2°, 13 mm over 600: no number is like before.
    assert_eq!(shop.gauge(&plates(1477.5, 1482.5), None, false), 0);
}

#[test]
fn one_number_typed_ten_times_is_not_ten_readings() {
    let u = |times: usize| {
        let mut shop = Shop::small();
        for _ in 0..times {
            assert_eq!(shop.gauge(&plates(1478.5, 1481.5), Some("600 mm"), false), 0);
        }
        shop.view().told.iter().find(|one| one.what == "total toe front").unwrap().u
    };
    // Two tapes in two positions of the wheels, each by 1 mm over 600; four times is half of it at best,
    // and half again by what agreement of the numbers says of the tape.
    let once = (1.0_f64 / 600.0).to_degrees();
    assert!((u(1) - once).abs() < 0.01, "{}", u(1));
    assert!(u(10) > 0.24 * once, "{} {once}", u(10));
    let mut shop = Shop::small();
    let too_fine = [("plates.front.front-tape".to_owned(), "1480 ± 0.0001 mm".to_owned())];
    let asked =
        GaugeAsked { readings: too_fine.to_vec(), at: Some("600 mm".to_owned()), ..GaugeAsked::default() };
    assert!(shop.garage.gauge(&asked).unwrap_err().to_string().contains("finer than anything"));
}

#[test]
fn amounts_that_are_none_are_refused() {
    let mut shop = Shop::small();
    for bad in ["1 1 turn longer", "1.5 1/4 turns longer", "1 3/2 turns longer", "0.0001 turns longer"] {
        assert!(shop.garage.turned("tie-rod.left", bad).is_err(), "{bad}");
    }
    for bad in ["0°", "-0°"] {
        assert!(shop.garage.turned("camber-slot.left", bad).is_err(), "{bad}");
    }
    for (good, turns) in [("1 1/4 turns longer", 1.25), ("2 turns 1/2 flat shorter", -25.0 / 12.0)] {
        assert!((shop.garage.turned("tie-rod.left", good).unwrap().answer.amount - turns).abs() < 1e-12);
    }
}

#[test]
fn a_floor_that_nobody_read_is_not_averaged_away() {
    let mut shop = Shop::small();
    let mut wheels = Wheels::straight();
    (wheels.toe, wheels.camber) = ([0.6, 0.6, 0.0, 0.0], [-0.5; 4]);
    let mut least = 1.0_f64;
    for _ in 0..4 {
        let hand = &mut Hand::new(11, 0.0);
        shop.gauge(&plates(1473.5, 1486.5), Some("600 mm"), false);
        let cambers: Vec<_> =
            wheels.cambers(hand).into_iter().filter(|(place, _)| place.starts_with("camber")).collect();
        shop.gauge(&cambers, None, false);
        let view = shop.view();
        least = least.min(view.told.iter().find(|one| one.what == "camber front left").unwrap().u);
        shop.garage.turned("tie-rod.left", "1 flat shorter").unwrap();
        shop.garage.turned("tie-rod.right", "1 flat longer").unwrap();
    }
    // 4 mm under each wheel over the track, and the gauge's zero of 0.1°: the same in every round.
    let slope = (4.0 * 2.0_f64.sqrt() / TRACKS[0]).to_degrees();
    assert!(least > 0.99 * slope.hypot(0.1), "{least}");
}

#[test]
fn at_the_end_of_what_is_told_the_thread_is_asked_for() {
    let mut shop = Shop::small();
    let mut wheels = Wheels::straight();
    (wheels.toe, wheels.camber) = ([3.0, 3.0, 0.05, 0.05], [-0.5; 4]);
    let mut hand = Hand::new(7, 0.3);
    shop.read(&wheels, &mut hand);
    let first = shop.view();
    let reads_thread =
        |lead: &Option<Lead>| matches!(lead, Some(Lead::Place { place, .. }) if place.starts_with("thread."));
    assert!(first.work.iter().all(|step| reads_thread(&step.lead)), "{first:?}");
    turn(&mut shop, &first, &mut wheels, 1.0);
    shop.read(&wheels, &mut hand);
    let stuck = shop.view();
    assert!(wheels.toe[0] > 0.3 && stuck.work.is_empty());
    assert!(stuck.verdict.todo.iter().any(|todo| reads_thread(&todo.lead)), "{stuck:?}");
    // What shows is read in the second round, after six millimetres were turned away: there is more.
    for side in ["left", "right"] {
        assert_eq!(shop.one(&format!("thread.{side}"), "8 mm"), 0);
    }
    let more = shop.view();
    assert_eq!(more.work.len(), 2, "{more:?}");
    // Two of the eight have to stay.
    assert!(more.work.iter().all(|step| step.amount.is_some_and(|by| by < 0.0 && by * 1.5 >= -6.0)));
    turn(&mut shop, &more, &mut wheels, 1.0);
    assert!((wheels.toe[0] + wheels.toe[1] - 0.10).abs() < 0.15, "{:?}", wheels.toe);
}

#[test]
fn what_is_gauged_after_keeping_counts_at_the_road_check() {
    let mut shop = Shop::small();
    shop.gauge(&plates(1480.0, 1481.0), Some("600 mm"), false);
    let kept = shop.garage.keep_alignment(&AlignmentWanted::default()).unwrap().answer;
    assert_eq!(kept.len(), 1, "total toe");
    assert!(!road_reasons(&mut shop).contains("total toe front is"));
    assert_eq!(shop.gauge(&plates(1470.0, 1490.0), None, true), 0);
    assert!(road_reasons(&mut shop).contains("total toe front is 1.9"), "{}", road_reasons(&mut shop));
}

#[test]
fn a_rod_does_not_turn_in_a_tight_jam_nut() {
    let mut shop = Shop::new();
    assert!(!road_reasons(&mut shop).contains("loosened and tightened since"));
    shop.garage.turned("tie-rod.left", "1 turn longer").unwrap();
    let reasons = road_reasons(&mut shop);
    assert!(reasons.contains("tie-rod.left was turned") && !reasons.contains("tie-rod.right was turned"));
    shop.garage.undo_entry(None, None).unwrap();
    assert!(!road_reasons(&mut shop).contains("loosened and tightened since"));
}

#[test]
fn rods_are_not_turned_for_the_steering_wheel_where_toe_is_not_known() {
    let mut shop = Shop::small();
    for (place, value) in [("camber.fl", "-0.5°"), ("camber.fr", "-0.5°"), ("thread.left", "2 mm")] {
        assert_eq!(shop.one(place, value), 0);
    }
    assert_eq!(shop.one("steering.road", "20°"), 0);
    let view = shop.view();
    assert!(told(&view, "steering wheel off straight") > 19.0);
    assert!(view.work.is_empty() && view.not_known.iter().any(|what| what == "total toe front"), "{view:?}");
    // With toe read it is set, and toe kept where it is.
    assert_eq!(shop.gauge(&plates(1479.5, 1480.5), Some("600 mm"), false), 0);
    shop.one("thread.right", "20 mm");
    let view = shop.view();
    let toe = view.foretold.iter().find(|one| one.what == "total toe front").map_or(0.1, |one| one.after);
    assert!((toe - 0.10).abs() < 0.15, "{view:?}");
}
