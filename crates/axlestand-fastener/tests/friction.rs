//! Friction by condition.
#![allow(clippy::panic, clippy::expect_used, reason = "a test fails loudly")]

use axlestand_fastener::Friction;
use axlestand_fastener::friction::{Condition, Evidence, FrictionError};
use proptest::prelude::*;

fn range(condition: Condition) -> (f64, f64, f64, Evidence) {
    let found = condition.friction().unwrap_or_else(|e| panic!("{e}"));
    (found.coefficient.low(), found.coefficient.point(), found.coefficient.high(), found.evidence)
}

/// Friction classes of VDI 2230 as printed by Bossard and Mastik: A 0.04 to 0.10, B 0.08 to 0.16,
/// C 0.14 to 0.24, D 0.20 to 0.35, E from 0.30.
#[test]
fn ranges_cover_their_friction_class() {
    for (condition, low, high) in [
        (Condition::Molybdenum, 0.04, 0.10),
        (Condition::Graphite, 0.04, 0.10),
        (Condition::Oiled, 0.08, 0.16),
        (Condition::Greased, 0.08, 0.16),
        (Condition::LubricatedCoating, 0.08, 0.16),
        (Condition::AsSupplied, 0.14, 0.24),
        (Condition::ZincDry, 0.14, 0.24),
        (Condition::BlackDry, 0.14, 0.24),
        (Condition::PreCoated, 0.14, 0.24),
        (Condition::HotDip, 0.20, 0.35),
        (Condition::StainlessOiled, 0.20, 0.35),
        (Condition::StainlessDry, 0.30, 0.50),
    ] {
        let (found_low, point, found_high, _) = range(condition);
        assert!(found_low <= low && high <= found_high, "{condition}: {found_low} to {found_high}");
        assert!((found_low..=found_high).contains(&point), "{condition}");
    }
}

/// MIL-HDBK-60, Table II: graphite .07, molybdenum grease .11, cadmium .12, machine oil .15, zinc
/// .17, each ±20 %: all inside the hull.
#[test]
fn ranges_cover_the_handbook_values() {
    for (condition, value) in [
        (Condition::Graphite, 0.07),
        (Condition::Molybdenum, 0.11),
        (Condition::Cadmium, 0.12),
        (Condition::Oiled, 0.15),
        (Condition::ZincDry, 0.17),
    ] {
        let (low, _, high, _) = range(condition);
        assert!(low <= value * 0.8 + 1e-9 && value * 1.2 - 1e-9 <= high, "{condition}: {low} to {high}");
    }
}

#[test]
fn weak_evidence_is_marked() {
    for condition in
        [Condition::CopperPaste, Condition::NickelPaste, Condition::ThreadLocker, Condition::Degreased]
    {
        assert_eq!(range(condition).3, Evidence::Weak, "{condition}");
    }
    assert_eq!(range(Condition::AsSupplied).3, Evidence::Good);
}

#[test]
fn every_condition_but_rust_has_rows_with_sources() {
    for condition in Condition::ALL {
        if condition == Condition::Rusty {
            assert_eq!(condition.friction(), Err(FrictionError::NotKnown(condition)));
            continue;
        }
        assert!(condition.friction().is_ok(), "{condition}");
        assert!(condition.friction_rows().all(|row| !row.source.is_empty()));
        assert!(condition.friction_rows().count() > 0);
    }
}

#[test]
fn conditions_are_read_in_trade_words() {
    for (text, condition) in [
        ("dry", Condition::AsSupplied),
        ("Clean and dry", Condition::AsSupplied),
        ("oil", Condition::Oiled),
        ("anti-seize", Condition::CopperPaste),
        ("Copper paste", Condition::CopperPaste),
        ("moly", Condition::Molybdenum),
        ("thread_locker", Condition::ThreadLocker),
        ("rusty", Condition::Rusty),
    ] {
        assert_eq!(Condition::parse(text), Ok(condition), "{text}");
    }
    for condition in Condition::ALL {
        assert_eq!(condition.slug().parse(), Ok(condition));
    }
    let message = Condition::parse("buttered").expect_err("unknown").to_string();
    assert!(["dry", "anti-seize", "moly"].iter().all(|word| message.contains(word)), "{message}");
}

#[test]
fn impossible_frictions_are_refused() {
    for value in [-0.01, f64::NAN, f64::INFINITY, 2.5] {
        assert!(Friction::same(value).is_err(), "{value}");
        assert!(Friction::new(0.1, value).is_err(), "{value}");
    }
    assert!(Friction::same(0.0).is_ok());
}

proptest! {
    #[test]
    fn reading_never_panics(text in "\\PC{0,40}") {
        let _ = Condition::parse(&text);
    }
}

/// Which condition counts as which, by the ranges of `data/friction.csv` (VDI 2230 classes as printed by
/// Bossard and Mastik, MIL-HDBK-60 table II; the pastes computed): dry 0.14 to 0.24, oiled 0.08 to 0.18,
/// anti-seize 0.07 to 0.13. The figures beside each are its own range.
#[test]
fn a_condition_counts_as_another_only_where_its_friction_lies_within() {
    let (dry, oiled, anti_seize) = (Condition::AsSupplied, Condition::Oiled, Condition::CopperPaste);
    // (condition, its range, counts as dry, as oiled, as anti-seize)
    let table = [
        (Condition::AsSupplied, (0.14, 0.24), true, false, false),
        // 0.136 is 3 % under 0.14: the same for any wrench.
        (Condition::ZincDry, (0.136, 0.24), true, false, false),
        (Condition::BlackDry, (0.14, 0.24), true, false, false),
        (Condition::Degreased, (0.14, 0.35), false, false, false),
        (Condition::Oiled, (0.08, 0.18), false, true, false),
        (Condition::Greased, (0.08, 0.16), false, true, false),
        (Condition::Molybdenum, (0.04, 0.132), false, false, false),
        (Condition::Graphite, (0.04, 0.10), false, false, false),
        (Condition::CopperPaste, (0.07, 0.13), false, false, true),
        (Condition::NickelPaste, (0.07, 0.13), false, false, true),
        (Condition::LubricatedCoating, (0.08, 0.16), false, true, false),
        // Dry, though as slippery as oil.
        (Condition::Cadmium, (0.096, 0.144), false, false, false),
        (Condition::ThreadLocker, (0.10, 0.24), false, false, false),
        // As dry as dry, but it locks.
        (Condition::PreCoated, (0.14, 0.24), false, false, false),
        (Condition::HotDip, (0.20, 0.35), false, false, false),
        (Condition::StainlessDry, (0.30, 0.50), false, false, false),
        (Condition::StainlessOiled, (0.20, 0.35), false, false, false),
    ];
    for (condition, (low, high), as_dry, as_oiled, as_paste) in table {
        let (found_low, _, found_high, _) = range(condition);
        assert!((found_low - low).abs() < 1e-9 && (found_high - high).abs() < 1e-9, "{condition}");
        let counts = [dry, oiled, anti_seize].map(|specified| condition.counts_as(specified));
        assert_eq!(counts, [as_dry, as_oiled, as_paste], "{condition}");
        assert!(condition.counts_as(condition), "{condition}");
    }
    assert_eq!(table.len() + 1, Condition::ALL.len(), "all but rust, whose friction nobody knows");
    for specified in [dry, oiled, anti_seize] {
        assert!(!Condition::Rusty.counts_as(specified));
    }
    // An adhesive stands for itself.
    assert!(!Condition::PreCoated.counts_as(Condition::ThreadLocker));
    assert!(!dry.counts_as(Condition::ThreadLocker) && !dry.counts_as(Condition::PreCoated));
}
