//! Seized fasteners: what breaks, how hard to pull, the ladder.
#![allow(clippy::panic, clippy::expect_used, reason = "a test fails loudly")]

use axlestand_fastener::seized::{
    Basis, Caution, Drive, DriveError, Limit, LimitKind, Near, RootState, Rung, SeizedError, Situation,
    SkipReason, Trust, Use, WrenchEnd, bore_growth, breaking_torque, drive_limit, ladder,
    least_root_diameter, pull_on_bar, remaining_tensile_load, safe_loosening_torque, torsion_of_root,
    twist_share, weakest, wrench_proof,
};
use axlestand_fastener::{PropertyClass, Thread};
use axlestand_quantity::{Length, Torque};
use proptest::prelude::*;

fn thread(text: &str) -> Thread {
    Thread::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"))
}
fn nm(value: f64) -> Torque {
    Torque::from_nm(value).expect("finite")
}
fn mm(value: f64) -> Length {
    Length::from_mm(value).expect("finite")
}
fn close(found: f64, expected: f64, relative: f64, what: &str) {
    assert!((found / expected - 1.0).abs() <= relative, "{what}: {found} against {expected}");
}
fn breaking(name: &str, class: PropertyClass) -> f64 {
    breaking_torque(thread(name), class, RootState::Sound).expect("a torque").least.nm()
}

const CLASSES: [PropertyClass; 4] =
    [PropertyClass::Iso8_8, PropertyClass::Iso9_8, PropertyClass::Iso10_9, PropertyClass::Iso12_9];

/// Case: the formula of ISO 898-7 on roots of 6.272 and 7.938 mm: M8 8.8 32.6 N·m, M10 10.9 80.7 N·m (1 %);
/// the standard's own figures, remembered, 33 and 79 (3 %).
#[test]
fn breaking_torque_of_m8_and_m10() {
    close(least_root_diameter(thread("M8")).expect("a root").mm(), 6.272, 0.0002, "M8 root");
    close(least_root_diameter(thread("M10")).expect("a root").mm(), 7.938, 0.0002, "M10 root");
    close(breaking("M8", PropertyClass::Iso8_8), 32.6, 0.01, "M8 8.8");
    close(breaking("M10", PropertyClass::Iso10_9), 80.7, 0.01, "M10 10.9");
    close(breaking("M8", PropertyClass::Iso8_8), 33.0, 0.03, "M8 8.8 in the standard");
    close(breaking("M10", PropertyClass::Iso10_9), 79.0, 0.03, "M10 10.9 in the standard");
    close(torsion_of_root(mm(6.272), 800.0, 0.84).nm(), 32.6, 0.01, "by hand");
}

/// Remembered figures of the standard's table, 8.8/9.8/10.9/12.9, N·m. Memory and formula disagree by up to
/// 9 %, at M6 10.9 and 12.9, where the memory is weakest.
#[test]
fn breaking_torques_against_the_remembered_table() {
    for (name, torques) in [
        ("M5", [7.6, 8.2, 9.8, 11.0]),
        ("M6", [13.0, 14.0, 17.0, 19.0]),
        ("M8", [33.0, 36.0, 40.0, 44.0]),
        ("M8x1", [38.0, 42.0, 46.0, 50.0]),
        ("M10", [66.0, 72.0, 79.0, 87.0]),
        ("M10x1", [84.0, 92.0, 102.0, 111.0]),
    ] {
        for (class, torque) in CLASSES.into_iter().zip(torques) {
            close(breaking(name, class), torque, 0.09, &format!("{name} {class}"));
        }
    }
}

/// The same formula evaluated by hand for every size that has a tolerance, 8.8 and 12.9.
#[test]
fn breaking_torques_beyond_the_standard() {
    const ROUNDED: f64 = 0.005;
    for (name, c8_8, c12_9) in [
        ("M6", 12.8, 17.4),
        ("M8x1", 37.9, 51.6),
        ("M10x1.25", 74.7, 101.7),
        ("M12", 116.8, 159.0),
        ("M12x1.5", 129.2, 175.9),
        ("M12x1.25", 142.4, 193.9),
        ("M14", 188.9, 257.2),
        ("M14x1.5", 224.0, 305.0),
        ("M16", 308.4, 419.9),
        ("M16x1.5", 356.6, 485.6),
    ] {
        close(breaking(name, PropertyClass::Iso8_8), c8_8, ROUNDED, name);
        close(breaking(name, PropertyClass::Iso12_9), c12_9, ROUNDED, name);
    }
}

#[test]
fn what_a_breaking_torque_stands_on_is_said() {
    let basis = |name: &str, class, root| breaking_torque(thread(name), class, root).expect("a torque").basis;
    assert_eq!(basis("M10", PropertyClass::Iso8_8, RootState::Sound), Basis::Iso898Part7);
    assert_eq!(basis("M12", PropertyClass::Iso8_8, RootState::Sound), Basis::ComputedBeyond);
    assert_eq!(basis("M10", PropertyClass::Iso5_8, RootState::Sound), Basis::ComputedBeyond);
    assert_eq!(basis("M10", PropertyClass::Iso8_8, RootState::Corroded(mm(7.0))), Basis::ComputedBeyond);
    assert_eq!(basis("1/2-20", PropertyClass::Sae5, RootState::Sound), Basis::ComputedNominalRoot);
}

/// 5 % off the diameter takes 14 % off torsion and 10 % off tension; nothing left is nought, not NaN.
#[test]
fn corrosion_takes_the_cube() {
    let t = thread("M12x1.25");
    let class = PropertyClass::Iso8_8;
    let sound = breaking_torque(t, class, RootState::Sound).expect("a torque").least.nm();
    let eaten = RootState::Corroded(mm(0.95 * t.root_diameter().mm()));
    let left = breaking_torque(t, class, eaten).expect("a torque").least.nm();
    assert!((1.0 - left / sound - 0.14).abs() < 0.005);
    let load = remaining_tensile_load(t, class, eaten).expect("a load").n();
    let whole = remaining_tensile_load(t, class, RootState::Sound).expect("a load").n();
    close(load / whole, 0.95 * 0.95, 1e-12, "tension");
    let gone = breaking_torque(t, class, RootState::Corroded(mm(0.0))).expect("a torque");
    assert_eq!(gone.least, nm(0.0));
    assert!(twist_share(&gone, nm(1.0)).is_infinite());
    for bad in [-1.0, 12.5] {
        let refused = breaking_torque(t, class, RootState::Corroded(mm(bad)));
        assert!(matches!(refused, Err(SeizedError::Root { .. })), "{bad}");
    }
    assert!(matches!(breaking_torque(t, PropertyClass::Sae5, RootState::Sound), Err(SeizedError::Class(_))));
}

/// G. S. Case: hexagon AF 13, head 5.3, Rm 800 is 221 N·m, AF 18, 7.5 is 601; keys of 260 ksi: 5 mm 45, 6
/// mm 77, 8 mm 184, 10 mm 359, 12 mm 620 N·m; a 1/4 in key of 320 ksi is 1000 lbf·in.
#[test]
fn drives_after_one_author() {
    let hexagon = |af, height| {
        let drive = Drive::Hexagon { across_flats: mm(af), height: mm(height), tensile_mpa: 800.0 };
        drive_limit(drive).expect("a limit")
    };
    close(hexagon(13.0, 5.3).torque.nm(), 221.0, 0.005, "AF 13");
    close(hexagon(18.0, 7.5).torque.nm(), 601.0, 0.005, "AF 18");
    assert_eq!(hexagon(13.0, 5.3).trust, Trust::Low);
    let key = |af, mpa| {
        drive_limit(Drive::HexKey { across_flats: mm(af), tensile_mpa: mpa }).expect("a limit").torque.nm()
    };
    for (af, torque) in [(5.0, 45.0), (6.0, 77.0), (8.0, 184.0), (10.0, 359.0), (12.0, 620.0)] {
        close(key(af, 260.0 * 6.894_757), torque, 0.01, "key");
    }
    close(key(6.35, 320.0 * 6.894_757) / 0.112_984_829, 1000.0, 0.01, "1/4 in key, lbf·in");
    assert_eq!(drive_limit(Drive::Torx(50)).expect("a limit").torque, nm(132.0));
    assert!(matches!(drive_limit(Drive::Torx(51)), Err(DriveError::NoRow { .. })));
    let none = Drive::HexKey { across_flats: mm(0.0), tensile_mpa: 1800.0 };
    assert!(matches!(drive_limit(none), Err(DriveError::NotPositive { .. })));
}

/// DIN ISO 1711-1: test torques of ring or socket and open end, N·m; the open end has 53 to 88 %.
#[test]
fn wrench_test_torques() {
    for (af, ring, open) in [
        (10.0, 58.0, 31.0),
        (13.0, 107.0, 64.5),
        (14.0, 128.0, 79.4),
        (15.0, 150.0, 96.2),
        (16.0, 175.0, 115.0),
        (17.0, 201.0, 134.0),
        (18.0, 230.0, 160.0),
        (19.0, 261.0, 186.0),
        (21.0, 330.0, 247.0),
        (22.0, 368.0, 281.0),
        (24.0, 451.0, 359.0),
        (27.0, 594.0, 499.0),
        (30.0, 760.0, 670.0),
    ] {
        assert_eq!(wrench_proof(mm(af), WrenchEnd::Ring).map(|l| l.torque), Ok(nm(ring)));
        assert_eq!(wrench_proof(mm(af), WrenchEnd::Open).map(|l| l.torque), Ok(nm(open)));
        assert!((0.53..0.89).contains(&(open / ring)));
    }
    assert!(wrench_proof(mm(20.0), WrenchEnd::Ring).is_err());
}

#[test]
fn the_weakest_link_sets_the_pull() {
    let shank =
        breaking_torque(thread("M10x1.25"), PropertyClass::Iso8_8, RootState::Sound).expect("a torque");
    let limits = [
        Limit { kind: LimitKind::Shank, torque: safe_loosening_torque(&shank), trust: Trust::Low },
        drive_limit(Drive::Torx(50)).expect("a limit"),
        wrench_proof(mm(15.0), WrenchEnd::Ring).expect("a limit"),
    ];
    let weak = weakest(&limits).expect("a limit");
    assert_eq!(weak.kind, LimitKind::Shank);
    close(weak.torque.nm(), 0.8 * 74.7, 0.005, "0.8 of the breaking torque");
    // 59.8 N·m at 600 mm is 99.6 N, ten kilograms.
    close(pull_on_bar(weak.torque, mm(600.0)).expect("a pull").n(), 99.6, 0.005, "pull");
    close(twist_share(&shank, weak.torque), 0.8, 1e-9, "share");
    assert!(weakest(&[]).is_none());
    assert!(matches!(pull_on_bar(nm(100.0), mm(0.0)), Err(DriveError::NoBar(_))));
    assert!(matches!(pull_on_bar(nm(-1.0), mm(100.0)), Err(DriveError::Negative(_))));
}

/// A 12 mm nut 200 K warmer than its bolt opens by 11.7·10⁻⁶·12·200 = 0.028 mm.
#[test]
fn heat_opens_a_nut() {
    assert!((bore_growth(mm(12.0), 200.0).mm() - 0.028).abs() < 0.000_5);
}

#[test]
fn the_ladder_has_its_rungs_in_order() {
    let rungs = ladder(&Situation::default());
    let numbers: Vec<u32> = rungs.iter().map(|r| r.number).collect();
    assert_eq!(numbers, (1..=11).collect::<Vec<u32>>());
    assert!(rungs.iter().all(|r| r.use_it == Use::Try && !r.stop.is_empty() && !r.source.is_empty()));
    assert!(rungs[1].cautions.contains(&Caution::WeakEvidence));
    // Where nothing is near, no class is known and the nut is free, nothing is said of those.
    for rung in &rungs {
        for caution in [
            Caution::NoAcid,
            Caution::CaptiveNut,
            Caution::SensorNear,
            Caution::GreaseNear,
            Caution::FuelNear,
        ] {
            assert!(!rung.cautions.contains(&caution), "{}: {caution}", rung.key);
        }
    }
}

/// What a caution is for stands in its words, so that it is heeded.
#[test]
fn a_caution_names_the_harm() {
    for (caution, harm) in [
        (Caution::WeakEvidence, "no sound test"),
        (Caution::NoAcid, "brittle"),
        (Caution::CaptiveNut, "captive"),
        (Caution::HeatScraps, "scrap"),
        (Caution::SensorNear, "sensor"),
        (Caution::GreaseNear, "drives the grease out"),
        (Caution::Sparks, "extinguisher"),
        (Caution::FuelNear, "no grinder"),
        (Caution::Current, "battery unhooked"),
        (Caution::Zinc, "smoke makes ill"),
    ] {
        assert!(caution.to_string().contains(harm), "{caution}");
    }
}

#[test]
fn scrap_goes_straight_to_the_cutter() {
    for situation in [
        Situation { fastener_is_scrap: true, ..Situation::default() },
        Situation { part_is_scrap: true, ..Situation::default() },
    ] {
        let rungs = ladder(&situation);
        let cut = rungs.iter().position(|rung| rung.key == "cut").unwrap();
        for (at, rung) in rungs.iter().enumerate() {
            let expected = if at < cut { Use::Skip(SkipReason::Scrap) } else { Use::Try };
            assert_eq!(rung.use_it, expected, "rung {}", rung.key);
        }
    }
}

/// The rung of that key.
fn rung(situation: &Situation, key: &str) -> Rung {
    ladder(situation).into_iter().find(|rung| rung.key == key).expect("a rung of that key")
}

#[test]
fn heat_is_left_out_beside_what_it_harms() {
    for near in [Near::Rubber, Near::Hydraulics, Near::Gas, Near::Fuel] {
        let situation = Situation { near: vec![near], ..Situation::default() };
        for key in ["induction", "flame", "weld"] {
            assert_eq!(rung(&situation, key).use_it, Use::Skip(SkipReason::Heat(vec![near])), "{key}");
        }
        assert_eq!(rung(&situation, "long-bar").use_it, Use::Try);
    }
    for (near, caution) in [(Near::Sensor, Caution::SensorNear), (Near::Grease, Caution::GreaseNear)] {
        let situation = Situation { near: vec![near], ..Situation::default() };
        assert_eq!(rung(&situation, "induction").use_it, Use::Try);
        assert!(rung(&situation, "induction").cautions.contains(&caution));
        for key in ["flame", "weld"] {
            assert_eq!(rung(&situation, key).use_it, Use::Skip(SkipReason::Heat(vec![near])), "{key}");
        }
    }
    let hard = Situation { class: Some(PropertyClass::Iso10_9), captive_nut: true, ..Situation::default() };
    assert!(rung(&hard, "penetrant").cautions.contains(&Caution::NoAcid));
    assert!(rung(&hard, "rock").cautions.contains(&Caution::CaptiveNut));
}

/// Who leaves a step out for one thing only would move that thing away and heat beside the other.
#[test]
fn everything_that_heat_would_harm_is_named() {
    let near = vec![Near::Fuel, Near::Sensor, Near::Rubber];
    let situation = Situation { near, ..Situation::default() };
    let Use::Skip(why) = rung(&situation, "weld").use_it else { panic!("welding beside fuel") };
    assert_eq!(why.to_string(), "no heat here: fuel, a sensor and rubber are too near");
    let Use::Skip(why) = rung(&situation, "induction").use_it else { panic!("heat beside fuel") };
    assert_eq!(why.to_string(), "no heat here: fuel and rubber are too near");
}

#[test]
fn welding_and_cutting_say_what_sparks_and_current_do() {
    let weld = rung(&Situation::default(), "weld");
    for caution in [Caution::Sparks, Caution::Current, Caution::Zinc, Caution::HeatScraps] {
        assert!(weld.cautions.contains(&caution), "{caution}");
    }
    let beside_fuel = Situation { near: vec![Near::Fuel], ..Situation::default() };
    assert!(rung(&beside_fuel, "cut").cautions.contains(&Caution::FuelNear));
    // No other rung hides an arc or a flame in its words.
    for rung in ladder(&beside_fuel).iter().filter(|rung| rung.use_it == Use::Try) {
        assert!(!rung.instruction.contains("weld") && !rung.instruction.contains("flame"), "{}", rung.key);
    }
}

proptest! {
    #[test]
    fn less_root_less_torque(share in 0.0..1.0_f64, less in 0.0..1.0_f64) {
        let t = thread("M14x1.5");
        let at = |x: f64| {
            let root = RootState::Corroded(mm(x * t.root_diameter().mm()));
            breaking_torque(t, PropertyClass::Iso10_9, root).expect("a torque").least
        };
        prop_assert!(at(share * less) <= at(share));
    }
}
