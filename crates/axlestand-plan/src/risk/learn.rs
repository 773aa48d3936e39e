//! What this car taught so far: stuck, broken or come loose, by exposure; and the pace of its owner.

use super::assume::Assumptions;
use super::belief::Belief;
use super::draws::Draws;
use super::spread::Spread;
use axlestand_ledger::{Event, JobState, Verb};
use axlestand_model::car::{Car, Hold, Operation};
use axlestand_model::{Exposure, ItemId, Stage, WaitKind};
use std::collections::BTreeSet;

/// What was seen of one exposure class on this car; a set of equal fasteners counts as one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Seen {
    /// The class.
    pub exposure: Exposure,
    /// How many were stuck, the broken ones among them.
    pub stuck: usize,
    /// How many of these broke.
    pub broken: usize,
    /// How many came loose as they should.
    pub free: usize,
}

/// What happened to the holds of each exposure class so far, in the order of [`Exposure::ALL`]. One whose
/// chance the owner states teaches nothing about its class, nor does one that another way undid.
#[must_use]
pub fn seen(car: &Car, state: &JobState) -> Vec<Seen> {
    let (mut stuck, mut broken, mut free) = (BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
    for entry in state.counting_entries() {
        match &entry.event {
            Event::Stuck { item, .. } => _ = stuck.insert(item),
            // What broke after it had come loose was not stuck.
            Event::Broken { item, .. } if !free.contains(item) => {
                broken.insert(item);
                stuck.insert(item);
            }
            Event::Done { action, .. } if matches!(action.verb, Verb::Undo | Verb::Loosen) => {
                free.insert(&action.item);
            }
            _ => {}
        }
    }
    let of = |exposure: Exposure, set: &BTreeSet<&ItemId>| {
        let counts = |id: &&&ItemId| {
            car.hold(id).is_some_and(|h| h.exposure() == exposure && h.work().stuck_chance.is_none())
        };
        set.iter().filter(counts).count()
    };
    let free = &free - &stuck;
    let seen = |&exposure: &Exposure| Seen {
        exposure,
        stuck: of(exposure, &stuck),
        broken: of(exposure, &broken),
        free: of(exposure, &free),
    };
    Exposure::ALL.iter().map(seen).collect()
}

/// Operations of Prepare that soak threads: they start days before, and use penetrant or wait for a soak.
pub fn soaks(car: &Car) -> impl Iterator<Item = &Operation> {
    car.operations.iter().filter(|o| {
        let uses = o.work.uses.iter().any(|one| one.item.contains("penetrant"));
        let soaks = o.wait.as_ref().is_some_and(|wait| wait.kind == WaitKind::Soak);
        o.stage == Stage::Prepare && o.days_before.is_some() && (uses || soaks)
    })
}

/// What is believed of the exposure classes, in the order of [`Exposure::ALL`].
#[derive(Debug, Clone, PartialEq)]
pub struct Beliefs {
    /// The chance of being stuck.
    pub stuck: Vec<Belief>,
    /// The chance that what is stuck and forced breaks.
    pub breaks: Vec<Belief>,
}

impl Beliefs {
    /// The assumptions, moved by what was seen. A neighbouring class of exposure counts for
    /// the fraction `neighbour`; soaking, where it was done, lowers the assumed chance.
    #[must_use]
    pub fn of(assumptions: &Assumptions, rust: u8, soaked: bool, seen: &[Seen]) -> Self {
        let (weight, neighbour) = (assumptions.of("weight"), assumptions.of("neighbour"));
        let soak = if soaked { assumptions.of("soak") } else { 1.0 };
        let mut beliefs = Self { stuck: Vec::new(), breaks: Vec::new() };
        for (class, &exposure) in Exposure::ALL.iter().enumerate() {
            let mut stuck = Belief::assumed(assumptions.stuck(exposure, rust) * soak, weight);
            let mut breaks = Belief::assumed(assumptions.breaks(exposure), weight);
            for other in seen {
                let at = Exposure::ALL.iter().position(|e| *e == other.exposure).unwrap_or(class);
                let says = match at.abs_diff(class) {
                    0 => 1.0,
                    1 => neighbour,
                    _ => continue,
                };
                stuck = stuck.after(says * other.stuck as f64, says * other.free as f64);
                let held = other.stuck.saturating_sub(other.broken);
                breaks = breaks.after(says * other.broken as f64, says * held as f64);
            }
            beliefs.stuck.push(stuck);
            beliefs.breaks.push(breaks);
        }
        beliefs
    }

    /// The chance of a hold, as far as is known now.
    #[must_use]
    pub fn stuck_chance(&self, hold: Hold<'_>, state: &JobState) -> f64 {
        let class = Exposure::ALL.iter().position(|e| *e == hold.exposure()).unwrap_or(0);
        if state.hold(hold.id()).stuck {
            return 1.0;
        }
        hold.work().stuck_chance.unwrap_or_else(|| self.stuck.get(class).map_or(0.0, |b| b.mean()))
    }
}

/// Work recorded at one moment, since the entry before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Minutes that passed.
    pub took: f64,
    /// Minutes that its rows were expected to take.
    pub expected: f64,
    /// How many rows.
    pub rows: usize,
}

/// How fast this person works at this car against the plan: a lognormal factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pace {
    /// Mean of its logarithm.
    pub mean: f64,
    /// Standard deviation of its logarithm.
    pub sigma: f64,
    /// How many rows it was learnt from; 0: assumed.
    pub rows: usize,
}

/// Stretches and expected minutes from which on times of entries say something of the pace (source id
/// AX-31).
const ENOUGH: (usize, f64) = (6, 45.0);

/// How far the time of an entry lies from when the work ended, as a part of the stretch (source id AX-31).
const SLACK: f64 = 0.25;

impl Pace {
    /// The assumption: as planned on average.
    #[must_use]
    pub fn assumed(assumptions: &Assumptions) -> Self {
        let sigma = Spread::of_mean(1.0, assumptions.of("spread_pace")).sigma();
        Self { mean: -0.5 * sigma * sigma, sigma, rows: 0 }
    }

    /// The assumption moved by stretches of work (normal with normal: Bayes' rule). Entries made in a bunch
    /// afterwards say nothing of the work: unless two of three stretches took between a third and three
    /// times what was expected, or where there are too few, nothing is learnt.
    #[must_use]
    pub fn after(self, stretches: &[Stretch], assumptions: &Assumptions) -> Self {
        let honest = |s: &&Stretch| s.expected > 0.0 && (1.0 / 3.0..=3.0).contains(&(s.took / s.expected));
        let honest: Vec<&Stretch> = stretches.iter().filter(honest).collect();
        let rows: usize = honest.iter().map(|s| s.rows).sum();
        let expected: f64 = honest.iter().map(|s| s.expected).sum();
        if honest.len() < ENOUGH.0 || expected < ENOUGH.1 || 3 * honest.len() < 2 * stretches.len() {
            return self;
        }
        let took: f64 = honest.iter().map(|s| s.took).sum();
        let one = Spread::of_mean(1.0, assumptions.of("spread_apart")).sigma();
        let noise = (one * one + SLACK * SLACK) / honest.len() as f64;
        let (ours, theirs) = (1.0 / (self.sigma * self.sigma).max(1e-9), 1.0 / noise);
        let mean = (self.mean * ours + (took / expected).ln() * theirs) / (ours + theirs);
        Self { mean, sigma: (1.0 / (ours + theirs)).sqrt(), rows }
    }

    /// Mean of the factor.
    #[must_use]
    pub fn factor(self) -> f64 {
        (self.mean + 0.5 * self.sigma * self.sigma).exp()
    }

    pub(crate) fn draw(self, draws: &mut Draws) -> f64 {
        (self.mean + self.sigma * draws.normals().0).exp()
    }
}
