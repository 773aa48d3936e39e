//! Crow's-foot adapters.
#![allow(clippy::panic, clippy::expect_used, reason = "a test fails loudly")]

use axlestand_fastener::adapter::{Adapter, AdapterError};
use axlestand_quantity::{Angle, Length, Torque};
use proptest::prelude::*;

/// Examples are printed to three or four figures.
const PRINTED: f64 = 0.003;

fn mm(value: f64) -> Length {
    Length::from_mm(value).expect("finite")
}
fn nm(value: f64) -> Torque {
    Torque::from_nm(value).expect("finite")
}
fn deg(value: f64) -> Angle {
    Angle::from_deg(value).expect("finite")
}
fn adapter(lever: f64, offset: f64, angle: f64) -> Result<Adapter, AdapterError> {
    Adapter::new(mm(lever), mm(offset), deg(angle))
}

/// Lengths and torques as printed; the ratio needs no unit. US Navy text: L 12, A 6, 100 gives 66.7;
/// TM 1-1500-204-23-9: L 10, A 4, 300 gives 214; light helicopter manual: L 10, A 1.5, 135 gives
/// 117.39 straight and 158.82 folded back.
#[test]
fn settings_of_published_examples() {
    for (lever, offset, angle, target, setting) in [
        (12.0, 6.0, 0.0, 100.0, 66.7),
        (10.0, 4.0, 0.0, 300.0, 214.3),
        (10.0, 1.5, 0.0, 135.0, 117.39),
        (10.0, 1.5, 180.0, 135.0, 158.82),
    ] {
        let set = adapter(lever, offset, angle).expect("a lever").setting(nm(target)).expect("a setting");
        assert!((set.nm() / setting - 1.0).abs() < PRINTED, "{set} against {setting}");
    }
}

/// TM 9-254, figure 4-6: L 12, A 2, set 60 applies 70; lengths 500 and 650: 100 applies 130.
#[test]
fn torque_at_the_fastener_of_published_examples() {
    for (lever, offset, reading, applied) in [(12.0, 2.0, 60.0, 70.0), (500.0, 150.0, 100.0, 130.0)] {
        let found = adapter(lever, offset, 0.0).expect("a lever").at_fastener(nm(reading)).expect("a torque");
        assert!((found.nm() - applied).abs() < 1e-9);
    }
}

#[test]
fn at_a_right_angle_nothing_changes() {
    for angle in [90.0, -90.0, 270.0, 450.0] {
        let set = adapter(300.0, 80.0, angle).expect("a lever").setting(nm(110.0)).expect("a setting");
        assert!((set.nm() - 110.0).abs() < 1e-12, "{angle}");
    }
}

#[test]
fn folded_back_as_long_as_the_wrench_is_refused() {
    for offset in [300.0, 350.0] {
        let refused = adapter(300.0, offset, 180.0).expect_err("no lever");
        assert!(refused.to_string().contains("turn the adapter to 90°"), "{refused}");
    }
    assert!(adapter(300.0, 299.0, 180.0).is_ok());
    assert!(matches!(adapter(0.0, 10.0, 0.0), Err(AdapterError::NoLever(_))));
    assert!(matches!(adapter(-1.0, 10.0, 0.0), Err(AdapterError::NoLever(_))));
    assert!(matches!(adapter(300.0, -1.0, 0.0), Err(AdapterError::NegativeOffset(_))));
    assert!(adapter(300.0, 50.0, 0.0).expect("a lever").setting(nm(-1.0)).is_err());
}

/// A pull that is off square by φ: F·[L·cos φ + A·cos(θ − φ)] at a reading of F·L·cos φ. By hand for L
/// 300, A 100, θ 90°, φ 10°: 100·(295.44 + 17.36)/295.44 = 105.88.
#[test]
fn a_pull_off_square() {
    let a = adapter(300.0, 100.0, 90.0).expect("a lever");
    let found = a.at_fastener_off_square(nm(100.0), deg(10.0)).expect("a torque");
    assert!((found.nm() - 105.88).abs() < 0.01, "{found}");
    let square = a.at_fastener_off_square(nm(100.0), deg(0.0)).expect("a torque");
    assert!((square.nm() - 100.0).abs() < 1e-9);
    for off in [90.0, -90.0, 120.0] {
        assert!(matches!(
            a.at_fastener_off_square(nm(100.0), deg(off)),
            Err(AdapterError::PullAlongHandle(_))
        ));
    }
}

proptest! {
    #[test]
    fn setting_and_back(lever in 100.0..1000.0_f64, offset in 0.0..99.0_f64, angle in -360.0..360.0_f64, target in 0.0..500.0_f64) {
        let a = adapter(lever, offset, angle).expect("a lever");
        let set = a.setting(nm(target)).expect("a setting");
        let back = a.at_fastener(set).expect("a torque");
        prop_assert!((back.nm() - target).abs() < 1e-9 * target.max(1.0));
    }

    #[test]
    fn never_a_negative_or_endless_setting(lever in -10.0..100.0_f64, offset in -10.0..200.0_f64, angle in -720.0..720.0_f64) {
        if let Ok(a) = adapter(lever, offset, angle) {
            prop_assert!(a.factor() > 0.0);
            prop_assert!(a.setting(nm(100.0)).expect("a setting").nm() > 0.0);
        }
    }
}
