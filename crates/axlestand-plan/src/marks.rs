//! Marks in a plan: from where there is no way back, while nothing must be rolled, and after which rows
//! the work may stop for the night.

use crate::order::{Plan, PlanRow};
use axlestand_ledger::{
    Action, FastenerStage, JobState, RowStatus, Verb, forbids_rolling, keeps_from_rolling, row_status,
};
use axlestand_model::car::{Car, Hold};
use axlestand_model::{CarState, ItemId};
use std::collections::BTreeSet;

/// Marks by the places of rows in [`Plan::rows`].
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Marks {
    /// The first row still to do that spends something which cannot go back as it was: a one-use fastener
    /// comes loose, something is scrapped, a fluid is drained. `None`: it is done already, or there is none.
    pub no_return: Option<usize>,
    /// Whether something was spent already.
    pub past_return: bool,
    /// From the first row to the last between which the car must not be rolled while it stands on its
    /// wheels.
    pub no_roll: Option<(usize, usize)>,
    /// Rows after which the car may be left for the night.
    pub stops: Vec<usize>,
}

/// Whether an action spends something that cannot go back as it was.
pub(crate) fn spends(car: &Car, action: &Action) -> bool {
    let item = &action.item;
    match action.verb {
        Verb::Loosen | Verb::Undo => car.hold(item).is_some_and(Hold::is_one_use),
        Verb::Way => car.way(item).is_some_and(|way| {
            !way.scraps.is_empty()
                || car.undone_by(way).iter().filter_map(|id| car.hold(id)).any(Hold::is_one_use)
        }),
        Verb::Do => {
            car.operation(item).is_some_and(|o| o.fluid.is_some() && o.stage <= axlestand_model::Stage::Strip)
        }
        _ => false,
    }
}

/// The marks of a plan, as the state is now.
///
/// A stop for the night is a row after which the car stands on its wheels with nothing that keeps it from
/// rolling, or on stands with every part that comes off either off or held by all its critical fasteners
/// and joints: nothing hangs. Between two such rows in one place and on one side the work goes on.
#[must_use]
pub fn marks(car: &Car, state: &JobState, plan: &Plan) -> Marks {
    let pending = |row: &PlanRow| row_status(car, state, &row.action) == RowStatus::Pending;
    let mut marks = Marks::default();
    let mut now = Standing::of(car, state, plan);
    for (at, row) in plan.rows.iter().enumerate() {
        let open = pending(row);
        if spends(car, &row.action) {
            if open {
                marks.no_return = marks.no_return.or(Some(at));
            } else {
                marks.past_return |= !state.skipped.contains_key(&row.action);
            }
        }
        if car.fastener(&row.action.item).is_some_and(keeps_from_rolling) {
            let from = marks.no_roll.map_or(at, |(from, _)| from);
            marks.no_roll = Some((from, at));
        }
        if !open {
            continue;
        }
        now.take(row);
        let moves_on = plan
            .rows
            .get(at + 1)
            .is_none_or(|next| (next.section, next.place, next.side) != (row.section, row.place, row.side));
        if moves_on && now.is_safe() && at + 1 < plan.rows.len() {
            marks.stops.push(at);
        }
    }
    if marks.past_return {
        marks.no_return = None;
    }
    marks
}

/// How the car stands as rows go on.
struct Standing<'a> {
    car: &'a Car,
    plan: &'a Plan,
    stands: CarState,
    out: BTreeSet<ItemId>,
    off: BTreeSet<ItemId>,
    /// Fasteners that keep the car from rolling and are not final.
    loose: BTreeSet<ItemId>,
}

impl<'a> Standing<'a> {
    fn of(car: &'a Car, state: &JobState, plan: &'a Plan) -> Self {
        let stage = |id: &ItemId| state.hold(id).stage;
        let out = car.holds().map(Hold::id).filter(|id| stage(id) == FastenerStage::Out);
        Self {
            car,
            plan,
            stands: state.stands(),
            out: out.cloned().collect(),
            off: car.parts.iter().map(|part| &part.id).filter(|id| state.part(id).off).cloned().collect(),
            loose: car.fasteners.iter().filter(|f| forbids_rolling(f, state)).map(|f| f.id.clone()).collect(),
        }
    }

    fn take(&mut self, row: &PlanRow) {
        let item = &row.action.item;
        let rolls = self.car.fastener(item).is_some_and(keeps_from_rolling);
        match row.action.verb {
            Verb::Loosen | Verb::Undo if rolls => _ = self.loose.insert(item.clone()),
            Verb::Final | Verb::Lock if rolls => _ = self.loose.remove(item),
            _ => {}
        }
        match row.action.verb {
            Verb::Undo => _ = self.out.insert(item.clone()),
            Verb::Off => _ = self.off.insert(item.clone()),
            Verb::On => _ = self.off.remove(item),
            Verb::Fit => _ = self.out.remove(item),
            Verb::Way => self.way(item),
            Verb::Do => {
                let brings = self.car.operation(item).and_then(|operation| operation.brings);
                self.stands = brings.unwrap_or(self.stands);
            }
            _ => {}
        }
    }

    fn way(&mut self, item: &ItemId) {
        let Some(way) = self.car.way(item) else { return };
        self.out.extend(self.car.undone_by(way));
        let freed = if self.car.part(&way.frees).is_some() { &mut self.off } else { &mut self.out };
        freed.insert(way.frees.clone());
    }

    fn is_safe(&self) -> bool {
        if self.stands == CarState::OnStands { !self.hangs() } else { self.loose.is_empty() }
    }

    /// Whether a part that comes off hangs: it is not off, and a critical hold of it is out.
    fn hangs(&self) -> bool {
        let away = |part: &ItemId| {
            let hosts = self.off.iter().any(|host| self.car.assembly(host).contains(part));
            self.off.contains(part) || hosts
        };
        let half_free = |part: &ItemId| {
            let mut holds = self.car.outer_holds(part).into_iter();
            holds.any(|hold| hold.is_critical() && self.out.contains(hold.id()))
        };
        self.plan.scope.parts.iter().any(|part| half_free(part) && !away(part))
    }
}
