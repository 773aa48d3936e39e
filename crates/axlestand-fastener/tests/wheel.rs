//! Wheel fasteners.
#![allow(clippy::panic, clippy::expect_used, reason = "a test fails loudly")]

use axlestand_fastener::wheel::{WheelError, default_rechecks, pattern, rechecks, stages};
use axlestand_quantity::Torque;

fn nm(value: f64) -> Torque {
    Torque::from_nm(value).expect("finite")
}

/// MIL-HDBK-60, 5.7: opposite pairs, then at a right angle; five in a star.
#[test]
fn wheel_patterns() {
    assert_eq!(pattern(4), Ok(vec![1, 3, 2, 4]));
    assert_eq!(pattern(5), Ok(vec![1, 3, 5, 2, 4]));
    assert_eq!(pattern(6), Ok(vec![1, 4, 2, 5, 3, 6]));
    for count in 3..=10 {
        let mut order = pattern(count).expect("a pattern");
        if count % 2 == 0 {
            for pair in order.chunks(2) {
                assert_eq!(pair[0].abs_diff(pair[1]), count / 2, "{count}: opposite pairs");
            }
        }
        // In a star no two neighbours follow each other (any workshop manual).
        for pair in order.windows(2).filter(|_| count % 2 == 1 && count > 3) {
            let apart = pair[0].abs_diff(pair[1]);
            assert!(apart > 1 && apart < count - 1, "{count}: {order:?}");
        }
        order.sort_unstable();
        assert_eq!(order, (1..=count).collect::<Vec<usize>>());
    }
    for count in [0, 1, 2, 11] {
        assert_eq!(pattern(count), Err(WheelError::Count(count)));
    }
}

#[test]
fn wheel_stages_and_rechecks() {
    let stages = stages(nm(110.0)).expect("stages");
    assert_eq!(stages.map(|s| s.torque), [None, Some(nm(55.0)), Some(nm(110.0)), Some(nm(110.0))]);
    assert!(!stages[0].on_the_ground && stages[1].on_the_ground);
    assert!(axlestand_fastener::wheel::stages(nm(-1.0)).is_err());
    let printed: Vec<(f64, f64)> = rechecks().iter().map(|r| (r.km_low, r.km_high)).collect();
    assert_eq!(printed, [(0.0, 0.0), (10.0, 30.0), (50.0, 50.0), (40.0, 80.0), (80.0, 160.0)]);
    assert_eq!(default_rechecks()[2], (50.0, 100.0));
}
