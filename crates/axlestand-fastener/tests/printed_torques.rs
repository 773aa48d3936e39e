//! Torques and clamp loads at 90 % of yield against printed tables.
#![allow(clippy::panic, clippy::expect_used, reason = "a test fails loudly")]

use axlestand_fastener::{Friction, Joint, PropertyClass, Thread, Torsion};

/// Catalogue values carry three figures.
const CATALOGUE: f64 = 0.01;
/// Old machine tables round to 5 N·m and hold to 2.3 %.
const OLD_TABLE: f64 = 0.025;
/// A copy of a textbook's table, rounded to 5 and 10 N·m, with a friction that is not printed.
const DUBBEL: f64 = 0.033;

fn thread(text: &str) -> Thread {
    Thread::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"))
}
fn mu(value: f64) -> Friction {
    Friction::same(value).expect("in range")
}
fn yield_of(class: &str, t: Thread) -> f64 {
    PropertyClass::parse(class).expect(class).strength(t).expect(class).yield_mpa
}
fn close(found: f64, expected: f64, relative: f64, what: &str) {
    assert!((found / expected - 1.0).abs() <= relative, "{what}: {found} against {expected}");
}
fn at_90(joint: Joint, friction: f64, yield_mpa: f64, torsion: Torsion) -> (f64, f64) {
    let f = joint.preload_at(0.9, mu(friction), yield_mpa, torsion).expect("preload");
    let t = joint.torque_at(0.9, mu(friction), yield_mpa, torsion).expect("torque");
    (f.n() / 1000.0, t.nm())
}

/// Fine threads at 90 % of yield, VDI 2230 of 2001 as printed in the Mastik catalogue, p. 685: per
/// thread F (kN) and M (N·m) of 8.8 and 10.9 at friction .10, .12 and .14, 54 pairs, 108 values.
/// Tolerance: F to 0.5 %, M to 1 %, or half a unit of the last printed figure where that is more.
#[test]
fn fine_threads_of_the_2001_edition() {
    type Row = (&'static str, [[f64; 4]; 3]);
    const PRINTED: [Row; 9] = [
        ("M8x1", [[20.7, 30.4, 22.8, 33.5], [20.2, 29.7, 26.1, 38.3], [19.7, 28.9, 29.2, 42.8]]),
        ("M10x1.25", [[32.4, 47.5, 44.0, 65.0], [31.6, 46.4, 51.0, 75.0], [30.8, 45.2, 57.0, 83.0]]),
        ("M12x1.25", [[49.1, 72.1, 79.0, 116.0], [48.0, 70.5, 90.0, 133.0], [46.8, 68.7, 101.0, 149.0]]),
        ("M14x1.5", [[66.4, 97.5, 124.0, 182.0], [64.8, 95.2, 142.0, 209.0], [63.2, 92.9, 159.0, 234.0]]),
        ("M16x1.5", [[89.6, 131.6, 189.0, 278.0], [87.6, 128.7, 218.0, 320.0], [85.5, 125.5, 244.0, 359.0]]),
        (
            "M18x1.5",
            [[120.0, 171.0, 283.0, 403.0], [117.0, 167.0, 327.0, 465.0], [115.0, 163.0, 368.0, 523.0]],
        ),
        (
            "M20x1.5",
            [[151.0, 215.0, 392.0, 558.0], [148.0, 211.0, 454.0, 646.0], [144.0, 206.0, 511.0, 728.0]],
        ),
        (
            "M22x1.5",
            [[186.0, 264.0, 529.0, 754.0], [182.0, 259.0, 613.0, 873.0], [178.0, 253.0, 692.0, 985.0]],
        ),
        (
            "M24x2",
            [[213.0, 304.0, 666.0, 949.0], [209.0, 297.0, 769.0, 1095.0], [204.0, 290.0, 865.0, 1232.0]],
        ),
    ];
    const FORCE: f64 = 0.005;
    let mut checked = 0;
    for (name, by_friction) in PRINTED {
        let joint = Joint::hex(thread(name));
        for (friction, [f8, f10, m8, m10]) in [0.10, 0.12, 0.14].into_iter().zip(by_friction) {
            for (class, force, torque) in [("8.8", f8, m8), ("10.9", f10, m10)] {
                let (f, m) = at_90(joint, friction, yield_of(class, joint.thread()), Torsion::Plastic);
                let what = format!("{name} {class} at {friction}");
                let half = |printed: f64| if printed < 45.0 { 0.05 } else { 0.5 };
                let f_half = if force < 140.0 && (force * 10.0).fract() < 1e-9 { 0.05 } else { 0.5 };
                assert!((f - force).abs() <= (FORCE * force).max(f_half), "{what}: {f} kN against {force}");
                assert!(
                    (m - torque).abs() <= (CATALOGUE * torque).max(half(torque)),
                    "{what}: {m} N·m against {torque}"
                );
                checked += 2;
            }
        }
    }
    assert_eq!(checked, 108);
    let m12 = Joint::hex(thread("M12x1.25"));
    let (f, m) = at_90(m12, 0.12, yield_of("12.9", m12.thread()), Torsion::Plastic);
    close(f, 82.5, CATALOGUE, "M12x1.25 12.9");
    close(m, 155.0, CATALOGUE, "M12x1.25 12.9");
}

/// Coarse threads of a chuck maker's manual, p. 42, 8.8/10.9/12.9; its friction is not printed and
/// fits 0.12: 27 torques.
#[test]
fn coarse_threads_of_a_chuck_manual() {
    const PRINTED: [(&str, [f64; 3]); 9] = [
        ("M8", [24.6, 36.1, 42.2]),
        ("M10", [48.0, 71.0, 83.0]),
        ("M12", [84.0, 123.0, 144.0]),
        ("M14", [133.0, 195.0, 229.0]),
        ("M16", [206.0, 302.0, 354.0]),
        ("M18", [295.0, 421.0, 492.0]),
        ("M20", [415.0, 592.0, 692.0]),
        ("M22", [567.0, 807.0, 945.0]),
        ("M24", [714.0, 1017.0, 1190.0]),
    ];
    for (name, torques) in PRINTED {
        let joint = Joint::hex(thread(name));
        for (class, printed) in ["8.8", "10.9", "12.9"].into_iter().zip(torques) {
            let (_, m) = at_90(joint, 0.12, yield_of(class, joint.thread()), Torsion::Plastic);
            close(m, printed, CATALOGUE, &format!("{name} {class}"));
        }
    }
}

/// Stainless coarse threads, class 70 with Rp0.2 = 450 MPa, friction 0.10: VDI 2230 of February 2003 in
/// a supplier's document.
#[test]
fn stainless_threads_of_the_2003_edition() {
    for (name, printed) in [
        ("M8", 15.2),
        ("M10", 30.0),
        ("M12", 51.5),
        ("M14", 83.0),
        ("M16", 127.0),
        ("M20", 248.0),
        ("M24", 425.0),
    ] {
        let (_, m) = at_90(Joint::hex(thread(name)), 0.10, 450.0, Torsion::Plastic);
        close(m, printed, CATALOGUE, name);
    }
}

/// Elastic rule: a lifting machine's manual, friction 0.14, classes 8.8 and 10.9, coarse and fine.
#[test]
fn elastic_tables_of_a_machine_manual() {
    for (name, c8_8, c10_9) in [
        ("M8", 25.0, 36.0),
        ("M10", 49.0, 72.0),
        ("M12", 85.0, 125.0),
        ("M14", 135.0, 200.0),
        ("M16", 210.0, 310.0),
        ("M20", 425.0, 610.0),
        ("M24", 730.0, 1050.0),
        ("M8x1", 27.0, 39.0),
        ("M10x1.25", 52.0, 76.0),
        ("M12x1.25", 93.0, 135.0),
        ("M12x1.5", 89.0, 130.0),
        ("M14x1.5", 145.0, 215.0),
        ("M16x1.5", 225.0, 330.0),
        ("M18x1.5", 340.0, 485.0),
        ("M20x1.5", 475.0, 680.0),
        ("M22x1.5", 630.0, 900.0),
        ("M24x2", 800.0, 1150.0),
    ] {
        let joint = Joint::hex(thread(name));
        for (class, printed) in [("8.8", c8_8), ("10.9", c10_9)] {
            let (_, m) = at_90(joint, 0.14, yield_of(class, joint.thread()), Torsion::Elastic);
            close(m, printed, OLD_TABLE, &format!("{name} {class}"));
        }
    }
}

/// The two editions differ by 8 to 9 % for the same bolt: M16×1.5 at 0.14 is 225 N·m in the older
/// table and 244 N·m in the 2001 one.
#[test]
fn the_editions_stay_apart() {
    let joint = Joint::hex(thread("M16x1.5"));
    let (_, new) = at_90(joint, 0.14, 640.0, Torsion::Plastic);
    let (_, old) = at_90(joint, 0.14, 640.0, Torsion::Elastic);
    assert!((1.06..1.11).contains(&(new / old)), "{}", new / old);
}

/// Dubbel, 18th edition, p. G175, as copied in a gripper manual; its friction is not printed and fits the elastic
/// rule at 0.125: 21 torques of 8.8, 10.9 and 12.9.
#[test]
fn coarse_threads_of_dubbel() {
    for (name, torques) in [
        ("M8", [23.0, 34.0, 40.0]),
        ("M10", [46.0, 68.0, 79.0]),
        ("M12", [79.0, 117.0, 135.0]),
        ("M14", [125.0, 185.0, 215.0]),
        ("M16", [195.0, 280.0, 330.0]),
        ("M20", [390.0, 560.0, 650.0]),
        ("M24", [670.0, 960.0, 1120.0]),
    ] {
        let joint = Joint::hex(thread(name));
        for (class, printed) in ["8.8", "10.9", "12.9"].into_iter().zip(torques) {
            let (_, m) = at_90(joint, 0.125, yield_of(class, joint.thread()), Torsion::Elastic);
            close(m, printed, DUBBEL, &format!("{name} {class}"));
        }
    }
}
