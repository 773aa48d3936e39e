//! What is noticed about readings: values no car has, things swapped, slips, what is missing.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod dice;
mod garage;

use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::alignment::{Axle, Edge, Finding, Kind, Mixup, Taken, estimate};
use axlestand_quantity::Lengths;
use dice::Dice;
use garage::{FL, Garage, RL, SIZE, noisy, taken};

fn findings(readings: &[Taken]) -> (Vec<Finding>, bool) {
    let outcome = estimate(&SIZE, readings, None).unwrap();
    (outcome.findings, outcome.estimate.is_some())
}

#[test]
fn values_no_car_has_are_refused_before_anything_is_computed() {
    let base = Garage::plain().everything();
    let with = |change: &dyn Fn(Kind) -> Option<Kind>| {
        let mut readings = base.clone();
        let (place, kind) =
            readings.iter().enumerate().find_map(|(i, t)| Some((i, change(t.kind)?))).unwrap();
        readings[place].kind = kind;
        findings(&readings)
    };
    // 12 cm typed for 120 mm, in another unit.
    let (found, told) = with(&|k| match k {
        Kind::HubGap { wheel, .. } => Some(Kind::HubGap { wheel, gap: 1.2e4 }),
        _ => None,
    });
    assert!(!told && matches!(found[0], Finding::WrongMagnitude { value, .. } if value > 1e4), "{found:?}");
    let (found, told) = with(&|k| match k {
        Kind::Camber { wheel, half_turn, .. } => Some(Kind::Camber { wheel, half_turn, degrees: 89.4 }),
        _ => None,
    });
    assert!(!told && matches!(found[0], Finding::WrongMagnitude { .. }), "gauge zeroed on a wall: {found:?}");
    // The 100 mm slip of a tape at one edge.
    let (found, told) = with(&|k| match k {
        Kind::RimGap { wheel, edge, half_turn, gap } => {
            Some(Kind::RimGap { wheel, edge, half_turn, gap: gap + 100.0 })
        }
        _ => None,
    });
    assert!(!told && found.iter().any(|f| matches!(f, Finding::EdgesApart { .. })), "{found:?}");
    // A string on the wrong stand.
    let mut crossed = Garage::plain();
    crossed.string[0].1 = -4.0;
    let (found, told) = findings(&crossed.everything());
    let side_of =
        |f: &Finding| matches!(f, Finding::CrossedString { side: Side::Left, runs_off } if *runs_off > 100.0);
    assert!(!told && found.iter().any(side_of), "{found:?}");
    // A repeat that differs.
    let mut twice = base.clone();
    twice.push(Taken::usual(Kind::HubGap { wheel: FL, gap: 125.0 }));
    let (found, told) = findings(&twice);
    assert!(!told && found.iter().any(|f| matches!(f, Finding::RepeatsDiffer { .. })), "{found:?}");
    for finding in &found {
        assert!(finding.to_string().len() > 20);
    }
}

#[test]
fn swaps_are_recognised_and_nothing_is_computed_from_them() {
    let mut dice = Dice::new(3);
    let mut g = Garage::drawn(&mut dice);
    g.toe = [0.9, -0.3, 0.6, 0.1];
    g.camber = [-2.0, 0.4, -2.4, -0.2];
    g.floor = [9.0, -9.0, 8.0, -8.0];
    g.string = [(895.0, -0.4), (-850.0, 0.5)];
    g.run_out = [[0.1, 0.0], [0.0, 0.2], [-0.1, 0.0], [0.0, -0.1]];
    let clean = noisy(&g.everything(), &mut dice);
    let (found, told) = findings(&clean);
    assert!(told && found.iter().all(|f| !f.blocks()), "{found:?}");
    for what in [
        Mixup::StringSides(Axle::Rear),
        Mixup::StringSides(Axle::Front),
        Mixup::Edges(FL),
        Mixup::Spacings,
        Mixup::Tapes(Axle::Front),
    ] {
        let swapped: Vec<Taken> = clean.iter().map(|t| Taken { kind: swap(what, t.kind), ..*t }).collect();
        let (found, told) = findings(&swapped);
        let named =
            found.iter().any(|f| matches!(f, Finding::MixedUp { among, .. } if among.contains(&what)));
        if matches!(what, Mixup::StringSides(_)) {
            // To the readings it is the same as a car that stands askew between the strings.
            let askew = found.iter().any(|f| matches!(f, Finding::Askew { degrees } if degrees.abs() > 0.4));
            assert!(named && !told || askew, "{what:?}: {found:?}");
        } else {
            assert!(named && !told, "{what:?}: {found:?}");
        }
    }
}

/// The same reading, entered with two things swapped.
fn swap(what: Mixup, mut kind: Kind) -> Kind {
    match (&mut kind, what) {
        (Kind::RimGap { wheel, .. } | Kind::HubGap { wheel, .. }, Mixup::StringSides(a))
            if wheel.axle == a =>
        {
            *wheel = wheel.opposite();
        }
        (Kind::RimGap { wheel, edge, .. }, Mixup::Edges(w)) if *wheel == w => *edge = edge.other(),
        (Kind::StringSpacing { ahead, .. }, Mixup::Spacings) => *ahead = -2550.0 - *ahead,
        (Kind::ToePlates { front, rear, .. }, Mixup::Tapes(_)) => std::mem::swap(front, rear),
        _ => {}
    }
    kind
}

#[test]
fn a_slip_of_the_water_level_is_to_be_read_again() {
    let mut dice = Dice::new(11);
    let g = Garage::drawn(&mut dice);
    let mut readings = noisy(&g.everything(), &mut dice);
    let slip = readings.iter().position(|t| matches!(t.kind, Kind::FloorStep { .. })).unwrap();
    let Kind::FloorStep { rise, .. } = &mut readings[slip].kind else { panic!() };
    *rise += 30.0;
    let (found, _) = findings(&readings);
    // The four floor steps close a ring: one to spare, so that none can be named alone.
    assert!(
        found.iter().any(|f| matches!(f, Finding::CannotLocate { .. } | Finding::TakeAgain { .. })),
        "{found:?}"
    );
}

#[test]
fn what_is_missing_is_said() {
    let g = Garage::plain();
    let mut rims = g.rims(false);
    rims.remove(1);
    let (found, told) = findings(&taken(rims));
    assert!(told && found.contains(&Finding::StringsUnchecked));
    let missing = Finding::MissingEdge { wheel: FL, edge: Edge::Rear, half_turn: false };
    assert!(found.contains(&missing), "{found:?}");
    assert!(found.contains(&Finding::NoHalfTurn { wheel: RL }));
    let (found, told) = findings(&taken(vec![g.rims(false)[0]]));
    assert!(
        told && found.iter().any(|f| matches!(f, Finding::Unchecked { .. })),
        "a single reading: {found:?}"
    );
    let e = estimate(&SIZE, &taken(vec![g.rims(false)[0]]), None).unwrap().estimate.unwrap();
    assert!(e.told.is_empty(), "{:?}", e.told);
    let (found, _) = findings(&taken(g.cambers(false)));
    assert!(found.contains(&Finding::FloorUnknown { axle: Axle::Front }));
}

/// 1 in is 25.4 mm exactly (NIST SP 811, B.8): 12.7 mm are 0.5 in, 1016 mm 40 in.
#[test]
fn findings_are_said_in_either_unit() {
    let wrong = |is_length| Finding::WrongMagnitude {
        reading: 0,
        name: "the gap".to_owned(),
        is_length,
        value: 2032.0,
        least: 25.4,
        most: 1016.0,
    };
    let metric = wrong(true).to_string();
    assert!(metric.starts_with("the gap reads 2032.0, and 25 to 1016 is possible"), "{metric}");
    assert_eq!(wrong(true).said(Lengths::Millimetres), metric);
    let inch = wrong(true).said(Lengths::Inches);
    assert!(inch.starts_with("the gap reads 80.000 in, and 1.00 in to 40.00 in is possible"), "{inch}");
    assert_eq!(wrong(false).said(Lengths::Inches), wrong(false).to_string(), "an angle stays one");
    let differ = |is_length| Finding::RepeatsDiffer {
        readings: [0, 1],
        name: "the gap".to_owned(),
        is_length,
        difference: 12.7,
    };
    assert!(differ(true).to_string().contains("differ by 12.70;"));
    assert!(differ(true).said(Lengths::Inches).contains("differ by 0.5000 in;"));
    assert!(differ(false).said(Lengths::Inches).contains("differ by 12.70;"));
}
