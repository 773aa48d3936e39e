//! The readings of a job in rounds: between two turns of an adjuster the wheels stand still, and what
//! was read before a turn does not count for after.

use super::instruments::{MOST_REPEATS, Repeated, instrument};
use super::place::Place;
use crate::toolbox::GaugeEntry;
use axlestand_ledger::{Event, JobState, Verb};
use std::collections::BTreeMap;

/// One number as it counts.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Gauged {
    /// Where.
    pub(crate) place: Place,
    /// Value in the place's own unit.
    pub(crate) value: f64,
    /// Standard uncertainty, with what repeated readings taught.
    pub(crate) u: f64,
    /// The owner gave it.
    pub(crate) own_u: bool,
    /// Where along car or plate, mm.
    pub(crate) at: Option<f64>,
}

/// What was read between two turns, and what was turned then.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Round {
    /// Readings that count, in their order.
    pub(crate) readings: Vec<Gauged>,
    /// Turned at its end: adjuster and amount, each adjuster once.
    pub(crate) turned: Vec<(String, f64)>,
}

/// The rounds of a job since the wheels were last taken apart, moved or let down.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Rounds {
    /// In their order; the last one is that of the car as it stands. Never empty.
    pub(crate) list: Vec<Round>,
    /// Readings of earlier standings of the car, which count no more.
    pub(crate) set_aside: usize,
    /// What repeated readings say, by kind.
    pub(crate) repeated: BTreeMap<&'static str, Repeated>,
}

impl Rounds {
    /// The rounds of a job.
    pub(crate) fn of(state: &JobState, gauges: &[GaugeEntry]) -> Self {
        let mut rounds = Self { list: vec![Round::default()], ..Self::default() };
        for entry in state.counting_entries() {
            match &entry.event {
                Event::Gauged { place, value, u, own_u, at, sure, .. } => {
                    if let Some(place) = Place::named(place) {
                        let one = Gauged { place, value: *value, u: *u, own_u: *own_u, at: *at };
                        rounds.read(one, *sure);
                    }
                }
                Event::Turned { adjuster, amount, .. } => rounds.turned(adjuster, *amount),
                Event::Done { action, effects, .. } if moves(action.verb, effects.brings.is_some()) => {
                    rounds.stands_anew();
                }
                _ => {}
            }
        }
        rounds.repeated = rounds.learned();
        rounds.weigh(gauges);
        rounds
    }

    /// The round of the car as it stands.
    pub(crate) fn now(&self) -> &Round {
        // The list is never empty; an empty round stands for one that cannot be.
        const NONE: &Round = &Round { readings: Vec::new(), turned: Vec::new() };
        self.list.last().unwrap_or(NONE)
    }

    /// What the next number belongs to: once something was turned, only what stays through turning.
    pub(crate) fn at_hand(&self) -> Round {
        if self.now().turned.is_empty() {
            self.now().clone()
        } else {
            Round { readings: self.staying(), turned: Vec::new() }
        }
    }

    fn read(&mut self, one: Gauged, sure: bool) {
        // A turn ends a round; the first reading after it begins the next one.
        if self.list.last().is_some_and(|round| !round.turned.is_empty()) {
            self.list.push(self.at_hand());
        }
        if let Some(round) = self.list.last_mut() {
            if sure {
                round.readings.retain(|other| other.place != one.place || other.at != one.at);
            }
            round.readings.push(one);
        }
    }

    fn turned(&mut self, adjuster: &str, amount: f64) {
        let Some(round) = self.list.last_mut() else { return };
        match round.turned.iter_mut().find(|(name, _)| name == adjuster) {
            Some((_, sum)) => *sum += amount,
            None => round.turned.push((adjuster.to_owned(), amount)),
        }
    }

    /// What of the present round stays through turning and letting down: floor and rims.
    fn staying(&self) -> Vec<Gauged> {
        self.now().readings.iter().filter(|one| one.place.stays()).cloned().collect()
    }

    fn stands_anew(&mut self) {
        let kept = self.staying();
        let read: usize = self.list.iter().map(|round| round.readings.len()).sum();
        self.set_aside += read.saturating_sub(kept.len());
        self.list = vec![Round { readings: kept, turned: Vec::new() }];
    }

    /// What repeated readings say, by kind: readings of one place in one round.
    fn learned(&self) -> BTreeMap<&'static str, Repeated> {
        let mut groups: BTreeMap<&'static str, Vec<Vec<f64>>> = BTreeMap::new();
        for round in &self.list {
            let mut here: Vec<(Place, Option<f64>, Vec<f64>)> = Vec::new();
            for one in round.readings.iter().filter(|one| !one.own_u) {
                match here.iter_mut().find(|(place, at, _)| *place == one.place && *at == one.at) {
                    Some((_, _, values)) => values.push(one.value),
                    None => here.push((one.place, one.at, vec![one.value])),
                }
            }
            for (place, _, values) in here {
                groups.entry(place.kind()).or_default().push(values);
            }
        }
        groups.into_iter().filter_map(|(kind, groups)| Some((kind, Repeated::of(&groups)?))).collect()
    }

    /// Gives every reading whose uncertainty the owner did not type what is known of its kind; more than
    /// a few readings of one place count as that few.
    fn weigh(&mut self, gauges: &[GaugeEntry]) {
        for round in &mut self.list {
            let places: Vec<(Place, Option<f64>)> =
                round.readings.iter().map(|one| (one.place, one.at)).collect();
            for one in &mut round.readings {
                let usual = instrument(one.place, gauges).u;
                if !one.own_u {
                    one.u =
                        self.repeated.get(one.place.kind()).map_or(usual, |known| known.with_usual(usual));
                }
                let here = places.iter().filter(|(place, at)| *place == one.place && *at == one.at).count();
                if here > MOST_REPEATS {
                    one.u *= (here as f64 / MOST_REPEATS as f64).sqrt();
                }
            }
        }
    }
}

/// Whether an action moves the wheels so that what was gauged before does not count: the car is raised,
/// let down or settled, or something comes out, off, in or on.
fn moves(verb: Verb, brings: bool) -> bool {
    brings || matches!(verb, Verb::Undo | Verb::Off | Verb::On | Verb::Way)
}
