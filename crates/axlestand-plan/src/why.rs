//! Why something is disturbed: the chain from an item up to what the job is for.

use crate::scope::Scope;
use axlestand_ledger::{FastenerStage, JobState};
use axlestand_model::ItemId;
use axlestand_model::car::{Car, Item};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// One step of a chain of reasons.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Why {
    /// It is to be replaced.
    Goal,
    /// It broke.
    Broken,
    /// It was undone or loosened already, so it has to go back.
    Undone,
    /// It holds this part.
    Holds(ItemId),
    /// It is in the way of this.
    Clears(ItemId),
    /// It has to be done before a way can be gone or an item freed: that way or item, what is freed.
    NeededFor(ItemId, ItemId),
    /// A way needs it out of the way: the way, what that frees.
    WayNeeds(ItemId, ItemId),
    /// It comes undone with a way: the way, what that frees.
    ComesWith(ItemId, ItemId),
    /// It is due, or would be lost, since this is disturbed.
    Follows(ItemId),
    /// It has to be loose while this operation is done.
    LooseFor(ItemId),
    /// Every job of this kind has it.
    Always,
}

impl Why {
    /// The item that asks for it, where it is another one.
    #[must_use]
    pub fn asked_by(&self) -> Option<&ItemId> {
        match self {
            Self::Holds(of)
            | Self::Clears(of)
            | Self::NeededFor(_, of)
            | Self::WayNeeds(_, of)
            | Self::ComesWith(_, of)
            | Self::Follows(of)
            | Self::LooseFor(of) => Some(of),
            Self::Goal | Self::Broken | Self::Undone | Self::Always => None,
        }
    }
}

/// The shortest chain of reasons from an item of a scope to what the job is for: each step speaks of the
/// item that the step before it named, the first of `item` itself. Of chains of one length the one to a
/// goal is taken, then the one to what broke.
#[must_use]
pub fn why(car: &Car, state: &JobState, scope: &Scope, item: &ItemId) -> Vec<Why> {
    let mut from: BTreeMap<&ItemId, &ItemId> = BTreeMap::new();
    let mut seen: BTreeSet<&ItemId> = BTreeSet::from([item]);
    let mut open: VecDeque<(&ItemId, usize)> = VecDeque::from([(item, 0)]);
    let mut best: Option<(usize, u8, &ItemId, Why)> = None;
    while let Some((at, depth)) = open.pop_front() {
        if best.as_ref().is_some_and(|(found, ..)| depth > *found) {
            break;
        }
        let needers = || scope.because.get(at).into_iter().flatten();
        if let Some((rank, end)) = end_of(state, at, needers().next().is_some())
            && best.as_ref().is_none_or(|(_, known, ..)| rank < *known)
        {
            best = Some((depth, rank, at, end));
        }
        for needer in needers() {
            if seen.insert(needer) {
                from.insert(needer, at);
                open.push_back((needer, depth + 1));
            }
        }
    }
    let Some((_, _, mut at, end)) = best else { return vec![Why::Always] };
    let mut chain = vec![end];
    while let Some(below) = from.get(at) {
        chain.push(between(car, scope, below, at));
        at = below;
    }
    chain.reverse();
    chain
}

/// What ends a chain at an item, and how good an end that is: lower is better.
fn end_of(state: &JobState, item: &ItemId, asked: bool) -> Option<(u8, Why)> {
    let (part, hold) = (state.part(item), state.hold(item));
    let loose = hold.stage != FastenerStage::InPlace || hold.was_out || part.was_off;
    if state.goals.contains(item) {
        Some((0, Why::Goal))
    } else if part.broken || hold.broken {
        Some((1, Why::Broken))
    } else if asked {
        None
    } else if loose {
        Some((2, Why::Undone))
    } else {
        Some((3, Why::Always))
    }
}

/// How an item serves the one that asks for it.
fn between(car: &Car, scope: &Scope, item: &ItemId, asks: &ItemId) -> Why {
    let asks_for = asks.clone();
    if matches!(car.item(item), Some(Item::Operation(_) | Item::Reading(_))) {
        let clears = car.operation(item).is_some_and(|_| needs_away(car, scope, asks, item));
        if clears {
            let way = scope.ways.get(asks).cloned();
            return Why::NeededFor(way.unwrap_or_else(|| asks.clone()), asks_for);
        }
        return Why::Follows(asks_for);
    }
    if scope.loosened.contains(item) {
        return Why::LooseFor(asks_for);
    }
    if let Some(way) = scope.ways.get(asks).and_then(|id| car.way(id)) {
        return if way.needs.contains(item) {
            Why::WayNeeds(way.id.clone(), asks_for)
        } else {
            Why::ComesWith(way.id.clone(), asks_for)
        };
    }
    let holds = car.part(asks).is_some() && car.outer_holds(asks).iter().any(|hold| hold.id() == item);
    if holds { Why::Holds(asks_for) } else { Why::Clears(asks_for) }
}

/// Whether something names an operation among what has to be done before it.
fn needs_away(car: &Car, scope: &Scope, asks: &ItemId, item: &ItemId) -> bool {
    let way = scope.ways.get(asks).and_then(|id| car.way(id));
    match (way, car.item(asks)) {
        (Some(way), _) => way.needs.contains(item),
        (None, Some(Item::Part(part))) => part.work.after.contains(item),
        (None, Some(Item::Operation(operation))) => operation.work.after.contains(item),
        (None, _) => car.hold(asks).is_some_and(|hold| hold.work().after.contains(item)),
    }
}
