//! Outside checks of unit factors and of reading and printing.
#![allow(clippy::float_cmp, reason = "exactly representable conversions are compared exactly")]

use axlestand_quantity::{
    Angle, Band, Dimension, Length, ParseQuantityError, Side, Torque, UNITS, Uncertain, Volume,
};
use proptest::prelude::*;

/// NIST Special Publication 811 (2008), appendix B.8; seven printed digits.
#[test]
fn factors_are_those_of_nist_sp_811() {
    for (text, dimension, published) in [
        ("1 in", Dimension::Length, 25.4),
        ("1 ft", Dimension::Length, 304.8),
        ("1 lb·ft", Dimension::Torque, 1.355_818),
        ("1 lb·in", Dimension::Torque, 0.112_984_8),
        ("1 kgf·m", Dimension::Torque, 9.806_65),
        ("1 kgf·cm", Dimension::Torque, 0.098_066_5),
        ("1 lbf", Dimension::Force, 4.448_222),
        ("1 psi", Dimension::Pressure, 6.894_757),
        ("1 lb/in", Dimension::SpringRate, 0.175_126_8),
        ("1 kgf/mm", Dimension::SpringRate, 9.806_65),
        ("1 bar", Dimension::Pressure, 100.0),
        ("1 lb", Dimension::Mass, 0.453_592_4),
        ("1 qt", Dimension::Volume, 0.946_352_9),
        ("1 rad", Dimension::Angle, 57.295_78),
        ("1 '", Dimension::Angle, 0.016_666_67),
    ] {
        let value = dimension.parse(text).unwrap().value;
        assert!((value - published).abs() < 5e-7 * published.max(1.0), "{text}: {value} against {published}");
    }
}

#[test]
fn people_write_one_thing_in_many_ways() {
    for text in ["140 N·m", "140Nm", "140 nm", "140 N m", "140.0 N-m", "140,0 N.m", "+140 N*m"] {
        assert_eq!(text.parse::<Torque>().unwrap().nm(), 140.0, "{text}");
    }
    for text in ["ft-lb", "lb-ft", "lb ft", "ft.lbs", "ft·lb"] {
        assert_eq!(format!("100 {text}").parse::<Torque>().unwrap().lb_ft().round(), 100.0, "{text}");
    }
    assert_eq!("1/2 in".parse::<Length>().unwrap().mm(), 12.7);
    assert_eq!("1 3/8 in".parse::<Length>().unwrap().mm(), 34.925);
    assert_eq!("0°30'".parse::<Angle>().unwrap().deg(), 0.5);
    assert_eq!("-0° 12'".parse::<Angle>().unwrap().deg(), -0.2);
    for (text, mm) in
        [("2-1/16\"", 52.3875), ("2 1/16\"", 52.3875), ("1½ in", 38.1), ("¾\"", 19.05), ("-1 ½ in", -38.1)]
    {
        let read = text.parse::<Length>().unwrap().mm();
        assert!((read - mm).abs() < 1e-12, "{text}: {read}");
    }
    for text in ["14 1/4 in", "14-1/4 in", "14 1/4\"", "14 ¼ inches", "14 1/4''", "14.25 in"] {
        assert_eq!(text.parse::<Length>().unwrap().mm(), 361.95, "{text}");
    }
    for text in ["160 lb/in", "160 lbf/in", "160 lbs/in", "160lb/in"] {
        let read = Dimension::SpringRate.parse(text).unwrap().value;
        // By hand: 160 · 4.448 221 615 260 5 / 25.4.
        assert!((read - 28.020_293_64).abs() < 1e-8, "{text}: {read}");
    }
    for (text, u) in [("-0° 24' ± 6'", 0.1), ("-0°24′ +/- 0.1°", 0.1), ("-0° 24' ± 0° 6'", 0.1)] {
        let parsed = Dimension::Angle.parse(text).unwrap();
        assert_eq!((parsed.value, parsed.u), (-0.4, Some(u)), "{text}");
    }
    assert_eq!("-12'".parse::<Angle>().unwrap().deg(), -0.2);
    assert_eq!("2,2 l".parse::<Volume>().unwrap().l(), 2.2);
    let parsed = Dimension::Length.parse("612 ± 1 mm").unwrap();
    assert_eq!((parsed.value, parsed.u), (612.0, Some(1.0)));
    assert_eq!(Dimension::Length.parse("612 mm +/- 1 mm").unwrap(), parsed);
    assert_eq!(Dimension::Length.parse("61.2+-0.1cm").unwrap().u, Some(1.0));
}

#[test]
fn refusals_say_what_to_type() {
    let message = |text: &str| text.parse::<Torque>().unwrap_err().to_string();
    assert_eq!(message(""), "nothing was given; a torque is wanted, in N·m, lb·ft, lb·in or kgf·m");
    assert_eq!(message("140"), "'140' has no unit; give N·m, lb·ft, lb·in or kgf·m");
    assert_eq!(
        message("140 mm"),
        "'mm' measures a length, but a torque is wanted; give N·m, lb·ft, lb·in or kgf·m"
    );
    assert_eq!(message("140 Nmm"), "'Nmm' is not a unit known here; give N·m, lb·ft, lb·in or kgf·m");
    assert_eq!(message("tight"), "'tight' does not start with a number; write it like '140 N·m'");
    assert_eq!(
        message("1,200 N·m"),
        "'1,200 N·m' can be read in two ways; write the number without thousands separators"
    );
    assert!(matches!("1e400 N".parse::<Torque>(), Err(ParseQuantityError::UnknownUnit { .. })));
    assert!(matches!(Dimension::Length.parse("5 ± -1 mm"), Err(ParseQuantityError::BadUncertainty { .. })));
    assert!(matches!(Dimension::Length.parse("5 mm ± 1 in"), Err(ParseQuantityError::BadUncertainty { .. })));
    // An uncertainty without unit behind degrees and minutes may be either; a decimal has no fraction.
    for text in ["0° 24' ± 6", "0° 24' ± ", "0° 24' ± -6'", "0° 24' ± 1 mm"] {
        let refused = Dimension::Angle.parse(text);
        assert!(
            matches!(refused, Err(ParseQuantityError::BadAngleUncertainty { .. })),
            "{text}: {refused:?}"
        );
    }
    for text in ["2.5-1/16\"", "2-1/0 in", "2--1/16 in", "½½ in"] {
        assert!(Dimension::Length.parse(text).is_err(), "{text}");
    }
    let digits = format!("{} N·m", "9".repeat(400));
    assert!(matches!(digits.parse::<Torque>(), Err(ParseQuantityError::TooLarge { .. })));
}

/// JCGM 100:2008, 7.2.6: the value is given to the place of its uncertainty.
#[test]
fn printing_keeps_to_the_uncertainty() {
    let shown = |value, u| Uncertain::new(value, u).unwrap().to_string();
    assert_eq!(shown(100.021_47, 0.000_35), "100.02147 ± 0.00035");
    assert_eq!(shown(612.04, 1.0), "612 ± 1");
    assert_eq!(shown(0.123, 0.024), "0.123 ± 0.024");
    assert_eq!(shown(0.3, 0.08), "0.30 ± 0.08");
    assert_eq!(shown(358.0, 1.5), "358.0 ± 1.5");
    assert_eq!(shown(0.11, 0.1), "0.11 ± 0.10");
    assert_eq!(shown(-0.0001, 0.05), "0.00 ± 0.05");
    assert_eq!(shown(-10.0, 3.0), "-10 ± 3");
    assert_eq!(shown(12.0, 0.0), "12");
    assert!(Uncertain::new(1.0, -1.0).is_err() && Uncertain::new(f64::NAN, 1.0).is_err());
    let difference = Uncertain::new(10.0, 3.0).unwrap().minus(Uncertain::new(4.0, 4.0).unwrap());
    assert_eq!((difference.value(), difference.u()), (6.0, 5.0));
    assert_eq!(Torque::from_nm(140.0).unwrap().to_string(), "140 N·m");
    assert_eq!(Angle::from_deg(-0.0).unwrap().to_string(), "0°");
    assert_eq!(format!("{:.1}", Length::from_mm(85.0).unwrap()), "85.0 mm");
}

#[test]
fn bands_include_their_limits() {
    let band = Band::new(0.1, 0.05, 0.1).unwrap();
    assert_eq!([band.side(0.04), band.side(0.2), band.side(0.21)], [Side::Below, Side::Within, Side::Above]);
    assert_eq!(Band::new(0.0, -1.0, 1.0), None);
    assert_eq!(Band::new(f64::NAN, 1.0, 1.0), None);
}

proptest! {
    #[test]
    fn any_text_gives_an_answer_not_a_panic(text in "\\PC{0,24}") {
        for dimension in [Dimension::Length, Dimension::Angle, Dimension::Torque, Dimension::Volume] {
            let _ = dimension.parse(&text);
        }
    }

    #[test]
    fn what_is_printed_reads_back(value in -1.0e6..1.0e6f64, index in 0..UNITS.len()) {
        let unit = &UNITS[index];
        let parsed = unit.dimension.parse(&format!("{value} {}", unit.symbol)).unwrap();
        prop_assert!((parsed.value / unit.factor - value).abs() <= 1e-12 * value.abs());
        prop_assert_eq!(parsed.unit.symbol, unit.symbol);
    }

    #[test]
    fn nothing_infinite_gets_in(value in proptest::num::f64::ANY) {
        prop_assert_eq!(Length::from_mm(value).is_ok(), value.is_finite());
    }
}
