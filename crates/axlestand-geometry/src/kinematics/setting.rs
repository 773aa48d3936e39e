//! Where an adjuster and the tie rod have to stand for wanted wheel angles: camber by the adjuster,
//! toe by the rod, both at once.

use super::adjuster::{Adjuster, MOST_ADJUSTERS};
use super::corner::Corner;
use super::findings::BadCorner;
use super::outputs::Outputs;
use super::sensitivity::Effect;
use super::spec::CornerSpec;
use super::trouble::Trouble;
use axlestand_quantity::Lengths;

/// Farthest a tie rod is turned in or out, mm.
const FARTHEST_ROD: f64 = 60.0;
/// Toe counts as met within this, degrees.
const TOE_MET: f64 = 1e-9;
/// Camber counts as met within this, degrees: far below what is read off a car.
const CAMBER_MET: f64 = 0.005;

/// A wheel with the angles it is to have.
#[derive(Debug, Clone)]
pub struct WheelToSet {
    /// The corner. Adjusters that it has already stay at their settings.
    pub spec: CornerSpec,
    /// What is adjusted, all by one setting: several parts where a mount moves several points.
    /// Empty where only the tie rod is turned.
    pub parts: Vec<Adjuster>,
    /// Wheel travel at which the angles are wanted, mm.
    pub travel: f64,
    /// Wanted camber, degrees.
    pub camber: f64,
    /// Wanted toe of this wheel, degrees, toe-in positive.
    pub toe: f64,
}

/// A wheel as it was set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelSet {
    /// How much longer its tie rod is, mm; nought on a layout without one.
    pub tie_rod: f64,
    /// What the wheel shows then.
    pub outputs: Outputs,
    /// What it shows at the same setting with the tie rod as it was.
    pub by_itself: Outputs,
    /// Camber per unit of the setting there, toe held by the tie rod, degrees.
    pub camber_slope: f64,
}

/// A setting with what comes of it, found by solving the corner anew, not by a linear estimate.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// The setting, mm or degrees as [`Adjuster`] says.
    pub setting: f64,
    /// Every wheel, in the order of the question.
    pub wheels: Vec<WheelSet>,
    /// Whether the range gives the wanted camber, to 0.005°.
    pub enough: bool,
}

/// Why no setting can be told.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoSetting {
    /// The corner cannot be put together at a setting.
    #[error(transparent)]
    Bad(#[from] BadCorner),
    /// The wheel does not get to the travel at a setting.
    #[error(transparent)]
    Trouble(#[from] Trouble),
    /// The tie rod does not reach the wanted toe.
    #[error("{}", no_toe(*toe, Lengths::Millimetres))]
    Toe {
        /// The toe that was wanted, degrees.
        toe: f64,
    },
}

impl NoSetting {
    /// The same in words, with lengths in this unit.
    #[must_use]
    pub fn said(&self, lengths: Lengths) -> String {
        match self {
            Self::Trouble(trouble) => trouble.said(lengths),
            Self::Toe { toe } => no_toe(*toe, lengths),
            Self::Bad(_) => self.to_string(),
        }
    }
}

fn no_toe(toe: f64, lengths: Lengths) -> String {
    let within = lengths.said(FARTHEST_ROD, 0);
    format!("the tie rod does not bring toe to {toe:.2}° within ±{within} of its length")
}

impl WheelToSet {
    fn at(&self, setting: f64, tie_rod: f64) -> Result<(Outputs, Effect, Effect), NoSetting> {
        let mut spec = self.spec.clone();
        let kept = spec.adjusters.len();
        spec.adjusters.extend(self.parts.iter().map(|part| (*part, setting)));
        spec.adjusters.push((Adjuster::TieRod, tie_rod));
        let last = spec.adjusters.len() - 1;
        let corner = Corner::new(spec)?;
        let at = corner.solve(self.travel, 0.0)?;
        let mut effects = [Effect { camber: 0.0, toe: 0.0 }; MOST_ADJUSTERS];
        corner.adjuster_effects(&at, &mut effects)?;
        let mut parts = Effect { camber: 0.0, toe: 0.0 };
        for effect in &effects[kept..last] {
            parts = Effect { camber: parts.camber + effect.camber, toe: parts.toe + effect.toe };
        }
        Ok((corner.outputs(&at)?, parts, effects[last]))
    }

    /// Sets toe by the tie rod at a setting of the adjuster: Newton's method on the one rod, with the
    /// derivative from the equations.
    fn with_toe(&self, setting: f64, start: f64) -> Result<WheelSet, NoSetting> {
        let (by_itself, ..) = self.at(setting, 0.0)?;
        let mut tie_rod = start;
        for _ in 0..20 {
            let (outputs, parts, rod) = self.at(setting, tie_rod)?;
            let missing = self.toe - outputs.toe;
            let steers = rod.toe.abs() > 1e-4;
            if !steers || missing.abs() < TOE_MET {
                let taken_back = if steers { rod.camber * parts.toe / rod.toe } else { 0.0 };
                let camber_slope = parts.camber - taken_back;
                return Ok(WheelSet { tie_rod, outputs, by_itself, camber_slope });
            }
            tie_rod += (missing / rod.toe).clamp(-10.0, 10.0);
            if tie_rod.abs() > FARTHEST_ROD {
                break;
            }
        }
        Err(NoSetting::Toe { toe: self.toe })
    }
}

/// The setting within `range` that brings every wheel's camber to what is wanted, the tie rods
/// keeping toe at what is wanted: of one wheel exactly, of two wheels on one adjuster as nearly as can
/// be in the sense of least squares. Where the range does not suffice, its end, or the place in it
/// where camber comes nearest.
///
/// Gauss–Newton on the setting with toe eliminated: the slope of camber is that of the adjuster less
/// that of the rod which takes the toe back, ∂γ/∂s − ∂γ/∂t · (∂δ/∂s)/(∂δ/∂t), from the corner's own
/// equations. An eccentric has turning points, so it is started from several places.
///
/// # Errors
/// [`NoSetting`] where no start leads to a result; the reason is the first one's.
pub fn settle(wheels: &[WheelToSet], range: (f64, f64)) -> Result<Settled, NoSetting> {
    let (low, high) = range;
    let finite = |wheel: &WheelToSet| wheel.camber.is_finite() && wheel.toe.is_finite();
    if !(low <= high && low.is_finite() && high.is_finite() && wheels.iter().all(finite)) {
        return Err(Trouble::NotANumber { what: "a wanted angle or the range" }.into());
    }
    let starts = [0.0, low / 2.0, high / 2.0, low, high];
    let turns = |wheel: &WheelToSet| wheel.parts.iter().any(|p| matches!(p, Adjuster::Eccentric { .. }));
    let tries = if wheels.iter().any(turns) { 5 } else { 1 };
    let mut best = from_start(wheels, range, starts[0]);
    for start in &starts[1..tries] {
        let other = from_start(wheels, range, *start);
        let closer = match (&other, &best) {
            (Ok(other), Ok(best)) => nearer(other, best),
            (other, best) => other.is_ok() && best.is_err(),
        };
        if closer {
            best = other;
        }
    }
    best.map(|(_, settled)| settled)
}

/// Whether one result misses less than another; of two equal ones the shorter way to turn.
fn nearer(one: &(f64, Settled), other: &(f64, Settled)) -> bool {
    let even = (one.0 - other.0).abs() <= 1e-9;
    if even { one.1.setting.abs() + 1e-6 < other.1.setting.abs() } else { one.0 < other.0 }
}

/// Most corners solved for one start.
const MOST_STEPS: usize = 80;

/// The largest camber that is missing, degrees, and the setting found from one start. A step that
/// brings nothing is halved, so that a turning point is found as well as a meeting one.
fn from_start(
    wheels: &[WheelToSet],
    (low, high): (f64, f64),
    start: f64,
) -> Result<(f64, Settled), NoSetting> {
    let span = (high - low).max(1e-9);
    let mut at = placed(wheels, start.clamp(low, high), None)?;
    let mut step = at.step(span);
    for _ in 0..MOST_STEPS {
        let next = (at.setting + step).clamp(low, high);
        if (next - at.setting).abs() <= 1e-10 * span {
            break;
        }
        // Where the corner cannot be put together so far on, it is tried nearer.
        match placed(wheels, next, Some(&at)) {
            Ok(better) if better.square < at.square => {
                step = better.step(span);
                at = better;
            }
            _ => step = (next - at.setting) / 2.0,
        }
    }
    let enough = at.miss < CAMBER_MET;
    Ok((at.miss, Settled { setting: at.setting, wheels: at.wheels, enough }))
}

/// All wheels at one setting.
struct AtSetting {
    setting: f64,
    wheels: Vec<WheelSet>,
    /// Largest camber that is missing, degrees, and the sum of the squares.
    miss: f64,
    square: f64,
    /// Sums of slope times missing camber and of slope squared.
    normal: [f64; 2],
}

impl AtSetting {
    /// The Gauss–Newton step, no longer than a third of the range.
    fn step(&self, span: f64) -> f64 {
        let [missing, square] = self.normal;
        if square < 1e-12 { 0.0 } else { (missing / square).clamp(-span / 3.0, span / 3.0) }
    }
}

fn placed(wheels: &[WheelToSet], setting: f64, near: Option<&AtSetting>) -> Result<AtSetting, NoSetting> {
    let mut all = AtSetting {
        setting,
        wheels: Vec::with_capacity(wheels.len()),
        miss: 0.0,
        square: 0.0,
        normal: [0.0; 2],
    };
    for (i, wheel) in wheels.iter().enumerate() {
        let rod = near.and_then(|near| near.wheels.get(i)).map_or(0.0, |set| set.tie_rod);
        let set = wheel.with_toe(setting, rod)?;
        let missing = wheel.camber - set.outputs.camber;
        all.miss = all.miss.max(missing.abs());
        all.square += missing * missing;
        all.normal =
            [all.normal[0] + set.camber_slope * missing, all.normal[1] + set.camber_slope * set.camber_slope];
        all.wheels.push(set);
    }
    Ok(all)
}
