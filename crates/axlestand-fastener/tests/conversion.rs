//! Conversion of a torque to another thread condition.
#![allow(clippy::panic, clippy::expect_used, reason = "a test fails loudly")]

use axlestand_fastener::conversion::{
    ConversionError, Drift, Lubricate, Standing, convert, practice, settable,
};
use axlestand_fastener::friction::Evidence;
use axlestand_fastener::{Condition, Conversion, ConversionRequest, Friction, Joint, Place, Thread};
use axlestand_quantity::{Dimension, Force, Torque, UNITS};
use proptest::prelude::*;

fn nm(value: f64) -> Torque {
    Torque::from_nm(value).expect("finite")
}
fn joint(thread: &str) -> Joint {
    Joint::hex(Thread::parse(thread).expect(thread))
}
fn request(thread: &str, specified: f64, from: Condition, to: Condition, place: Place) -> ConversionRequest {
    ConversionRequest { joint: joint(thread), specified: nm(specified), from, to, place }
}
fn converted(thread: &str, specified: f64, from: Condition, to: Condition, place: Place) -> Conversion {
    convert(&request(thread, specified, from, to, place)).unwrap_or_else(|e| panic!("{e}"))
}

/// Ratios for equal clamp load from friction 0.14 and 0.12, over M8 to M20 (the torque equation at two
/// frictions): 0.14 to 0.12 ×0.87, to 0.10 ×0.74–0.75, to 0.08 ×0.61–0.63, to 0.06 ×0.47–0.50, to 0.16
/// ×1.13, to 0.20 ×1.37–1.40; 0.12 to 0.10 ×0.85, to 0.08 ×0.70–0.72.
#[test]
fn ratios_for_equal_clamp_load() {
    // Printed to the hundredth over the same sizes; the coarse M8 lies just outside.
    const UNIT: f64 = 0.01;
    for thread in ["M8", "M10x1.25", "M12x1.25", "M12", "M14x1.5", "M16x1.5", "M20x1.5"] {
        let k = |mu: f64| joint(thread).nut_factor(Friction::same(mu).expect("in range"));
        for (from, to, low, high) in [
            (0.14, 0.12, 0.87, 0.87),
            (0.14, 0.10, 0.74, 0.75),
            (0.14, 0.08, 0.61, 0.63),
            (0.14, 0.06, 0.47, 0.50),
            (0.14, 0.16, 1.13, 1.13),
            (0.14, 0.20, 1.37, 1.40),
            (0.12, 0.10, 0.85, 0.85),
            (0.12, 0.08, 0.70, 0.72),
        ] {
            let ratio = k(to) / k(from);
            assert!((low - UNIT..=high + UNIT).contains(&ratio), "{thread} {from} to {to}: {ratio}");
        }
    }
}

/// Dry to anti-seize: the single setting is the trade's quarter off, and the interval covers the
/// printed advice from −15 % to −40 %.
#[test]
fn anti_seize_on_a_dry_value() {
    let c = converted("M12x1.25", 90.0, Condition::AsSupplied, Condition::CopperPaste, Place::Thread);
    assert_eq!(c.setting, Some(nm(67.0)));
    assert!(c.ratio.contains(0.85) && c.ratio.contains(0.60));
    assert!((c.ratio.point() - 0.745).abs() < 0.01);
    assert_eq!(c.advice.drift, Drift::OverTightens);
    assert_eq!(c.advice.standing, Standing::AskTheMaker);
    assert_eq!(c.advice.evidence, Evidence::Weak);
    assert!((c.clamp_if_unchanged.point() - 1.35).abs() < 0.02);
    let words = c.advice.to_string();
    assert!(words.contains("over-tighten") && words.contains("weak"), "{words}");
}

#[test]
fn a_lubricated_value_on_a_dry_thread_clamps_too_little() {
    let c = converted("M10", 40.0, Condition::Oiled, Condition::AsSupplied, Place::Thread);
    assert_eq!(c.advice.drift, Drift::UnderTightens);
    assert!(c.clamp_if_unchanged.point() < 1.0 && c.torque.point() > nm(40.0));
    // A torque is never raised on a guess: oil the thread as specified.
    assert_eq!((c.setting, c.advice.standing), (None, Standing::RestoreTheCondition));
    assert!(c.advice.to_string().contains("as specified"), "{}", c.advice);
}

#[test]
fn the_same_condition_changes_nothing() {
    let c = converted("M14x1.5", 120.0, Condition::AsSupplied, Condition::AsSupplied, Place::WheelFastener);
    assert_eq!(c.setting, Some(nm(120.0)));
    assert_eq!((c.torque.low(), c.torque.high()), (nm(120.0), nm(120.0)));
    assert_eq!((c.advice.standing, c.advice.drift), (Standing::AsSpecified, Drift::Same));
    assert!(c.clamp.low() < c.clamp.high(), "the clamp load is still a range");
}

/// The trade's yes/no map: no converted figure for wheel fasteners, tapers, friction faces, pinch joints and
/// sensors; sleeves, pilots and splines get a film, their thread stays dry.
#[test]
fn some_places_are_never_converted() {
    for place in Place::ALL {
        let c = converted("M12x1.5", 100.0, Condition::AsSupplied, Condition::Greased, place);
        match place.lubricate() {
            Lubricate::Never => {
                assert_eq!(c.advice.standing, Standing::Never(place));
                assert!(c.advice.to_string().starts_with("Never"), "{}", c.advice);
                assert!(!place.reason().is_empty() && c.advice.to_string().contains(place.reason()));
            }
            Lubricate::Yes => assert_eq!(c.advice.standing, Standing::KeepTheThreadClean(place)),
            Lubricate::AskTheMaker => assert_eq!(c.advice.standing, Standing::AskTheMaker),
        }
        assert_eq!(c.setting.is_some(), place == Place::Thread, "{place}");
        assert!(c.clamp_if_unchanged.point() > 1.2, "the harm is still shown");
    }
    for place in
        [Place::WheelFastener, Place::Taper, Place::FrictionFace, Place::PinchJoint, Place::SensorTip]
    {
        assert_eq!(place.lubricate(), Lubricate::Never);
    }
}

#[test]
fn rust_and_negative_torques_are_refused() {
    let rusty = convert(&request("M12", 80.0, Condition::AsSupplied, Condition::Rusty, Place::Thread));
    let message = rusty.expect_err("no friction").to_string();
    assert!(message.contains("clean the thread"), "{message}");
    let negative = convert(&request("M12", -1.0, Condition::AsSupplied, Condition::Oiled, Place::Thread));
    assert!(matches!(negative, Err(ConversionError::Tightening(_))));
}

#[test]
fn settings_have_no_false_precision() {
    for (exact, set) in [(7.31, 7.5), (19.7, 19.5), (44.6, 45.0), (99.6, 100.0), (143.0, 145.0), (0.0, 0.0)] {
        assert_eq!(settable(nm(exact)), nm(set), "{exact}");
    }
}

#[test]
fn places_have_slugs() {
    for place in Place::ALL {
        assert_eq!(Place::from_slug(place.slug()), Some(place));
    }
    assert_eq!(Place::from_slug("roof"), None);
}

/// The printed advice disagrees, and that is shown: from nothing to −40 %.
#[test]
fn published_practice_disagrees() {
    let cuts: Vec<(f64, f64)> = practice().iter().map(|p| (p.cut_low, p.cut_high)).collect();
    assert_eq!(cuts, [(0.0, 0.0), (25.0, 25.0), (15.0, 15.0), (31.0, 31.0), (40.0, 40.0)]);
    assert!(practice().iter().all(|p| !p.source.is_empty()));
}

fn any_condition() -> impl Strategy<Value = Condition> {
    (0..Condition::ALL.len() - 1).prop_map(|i| Condition::ALL[i])
}

fn any_thread() -> impl Strategy<Value = Thread> {
    let all: Vec<Thread> = Thread::all().collect();
    (0..all.len()).prop_map(move |i| all[i])
}

proptest! {
    #[test]
    fn any_unit_in_and_out(number in 0.1..1000.0_f64, i in 0..UNITS.len()) {
        let unit = &UNITS[i];
        if unit.dimension == Dimension::Torque {
            let typed: Torque = format!("{number} {}", unit.symbol).parse().expect("a torque");
            let joint = joint("M12x1.25");
            let mu = Friction::same(0.14).expect("in range");
            let back = joint.torque(joint.preload(typed, mu).expect("preload"), mu).expect("torque");
            prop_assert!((back.nm() / unit.factor - number).abs() <= 1e-9 * number, "{}", unit.symbol);
        }
    }

    #[test]
    fn torque_to_preload_and_back(thread in any_thread(), torque in 0.0..5000.0_f64, g in 0.0..0.6_f64, k in 0.0..0.6_f64) {
        let joint = Joint::hex(thread);
        let mu = Friction::new(g, k).expect("in range");
        let preload = joint.preload(nm(torque), mu).expect("preload");
        let back = joint.torque(preload, mu).expect("torque");
        prop_assert!((back.nm() - torque).abs() <= 1e-9 * torque.max(1.0));
    }

    #[test]
    fn more_friction_less_preload(thread in any_thread(), torque in 1.0..500.0_f64, mu in 0.0..0.5_f64, more in 0.001..0.5_f64) {
        let joint = Joint::hex(thread);
        let at = |mu: f64| joint.preload(nm(torque), Friction::same(mu).expect("in range")).expect("preload");
        prop_assert!(at(mu + more) < at(mu));
        let f = Force::from_n(1000.0).expect("finite");
        let torque_at = |mu: f64| joint.torque(f, Friction::same(mu).expect("in range")).expect("torque");
        prop_assert!(torque_at(mu + more) > torque_at(mu));
    }

    #[test]
    fn intervals_hold_their_point_and_setting(thread in any_thread(), torque in 0.0..2000.0_f64, from in any_condition(), to in any_condition()) {
        let request = ConversionRequest { joint: Joint::hex(thread), specified: nm(torque), from, to, place: Place::Thread };
        let c = convert(&request).expect("converted");
        for i in [c.ratio, c.clamp_if_unchanged] {
            prop_assert!(i.low() <= i.point() && i.point() <= i.high() && i.low() > 0.0);
        }
        prop_assert!(c.torque.contains(c.torque.point()));
        prop_assert!(c.clamp.contains(c.clamp.point()));
        if let Some(setting) = c.setting {
            prop_assert!(c.torque.contains(setting));
            prop_assert!(setting.nm() <= 1.05 * torque + 0.5, "never raised beyond rounding");
        }
    }

    #[test]
    fn there_and_back_is_the_same_point(thread in any_thread(), torque in 1.0..500.0_f64, from in any_condition(), to in any_condition()) {
        let joint = Joint::hex(thread);
        let there = convert(&ConversionRequest { joint, specified: nm(torque), from, to, place: Place::Thread }).expect("there");
        let back = convert(&ConversionRequest { joint, specified: there.torque.point(), from: to, to: from, place: Place::Thread }).expect("back");
        prop_assert!((back.torque.point().nm() - torque).abs() < 1e-9 * torque);
        prop_assert!(back.torque.contains(nm(torque)));
    }
}
