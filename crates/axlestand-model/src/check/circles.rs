//! Circles in a graph of needs.

use crate::id::ItemId;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// What each item needs first.
pub(super) type Needs = BTreeMap<ItemId, Vec<ItemId>>;

/// Circles that have no step in common, so that each is a fault of its own: without one step of
/// each of them, nothing waits for itself. Both sides of the car make the same circle; it is given
/// once. Each begins with the item that comes first in the alphabet.
pub(super) fn circles(needs: &Needs) -> Vec<Vec<ItemId>> {
    let mut gone: BTreeSet<(ItemId, ItemId)> = BTreeSet::new();
    let mut told: BTreeSet<BTreeSet<String>> = BTreeSet::new();
    let mut list = Vec::new();
    for start in needs.keys() {
        while let Some(circle) = shortest(start, needs, &gone) {
            let next = circle.iter().cycle().skip(1);
            gone.extend(circle.iter().cloned().zip(next.cloned()));
            if told.insert(circle.iter().map(|id| id.base().to_owned()).collect()) {
                list.push(circle);
            }
        }
    }
    list
}

/// The shortest circle through `start`, without the steps that are gone.
fn shortest(start: &ItemId, needs: &Needs, gone: &BTreeSet<(ItemId, ItemId)>) -> Option<Vec<ItemId>> {
    let mut from: BTreeMap<&ItemId, &ItemId> = BTreeMap::new();
    let mut todo: VecDeque<&ItemId> = [start].into();
    while let Some(at) = todo.pop_front() {
        for next in needs.get(at)?.iter().filter(|next| needs.contains_key(*next)) {
            if gone.contains(&(at.clone(), next.clone())) {
                continue;
            }
            if next == start {
                return Some(way_back(start, at, &from));
            }
            if !from.contains_key(next) {
                from.insert(next, at);
                todo.push_back(next);
            }
        }
    }
    None
}

fn way_back(start: &ItemId, last: &ItemId, from: &BTreeMap<&ItemId, &ItemId>) -> Vec<ItemId> {
    let mut path = vec![last.clone()];
    let mut at = last;
    while at != start {
        let Some(before) = from.get(at) else { break };
        path.push((*before).clone());
        at = before;
    }
    path.reverse();
    path
}

/// `a → b → a`.
pub(super) fn shown(ids: &[ItemId]) -> String {
    let names: Vec<_> = ids.iter().chain(ids.first()).map(ItemId::as_str).collect();
    names.join(" → ")
}
