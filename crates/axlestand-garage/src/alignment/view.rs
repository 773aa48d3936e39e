//! How the wheels stand and what to turn, as one view.

use super::adjustable::{Adjustables, Rods, adjustables};
use super::aims::{Aim, AimView, aims};
use super::chain::{Chain, chain};
use super::entry::gauges;
use super::height::height_step;
use super::inclination::inclination;
use super::place::{Place, SIDES, side_word};
use super::rounds::{Round, Rounds};
use super::sizes::sizes;
use super::stated;
use super::taken::{conditions, named};
use super::verdict::{VerdictView, verdict};
use super::work::{ForetoldView, StepView, Work, work};
use super::worth::{NextReading, next_readings};
use crate::count::count;
use crate::error::GarageError;
use crate::job::Job;
use crate::units::Units;
use axlestand_geometry::estimation::alignment::{Axle, Finding, Quantity, SteeringWheel, Wheel};
use serde::Serialize;

/// What the owner says besides the readings.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct AlignmentWanted {
    /// Where the tie rods are, where the file has no hardpoints.
    pub rods: Option<Rods>,
    /// Turns of the steering wheel for one of the road wheels, as typed.
    pub ratio: Option<String>,
    /// The user's units, for what is said in words.
    pub units: Units,
}

/// A quantity of the wheels.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct QuantityView {
    /// What: `total toe front`.
    pub what: String,
    /// Value, degrees.
    pub value: f64,
    /// Standard uncertainty, degrees.
    pub u: f64,
    /// Its target and how it stands, where the file has one.
    pub aim: Option<AimView>,
}

/// A finding about the readings.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct FindingView {
    /// What is the matter.
    pub text: String,
    /// Whether nothing is computed because of it.
    pub blocks: bool,
}

/// How the wheels stand.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct AlignmentView {
    /// The car.
    pub car: String,
    /// Which round of reading this is; 0 before any.
    pub round: usize,
    /// How many numbers of the present round count.
    pub readings: usize,
    /// Numbers of earlier standings of the car, which count no more.
    pub set_aside: usize,
    /// `read`, `foretold` (turned since), `blocked` or `nothing`.
    pub state: &'static str,
    /// What is known.
    pub told: Vec<QuantityView>,
    /// What cannot be told from what was read.
    pub not_known: Vec<String>,
    /// What is wrong with the readings or missing.
    pub findings: Vec<FindingView>,
    /// What to read again, at most three.
    pub again: Vec<String>,
    /// What the car's answers to turning taught.
    pub learned: Vec<String>,
    /// What to turn, in this order.
    pub work: Vec<StepView>,
    /// What will come of it.
    pub foretold: Vec<ForetoldView>,
    /// What to read next, the best first.
    pub next: Vec<NextReading>,
    /// What it comes to.
    pub verdict: VerdictView,
    /// The rule by which something is within limits.
    pub rule: &'static str,
    /// What plus and minus mean.
    pub signs: &'static str,
    /// What is assumed, and other things to know.
    pub notes: Vec<String>,
}

/// What plus and minus mean.
const SIGNS: &str = "Signs: toe + in, - out; camber + top out, - top in; thrust angle and steering wheel + to the left, - to the right.";

/// Steering ratio that is taken where nobody gave it, and its range (AX-22).
const USUAL_RATIO: f64 = 16.0;

/// Everything behind the view, for those that need parts of it.
pub(crate) struct Standing {
    pub(crate) rounds: Rounds,
    pub(crate) chain: Chain,
    pub(crate) aims: Vec<Aim>,
    pub(crate) adjustables: Adjustables,
    pub(crate) steering: SteeringWheel,
    pub(crate) assumed: Vec<String>,
    sizes: super::sizes::Sizes,
}

/// How the wheels of a job stand.
///
/// # Errors
/// [`GarageError::Input`] where the car's sizes are not known or no fit is found.
pub(crate) fn standing(job: &Job, wanted: &AlignmentWanted) -> Result<Standing, GarageError> {
    let rounds = Rounds::of(&job.state, &gauges(&job.state));
    let sizes = sizes(&job.car, rounds.now(), wanted.units)?;
    let typed = stated::ratio(&job.state, wanted.ratio.as_deref())?;
    let ratio = typed.unwrap_or(USUAL_RATIO);
    let adjustables =
        adjustables(job, &rounds, wanted.rods.or_else(|| stated::rods(&job.state)), wanted.units);
    let chain = chain(&sizes, &rounds, &adjustables.list, |round| held(round, ratio))?;
    let mut assumed = sizes.assumed.clone();
    if typed.is_none() {
        assumed.push(format!("steering ratio {USUAL_RATIO} (typical, 14 to 18; say it with --ratio)"));
    }
    let steering = held(rounds.now(), ratio);
    Ok(Standing { rounds, chain, aims: aims(&job.car), adjustables, steering, assumed, sizes })
}

/// How the steering wheel was held in a round; straight by eye where nobody wrote it down.
fn held(round: &Round, ratio: f64) -> SteeringWheel {
    let read = round.readings.iter().rev().find(|one| one.place == Place::Steering);
    SteeringWheel { held: read.map_or(0.0, |one| one.value), u: read.map_or(3.0, |one| one.u), ratio }
}

/// How the wheels of a job stand, what to read and what to turn.
///
/// # Errors
/// [`GarageError::Input`] where the car's sizes are not known, what was typed is not understood, or no
/// fit is found.
pub fn alignment(job: &Job, wanted: &AlignmentWanted) -> Result<AlignmentView, GarageError> {
    let standing = standing(job, wanted)?;
    let Standing { rounds, chain, aims, adjustables, steering, .. } = &standing;
    let blocked = chain.findings.iter().any(Finding::blocks);
    let units = wanted.units;
    let height = height_step(job, rounds, units);
    let again = again(chain);
    let mut done = if blocked || chain.foretold || height.is_some() || !again.is_empty() {
        Work::default()
    } else {
        work(&job.car, chain, &adjustables.list, aims, (*steering, units))
            .map_err(|why| GarageError::Input(why.to_string()))?
    };
    if let (Some(step), false) = (height, chain.read == 0) {
        done.steps.insert(0, step);
    }
    done.notes.extend(done.too_uncertain.iter().map(|quantity| {
        format!("{quantity} is read too badly to turn by it: no reading this uncertain proves it, and it may be right already").into()
    }));
    let gauges = gauges(&job.state);
    let next = next_readings(chain, &standing.sizes, aims, rounds.now(), &gauges);
    if !again.is_empty() && !blocked {
        done.notes.push("nothing is turned by readings that do not fit each other".into());
    }
    let verdict = verdict(chain, aims, &done, (*steering, units), &next, &again);
    let mut notes = standing.assumed.clone();
    notes.extend(chain.odd_thrust());
    if !done.steps.is_empty() {
        notes.extend(adjustables.notes.iter().cloned());
    }
    notes.extend(conditions(rounds.now(), units));
    notes.extend(repeatability(rounds, units));
    Ok(AlignmentView {
        car: job.car.name.clone(),
        round: chain.read,
        readings: rounds.now().readings.len(),
        set_aside: rounds.set_aside,
        state: match (chain.read, blocked, chain.foretold) {
            (0, _, _) => "nothing",
            (_, true, _) => "blocked",
            (_, _, true) => "foretold",
            _ => "read",
        },
        told: told(&standing),
        not_known: not_known(&standing, blocked),
        findings: findings(chain, units),
        again,
        learned: chain.learned.clone(),
        work: done.steps,
        foretold: done.foretold,
        next,
        verdict,
        rule: crate::geometry::targets::RULE,
        signs: SIGNS,
        notes,
    })
}

/// Every quantity in the order in which it is told.
fn all() -> Vec<Quantity> {
    let axles = [Axle::Front, Axle::Rear];
    let mut all: Vec<Quantity> = Wheel::ALL.map(Quantity::Toe).to_vec();
    all.extend(axles.map(Quantity::TotalToe));
    all.push(Quantity::Thrust);
    all.extend(Wheel::ALL.map(Quantity::Camber));
    all.extend(axles.map(Quantity::CamberDifference));
    all.extend(SIDES.map(Quantity::Caster));
    all.push(Quantity::CasterDifference);
    all.extend(axles.map(Quantity::SetBack));
    all
}

fn told(standing: &Standing) -> Vec<QuantityView> {
    let chain = &standing.chain;
    let mut out: Vec<QuantityView> = all()
        .into_iter()
        .filter_map(|quantity| {
            let (value, u) = chain.known(quantity)?;
            let aim = standing.aims.iter().find(|aim| aim.quantity == quantity);
            let aim = aim.map(|aim| aim.view(Some((value, u))));
            Some(QuantityView { what: quantity.to_string(), value, u, aim })
        })
        .collect();
    for side in SIDES {
        if let Some((value, u)) = inclination(&chain.collected, side).filter(|_| chain.estimate.is_some()) {
            let what = format!("steering-axis inclination {}", side_word(side));
            out.push(QuantityView { what, value, u, aim: None });
        }
    }
    out.extend(steering_wheel(standing));
    out
}

/// Where the steering wheel stands when the car runs straight.
fn steering_wheel(standing: &Standing) -> Option<QuantityView> {
    let (off, u) = standing.chain.heading()?;
    let steering = standing.steering;
    let value = steering.held + steering.ratio * off;
    let u = (steering.ratio * u).hypot(steering.u);
    Some(QuantityView { what: Quantity::SteeringWheel.to_string(), value, u, aim: None })
}

fn not_known(standing: &Standing, blocked: bool) -> Vec<String> {
    let chain = &standing.chain;
    if chain.read == 0 || blocked {
        return Vec::new();
    }
    let mut out: Vec<String> = all()
        .into_iter()
        .filter(|quantity| chain.known(*quantity).is_none())
        // Only what somebody asks for: differences follow from their parts.
        .filter(|q| !matches!(q, Quantity::CamberDifference(_) | Quantity::CasterDifference))
        .map(|quantity| quantity.to_string())
        .collect();
    if chain.heading().is_none() {
        out.push(Quantity::SteeringWheel.to_string());
    }
    if SIDES.iter().all(|side| inclination(&chain.collected, *side).is_none()) {
        out.push("steering-axis inclination".to_owned());
    }
    out
}

fn findings(chain: &Chain, units: Units) -> Vec<FindingView> {
    let mut out: Vec<FindingView> = chain
        .collected
        .incomplete
        .iter()
        .map(|text| FindingView { text: text.clone(), blocks: false })
        .collect();
    let mut of_readings: Vec<FindingView> = chain
        .findings
        .iter()
        .filter(|finding| !matches!(finding, Finding::Unchecked { .. }))
        .map(|finding| FindingView { text: finding.said(units.lengths()), blocks: finding.blocks() })
        .collect();
    of_readings.sort_by_key(|finding| !finding.blocks);
    out.extend(of_readings);
    out.extend(chain.findings.iter().find_map(|finding| match finding {
        Finding::Unchecked { readings } => Some(FindingView { text: unchecked(readings), blocks: false }),
        _ => None,
    }));
    out
}

/// Readings that nothing checks, by name where they are few.
fn unchecked(readings: &[String]) -> String {
    let which = match readings {
        [one] => format!("{one} is"),
        few if few.len() <= 4 => format!("{} are", few.join(", ")),
        many => format!("{} of the readings are", many.len()),
    };
    format!("{which} checked by no other: a slip there would stay unseen; read twice")
}

/// What to read again: at most three, as the estimator names them.
fn again(chain: &Chain) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for finding in &chain.findings {
        let names: Vec<String> = match finding {
            Finding::TakeAgain { reading, also, .. } => {
                std::iter::once(named(&chain.collected, *reading)).chain(also.iter().cloned()).collect()
            }
            Finding::CannotLocate { among } => among.clone(),
            Finding::Contradiction { worst, .. } => worst.clone(),
            Finding::RepeatsDiffer { readings, .. } => vec![named(&chain.collected, readings[0])],
            Finding::WrongMagnitude { reading, .. } => vec![named(&chain.collected, *reading)],
            _ => Vec::new(),
        };
        for name in names.into_iter().map(|name| place_of(chain, name)) {
            if !name.is_empty() && !all.contains(&name) {
                all.push(name);
            }
        }
    }
    all.truncate(3);
    all
}

/// The place of a reading that the estimator names.
fn place_of(chain: &Chain, name: String) -> String {
    let found = chain.collected.taken.iter().position(|taken| taken.kind.to_string() == name);
    found.map_or(name, |at| named(&chain.collected, at))
}

/// What repeated readings say of the instruments.
fn repeatability(rounds: &Rounds, units: Units) -> Vec<String> {
    let line = |(kind, known): (&&str, &super::instruments::Repeated)| {
        let place = Place::all().into_iter().find(|place| place.kind() == *kind)?;
        let agree = if known.freedom == 1 { "agrees" } else { "agree" };
        Some(format!(
            "{kind}: {} {agree} to {}; that counts with the usual uncertainty",
            count(known.freedom, "repeated reading"),
            if units == Units::Inch {
                place.uncertainty(known.spread, units)
            } else {
                place.said(known.spread, 2, units)
            }
        ))
    };
    rounds.repeated.iter().filter_map(line).collect()
}
