//! A mechanic sets the front toe of drawn cars: strings, plates, gauge and water level, one slip of the
//! tape in some sessions, tie rods whose effect is known to a tenth only and now and then turned the
//! wrong way. What is counted is what the estimate said against what the car was.
#![allow(dead_code, reason = "not every target uses all of it")]
#![allow(clippy::unwrap_used, reason = "a check fails by panicking")]

use crate::dice::Dice;
use crate::garage::{Garage, SIZE, noisy};
use axlestand_geometry::estimation::adjustment::{Adjuster, Demand, SteeredAngles, Task};
use axlestand_geometry::estimation::alignment::{
    AlignmentEstimate, Axle, Finding, Kind, Outcome, Quantity, Taken, Wheel, estimate,
};
use axlestand_geometry::estimation::conformity::{Limits, Rule, Zone};

/// Degrees of toe for a turn of a tie rod, as typical figures say.
const TOE_OF_A_TURN: f64 = 0.72;
/// Relative uncertainty of that.
const TURN_U: f64 = 0.12;
/// How often a rod works the other way round than it was taken to.
const WRONG_WAY: f64 = 0.05;
/// Total toe wanted, and how far off it may be, degrees.
pub(crate) const TARGET: f64 = 0.10;
pub(crate) const TOLERANCE: f64 = 0.17;
/// What counts as set, degrees of total toe from the target.
pub(crate) const SET: f64 = 0.05;
/// Rounds of turning and reading again.
pub(crate) const ROUNDS: usize = 3;

/// The quantities whose intervals are counted.
pub(crate) fn quantities() -> Vec<Quantity> {
    let mut out: Vec<Quantity> = Wheel::ALL.into_iter().map(Quantity::Toe).collect();
    out.extend([Axle::Front, Axle::Rear].map(Quantity::TotalToe));
    out.push(Quantity::Thrust);
    out.extend(Wheel::ALL.map(Quantity::Camber));
    out.push(Quantity::CamberDifference(Axle::Front));
    out.push(Quantity::Caster(axlestand_geometry::conventions::Side::Left));
    out
}

/// Who reads, and with what.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reader {
    /// Uncertainty that is said, over the usual one: 0.5 with a steel rule and a steady hand.
    pub(crate) says: f64,
    /// Real errors over what is said.
    pub(crate) worse: f64,
}

/// What came of many cars.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tally {
    /// Cars read without a slip, and how many of them were told nothing.
    pub(crate) honest: u32,
    pub(crate) untold: u32,
    /// Of these, sessions in which something was called wrong.
    pub(crate) false_alarms: u32,
    /// For each quantity: told, and true value within 1.96 u.
    pub(crate) intervals: Vec<(u32, u32)>,
    /// Cars read with one slip; slips that were noticed; slips whose reading was among those named.
    pub(crate) slips: u32,
    pub(crate) noticed: u32,
    pub(crate) named: u32,
    /// Slips not noticed that put total toe or thrust beyond 3 u.
    pub(crate) harmful: u32,
    /// Verdicts on total toe: within limits, wrongly so; outside, wrongly so; cannot be told.
    pub(crate) within: (u32, u32),
    pub(crate) outside: (u32, u32),
    pub(crate) open: u32,
    /// Cars whose true total toe lay within [`SET`] of the target after each round, and all set.
    pub(crate) set: [u32; ROUNDS],
    pub(crate) adjusted: u32,
    /// Cars given up since four sessions told nothing.
    pub(crate) given_up: u32,
    /// Cars called within limits after the last round, and wrongly so.
    pub(crate) passed: (u32, u32),
    /// After the last round, all sessions taken together: told, and true total toe within 1.96 u.
    pub(crate) covered: (u32, u32),
}

impl Tally {
    /// Shares of true values within their 95 % interval, by quantity.
    pub(crate) fn coverage(&self) -> Vec<f64> {
        self.intervals.iter().map(|(told, hit)| share(*hit, *told)).collect()
    }
}

pub(crate) fn share(part: u32, whole: u32) -> f64 {
    f64::from(part) / f64::from(whole.max(1))
}

/// Whether a finding says that something was read or entered wrongly.
fn alarms(finding: &Finding) -> bool {
    use Finding as F;
    !matches!(finding, F::Unchecked { .. } | F::Askew { .. } | F::NoHalfTurn { .. } | F::FloorUnknown { .. })
}

/// Whether a finding names this reading among those to take again.
fn names(finding: &Finding, name: &str) -> bool {
    use Finding as F;
    match finding {
        F::TakeAgain { name: first, also, .. } => first == name || also.iter().any(|n| n == name),
        F::CannotLocate { among } => among.iter().any(|n| n == name),
        F::Contradiction { worst, .. } => worst.iter().any(|n| n == name),
        F::WrongMagnitude { name: one, .. } | F::RepeatsDiffer { name: one, .. } => one == name,
        F::EdgesApart { wheel, .. } => name.contains(&wheel.to_string()),
        _ => false,
    }
}

/// Everything read once.
fn session(car: &Garage, reader: Reader, dice: &mut Dice) -> Vec<Taken> {
    let mut readings = car.everything();
    for taken in &mut readings {
        taken.sigma *= reader.says * reader.worse;
    }
    let mut out = noisy(&readings, dice);
    for taken in &mut out {
        taken.sigma /= reader.worse;
    }
    out
}

/// One value off by 5 to 20 mm, or 0.7° to 2.5°; gives the name of the reading.
fn slip(readings: &mut [Taken], dice: &mut Dice) -> String {
    let at = ((dice.share() * readings.len() as f64) as usize).min(readings.len() - 1);
    let sign = if dice.share() < 0.5 { -1.0 } else { 1.0 };
    let (mm, degrees) = (sign * (5.0 + 15.0 * dice.share()), sign * (0.7 + 1.8 * dice.share()));
    match &mut readings[at].kind {
        Kind::RimGap { gap, .. } | Kind::HubGap { gap, .. } => *gap += mm,
        Kind::StringSpacing { spacing, .. } => *spacing += mm,
        Kind::ToePlates { rear, .. } | Kind::Trammel { rear, .. } => *rear += mm,
        Kind::StraightEdge { front, .. } => *front += mm,
        Kind::RunOut { out, .. } => *out += mm,
        Kind::Camber { degrees: shown, .. } => *shown += degrees,
        Kind::FloorStep { rise, .. } => *rise += mm,
        Kind::CasterSweep { left, .. } => left.camber += degrees,
        Kind::Wheelbase { distance, .. } | Kind::Diagonal { distance, .. } => *distance += mm,
    }
    readings[at].kind.to_string()
}

/// A car between strings that clear all its wheels: a mechanic moves one that touches.
fn drawn(dice: &mut Dice) -> Garage {
    loop {
        let car = Garage::drawn(dice);
        let clear = |kind: &Kind| matches!(kind, Kind::HubGap { gap, .. } if *gap > 30.0);
        if car.hubs().iter().all(clear) {
            return car;
        }
    }
}

/// Draws `cars` cars and counts.
pub(crate) fn many(cars: u32, reader: Reader, seed: u64) -> Tally {
    let mut dice = Dice::new(seed);
    let mut tally = Tally { intervals: vec![(0, 0); quantities().len()], ..Tally::default() };
    for _ in 0..cars {
        let mut car = drawn(&mut dice);
        car.toe[0] += dice.normal(0.0, 0.25);
        car.toe[1] += dice.normal(0.0, 0.25);
        honest(&car, reader, &mut dice, &mut tally);
        slipped(&car, reader, &mut dice, &mut tally);
        adjusted(car, reader, &mut dice, &mut tally);
    }
    tally
}

fn honest(car: &Garage, reader: Reader, dice: &mut Dice, tally: &mut Tally) {
    tally.honest += 1;
    let outcome = estimate(&SIZE, &session(car, reader, dice), None).unwrap();
    tally.false_alarms += u32::from(outcome.findings.iter().any(alarms));
    let Some(told) = outcome.estimate else {
        tally.untold += 1;
        return;
    };
    for (quantity, (count, hits)) in quantities().into_iter().zip(&mut tally.intervals) {
        let Some(answer) = told.get(quantity) else { continue };
        *count += 1;
        *hits += u32::from((answer.value - car.truth(quantity)).abs() <= 1.96 * answer.u);
    }
    let (zone, truth) = verdict(&told, car);
    match zone {
        Zone::In => tally.within = (tally.within.0 + 1, tally.within.1 + u32::from(!truth)),
        Zone::Out => tally.outside = (tally.outside.0 + 1, tally.outside.1 + u32::from(truth)),
        Zone::CannotTell => tally.open += 1,
    }
}

/// What is said of total toe, and whether it really is within its limits.
fn verdict(told: &AlignmentEstimate, car: &Garage) -> (Zone, bool) {
    let toe = Quantity::TotalToe(Axle::Front);
    let answer = told.get(toe).unwrap();
    let limits = Limits::new(TARGET - TOLERANCE, TARGET + TOLERANCE).unwrap();
    let zone = limits.judge(answer.value, answer.u, Rule::default()).unwrap().zone;
    (zone, (car.truth(toe) - TARGET).abs() <= TOLERANCE)
}

fn slipped(car: &Garage, reader: Reader, dice: &mut Dice, tally: &mut Tally) {
    let mut readings = session(car, reader, dice);
    let name = slip(&mut readings, dice);
    let Outcome { findings, estimate: told, .. } = estimate(&SIZE, &readings, None).unwrap();
    tally.slips += 1;
    let noticed = findings.iter().any(alarms);
    tally.noticed += u32::from(noticed);
    tally.named += u32::from(findings.iter().any(|f| names(f, &name)));
    let wanted = [Quantity::TotalToe(Axle::Front), Quantity::Thrust];
    let far = |q: &Quantity| {
        let answer = told.as_ref().and_then(|told| told.get(*q));
        answer.is_some_and(|a| (a.value - car.truth(*q)).abs() > 3.0 * a.u)
    };
    tally.harmful += u32::from(!noticed && wanted.iter().any(far));
}

const TOES: SteeredAngles = SteeredAngles { front_left: 0, front_right: 1, rear_left: 2, rear_right: 3 };

/// The four toes with their covariance.
fn toes(told: &AlignmentEstimate) -> (Vec<f64>, Vec<Vec<f64>>) {
    let wheels: Vec<Quantity> = Wheel::ALL.into_iter().map(Quantity::Toe).collect();
    let answers = told.together(&wheels).unwrap();
    let values = answers.list().iter().map(|a| a.value).collect();
    let row = |i| (0..4).map(|j| answers.covariance(i, j)).collect();
    (values, (0..4).map(row).collect())
}

/// A session that is told: a mechanic who is told nothing reads everything again, at most four times.
fn told_session(car: &Garage, reader: Reader, dice: &mut Dice) -> Option<AlignmentEstimate> {
    (0..4).find_map(|_| estimate(&SIZE, &session(car, reader, dice), None).unwrap().estimate)
}

fn adjusted(mut car: Garage, reader: Reader, dice: &mut Dice, tally: &mut Tally) {
    let toe = Quantity::TotalToe(Axle::Front);
    let real = [0, 1].map(|_| {
        let size = TOE_OF_A_TURN * dice.normal(1.0, TURN_U);
        if dice.share() < WRONG_WAY { -size } else { size }
    });
    let rod = |name: &str| Adjuster {
        name: name.into(),
        step: 1.0 / 6.0,
        range: (-4.0, 4.0),
        rate_u: TURN_U,
        sense: 1.0 - WRONG_WAY,
    };
    tally.adjusted += 1;
    let Some(first) = told_session(&car, reader, dice) else {
        tally.given_up += 1;
        return;
    };
    let (values, covariance) = toes(&first);
    let named: Vec<(String, f64)> = Wheel::ALL.iter().map(ToString::to_string).zip(values).collect();
    let demands = vec![
        Demand {
            name: "total toe".into(),
            combination: vec![(0, 1.0), (1, 1.0)],
            target: TARGET,
            tolerance: TOLERANCE,
        },
        Demand::steering_straight(TOES, 0.0, 0.15),
    ];
    let response = [vec![TOE_OF_A_TURN, 0.0], vec![0.0, TOE_OF_A_TURN], vec![0.0; 2], vec![0.0; 2]];
    let rods = vec![rod("tie rod, left"), rod("tie rod, right")];
    let mut task = Task::new(&named, &covariance, rods, &response, demands).unwrap();
    for set in &mut tally.set {
        let solution = task.solve();
        for (i, amount) in solution.amounts.iter().enumerate() {
            car.toe[i] += real[i] * amount;
        }
        *set += u32::from((car.truth(toe) - TARGET).abs() <= SET);
        let Some(again) = told_session(&car, reader, dice) else {
            tally.given_up += 1;
            return;
        };
        let (values, covariance) = toes(&again);
        task = task.learned(&solution.amounts, &values, &covariance).unwrap().task;
    }
    let none = vec![0.0; 2];
    let stands = &task.foretold(&none)[0];
    let hit = (car.truth(toe) - stands.value).abs() <= 1.96 * stands.u;
    tally.covered = (tally.covered.0 + 1, tally.covered.1 + u32::from(hit));
    let inside = (car.truth(toe) - TARGET).abs() <= TOLERANCE;
    if stands.probability >= Rule::default().accept {
        tally.passed = (tally.passed.0 + 1, tally.passed.1 + u32::from(!inside));
    }
}
