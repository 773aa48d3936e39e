//! Free-standing arithmetic of wheel angles and springs: nothing but what is typed goes in.

use super::figures::{Figure as Input, Source, short};
use super::tie_rod::{BY_CALIPER, TYPICAL_TOE_PER_MM, line, lines, rate_view, replaced};
use super::typed;
use crate::error::GarageError;
use crate::fastening::Reason;
use crate::fastening::calc::{CalcView, Figure};
use crate::units::Units;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::springs::{coil_rate, energy_j, frequency_hz, wheel_rate};
use axlestand_geometry::wheel_angles::{
    WheelPose, caster_by_sine_rule, steering_axis_from_poses, toe_angle_total, toe_mm_total,
};
use axlestand_quantity::{Angle, Dimension, Force, Length, STANDARD_GRAVITY};

fn figure(name: &'static str, value: f64, unit: &'static str) -> Figure {
    Figure { name, value, low: None, high: None, unit }
}

fn reason(what: &str, text: impl Into<String>, source: &str) -> Reason {
    Reason {
        what: what.to_owned(),
        text: text.into(),
        source: (!source.is_empty()).then(|| source.to_owned()),
    }
}

fn length(what: &str, text: &str, limits: std::ops::RangeInclusive<f64>) -> Result<Length, GarageError> {
    let (value, _) = typed::within(what, text, Dimension::Length, limits)?;
    Length::from_mm(value).map_err(|why| GarageError::Input(why.to_string()))
}

fn angle(what: &str, text: &str, limits: std::ops::RangeInclusive<f64>) -> Result<Angle, GarageError> {
    let (value, _) = typed::within(what, text, Dimension::Angle, limits)?;
    Angle::from_deg(value).map_err(|why| GarageError::Input(why.to_string()))
}

fn no_result() -> GarageError {
    GarageError::Input("these figures have no result: look at each of them again".to_owned())
}

/// Total toe: millimetres over a diameter to degrees, or the other way.
///
/// # Errors
/// [`GarageError::Input`] for what is not understood.
pub fn toe(value: &str, diameter: &str, units: Units) -> Result<CalcView, GarageError> {
    let diameter = length("the diameter", diameter, 100.0..=1000.0)?;
    let reasons = vec![
        reason(
            "formula",
            "t = 2 D sin(θ/2): total toe in millimetres over the diameter D at which it is measured",
            "ISO 8855:2011, 7.1.6",
        ),
        reason("sign", "toe-in is positive; total toe is the sum of both wheels", "ISO 8855:2011, 7.1.7"),
    ];
    let is_length = Dimension::Length.parse(value).is_ok();
    let (mm, total) = if is_length {
        let mm = length("the toe", value, -60.0..=60.0)?;
        (mm, toe_angle_total(mm, diameter).map_err(|_| no_result())?)
    } else {
        let total = angle("the toe", value, -10.0..=10.0)?;
        (toe_mm_total(total, diameter).map_err(|_| no_result())?, total)
    };
    let minutes = total.deg() * 60.0;
    let (toe, diameter) = (units.length(mm.mm(), 2), units.short_length(diameter.mm()));
    let line = if is_length {
        format!("{toe} of total toe over {diameter} is {:.3}° ({minutes:.1}′)", total.deg())
    } else {
        format!("{:.3}° ({minutes:.1}′) of total toe is {toe} over {diameter}", total.deg())
    };
    Ok(CalcView {
        line,
        figures: vec![figure("total-toe-mm", mm.mm(), "mm"), figure("total-toe", total.deg(), "°")],
        lines: vec![format!("Each wheel of two alike: {:.3}°.", total.deg() / 2.0)],
        warnings: vec![format!(
            "{} of toe mean nothing without their diameter: ask which one the value is for.",
            if units == Units::Inch { "Inches" } else { "Millimetres" }
        )],
        reasons,
    })
}

/// A coil spring as typed.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SpringInput {
    /// Rate in N/mm, where it is known.
    pub rate: Option<String>,
    /// Wire diameter.
    pub wire: Option<String>,
    /// Mean diameter of the coil.
    pub diameter: Option<String>,
    /// Active coils.
    pub coils: Option<String>,
    /// Free length.
    pub free: Option<String>,
    /// Length under load.
    pub length: Option<String>,
    /// Force, instead of a length.
    pub force: Option<String>,
    /// Motion ratio.
    pub ratio: Option<String>,
    /// Sprung mass of the corner.
    pub mass: Option<String>,
}

/// Shear modulus of spring steel, MPa (machine-design texts, from memory).
const SPRING_STEEL: f64 = 78_500.0;

/// Rate, force and stored energy of a coil spring; with a motion ratio the wheel rate, with a mass
/// the ride frequency.
///
/// # Errors
/// [`GarageError::Input`] for what is missing or not understood.
pub fn spring(input: &SpringInput, units: Units) -> Result<CalcView, GarageError> {
    let mut view = CalcView {
        line: String::new(),
        figures: Vec::new(),
        lines: Vec::new(),
        warnings: Vec::new(),
        reasons: Vec::new(),
    };
    let rate = rate(input, &mut view, units)?;
    let shown = said(rate, 2, "N/mm", units);
    view.figures.push(figure("rate", rate, "N/mm"));
    view.line = format!("The spring has {shown}");
    let force = force(input, rate, units)?;
    if let Some((force, how)) = force {
        let n = Force::from_n(force).map_err(|_| no_result())?;
        let energy = energy_j(n, rate).ok_or_else(no_result)?;
        let pushes = said(force, 0, "N", units);
        view.line = format!("The spring has {shown}; {how} it pushes with {pushes} and holds {energy:.0} J");
        view.figures.extend([figure("force", force, "N"), figure("energy", energy, "J")]);
        view.reasons.push(reason("energy", "E = F² / (2 k)", "elastic spring, any mechanics text"));
        if energy > 50.0 {
            let weight = weight_falling(energy, units);
            view.warnings.push(format!(
                "That is {weight}: let it out with a compressor made for this force, never by the top nut."
            ));
        }
    }
    if let Some(ratio) = &input.ratio {
        let ratio = typed::number("--ratio", ratio)?;
        let wheel = wheel_rate(rate, ratio, 0.0, 0.0);
        view.figures.push(figure("wheel-rate", wheel, "N/mm"));
        let wheel_said = said(wheel, 2, "N/mm", units);
        view.lines.push(format!("At the wheel: {wheel_said} (motion ratio {ratio}, spring over wheel)."));
        view.reasons.push(reason("wheel rate", "k_w = k · MR²; the change of leverage under load (F · dMR/dz) is left out here; 'set height' counts it", ""));
        if let Some(mass) = &input.mass {
            let (mass, _) = typed::within("--mass", mass, Dimension::Mass, 20.0..=3000.0)?;
            let hz = frequency_hz(wheel, mass).ok_or_else(no_result)?;
            view.figures.push(figure("ride-frequency", hz, "Hz"));
            view.lines.push(format!(
                "Ride frequency with {} kg of sprung mass: {hz:.2} Hz, the tyre taken as rigid.",
                short(mass)
            ));
            view.reasons.push(reason("frequency", "f = √(k_w / m) / 2π", ""));
        }
    }
    Ok(view)
}

/// A figure in the user's unit.
fn said(value: f64, places: usize, unit: &'static str, units: Units) -> String {
    let (value, places, unit) = units.figure_in(value, places, unit);
    format!("{value:.places$} {unit}")
}

/// From how high a weight that everybody knows would hold as much energy, J.
fn weight_falling(energy: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("a 10 kg weight falling {:.1} m", energy / STANDARD_GRAVITY / 10.0),
        Units::Inch => {
            let feet = energy / STANDARD_GRAVITY / (20.0 * 0.453_592_37) / 0.3048;
            format!("a 20 lb weight falling {feet:.1} ft")
        }
    }
}

fn rate(input: &SpringInput, view: &mut CalcView, units: Units) -> Result<f64, GarageError> {
    if let Some(rate) = &input.rate {
        let rate = typed::spring_rate("--rate", rate, units)?;
        let shown = match units {
            Units::Metric => format!("{rate} N/mm"),
            Units::Inch => said(rate, 2, "N/mm", units),
        };
        view.reasons.push(reason("rate", format!("{shown}, typed"), ""));
        return Ok(rate);
    }
    let (Some(wire), Some(diameter), Some(coils)) = (&input.wire, &input.diameter, &input.coils) else {
        return Err(GarageError::Input(
            "give the spring's rate (--rate 24.5), or what it follows from: --wire \"12.5 mm\" --diameter \"120 mm\" --coils 5.5 (mean diameter, active coils)".to_owned(),
        ));
    };
    let (wire, mean) = (length("--wire", wire, 1.0..=40.0)?, length("--diameter", diameter, 10.0..=400.0)?);
    let coils = typed::number("--coils", coils)?;
    view.reasons.push(reason(
        "rate",
        "k = G d⁴ / (8 D³ n), D the mean diameter, n the active coils",
        "machine-design texts",
    ));
    view.reasons.push(reason(
        "shear modulus",
        format!("{SPRING_STEEL} MPa, spring steel"),
        "usual figure, no source",
    ));
    view.lines.push(
        "A real spring comes within some 5 % of this: coils that lie on each other do not count.".to_owned(),
    );
    coil_rate(wire, mean, coils, SPRING_STEEL)
        .ok_or_else(|| GarageError::Input("the mean diameter must be larger than the wire".to_owned()))
}

fn force(input: &SpringInput, rate: f64, units: Units) -> Result<Option<(f64, String)>, GarageError> {
    match (&input.force, &input.free, &input.length) {
        (Some(text), _, _) => {
            let (force, _) = typed::within("--force", text, Dimension::Force, 0.0..=50_000.0)?;
            Ok(Some((force, "loaded".to_owned())))
        }
        (None, Some(free), Some(at)) => {
            let (free, at) = (length("--free", free, 20.0..=2000.0)?, length("--length", at, 5.0..=2000.0)?);
            let shown = units.short_length(at.mm());
            if at > free {
                let free = units.short_length(free.mm());
                return Err(GarageError::Input(format!(
                    "at {shown} a spring of {free} free length is loose"
                )));
            }
            Ok(Some((rate * (free - at).mm(), format!("at {shown}"))))
        }
        (None, None, None) => Ok(None),
        _ => Err(GarageError::Input("give --free and --length together, or --force".to_owned())),
    }
}

/// Caster from cambers as typed.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct CasterInput {
    /// `left` or `right` wheel.
    pub right_wheel: bool,
    /// Camber with the wheel turned to the left.
    pub turned_left: String,
    /// Camber with the wheel turned to the right.
    pub turned_right: String,
    /// By how much it was turned, each way.
    pub by: String,
    /// Camber straight ahead, for the exact way.
    pub straight: Option<String>,
}

/// Caster from the camber of a wheel turned to both sides.
///
/// # Errors
/// [`GarageError::Input`] for what is not understood.
pub fn caster(input: &CasterInput) -> Result<CalcView, GarageError> {
    let side = if input.right_wheel { Side::Right } else { Side::Left };
    let left = angle("the camber turned left", &input.turned_left, -30.0..=30.0)?;
    let right = angle("the camber turned right", &input.turned_right, -30.0..=30.0)?;
    let by = angle("the steering angle", &input.by, 5.0..=40.0)?;
    let simple = caster_by_sine_rule(side, left, right, by).map_err(|_| no_result())?;
    // Camber to 0.1° on both readings.
    let u = 0.1 * std::f64::consts::SQRT_2 / (2.0 * by.rad().sin());
    let mut view = CalcView {
        line: format!("Caster of the {side} wheel: {:.2}°", simple.deg()),
        figures: vec![figure("caster", simple.deg(), "°")],
        lines: vec![format!("With 0.1° of uncertainty in each camber it is good to ± {u:.2}°.")],
        warnings: Vec::new(),
        reasons: vec![
            reason(
                "formula",
                "caster ≈ (camber turned left − camber turned right) / (2 sin S), left wheel; on the right the sign turns round; good to 0.03° up to 8°",
                "derived from the rotation about the steering axis",
            ),
            reason(
                "sign",
                "positive with the top of the steering axis rearward",
                "trade; see the conventions in docs/numbers-geometry.md",
            ),
        ],
    };
    if let Some(straight) = &input.straight {
        let straight = angle("the camber straight ahead", straight, -30.0..=30.0)?;
        let zero = Angle::ZERO;
        let pose = |camber, heading| WheelPose { camber, heading };
        let axis = steering_axis_from_poses(side, [pose(straight, zero), pose(left, by), pose(right, -by)])
            .map_err(|_| no_result())?;
        view.line = format!("Caster of the {side} wheel: {:.2}°", axis.caster.deg());
        view.figures = vec![
            figure("caster", axis.caster.deg(), "°"),
            figure("inclination", axis.inclination.deg(), "°"),
        ];
        view.lines.push(format!(
            "Steering-axis inclination {:.1}°; from cambers it is good to about 2° only.",
            axis.inclination.deg()
        ));
        view.reasons.push(reason(
            "exact",
            "the spin axis runs on a cone about the steering axis: k ∝ (n₁ − n₀) × (n₂ − n₀)",
            "derived",
        ));
    }
    if simple.deg().abs() > 15.0 {
        view.warnings.push(
            "No road car has so much caster: look at the signs and at which reading is which.".to_owned(),
        );
    }
    Ok(view)
}

/// A tie-rod end as typed.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct TieRodInput {
    /// Exposed thread with the old end.
    pub exposed: String,
    /// Counting face to ball centre of the old end.
    pub length: String,
    /// The same of the new end.
    pub new_length: String,
    /// The thread: `M14x1.5`.
    pub thread: Option<String>,
    /// Length of the steering arm, square to the tie rod.
    pub arm: Option<String>,
}

/// The exposed thread that gives the old length with a new end.
///
/// # Errors
/// [`GarageError::Input`] for what is not understood, and where no thread would be left.
pub fn tie_rod(input: &TieRodInput, units: Units) -> Result<CalcView, GarageError> {
    let exposed = typed::uncertain_mm("the exposed thread", &input.exposed, 0.0..=200.0, 0.3)?;
    let body = typed::uncertain_mm("the old end's length", &input.length, 20.0..=400.0, BY_CALIPER)?;
    let new = typed::uncertain_mm("the new end's length", &input.new_length, 20.0..=400.0, BY_CALIPER)?;
    let pitch = match &input.thread {
        Some(text) => Some(
            axlestand_fastener::Thread::parse(text)
                .map_err(|why| GarageError::Input(why.to_string()))?
                .pitch()
                .mm(),
        ),
        None => None,
    };
    let rate = match &input.arm {
        Some(arm) => {
            let arm = length("--arm", arm, 50.0..=300.0)?;
            Input::known("toe per mm of tie rod", "°", (1.0 / arm.mm()).to_degrees(), "1 / steering arm")
        }
        None => {
            let (usual, low, high) = TYPICAL_TOE_PER_MM;
            let from = Source::Arms;
            Input { from, ..Input::typical("toe per mm of tie rod", "°", usual, (low, high), "") }
        }
    };
    let found = replaced(exposed, body, new, pitch.unwrap_or(1.0), rate.value, units)?;
    let rate_view = rate_view(&rate, units);
    Ok(CalcView {
        line: line(&found, units),
        figures: vec![
            figure("exposed", found.exposed.value(), "mm"),
            figure("exposed-u", found.exposed.u(), "mm"),
            Figure {
                low: rate.range.map(|(low, _)| low * found.exposed.u()),
                high: rate.range.map(|(_, high)| high * found.exposed.u()),
                ..figure("toe-u", found.toe_u, "°")
            },
        ],
        lines: lines(&found, pitch.is_some(), &rate),
        warnings: Vec::new(),
        reasons: vec![
            reason(
                "formula",
                "new exposed thread = exposed + old length − new length, all from the same counting face",
                "geometry",
            ),
            reason("uncertainty", "root sum of squares of the three lengths", "JCGM 100:2008, 5.1.2"),
            reason(&rate_view.what, format!("{} [{}]", rate_view.value, rate_view.from), ""),
        ],
    })
}
