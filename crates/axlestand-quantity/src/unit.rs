//! The units people write, with their exact factors.
//!
//! Source of the factors: SI Brochure, 9th edition (2019), and NIST Special Publication 811
//! (2008), appendix B.8: inch 25.4 mm exactly, pound-force 4.448 221 615 260 5 N exactly, standard
//! gravity 9.806 65 m/s² exactly. The rest are products of these.

/// What a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Dimension {
    /// Length, stored in millimetres.
    Length,
    /// Plane angle, stored in degrees.
    Angle,
    /// Force, stored in newtons.
    Force,
    /// Torque, stored in newton metres.
    Torque,
    /// Mass, stored in kilograms.
    Mass,
    /// Volume of a fluid, stored in litres.
    Volume,
    /// Pressure, stored in kilopascals.
    Pressure,
    /// Rate of a spring, stored in newtons per millimetre.
    SpringRate,
}

impl Dimension {
    /// The word a message uses: "a length", "a torque".
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Angle => "an angle",
            Self::Force => "a force",
            Self::Torque => "a torque",
            Self::Mass => "a mass",
            Self::Volume => "a volume",
            Self::Pressure => "a pressure",
            Self::SpringRate => "a spring rate",
        }
    }

    /// The unit in which the project stores this dimension.
    #[must_use]
    pub fn own_unit(self) -> &'static str {
        match self {
            Self::Length => "mm",
            Self::Angle => "°",
            Self::Force => "N",
            Self::Torque => "N·m",
            Self::Mass => "kg",
            Self::Volume => "l",
            Self::Pressure => "kPa",
            Self::SpringRate => "N/mm",
        }
    }

    /// Units to offer in a message, the commonest first.
    #[must_use]
    pub fn offered(self) -> &'static str {
        match self {
            Self::Length => "mm, cm, m, in or ft",
            Self::Angle => "° (deg), ' (arc minutes) or rad",
            Self::Force => "N, kN, kgf or lbf",
            Self::Torque => "N·m, lb·ft, lb·in or kgf·m",
            Self::Mass => "kg, g or lb",
            Self::Volume => "l, ml or US qt",
            Self::Pressure => "kPa, bar or psi",
            Self::SpringRate => "N/mm or lb/in",
        }
    }
}

/// One unit: how it is written, what it measures and its size in the project's own unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// The spelling used when the unit is printed.
    pub symbol: &'static str,
    /// Further spellings accepted, lower case, without spaces, dots or hyphens.
    pub spellings: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// Size of one such unit in the project's own unit for the dimension.
    pub factor: f64,
}

/// Standard acceleration of free fall, m/s² (ISO 80000-3).
pub const STANDARD_GRAVITY: f64 = 9.806_65;

pub(crate) const INCH_MM: f64 = 25.4;
const LBF_N: f64 = 4.448_221_615_260_5;
const KGF_N: f64 = STANDARD_GRAVITY;
const LB_KG: f64 = 0.453_592_37;
const US_GALLON_L: f64 = 3.785_411_784;

macro_rules! unit {
    ($symbol:literal, $dimension:ident, $factor:expr, [$($spelling:literal),* $(,)?]) => {
        Unit { symbol: $symbol, spellings: &[$($spelling),*], dimension: Dimension::$dimension, factor: $factor }
    };
}

/// Every unit that is understood.
pub static UNITS: &[Unit] = &[
    unit!("mm", Length, 1.0, ["mm", "millimetre", "millimetres", "millimeter", "millimeters"]),
    unit!("cm", Length, 10.0, ["cm", "centimetre", "centimetres", "centimeter", "centimeters"]),
    unit!("m", Length, 1000.0, ["m", "metre", "metres", "meter", "meters"]),
    unit!("in", Length, INCH_MM, ["in", "inch", "inches", "\"", "″", "”", "''"]),
    unit!("ft", Length, 12.0 * INCH_MM, ["ft", "foot", "feet"]),
    unit!("°", Angle, 1.0, ["°", "deg", "degree", "degrees"]),
    unit!("'", Angle, 1.0 / 60.0, ["'", "′", "’", "arcmin", "arcminute", "arcminutes"]),
    unit!("rad", Angle, 180.0 / std::f64::consts::PI, ["rad", "radian", "radians"]),
    unit!("mrad", Angle, 0.18 / std::f64::consts::PI, ["mrad"]),
    unit!("N", Force, 1.0, ["n", "newton", "newtons"]),
    unit!("kN", Force, 1000.0, ["kn"]),
    unit!("kgf", Force, KGF_N, ["kgf", "kp"]),
    unit!("lbf", Force, LBF_N, ["lbf"]),
    unit!("N·m", Torque, 1.0, ["nm", "newtonmetre", "newtonmetres", "newtonmeter", "newtonmeters"]),
    unit!("kN·m", Torque, 1000.0, ["knm"]),
    unit!("daN·m", Torque, 10.0, ["danm"]),
    unit!("kgf·m", Torque, KGF_N, ["kgfm", "kgm", "kpm", "mkg", "mkgf"]),
    unit!("kgf·cm", Torque, KGF_N / 100.0, ["kgfcm", "kgcm"]),
    unit!(
        "lb·ft",
        Torque,
        LBF_N * 12.0 * INCH_MM / 1000.0,
        [
            "lbft",
            "ftlb",
            "ftlbs",
            "lbsft",
            "lbfft",
            "ftlbf",
            "footpound",
            "footpounds",
            "poundfeet",
            "poundfoot"
        ]
    ),
    unit!(
        "lb·in",
        Torque,
        LBF_N * INCH_MM / 1000.0,
        ["lbin", "inlb", "inlbs", "lbsin", "lbfin", "inlbf", "inchpound", "inchpounds"]
    ),
    unit!("kg", Mass, 1.0, ["kg", "kilogram", "kilograms"]),
    unit!("g", Mass, 0.001, ["g", "gram", "grams"]),
    unit!("lb", Mass, LB_KG, ["lb", "lbs", "pound", "pounds"]),
    unit!("l", Volume, 1.0, ["l", "litre", "litres", "liter", "liters"]),
    unit!("ml", Volume, 0.001, ["ml", "cc", "cm3", "cm³"]),
    unit!("US qt", Volume, US_GALLON_L / 4.0, ["usqt", "qt", "quart", "quarts"]),
    unit!("kPa", Pressure, 1.0, ["kpa"]),
    unit!("bar", Pressure, 100.0, ["bar"]),
    unit!("psi", Pressure, LBF_N / (INCH_MM * INCH_MM) * 1000.0, ["psi"]),
    unit!("N/mm", SpringRate, 1.0, ["n/mm"]),
    unit!("kgf/mm", SpringRate, KGF_N, ["kgf/mm", "kg/mm", "kp/mm"]),
    unit!(
        "lb/in",
        SpringRate,
        LBF_N / INCH_MM,
        ["lb/in", "lbf/in", "lbs/in", "lb/inch", "lbs/inch", "lbf/inch"]
    ),
];

impl Unit {
    /// Finds the unit meant by `written`: case, spaces, dots, asterisks and hyphens do not count
    /// (`Nm`, `N·m`, `N m`, `n.m` are one unit; `ft-lb` and `lb·ft` too).
    #[must_use]
    pub fn find(written: &str) -> Option<&'static Unit> {
        let plain: String = written
            .chars()
            .filter(|c| !matches!(c, ' ' | '\u{a0}' | '\u{202f}' | '.' | '·' | '⋅' | '*' | '-' | '×'))
            .flat_map(char::to_lowercase)
            .collect();
        UNITS.iter().find(|unit| unit.spellings.contains(&plain.as_str()))
    }
}
