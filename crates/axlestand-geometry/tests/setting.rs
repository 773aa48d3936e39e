//! Settings of adjusters: each found setting is put on the car and the car solved anew; effects
//! against recorded sensitivities and finite differences.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod cars;

use axlestand_geometry::Vec3;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{Adjuster, Corner, CornerSpec, NoSetting, Point, WheelToSet, settle};

const FORWARD: Vec3 = Vec3 { x: 1.0, y: 0.0, z: 0.0 };
const LEFT: Vec3 = Vec3 { x: 0.0, y: 1.0, z: 0.0 };

fn slot() -> Adjuster {
    Adjuster::StrutTurn { bolt: Vec3::new(-4.0, 640.0, 335.0), axis: FORWARD }
}

fn cam(point: Point, start_deg: f64) -> Adjuster {
    Adjuster::Eccentric { point, bolt: FORWARD, eccentricity: 5.0, start_deg }
}

fn wheel(spec: CornerSpec, parts: Vec<Adjuster>, travel: f64, camber: f64, toe: f64) -> WheelToSet {
    WheelToSet { spec, parts, travel, camber, toe }
}

/// Camber and toe with the setting and the rod on the car, by nothing but the corner itself.
fn angles(wheel: &WheelToSet, setting: f64, tie_rod: f64) -> (f64, f64) {
    let mut spec = wheel.spec.clone();
    spec.adjusters.extend(wheel.parts.iter().map(|part| (*part, setting)));
    spec.adjusters.push((Adjuster::TieRod, tie_rod));
    let (_, out) = Corner::new(spec).unwrap().at(wheel.travel, 0.0).unwrap();
    (out.camber, out.toe)
}

#[test]
fn a_setting_brings_camber_and_toe_to_what_is_wanted() {
    let cases = [
        (cars::strut(), vec![slot()], (-1.5, 1.5)),
        (cars::strut(), vec![Adjuster::Shift { point: Point::StrutTop, direction: LEFT }], (-15.0, 15.0)),
        (cars::rill(), vec![cam(Point::UpperFront, 90.0)], (-80.0, 80.0)),
        (cars::rill(), vec![Adjuster::Rod(2)], (-12.0, 12.0)),
        (cars::strut().mirrored(), vec![slot().mirrored()], (-1.5, 1.5)),
    ];
    for (spec, parts, range) in cases {
        for travel in [0.0, 30.0] {
            let (_, before) = Corner::new(spec.clone()).unwrap().at(travel, 0.0).unwrap();
            for (camber, toe) in [(0.3, 0.1), (-0.2, -0.15)] {
                let (camber, toe) = (before.camber + camber, before.toe + toe);
                let wheel = wheel(spec.clone(), parts.clone(), travel, camber, toe);
                let found = settle(std::slice::from_ref(&wheel), range).unwrap();
                assert!(found.enough, "{parts:?}: {found:?}");
                let (c, t) = angles(&wheel, found.setting, found.wheels[0].tie_rod);
                assert!((c - camber).abs() < 1e-6 && (t - toe).abs() < 1e-6, "{parts:?}: {c} {t}");
            }
        }
    }
}

/// Recorded for this strut (finite differences of an independent solution): 1° of strut turn gives
/// 0.752733° of camber and −0.16609° of toe, 1 mm of tie rod 0.404545° of toe and −0.01939° of camber.
/// So a hundredth of a degree of camber at held toe takes 0.01 / (0.752733 + 0.01939·0.16609/0.404545
/// · −1) degrees.
#[test]
fn small_settings_are_those_of_the_recorded_sensitivities() {
    let spec = cars::strut();
    let (_, before) = Corner::new(spec.clone()).unwrap().at(0.0, 0.0).unwrap();
    let wanted = wheel(spec, vec![slot()], 0.0, before.camber + 0.01, before.toe);
    let found = settle(&[wanted], (-1.0, 1.0)).unwrap();
    let rod = 0.16609 / 0.404545;
    let expected = 0.01 / (0.752_733 - 0.01939 * rod);
    assert!((found.setting / expected - 1.0).abs() < 2e-3, "{} {expected}", found.setting);
    assert!((found.wheels[0].tie_rod / (rod * expected) - 1.0).abs() < 2e-3, "{found:?}");
    // By itself the slot takes toe by −0.16609° a degree.
    let taken = found.wheels[0].by_itself.toe - before.toe;
    assert!((taken / (-0.16609 * expected) - 1.0).abs() < 2e-3, "{taken}");
}

#[test]
fn a_range_that_does_not_suffice_is_used_up() {
    let spec = cars::strut();
    let (_, before) = Corner::new(spec.clone()).unwrap().at(20.0, 0.0).unwrap();
    let wanted = wheel(spec, vec![slot()], 20.0, before.camber + 2.0, before.toe);
    let found = settle(std::slice::from_ref(&wanted), (-0.75, 0.75)).unwrap();
    assert!(!found.enough && (found.setting - 0.75).abs() < 1e-12, "{found:?}");
    let (_, toe) = angles(&wanted, found.setting, found.wheels[0].tie_rod);
    assert!((toe - before.toe).abs() < 1e-6, "toe is set all the same");
}

/// A cam that starts at the top of its circle reaches its widest camber a quarter turn away; what lies
/// beyond cannot be had, and a sampled circle has nothing better.
#[test]
fn an_eccentric_goes_to_the_best_of_its_circle() {
    let spec = cars::rill();
    let wanted = |camber| wheel(cars::rill(), vec![cam(Point::LowerFront, 90.0)], 0.0, camber, 0.0);
    let far = wanted(5.0);
    let found = settle(std::slice::from_ref(&far), (-180.0, 180.0)).unwrap();
    let sampled = (-36..=36).map(|i| {
        let one = wheel(spec.clone(), Vec::new(), 0.0, 0.0, 0.0);
        let at = WheelToSet { parts: vec![cam(Point::LowerFront, 90.0)], ..one };
        let setting = 5.0 * f64::from(i);
        // Toe held at nought by bisection of the rod.
        let (mut low, mut high) = (-20.0, 20.0);
        for _ in 0..30 {
            let middle = f64::midpoint(low, high);
            let rising = angles(&at, setting, 1.0).1 > angles(&at, setting, 0.0).1;
            if (angles(&at, setting, middle).1 < 0.0) == rising { low = middle } else { high = middle }
        }
        angles(&at, setting, low).0
    });
    let best = sampled.fold(f64::MIN, f64::max);
    assert!(!found.enough && found.wheels[0].outputs.camber > best - 1e-3, "{found:?} {best}");
}

/// Where a cam brings what is wanted at more than one place of its circle, the one that is turned to least is told: on
/// the way to it, and as far the other way, camber does not pass what is wanted. A range of one place gives the camber
/// there, toe held.
#[test]
fn an_eccentric_is_turned_the_shorter_way() {
    for start_deg in [20.0, 150.0, 250.0, 330.0] {
        let at = |camber: f64, range| {
            settle(&[wheel(cars::rill(), vec![cam(Point::LowerFront, start_deg)], 0.0, camber, 0.0)], range)
        };
        let camber = |setting: f64| at(0.0, (setting, setting)).unwrap().wheels[0].outputs.camber;
        for wanted in [camber(70.0), camber(-110.0), camber(25.0)] {
            let found = at(wanted, (-180.0, 180.0)).unwrap();
            assert!(found.enough && (camber(found.setting) - wanted).abs() < 0.005, "{found:?}");
            let mut last = camber(0.0) - wanted;
            for sign in [1.0, -1.0] {
                let mut turned = 5.0;
                while turned < found.setting.abs() - 3.0 {
                    let here = camber(sign * turned) - wanted;
                    assert!(here * last > 0.0 || here.abs() < 0.01, "{start_deg} {turned}: {found:?}");
                    last = here;
                    turned += 5.0;
                }
                last = camber(0.0) - wanted;
            }
        }
    }
}

/// What some place of the circle brings is found, though the way there first leads away from it.
#[test]
fn an_eccentric_finds_what_its_circle_has() {
    for start_deg in [0.0, 60.0, 130.0, 200.0, 290.0] {
        let at = |camber: f64, range| {
            let parts = vec![cam(Point::LowerFront, start_deg)];
            settle(&[wheel(cars::rill(), parts, 0.0, camber, 0.0)], range).unwrap()
        };
        let circle: Vec<f64> = (-17..=18)
            .map(|i| at(0.0, (10.0 * f64::from(i), 10.0 * f64::from(i))).wheels[0].outputs.camber)
            .collect();
        let (least, most) = circle.iter().fold((f64::MAX, f64::MIN), |(a, b), c| (a.min(*c), b.max(*c)));
        for share in [0.02, 0.3, 0.7, 0.98] {
            let wanted = least + share * (most - least);
            assert!(at(wanted, (-180.0, 180.0)).enough, "{start_deg} {share}");
        }
    }
}

/// A subframe moved to the left gives both wheels opposite camber: it evens them out, and the sum stays.
#[test]
fn one_adjuster_for_both_wheels_evens_them_out() {
    let mut left = cars::strut();
    let mut right = cars::strut().mirrored();
    (left.camber_deg, right.camber_deg) = (-0.2, -0.8);
    let shift = [Point::LowerFront, Point::LowerRear, Point::TieRodInner]
        .map(|point| Adjuster::Shift { point, direction: LEFT })
        .to_vec();
    let wheels = [wheel(left, shift.clone(), 0.0, -0.5, 0.0), wheel(right, shift, 0.0, -0.5, 0.0)];
    let found = settle(&wheels, (-10.0, 10.0)).unwrap();
    let camber = [0, 1].map(|i| angles(&wheels[i], found.setting, found.wheels[i].tie_rod).0);
    assert!((camber[0] - camber[1]).abs() < 0.01, "{camber:?} {found:?}");
    // Moving it farther or less makes it worse in the sense of squares.
    let square = |setting: f64| -> f64 {
        [0, 1].map(|i| (angles(&wheels[i], setting, found.wheels[i].tie_rod).0 + 0.5).powi(2)).iter().sum()
    };
    let here = square(found.setting);
    assert!(square(found.setting + 0.3) > here && square(found.setting - 0.3) > here);
}

#[test]
fn what_cannot_be_set_is_an_error_in_words() {
    let far = wheel(cars::strut(), vec![slot()], 0.0, -0.5, 40.0);
    let why = settle(&[far], (-1.0, 1.0)).unwrap_err();
    assert!(matches!(why, NoSetting::Toe { .. } | NoSetting::Trouble(_) | NoSetting::Bad(_)), "{why:?}");
    assert!(!why.to_string().is_empty());
    let wild = wheel(cars::strut(), vec![slot()], 3000.0, -0.5, 0.0);
    assert!(settle(&[wild], (-1.0, 1.0)).is_err());
    for (camber, toe) in [(f64::NAN, 0.0), (0.0, f64::INFINITY)] {
        assert!(settle(&[wheel(cars::strut(), vec![slot()], 0.0, camber, toe)], (-1.0, 1.0)).is_err());
    }
    let good = wheel(cars::strut(), vec![slot()], 0.0, -0.5, 0.0);
    for range in [(1.0, -1.0), (f64::NAN, 1.0), (-1.0, f64::INFINITY)] {
        assert!(settle(std::slice::from_ref(&good), range).is_err(), "{range:?}");
    }
    assert_eq!(cars::strut().side, Side::Left);
}
