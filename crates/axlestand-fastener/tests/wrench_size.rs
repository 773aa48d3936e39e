//! Wrench sizes, heads and Torx drives.
#![allow(clippy::panic, clippy::expect_used, reason = "a test fails loudly")]

use axlestand_fastener::Thread;
use axlestand_fastener::across_flats::{HeadStandard, across_flats, across_flats_by, diameters_with};
use axlestand_fastener::torx::{TorxKind, drives, external_diameter, internal_limit};
use axlestand_fastener::wrench_size::{Fit, WrenchSize, WrenchSizeError, fits, free_play, stand_ins};
use axlestand_quantity::Length;
use proptest::prelude::*;

fn size(text: &str) -> WrenchSize {
    WrenchSize::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn mm(value: f64) -> Length {
    Length::from_mm(value).expect("finite")
}

#[test]
fn sizes_are_read_as_people_write_them() {
    for (written, printed) in [
        ("21 mm", "21 mm"),
        ("21mm", "21 mm"),
        ("21", "21 mm"),
        ("hex 21", "21 mm"),
        ("Hex 5,5 mm", "5.5 mm"),
        ("AF 21", "21 mm"),
        ("21 AF", "21 mm"),
        ("13/16 in", "13/16 in"),
        ("13/16", "13/16 in"),
        ("13/16\"", "13/16 in"),
        ("1 1/8 in", "1-1/8 in"),
        ("1-1/8 in", "1-1/8 in"),
        ("1 in", "1 in"),
        ("0.75 in", "3/4 in"),
    ] {
        assert_eq!(size(written).to_string(), printed, "{written}");
    }
    for made in WrenchSize::all() {
        assert_eq!(WrenchSize::parse(&made.to_string()), Ok(made));
    }
}

#[test]
fn what_is_not_a_size_is_refused_with_what_to_type() {
    assert_eq!(WrenchSize::parse(""), Err(WrenchSizeError::Empty));
    assert!(matches!(WrenchSize::parse("1"), Err(WrenchSizeError::WhichUnit { .. })));
    for text in ["-21 mm", "21 cm", "E14", "T50", "NaN", "1/0 in", "0 mm", "1e1 mm", "big"] {
        assert!(matches!(WrenchSize::parse(text), Err(WrenchSizeError::NotUnderstood { .. })), "{text}");
    }
    for (text, near) in
        [("31 mm", "30 mm and 32 mm"), ("12.4 mm", "12 mm and 13 mm"), ("0.7 in", "11/16 in and 3/4 in")]
    {
        let message = WrenchSize::parse(text).expect_err("no such wrench").to_string();
        assert!(message.contains(near), "{message}");
    }
}

/// The pairs of the project's own rule, with its limits (nominal sizes).
#[test]
fn near_pairs() {
    for (tool, head, fit) in [
        ("8 mm", "5/16 in", Fit::Fits),
        ("12 mm", "15/32 in", Fit::Fits),
        ("7/16 in", "11 mm", Fit::Loose),
        ("16 mm", "5/8 in", Fit::Loose),
        ("13 mm", "1/2 in", Fit::No),
        ("9/16 in", "14 mm", Fit::No),
        ("10 mm", "3/8 in", Fit::No),
        ("11/16 in", "17 mm", Fit::No),
        ("3/4 in", "19 mm", Fit::Fits),
        ("19 mm", "3/4 in", Fit::Fits),
        ("21 mm", "13/16 in", Fit::No),
        ("7/8 in", "22 mm", Fit::Loose),
        ("24 mm", "15/16 in", Fit::Loose),
        ("27 mm", "1-1/16 in", Fit::Fits),
        ("1-3/16 in", "30 mm", Fit::Loose),
        ("32 mm", "1-1/4 in", Fit::Loose),
        ("17 mm", "17 mm", Fit::Exact),
        ("17 mm", "18 mm", Fit::No),
    ] {
        let found = fits(size(tool).across_flats(), size(head).across_flats());
        assert_eq!(found, fit, "{tool} on {head}");
    }
    assert_eq!(fits(mm(-1.0), mm(10.0)), Fit::No);
    assert_eq!(fits(mm(0.0), mm(0.0)), Fit::No);
    assert_eq!(fits(mm(0.1), mm(0.0)), Fit::No);
    assert_eq!(fits(mm(0.0), mm(0.0001)), Fit::No);
}

#[test]
fn a_fit_says_what_to_mind() {
    for (fit, piece) in [
        (Fit::Exact, "right size"),
        (Fit::Fits, "try it on first"),
        (Fit::Loose, "may round the head"),
        (Fit::No, "does not fit"),
    ] {
        assert!(fit.to_string().contains(piece), "{fit}");
    }
}

#[test]
fn stand_ins_come_best_first() {
    let names = |head: &str| {
        stand_ins(size(head).across_flats()).iter().map(|s| s.size.to_string()).collect::<Vec<_>>()
    };
    assert_eq!(names("19 mm"), ["3/4 in"]);
    assert_eq!(names("3/4 in"), ["19 mm"]);
    assert_eq!(names("22 mm"), ["7/8 in"]);
    assert!(names("17 mm").is_empty());
    assert!(names("18 mm").is_empty());
}

/// A 19 mm wrench of nominal opening on a nut at its least width of 18.67 mm turns 1.8° before the
/// corners bear, a 3/4 in one 2.1° (geometry of two hexagons).
#[test]
fn free_play_of_a_worn_pair() {
    let play = |opening: f64| free_play(mm(opening), mm(18.67)).expect("goes on").deg();
    assert!((play(19.0) - 1.8).abs() < 0.06, "{}", play(19.0));
    assert!((play(19.05) - 2.1).abs() < 0.06, "{}", play(19.05));
    assert!(free_play(mm(18.0), mm(18.67)).is_none());
    assert!(free_play(mm(30.0), mm(18.67)).is_none());
    assert!(free_play(mm(10.0), mm(0.0)).is_none());
}

/// ASME B18.2.2 openings as printed, in inches.
#[test]
fn openings_as_printed() {
    for (name, least, greatest) in [
        ("7/16 in", 0.440, 0.446),
        ("1/2 in", 0.504, 0.510),
        ("9/16 in", 0.566, 0.573),
        ("5/8 in", 0.629, 0.636),
        ("11/16 in", 0.692, 0.699),
        ("3/4 in", 0.755, 0.763),
        ("13/16 in", 0.818, 0.826),
        ("7/8 in", 0.880, 0.888),
        ("15/16 in", 0.944, 0.953),
        ("1-1/16 in", 1.068, 1.077),
        ("1-1/8 in", 1.132, 1.142),
        ("1-1/4 in", 1.257, 1.267),
    ] {
        let (a, b) = size(name).opening().expect("a row");
        assert!((a.mm() / 25.4 - least).abs() < 1e-9 && (b.mm() / 25.4 - greatest).abs() < 1e-9, "{name}");
    }
}

/// ASME B18.2.2 openings: over nominal by 0.06 to 0.22 mm at 7/16 in.
#[test]
fn openings_stand_over_nominal() {
    let (least, greatest) = size("7/16 in").opening().expect("read");
    let nominal = size("7/16 in").across_flats();
    assert!(((least - nominal).mm() - 0.0635).abs() < 0.001);
    assert!(((greatest - nominal).mm() - 0.2159).abs() < 0.001);
    for made in WrenchSize::all() {
        if let Some((least, greatest)) = made.opening() {
            assert!(made.across_flats() < least && least < greatest, "{made}");
        }
    }
    assert!(size("19 mm").opening().is_none());
}

/// Widths across flats as printed in ISO 272, DIN 931, JIS B 1180, EN 1662 and EN 1665 (all rows).
#[test]
fn heads_of_metric_threads() {
    type Row = (u32, [Option<f64>; 6]);
    let printed: [Row; 11] = [
        (5, [Some(8.0), Some(8.0), Some(8.0), None, None, None]),
        (6, [Some(10.0), Some(10.0), Some(10.0), None, Some(8.0), Some(10.0)]),
        (8, [Some(13.0), Some(13.0), Some(13.0), Some(12.0), Some(10.0), Some(13.0)]),
        (10, [Some(16.0), Some(17.0), Some(17.0), Some(14.0), Some(13.0), Some(16.0)]),
        (12, [Some(18.0), Some(19.0), Some(19.0), Some(17.0), Some(16.0), Some(18.0)]),
        (14, [Some(21.0), Some(22.0), Some(22.0), Some(19.0), Some(18.0), Some(21.0)]),
        (16, [Some(24.0), Some(24.0), Some(24.0), Some(22.0), Some(21.0), Some(24.0)]),
        (18, [Some(27.0), Some(27.0), Some(27.0), Some(24.0), None, None]),
        (20, [Some(30.0), Some(30.0), Some(30.0), Some(27.0), None, Some(30.0)]),
        (22, [Some(34.0), Some(32.0), Some(32.0), Some(30.0), None, None]),
        (24, [Some(36.0), Some(36.0), Some(36.0), Some(32.0), None, None]),
    ];
    let standards = [
        HeadStandard::Iso,
        HeadStandard::OldDin,
        HeadStandard::JisNormal,
        HeadStandard::JisSmall,
        HeadStandard::FlangeSmall,
        HeadStandard::FlangeHeavy,
    ];
    for (diameter, widths) in printed {
        let thread = Thread::parse(&format!("M{diameter}")).expect("coarse thread");
        for (standard, width) in standards.iter().zip(widths) {
            let found = across_flats_by(thread, *standard).map(Length::mm);
            assert_eq!(found, width, "M{diameter} {standard}");
        }
    }
    let m12: Vec<f64> = across_flats(Thread::parse("M12x1.25").expect("M12 fine"))
        .iter()
        .filter(|head| head.standard == HeadStandard::FlangeSmall)
        .map(|head| head.width.mm())
        .collect();
    assert_eq!(m12, [16.0, 15.0]);
}

#[test]
fn heads_of_inch_threads() {
    for (thread, head) in [
        ("1/4-20", "7/16"),
        ("5/16-24", "1/2"),
        ("3/8-24", "9/16"),
        ("7/16-20", "5/8"),
        ("1/2-20", "3/4"),
        ("9/16-18", "13/16"),
        ("5/8-18", "15/16"),
        ("3/4-16", "1-1/8 in"),
    ] {
        let thread = Thread::parse(thread).expect("inch thread");
        let width = across_flats_by(thread, HeadStandard::Inch).expect("row");
        assert_eq!(fits(size(head).across_flats(), width), Fit::Exact, "{thread}");
    }
}

/// 17 mm sits on M10 (old DIN, JIS) and on M12 (JIS small): the head does not tell the thread.
#[test]
fn a_wrench_size_does_not_tell_the_thread() {
    let diameters = diameters_with(mm(17.0));
    assert!(diameters.iter().any(|(d, _)| (d.mm() - 10.0).abs() < 1e-9));
    assert!(diameters.iter().any(|(d, s)| (d.mm() - 12.0).abs() < 1e-9 && *s == HeadStandard::JisSmall));
}

/// ISO 14579 drives; drive limits and external sizes as printed in an encyclopedia table.
#[test]
fn torx_rows() {
    for (diameter, t) in [(4, 20), (5, 25), (6, 30), (8, 45), (10, 50), (12, 55), (14, 60), (16, 70)] {
        let thread = Thread::parse(&format!("M{diameter}")).expect("coarse thread");
        let found = drives(thread);
        assert!(
            found.iter().any(|d| d.kind == TorxKind::Internal && d.size == t && d.standard == "ISO 14579"),
            "M{diameter}"
        );
    }
    for (t, low, high) in [
        (10, 3.7, 4.5),
        (15, 6.4, 7.7),
        (20, 10.5, 12.7),
        (25, 15.9, 19.0),
        (27, 22.5, 26.9),
        (30, 31.1, 37.4),
        (40, 54.1, 65.1),
        (45, 86.0, 103.0),
        (50, 132.0, 158.0),
        (55, 218.0, 256.0),
        (60, 379.0, 445.0),
        (70, 630.0, 700.0),
    ] {
        let (least, greatest) = internal_limit(t).expect("row");
        assert_eq!((least.nm(), greatest.nm()), (low, high), "T{t}");
    }
    for (e, outside) in
        [(8, 7.4), (10, 9.3), (12, 11.1), (14, 12.8), (16, 14.7), (18, 16.6), (20, 18.4), (24, 22.1)]
    {
        assert_eq!(external_diameter(e).map(Length::mm), Some(outside), "E{e}");
    }
    assert!(internal_limit(11).is_none() && external_diameter(9).is_none());
    assert!(drives(Thread::parse("1/2-20").expect("inch")).is_empty());
}

proptest! {
    #[test]
    fn reading_never_panics(text in "\\PC{0,30}") {
        let _ = WrenchSize::parse(&text);
    }

    #[test]
    fn a_bigger_tool_never_fits_better_once_it_is_over(nut in 5.0..50.0_f64, a in 0.01..1.0_f64, b in 0.0..1.0_f64) {
        let fit = |over: f64| fits(mm(nut + over), mm(nut));
        prop_assert!(fit(a) <= fit(a + b));
    }

    #[test]
    fn every_stand_in_fits(nut in 4.0..60.0_f64) {
        for s in stand_ins(mm(nut)) {
            prop_assert_eq!(fits(s.size.across_flats(), mm(nut)), s.fit);
            prop_assert!(matches!(s.fit, Fit::Fits | Fit::Loose));
        }
    }
}
