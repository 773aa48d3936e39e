//! How the wheels stand, through the rounds: what was read, what was turned, what was read again.

use super::adjustable::{ANGLES, Adjustable};
use super::place::Place;
use super::rounds::{Round, Rounds};
use super::sizes::Sizes;
use super::taken::{Collected, collected};
use crate::error::GarageError;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::Trouble;
use axlestand_geometry::estimation::adjustment::{Demand, Task};
use axlestand_geometry::estimation::alignment::{
    AlignmentEstimate, Axle, Finding, Quantity, SteeringWheel, Wheel, estimate,
};

/// An answer with a smaller chance than this means that something else happened than was recorded.
const ODD: f64 = 1e-3;

/// A sound rear axle steers by less, degrees (AX-23).
const MOST_THRUST: f64 = 0.5;

/// The toes, then the cambers.
pub(crate) fn angles() -> [Quantity; ANGLES] {
    let [a, b, c, d] = Wheel::ALL;
    [
        Quantity::Toe(a),
        Quantity::Toe(b),
        Quantity::Toe(c),
        Quantity::Toe(d),
        Quantity::Camber(a),
        Quantity::Camber(b),
        Quantity::Camber(c),
        Quantity::Camber(d),
    ]
}

/// How the wheels stand.
#[derive(Debug, Clone, Default)]
pub(crate) struct Chain {
    /// Angles with covariance and responses as they are known now; `None` where nothing can be told.
    pub(crate) task: Option<Task>,
    /// The estimate of the last round that was read.
    pub(crate) estimate: Option<AlignmentEstimate>,
    /// The readings of the round of the car as it stands.
    pub(crate) collected: Collected,
    /// What is wrong with them.
    pub(crate) findings: Vec<Finding>,
    /// Quantities of the angles that are known.
    pub(crate) known: Vec<Quantity>,
    /// What the car's answers taught.
    pub(crate) learned: Vec<String>,
    /// Whether something was turned and nothing read since.
    pub(crate) foretold: bool,
    /// How many rounds were read.
    pub(crate) read: usize,
}

/// Goes through the rounds.
///
/// # Errors
/// [`GarageError::Input`] where a fit is not found.
pub(crate) fn chain(
    sizes: &Sizes,
    rounds: &Rounds,
    adjustables: &[Adjustable],
    steering: impl Fn(&Round) -> SteeringWheel,
) -> Result<Chain, GarageError> {
    let mut chain = Chain::default();
    let mut amounts = vec![0.0; adjustables.len()];
    for round in &rounds.list {
        let now = collected(&sizes.car, round);
        let fresh = round.readings.iter().any(|one| !one.place.stays());
        if fresh && !now.taken.is_empty() {
            let outcome =
                estimate(&sizes.car, &now.taken, Some(steering(round))).map_err(|why| trouble(&why))?;
            chain.findings = outcome.findings;
            match outcome.estimate {
                Some(estimate) => {
                    let road = road(round, steering(round));
                    chain.take(estimate, road, adjustables, &mut amounts).map_err(|why| trouble(&why))?;
                }
                None => chain.forget(),
            }
            chain.read += 1;
        }
        chain.collected = now;
        for (name, amount) in &round.turned {
            if let Some(at) = adjustables.iter().position(|one| one.key == *name) {
                amounts[at] += amount;
            }
        }
    }
    chain.foretell(adjustables, &amounts).map_err(|why| trouble(&why))?;
    Ok(chain)
}

fn trouble(why: &Trouble) -> GarageError {
    GarageError::Input(why.to_string())
}

/// By how much the front wheels have to be steered to head along the thrust line, as the road showed it,
/// and its standard uncertainty; a tenth of it for the steering ratio (AX-23).
fn road(round: &Round, steering: SteeringWheel) -> Option<(f64, f64)> {
    let read = round.readings.iter().rev().find(|one| one.place == Place::SteeringRoad)?;
    let value = (read.value - steering.held) / steering.ratio;
    let u = read.u.hypot(steering.u) / steering.ratio;
    Some((value, u.hypot(0.1 * value)))
}

/// Takes a further reading of a combination of the angles into values and covariance (Bayes' rule,
/// `kalman-1960`). One that is off by more than 3.29 standard uncertainties is not taken; gives by how
/// many.
fn observed(
    values: &mut [f64],
    covariance: &mut [Vec<f64>],
    quantity: Quantity,
    (read, u): (f64, f64),
) -> Result<(), f64> {
    let Some(combination) = combination(quantity) else { return Ok(()) };
    let along: Vec<f64> =
        covariance.iter().map(|row| combination.iter().map(|(k, c)| c * row[*k]).sum()).collect();
    let expected: f64 = combination.iter().map(|(i, c)| c * values[*i]).sum();
    let variance = combination.iter().map(|(i, c)| c * along[*i]).sum::<f64>() + u * u;
    let surprise = read - expected;
    if surprise.abs() > 3.29 * variance.sqrt() {
        return Err(surprise.abs() / variance.sqrt());
    }
    for (i, value) in values.iter_mut().enumerate() {
        *value += along[i] / variance * surprise;
        for (k, entry) in covariance[i].iter_mut().enumerate() {
            *entry -= along[i] * along[k] / variance;
        }
    }
    Ok(())
}

/// A demand that asks nothing: a task needs one.
fn nothing_asked() -> Demand {
    Demand { name: String::new(), combination: vec![(0, 1.0)], target: 0.0, tolerance: 1e6 }
}

/// A task of these angles with the adjusters' responses.
fn task(
    values: &[f64],
    covariance: &[Vec<f64>],
    adjustables: &[Adjustable],
    responses: &[Vec<f64>],
) -> Result<Task, Trouble> {
    let named: Vec<(String, f64)> =
        angles().iter().map(ToString::to_string).zip(values.iter().copied()).collect();
    let turnables = adjustables.iter().map(|one| one.turnable.clone()).collect();
    Task::new(&named, covariance, turnables, responses, vec![nothing_asked()])
}

/// The task with no angle surer than what stays through the rounds lets it be: floor, gauge and rims are
/// the same ones each time, and their errors are not averaged away by reading again. Correlations stay.
fn not_bettered(learned: &Task, estimate: &AlignmentEstimate) -> Result<Task, Trouble> {
    let least: Vec<f64> = [false, true]
        .iter()
        .flat_map(|camber| Wheel::ALL.map(|wheel| estimate.lasting(wheel, *camber)))
        .collect();
    let up: Vec<f64> =
        least.iter().enumerate().map(|(i, u)| (u / learned.covariance(i, i).sqrt()).max(1.0)).collect();
    let covariance: Vec<Vec<f64>> = (0..ANGLES)
        .map(|i| (0..ANGLES).map(|k| up[i] * up[k] * learned.covariance(i, k)).collect())
        .collect();
    let turnables = learned.adjusters().to_vec();
    let responses: Vec<Vec<f64>> =
        (0..ANGLES).map(|i| (0..turnables.len()).map(|j| learned.response(i, j)).collect()).collect();
    let named: Vec<(String, f64)> = learned.names().iter().cloned().zip(learned.values()).collect();
    Task::new(&named, &covariance, turnables, &responses, vec![nothing_asked()])
}

fn responses(adjustables: &[Adjustable]) -> Vec<Vec<f64>> {
    (0..ANGLES).map(|i| adjustables.iter().map(|one| one.response[i]).collect()).collect()
}

impl Chain {
    /// Nothing is known any more: what was read contradicts itself.
    fn forget(&mut self) {
        (self.task, self.estimate, self.known) = (None, None, Vec::new());
    }

    /// Takes a round that was read.
    fn take(
        &mut self,
        estimate: AlignmentEstimate,
        road: Option<(f64, f64)>,
        adjustables: &[Adjustable],
        amounts: &mut [f64],
    ) -> Result<(), Trouble> {
        let answers = estimate.assumed(&angles())?;
        let mut values: Vec<f64> = answers.list().iter().map(|answer| answer.value).collect();
        let mut covariance: Vec<Vec<f64>> =
            (0..ANGLES).map(|i| (0..ANGLES).map(|k| answers.covariance(i, k)).collect()).collect();
        let known = estimate.told.iter().map(|told| told.quantity).filter(|q| combination(*q).is_some());
        let mut known: Vec<Quantity> = known.collect();
        if let Some(road) = road {
            match observed(&mut values, &mut covariance, Quantity::SteeringWheel, road) {
                Ok(()) if !known.contains(&Quantity::SteeringWheel) => known.push(Quantity::SteeringWheel),
                Ok(()) => {}
                Err(by) => self.learned.push(format!(
                    "where the steering wheel stood on the road differs from what the wheels say by {by:.1} standard uncertainties: it was not held where the record says, or a reading is wrong; the reading from the road does not count"
                )),
            }
        }
        let fresh = || task(&values, &covariance, adjustables, &responses(adjustables));
        let learned = match &self.task {
            Some(before) => Some(before.learned(amounts, &values, &covariance)?),
            None => None,
        };
        match learned {
            Some(learned) if learned.chance >= ODD => {
                self.lessons(adjustables, amounts, &learned.task, &learned.reversed);
                let fresh = known.into_iter().filter(|q| !self.known.contains(q)).collect::<Vec<_>>();
                self.known.extend(fresh);
                self.task = Some(not_bettered(&learned.task, &estimate)?);
            }
            Some(learned) => {
                self.learned.push(format!(
                    "what was read after turning does not follow from what was turned ({}): turned the other way than written down, a jam nut that slipped, another adjuster. Only the new readings count from here",
                    chance_in_words(learned.chance)
                ));
                (self.task, self.known) = (Some(fresh()?), known);
            }
            None => (self.task, self.known) = (Some(fresh()?), known),
        }
        amounts.fill(0.0);
        self.estimate = Some(estimate);
        Ok(())
    }

    /// Says what the car's answer taught of what was turned.
    fn lessons(&mut self, adjustables: &[Adjustable], amounts: &[f64], after: &Task, reversed: &[usize]) {
        let Some(before) = &self.task else { return };
        for (j, one) in adjustables.iter().enumerate().filter(|(j, _)| amounts[*j].abs() > 0.0) {
            let Some(i) = main_angle(one) else { continue };
            let (old, new) = (before.response(i, j), after.response(i, j));
            let u = new.abs() * after.adjusters()[j].rate_u;
            let (unit, angle) = if one.is_rod() { ("a turn", "toe") } else { ("a unit", "camber") };
            if reversed.contains(&j) {
                self.learned.push(format!(
                    "{} works the opposite way from what was assumed: {unit} is {new:+.2}° of {angle} from here on (or longer and shorter were mixed up when it was recorded: then take that entry back and record it again)",
                    one.name
                ));
            } else if (new - old).abs() > 0.02 * old.abs() {
                self.learned.push(format!(
                    "{}: {unit} brought {new:+.2} ± {u:.2}° of {angle}, not {old:+.2}°; reckoned with from here on",
                    one.name
                ));
            }
        }
    }

    /// Moves the angles by what was turned since they were read.
    fn foretell(&mut self, adjustables: &[Adjustable], amounts: &[f64]) -> Result<(), Trouble> {
        if amounts.iter().all(|amount| amount.abs() <= 0.0) {
            return Ok(());
        }
        self.foretold = true;
        let Some(known) = &self.task else { return Ok(()) };
        let responses: Vec<Vec<f64>> =
            (0..ANGLES).map(|i| (0..adjustables.len()).map(|j| known.response(i, j)).collect()).collect();
        let moved = |i: usize, j: usize| {
            let mean = 2.0 * known.adjusters()[j].sense - 1.0;
            responses[i][j] * mean * amounts[j]
        };
        let all = 0..adjustables.len();
        let values: Vec<f64> = known
            .values()
            .iter()
            .enumerate()
            .map(|(i, value)| value + all.clone().map(|j| moved(i, j)).sum::<f64>())
            .collect();
        let spread = |i: usize, k: usize| {
            let part = |j: usize| {
                let one = &known.adjusters()[j];
                let mean = 2.0 * one.sense - 1.0;
                let variance = (1.0 + one.rate_u * one.rate_u - mean * mean).max(0.0);
                responses[i][j] * responses[k][j] * amounts[j] * amounts[j] * variance
            };
            known.covariance(i, k) + all.clone().map(part).sum::<f64>()
        };
        let covariance: Vec<Vec<f64>> =
            (0..ANGLES).map(|i| (0..ANGLES).map(|k| spread(i, k)).collect()).collect();
        let mut turned = adjustables.to_vec();
        for (j, one) in turned.iter_mut().enumerate() {
            one.turnable = known.adjusters()[j].clone();
            let (from, to) = one.turnable.range;
            one.turnable.range = ((from - amounts[j]).min(0.0), (to - amounts[j]).max(0.0));
        }
        self.task = Some(task(&values, &covariance, &turned, &responses)?);
        Ok(())
    }

    /// Value and standard uncertainty of a quantity of the angles, as it is known now.
    pub(crate) fn told(&self, quantity: Quantity) -> Option<(f64, f64)> {
        self.known.contains(&quantity).then_some(())?;
        self.value(&combination(quantity)?)
    }

    /// By how much the front wheels have to be steered to head along the thrust line, where that is known
    /// and the thrust one that a sound car can have.
    pub(crate) fn heading(&self) -> Option<(f64, f64)> {
        self.told(Quantity::SteeringWheel).filter(|_| self.odd_thrust().is_none())
    }

    /// A rear axle that steers more than any sound one.
    pub(crate) fn odd_thrust(&self) -> Option<String> {
        let (value, u) = self.told(Quantity::Thrust)?;
        (value.abs() > MOST_THRUST + 2.0 * u).then(|| {
            format!(
                "the rear axle would steer by {value:+.1}°: a reading at a rear wheel is wrong, or the axle is bent or out of place; the tie rods are reckoned without it, both alike"
            )
        })
    }

    /// Value and uncertainty of a combination of the angles.
    pub(crate) fn value(&self, combination: &[(usize, f64)]) -> Option<(f64, f64)> {
        let task = self.task.as_ref()?;
        let values = task.values();
        let value = combination.iter().map(|(i, c)| c * values[*i]).sum();
        let pairs = combination.iter().flat_map(|a| combination.iter().map(move |b| (a, b)));
        let variance: f64 = pairs.map(|((i, a), (k, b))| a * b * task.covariance(*i, *k)).sum();
        Some((value, variance.max(0.0).sqrt()))
    }
}

/// The angle an adjuster is there for: toe for a tie rod, else the camber it moves most.
pub(crate) fn main_angle(one: &Adjustable) -> Option<usize> {
    let among = if one.is_rod() { 0..4 } else { 4..8 };
    among.max_by(|a, b| one.response[*a].abs().total_cmp(&one.response[*b].abs()))
}

/// A quantity as a combination of the angles; `None` for one that is none.
pub(crate) fn combination(quantity: Quantity) -> Option<Vec<(usize, f64)>> {
    let toe = |axle: Axle, side: Side| super::adjustable::toe_place(axle == Axle::Front, side);
    let (l, r) = (Side::Left, Side::Right);
    Some(match quantity {
        Quantity::Toe(wheel) => vec![(toe(wheel.axle, wheel.side), 1.0)],
        Quantity::Camber(wheel) => vec![(4 + toe(wheel.axle, wheel.side), 1.0)],
        Quantity::TotalToe(axle) => vec![(toe(axle, l), 1.0), (toe(axle, r), 1.0)],
        Quantity::ToeSplit(axle) => vec![(toe(axle, l), 0.5), (toe(axle, r), -0.5)],
        Quantity::CamberDifference(axle) => vec![(4 + toe(axle, l), 1.0), (4 + toe(axle, r), -1.0)],
        Quantity::Thrust => vec![(toe(Axle::Rear, r), 0.5), (toe(Axle::Rear, l), -0.5)],
        // What the front wheels still have to be steered by to head along the thrust line.
        Quantity::SteeringWheel => vec![
            (toe(Axle::Rear, r), 0.5),
            (toe(Axle::Rear, l), -0.5),
            (toe(Axle::Front, r), -0.5),
            (toe(Axle::Front, l), 0.5),
        ],
        Quantity::Caster(_) | Quantity::CasterDifference | Quantity::SetBack(_) => return None,
    })
}

/// A small chance as people say it.
fn chance_in_words(chance: f64) -> String {
    let of = 1.0 / chance.max(1e-6);
    let power = 10f64.powf(of.log10().floor());
    if chance < 1e-6 {
        "less than one chance in a million".to_owned()
    } else {
        format!("about one chance in {:.0}", (of / power).round() * power)
    }
}

#[cfg(test)]
mod tests {
    use super::chance_in_words;

    #[test]
    fn a_small_chance_is_said_with_one_digit() {
        assert_eq!(chance_in_words(0.0032), "about one chance in 300");
        assert_eq!(chance_in_words(0.000_96), "about one chance in 1000");
        assert_eq!(chance_in_words(0.0), "less than one chance in a million");
    }
}
