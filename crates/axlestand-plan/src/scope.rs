//! What must be undone for the goals, and why: an AND/OR question.
//!
//! A part is free when every hold between it and the rest of the car is undone and everything in
//! the way is off, or when another way that frees it was gone. The cheapest choice of ways is
//! sought by depth-first search with a bound (expected minutes, both ways, plus a penalty for what
//! is scrapped besides); the two sides of the car choose alike.

use crate::no_way::{NoWay, first_open};
use crate::odds::{undo_minutes, way_minutes, work_minutes};
use crate::rows::{fit_minutes, loosens_apart};
use axlestand_ledger::{
    Action, Event, FastenerStage, HoldState, JobState, RowStatus, Verb, is_left_in, is_spent, row_status,
};
use axlestand_model::car::{Car, Fastener, Hold, Item, Operation, Reading, Way};
use axlestand_model::{CarState, ItemId, Stage};
use std::collections::{BTreeMap, BTreeSet};

/// Minutes that scrapping something costs which would not be replaced anyway: a judgement (source
/// id AX-2), so that a saw is not preferred for five minutes' gain.
pub(crate) const SCRAP_PENALTY: f64 = 60.0;

/// How many choices are tried before the best one found so far is taken.
const SEARCH_LIMIT: usize = 20_000;

/// What a job disturbs.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scope {
    /// Parts to take off.
    pub parts: BTreeSet<ItemId>,
    /// Holds to undo, those undone by a way included.
    pub holds: BTreeSet<ItemId>,
    /// Ways to go instead of the usual manner: item freed, way.
    pub ways: BTreeMap<ItemId, ItemId>,
    /// Holds that come undone with a way, not by an act of their own: hold, way.
    pub besides: BTreeMap<ItemId, ItemId>,
    /// Operations due.
    pub operations: BTreeSet<ItemId>,
    /// Fasteners that are only loosened for one of these, such as a jam nut for setting toe.
    pub loosened: BTreeSet<ItemId>,
    /// Readings due.
    pub readings: BTreeSet<ItemId>,
    /// What needs each item, in the order of their names.
    pub because: BTreeMap<ItemId, BTreeSet<ItemId>>,
    /// Whether the cheapest choice of ways is proven.
    pub proven: bool,
}

/// Why no scope could be found.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ScopeError {
    /// A goal is no part of the car.
    #[error("'{0}' is no part of this car")]
    NoSuchPart(ItemId),
    /// Something that has to come out can be freed in no way.
    #[error(transparent)]
    NoWay(#[from] NoWay),
}

impl Scope {
    /// Whether this item is disturbed.
    #[must_use]
    pub fn disturbs(&self, id: &ItemId) -> bool {
        self.parts.contains(id) || self.holds.contains(id)
    }

    /// The way, if any, by which a hold or part comes free in this scope: one chosen for it, or one
    /// that undoes it besides.
    #[must_use]
    pub fn way_for(&self, id: &ItemId) -> Option<&ItemId> {
        self.ways.get(id).or_else(|| self.besides.get(id))
    }
}

/// The goals without those that are left out with a reason: they stay as they are, unless they are
/// off already.
fn standing_goals(state: &JobState) -> impl Iterator<Item = &ItemId> {
    state
        .goals
        .iter()
        .filter(|id| state.part(id).off || !state.skipped.contains_key(&Action::new(Verb::Off, id)))
}

/// Works out what a job disturbs, from its goals and from what was disturbed already.
///
/// # Errors
/// [`ScopeError`] where a goal does not exist or cannot be freed.
pub fn scope(car: &Car, state: &JobState) -> Result<Scope, ScopeError> {
    if let Some(bad) = state.goals.iter().find(|id| car.part(id).is_none()) {
        return Err(ScopeError::NoSuchPart(bad.clone()));
    }
    let mut wanted: BTreeSet<ItemId> = standing_goals(state).cloned().collect();
    // What was disturbed has to go back; what broke has to come out.
    wanted.extend(
        state
            .holds
            .iter()
            .filter(|(id, hold)| {
                (is_spent(car, state, id) && !is_left_in(car, state, id))
                    || car.hold(id).is_some_and(|known| has_to_be_out(known, hold))
            })
            .map(|(id, _)| id.clone()),
    );
    wanted.extend(
        state
            .parts
            .iter()
            .filter(|(id, part)| {
                car.part(id).is_some() && (part.was_off || (part.broken && !is_left_in(car, state, id)))
            })
            .map(|(id, _)| id.clone()),
    );
    let mut void: BTreeSet<ItemId> = BTreeSet::new();
    // Operations that become due may need more undone, and a deferred final more off; each round
    // only adds, so this ends.
    loop {
        let mut found = cheapest(car, state, &wanted, &void)?;
        let again: Vec<ItemId> = back_again(car, state, &found).filter(|id| !void.contains(id)).collect();
        if !again.is_empty() {
            void.extend(again);
            continue;
        }
        add_operations(car, state, &mut found);
        let mut more: BTreeMap<ItemId, ItemId> = BTreeMap::new();
        for operation in
            found.operations.iter().filter_map(|id| car.operation(id)).filter(|o| o.stage <= Stage::Strip)
        {
            more.extend(operation.work.after.iter().map(|id| (id.clone(), operation.id.clone())));
        }
        let waits = |f: &Fastener| {
            matches!(state.hold(&f.id).stage, FastenerStage::BrokenLoose | FastenerStage::Seated)
                && !state.skipped.contains_key(&Action::new(Verb::Final, &f.id))
        };
        for fastener in car.fasteners.iter().filter(|f| found.holds.contains(&f.id) || waits(f)) {
            more.extend(fastener.final_after.iter().map(|id| (id.clone(), fastener.id.clone())));
        }
        // A reading that would be lost is taken, whatever stands in its way; others wait their turn.
        let lost = car.readings.iter().filter(|r| r.before.iter().any(|id| found.disturbs(id)));
        for reading in lost {
            more.extend(reading.work.after.iter().map(|id| (id.clone(), reading.id.clone())));
        }
        more.retain(|id, _| !found.disturbs(id) && (car.part(id).is_some() || car.hold(id).is_some()));
        if more.is_empty() {
            add_readings(car, &mut found);
            add_loosened(car, state, &mut found);
            return Ok(found);
        }
        wanted.extend(more.into_keys());
    }
}

/// Whether a hold has to be out, or was: it was undone, or it was loosened and is used once.
fn has_to_be_out(known: Hold<'_>, hold: &HoldState) -> bool {
    let spent = known.is_one_use() && hold.stage == FastenerStage::BrokenLoose && !loosens_for_the_job(known);
    hold.was_out || spent
}

/// Whether breaking loose is a planned act before undoing: then the plan tells whether it goes on.
fn loosens_for_the_job(known: Hold<'_>) -> bool {
    matches!(known, Hold::Fastener(fastener) if loosens_apart(fastener))
}

/// One partial choice during the search.
#[derive(Clone, Default)]
struct Choice {
    decided: BTreeMap<ItemId, Option<ItemId>>,
    because: BTreeMap<ItemId, BTreeSet<ItemId>>,
    cost: f64,
}

struct Search<'a> {
    car: &'a Car,
    state: &'a JobState,
    /// What each item needs when it is freed in the usual manner.
    needs: BTreeMap<&'a ItemId, Vec<ItemId>>,
    /// What a way freed or undid once, is back in and has to come out once more: that way is gone.
    void: &'a BTreeSet<ItemId>,
    /// Holds that some way undoes besides: charged only when all is chosen.
    late: BTreeSet<&'a ItemId>,
    /// Whether the sides of the car choose alike.
    alike: bool,
    best: Option<(f64, Choice)>,
    steps: usize,
}

fn cheapest(
    car: &Car,
    state: &JobState,
    wanted: &BTreeSet<ItemId>,
    void: &BTreeSet<ItemId>,
) -> Result<Scope, ScopeError> {
    let late = car.ways.iter().flat_map(|way| way.undoes.iter()).collect();
    let needs = car.ids().map(|id| (id, usual_needs(car, id))).collect();
    let mut search = Search { car, state, needs, void, late, alike: true, best: None, steps: 0 };
    let open: Vec<ItemId> = wanted.iter().cloned().collect();
    let founded = search.founded(&open)?;
    search.go(Choice::default(), open.clone());
    if search.best.is_none() {
        // The sides cannot choose alike.
        (search.alike, search.steps) = (false, 0);
        search.go(Choice::default(), open);
    }
    let proven = search.steps < SEARCH_LIMIT;
    let choice = search.best.map_or(founded, |(_, choice)| choice);
    let mut found = Scope { because: choice.because, proven, ..Scope::default() };
    for (id, way) in &choice.decided {
        if car.part(id).is_some() {
            found.parts.insert(id.clone());
        } else if car.hold(id).is_some() {
            found.holds.insert(id.clone());
        } else {
            found.operations.insert(id.clone());
        }
        if let Some(way) = way.as_ref().and_then(|way| car.way(way)) {
            found.ways.insert(id.clone(), way.id.clone());
            for hold in
                undone_besides(car, state, &choice.decided, way).into_iter().filter(|id| !void.contains(id))
            {
                found.holds.insert(hold.clone());
                found.because.entry(hold.clone()).or_default().insert(id.clone());
                found.besides.insert(hold, way.id.clone());
            }
        }
    }
    Ok(found)
}

/// What a way freed or undid besides in this job, went back in and has to come out once more.
fn back_again<'a>(car: &'a Car, state: &'a JobState, found: &'a Scope) -> impl Iterator<Item = ItemId> + 'a {
    let by_ways = found.ways.iter().chain(&found.besides);
    let freed = by_ways.filter(|(_, way)| state.done.contains_key(*way)).map(|(id, _)| id);
    freed.filter(|id| has_to_come_out(car, state, found, id, &mut BTreeSet::new())).cloned()
}

/// Whether something that is in has to come out: it never did, it broke, or what needs it away has to.
fn has_to_come_out<'a>(
    car: &'a Car,
    state: &JobState,
    found: &'a Scope,
    id: &'a ItemId,
    seen: &mut BTreeSet<&'a ItemId>,
) -> bool {
    let (away, was_away) = if car.part(id).is_some() {
        let part = state.part(id);
        (part.off, part.was_off)
    } else {
        let hold = state.hold(id);
        (hold.stage == FastenerStage::Out, hold.was_out)
    };
    if away || !seen.insert(id) {
        return false;
    }
    let mut needers = found.because.get(id).into_iter().flatten().filter(|needer| found.disturbs(needer));
    // A way may get at something past what is in front of it; what goes back in does not.
    let mut behind = car.behind(id).iter().filter(|inner| found.way_for(inner).is_some());
    let is_out = |inner: &ItemId| state.part(inner).off || state.hold(inner).stage == FastenerStage::Out;
    !was_away
        || is_spent(car, state, id)
        || needers.any(|needer| has_to_come_out(car, state, found, needer, seen))
        || behind.any(|inner| is_out(inner) || has_to_come_out(car, state, found, inner, seen))
}

/// Whatever comes undone with a way: what it names, and every other hold of what it frees, but for
/// what is, or was once the way was gone, undone by an act of its own.
fn undone_besides(
    car: &Car,
    state: &JobState,
    decided: &BTreeMap<ItemId, Option<ItemId>>,
    way: &Way,
) -> Vec<ItemId> {
    let gone = state.done.contains_key(&way.id);
    let undone_apart = |hold: &ItemId| {
        let undo = Action::new(Verb::Undo, hold);
        state
            .counting_entries()
            .any(|entry| matches!(&entry.event, Event::Done { action, .. } if *action == undo))
    };
    let apart = |hold: &ItemId| {
        decided.contains_key(hold) && if gone { undone_apart(hold) } else { !way.undoes.contains(hold) }
    };
    car.undone_by(way).into_iter().filter(|hold| !apart(hold)).collect()
}

impl Search<'_> {
    /// A choice that can be carried out, cheap or not.
    fn founded(&self, wanted: &[ItemId]) -> Result<Choice, NoWay> {
        let alone = Choice::default();
        let chosen = |id: &ItemId| self.state.choices.contains_key(id);
        let taken = first_open(self.car, wanted, chosen, |id| {
            let ways = self.options(&alone, id).into_iter();
            ways.map(|way| (way.clone(), self.needs_by(id, way.as_ref()))).collect()
        })?;
        let mut choice = Choice::default();
        let mut open: Vec<ItemId> = wanted.to_vec();
        while let Some(id) = open.pop() {
            if !choice.decided.contains_key(&id) {
                let way = taken.get(&id).cloned().flatten();
                open.extend(self.decide(&mut choice, &id, way));
            }
        }
        Ok(choice)
    }

    /// What an item needs away before it is freed by an option.
    fn needs_by(&self, id: &ItemId, way: Option<&ItemId>) -> Vec<ItemId> {
        match way.and_then(|way| self.car.way(way)) {
            Some(way) => way.needs.clone(),
            None => self.needs.get(id).cloned().unwrap_or_default(),
        }
    }

    /// Decides the items of `open` one after the other; forced ones at once, others in every way.
    fn go(&mut self, mut choice: Choice, mut open: Vec<ItemId>) {
        self.steps += 1;
        loop {
            open.sort();
            open.dedup();
            open.retain(|id| !choice.decided.contains_key(id));
            // Whatever is still open costs at least its cheapest option by itself.
            let least: f64 = open.iter().map(|id| self.least_cost(id)).sum();
            if self.best.as_ref().is_some_and(|(best, _)| choice.cost + least >= *best) {
                return;
            }
            let Some(at) = open
                .iter()
                .position(|id| self.options(&choice, id).len() == 1)
                .or(if open.is_empty() { None } else { Some(0) })
            else {
                self.finish(choice);
                return;
            };
            let id = open.swap_remove(at);
            let options = self.options(&choice, &id);
            if let [only] = options.as_slice() {
                open.extend(self.decide(&mut choice, &id, only.clone()));
                continue;
            }
            for option in options {
                if self.steps >= SEARCH_LIMIT {
                    return;
                }
                let mut next = choice.clone();
                let mut more = open.clone();
                more.extend(self.decide(&mut next, &id, option));
                self.go(next, more);
            }
            return;
        }
    }

    /// The ways an item may be freed, the cheapest by itself first. What was done or chosen before
    /// stays; the other side of the car sets the example.
    fn options(&self, choice: &Choice, id: &ItemId) -> Vec<Option<ItemId>> {
        let ways: Vec<_> = self.car.ways_to_free(id).collect();
        if ways.is_empty() {
            return vec![None];
        }
        let gone = ways.iter().find(|way| self.state.done.contains_key(&way.id));
        if let Some(way) = gone.filter(|_| !self.void.contains(id)) {
            return vec![Some(way.id.clone())];
        }
        // What was freed in the usual manner needs no way any more.
        if self.state.hold(id).was_out || self.state.part(id).was_off {
            return vec![None];
        }
        if let Some(choice) = self.state.choices.get(id) {
            return vec![choice.clone()];
        }
        // A plan once made changes no way by itself.
        if let Some(way) = ways.iter().find(|way| self.state.ways.contains(&way.id)) {
            return vec![Some(way.id.clone())];
        }
        let rows = [Verb::Undo, Verb::Off, Verb::Fit, Verb::On];
        if rows.into_iter().any(|verb| self.state.is_planned(&Action::new(verb, id))) {
            return vec![None];
        }
        let mirror = id.mirrored();
        if self.alike
            && mirror != *id
            && let Some(example) = choice.decided.get(&mirror)
            && self.car.ways_to_free(&mirror).count() == ways.len()
        {
            let same = example.as_ref().map(ItemId::mirrored);
            if same.as_ref().is_none_or(|way| self.car.way(way).is_some_and(|way| way.frees == *id)) {
                return vec![same];
            }
        }
        let mut options: Vec<(f64, Option<ItemId>)> = vec![(self.own_cost(id, None), None)];
        options.extend(ways.iter().map(|way| (self.own_cost(id, Some(&way.id)), Some(way.id.clone()))));
        options.sort_by(|a, b| a.0.total_cmp(&b.0));
        options.into_iter().map(|(_, option)| option).collect()
    }

    /// Expected minutes there and back for one item by one option.
    fn own_cost(&self, id: &ItemId, way: Option<&ItemId>) -> f64 {
        let back = match self.car.item(id) {
            Some(Item::Part(part)) => part.work.minutes.back,
            Some(Item::Fastener(f)) => fit_minutes(f),
            Some(Item::Connection(c)) => c.work.minutes.back,
            _ => 0.0,
        };
        if let Some(way) = way.and_then(|way| self.car.way(way)) {
            let lost = way.scraps.iter().filter(|scrap| !self.is_renewed(scrap)).count();
            return way_minutes(way) + back + SCRAP_PENALTY * lost as f64;
        }
        let there = match self.car.item(id) {
            Some(Item::Part(part)) => work_minutes(&part.work),
            Some(Item::Operation(operation)) => work_minutes(&operation.work),
            _ => self.car.hold(id).map_or(0.0, |hold| self.undo_cost(hold)),
        };
        there + back
    }

    /// Minutes of undoing a hold, breaking it loose included where that is an act of its own.
    fn undo_cost(&self, hold: Hold<'_>) -> f64 {
        let again = match hold {
            Hold::Fastener(fastener) if loosens_apart(fastener) => fastener.work.minutes.clean,
            _ => 0.0,
        };
        undo_minutes(hold, self.state) + again
    }

    /// The cheapest option of an item by itself; nothing for one that a way may undo besides.
    fn least_cost(&self, id: &ItemId) -> f64 {
        if self.late.contains(id) {
            return 0.0;
        }
        let ways = self.car.ways_to_free(id).map(|way| self.own_cost(id, Some(&way.id)));
        ways.fold(self.own_cost(id, None), f64::min)
    }

    fn is_renewed(&self, id: &ItemId) -> bool {
        self.state.goals.contains(id) || self.car.hold(id).is_some_and(Hold::is_one_use)
    }

    /// Decides one item; gives what it needs in turn.
    fn decide(&self, choice: &mut Choice, id: &ItemId, option: Option<ItemId>) -> Vec<ItemId> {
        if !self.late.contains(id) {
            choice.cost += self.own_cost(id, option.as_ref());
        }
        let needs = self.needs_by(id, option.as_ref());
        for need in &needs {
            choice.because.entry(need.clone()).or_default().insert(id.clone());
        }
        choice.decided.insert(id.clone(), option);
        needs
    }

    fn finish(&mut self, choice: Choice) {
        let undone: BTreeSet<&ItemId> = choice
            .decided
            .values()
            .flatten()
            .filter_map(|way| self.car.way(way))
            .flat_map(|way| way.undoes.iter())
            .collect();
        let late: f64 = choice
            .decided
            .iter()
            .filter(|(id, _)| self.late.contains(id) && !undone.contains(id))
            .map(|(id, way)| self.own_cost(id, way.as_ref()))
            .sum();
        let cost = choice.cost + late;
        let better = self.best.as_ref().is_none_or(|(best, _)| cost < *best);
        if better && self.is_well_founded(&choice) {
            self.best = Some((cost, choice));
        }
    }

    /// Whether the choice can be carried out: nothing waits for itself.
    fn is_well_founded(&self, choice: &Choice) -> bool {
        let nothing = Vec::new();
        let mut free: BTreeSet<&ItemId> = BTreeSet::new();
        loop {
            let mut more: Vec<&ItemId> = Vec::new();
            for (id, way) in choice.decided.iter().filter(|(id, _)| !free.contains(*id)) {
                let way = way.as_ref().and_then(|way| self.car.way(way));
                let needs = way.map_or_else(|| self.needs.get(id).unwrap_or(&nothing), |way| &way.needs);
                if needs.iter().all(|need| free.contains(need)) {
                    more.push(id);
                    let besides = way.into_iter().flat_map(|way| way.undoes.iter());
                    more.extend(besides.filter(|undone| choice.decided.contains_key(*undone)));
                }
            }
            if more.is_empty() {
                return free.len() == choice.decided.len();
            }
            free.extend(more);
        }
    }
}

/// What an item needs when it is freed in the usual manner.
fn usual_needs(car: &Car, id: &ItemId) -> Vec<ItemId> {
    match car.item(id) {
        Some(Item::Part(part)) => {
            let holds = car.outer_holds(id).into_iter().map(|hold| hold.id().clone());
            holds.chain(part.work.after.iter().cloned()).collect()
        }
        Some(Item::Operation(operation)) if operation.stage <= Stage::Strip => operation.work.after.clone(),
        Some(Item::Fastener(_) | Item::Connection(_)) => {
            car.hold(id).map(|hold| hold.work().after.clone()).unwrap_or_default()
        }
        _ => Vec::new(),
    }
}

/// Operations that are due: those of every job, those because of something disturbed, those that
/// bring a car state that is needed, and what these wait for.
fn add_operations(car: &Car, state: &JobState, found: &mut Scope) {
    let raises_or_lowers = |o: &Operation| matches!(o.brings, Some(CarState::OnStands | CarState::OnWheels));
    for operation in car.operations.iter().filter(|o| o.recheck.is_none() && !raises_or_lowers(o)) {
        // A union that was only loosened has let air in too.
        let touched = |id: &ItemId| found.disturbs(id) || state.hold(id).disturbed > 0;
        if operation.because.is_empty() || operation.because.iter().any(touched) {
            add_operation(operation, found);
        }
    }
    add_readings(car, found);
    // A car that is up comes down, even where all that it went up for was left out.
    if goes_up(car, found) || state.stands() == CarState::OnStands {
        for operation in car.operations.iter().filter(|o| o.recheck.is_none() && raises_or_lowers(o)) {
            add_operation(operation, found);
        }
        add_readings(car, found);
    }
    // What is read or tightened at ride height needs the car to be settled, whatever that is for otherwise.
    if needs_ride_height(car, state, found) {
        let settles = |o: &&Operation| o.recheck.is_none() && o.brings == Some(CarState::RideHeight);
        for operation in car.operations.iter().filter(settles) {
            add_operation(operation, found);
        }
    }
}

/// Whether anything in the scope is read, tightened or set at ride height.
fn needs_ride_height(car: &Car, state: &JobState, found: &Scope) -> bool {
    let was_touched = |f: &Fastener| state.hold(&f.id).disturbed > 0;
    let fasteners = car.fasteners.iter().filter(|f| found.holds.contains(&f.id) || was_touched(f));
    let torques = fasteners.filter_map(|f| f.torque.as_ref()).map(|torque| torque.state);
    let readings = found.readings.iter().filter_map(|id| car.reading(id)).map(|reading| reading.again);
    let operations = found.operations.iter().filter_map(|id| car.operation(id)).map(|o| o.work.state);
    torques.chain(readings).chain(operations).any(|state| state == Some(CarState::RideHeight))
}

fn add_operation(operation: &Operation, found: &mut Scope) {
    if found.operations.insert(operation.id.clone()) {
        let why: BTreeSet<ItemId> =
            operation.because.iter().filter(|id| found.disturbs(id)).cloned().collect();
        found.because.entry(operation.id.clone()).or_default().extend(why);
    }
}

/// Whether anything in the scope is done with the car on stands, or needs it raised.
fn goes_up(car: &Car, found: &Scope) -> bool {
    let parts = found.parts.iter().filter_map(|id| car.part(id)).map(|part| part.work.state);
    let holds = found.holds.iter().filter_map(|id| car.hold(id)).map(|hold| hold.work().state);
    let operations = found.operations.iter().filter_map(|id| car.operation(id));
    let ways = found.ways.values().filter_map(|id| car.way(id)).map(|way| way.work.state);
    let readings = found.readings.iter().filter_map(|id| car.reading(id));
    parts
        .chain(holds)
        .chain(operations.clone().map(|o| o.work.state))
        .chain(ways)
        .chain(readings.map(|reading| reading.work.state))
        .any(|state| state == Some(CarState::OnStands))
        || operations.clone().any(|o| o.brings == Some(CarState::OnStands))
}

/// Fasteners that an operation of Set has to come before are loosened for it, where the job does
/// not undo them anyway. An operation that was left out needs none loosened.
fn add_loosened(car: &Car, state: &JobState, found: &mut Scope) {
    let left_out = |o: &Operation| state.skipped.contains_key(&Action::new(Verb::Do, &o.id));
    let set = found.operations.iter().filter_map(|id| car.operation(id)).filter(|o| o.stage == Stage::Set);
    let due: BTreeSet<ItemId> =
        set.clone().filter(|o| !left_out(o)).flat_map(|o| o.before.iter()).cloned().collect();
    let ids: BTreeSet<ItemId> = set.flat_map(|o| o.before.iter()).cloned().collect();
    for fastener in &car.fasteners {
        let stage = state.hold(&fastener.id).stage;
        let to_set = ids.contains(&fastener.id) && fastener.is_deferred();
        let due = to_set && (due.contains(&fastener.id) || stage != FastenerStage::InPlace);
        // What was loosened besides the plan has to be tightened, and locked, all the same.
        let loose = match stage {
            FastenerStage::BrokenLoose | FastenerStage::Seated => true,
            FastenerStage::AtFinal => fastener.lock.is_own_act(),
            _ => false,
        };
        // Out in this job and tight since, it is loosened once more where its operation is due once more.
        let set = found.operations.iter().filter_map(|id| car.operation(id));
        let mut set =
            set.filter(|o| o.stage == Stage::Set && o.before.contains(&fastener.id) && !left_out(o));
        let pending =
            |o: &Operation| row_status(car, state, &Action::new(Verb::Do, &o.id)) == RowStatus::Pending;
        let once_more = to_set
            && !loosens_apart(fastener)
            && (state.is_planned(&Action::new(Verb::Loosen, &fastener.id))
                || (stage >= FastenerStage::AtFinal && set.any(pending)));
        let is_due = if found.holds.contains(&fastener.id) { once_more } else { due || loose };
        if is_due {
            found.loosened.insert(fastener.id.clone());
            let set = found.operations.iter().filter_map(|id| car.operation(id));
            let set =
                set.filter(|o| o.stage == Stage::Set && o.before.contains(&fastener.id) && !left_out(o));
            let why: BTreeSet<ItemId> = set.map(|o| o.id.clone()).collect();
            found.because.entry(fastener.id.clone()).or_default().extend(why);
        }
    }
}

/// Readings that are lost when something disturbed is disturbed, and those of every job.
fn add_readings(car: &Car, found: &mut Scope) {
    for reading in &car.readings {
        let touches = |id: &ItemId| found.disturbs(id) || found.operations.contains(id);
        let witness = reading.before.iter().any(|id| found.disturbs(id));
        let due = reading.before.is_empty() || reading.before.iter().any(touches);
        if witness || (due && is_reached(car, found, reading)) {
            let why = reading.before.iter().filter(|id| touches(id)).cloned().collect();
            found.readings.insert(reading.id.clone());
            found.because.insert(reading.id.clone(), why);
        }
    }
}

/// Whether this job clears the way to a reading anyway.
fn is_reached(car: &Car, found: &Scope, reading: &Reading) -> bool {
    let clears = |id: &&ItemId| car.part(id).is_some() || car.hold(id).is_some();
    reading.work.after.iter().filter(clears).all(|id| found.disturbs(id))
}

/// Operations of the road afterwards, for the report.
#[must_use]
pub fn rechecks<'a>(car: &'a Car, scope: &Scope) -> Vec<&'a Operation> {
    car.operations
        .iter()
        .filter(|o| o.recheck.is_some())
        .filter(|o| o.because.is_empty() || o.because.iter().any(|id| scope.disturbs(id)))
        .collect()
}
