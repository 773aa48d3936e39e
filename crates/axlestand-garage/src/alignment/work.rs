//! What to turn, in the order of the trade: height, caster, camber, toe; the rear axle first.

use super::adjustable::{ANGLES, Adjustable, toe_place};
use super::aims::Aim;
use super::chain::{Chain, combination, main_angle};
use super::place::side_word;
use super::words::{amount_text, how};
use crate::geometry::points::layout;
use crate::lead::{Lead, LedText};
use crate::units::Units;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::Trouble;
use axlestand_geometry::estimation::adjustment::{Demand, Foretold, SteeredAngles, Task};
use axlestand_geometry::estimation::alignment::{Axle, Quantity, SteeringWheel};
use axlestand_geometry::estimation::conformity::{Limits, Rule, Zone};
use axlestand_model::car::Car;
use serde::Serialize;

/// One step of the work.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct StepView {
    /// `height`, `caster`, `camber` or `toe`.
    pub stage: &'static str,
    /// The adjuster, where there is one.
    pub adjuster: Option<String>,
    /// By how much: turns of a tie rod, longer positive, else in its own unit.
    pub amount: Option<f64>,
    /// What to do.
    pub text: String,
    /// The amount as it is recorded: `1 turn 2 flats longer`, `+0.40°`.
    pub turn: Option<String>,
    /// The command that records it.
    pub command: Option<String>,
    /// Where the text leads.
    pub lead: Option<Lead>,
}

/// What will come of the work.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ForetoldView {
    /// What.
    pub what: String,
    /// Now, degrees.
    pub before: f64,
    /// Afterwards, degrees.
    pub after: f64,
    /// Standard uncertainty then, degrees.
    pub u: f64,
    /// Probability that it is within its target then.
    pub probability: f64,
}

/// The work and its result.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Work {
    pub(crate) steps: Vec<StepView>,
    pub(crate) foretold: Vec<ForetoldView>,
    pub(crate) notes: Vec<LedText>,
    /// What would be turned but is read too badly for it.
    pub(crate) too_uncertain: Vec<Quantity>,
}

/// How far the front wheels may head off the thrust line with the steering wheel straight, degrees at
/// the road wheel: some 1.6° at the steering wheel (AX-23).
pub(crate) const STRAIGHT: f64 = 0.1;

/// Below so many standard uncertainties from its target a value that no reading this uncertain can
/// prove within limits is not turned by (AX-23).
const WORTH_TURNING: f64 = 2.0;

/// What is asked of the solver.
struct Asked<'a> {
    chain: &'a Chain,
    adjustables: &'a [Adjustable],
    aims: &'a [Aim],
    steering: SteeringWheel,
}

/// How far off straight the steering wheel would stand with the car running straight, degrees at the
/// steering wheel, + to the left; `None` where it is straight as far as was read, or nothing tells it.
pub(crate) fn astray(chain: &Chain, steering: SteeringWheel) -> Option<f64> {
    let (value, u) = chain.heading()?;
    let off = value + steering.held / steering.ratio;
    (off.abs() > STRAIGHT.max(WORTH_TURNING * u)).then_some(off * steering.ratio)
}

/// What to turn.
///
/// # Errors
/// [`Trouble`] for numbers that are none.
pub(crate) fn work(
    car: &Car,
    chain: &Chain,
    adjustables: &[Adjustable],
    aims: &[Aim],
    (steering, units): (SteeringWheel, Units),
) -> Result<Work, Trouble> {
    let mut work = Work::default();
    let asked = Asked { chain, adjustables, aims, steering };
    caster_steps(chain, aims, &mut work);
    let Some(known) = &chain.task else { return Ok(work) };
    let allowed = asked.allowed(&mut work);
    if !allowed.contains(&true) {
        return Ok(work);
    }
    let (demands, shown) = asked.demands();
    let solved = asked.task(known, &allowed, demands)?;
    let solution = solved.solve();
    for front in [false, true] {
        for rods in [false, true] {
            for (j, one) in adjustables.iter().enumerate() {
                if one.front == front && one.is_rod() == rods && solution.steps[j] != 0 {
                    let at_end = solution.at_end.contains(&j);
                    work.steps.push(step(car, one, (known, j), (solution.amounts[j], at_end), units));
                }
            }
        }
    }
    if work.steps.iter().any(|step| step.adjuster.is_some()) {
        // What nothing moves stands above already.
        let moved = |one: &Foretold| (one.value - one.before).abs() > 0.005;
        let views = solution.foretold.iter().zip(&shown).filter(|(one, shown)| **shown && moved(one));
        work.foretold = views.map(|(one, _)| foretold(one, steering)).collect();
    }
    unreached(aims, chain, adjustables, &allowed, &mut work);
    if work.steps.iter().all(|step| step.adjuster.is_none()) {
        exhausted(aims, chain, adjustables, &mut work);
    }
    Ok(work)
}

/// That of the steering wheel as it is told above: at the steering wheel.
fn foretold(one: &Foretold, steering: SteeringWheel) -> ForetoldView {
    if one.name == Demand::STEERING_STRAIGHT {
        let at_the_wheel = |off: f64| steering.held + steering.ratio * off;
        return ForetoldView {
            what: Quantity::SteeringWheel.to_string(),
            before: at_the_wheel(one.before),
            after: at_the_wheel(one.value),
            u: (steering.ratio * one.u).hypot(steering.u),
            probability: one.probability,
        };
    }
    ForetoldView {
        what: one.name.clone(),
        before: one.before,
        after: one.value,
        u: one.u,
        probability: one.probability,
    }
}

impl Asked<'_> {
    /// Which adjusters may be turned: those of camber where it is not within, the tie rods where toe or
    /// steering wheel are not, or camber takes toe along.
    fn allowed(&self, work: &mut Work) -> Vec<bool> {
        let mut allowed: Vec<bool> = self.adjustables.iter().map(|_| false).collect();
        let due: Vec<usize> = self
            .aims
            .iter()
            .filter(|aim| matches!(aim.quantity, Quantity::Camber(_)) && self.is_due(aim, work))
            .filter_map(|aim| Some(combination(aim.quantity)?[0].0))
            .collect();
        for (j, one) in self.adjustables.iter().enumerate().filter(|(_, one)| !one.is_rod()) {
            allowed[j] = due.iter().any(|angle| one.response[*angle].abs() > 1e-3);
        }
        let front_camber = self.adjustables.iter().zip(&allowed).any(|(one, allowed)| *allowed && one.front);
        let toe = self.aims.iter().find(|aim| aim.quantity == Quantity::TotalToe(Axle::Front));
        let toe_due = toe.is_some_and(|aim| self.is_due(aim, work));
        // Toe that is read too badly is not turned for the steering wheel's sake either.
        let unsure = work.too_uncertain.contains(&Quantity::TotalToe(Axle::Front));
        // Nor where it is not known at all: the rods would move it unseen.
        let known = self.chain.known(Quantity::TotalToe(Axle::Front)).is_some();
        let rods = known && !unsure && (front_camber || toe_due || self.is_askew());
        for (j, one) in self.adjustables.iter().enumerate().filter(|(_, one)| one.is_rod()) {
            allowed[j] = rods && (toe.is_some_and(|aim| aim.limits.is_some()) || one.front && front_camber);
        }
        allowed
    }

    /// Whether a target is not met, and its reading good enough to turn by.
    fn is_due(&self, aim: &Aim, work: &mut Work) -> bool {
        let told = self.chain.known(aim.quantity);
        let (Some((value, u)), Some(limits), true) = (told, aim.limits, aim.sound) else { return false };
        if matches!(aim.judged(told), Some((_, Zone::In)) | None) {
            return false;
        }
        let off = limits.middle().map_or(0.0, |middle| (value - middle).abs());
        let provable = limits.window(u, Rule::default()).is_some();
        if !provable && off < WORTH_TURNING * u {
            if !work.too_uncertain.contains(&aim.quantity) {
                work.too_uncertain.push(aim.quantity);
            }
            return false;
        }
        // Where it may well be within, it is only turned if it is off by more than a little of its limits.
        provable || off > 0.5 * (limits.upper() - limits.lower()) / 2.0
    }

    /// Whether the steering wheel would stand off straight.
    fn is_askew(&self) -> bool {
        astray(self.chain, self.steering).is_some()
    }

    /// By how much the steering wheel was held off, at the road wheel.
    fn off(&self) -> f64 {
        self.steering.held / self.steering.ratio
    }

    /// What is wanted, and which of it is shown.
    fn demands(&self) -> (Vec<Demand>, Vec<bool>) {
        let (mut demands, mut shown) = (Vec::new(), Vec::new());
        for aim in self.aims.iter().filter(|aim| aim.sound) {
            let (Some(limits), Some(combination)) = (aim.limits, combination(aim.quantity)) else { continue };
            let (Some(_), Some(target)) = (self.chain.known(aim.quantity), limits.middle()) else { continue };
            let touches = |one: &Adjustable| combination.iter().any(|(i, _)| one.response[*i].abs() > 1e-6);
            if self.adjustables.iter().any(touches) {
                let tolerance = (limits.upper() - limits.lower()) / 2.0;
                let name = aim.quantity.to_string();
                demands.push(Demand { name, combination, target, tolerance });
                shown.push(true);
            }
        }
        demands.push(self.straight());
        shown.push(self.chain.heading().is_some());
        (demands, shown)
    }

    /// The steering wheel straight where it is known how it stands; else both tie rods alike, so that it
    /// stays as it is.
    fn straight(&self) -> Demand {
        if self.chain.heading().is_some() {
            let at = |front, side| toe_place(front, side);
            let (l, r) = (super::place::SIDES[0], super::place::SIDES[1]);
            let toes = SteeredAngles {
                front_left: at(true, l),
                front_right: at(true, r),
                rear_left: at(false, l),
                rear_right: at(false, r),
            };
            return Demand::steering_straight(toes, self.off(), STRAIGHT);
        }
        let combination = vec![(0, 0.5), (1, -0.5)];
        let target = self.chain.value(&combination).map_or(0.0, |(value, _)| value);
        Demand { name: "both tie rods alike".to_owned(), combination, target, tolerance: STRAIGHT }
    }

    /// The task with only those adjusters free that may be turned.
    fn task(&self, known: &Task, allowed: &[bool], demands: Vec<Demand>) -> Result<Task, Trouble> {
        let named: Vec<(String, f64)> = known.names().iter().cloned().zip(known.values()).collect();
        let covariance: Vec<Vec<f64>> =
            (0..ANGLES).map(|i| (0..ANGLES).map(|k| known.covariance(i, k)).collect()).collect();
        let responses: Vec<Vec<f64>> =
            (0..ANGLES).map(|i| (0..allowed.len()).map(|j| known.response(i, j)).collect()).collect();
        let mut turnables = known.adjusters().to_vec();
        for (one, allowed) in turnables.iter_mut().zip(allowed) {
            if !allowed {
                one.range = (0.0, 0.0);
            }
        }
        Task::new(&named, &covariance, turnables, &responses, demands)
    }
}

fn step(
    car: &Car,
    one: &Adjustable,
    (known, j): (&Task, usize),
    (by, at_end): (f64, bool),
    units: Units,
) -> StepView {
    let axle = car.axles.iter().find(|axle| axle.name == if one.front { "front" } else { "rear" });
    let main = main_angle(one);
    let change = main.map_or(0.0, |i| known.response(i, j) * by);
    let angle = if one.is_rod() { "toe" } else { "camber" };
    let unread = one.side.filter(|_| at_end && one.is_rod() && by < 0.0 && !one.thread_read);
    let end = match (at_end, one.is_rod()) {
        (false, _) => "",
        (true, true) if unread.is_some() => {
            "; nothing further is proposed until the thread that shows has been read"
        }
        (true, true) if by < 0.0 => "; that is all the thread that shows gives",
        (true, true) => {
            "; nothing further is proposed in one go: see that at least as much thread stays inside the end as the rod is thick, or what the maker asks for"
        }
        (true, false) => "; that is all its range gives",
    };
    let text = format!(
        "{}: {} ({angle} {change:+.2}°){end}",
        one.name,
        how(one, axle.and_then(layout), by, change, units)
    );
    StepView {
        stage: angle,
        adjuster: Some(one.key.clone()),
        amount: Some(by),
        text,
        turn: Some(amount_text(one, by, units)),
        command: Some(format!("axlestand turned {} \"{}\"", one.key, amount_text(one, by, units))),
        lead: unread.map(thread_of),
    }
}

/// Reading how much thread shows at a rod.
fn thread_of(side: Side) -> Lead {
    Lead::Place { place: format!("thread.{}", side_word(side)), method: "conditions" }
}

fn caster_steps(chain: &Chain, aims: &[Aim], work: &mut Work) {
    for aim in aims {
        let Quantity::Caster(side) = aim.quantity else { continue };
        let told = chain.known(aim.quantity);
        if let (Some((_, Zone::Out)), Some((value, u))) = (aim.judged(told), told) {
            work.steps.push(StepView {
                stage: "caster",
                adjuster: None,
                amount: None,
                text: format!(
                    "caster {side} is {value:.1} ± {u:.1}°, its target {}: nothing in the file sets it; look for a bent arm, a worn bushing or a subframe out of place before camber and toe",
                    aim.text
                ),
                turn: None,
                command: None,
                lead: None,
            });
        }
    }
}

/// Targets that are not met, and what sets them is at its end.
fn exhausted(aims: &[Aim], chain: &Chain, adjustables: &[Adjustable], work: &mut Work) {
    for aim in aims.iter().filter(|aim| aim.sound && !matches!(aim.quantity, Quantity::Caster(_))) {
        let Some(combination) = combination(aim.quantity) else { continue };
        let touches =
            |one: &&Adjustable| combination.iter().any(|(i, _)| one.response[*i].abs() > 1e-2) && one.front;
        let rods: Vec<&Adjustable> = adjustables.iter().filter(touches).filter(|one| one.is_rod()).collect();
        let is_toe = aim.quantity == Quantity::TotalToe(Axle::Front) && !rods.is_empty();
        if !is_toe || !matches!(aim.judged(chain.known(aim.quantity)), Some((_, Zone::Out))) {
            continue;
        }
        let what = if rods.iter().all(|rod| rod.thread_read) {
            "the rods' thread gives no more: see whether both ends belong to this car, and whether something is bent"
        } else {
            "nothing further is proposed until the thread that shows at both rods has been read"
        };
        let text = format!("{} is outside {}, and {what}", aim.quantity, aim.text);
        let unread = rods.iter().find(|rod| !rod.thread_read).and_then(|rod| rod.side);
        work.notes.push(match unread {
            Some(side) => LedText::new(text, thread_of(side)),
            None => text.into(),
        });
    }
}

/// Targets that are not met and that nothing can be turned for.
fn unreached(aims: &[Aim], chain: &Chain, adjustables: &[Adjustable], allowed: &[bool], work: &mut Work) {
    for aim in aims.iter().filter(|aim| aim.sound && !matches!(aim.quantity, Quantity::Caster(_))) {
        let Some(combination) = combination(aim.quantity) else { continue };
        let touches = |one: &Adjustable| combination.iter().any(|(i, _)| one.response[*i].abs() > 1e-2);
        let set = adjustables.iter().zip(allowed).any(|(one, allowed)| *allowed && touches(one));
        if !set && matches!(aim.judged(chain.known(aim.quantity)), Some((_, Zone::Out))) {
            let text = format!(
                "{} is outside {}, and nothing in the file sets it: an alignment shop, or a part that is bent or worn",
                aim.quantity, aim.text
            );
            work.notes.push(text.into());
        }
    }
}

/// Limits about a middle.
pub(crate) fn about(middle: f64, half: f64) -> Option<Limits> {
    Limits::new(middle - half, middle + half).ok()
}
