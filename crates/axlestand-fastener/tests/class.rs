//! Property classes and nut pairing.
#![allow(clippy::panic, clippy::expect_used, reason = "a test fails loudly")]

use axlestand_fastener::class::{ClassError, NutPairing, PropertyClass};
use axlestand_fastener::{Strength, Thread};
use proptest::prelude::*;

/// Loads are printed to three figures, some of them cut instead of rounded.
const THREE_FIGURES: f64 = 0.007;
/// Loads in pounds-force computed from three-figure areas, printed to four.
const INCH_LOADS: f64 = 0.005;
const LBF_N: f64 = 4.448_221_615;

fn strength(class: &str, thread: &str) -> Strength {
    let class = PropertyClass::parse(class).unwrap_or_else(|e| panic!("{e}"));
    let thread = Thread::parse(thread).unwrap_or_else(|e| panic!("{e}"));
    class.strength(thread).unwrap_or_else(|e| panic!("{e}"))
}

fn close(found: f64, expected: f64, relative: f64, what: &str) {
    assert!((found / expected - 1.0).abs() <= relative, "{what}: {found} against {expected}");
}

/// Shigley, 9th edition, Table 8-11 (4.6 to 5.8, 9.8) and Table 8-9 (SAE); JIS B 1051 (8.8, 10.9,
/// 12.9). MPa, SAE in ksi.
#[test]
fn strengths_agree_with_the_printed_rows() {
    for (class, thread, proof, yield_, tensile) in [
        ("4.6", "M10", 225.0, 240.0, 400.0),
        ("4.8", "M10", 310.0, 340.0, 420.0),
        ("5.8", "M10", 380.0, 420.0, 520.0),
        ("8.8", "M16", 580.0, 640.0, 800.0),
        ("8.8", "M18", 600.0, 660.0, 830.0),
        ("9.8", "M16", 650.0, 720.0, 900.0),
        ("10.9", "M20", 830.0, 940.0, 1040.0),
        ("12.9", "M12", 970.0, 1100.0, 1220.0),
    ] {
        let s = strength(class, thread);
        assert_eq!((s.proof_mpa, s.yield_mpa, s.tensile_mpa), (proof, yield_, tensile), "{class} {thread}");
    }
    const KSI: f64 = 6.894_757;
    for (grade, proof, yield_, tensile) in
        [("SAE 2", 55.0, 57.0, 74.0), ("SAE 5", 85.0, 92.0, 120.0), ("SAE 8", 120.0, 130.0, 150.0)]
    {
        let s = strength(grade, "1/2-20");
        close(s.proof_mpa, proof * KSI, 1e-9, grade);
        close(s.yield_mpa, yield_ * KSI, 1e-9, grade);
        close(s.tensile_mpa, tensile * KSI, 1e-9, grade);
    }
    assert_eq!(strength("8.8", "M16").hardness_hv, Some((250.0, 320.0)));
    assert_eq!(strength("8.8", "M18").hardness_hv, Some((255.0, 335.0)));
    assert_eq!(strength("10.9", "M16").hardness_hv, Some((320.0, 380.0)));
    assert_eq!(strength("12.9", "M16").hardness_hv, Some((385.0, 435.0)));
}

/// Proof loads of coarse threads in N, as printed in a reprint of ISO 898-1: 62 loads.
#[test]
fn proof_loads_of_coarse_threads() {
    const CLASSES: [&str; 6] = ["4.6", "5.8", "8.8", "9.8", "10.9", "12.9"];
    const PRINTED: [(&str, [u32; 6]); 11] = [
        ("M5", [3_200, 5_400, 8_230, 9_230, 11_800, 13_800]),
        ("M6", [4_520, 7_640, 11_600, 13_100, 16_700, 19_500]),
        ("M8", [8_240, 13_900, 21_200, 23_800, 30_400, 35_500]),
        ("M10", [13_000, 22_000, 33_700, 37_700, 48_100, 56_300]),
        ("M12", [19_000, 32_000, 48_900, 54_800, 70_000, 81_800]),
        ("M14", [25_900, 43_700, 66_700, 74_800, 95_500, 112_000]),
        ("M16", [35_300, 59_700, 91_000, 102_000, 130_000, 152_000]),
        ("M18", [43_200, 73_000, 115_000, 0, 159_000, 186_000]),
        ("M20", [55_100, 93_100, 147_000, 0, 203_000, 238_000]),
        ("M22", [68_200, 115_000, 182_000, 0, 252_000, 294_000]),
        ("M24", [79_400, 134_000, 212_000, 0, 293_000, 342_000]),
    ];
    for (name, loads) in PRINTED {
        let thread = Thread::parse(name).expect(name);
        for (class, load) in CLASSES.into_iter().zip(loads) {
            if load > 0 {
                let computed = strength(class, name).proof_load(thread).n();
                close(computed, f64::from(load), THREE_FIGURES, &format!("{name} {class}"));
            }
        }
    }
}

/// Case: proof load of M10 10.9 is 48 100 N (reprint of ISO 898-1).
#[test]
fn proof_load_of_m10() {
    let load = strength("10.9", "M10").proof_load(Thread::parse("M10").expect("M10"));
    close(load.n(), 48_100.0, 0.005, "M10 10.9");
}

/// Least tensile loads in N, reprint of ISO 898-1.
#[test]
fn least_tensile_loads() {
    for (name, c8_8, c10_9) in [
        ("M8", 29_200.0, 38_100.0),
        ("M10", 46_400.0, 60_300.0),
        ("M12", 67_400.0, 87_700.0),
        ("M16", 125_000.0, 163_000.0),
    ] {
        let thread = Thread::parse(name).expect(name);
        close(strength("8.8", name).least_tensile_load(thread).n(), c8_8, THREE_FIGURES, name);
        close(strength("10.9", name).least_tensile_load(thread).n(), c10_9, THREE_FIGURES, name);
    }
}

/// Stress area (Shigley, 9th edition, Table 8-2) times proof strength (Table 8-9), in lbf.
#[test]
fn proof_loads_of_inch_threads() {
    for (name, area) in [
        ("3/8-24", 0.0878),
        ("7/16-20", 0.1187),
        ("1/2-20", 0.1599),
        ("9/16-18", 0.203),
        ("5/8-18", 0.256),
        ("3/4-16", 0.373),
    ] {
        let thread = Thread::parse(name).expect(name);
        for (grade, ksi) in [("SAE 2", 55.0), ("SAE 5", 85.0), ("SAE 8", 120.0)] {
            let lbf = strength(grade, name).proof_load(thread).n() / LBF_N;
            close(lbf, area * ksi * 1000.0, INCH_LOADS, &format!("{name} {grade}"));
        }
    }
}

#[test]
fn a_class_is_refused_where_it_does_not_exist() {
    let at = |class: &str, thread: &str| {
        PropertyClass::parse(class).expect(class).strength(Thread::parse(thread).expect(thread))
    };
    assert!(matches!(at("9.8", "M18"), Err(ClassError::OutOfRange { .. })));
    assert!(matches!(at("8.8", "1/2-20"), Err(ClassError::WrongSystem { .. })));
    assert!(matches!(at("SAE 5", "M12"), Err(ClassError::WrongSystem { .. })));
    assert!(matches!(at("SAE 2", "1-8"), Err(ClassError::OutOfRange { .. })));
    assert!(at("SAE 2", "3/4-16").is_ok() && at("SAE 5", "1-8").is_ok());
    assert!(at("8.8", "M39").is_ok() && at("8.8", "M42").is_err());
}

#[test]
fn classes_are_read_as_they_are_stamped() {
    for (text, class) in [
        ("8.8", PropertyClass::Iso8_8),
        ("class 10.9", PropertyClass::Iso10_9),
        ("12,9", PropertyClass::Iso12_9),
        ("SAE 5", PropertyClass::Sae5),
        ("grade 8", PropertyClass::Sae8),
        ("SAE J429 grade 2", PropertyClass::Sae2),
        ("gr. 5", PropertyClass::Sae5),
    ] {
        assert_eq!(PropertyClass::parse(text), Ok(class), "{text}");
    }
    for class in PropertyClass::ALL {
        assert_eq!(class.to_string().parse(), Ok(class));
    }
    for text in ["", "8", "8.9", "5", "-8.8", "NaN"] {
        assert!(matches!(PropertyClass::parse(text), Err(ClassError::Unknown { .. })), "{text}");
    }
    let old = PropertyClass::parse("7T").expect_err("old mark").to_string();
    assert!(old.contains("8.8"), "{old}");
}

/// Nut pairing after the notes of JIS B 1181: 8.8 needs 8, 9.8 needs 9, 10.9 needs 10, 12.9 needs 12.
#[test]
fn nuts_go_with_bolts() {
    for (class, nut) in [("8.8", 8), ("9.8", 9), ("10.9", 10), ("12.9", 12)] {
        let class = PropertyClass::parse(class).expect(class);
        assert_eq!(class.least_nut(), Some(nut));
        assert_eq!(class.nut_pairing(nut), Some(NutPairing::Suits));
        assert_eq!(class.nut_pairing(nut - 1), Some(NutPairing::TooWeak { least: nut }));
    }
    assert_eq!(PropertyClass::Iso8_8.nut_pairing(10), Some(NutPairing::Suits));
}

/// ISO 4042:1999 draws the line at 320 HV; 10.9 begins there.
#[test]
fn hard_bolts_are_kept_from_acid() {
    assert!(PropertyClass::Iso10_9.hydrogen_sensitive() && PropertyClass::Iso12_9.hydrogen_sensitive());
    assert!(!PropertyClass::Iso8_8.hydrogen_sensitive());
}

proptest! {
    #[test]
    fn reading_never_panics(text in "\\PC{0,30}") {
        let _ = PropertyClass::parse(&text);
    }
}
