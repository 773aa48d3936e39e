//! The pending rows of a plan as times, dangers and detours.

use super::assume::Assumptions;
use super::learn::{Beliefs, Pace, seen, soaks};
use super::spread::Spread;
use crate::coming_down::minutes_left;
use crate::order::{Plan, PlanRow};
use crate::rows::loosens_apart;
use crate::scope::SCRAP_PENALTY;
use crate::setups::changes;
use axlestand_ledger::{Action, JobState, RowStatus, Verb, row_status};
use axlestand_model::car::{Car, Hold, Item, Work};
use axlestand_model::{Exposure, ItemId, Joint};
use std::collections::BTreeMap;

/// How many things that may be needed are kept apart; the rest is left out.
pub const MOST_THINGS: usize = 64;

/// The chance of being stuck.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Chance {
    /// That of an exposure class, by its place in [`Exposure::ALL`].
    Class(usize),
    /// One of its own, 0 to 1.
    Own(f64),
}

/// Another way gone when something is stuck.
#[derive(Debug, Clone, PartialEq)]
pub struct Detour {
    /// The way.
    pub way: ItemId,
    /// What it takes more than the usual manner with nothing stuck.
    pub time: Spread,
    /// What it scraps and nothing else renews, by bit.
    pub things: u64,
}

/// What may go wrong at a step.
#[derive(Debug, Clone, PartialEq)]
pub struct Danger {
    /// At which item.
    pub item: ItemId,
    /// Its exposure class, for the chance of breaking.
    pub class: usize,
    /// The chance of being stuck.
    pub chance: Chance,
    /// By what that of the class is multiplied.
    pub factor: f64,
    /// Extra minutes when it is forced.
    pub extra: Spread,
    /// Whether it may break then.
    pub may_break: bool,
    /// Further time once it broke, as a part of the extra minutes.
    pub broken_extra: f64,
    /// What is needed anew once it broke, by bit.
    pub things: u64,
    /// Minutes spent before turning to the detour.
    pub tried: f64,
    /// The way gone when it is stuck, where that takes less time on average than forcing it.
    pub detour: Option<Detour>,
}

/// A row still to be done.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The action.
    pub action: Action,
    /// What its random numbers hang on.
    pub key: u64,
    /// Minutes of changing place, side and tool before it.
    pub setup: f64,
    /// Minutes when nothing goes wrong.
    pub time: Spread,
    /// Whether two people are needed and one is there.
    pub alone: bool,
    /// What may go wrong.
    pub danger: Option<Danger>,
    /// Things that it needs if they broke, by bit.
    pub waits_for: u64,
    /// Keys of steps after which something soaks, dries, cures or drains, and for how many minutes.
    pub after: Vec<(u64, f64)>,
    /// Before this time, in minutes from the start of the sessions, it waits for what goes on already.
    pub ready: f64,
}

/// Something that may be needed.
#[derive(Debug, Clone, PartialEq)]
pub struct Thing {
    /// The part, fastener or connection.
    pub item: ItemId,
    /// What people call it.
    pub name: String,
    /// Days from order to hand.
    pub lead_days: f64,
}

/// The rest of a job, ready to be simulated.
#[derive(Debug, Clone, PartialEq)]
pub struct RiskJob {
    /// The pending rows in their order.
    pub steps: Vec<Step>,
    /// What may be needed.
    pub things: Vec<Thing>,
    /// What is believed of the exposure classes.
    pub beliefs: Beliefs,
    /// The pace.
    pub pace: Pace,
    /// Minutes of a trip for parts.
    pub trip_minutes: f64,
}

impl RiskJob {
    /// The pending rows of a plan, with what is assumed and what this car taught.
    #[must_use]
    pub fn of(car: &Car, state: &JobState, plan: &Plan, assumptions: &Assumptions, pace: Pace) -> Self {
        let soaked = soaks(car).any(|soak| state.done.contains_key(&soak.id));
        let beliefs = Beliefs::of(assumptions, state.rust, soaked, &seen(car, state));
        let mut builder =
            Builder { car, state, assumptions, beliefs: &beliefs, base: None, things: Vec::new() };
        let pending: Vec<&PlanRow> = plan
            .rows
            .iter()
            .filter(|row| row_status(car, state, &row.action) == RowStatus::Pending)
            .collect();
        let setups = changes(car, &pending);
        let mut steps: Vec<Step> =
            pending.iter().zip(setups).map(|(row, setup)| builder.step(row, setup)).collect();
        for (step, row) in steps.iter_mut().zip(&pending) {
            let wait = |(item, time): &(ItemId, f64)| (key_of(&Action::new(Verb::Do, item)), *time);
            step.after = row.waits.iter().map(wait).collect();
        }
        let things: Vec<Thing> = builder
            .things
            .into_iter()
            .map(|item| Thing {
                name: car.item(&item).map_or(item.as_str(), Item::name).to_owned(),
                lead_days: assumptions.of("lead_days"),
                item,
            })
            .collect();
        // What a car on stands takes to come down once more is no row: it is added to the first one's set-up.
        if let Some(step) = steps.first_mut() {
            step.setup += plan.minutes_besides(car, state);
        }
        for step in &mut steps {
            if matches!(step.action.verb, Verb::Fit | Verb::On)
                && let Some(at) = things.iter().position(|thing| thing.item == step.action.item)
            {
                step.waits_for = 1 << at;
            }
        }
        Self { steps, things, beliefs, pace, trip_minutes: assumptions.of("trip_minutes") }
    }

    /// Whether any danger hangs on this exposure class.
    pub(crate) fn has_class(&self, class: usize) -> bool {
        self.steps.iter().filter_map(|step| step.danger.as_ref()).any(|danger| danger.class == class)
    }

    /// The longest lead of the things named by bit.
    pub(crate) fn lead_days(&self, things: u64) -> f64 {
        let named = self.things.iter().enumerate().filter(|(at, _)| things >> at & 1 == 1);
        named.map(|(_, thing)| thing.lead_days).fold(0.0, f64::max)
    }

    /// Mean minutes of the steps if nothing were stuck, at the pace.
    #[must_use]
    pub fn undisturbed(&self) -> f64 {
        self.pace.factor() * self.steps.iter().map(|step| step.setup + step.time.mean()).sum::<f64>()
    }

    /// The mean chance of a danger.
    #[must_use]
    pub fn chance(&self, danger: &Danger) -> f64 {
        match danger.chance {
            Chance::Own(chance) => chance,
            Chance::Class(class) => {
                self.beliefs.stuck.get(class).map_or(0.0, |b| (b.mean() * danger.factor).min(1.0))
            }
        }
    }
}

struct Builder<'a> {
    car: &'a Car,
    state: &'a JobState,
    assumptions: &'a Assumptions,
    beliefs: &'a Beliefs,
    /// Minutes of the plan as it is.
    base: Option<f64>,
    things: Vec<ItemId>,
}

impl Builder<'_> {
    fn step(&mut self, row: &PlanRow, setup: f64) -> Step {
        let verb = row.action.verb;
        let ratio = self.assumptions.of(match verb {
            Verb::Loosen | Verb::Undo | Verb::Off => "spread_apart",
            Verb::Way => "spread_way",
            Verb::On | Verb::Fit | Verb::Final | Verb::Lock => "spread_back",
            Verb::Do | Verb::Read | Verb::Again => "spread_work",
        });
        let alone = row.two_people && !self.state.helper;
        let factor = if alone { self.assumptions.of("alone") } else { 1.0 };
        let (minutes, danger) = match self.car.item(&row.action.item) {
            Some(Item::Fastener(f)) => self.hold_step(row, Hold::Fastener(f)),
            Some(Item::Connection(c)) => self.hold_step(row, Hold::Connection(c)),
            Some(Item::Part(p)) if verb == Verb::Off => self.own_danger(&row.action.item, &p.work),
            Some(Item::Operation(o)) => self.own_danger(&row.action.item, &o.work),
            Some(Item::Way(w)) => self.own_danger(&row.action.item, &w.work),
            _ => (row.minutes, None),
        };
        let time = Spread::of_mean(minutes * factor, ratio);
        let key = key_of(&row.action);
        Step {
            action: row.action.clone(),
            key,
            setup,
            time,
            alone,
            danger,
            waits_for: 0,
            after: Vec::new(),
            ready: 0.0,
        }
    }

    /// Work with a chance of its own that the owner stated.
    fn own_danger(&self, id: &ItemId, work: &Work) -> (f64, Option<Danger>) {
        let chance = work.stuck_chance.unwrap_or(0.0);
        let danger = self.danger(id, work, usize::MAX, Chance::Own(chance));
        (work.minutes.clean, (chance > 0.0).then_some(danger))
    }

    fn danger(&self, item: &ItemId, work: &Work, class: usize, chance: Chance) -> Danger {
        let extra = (work.minutes.stuck - work.minutes.clean).max(0.0);
        Danger {
            item: item.clone(),
            class,
            chance,
            factor: 1.0,
            extra: Spread::of_mean(extra, self.assumptions.of("spread_stuck")),
            may_break: false,
            broken_extra: self.assumptions.of("broken_extra"),
            things: 0,
            tried: self.assumptions.of("try_minutes"),
            detour: None,
        }
    }

    fn hold_step(&mut self, row: &PlanRow, hold: Hold<'_>) -> (f64, Option<Danger>) {
        let work = hold.work();
        let breaks_loose = match row.action.verb {
            Verb::Loosen => true,
            Verb::Undo => !matches!(hold, Hold::Fastener(f) if loosens_apart(f)),
            _ => return (row.minutes, None),
        };
        let known = self.state.hold(hold.id());
        if !breaks_loose || known.was_out || known.broken {
            return (work.minutes.clean, None);
        }
        let class = Exposure::ALL.iter().position(|e| *e == hold.exposure()).unwrap_or(0);
        let chance = match work.stuck_chance {
            _ if known.stuck => Chance::Own(1.0),
            Some(stated) => Chance::Own(stated),
            None => Chance::Class(class),
        };
        let mut danger = self.danger(hold.id(), work, class, chance);
        danger.may_break = true;
        danger.things = self.broken_things(hold);
        let breaks = self.beliefs.breaks.get(class).map_or(0.0, |b| b.mean());
        let forced = danger.extra.mean() * (1.0 + breaks * danger.broken_extra);
        danger.detour = self.detour(hold, forced - danger.tried);
        (work.minutes.clean, Some(danger))
    }

    /// What is needed anew once a hold broke as it was forced: a fastener or clip itself, unless a new one
    /// goes in anyway. A taper, spline, bracket or press fit is no piece of its own: what the ways to free it scrap,
    /// else the first of the parts that it joins; nothing where one of these is replaced anyway.
    fn broken_things(&mut self, hold: Hold<'_>) -> u64 {
        let lost: Vec<ItemId> = match hold {
            _ if self.is_renewed(hold.id()) => Vec::new(),
            Hold::Fastener(fastener) => vec![fastener.id.clone()],
            Hold::Connection(connection) => match connection.joint {
                Joint::Clip | Joint::Plug => vec![connection.id.clone()],
                _ if hold.joins().iter().any(|part| self.state.goals.contains(part)) => Vec::new(),
                _ => {
                    let car = self.car;
                    let scraps = car.ways_to_free(hold.id()).flat_map(|way| &way.scraps);
                    scraps
                        .chain(hold.joins())
                        .take(1)
                        .filter(|item| !self.is_renewed(item))
                        .cloned()
                        .collect()
                }
            },
        };
        lost.iter().map(|item| self.thing(item)).fold(0, |a, b| a | b)
    }

    /// The bit of a thing that would be needed; none beyond the most.
    fn thing(&mut self, id: &ItemId) -> u64 {
        let at = self.things.iter().position(|thing| thing == id).unwrap_or_else(|| {
            if self.things.len() < MOST_THINGS {
                self.things.push(id.clone());
            }
            self.things.len() - 1
        });
        if self.things.get(at) == Some(id) { 1 << at } else { 0 }
    }

    /// The shortest other way to free a hold that takes less than so many minutes on average, by the whole
    /// plan with it against the whole plan without.
    fn detour(&mut self, hold: Hold<'_>, limit: f64) -> Option<Detour> {
        let id = hold.id();
        let usual = self.car.ways_to_free(id).next().is_some().then(|| self.base())??;
        // The plan as it is holds the mean of this one stuck or not.
        let mean = hold.work().minutes.expected(crate::odds::chance_of(hold, self.state));
        let undisturbed = usual - (mean - hold.work().minutes.clean);
        let mut best: Option<(f64, f64, &ItemId, Vec<ItemId>)> = None;
        // A way that takes longer by itself need not be planned.
        for way in self.car.ways_to_free(id).filter(|way| way.work.minutes.clean < limit) {
            let Some(minutes) = minutes_left(self.car, &going(self.state, id, Some(&way.id))) else {
                continue;
            };
            let lost: Vec<ItemId> =
                way.scraps.iter().filter(|item| !self.is_renewed(item)).cloned().collect();
            let more = minutes - undisturbed;
            let counts = more + SCRAP_PENALTY * lost.len() as f64;
            if counts < best.as_ref().map_or(limit, |(least, ..)| *least) {
                best = Some((counts, more, &way.id, lost));
            }
        }
        let (_, more, way, lost) = best?;
        let way = way.clone();
        let things = lost.iter().map(|item| self.thing(item)).fold(0, |a, b| a | b);
        let time = Spread::of_mean(more.max(1.0), self.assumptions.of("spread_way"));
        Some(Detour { way, time, things })
    }

    /// Whether a new one goes in anyway.
    fn is_renewed(&self, item: &ItemId) -> bool {
        self.state.goals.contains(item) || self.car.hold(item).is_some_and(Hold::is_one_use)
    }

    fn base(&mut self) -> Option<f64> {
        if self.base.is_none() {
            self.base = minutes_left(self.car, self.state);
        }
        self.base
    }
}

/// The state with another choice of how an item is freed: by a way, or in the usual manner.
pub(crate) fn going(state: &JobState, item: &ItemId, way: Option<&ItemId>) -> JobState {
    let mut state = state.clone();
    state.choices.insert(item.clone(), way.cloned());
    state
}

/// By how many minutes on average the rest of the job is longer (or, below 0, shorter) with each other way to
/// free a hold than with pressing on in the usual manner; by the whole plan both times.
#[must_use]
pub fn against_pressing_on(car: &Car, state: &JobState, item: &ItemId) -> Vec<(ItemId, f64)> {
    let Some(pressing_on) = minutes_left(car, &going(state, item, None)) else { return Vec::new() };
    let cost = |way: &ItemId| Some(minutes_left(car, &going(state, item, Some(way)))? - pressing_on);
    car.ways_to_free(item).filter_map(|way| Some((way.id.clone(), cost(&way.id)?))).collect()
}

/// A number that an action keeps (FNV-1a, from memory).
fn key_of(action: &Action) -> u64 {
    let text = action.to_string();
    text.bytes()
        .fold(0xCBF2_9CE4_8422_2325, |key, byte| (key ^ u64::from(byte)).wrapping_mul(0x0100_0000_01B3))
}

/// Things by their base name, so that left and right count as pieces of one kind.
pub(crate) fn kinds(things: &[Thing]) -> Vec<(String, Vec<usize>)> {
    let mut kinds: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (at, thing) in things.iter().enumerate() {
        kinds.entry(thing.item.base()).or_default().push(at);
    }
    kinds.into_iter().map(|(base, list)| (base.to_owned(), list)).collect()
}
