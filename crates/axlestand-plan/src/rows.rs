//! The rows of a plan and what comes before what.

use crate::odds::{undo_minutes, way_minutes, work_minutes};
use crate::scope::Scope;
use axlestand_ledger::{Action, FastenerStage, JobState, RowStatus, Verb, is_outdated, row_status};
use axlestand_model::car::{Car, Fastener, Hold, Work};
use axlestand_model::{CarState, ItemId, Stage};
use std::collections::BTreeMap;

/// Minutes for setting a lock (spreading a pin, staking a collar): common practice, no source.
const LOCK_MINUTES: f64 = 2.0;

/// The sections of a job, in their order. A row never stands before what it needs, and the car
/// moves only between sections.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Section {
    /// Before the job, on wheels.
    Prepare,
    /// Breaking loose, on wheels.
    Loosen,
    /// Raising the car.
    Raise,
    /// Taking apart, on stands.
    Strip,
    /// Putting together, on stands.
    Refit,
    /// Lowering the car.
    Lower,
    /// Final torques on wheels.
    OnWheels,
    /// Settling the suspension.
    Settle,
    /// Final torques at ride height.
    AtRideHeight,
    /// Setting height and wheels.
    Set,
    /// Proving.
    Prove,
}

impl Section {
    /// The stage it belongs to.
    #[must_use]
    pub fn stage(self) -> Stage {
        match self {
            Self::Prepare => Stage::Prepare,
            Self::Loosen | Self::Raise | Self::Strip => Stage::Strip,
            Self::Refit | Self::Lower | Self::OnWheels | Self::Settle | Self::AtRideHeight => Stage::Refit,
            Self::Set => Stage::Set,
            Self::Prove => Stage::Prove,
        }
    }

    /// How the car stands in it.
    #[must_use]
    pub fn car_state(self) -> CarState {
        match self {
            Self::Prepare | Self::Loosen | Self::Raise | Self::OnWheels | Self::Settle => CarState::OnWheels,
            Self::Strip | Self::Refit | Self::Lower => CarState::OnStands,
            Self::AtRideHeight | Self::Set | Self::Prove => CarState::RideHeight,
        }
    }
}

/// A row before it has its place.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    pub(crate) action: Action,
    pub(crate) section: Section,
    pub(crate) minutes: f64,
    /// Indices of rows that come before.
    pub(crate) before: Vec<usize>,
    /// What goes on by itself after a row that comes before: that row, for how many minutes.
    pub(crate) waits: Vec<(usize, f64)>,
}

/// The rows of a scope with their precedence.
pub(crate) struct Rows<'a> {
    car: &'a Car,
    scope: &'a Scope,
    pub(crate) rows: Vec<Row>,
    index: BTreeMap<Action, usize>,
}

impl<'a> Rows<'a> {
    pub(crate) fn of(car: &'a Car, state: &JobState, scope: &'a Scope) -> Self {
        let mut rows = Self { car, scope, rows: Vec::new(), index: BTreeMap::new() };
        rows.add_all(state);
        rows.link_apart();
        rows.link_together();
        rows.link_operations();
        rows.settle_sections();
        rows.add_waits();
        rows.link_days();
        rows
    }

    fn add(&mut self, verb: Verb, item: &ItemId, section: Section, minutes: f64) {
        let action = Action::new(verb, item);
        if !self.index.contains_key(&action) {
            self.index.insert(action.clone(), self.rows.len());
            self.rows.push(Row { action, section, minutes, before: Vec::new(), waits: Vec::new() });
        }
    }

    fn add_all(&mut self, state: &JobState) {
        let (car, scope) = (self.car, self.scope);
        for reading in car.readings.iter().filter(|r| scope.readings.contains(&r.id)) {
            let section = if reading.stage == Stage::Prepare {
                Section::Prepare
            } else {
                strip_section(&reading.work, true)
            };
            self.add(Verb::Read, &reading.id, section, reading.work.minutes.clean);
            if reading.again.is_some() {
                self.add(Verb::Again, &reading.id, Section::Set, reading.work.minutes.clean);
            }
        }
        for operation in car.operations.iter().filter(|o| scope.operations.contains(&o.id)) {
            self.add(Verb::Do, &operation.id, operation_section(operation), work_minutes(&operation.work));
        }
        for hold in car.holds().filter(|hold| scope.holds.contains(hold.id())) {
            self.add_hold(state, hold);
        }
        for part in car.parts.iter().filter(|part| scope.parts.contains(&part.id)) {
            if scope.way_for(&part.id).is_none() {
                self.add(Verb::Off, &part.id, strip_section(&part.work, false), work_minutes(&part.work));
            }
            self.add(Verb::On, &part.id, refit_section(part.work.state), part.work.minutes.back);
        }
        for fastener in car.fasteners.iter().filter(|f| scope.loosened.contains(&f.id)) {
            self.add_loosened(state, fastener);
        }
        for way in scope.ways.values().filter_map(|id| car.way(id)) {
            self.add(Verb::Way, &way.id, strip_section(&way.work, false), way_minutes(way));
        }
    }

    fn add_hold(&mut self, state: &JobState, hold: Hold<'_>) {
        let scope = self.scope;
        let work = hold.work();
        let mut undo = undo_minutes(hold, state);
        if scope.way_for(hold.id()).is_none() {
            if matches!(hold, Hold::Fastener(fastener) if loosens_apart(fastener)) {
                self.add(Verb::Loosen, hold.id(), Section::Loosen, undo);
                undo = work.minutes.clean;
            }
            self.add(Verb::Undo, hold.id(), strip_section(work, false), undo);
        }
        self.add(Verb::Fit, hold.id(), refit_section(work.state), work.minutes.back);
        let Hold::Fastener(fastener) = hold else { return };
        if let Some(due) = due_state(fastener) {
            let section = if due == CarState::RideHeight { Section::AtRideHeight } else { Section::OnWheels };
            self.add(Verb::Final, hold.id(), section, work.minutes.back);
        } else if is_outdated(state, fastener) || state.is_planned(&Action::new(Verb::Final, hold.id())) {
            // Tightened as it went in, and the vehicle file asks for something else since.
            self.add(Verb::Final, hold.id(), refit_section(work.state), work.minutes.back);
        }
        if fastener.lock.is_own_act() {
            self.add(Verb::Lock, hold.id(), refit_section(work.state), LOCK_MINUTES);
        }
    }

    /// A fastener that is only loosened and tightened again: for an operation of Set, or besides
    /// the plan.
    fn add_loosened(&mut self, state: &JobState, fastener: &Fastener) {
        let set = |id: &ItemId| {
            self.car.operation(id).is_some_and(|o| o.stage == Stage::Set && o.before.contains(&fastener.id))
        };
        let to_set = self.scope.operations.iter().any(set);
        let to_be_raised = self.is_to_be_raised(state);
        let is_hidden = fastener.final_after.iter().any(|id| !state.part(id).off);
        let section = match due_state(fastener) {
            _ if to_set => Section::Set,
            // Loosened by mistake, it is tightened again before the car goes up, where a wrench gets at it.
            Some(due) if to_be_raised && state.stands().counts_as(due) && !is_hidden => Section::Loosen,
            Some(CarState::RideHeight) => Section::AtRideHeight,
            Some(_) => Section::OnWheels,
            None => refit_section(fastener.work.state),
        };
        if to_set {
            let minutes = undo_minutes(Hold::Fastener(fastener), state);
            self.add(Verb::Loosen, &fastener.id, Section::Set, minutes);
        }
        // Loose on stands it is run up snug, so that the car may come down.
        let snug = Action::new(Verb::Fit, &fastener.id);
        let now = state.hold(&fastener.id);
        let (loose, was_loose) = (now.stage == FastenerStage::BrokenLoose, now.disturbed > 0);
        let stays_loose = state.stands() == CarState::OnStands || (to_be_raised && section > Section::Raise);
        if stays_loose && fastener.is_deferred() && (loose || (was_loose && state.is_planned(&snug))) {
            self.add(Verb::Fit, &fastener.id, Section::Refit, fastener.work.minutes.back);
        }
        let tighten = if fastener.torque.is_some() { Verb::Final } else { Verb::Fit };
        self.add(tighten, &fastener.id, section, fastener.work.minutes.back);
        if fastener.lock.is_own_act() {
            self.add(Verb::Lock, &fastener.id, section, LOCK_MINUTES);
        }
    }

    /// Whether the car stands on its wheels and the plan raises it.
    fn is_to_be_raised(&self, state: &JobState) -> bool {
        let raises = |id: &ItemId| {
            let brings = self.car.operation(id).and_then(|operation| operation.brings);
            brings == Some(CarState::OnStands)
                && row_status(self.car, state, &Action::new(Verb::Do, id)) == RowStatus::Pending
        };
        state.stands() != CarState::OnStands && self.scope.operations.iter().any(raises)
    }

    fn at(&self, verb: Verb, item: &ItemId) -> Option<usize> {
        self.index.get(&Action::new(verb, item)).copied()
    }

    fn link(&mut self, first: Option<usize>, then: Option<usize>) {
        if let (Some(first), Some(then)) = (first, then)
            && first != then
            && !self.rows[then].before.contains(&first)
        {
            self.rows[then].before.push(first);
        }
    }

    /// The row that frees an item: undoing, taking off, going a way, or doing an operation.
    fn frees(&self, id: &ItemId) -> Option<usize> {
        self.at(Verb::Undo, id)
            .or_else(|| self.at(Verb::Off, id))
            .or_else(|| self.scope.way_for(id).and_then(|way| self.at(Verb::Way, way)))
            .or_else(|| {
                self.car.operation(id).filter(|o| o.stage <= Stage::Strip).and_then(|_| self.at(Verb::Do, id))
            })
    }

    /// The row with which an item is as far back as it can be without its deferred final torque.
    fn back(&self, id: &ItemId) -> Option<usize> {
        let fastener = self.car.fastener(id);
        let locks_at_once = fastener.is_some_and(|f| f.lock.is_own_act() && due_state(f).is_none());
        if locks_at_once { self.at(Verb::Lock, id) } else { None }
            .or_else(|| self.at(Verb::Fit, id))
            .or_else(|| self.at(Verb::On, id))
    }

    /// The row with which an item is finished.
    fn finished(&self, id: &ItemId) -> Option<usize> {
        self.at(Verb::Lock, id).or_else(|| self.at(Verb::Final, id)).or_else(|| self.back(id))
    }

    fn link_apart(&mut self) {
        let (car, scope) = (self.car, self.scope);
        for hold in car.holds().filter(|hold| scope.holds.contains(hold.id())) {
            let undo = self.at(Verb::Undo, hold.id());
            // What is loosened to set the wheels is back in by then.
            let apart = !scope.loosened.contains(hold.id());
            self.link(self.at(Verb::Loosen, hold.id()).filter(|_| apart), self.frees(hold.id()));
            for id in &hold.work().after {
                self.link(self.frees(id), undo);
            }
        }
        for part in car.parts.iter().filter(|part| scope.parts.contains(&part.id)) {
            let off = self.at(Verb::Off, &part.id);
            for hold in car.outer_holds(&part.id) {
                self.link(self.frees(hold.id()), off);
            }
            for id in &part.work.after {
                self.link(self.frees(id), off);
            }
        }
        for way in scope.ways.values().filter_map(|id| car.way(id)) {
            for id in &way.needs {
                self.link(self.frees(id), self.at(Verb::Way, &way.id));
            }
        }
        for reading in car.readings.iter().filter(|r| scope.readings.contains(&r.id)) {
            let read = self.at(Verb::Read, &reading.id);
            for id in &reading.work.after {
                self.link(self.frees(id), read);
            }
            for id in &reading.before {
                self.link(read, self.at(Verb::Loosen, id));
                self.link(read, self.frees(id));
            }
        }
    }

    fn link_together(&mut self) {
        let (car, scope) = (self.car, self.scope);
        for hold in car.holds().filter(|hold| scope.holds.contains(hold.id())) {
            let fit = self.at(Verb::Fit, hold.id());
            self.link(self.frees(hold.id()), fit);
            for part in hold.joins() {
                let hosts =
                    hold.joins().iter().any(|other| other != part && car.assembly(part).contains(other));
                if !hosts {
                    self.link_on(part, hold.joins(), fit);
                }
            }
            // What the way that freed it had to get past goes back later too.
            if let Some(way) = scope.ways.get(hold.id()).and_then(|way| car.way(way)) {
                for front in way.needs.iter().filter(|need| !hold.joins().contains(need)) {
                    self.link(
                        self.back(hold.id()),
                        self.at(Verb::Fit, front).or_else(|| self.at(Verb::On, front)),
                    );
                }
            }
            // Whatever closes the way to it comes later.
            let deferred = matches!(hold, Hold::Fastener(f) if f.is_deferred());
            let afresh = self.at(Verb::Final, hold.id()).filter(|_| !deferred);
            for front in &hold.work().after {
                let closed = self.at(Verb::Fit, front).or_else(|| self.at(Verb::On, front));
                self.link(self.back(hold.id()), closed);
                self.link(afresh, self.at(Verb::On, front));
            }
            if let Hold::Fastener(fastener) = hold {
                let last = self.at(Verb::Final, hold.id());
                self.link(fit, last);
                self.link(last.or(fit), self.at(Verb::Lock, hold.id()));
                for front in &fastener.final_after {
                    self.link(self.finished(hold.id()), self.at(Verb::On, front));
                }
            }
        }
        for part in car.parts.iter().filter(|part| scope.parts.contains(&part.id)) {
            let on = self.at(Verb::On, &part.id);
            self.link(self.frees(&part.id), on);
            for front in &part.work.after {
                self.link(on, self.at(Verb::Fit, front).or_else(|| self.at(Verb::On, front)));
            }
            if let Some(host) = &part.part_of {
                self.link(on, self.at(Verb::On, host));
            }
        }
    }

    /// A hold is fitted when the part it joins is on, and the host that part lies in, unless
    /// everything the hold joins lies in that host.
    fn link_on(&mut self, part: &ItemId, joins: &[ItemId], fit: Option<usize>) {
        let car = self.car;
        let mut at = part;
        for _ in 0..=car.parts.len() {
            let inside = car.assembly(at);
            if at == part || !joins.iter().all(|join| inside.contains(join)) {
                self.link(self.at(Verb::On, at), fit);
            }
            let Some(host) = car.part(at).and_then(|p| p.part_of.as_ref()) else { return };
            at = host;
        }
    }

    fn link_operations(&mut self) {
        let (car, scope) = (self.car, self.scope);
        for operation in car.operations.iter().filter(|o| scope.operations.contains(&o.id)) {
            let row = self.at(Verb::Do, &operation.id);
            let strips = operation.stage <= Stage::Strip;
            for id in &operation.work.after {
                let first = if strips { self.frees(id) } else { self.back_for(id, operation.work.state) };
                self.link(first.or_else(|| self.at(Verb::Do, id)), row);
                if strips {
                    // It is done while the item is off, so the item goes back later.
                    self.link(row, self.at(Verb::Fit, id).or_else(|| self.at(Verb::On, id)));
                }
            }
            for id in &operation.before {
                if strips {
                    self.link(row, self.at(Verb::Loosen, id));
                    self.link(row, self.frees(id));
                    self.link(row, self.at(Verb::Read, id));
                } else {
                    self.link(self.at(Verb::Loosen, id).filter(|_| scope.loosened.contains(id)), row);
                    let deferred = self.at(Verb::Final, id);
                    self.link(
                        row,
                        deferred.or_else(|| self.at(Verb::Fit, id)).or_else(|| self.at(Verb::On, id)),
                    );
                    self.link(row, self.at(Verb::Do, id));
                }
            }
        }
        for fastener in car.fasteners.iter().filter(|fastener| scope.loosened.contains(&fastener.id)) {
            let last = self.at(Verb::Final, &fastener.id);
            self.link(last, self.at(Verb::Lock, &fastener.id));
            if scope.holds.contains(&fastener.id) {
                self.link(self.at(Verb::Fit, &fastener.id), self.at(Verb::Loosen, &fastener.id));
                continue;
            }
            // Whatever closes the way to it comes later.
            let snug = self.at(Verb::Fit, &fastener.id);
            let back = snug.or_else(|| last.filter(|_| !fastener.is_deferred()));
            for front in &fastener.work.after {
                self.link(back, self.at(Verb::Fit, front).or_else(|| self.at(Verb::On, front)));
            }
            for front in &fastener.final_after {
                self.link(self.frees(front), last);
                self.link(self.finished(&fastener.id), self.at(Verb::On, front));
            }
        }
        // Read at the end comes after whatever is set and everything that waited for it.
        let sets: Vec<&ItemId> = car
            .operations
            .iter()
            .filter(|o| o.stage == Stage::Set && scope.operations.contains(&o.id))
            .map(|o| &o.id)
            .collect();
        let waited = car.operations.iter().filter(|o| sets.contains(&&o.id)).flat_map(|o| o.before.iter());
        let set: Vec<usize> = sets
            .iter()
            .filter_map(|id| self.at(Verb::Do, id))
            .chain(waited.filter_map(|id| self.at(Verb::Lock, id).or_else(|| self.at(Verb::Final, id))))
            .collect();
        let again: Vec<usize> =
            (0..self.rows.len()).filter(|&i| self.rows[i].action.verb == Verb::Again).collect();
        for &then in &again {
            for &first in &set {
                self.link(Some(first), Some(then));
            }
        }
    }

    /// What comes right after an operation that goes on by itself waits for the end of that.
    fn add_waits(&mut self) {
        let waits = |row: &Row| {
            let operation = self.car.operation(&row.action.item).filter(|_| row.action.verb == Verb::Do)?;
            operation.wait.as_ref().map(|wait| wait.minutes)
        };
        let minutes: Vec<Option<f64>> = self.rows.iter().map(waits).collect();
        for row in &mut self.rows {
            row.waits = row.before.iter().filter_map(|&first| Some((first, minutes[first]?))).collect();
        }
    }

    /// What starts more days ahead comes first; nothing waits by that for what soaks.
    fn link_days(&mut self) {
        let car = self.car;
        let days = |row: &Row| car.operation(&row.action.item).and_then(|operation| operation.days_before);
        let ahead: Vec<(usize, f64)> =
            self.rows.iter().enumerate().filter_map(|(at, row)| Some((at, days(row)?))).collect();
        for &(first, sooner) in &ahead {
            for &(then, later) in &ahead {
                let same = self.rows[first].section == self.rows[then].section;
                if same && sooner > later && !self.rows[first].before.contains(&then) {
                    self.link(Some(first), Some(then));
                }
            }
        }
    }

    /// The row after which an item counts as back for an operation in this car state.
    fn back_for(&self, id: &ItemId, state: Option<CarState>) -> Option<usize> {
        let due = self.car.fastener(id).and_then(due_state);
        let at = state.unwrap_or(CarState::RideHeight);
        if due.is_none_or(|due| at.counts_as(due)) { self.finished(id) } else { self.back(id) }
    }

    /// Moves rows to the section that their precedence asks for: what something on wheels waits for
    /// comes before raising; nothing comes before what it needs.
    fn settle_sections(&mut self) {
        for _ in 0..self.rows.len() {
            let mut moved = false;
            for then in 0..self.rows.len() {
                let section = self.rows[then].section;
                for at in 0..self.rows[then].before.len() {
                    let first = self.rows[then].before[at];
                    let earlier = self.rows[first].section;
                    if section <= Section::Raise && earlier == Section::Strip && self.may_move(first) {
                        self.rows[first].section = Section::Loosen;
                        moved = true;
                    } else if earlier > section {
                        self.rows[then].section = earlier;
                        moved = true;
                        break;
                    }
                }
            }
            if !moved {
                return;
            }
        }
    }

    /// Whether a row of the strip section may also be done before the car is raised.
    fn may_move(&self, row: usize) -> bool {
        let item = &self.rows[row].action.item;
        let state = match self.rows[row].action.verb {
            Verb::Do => self.car.operation(item).and_then(|o| o.work.state),
            Verb::Off => self.car.part(item).and_then(|p| p.work.state),
            Verb::Way => self.car.way(item).and_then(|w| w.work.state),
            Verb::Read => self.car.reading(item).and_then(|r| r.work.state),
            _ => self.car.hold(item).and_then(|h| h.work().state),
        };
        state.is_none()
    }
}

/// The state of a deferred final torque.
pub(crate) fn due_state(fastener: &Fastener) -> Option<CarState> {
    fastener.torque.as_ref().and_then(|torque| torque.state).filter(|_| fastener.is_deferred())
}

/// Minutes of all rows that put a fastener back: fitting, a deferred final torque, a lock.
pub(crate) fn fit_minutes(fastener: &Fastener) -> f64 {
    let back = fastener.work.minutes.back;
    let last = if due_state(fastener).is_some() { back } else { 0.0 };
    let lock = if fastener.lock.is_own_act() { LOCK_MINUTES } else { 0.0 };
    back + last + lock
}

/// Whether breaking loose is an act of its own.
pub(crate) fn loosens_apart(fastener: &Fastener) -> bool {
    fastener.loosen_state.is_some() && fastener.loosen_state != fastener.work.state
}

/// Taking apart with the car on its wheels comes before raising; what can be done in any state is
/// left for the stands, unless it only looks or gets ready.
fn strip_section(work: &Work, only_looks: bool) -> Section {
    match work.state {
        Some(CarState::OnStands) => Section::Strip,
        Some(CarState::OnWheels | CarState::RideHeight) => Section::Loosen,
        None if only_looks => Section::Loosen,
        None => Section::Strip,
    }
}

fn refit_section(state: Option<CarState>) -> Section {
    match state {
        Some(CarState::OnWheels) => Section::OnWheels,
        Some(CarState::RideHeight) => Section::AtRideHeight,
        _ => Section::Refit,
    }
}

fn operation_section(operation: &axlestand_model::car::Operation) -> Section {
    match (operation.brings, operation.stage) {
        (Some(CarState::OnStands), _) => Section::Raise,
        (Some(CarState::OnWheels), _) => Section::Lower,
        (Some(CarState::RideHeight), _) => Section::Settle,
        (None, Stage::Prepare) => Section::Prepare,
        (None, Stage::Strip) => strip_section(&operation.work, true),
        (None, Stage::Refit) => refit_section(operation.work.state),
        // The car does not go up again for it.
        (None, Stage::Set | Stage::Prove) if operation.work.state == Some(CarState::OnStands) => {
            Section::Refit
        }
        (None, Stage::Set) => Section::Set,
        (None, Stage::Prove) => Section::Prove,
    }
}
