//! One session of readings: what is wrong with them, what they tell, what to read next.

use super::answers::{NotKnown, Quantity, SteeringWheel, Told};
use super::assemble;
use super::car::{CarSize, Wheel};
use super::findings::Finding;
use super::hypotheses::Mixup;
use super::plausible;
use super::reading::Taken;
use super::unknowns;
use crate::conventions::Side;
use crate::estimation::{
    Answers, Candidate, Estimate, Examination, Expected, Function, Model, Planned, Trouble, Verdict, Wanted,
    Worth, chi_squared,
};

/// Leaning on the prior of the car's own angles by more than this share means not to know
/// (`judgement`).
const HALF: f64 = 0.5;

/// A fit less likely than this contradicts itself so much that nothing is told (`judgement`).
const HOPELESS: f64 = 1e-9;

/// Strings are usually set up straighter than this to the car, degrees (`judgement`).
const MOST_ASKEW: f64 = 0.4;

/// Readings with less redundancy are checked by nothing.
const UNCHECKED: f64 = 0.02;

/// What a session came to.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// Everything worth saying about the readings.
    pub findings: Vec<Finding>,
    /// The estimate; absent where a finding blocks it.
    pub estimate: Option<AlignmentEstimate>,
}

/// How the wheels stand.
#[derive(Debug, Clone)]
pub struct AlignmentEstimate {
    /// What is known, each with its uncertainty.
    pub told: Vec<Told>,
    /// What the readings do not tell.
    pub not_known: Vec<NotKnown>,
    /// Each reading against the others; the last two are the assumed middles of the axles.
    pub examination: Examination,
    estimate: Estimate,
    size: CarSize,
    steering: Option<SteeringWheel>,
}

/// Readings that could be taken in one go; their values do not matter.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// How it is called.
    pub name: String,
    /// How long it takes, minutes.
    pub minutes: f64,
    /// What would be read.
    pub readings: Vec<Taken>,
}

/// How the wheels stand, from everything that was read in one session.
///
/// # Errors
/// [`Trouble`] for numbers that are none, sizes or uncertainties not above nought, or where no fit
/// is found. What is wrong with the readings themselves are [findings](Finding).
pub fn estimate(
    size: &CarSize,
    readings: &[Taken],
    steering: Option<SteeringWheel>,
) -> Result<Outcome, Trouble> {
    check(size, readings, steering)?;
    let mut findings = plausible::findings(size, readings);
    if findings.iter().any(Finding::blocks) {
        return Ok(Outcome { findings, estimate: None });
    }
    let fitted = assemble::problem(size, readings)?.solve()?;
    let examination = fitted.examine();
    findings.extend(judge(size, readings, &fitted, &examination)?);
    findings.extend(askew(readings, &fitted));
    let unchecked = examination.readings.iter().take(readings.len()).filter(|r| r.redundancy < UNCHECKED);
    let unchecked: Vec<String> = unchecked.map(|r| r.name.clone()).collect();
    if !unchecked.is_empty() {
        findings.push(Finding::Unchecked { readings: unchecked });
    }
    if findings.iter().any(Finding::blocks) {
        return Ok(Outcome { findings, estimate: None });
    }
    let estimate = AlignmentEstimate::of(size, fitted, examination, steering)?;
    Ok(Outcome { findings, estimate: Some(estimate) })
}

fn check(size: &CarSize, readings: &[Taken], steering: Option<SteeringWheel>) -> Result<(), Trouble> {
    size.check()?;
    for taken in readings {
        let name = taken.kind.to_string();
        taken.kind.numbers().iter().try_for_each(|x| Trouble::finite(&name, *x))?;
        Trouble::positive(&format!("the uncertainty of {name}"), taken.sigma)?;
    }
    if let Some(steering) = steering {
        Trouble::finite("the steering wheel's place", steering.held)?;
        Trouble::positive("the steering wheel's uncertainty", steering.u)?;
        Trouble::positive("the steering ratio", steering.ratio)?;
    }
    Ok(())
}

/// Whether the car stands askew between strings that were read at both axles.
fn askew(readings: &[Taken], fitted: &Estimate) -> Option<Finding> {
    let both = Wheel::ALL.iter().all(|w| plausible::mean_gap(readings, *w).is_some());
    let yaw = |side| fitted.values()[unknowns::yaw(side)];
    let degrees = f64::midpoint(yaw(Side::Left), yaw(Side::Right));
    (both && degrees.abs() > MOST_ASKEW).then_some(Finding::Askew { degrees })
}

/// How likely a fit this bad is, counting what strains the priors too: as many degrees of freedom as
/// readings.
fn overall(fitted: &Estimate, readings: usize) -> f64 {
    1.0 - chi_squared(fitted.cost(), readings as f64)
}

/// What the fit says about the readings.
fn judge(
    size: &CarSize,
    readings: &[Taken],
    fitted: &Estimate,
    examination: &Examination,
) -> Result<Vec<Finding>, Trouble> {
    let chance = overall(fitted, readings.len() + 2).min(examination.chance);
    let fits = matches!(examination.verdict, Verdict::Fits | Verdict::Unchecked);
    if fits && chance > 1e-3 {
        return Ok(Vec::new());
    }
    if let Some(found) = mixed_up(size, readings, fitted)? {
        return Ok(vec![found]);
    }
    let name = |i: &usize| examination.readings[*i].name.clone();
    let mut out = vec![match &examination.verdict {
        Verdict::Suspect { reading, also } => Finding::TakeAgain {
            reading: *reading,
            name: name(reading),
            standardised: examination.readings[*reading].standardised,
            also: also.iter().map(name).collect(),
        },
        Verdict::CannotLocate { among } => Finding::CannotLocate { among: among.iter().map(name).collect() },
        _ => Finding::FitTooWide { chance },
    }];
    if chance < HOPELESS {
        let worst = examination.by_size().iter().take(3).map(name).collect();
        out.push(Finding::Contradiction { chance, worst });
    }
    Ok(out)
}

/// The mix-ups that make everything fit and lower the misfit by odds of a thousand to one and more.
fn mixed_up(size: &CarSize, readings: &[Taken], fitted: &Estimate) -> Result<Option<Finding>, Trouble> {
    let mut found: Vec<(Mixup, f64)> = Vec::new();
    for what in Mixup::all() {
        let Some(undone) = what.undone(readings) else { continue };
        let Ok(refit) = assemble::problem(size, &undone)?.solve() else { continue };
        let fits = refit.examine().verdict == Verdict::Fits && overall(&refit, readings.len() + 2) > 1e-3;
        if fits && fitted.cost() - refit.cost() > 2.0 * 1000f64.ln() {
            found.push((what, refit.cost()));
        }
    }
    found.sort_by(|a, b| a.1.total_cmp(&b.1));
    let among = found.iter().map(|(what, _)| *what).collect();
    let finding =
        |best: &(Mixup, f64)| Finding::MixedUp { among, misfit: fitted.cost(), misfit_swapped: best.1 };
    Ok(found.first().map(finding))
}

impl AlignmentEstimate {
    fn of(
        size: &CarSize,
        estimate: Estimate,
        examination: Examination,
        steering: Option<SteeringWheel>,
    ) -> Result<Self, Trouble> {
        let lengthwise = estimate.values().len() > unknowns::COUNT;
        let (mut told, mut not_known) = (Vec::new(), Vec::new());
        for quantity in Quantity::all(lengthwise, steering) {
            let function = quantity.function(size, steering);
            let typical_share = estimate.prior_share(&function, unknowns::is_of_the_car)?;
            if typical_share > HALF {
                not_known.push(NotKnown { quantity, typical_share });
                continue;
            }
            let answers = estimate.answers(&[function])?;
            let answer = &answers.list()[0];
            let own = steering.filter(|_| quantity == Quantity::SteeringWheel).map_or(0.0, |s| s.u);
            let (value, u, prior_share) = (answer.value, answer.u.hypot(own), answer.prior_share);
            told.push(Told { quantity, value, u, prior_share });
        }
        Ok(Self { told, not_known, examination, estimate, size: *size, steering })
    }

    /// What is known of a quantity; `None` where the readings do not tell it.
    #[must_use]
    pub fn get(&self, quantity: Quantity) -> Option<&Told> {
        self.told.iter().find(|t| t.quantity == quantity)
    }

    /// The fit behind it, with its 31 unknowns.
    #[must_use]
    pub fn fit(&self) -> &Estimate {
        &self.estimate
    }

    /// Values of several quantities with their covariance, for what is to be adjusted.
    ///
    /// # Errors
    /// [`Trouble::Undetermined`] naming those that are not known.
    pub fn together(&self, quantities: &[Quantity]) -> Result<Answers, Trouble> {
        let open = quantities.iter().filter(|q| self.get(**q).is_none());
        let open: Vec<String> = open.map(ToString::to_string).collect();
        if !open.is_empty() {
            return Err(Trouble::Undetermined { unknowns: open });
        }
        self.estimate.answers(&self.functions(quantities))
    }

    /// Values of several quantities with their covariance, those that the readings do not tell with
    /// what is assumed of any car (wide): for a chain of sessions, each of which sees a part.
    ///
    /// # Errors
    /// [`Trouble::Undefined`] where a quantity has no value.
    pub fn assumed(&self, quantities: &[Quantity]) -> Result<Answers, Trouble> {
        self.estimate.answers(&self.functions(quantities))
    }

    /// What a further reading should show, whatever value it is given here.
    ///
    /// # Errors
    /// [`Trouble`] for a reading that needs unknowns which no reading has touched yet (the first
    /// wheelbase or diagonal), or an uncertainty not above nought.
    pub fn expect(&self, taken: &Taken) -> Result<Expected, Trouble> {
        self.estimate.expect(&*taken.kind.model(&self.size), taken.sigma)
    }

    /// The plans, best first, by the fall of variance of the wanted quantities for each minute.
    /// `wanted`: each quantity with the standard uncertainty one would like, degrees.
    ///
    /// # Errors
    /// [`Trouble`] for minutes or uncertainties not above nought, or a plan as in
    /// [`AlignmentEstimate::expect`].
    pub fn rank_next(&self, wanted: &[(Quantity, f64)], plans: &[Plan]) -> Result<Vec<Worth>, Trouble> {
        let quantities: Vec<Quantity> = wanted.iter().map(|(q, _)| *q).collect();
        let answers = self.estimate.answers(&self.functions(&quantities))?;
        let wanted: Vec<Wanted> = wanted.iter().map(|(_, u)| Wanted(*u)).collect();
        let models: Vec<Vec<Box<dyn Model>>> =
            plans.iter().map(|p| p.readings.iter().map(|t| t.kind.model(&self.size)).collect()).collect();
        let mut candidates = Vec::with_capacity(plans.len());
        for (plan, models) in plans.iter().zip(&models) {
            let planned =
                plan.readings.iter().zip(models).map(|(t, m)| Planned { model: &**m, sigma: t.sigma });
            let (name, minutes) = (plan.name.clone(), plan.minutes);
            candidates.push(Candidate { name, minutes, readings: planned.collect() });
        }
        self.estimate.rank_next(&answers, &wanted, &candidates)
    }

    /// Standard uncertainty that toe or camber of a wheel has from what stays as it is when the session is
    /// repeated on the spot, degrees: the floor's slope, the gauge's zero, the rim's run-out. It is the
    /// part of the variance that would go if each of them were known, cov²/var for jointly normal
    /// unknowns; reading again does not better it.
    #[must_use]
    pub fn lasting(&self, wheel: Wheel, camber: bool) -> f64 {
        let fit = &self.estimate;
        let angle = if camber { unknowns::camber(wheel) } else { unknowns::toe(wheel) };
        let [left, right] =
            [Side::Left, Side::Right].map(|side| unknowns::floor(Wheel::of(wheel.axle, side)));
        let slope = vec![(left, 1.0), (right, -1.0)];
        let alone = |place| vec![(place, 1.0)];
        let (zero, up) = (alone(unknowns::GAUGE_ZERO), alone(unknowns::run_out_up(wheel)));
        let staying = if camber { vec![slope, zero, up] } else { vec![alone(unknowns::run_out(wheel))] };
        let share = |of: &Vec<(usize, f64)>| {
            let with: f64 = of.iter().map(|(i, c)| c * fit.covariance(angle, *i)).sum();
            let pairs = of.iter().flat_map(|a| of.iter().map(move |b| (a, b)));
            let own: f64 = pairs.map(|((i, a), (k, b))| a * b * fit.covariance(*i, *k)).sum();
            if own > 0.0 { with * with / own } else { 0.0 }
        };
        staying.iter().map(share).sum::<f64>().min(fit.covariance(angle, angle)).max(0.0).sqrt()
    }

    fn functions(&self, quantities: &[Quantity]) -> Vec<Function<'static>> {
        quantities.iter().map(|q| q.function(&self.size, self.steering)).collect()
    }
}
