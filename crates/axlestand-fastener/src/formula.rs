//! The formulas in words, for answers that explain themselves.

/// A formula with its source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Formula {
    /// What it gives.
    pub gives: &'static str,
    /// The formula as it is written.
    pub text: &'static str,
    /// Where it stands.
    pub source: &'static str,
}

/// Stress area of a metric thread.
pub const STRESS_AREA_METRIC: Formula =
    Formula { gives: "stress area, metric", text: "As = π/4·(d − 0.938194·P)²", source: "ISO 898-1" };
/// Stress area of an inch thread.
pub const STRESS_AREA_INCH: Formula = Formula {
    gives: "stress area, inch",
    text: "At = π/4·(D − 0.9743/n)²",
    source: "NASA NSTS 08307 Rev. A, appendix A",
};
/// Torque for a preload.
pub const TORQUE: Formula = Formula {
    gives: "torque for a clamp load",
    text: "T = F·[P/(2π) + 0.577·d2·μ_thread + ½·Dkm·μ_bearing]",
    source: "ISO 16047, VDI 2230; MIL-HDBK-60, appendix B",
};
/// Mean bearing diameter.
pub const BEARING: Formula =
    Formula { gives: "mean bearing diameter", text: "Dkm = (dw + dh)/2", source: "VDI 2230" };
/// Short form.
pub const NUT_FACTOR: Formula = Formula {
    gives: "torque by nut factor",
    text: "T = K·F·d",
    source: "Shigley, 9th edition, equation 8-27; NASA-STD-5020B",
};
/// Preload at a utilisation.
pub const UTILISATION: Formula = Formula {
    gives: "clamp load at a share of yield",
    text: "F = ν·Rp·A0/√(1 + 3·[k·(d2/d0)·(P/(π·d2) + 1.155·μ_thread)]²), k = 3/2 or 2",
    source: "VDI 2230 (2001: k = 3/2; 1986: k = 2), JIS B 1083 (k = 2)",
};
/// Conversion to another thread condition.
pub const CONVERSION: Formula = Formula {
    gives: "torque for equal clamp load in another condition",
    text: "T_new/T_specified = K(μ_new)/K(μ_specified)",
    source: "the torque equation at two frictions",
};
/// Adapter.
pub const ADAPTER: Formula = Formula {
    gives: "setting with an adapter",
    text: "T_set = T·L/(L + A·cos θ)",
    source: "US Army TM 9-254, figure 4-6; TM 1-1500-204-23-9",
};
/// Preload per degree.
pub const PER_DEGREE: Formula = Formula {
    gives: "clamp load per degree",
    text: "ΔF = P/360·kb·km/(kb + km)",
    source: "MIL-HDBK-60, 6.2.4; Shigley, 9th edition, chapter 8",
};
/// Castle nut step.
pub const CASTLE_STEP: Formula = Formula {
    gives: "angle between slots that fit",
    text: "360°/lcm(slots, hole mouths)",
    source: "geometry",
};
/// Breaking torque.
pub const BREAKING: Formula = Formula {
    gives: "least breaking torque",
    text: "MB = X·Rm·π/16·d3³",
    source: "ISO 898-7 up to M10; beyond it an extension of the same formula",
};
/// Combined spread.
pub const SPREAD: Formula = Formula {
    gives: "spread of clamp load",
    text: "u = √(u_wrench² + u_scale² + u_friction²), each half-width/√3; U = 2·u",
    source: "JCGM 100:2008, 4.3.7 and 5.1.2",
};

/// Every formula.
pub const ALL: [Formula; 12] = [
    STRESS_AREA_METRIC,
    STRESS_AREA_INCH,
    TORQUE,
    BEARING,
    NUT_FACTOR,
    UTILISATION,
    CONVERSION,
    ADAPTER,
    PER_DEGREE,
    CASTLE_STEP,
    BREAKING,
    SPREAD,
];
